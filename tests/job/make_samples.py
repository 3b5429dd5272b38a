"""Makes the field books of the sample jobs from invented floors of known shape.

Every floor here is a smooth made-up surface, "read" by a made-up crew: a small error on each
reading, then rounding to the mark of the rod. The shipped ``shots.csv`` files are exactly what this
prints (a test holds them to it), so the true floor under every sample is known and volumes can be
compared.

    python tests/job/make_samples.py        # writes the files anew
"""

from __future__ import annotations

import io
import math
import random
from collections.abc import Callable
from dataclasses import dataclass, field
from pathlib import Path

from overslab.ground.units import Units, write_length, write_reading

ROOT = Path(__file__).resolve().parents[2]
SAMPLES = ROOT / "src" / "overslab" / "job" / "samples"
STARTER = ROOT / "src" / "overslab" / "job" / "starter"
JOBS = ROOT / "tests" / "jobs"

FOOT_M, INCH_M = 0.3048, 0.0254
SHOTS_BETWEEN_CHECKS = 18
Floor = Callable[[float, float], float]  # x, y in metres -> height in metres above the datum


@dataclass
class Crew:
    """Reads a rod on a floor of known shape and writes the field book."""

    floor: Floor
    rod: Units
    plan: Units
    error_m: float  # standard deviation of one reading before rounding
    seed: int
    hand: random.Random = field(init=False)
    rows: list[list[str]] = field(init=False, default_factory=list)
    setup: str = field(init=False, default="")
    instrument_m: float = field(init=False, default=0.0)
    check: tuple[str, float] = field(init=False, default=("", 0.0))
    since: int = field(init=False, default=0)

    def __post_init__(self) -> None:
        self.hand = random.Random(self.seed)

    def stand(self, setup: str, instrument_m: float, *, check: tuple[str, float]) -> None:
        """A new set-up; ``check`` is the benchmark read again every so often, and its height."""
        self.setup, self.instrument_m, self.check, self.since = setup, instrument_m, check, 0

    def read(
        self,
        point: str,
        kind: str,
        height_m: float,
        *,
        at: tuple[float, float] | None = None,
        note: str = "",
    ) -> None:
        if self.since == SHOTS_BETWEEN_CHECKS:
            self.since = 0
            self.read(self.check[0], "check", self.check[1], note="check")
        self.since = 0 if kind in ("check", "benchmark") else self.since + 1
        reading = self.instrument_m - height_m + self.hand.gauss(0.0, self.error_m)
        place = [write_length(at[0], self.plan), write_length(at[1], self.plan)] if at else ["", ""]
        self.rows.append([point, *place, self.setup, write_reading(reading, self.rod), kind, note])

    def shoot(self, point: str, x: float, y: float, *, note: str = "", kind: str = "floor") -> None:
        """A floor shot at a place given on the plan."""
        self.read(point, kind, self.floor(x, y), at=(x, y), note=note)

    def label(self, label: str, x: float, y: float, *, note: str = "") -> None:
        """A floor shot named by the taped grid: no x and y are written."""
        self.read(label, "floor", self.floor(x, y), note=note)

    def book(self, *remarks: str) -> str:
        out = io.StringIO()
        for remark in remarks:
            out.write(f"# {remark}\n")
        # A crew writes inches with a bare mark; quotes only round a cell that holds a comma.
        out.write("point,x,y,setup,reading,kind,note\n")
        for row in self.rows:
            cells = [
                cell if "," not in cell else '"' + cell.replace('"', '""') + '"' for cell in row
            ]
            out.write(",".join(cells) + "\n")
        return out.getvalue()


def bump(x: float, y: float, *, at: tuple[float, float], reach: tuple[float, float]) -> float:
    """A smooth hill of height 1."""
    return math.exp(
        -((x - at[0]) ** 2) / (2 * reach[0] ** 2) - (y - at[1]) ** 2 / (2 * reach[1] ** 2)
    )


# --- farm shop: feet in plan, inches in height above 100 ft ---------------------------------

