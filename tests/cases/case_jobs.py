"""What the jobs of the surprise cases are made of, and how a test walks one.

Every floor is flat or made of planes, and every reading is exact to the mark of the rod, so that
volumes and heights follow by hand.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from functools import cache
from pathlib import Path
from typing import Any

from overslab.ground.units import System, Units, write_length, write_reading
from overslab.job import Job, Walk, read_job, walk
from overslab.job.reading import read_texts
from overslab.job.records import FolderTexts, Rooms
from overslab.job.walking import walk_to

JOBS = Path(__file__).resolve().parents[1] / "jobs"
FOOT_M, INCH_M = 0.3048, 0.0254
YARD3_M3 = 0.9144**3
MARKS: dict[System, float] = {"feet-inches": INCH_M / 16, "tenths": 0.003048, "metric": 0.001}
Inches = Callable[[float, float], float]  # x, y in feet -> inches above 100 ft

SQUARE = ((0, 0), (24, 0), (24, 24), (0, 24))
GOOD: dict[str, Any] = {
    "sounded": "yes",
    "stands_on": "ground",
    "cause": "fill that was never tamped",
    "cause_cured": "yes",
    "still_moving": "no",
    "undermined": "no",
    "frost_heave": "no",
    "freezes": "no",
    "deicers": "no",
    "water_from": ["vehicles"],
    "sheet_test": "dry",
    "hose_test": "stays away",
    "surface": ["clean"],
    "profile": 7,
    "pull_off": "200 psi",
    "thickness": "4 in",
    "strength": "3000 psi",
    "heating_pipes": "no",
    "tendons": "no",
    "lift_posts": "no",
}
WISHES: dict[str, Any] = {
    "water_to": ["door"],
    "least_thickness": "3 in",
    "least_fall": "1/8 in/ft",
    "greatest_fall": "1/2 in/ft",
    "straightedge": "12 ft",
    "set_to": "1/16 in",
    "kinds": ["plane"],
}
DOOR: dict[str, Any] = {
    "name": "door",
    "kind": "overhead",
    "ends": [["6 ft", "0 ft"], ["18 ft", "0 ft"]],
    "sill": "100 ft",
    "may_rise": "0",
    "may_drop": "0",
    "lets_water_out_today": True,
}
MIX: dict[str, Any] = {
    "strength": "4000 psi",
    "stone": "3/4 in",
    "slump": "4 in",
    "air": "0%",
    "water_cement": 0.50,
    "steel": "no",
    "fibre": "none",
    "reducer": "none",
    "discharge_within": 90,
}
RATES = """\
# Invented prices of an invented plant.
currency = "$"
price_date = 2026-01-05

[concrete]
price_per_yd3 = "$165"

[truck]
full_load = "10 yd3"
least_load = "4 yd3"
short_load_charge = "$150"
order_step = "0.5 yd3"

[risk]
running_short = "$700"
leftover_per_yd3 = "$40"

[losses]
usual = "4%"
give_or_take = "2%"
"""
METRIC_RATES = RATES.replace("yd3", "m3").replace('"10 m3"', '"8 m3"').replace('"4 m3"', '"3 m3"')


def toml(value: object) -> str:
    if isinstance(value, bool):
        return str(value).lower()
    if isinstance(value, str):
        return f'"{value}"'
    if isinstance(value, list | tuple):
        return f"[{', '.join(toml(one) for one in value)}]"
    return str(value)


def section(head: str, facts: Mapping[str, object]) -> str:
    return "\n".join([head, *(f"{key} = {toml(value)}" for key, value in facts.items())]) + "\n"


@dataclass
class Book:
    """A field book of exact readings; ``instrument`` is the beam's height in inches over 100 ft."""

    units: System = "feet-inches"
    instrument: float = 48.0
    setup: str = "1"
    rows: list[str] = field(default_factory=list)

    def read(
        self,
        point: str,
        inches: float,
        kind: str,
        at: tuple[float, float] | None = None,
        *,
        note: str = "",
        typed: str = "",
    ) -> None:
        """One line; ``typed`` is what the crew wrote where it is not what the rod showed."""
        rod = Units(self.units, MARKS[self.units])
        plan = Units("feet-inches" if self.units == "feet-inches" else self.units, rod.mark_m)
        place = [write_length(part * FOOT_M, plan) for part in at] if at else ["", ""]
        shown = write_reading((self.instrument - inches) * INCH_M, rod)
        self.rows.append(",".join([point, *place, self.setup, typed or shown, kind, note]))

    def marks(self) -> None:
        """Both benchmarks, as at the start and the end of every set-up."""
        self.read("BM1", 0.0, "benchmark")
        self.read("BM2", 6.0, "benchmark")

    def grid(
        self,
        floor: Inches,
        xs: tuple[float, ...] = (0.25, 6, 12, 18, 23.75),
        ys: tuple[float, ...] = (0.25, 6, 12, 18, 23.75),
        *,
        name: str = "G",
        typed: Mapping[str, str] | None = None,
    ) -> None:
        for x in xs:
            for y in ys:
                point = f"{name}{x:g}-{y:g}".replace(".", "_")
                self.read(point, floor(x, y), "floor", (x, y), typed=(typed or {}).get(point, ""))

    def text(self, title: str) -> str:
        head = [f"# {title}: an invented field book.", "point,x,y,setup,reading,kind,note"]
        return "\n".join([*head, *self.rows]) + "\n"


