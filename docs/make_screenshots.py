"""Take a picture of every page, as a phone and as a laptop show it, of a sample job.

``make screenshots`` runs this and writes ``docs/pictures/pages``; the pictures are looked at and
not kept in the repository, because anyone can make them anew. Needs Chromium
(``apt-get install -y chromium``).
"""

from __future__ import annotations

import shutil
import sys
import tempfile
import threading
import time
from pathlib import Path

import uvicorn
from playwright.sync_api import Page, sync_playwright

from overslab.faces.web.app import create_app
from overslab.faces.web.roles import Role
from overslab.faces.web.rooms.desk import ROOM_VIEWS
from overslab.faces.web.sessions import DESK_COOKIE
from overslab.faces.web.site import Settings, Site
from overslab.job import sample_folder
from overslab.job.store import Store

FOLDER = Path(__file__).parent / "pictures" / "pages"
SAMPLE, FIGHTING, CHANGED = "farm-shop", "cannot-all", "thin-patio"
SIZES = {"phone": (390, 844), "laptop": (1366, 850)}
_SECONDS = 120.0


def addresses(fighting: str, job: str, changed: str) -> dict[str, str]:
    """Every page by the name of its picture."""
    of_job = (
        *("facts", *ROOM_VIEWS, "tops", "workings", "plan"),
        *("photos", "settle", "paper", "proposal", "exports", "history"),
    )
    found = {"jobs": "/", "new-job": "/jobs/new", "job": f"/jobs/{job}"}
    found |= {page: f"/jobs/{job}/{page}" for page in of_job}
    found |= {"wishes": f"/jobs/{job}/facts/wishes", "door": f"/jobs/{job}/facts/door/0"}
    found |= {"since": f"/jobs/{changed}/history/since?version=1"}
    found |= {"wishes-that-fight": f"/jobs/{fighting}/newtop", "take-shots": f"/field/{job}"}
    return found | {"phones": "/phones", "links": "/links", "safe": "/safe"}


def main() -> None:
    FOLDER.mkdir(parents=True, exist_ok=True)
    with tempfile.TemporaryDirectory() as place:
        folder = Path(place)
        with Store.open(f"sqlite:///{folder / 'overslab.db'}", data=folder, backup=False) as store:
            jobs = [
                store.import_folder(sample_folder(name), who="office", sample=True)
                for name in (FIGHTING, SAMPLE, CHANGED)
            ]
            began = store.version(jobs[2])
            wish = {"path": ["wishes", "least_thickness"], "value": "0.11 ft"}
            store.change(jobs[2], based_on=began, kind="fact-set", body=wish, who="office")
            app = create_app(store, settings=Settings(data=folder, requests_a_minute=10**6))
            site: Site = app.state.site
            for job in jobs:
                _worked_out(site, job)
            config = uvicorn.Config(app, port=0, log_config=None, lifespan="off", ws="none")
            server = uvicorn.Server(config)
            thread = threading.Thread(target=server.run, daemon=True)
            thread.start()
            while not server.started:
                time.sleep(0.02)
            port = server.servers[0].sockets[0].getsockname()[1]
            _take(f"http://localhost:{port}", addresses(*jobs), site, jobs[1])
            server.should_exit = True
            thread.join()
            site.walks.close()
            site.doors.close()


def _worked_out(site: Site, job: str) -> None:
    end = time.monotonic() + _SECONDS
    while not site.walks.look(job).settled:
        if time.monotonic() > end:
            raise TimeoutError(f"the sample was not worked out in {_SECONDS:g} seconds")
        time.sleep(0.1)


def _take(address: str, pages: dict[str, str], site: Site, job: str) -> None:
    chromium = shutil.which("chromium") or shutil.which("chromium-browser")
    if chromium is None:
        raise SystemExit("no Chromium here: apt-get install -y chromium")
    with sync_playwright() as play:
        browser = play.chromium.launch(executable_path=chromium, args=["--no-sandbox"])
        for size, (wide, high) in SIZES.items():
            page = browser.new_context(viewport={"width": wide, "height": high}).new_page()
            for name, path in pages.items():
                page.goto(address + path, wait_until="networkidle")
                file = FOLDER / f"{name}-{size}.png"
                page.screenshot(path=file, full_page=True)
                sys.stdout.write(f"docs/pictures/pages/{file.name}\n")
            _take_proposal(page, address, site, job, size=size)
        browser.close()


def _take_proposal(page: Page, address: str, site: Site, job: str, *, size: str) -> None:
    """The proposal as the customer sees it who was sent a private link."""
    page.goto(f"{address}/links")
    page.select_option("#f-job", job)
    page.select_option("#f-document", "proposal")
    page.fill("#f-made_out_to", "Made-up customer")
    page.click("form.card button.main", timeout=_SECONDS * 1000)
    page.wait_for_selector("text=The link, shown this once", timeout=_SECONDS * 1000)
    link = site.links.listed()[0]
    token, _ = site.sessions.begin(
        Role.CUSTOMER, who=link.made_out_to, secure=False, agent="", document=link.id
    )
    page.context.add_cookies([{"name": DESK_COOKIE, "value": token, "url": address}])
    page.goto(f"{address}/see/document", wait_until="networkidle")
    file = FOLDER / f"customer-{size}.png"
    page.screenshot(path=file, full_page=True)
    sys.stdout.write(f"docs/pictures/pages/{file.name}\n")


if __name__ == "__main__":
    main()