FARM_OUTLINE = ((0, 0), (40, 0), (40, 20), (24, 20), (24, 30), (0, 30))
FARM_CRACK = ((24.0, 20.0), (21.5, 9.0), (22.5, 0.0))
FARM_PIT = ((8.0, 11.0), (11.0, 11.0), (11.0, 19.0), (8.0, 19.0))


def east_of_crack(x: float, y: float) -> bool:
    if y >= 20:
        return False
    upper, corner, lower = FARM_CRACK
    a, b = (corner, upper) if y > corner[1] else (lower, corner)
    return x > a[0] + (b[0] - a[0]) * (y - a[1]) / (b[1] - a[1])


def farm_inches(x: float, y: float) -> float:
    """Height of the old farm shop floor, inches above 100 ft, x and y in feet."""
    if FARM_PIT[0][0] < x < FARM_PIT[2][0] and FARM_PIT[0][1] < y < FARM_PIT[2][1]:
        return -8.1 + 0.05 * (y - 15)  # old service pit, filled low
    height = -3.75 + 0.05 * y + 0.12 * math.sin(x / 5.0) * math.cos(y / 6.0)
    height -= 2.5 * bump(x, y, at=(14, 15), reach=(7.0, 6.5))
    if east_of_crack(x, y):
        height -= 0.25 + 0.005 * (20 - y)  # the step at the crack
        height -= 0.35 * min(1.0, (x - 21) / 15) + 0.9 * bump(x, y, at=(31, 6), reach=(5.0, 4.5))
        height += 2.6 * bump(x, y, at=(40, 20), reach=(4.0, 4.0))  # heaved by a root
    return height


def farm_floor(x_m: float, y_m: float) -> float:
    return 100 * FOOT_M + farm_inches(x_m / FOOT_M, y_m / FOOT_M) * INCH_M


