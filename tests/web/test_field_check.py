"""The phone's own first look at a shot, and the point it proposes next, run in a real browser."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

import pytest
from field_site import CHROMIUM, bay_toml, player
from playwright.sync_api import Page

from overslab.faces.web.field.crewdata import crew_job
from overslab.faces.web.field.floor import grid_of, read_floor
from overslab.faces.web.statics import statics
from overslab.ground.units import read_rod_m
from overslab.job import FolderTexts, sample_folder, sample_names
from overslab.job.store import StoredJob, Thing
from overslab.job.store.book import rows_of

LOOK = """async ([data, changes]) => {
  const { look } = await import("/static/field/check.js");
  const asked = [];
  // As typed: every shot is looked at with those before it, and with nothing that comes later.
  for (let n = 0; n < data.shots.length; n += 1) {
    const rows = data.shots.slice(0, n + 1).map((row) => ({ ...row }));
    if (changes[n] !== undefined) rows[n].reading_m += changes[n];
    else if (Object.keys(changes).length) continue;
    const odd = look(rows[n], rows, data);
    if (odd) asked.push([n, odd.slip, odd.instead_m]);
  }
  return asked;
}"""
NEXT = """async ([grid, trail, done]) => {
  const { nextPoint } = await import("/static/field/walk.js");
  const points = new Map(grid.map((point) => [point.label, point]));
  return nextPoint(grid, new Set(done), trail.map((label) => points.get(label)))?.label ?? "";
}"""


@pytest.fixture(scope="module")
def page() -> Iterator[Page]:
    """A page that has our scripts and nothing else."""
    with player() as play:
        opened = play.chromium.launch(executable_path=CHROMIUM, args=["--no-sandbox"])
        made = opened.new_page()
        files = {f"http://localhost/static/{path}": file for path, file in statics().items()}

        def answer(route: Any) -> None:
            file = files.get(route.request.url)
            body = file.content if file else b"<!doctype html>"
            route.fulfill(body=body, content_type=file.kind if file else "text/html")

        made.route("**/*", answer)
        made.goto("http://localhost/")
        yield made
        opened.close()


def told(name: str) -> dict[str, Any]:
    """A sample as a phone has it, every line of its book a shot."""
    folder = sample_folder(name)
    texts = FolderTexts(*((folder / f).read_text("utf-8") for f in ("job.toml", "shots.csv")), "")
    things = tuple(
        Thing(
            id=f"{line:032x}",
            kind="shot",
            event=f"{line:032x}",
            body=dict(cells),
            struck=False,
            who="",
            made_at="",
        )
        for line, cells in rows_of(texts.shots_csv)
    )
    stored = StoredJob(
        id="0" * 32,
        name=name,
        version=1,
        updated_at="",
        sample=True,
        state="open",
        folder_texts=texts,
        things=things,
        skipped=(),
        trouble=(),
    )
    return crew_job(stored, ())


@pytest.mark.parametrize("name", sample_names())
def test_a_good_book_raises_no_question(page: Page, name: str) -> None:
    data = told(name)
    assert len(data["shots"]) > 10
    assert page.evaluate(LOOK, [data, {}]) == []


@pytest.mark.parametrize(
    ("name", "slip_m", "says", "least"),
    [
        ("farm-shop", 0.3048, "a whole foot", 0.85),
        ("farm-shop", -0.3048, "a whole foot", 0.85),
        ("thin-patio", 0.3048, "a whole foot", 0.85),
        ("thin-patio", -0.03048, "a tenth of a foot", 0.6),
        ("farm-shop", 0.0254, "one inch", 0.6),
    ],
)
def test_a_slip_is_asked_about_while_the_rod_stands_there(
    page: Page, name: str, slip_m: float, says: str, least: float
) -> None:
    """Most planted slips; the first shots of a floor have no neighbours that could tell."""
    data = told(name)
    floor = [n for n, shot in enumerate(data["shots"]) if shot["kind"] == "floor" and n > 12]
    right = {n: data["shots"][n]["reading_m"] for n in floor}
    found = page.evaluate(LOOK, [data, {str(n): slip_m for n in floor}])
    assert len(found) >= least * len(floor)
    named = [one for one in found if one[1]]
    assert {one[1] for one in named} == {says}, "no slip is named that was not made"
    assert len(named) >= 0.8 * len(found)
    for n, _, instead_m in named:
        assert instead_m == pytest.approx(right[n], abs=1e-6)


def test_readings_carry_over_from_set_up_to_set_up(page: Page) -> None:
    """By hand: TP reads 4 from the first stand and 5 from the second, which so stands 1 higher."""
    rows = [
        {"setup": "1", "point": "TP", "kind": "turn", "reading_m": 4.0},
        {"setup": "1", "point": "A", "kind": "floor", "reading_m": 6.0},
        {"setup": "2", "point": "TP", "kind": "turn", "reading_m": 5.0},
        {"setup": "3", "point": "A", "kind": "floor", "reading_m": 2.5},
        {"setup": "4", "point": "Z", "kind": "floor", "reading_m": 9.0},
    ]
    at = page.evaluate(
        "async (rows) => [...(await import('/static/field/check.js')).instruments(rows, {})]", rows
    )
    heights = dict(at)
    assert heights["2"] - heights["1"] == pytest.approx(1.0)
    assert heights["3"] - heights["1"] == pytest.approx(-3.5)
    assert "4" not in heights, "nothing ties the fourth stand to the others"


def proposed(page: Page, trail: list[str], *, more: tuple[str, ...] = ()) -> str:
    grid = grid_of(read_floor(bay_toml()))
    answer: str = page.evaluate(NEXT, [grid, trail, [*trail, *more]])
    return answer


@pytest.mark.parametrize(
    ("trail", "more", "wanted"),
    [
        ([], (), "A1"),
        (["A1"], (), "A2"),
        (["A10"], (), "A9"),
        (["A1", "A2", "A3"], ("A4",), "A5"),
        ([f"A{n}" for n in range(1, 11)], (), "B10"),
        ([*(f"A{n}" for n in range(1, 11)), "B10"], (), "B9"),
        # Walking along the letters is taken up as well.
        (["A1", "B1", "C1"], (), "D1"),
        (["A1", "B1", "C1", "D1", "E1", "F1"], (), "F2"),
        # From the far end back.
        (["F10", "F9", "F8"], (), "F7"),
        ([f"F{n}" for n in range(10, 0, -1)], (), "E1"),
    ],
)
def test_the_next_point_follows_the_way_the_crew_walks(
    page: Page, trail: list[str], more: tuple[str, ...], wanted: str
) -> None:
    assert proposed(page, trail, more=more) == wanted


def test_wherever_the_crew_begins_every_point_is_proposed_once(page: Page) -> None:
    grid = [one["label"] for one in grid_of(read_floor(bay_toml()))]
    for begin in ("A1", "C5", "F10"):
        trail = [begin]
        while following := proposed(page, trail):
            assert following not in trail
            trail.append(following)
        assert sorted(trail) == sorted(grid)


def test_keys_of_every_convention_say_what_the_rod_says(page: Page) -> None:
    """Each reading made of keys is written so that the laptop reads the same value."""
    keyed = page.evaluate(
        """async () => {
          const { Entry } = await import("/static/field/pad.js");
          const found = [];
          for (const [system, step] of [["feet-inches", 0.0254 / 16], ["feet-inches", 0.0254 / 8],
            ["tenths", 0.003048], ["tenths", 0.01524], ["metric", 0.001], ["metric", 0.005]]) {
            const entry = new Entry(system, step);
            entry.parts.forEach((part, i) => entry.tap(i, part.values[Math.min(3, part.values.length - 1)]));
            found.push([system, entry.text, entry.value_m, entry.parts.length]);
          }
          return found;
        }"""  # noqa: E501
    )
    assert [one[1] for one in keyed] == [
        "3' 3 3/16\"", "3' 3 3/8\"", "3.33 ft", "3.35 ft", "3.333 m", "3.335 m",
    ]  # fmt: skip
    for system, text, value_m, parts in keyed:
        assert read_rod_m(text, system=system) == pytest.approx(value_m, abs=1e-9)
        assert parts == (4 if system == "metric" else 3)
