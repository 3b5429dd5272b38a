"""What pages are given: each field with its help, and no place for money where the crew looks."""

from __future__ import annotations

import ast
import dataclasses
import inspect
import re
import types
from pathlib import Path
from typing import Annotated, Any, Union, get_args, get_origin, get_type_hints

import pytest

from overslab.faces.web import rooms
from overslab.faces.web.pages import TITLES, stops
from overslab.faces.web.roles import GuardedRoute
from overslab.faces.web.rooms import views
from overslab.faces.web.rooms.desk import PICTURES, ROOM_VIEWS
from overslab.faces.web.rooms.views import CREW_VIEWS, OFFICE_VIEWS
from overslab.ground.faults import Fault
from overslab.job.steps import STEPS

MONEY = re.compile(r"cost|price|charge|money|bill|rate|saving|amount|currency", re.IGNORECASE)
HERE = Path(inspect.getfile(rooms)).parent
VIEWS = [*CREW_VIEWS, *OFFICE_VIEWS]


def fields_with_help(view: type) -> dict[str, tuple[Any, str]]:
    hints = get_type_hints(view, include_extras=True)
    found = {}
    for one in dataclasses.fields(view):
        hint = hints[one.name]
        assert get_origin(hint) is Annotated, f"{view.__name__}.{one.name} has no help"
        kind, words = get_args(hint)
        found[one.name] = (kind, words)
    return found


def leaves(kind: Any) -> set[type]:
    """The types a field is made of, through tuples and unions."""
    if get_origin(kind) in (tuple, Union, types.UnionType):
        return {leaf for part in get_args(kind) if part is not ... for leaf in leaves(part)}
    return {kind}


def test_every_view_of_the_module_is_for_somebody() -> None:
    declared = {
        view
        for _, view in inspect.getmembers(views, inspect.isclass)
        if view.__module__ == views.__name__
    }
    assert declared == set(VIEWS)
    assert not set(CREW_VIEWS) & set(OFFICE_VIEWS)


@pytest.mark.parametrize("view", VIEWS, ids=lambda view: view.__name__)
def test_each_field_says_what_it_is(view: type) -> None:
    assert (inspect.getdoc(view) or "").endswith(".")
    assert view.__dataclass_params__.frozen  # type: ignore[attr-defined]
    for name, (_, words) in fields_with_help(view).items():
        assert len(words) > 8, name
        assert words.endswith("."), name


@pytest.mark.parametrize("view", CREW_VIEWS, ids=lambda view: view.__name__)
def test_a_crew_view_has_no_place_for_money(view: type) -> None:
    plain = {str, int, bool, type(None)}
    for name, (kind, _) in fields_with_help(view).items():
        assert not MONEY.search(name)
        assert leaves(kind) <= plain | set(CREW_VIEWS), name


@pytest.mark.parametrize("view", OFFICE_VIEWS, ids=lambda view: view.__name__)
def test_an_office_view_holds_words_and_views(view: type) -> None:
    plain = {str, int, bool, type(None), Fault}
    for name, (kind, _) in fields_with_help(view).items():
        assert leaves(kind) <= plain | set(VIEWS), name


def test_only_one_module_writes_money() -> None:
    """The others neither write an amount nor take one out of a record."""
    writers, takers = set(), set()
    for path in HERE.glob("*.py"):
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            if isinstance(node, ast.alias) and node.name.startswith(("write_money", "write_cost")):
                writers.add(path.name)
            if isinstance(node, ast.Attribute) and re.search("cost|price|charge", node.attr):
                takers.add(path.name)
    assert writers == {"money.py"}
    assert takers == {"money.py"}


def test_every_room_of_the_walk_has_its_page() -> None:
    order = [step.room for step in STEPS]
    assert list(ROOM_VIEWS) == order
    assert list(PICTURES) == order
    assert set(order) <= set(TITLES)


def test_the_pages_of_a_job_stand_on_its_way() -> None:
    paths = {route.path for route in rooms.router.routes}  # type: ignore[attr-defined]
    own = {"facts", "photos", "settle", "paper", "history", *ROOM_VIEWS}
    assert {f"/jobs/{{job}}/{stop}" for stop in own} <= paths
    assert own <= set(stops())


def test_every_page_has_its_heading_in_the_docs() -> None:
    told = (HERE.parents[4] / "docs" / "pages.md").read_text(encoding="utf-8")
    headings = re.findall(r"^## [^`\n]+: `([^`]+)`$", told, flags=re.MULTILINE)
    pages = [
        re.sub(r":path\}", "}", route.path)
        for route in rooms.router.routes
        if isinstance(route, GuardedRoute)
        and "GET" in (route.methods or ())
        and not route.path.endswith((".svg", ".zip"))
    ]
    assert sorted(headings) == sorted(pages)
