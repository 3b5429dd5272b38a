"""Forms of facts: what is typed stays, faults stand beside their field, stale edits keep both."""

from __future__ import annotations

import html
import re
import tomllib
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from fastapi import FastAPI
from rooms_site import BAY, based_on, field_part, known_job, office, rooms_app
from web_site import Browser

from overslab.faces.web import rooms
from overslab.faces.web.roles import GuardedRoute, Role
from overslab.faces.web.rooms import faults
from overslab.faces.web.rooms.fact_fields import (
    GROUPS,
    RATES,
    FactField,
    Section,
    fields_of,
    inner_sections,
    section_at,
    text_of,
    value_of,
)
from overslab.ground.faults import Fault
from overslab.job import FolderTexts, as_json, read_texts, sample_folder, sample_names
from overslab.job.jobfile import JobFile
from overslab.job.store import Store
from overslab.job.store.carrying import starter_texts


@pytest.fixture
def app(store: Store, tmp_path: Path) -> Iterator[FastAPI]:
    made = rooms_app(store, tmp_path)
    yield made
    made.state.site.doors.close()


@pytest.fixture
def desk(app: FastAPI) -> Iterator[Browser]:
    with office(app) as made:
        yield made


def form_of(page: str) -> dict[str, str]:
    """The form of a section as a browser would send it back unchanged."""
    form = page.partition('<input type="hidden" name="based_on"')[2].partition("</form>")[0]
    found: dict[str, str] = {}
    for met in re.finditer(r'<input id="f-(\w+)" name="\w+" value="([^"]*)"', form):
        found[met[1]] = html.unescape(met[2])
    for met in re.finditer(r'<textarea id="f-(\w+)"[^>]*>\n(.*?)</textarea>', form, re.DOTALL):
        found[met[1]] = html.unescape(met[2])
    for met in re.finditer(r'<select id="f-(\w+)".*?</select>', form, re.DOTALL):
        chosen = re.search(r'value="([^"]*)" selected', met[0])
        found[met[1]] = html.unescape(chosen[1]) if chosen else ""
    return found


# Every section of every job that we ship.


def sections_of(data: Any, address: str) -> Iterator[tuple[Section, dict[str, Any]]]:
    """A section and all inside it that are given."""
    section = section_at(address)
    if section is not None:
        yield section, data
    model = section.model if section is not None else JobFile
    for inner in inner_sections(model):
        inside = data.get(inner.key)
        path = f"{address}/{inner.key}".removeprefix("/")
        if isinstance(inside, dict):
            yield from sections_of(inside, path)
        for number, one in enumerate(inside if isinstance(inside, list) else ()):
            yield from sections_of(one, f"{path}/{number}")


def shipped() -> list[tuple[str, Path]]:
    folders = [sample_folder(name) for name in sample_names()]
    folders.append(folders[0].parent.parent / "starter")
    return [(f"{folder.name} {file}", folder / file) for folder in folders for file in FILES]


FILES = ("job.toml", "rates.toml")


@pytest.mark.parametrize(("name", "path"), shipped(), ids=lambda one: str(one))
def test_every_key_of_every_job_survives_its_field(name: str, path: Path) -> None:
    data = tomllib.loads(path.read_text(encoding="utf-8"))
    keys = 0
    for section, inside in sections_of(data, RATES if path.name == "rates.toml" else ""):
        known = {one.key: one for one in fields_of(section.model)}
        inner = {one.key for one in inner_sections(section.model)}
        for key, value in inside.items():
            if key in inner:
                continue
            keys += 1
            again = value_of(known[key], text_of(known[key], value))
            plain = value.isoformat() if hasattr(value, "isoformat") else value
            plain = None if plain == [] else plain
            assert again == plain, (section.address, key)
    assert keys >= 4, name


def test_every_section_is_asked_for_once() -> None:
    asked = [key for _, keys in GROUPS for key in keys]
    assert sorted(asked) == sorted({*(one.key for one in inner_sections(JobFile)), RATES})