def places(corners: tuple[tuple[float, float], ...], unit: str = "ft") -> list[list[str]]:
    return [[f"{x:g} {unit}", f"{y:g} {unit}"] for x, y in corners]


def flat(inches: float) -> Inches:
    return lambda _x, _y: inches


def shot(floor: Inches, *, marks_again: bool = True) -> Book:
    """The usual book: both benchmarks, a 6 ft grid, both benchmarks again."""
    book = Book()
    book.marks()
    book.grid(floor)
    if marks_again:
        book.marks()
    return book


def job(
    title: str,
    book: Book,
    *,
    story: str,
    outline: tuple[tuple[float, float], ...] = SQUARE,
    touches: tuple[tuple[str, Mapping[str, object]], ...] = (("[[door]]", DOOR),),
    findings: Mapping[str, object] | None = None,
    wishes: Mapping[str, object] | None = None,
    mix: Mapping[str, object] | None = None,
) -> dict[str, str]:
    """The three files of one case; the mappings change what is usual here."""
    system = book.units
    metric = system == "metric"
    parts = [
        f"# {title}: an invented job of no real place, people or firm.\n# {story}\n",
        section(
            "[job]",
            {"name": title, "place": "Invented place"},
        )
        + f'date = 2026-03-02\nunits = "{system}"\nmade_up = true\n',
        section(
            "[survey]",
            {
                "rod": system,
                "resolution": {"feet-inches": "1/16 in", "tenths": "0.01 ft", "metric": "1 mm"}[
                    system
                ],
                "rod_error": "0.5 mm" if metric else "1/64 in",
                "laser": "1 mm per 30 m" if metric else "1/32 in per 100 ft",
            },
        ),
        section(
            "[[survey.benchmark]]",
            {"name": "BM1", "height": "30480 mm" if metric else "100 ft", "where": "nail, north"},
        ),
        section(
            "[[survey.benchmark]]",
            {
                "name": "BM2",
                "height": "30632 mm" if metric else "100.5 ft",
                "where": "bolt in the yard wall, outside every pour",
            },
        ),
        section("[floor]", {"outline": places(outline, "m" if metric else "ft")}),
        *(section(head, facts) for head, facts in touches),
        section("[findings]", {**GOOD, **(findings or {})}),
        section("[wishes]", {**WISHES, **(wishes or {})}),
        section("[mix]", {**MIX, **(mix or {})}),
    ]
    return {
        "job.toml": "\n".join(parts),
        "shots.csv": book.text(title),
        "rates.toml": METRIC_RATES if metric else RATES,
    }


def read_case(number: int) -> Job:
    """The case as it lies in ``tests/jobs``."""
    (folder,) = JOBS.glob(f"case-{number:02d}-*")
    return read_job(folder)


@cache
def walked(number: int) -> Walk:
    """The whole walk of a case; made once for all tests of a run."""
    return walk(read_case(number))


@cache
def rooms_to(number: int, last: str) -> Rooms:
    """The rooms of a case up to ``last``."""
    return walk_to(read_case(number), last=last)


def read_again(texts: Mapping[str, str]) -> Job:
    """A job out of texts, for what a case becomes when one line of it changes."""
    return read_texts(FolderTexts(texts["job.toml"], texts["shots.csv"], texts["rates.toml"]))


def yards(volume_m3: float) -> float:
    return volume_m3 / YARD3_M3


def inches_up(height_m: float) -> float:
    """A height above the datum as inches above 100 ft, as the floors here are given."""
    return (height_m - 100 * FOOT_M) / INCH_M