def farm_shop() -> str:
    inches = Units("feet-inches", INCH_M / 16)
    crew = Crew(farm_floor, inches, inches, error_m=INCH_M / 32, seed=20260418)

    def up(inch: float) -> float:
        return 100 * FOOT_M + inch * INCH_M

    def at(x: float, y: float) -> tuple[float, float]:
        return x * FOOT_M, y * FOOT_M

    def floor(point: str, x: float, y: float, note: str = "") -> None:
        crew.shoot(point, *at(x, y), note=note)

    letters = dict(zip("ABCDEFGHI", (0.25, 5, 10, 15, 20, 25, 30, 35, 39.75), strict=True))
    numbers = dict(zip(range(1, 8), (0.25, 5, 10, 15, 20, 25, 29.75), strict=True))

    def grid(columns: str, rows: tuple[int, ...]) -> None:
        for turn, letter in enumerate(columns):
            for row in rows if turn % 2 == 0 else rows[::-1]:  # walked up and down
                crew.label(f"{letter}{row}", *at(letters[letter], numbers[row]))

    bm1, bm2 = up(0), up(5.375)
    crew.stand("1", up(50.5), check=("BM1", bm1))
    crew.read("BM1", "benchmark", bm1, note="start")
    crew.read("BM2", "benchmark", bm2)
    for n, x in enumerate((6, 12, 18), start=1):
        crew.read(f"S{n}", "sill", up(0 + 0.03 * (n - 2)), at=at(x, 0), note="west sill")
    for n, x in enumerate((6.5, 12, 17.5), start=1):
        floor(f"SF{n}", x, 0.5, "floor inside west door")
    for n, x in enumerate((8, 16), start=1):
        crew.read(f"AP{n}", "drive", up(-0.6 - 0.1 * n), at=at(x, -4), note="apron, west door")
    grid("ABC", (1, 2, 3, 4, 5, 6, 7))
    pit = [(x, y) for y in (11.5, 13.5, 16.5, 18.5) for x in (8.5, 10.5)]
    for n, (x, y) in enumerate(pit, start=1):
        floor(f"P{n}", x, y, "in the filled pit")
    grid("DE", (1, 2, 3, 4, 5, 6, 7))
    floor("W1", 13.5, 15.5, "deepest water")
    floor("W2", 17, 12.5, "edge of puddle")
    crew.read("T1", "step", up(9.875), at=at(1.75, 22.5), note="lowest tread of the stair")
    floor("TF1", 0.5, 21.5, "stair foot")
    floor("TF2", 3.25, 21.5, "stair foot")
    for n, x in enumerate((14.25, 16.75), start=1):
        crew.read(f"OD{n}", "sill", up(6.0), at=at(x, 30), note="office threshold")
    floor("N1", 23.75, 21)
    floor("N2", 23.75, 25)
    floor("N3", 23.75, 29.5)
    floor("Q1", 18, 22.5, "by post 1")
    crew.read("TP1", "turn", up(2.0), at=at(20.5, 4), note="bolt head on the slab")
    crew.read("TP2", "turn", up(4.25), note="nail in the notch corner post")
    crew.read("BM1", "check", bm1, note="end of set-up 1")

    crew.stand("2", up(47.25), check=("BM2", bm2))
    crew.read("TP1", "turn", up(2.0), at=at(20.5, 4))
    crew.read("TP2", "turn", up(4.25))
    crew.read("BM2", "benchmark", bm2, note="start of set-up 2")
    for n, x in enumerate((27, 32, 37), start=1):
        crew.read(f"E{n}S", "sill", up(-0.625 + 0.03 * (2 - n)), at=at(x, 0), note="east sill")
    for n, x in enumerate((27.5, 32.5, 36.5), start=1):
        floor(f"EF{n}", x, 0.5, "floor inside east door")
    for n, x in enumerate((29, 35), start=1):
        crew.read(f"AE{n}", "drive", up(-1.4 - 0.1 * n), at=at(x, -4), note="apron, east door")
    grid("FGHI", (1, 2, 3, 4))
    for n, x in enumerate((25, 30, 35, 38, 39.75), start=1):
        floor(f"NW{n}", x, 19.75, "at the notch wall")
    floor("R1", 37.5, 17.5, "heaved corner")
    for n, y in enumerate((18.5, 13.0, 8.0, 3.5, 0.75), start=1):
        (x0, y0), (x1, y1) = FARM_CRACK[:2] if y > 9 else FARM_CRACK[1:]
        x = x0 + (x1 - x0) * (y - y0) / (y1 - y0)
        floor(f"K{n}W", round(x * 12 - 4) / 12, y, "crack, west lip")
        floor(f"K{n}E", round(x * 12 + 4) / 12, y, "crack, east lip")
    floor("W3", 31, 6, "puddle in the east wing")
    floor("Q2", 32.5, 8.5, "by post 2")
    crew.read("BM1", "check", bm1, note="end")
    crew.read("BM2", "check", bm2, note="end")
    return crew.book(
        "Farm shop floor: an invented floor and an invented field book, of no real place.",
        "Rod in feet, inches and sixteenths. Points such as C4 are labels of the taped grid.",
    )


# --- thin patio: tenths, feet in plan, feet in height above 50 ft ---------------------------

PATIO_OUTLINE = ((0, 0), (20, 0), (20, 14), (0, 14))


def patio_feet(x: float, y: float) -> float:
    """Height of the old patio, feet above 50 ft: it sank along the house and pitches back to it."""
    height = 0.0145 * y
    for x0 in (6.0, 15.5):  # where downpipes let the ground wash out
        height -= 0.075 * bump(x, y, at=(x0, 12.6), reach=(2.4, 1.1))
    height += 0.008 * math.sin(x / 3.2) * math.cos(y / 4.1)
    return height - 0.02 if x > 10 else height  # the step at the joint


def patio_floor(x_m: float, y_m: float) -> float:
    return (50 + patio_feet(x_m / FOOT_M, y_m / FOOT_M)) * FOOT_M