@pytest.mark.parametrize(
    "address", ["door", "door/0/x", "", "door/new/1", "../etc", "door/-1", "x"]
)
def test_an_address_that_leads_nowhere(desk: Browser, app: FastAPI, address: str) -> None:
    assert section_at(address) is None
    job = known_job(app, "Bay", BAY, None)
    if address:
        assert desk.get(f"/jobs/{job}/facts/{address}").status_code == 404


@pytest.mark.parametrize(
    ("kind", "typed", "value"),
    [
        ("yes-no", "yes", True),
        ("yes-no", "perhaps", "perhaps"),
        ("whole", "3", 3),
        ("whole", "three", "three"),
        ("number", "0.45", 0.45),
        ("number", "1e3", "1e3"),
        ("place", "10 ft, 4 ft 6 in", ["10 ft", "4 ft 6 in"]),
        ("place", "C4", "C4"),
        ("place", "1,250 mm; 2 m", ["1,250 mm", "2 m"]),
        ("places", "C4\n\n 0 ft, 1 ft ", ["C4", ["0 ft", "1 ft"]]),
        ("choices", "rain, ground", ["rain", "ground"]),
        ("lines", "north door\neast, door", ["north door", "east, door"]),
        ("text", "  3 in ", "3 in"),
        ("text", "   ", None),
    ],
)
def test_what_a_typed_text_means(kind: Any, typed: str, value: object) -> None:
    assert value_of(FactField("key", kind, "", False), typed) == value


# The forms themselves.


def test_a_job_can_be_written_down_by_the_forms_alone(desk: Browser, app: FastAPI) -> None:
    """A blank job filled section by section becomes the very job that the starter file is."""
    store: Store = app.state.site.store
    given = {"name": "Small garage", "place": "x", "date": "2026-01-05", "units": "feet-inches"}
    given |= {"rod": "feet-inches", "currency": "$", "begin_with": "blank"}
    answer = desk.post("/jobs/new", given)
    job = answer.headers["location"].removeprefix("/jobs/")
    starter = starter_texts("Small garage")
    version = store.version(job)
    body = {"file": "shots.csv", "text": starter.shots_csv}
    store.change(job, based_on=version, kind="text-set", body=body, who="office")
    for file, text in (("job.toml", starter.job_toml), ("rates.toml", starter.rates_toml)):
        data = tomllib.loads(text)
        for section, inside in sections_of(data, RATES if file == "rates.toml" else ""):
            fill(desk, job, section, inside)
    stored = store.job(job)
    assert stored.trouble == ()
    made, meant = read_texts(stored.folder_texts), read_texts(starter)
    assert as_json(made) == as_json(meant)


def fill(desk: Browser, job: str, section: Section, inside: dict[str, Any]) -> None:
    """One section through its form; a part of a list is added."""
    address = re.sub(r"/\d+$", "/new", section.address)
    path = f"/jobs/{job}/facts/{address}"
    page = desk.get(path)
    assert page.status_code == 200, path
    fields = {one.key: one for one in fields_of(section.model)}
    typed = {key: text_of(fields[key], value) for key, value in inside.items() if key in fields}
    answer = desk.post(path, {**typed, "based_on": based_on(page.text)})
    unchanged = all(form_of(page.text).get(key, "") == text for key, text in typed.items())
    assert answer.status_code == (200 if unchanged else 303), (path, answer.text)


