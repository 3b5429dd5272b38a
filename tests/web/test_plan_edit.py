"""Drawing on the plan: what is typed goes into job.toml, and what is wrong is told beside it."""

from __future__ import annotations

import re
import tomllib
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from plan_site import JOB, plan_app
from plan_site import TEXTS as BAY
from web_site import Browser, browser

from overslab.job.store import Store

FT = 0.3048
SQUARE = [("3 ft", "6 ft"), ("5 ft", "6 ft"), ("5 ft", "8 ft"), ("3 ft", "8 ft")]
HOLLOW = "drum <b>spot</b>"


@pytest.fixture
def bay_job(store: Store) -> str:
    return store.begin("Small bay", who="office", texts=BAY)


@pytest.fixture
def desk(store: Store, bay_job: str, tmp_path: Path) -> Iterator[Browser]:
    assert bay_job
    app = plan_app(store, tmp_path)
    yield browser(app)
    app.state.site.doors.close()


def send(desk: Browser, job: str, rows: list[tuple[str, str]], **fields: Any) -> Any:
    token = re.search(r'name="form-token" content="(\w+)"', desk.get(f"/jobs/{job}/plan/edit").text)
    assert token is not None
    data: dict[str, Any] = {"form_token": token[1], "do": "save", "based_on": "1", **fields}
    data |= {"x": [x for x, _ in rows], "y": [y for _, y in rows]}
    return desk.client.post(
        f"/jobs/{job}/plan/edit",
        data=data,
        headers={"Origin": desk.origin, "Sec-Fetch-Site": "same-origin"},
        follow_redirects=False,
    )


def facts(store: Store, job: str) -> dict[str, Any]:
    return tomllib.loads(store.job(job).folder_texts.job_toml)


def test_a_moved_break_changes_that_line_and_no_other(
    desk: Browser, bay_job: str, store: Store
) -> None:
    rows = [("12 ft", "0 ft"), ("11 ft 6 in", "5 ft"), ("11 ft", "10 ft")]
    answer = send(desk, bay_job, rows, thing="break", was="crack K", name="crack K")
    assert answer.status_code == 303
    after = store.job(bay_job).folder_texts.job_toml.splitlines()
    before = JOB.splitlines()
    assert len(after) == len(before)
    changed = [(old, new) for old, new in zip(before, after, strict=True) if old != new]
    assert [old for old, _ in changed] == ['line = [["12 ft", "0 ft"], ["11 ft", "10 ft"]]']
    assert tomllib.loads(changed[0][1])["line"] == [list(row) for row in rows]
    page = desk.get(answer.headers["location"]).text
    assert "Kept: crack K" in page
    again = desk.get(f"/jobs/{bay_job}/plan/edit?thing=break&name=crack+K").text
    assert 'value="11 ft 6 in"' in again


def test_the_outline_keeps_the_owners_remark(desk: Browser, bay_job: str, store: Store) -> None:
    rows = [("0 ft", "0 ft"), ("20 ft", "0 ft"), ("20 ft", "10 ft"), ("0 ft", "10 ft")]
    notched = [*rows[:2], ("20 ft", "6 ft"), ("18 ft", "6 ft"), ("18 ft", "10 ft"), rows[3]]
    # The back door stands along edge 3, which is now the notch: that is told, and it may be kept.
    answer = send(desk, bay_job, notched, thing="outline", was="outline")
    assert answer.status_code == 400
    assert "back door" in answer.text
    assert "Keep it with these faults" in answer.text
    assert facts(store, bay_job)["floor"]["outline"] == [list(row) for row in rows]
    answer = send(desk, bay_job, notched, thing="outline", was="outline", do="keep")
    assert answer.status_code == 303
    assert facts(store, bay_job)["floor"]["outline"] == [list(row) for row in notched]
    assert "# measured twice" in store.job(bay_job).folder_texts.job_toml
    assert "back door" in desk.get(answer.headers["location"]).text


def test_a_hollow_spot_comes_is_renamed_and_goes(desk: Browser, bay_job: str, store: Store) -> None:
    rows = [("15 ft", "2 ft"), ("17 ft", "2 ft"), ("16 ft", "4 ft")]
    new = {"thing": "hollow", "was": "", "name": "by the post", "entry-found_by": "chain"}
    assert send(desk, bay_job, rows, **new).status_code == 303
    held = facts(store, bay_job)["hollow"]
    wanted = {"name": "by the post", "found_by": "chain", "corners": [list(row) for row in rows]}
    assert held[1] == wanted
    fields = {"thing": "hollow", "was": "by the post", "based_on": "2"}
    more = {"name": "post", "entry-found_by": ""}
    assert send(desk, bay_job, rows, **fields, **more).status_code == 303
    assert facts(store, bay_job)["hollow"][1] == {
        "name": "post",
        "corners": [list(row) for row in rows],
    }
    version = str(store.version(bay_job))
    gone = {"thing": "hollow", "was": "post", "name": "post", "do": "remove", "based_on": version}
    assert send(desk, bay_job, rows, **gone).status_code == 303
    assert [one["name"] for one in facts(store, bay_job)["hollow"]] == [HOLLOW]
    assert store.job(bay_job).trouble == ()