def thin_patio() -> str:
    tenths = Units("tenths", 0.01 * FOOT_M)
    crew = Crew(patio_floor, tenths, tenths, error_m=0.003 * FOOT_M, seed=20260509)

    def at(x: float, y: float) -> tuple[float, float]:
        return x * FOOT_M, y * FOOT_M

    def up(feet: float) -> float:
        return (50 + feet) * FOOT_M

    crew.stand("A", up(4.87), check=("BM1", up(0)))
    crew.read("BM1", "benchmark", up(0), note="start")
    crew.read("BM2", "benchmark", up(1.26))
    for n, x in enumerate((7.5, 12.5), start=1):
        crew.read(f"H{n}", "sill", up(0.60), at=at(x, 14), note="threshold of the house door")
    crew.read("V1", "sill", up(1.02), at=at(3, 14), note="lowest siding")
    rows = (0.2, 3, 6, 9, 11, 12.6, 13.8)
    for turn, x in enumerate((0.2, 3, 6, 9.5, 10.5, 14, 17, 19.8)):
        for y in rows if turn % 2 == 0 else rows[::-1]:
            crew.shoot(f"P{turn + 1}-{y:g}", *at(x, y))
    crew.shoot("L1", *at(5.2, 12.4), note="puddle along the house")
    crew.shoot("L2", *at(15.5, 12.4), note="puddle along the house")
    for n, x in enumerate((4, 16), start=1):
        crew.read(f"G{n}", "drive", up(-0.32), at=at(x, -2), note="lawn")
    crew.read("BM1", "check", up(0), note="end")
    crew.read("BM2", "check", up(1.26), note="end")
    return crew.book(
        "Thin patio: an invented patio and an invented field book, of no real place.",
        "Rod in feet, tenths and hundredths; x and y in feet.",
    )


# --- cannot-all: a garage whose wishes fight ------------------------------------------------


def garage_inches(x: float, y: float) -> float:
    """Height of the old garage floor, inches above 100 ft, x and y in feet."""
    height = -2.1 + 0.055 * y + 0.1 * math.sin(x / 3.0)
    return height - 0.9 * bump(x, y, at=(6.5, 9.0), reach=(3.5, 5.0))


def garage_floor(x_m: float, y_m: float) -> float:
    return 100 * FOOT_M + garage_inches(x_m / FOOT_M, y_m / FOOT_M) * INCH_M


def cannot_all() -> str:
    inches = Units("feet-inches", INCH_M / 16)
    crew = Crew(garage_floor, inches, inches, error_m=INCH_M / 32, seed=20260321)

    def at(x: float, y: float) -> tuple[float, float]:
        return x * FOOT_M, y * FOOT_M

    def up(inch: float) -> float:
        return 100 * FOOT_M + inch * INCH_M

    crew.stand("1", up(48.25), check=("BM1", up(4)))
    crew.read("BM1", "benchmark", up(4), note="start")
    for n, x in enumerate((2.5, 7, 11.5), start=1):
        crew.read(f"S{n}", "sill", up(0), at=at(x, 0), note="overhead door sill")
    for turn, x in enumerate((0.25, 4, 7, 10, 13.75)):
        for y in (0.25, 4, 8, 12, 16, 21.75) if turn % 2 == 0 else (21.75, 16, 12, 8, 4, 0.25):
            crew.shoot(f"F{turn + 1}-{y:g}", *at(x, y))
    crew.read("D1", "sill", up(3.75), at=at(11.5, 22), note="threshold of the house door")
    crew.shoot("W1", *at(6.5, 9.5), note="deepest water")
    crew.read("AP1", "drive", up(-0.75), at=at(7, -3), note="drive")
    crew.read("BM1", "check", up(4), note="end")
    return crew.book(
        "A garage whose wishes cannot all be met: invented, of no real place.",
        "Rod in feet, inches and sixteenths.",
    )


# --- metric wash bay: metres, among the tests only ------------------------------------------


def wash_bay_metres(x: float, y: float) -> float:
    """Height of the old wash bay floor above 10 m, in metres."""
    height = -0.02 + 0.0025 * y + 0.004 * math.sin(x * 1.3) * math.cos(y * 0.8)
    return height - 0.03 * bump(x, y, at=(1.6, 6.6), reach=(1.1, 1.4))


def wash_bay_floor(x_m: float, y_m: float) -> float:
    return 10 + wash_bay_metres(x_m, y_m)