def test_a_fault_stands_beside_its_field_and_what_was_typed_stays(
    desk: Browser, app: FastAPI, store: Store
) -> None:
    job = known_job(app, "Bay", BAY, None)
    path = f"/jobs/{job}/facts/wishes"
    form = form_of(desk.get(path).text)
    typed = {**form, "least_thickness": "3 inchess <b>", "set_to": "1/4 in"}
    answer = desk.post(path, {**typed, "based_on": "1"})
    assert answer.status_code == 400
    wrong, fine = (field_part(answer.text, key) for key in ("least_thickness", "set_to"))
    assert 'value="3 inchess &lt;b&gt;"' in wrong
    assert 'aria-invalid="true"' in wrong
    for word in ("fault-what", "<dt>given</dt>", "<dt>limit</dt>", "<dt>do next</dt>"):
        assert word in wrong
        assert word not in fine
    assert re.search(r'aria-describedby="[^"]*w-least_thickness"', wrong)
    assert 'id="w-least_thickness"' in wrong
    assert 'value="1/4 in"' in fine
    assert store.version(job) == 1
    assert store.job(job).folder_texts == BAY


def test_a_fault_of_two_wishes_together_is_found_too(
    desk: Browser, app: FastAPI, store: Store
) -> None:
    job = known_job(app, "Bay", BAY, None)
    path = f"/jobs/{job}/facts/wishes"
    typed = {**form_of(desk.get(path).text), "least_fall": "1 in/ft", "based_on": "1"}
    answer = desk.post(path, typed)
    assert answer.status_code == 400
    assert "fault-what" in answer.text
    assert 'value="1 in/ft"' in answer.text
    assert store.version(job) == 1


def test_what_a_change_does_elsewhere_does_not_hold_it_up(
    desk: Browser, app: FastAPI, store: Store
) -> None:
    """A door is renamed before the wish that names it."""
    job = known_job(app, "Bay", BAY, None)
    path = f"/jobs/{job}/facts/door/0"
    form = form_of(desk.get(path).text)
    answer = desk.post(path, {**form, "name": "main door", "based_on": "1"})
    assert answer.status_code == 303
    page = desk.get(answer.headers["location"]).text
    assert "Kept: 1 change." in page
    assert f'href="/jobs/{job}/facts/wishes"' in page
    wishes = f"/jobs/{job}/facts/wishes"
    beside = field_part(desk.get(wishes).text, "water_to")
    assert "fault-what" in beside
    form = form_of(desk.get(wishes).text)
    fields = {**form, "water_to": "main door", "based_on": "2"}
    assert desk.post(wishes, fields).status_code == 303
    assert store.job(job).trouble == ()


def test_only_what_was_changed_is_kept_key_by_key(
    desk: Browser, app: FastAPI, store: Store
) -> None:
    job = known_job(app, "Bay", BAY, None)
    path = f"/jobs/{job}/facts/wishes"
    form = form_of(desk.get(path).text)
    assert desk.post(path, {**form, "based_on": "1"}).status_code == 200
    assert store.version(job) == 1
    typed = {**form, "least_thickness": "2 1/2 in", "highest": "100 ft 1 in", "based_on": "1"}
    assert desk.post(path, typed).status_code == 303
    kept = [one.event for one in store.events(job, since=1)]
    assert [(one.kind, one.body["path"]) for one in kept] == [
        ("fact-set", ["wishes", "least_thickness"]),
        ("fact-set", ["wishes", "highest"]),
    ]
    assert "# measured twice" in store.job(job).folder_texts.job_toml
    typed = {**form_of(desk.get(path).text), "highest": "", "based_on": "3"}
    assert desk.post(path, typed).status_code == 303
    (last,) = store.events(job, since=3)
    assert (last.event.kind, last.event.body) == ("fact-removed", {"path": ["wishes", "highest"]})