def test_doors_by_ends_and_by_edge(desk: Browser, bay_job: str, store: Store) -> None:
    fields = {"thing": "door", "was": "back door", "name": "back door"}
    typed = {"edge": "3", "offset": "4 ft 3 in", "width": "3 ft"}
    entries = {f"entry-{key}": value for key, value in typed.items()}
    rest = {
        "entry-kind": "",
        "entry-sill": "99 ft 11 in",
        "entry-may_rise": "4 in",
        "entry-may_drop": "4 in",
        "entry-lets_water_out_today": "false",
    }
    assert send(desk, bay_job, [], **fields, **entries, **rest).status_code == 303
    door = facts(store, bay_job)["door"][1]
    assert (door["edge"], door["offset"], door["width"]) == (3, "4 ft 3 in", "3 ft")
    assert store.version(bay_job) == 2  # one thing changed, one entry
    rows = [("20 ft", "2 ft"), ("20 ft", "5 ft")]
    new = {"thing": "door", "was": "", "name": "side door", **rest}
    new |= {"entry-lets_water_out_today": "", "based_on": "2"}
    refused = send(desk, bay_job, rows, **new)
    assert refused.status_code == 400
    assert "lets_water_out_today" in refused.text
    new["entry-lets_water_out_today"] = "true"
    assert send(desk, bay_job, rows, **new).status_code == 303
    assert facts(store, bay_job)["door"][2]["ends"] == [list(row) for row in rows]
    assert facts(store, bay_job)["door"][2]["lets_water_out_today"] is True
    assert store.job(bay_job).trouble == ()


def test_a_stale_change_is_refused_with_both_texts(
    desk: Browser, bay_job: str, store: Store
) -> None:
    theirs = [["3 ft", "5 ft"], *[list(row) for row in SQUARE[1:]]]
    body = {"path": ["hollow", HOLLOW, "corners"], "value": theirs}
    store.change(bay_job, based_on=1, kind="fact-set", body=body, who="someone else")
    mine = [("3 ft", "6 ft 6 in"), *SQUARE[1:]]
    fields = {"thing": "hollow", "was": HOLLOW, "name": HOLLOW, "entry-found_by": "hammer"}
    answer = send(desk, bay_job, mine, **fields)
    assert answer.status_code == 409
    both = answer.text[answer.text.index("Yours, still in the form") :]
    assert "6 ft 6 in" in both[: both.index("Theirs, kept")]
    assert "5 ft" in both[both.index("Theirs, kept") : both.index("Save again")]
    assert facts(store, bay_job)["hollow"][0]["corners"] == theirs
    assert 'value="6 ft 6 in"' in answer.text
    based_on = re.search(r'name="based_on" value="(\d+)"', answer.text)
    assert based_on is not None
    # Saved again from that page it is done knowingly.
    assert send(desk, bay_job, mine, **fields, based_on=based_on[1]).status_code == 303
    assert facts(store, bay_job)["hollow"][0]["corners"][0] == ["3 ft", "6 ft 6 in"]


def row_of(page: str, number: int) -> str:
    rows = page.split('<li class="plan-row')[1:]
    return rows[number].split("</li>")[0]


def test_faults_stand_beside_the_corner_they_are_about(
    desk: Browser, bay_job: str, store: Store
) -> None:
    rows = [SQUARE[0], ("5 feets", "6 ft"), SQUARE[2], ("3", "8 ft")]
    fields = {"thing": "hollow", "was": HOLLOW, "name": HOLLOW, "entry-found_by": "hammer"}
    answer = send(desk, bay_job, rows, **fields)
    assert answer.status_code == 400
    assert "5 feets" in row_of(answer.text, 1)
    assert "do next" in row_of(answer.text, 1)
    assert "do next" in row_of(answer.text, 3)
    assert "do next" not in row_of(answer.text, 0)
    assert "do next" not in row_of(answer.text, 2)
    assert 'value="5 feets"' in answer.text
    # Such a corner is not kept even by somebody who insists.
    assert "Keep it with these faults" not in answer.text
    assert send(desk, bay_job, rows, **fields, do="keep").status_code == 400
    assert store.version(bay_job) == 1