def wash_bay() -> str:
    metric = Units("metric", 0.001)
    crew = Crew(wash_bay_floor, metric, metric, error_m=0.0008, seed=20260602)
    crew.stand("1", 11.162, check=("BM", 10.0))
    crew.read("BM", "benchmark", 10.0, note="start")
    crew.read("BM-B", "benchmark", 10.368)
    crew.read("D1", "sill", 10.085, at=(3.0, 4.5), note="rim of the drain")
    for n, x in enumerate((1.5, 4.5), start=1):
        crew.read(f"S{n}", "sill", 10.155, at=(x, 0.0), note="gate sill")
    for turn, x in enumerate((0.1, 1.2, 2.4, 3.6, 4.8, 5.9)):
        rows = (0.1, 1.5, 3.0, 4.2, 6.0, 7.5, 8.9)
        for y in rows if turn % 2 == 0 else rows[::-1]:
            crew.shoot(f"{turn + 1}-{y:g}", x, y)
    crew.shoot("W", 1.6, 6.6, note="deepest water")
    crew.read("BM", "check", 10.0, note="end")
    crew.read("BM-B", "check", 10.368, note="end")
    return crew.book("Wash bay in metres: an invented floor and an invented field book.")


# --- starter: what `overslab new` writes ----------------------------------------------------


def starter_inches(x: float, y: float) -> float:
    """Height of the starter's small garage floor, inches above 100 ft, x and y in feet."""
    height = -3.8 + 0.04 * y + 0.08 * math.sin(x / 4.0)
    return height - 1.1 * bump(x, y, at=(9.0, 11.0), reach=(4.5, 5.0))


def starter_floor(x_m: float, y_m: float) -> float:
    return 100 * FOOT_M + starter_inches(x_m / FOOT_M, y_m / FOOT_M) * INCH_M


def starter() -> str:
    inches = Units("feet-inches", INCH_M / 16)
    crew = Crew(starter_floor, inches, inches, error_m=INCH_M / 32, seed=20260105)

    def up(inch: float) -> float:
        return 100 * FOOT_M + inch * INCH_M

    crew.stand("1", up(52.5), check=("BM1", up(0)))
    crew.read("BM1", "benchmark", up(0), note="start")
    for n, x in enumerate((6, 10, 14), start=1):
        crew.read(f"S{n}", "sill", up(0), at=(x * FOOT_M, 0.0), note="sill of the overhead door")
    letters = dict(zip("ABCDE", (0.25, 5, 10, 15, 19.75), strict=True))
    numbers = dict(zip(range(1, 7), (0.25, 5, 10, 15, 20, 23.75), strict=True))
    for turn, (letter, x) in enumerate(letters.items()):
        for row in (1, 2, 3, 4, 5, 6) if turn % 2 == 0 else (6, 5, 4, 3, 2, 1):
            crew.label(f"{letter}{row}", x * FOOT_M, numbers[row] * FOOT_M)
    crew.shoot("W1", 9 * FOOT_M, 11 * FOOT_M, note="deepest water")
    crew.read("BM1", "check", up(0), note="end")
    return crew.book(
        "The field book, one reading a line. This one is invented: put your own in its place.",
        "point    its name; a label of the taped grid such as C4 needs no x and y",
        "x, y     its place on the plan, with the unit: 4 ft 6 in; benchmarks need none",
        "setup    which stand of the laser it was read from",
        "reading  what the rod says, as you say it: 4' 7 1/2\" (kept to one convention)",
        "kind     benchmark, floor, sill, step, drive, check, turn or asbuilt",
        "note     anything; in double quotes when it holds a comma",
    )


BOOKS: dict[Path, Callable[[], str]] = {
    SAMPLES / "farm-shop" / "shots.csv": farm_shop,
    SAMPLES / "thin-patio" / "shots.csv": thin_patio,
    SAMPLES / "cannot-all" / "shots.csv": cannot_all,
    JOBS / "metric-wash-bay" / "shots.csv": wash_bay,
    STARTER / "shots.csv": starter,
}


def main() -> None:
    for path, make in BOOKS.items():
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(make(), encoding="utf-8", newline="\n")


if __name__ == "__main__":
    main()