def test_a_stale_edit_is_refused_with_both_texts(desk: Browser, app: FastAPI, store: Store) -> None:
    job = known_job(app, "Bay", BAY, None)
    path = f"/jobs/{job}/facts/wishes"
    first = desk.get(path).text
    form, version = form_of(first), based_on(first)
    theirs = {**form, "least_thickness": "2 1/4 in", "based_on": version}
    assert desk.post(path, theirs).status_code == 303
    yours = {**form, "least_thickness": "2 3/4 in", "set_to": "1/4 in", "based_on": version}
    answer = desk.post(path, yours)
    assert answer.status_code == 409
    part = field_part(answer.text, "least_thickness")
    assert "2 1/4 in" in part.partition('class="both"')[2]
    assert 'value="2 3/4 in"' in part
    wishes = tomllib.loads(store.job(job).folder_texts.job_toml)["wishes"]
    assert wishes["least_thickness"] == "2 1/4 in"
    assert wishes["set_to"] == "1/4 in", "what nobody else touched is kept"
    (entry,) = store.tray(job)
    assert entry.event.body["value"] == "2 3/4 in"
    # Knowing both, the person presses once more.
    again = {**form_of(answer.text), "based_on": based_on(answer.text)}
    assert desk.post(path, again).status_code == 303
    wishes = tomllib.loads(store.job(job).folder_texts.job_toml)["wishes"]
    assert wishes["least_thickness"] == "2 3/4 in"


def test_edits_of_different_things_do_not_meet(desk: Browser, app: FastAPI, store: Store) -> None:
    job = known_job(app, "Bay", BAY, None)
    path = f"/jobs/{job}/facts/wishes"
    form = form_of(desk.get(path).text)
    for change in ({"set_to": "1/4 in"}, {"straightedge": "10 ft"}):
        assert desk.post(path, {**form, **change, "based_on": "1"}).status_code == 303
        form |= change
    wishes = tomllib.loads(store.job(job).folder_texts.job_toml)["wishes"]
    assert (wishes["set_to"], wishes["straightedge"]) == ("1/4 in", "10 ft")


def test_a_part_of_a_list_is_added_and_taken_out(desk: Browser, app: FastAPI, store: Store) -> None:
    job = known_job(app, "Bay", BAY, None)
    path = f"/jobs/{job}/facts/zone/new"
    page = desk.get(path).text
    half = desk.post(path, {**form_of(page), "name": "lift bay", "based_on": based_on(page)})
    assert half.status_code == 400
    assert "fault-what" in field_part(half.text, "corners")
    assert 'value="lift bay"' in half.text
    whole = {
        **form_of(half.text),
        "corners": "2 ft, 2 ft\n6 ft, 2 ft\n6 ft, 6 ft",
        "least_fall": "1/8 in/ft",
        "based_on": based_on(half.text),
    }
    assert desk.post(path, whole).headers["location"] == f"/jobs/{job}/facts"
    assert "lift bay" in desk.get(f"/jobs/{job}/facts").text
    assert store.job(job).trouble == ()
    there = f"/jobs/{job}/facts/zone/0"
    version = based_on(desk.get(there).text)
    assert desk.post(there, {"remove": "1", "based_on": version}).status_code == 303
    assert not tomllib.loads(store.job(job).folder_texts.job_toml).get("zone")
    assert desk.post(f"/jobs/{job}/undo").status_code == 303
    assert "lift bay" in desk.get(f"/jobs/{job}/facts").text


def test_what_lies_beside_the_concrete_is_asked_for_and_taken_out(
    desk: Browser, app: FastAPI, store: Store
) -> None:
    job = known_job(app, "Bay", BAY, None)
    assert f"/jobs/{job}/facts/steel" in desk.get(f"/jobs/{job}/facts").text
    assert f"/jobs/{job}/facts/steel/wire" in desk.get(f"/jobs/{job}/facts/steel").text
    path = f"/jobs/{job}/facts/breaker"
    page = desk.get(path).text
    assert 'name="remove"' not in page
    half = desk.post(path, {**form_of(page), "what": "sheet", "based_on": based_on(page)})
    assert half.status_code == 400
    assert "fault-what" in field_part(half.text, "roll_width")
    given = {"roll_length": "100 ft", "roll_width": "12 ft", "lap": "6 in"}
    whole = {**form_of(half.text), **given, "based_on": based_on(half.text)}
    assert desk.post(path, whole).status_code == 303
    assert store.job(job).trouble == ()
    kept = tomllib.loads(store.job(job).folder_texts.job_toml)["breaker"]
    assert {key: kept[key] for key in ("what", *given)} == {"what": "sheet", **given}
    page = desk.get(path).text
    assert 'name="remove"' in page
    assert desk.post(path, {"remove": "1", "based_on": based_on(page)}).status_code == 303
    assert "breaker" not in tomllib.loads(store.job(job).folder_texts.job_toml)
    assert store.job(job).trouble == ()


