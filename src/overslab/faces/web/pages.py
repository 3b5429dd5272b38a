"""Pages from templates: every name escaped, every page with its way, look and token."""

from __future__ import annotations

from functools import lru_cache
from typing import Any, NamedTuple

from jinja2 import Environment, PackageLoader, StrictUndefined
from markupsafe import Markup
from starlette.requests import Request
from starlette.responses import HTMLResponse

from overslab.faces.web.forms import TOKEN_FIELD, form_token
from overslab.faces.web.roles import Role, viewer_of
from overslab.faces.web.site import site_of
from overslab.faces.web.statics import static_address
from overslab.job.steps import STEPS

LOOKS = (("auto", "Auto"), ("day", "Day"), ("night", "Night"), ("sun", "Sun"))
LOOK_COOKIE = "look"

# Short names of the rooms for the way through the work; the questions stand on the pages.
TITLES = {
    "facts": "Facts",
    "field": "Take shots",
    "shots": "Shots",
    "oldslab": "Old floor",
    "verdict": "Verdict",
    "newtop": "New top",
    "touches": "Touches",
    "takeoff": "Takeoff",
    "order": "Order",
    "price": "Price",
    "pourday": "Pour day",
    "proof": "Proof",
    "plan": "Plan",
    "paper": "Sheets",
    "proposal": "Proposal",
    "exports": "Files",
    "photos": "Photos",
    "settle": "To settle",
    "history": "History",
}
# Pages of a job that are no room: before the rooms, and after them.
BEFORE = ("facts", "field")
AFTER = ("plan", "photos", "settle", "paper", "proposal", "exports", "history")


class Stop(NamedTuple):
    title: str
    href: str
    current: bool


def stops() -> tuple[str, ...]:
    """The last part of the address of every page of a job, in the order of work."""
    return (*BEFORE, *(step.room for step in STEPS), *AFTER)


@lru_cache(maxsize=1)
def environment() -> Environment:
    """The one environment; escapes in every template whatever its name."""
    made = Environment(
        loader=PackageLoader("overslab.faces.web", "templates"),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
    )
    made.globals.update(static=static_address, looks=LOOKS, Role=Role)
    return made


def look_of(request: Request) -> str:
    """The look the person chose; ``auto`` follows the device."""
    chosen = request.cookies.get(LOOK_COOKIE, "auto")
    return chosen if chosen in dict(LOOKS) else "auto"


def render(
    request: Request,
    template: str,
    *,
    status: int = 200,
    job: Any = None,
    stop: str = "",
    walk_state: Any = None,
    headers: dict[str, str] | None = None,
    **context: Any,
) -> HTMLResponse:
    """A page. ``job`` needs ``id``, ``name``, ``sample``; ``stop`` is where on the way it stands.

    ``walk_state`` (see ``walks.Seen``) puts the line above the page that says what is stale.
    """
    token = form_token(request)
    field = Markup('<input type="hidden" name="{}" value="{}">').format(TOKEN_FIELD, token)
    text = (
        environment()
        .get_template(template)
        .render(
            viewer=viewer_of(request),
            form_token=token,
            token_field=lambda: field,
            look=look_of(request),
            here=request.url.path,
            job=job,
            way=_way(request, job, stop) if job is not None else (),
            walk_state=walk_state,
            **context,
        )
    )
    # Half a letter, which JSON can carry into the tray, is shown as a question mark.
    return HTMLResponse(text.encode("utf-8", "replace"), status_code=status, headers=headers)


def _way(request: Request, job: Any, current: str) -> tuple[Stop, ...]:
    """The stops this viewer may see, in the order of work."""
    role, open_to = viewer_of(request).role, site_of(request).stops
    return tuple(
        Stop(TITLES.get(name, name.capitalize()), f"/jobs/{job.id}/{name}", name == current)
        for name in stops()
        if role in open_to.get(name, ())
    )