def test_an_outline_that_crosses_itself_is_told(desk: Browser, bay_job: str, store: Store) -> None:
    rows = [("0 ft", "0 ft"), ("20 ft", "10 ft"), ("20 ft", "0 ft"), ("0 ft", "10 ft")]
    answer = send(desk, bay_job, rows, thing="outline", was="outline")
    assert answer.status_code == 400
    assert "crosses or touches itself" in answer.text
    assert store.version(bay_job) == 1


@pytest.mark.parametrize(
    ("name", "code"), [("", "it has no name yet"), ("crack K", "there is one of that name already")]
)
def test_a_new_thing_needs_a_name_of_its_own(
    desk: Browser, bay_job: str, store: Store, name: str, code: str
) -> None:
    rows = [("4 ft", "0 ft"), ("4 ft", "10 ft")]
    fields = {"thing": "break", "was": "", "name": name, "entry-kind": "crack", "do": "keep"}
    answer = send(desk, bay_job, rows, **fields)
    assert answer.status_code == 400
    assert code in answer.text[answer.text.index('id="w-name"') :]
    assert store.version(bay_job) == 1


def test_rows_come_go_and_change_places_without_a_script(
    desk: Browser, bay_job: str, store: Store
) -> None:
    fields = {"thing": "hollow", "was": HOLLOW, "name": HOLLOW, "entry-found_by": "hammer"}

    def after(order: str) -> list[str]:
        page = send(desk, bay_job, SQUARE, **fields, do=order).text
        return re.findall(r'name="x" value="([^"]*)" .*?\n.*?name="y" value="([^"]*)"', page)

    assert after("add:1") == [*SQUARE[:2], ("", ""), *SQUARE[2:]]
    assert after("drop:0") == SQUARE[1:]
    assert after("up:2") == [SQUARE[0], SQUARE[2], SQUARE[1], SQUARE[3]]
    assert after("down:0") == [SQUARE[1], SQUARE[0], *SQUARE[2:]]
    for nothing in ("up:0", "down:3", "drop:9", "add:x", "drop:-1"):
        assert after(nothing) == SQUARE
    assert store.version(bay_job) == 1


def look(desk: Browser, job: str, **more: Any) -> Any:
    asked = {"thing": "hollow", "was": HOLLOW, "name": HOLLOW, "rows": SQUARE} | more
    return desk.post(f"/jobs/{job}/plan/edit/look", json=asked, headers={"Accept": "x"})


def test_a_look_tells_places_and_faults_and_keeps_nothing(
    desk: Browser, bay_job: str, store: Store
) -> None:
    told = look(desk, bay_job, rows=[["B2", ""], ["5 ft", "72 in"], ["half", "8 ft"]]).json()
    assert told["spots"][0] == pytest.approx([4 * FT, 5 * FT])
    assert told["spots"][1] == pytest.approx([5 * FT, 6 * FT])
    assert told["spots"][2] is None
    assert list(told["rows"]) == ["2"]
    assert set(told["rows"]["2"][0]) == {"code", "what", "value", "limit", "remedy", "place"}
    assert store.version(bay_job) == 1


def test_broken_questions_are_refused(desk: Browser, bay_job: str) -> None:
    assert look(desk, bay_job, rows=[["1 ft"]]).status_code == 400
    assert look(desk, bay_job, rows=[["1 ft", "1 ft"]] * 61).status_code == 400
    assert look(desk, bay_job, thing="rates").status_code == 404
    assert desk.get(f"/jobs/{bay_job}/plan/edit?thing=wishes").status_code == 404
    assert desk.get(f"/jobs/{bay_job}/plan/edit?thing=door&name=none").status_code == 404
    answer = send(desk, bay_job, SQUARE, thing="hollow", was="long gone", name="long gone")
    assert answer.status_code == 400


def test_a_job_without_a_floor_can_be_drawn(desk: Browser, store: Store) -> None:
    job = store.begin("Blank", who="office")
    page = desk.get(f"/jobs/{job}/plan/edit?thing=outline")
    assert page.status_code == 200
    rows = [("0", "0"), ("12 ft", "0"), ("12 ft", "9 ft"), ("0", "9 ft")]
    version = str(store.version(job))
    fields = {"thing": "outline", "was": "outline", "based_on": version, "do": "keep"}
    assert send(desk, job, rows, **fields).status_code == 303
    assert facts(store, job)["floor"]["outline"] == [list(row) for row in rows]