def test_prices_are_kept_in_their_own_file(desk: Browser, app: FastAPI, store: Store) -> None:
    job = known_job(app, "Bay", BAY, None)
    path = f"/jobs/{job}/facts/rates/concrete"
    form = form_of(desk.get(path).text)
    wrong = desk.post(path, {**form, "price_per_yd3": "a lot", "based_on": "1"})
    assert wrong.status_code == 400
    assert "fault-what" in field_part(wrong.text, "price_per_yd3")
    assert desk.post(path, {**form, "price_per_yd3": "$190", "based_on": "1"}).status_code == 303
    (last,) = store.events(job, since=1)
    assert last.event.kind == "rates-set"
    rates = tomllib.loads(store.job(job).folder_texts.rates_toml)
    assert rates["concrete"]["price_per_yd3"] == "$190"


HOSTILE = (
    "<script>alert(1)</script>",
    '"><img src=x onerror=alert(1)>',
    "{{7*7}}",
    "' OR 1=1--",
    "\u202eevil",
    "x" * 5000,
)


@pytest.mark.parametrize("text", HOSTILE, ids=range(len(HOSTILE)))
def test_hostile_text_is_only_text(desk: Browser, app: FastAPI, text: str) -> None:
    job = known_job(app, "Bay", BAY, None)
    path = f"/jobs/{job}/facts/job"
    form = form_of(desk.get(path).text)
    answer = desk.post(path, {**form, "place": text, "based_on": "1"})
    assert answer.status_code in (303, 400)
    for page in (answer.text, desk.get(path).text, desk.get(f"/jobs/{job}/history").text):
        assert "<script>alert" not in page
        assert "<img src=x" not in page
        assert text != "{{7*7}}" or ">49<" not in page.replace(" ", "")
    typed = html.unescape(field_part(desk.get(path).text, "place"))
    if answer.status_code == 303:
        assert text in typed


def test_a_file_that_is_broken_by_hand_is_told_and_not_written_over(
    desk: Browser, app: FastAPI, store: Store
) -> None:
    job = known_job(app, "Bay", FolderTexts("[job\n", BAY.shots_csv, BAY.rates_toml), None)
    page = desk.get(f"/jobs/{job}/facts/wishes")
    assert page.status_code == 200
    fields = {"least_fall": "1/8 in/ft", "based_on": "1"}
    answer = desk.post(f"/jobs/{job}/facts/wishes", fields)
    assert answer.status_code == 400
    assert "mended first" in answer.text
    assert 'value="1/8 in/ft"' in answer.text
    assert store.version(job) == 1


def test_a_new_job_asks_for_what_it_needs(desk: Browser) -> None:
    answer = desk.post("/jobs/new", {"name": " ", "place": "", "rod": "cubits", "date": "soon"})
    assert answer.status_code == 400
    for key in ("name", "place", "date"):
        assert "fault-what" in field_part(answer.text, key)
    assert 'value="soon"' in answer.text


def test_the_role_of_every_page_is_named() -> None:
    for route in rooms.router.routes:
        assert isinstance(route, GuardedRoute)
        assert Role.CUSTOMER not in route.roles
        assert Role.NOBODY not in route.roles
        if "POST" in (route.methods or ()):
            assert route.roles == {Role.OFFICE}


def test_faults_carry_four_parts() -> None:
    found = faults.SECTION_UNKNOWN.met(value="x")
    assert isinstance(found, Fault)
    assert all((found.what, found.value, found.limit, found.remedy))
