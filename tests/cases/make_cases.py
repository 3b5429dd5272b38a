"""Writes the jobs of the twenty-five surprise cases: ``tests/jobs/case-NN-*``.

The folders are exactly what this writes (a test holds them to it); each is a job that can be walked
from the command line.

    python tests/cases/make_cases.py        # writes the folders anew
"""

from __future__ import annotations

from collections.abc import Callable

from case_jobs import DOOR, JOBS, Book, flat, job, shot

Texts = dict[str, str]
EDGE_STRIP = {"what": "fibre strip", "roll_length": "10 ft", "heights": ["6 in", "8 in"]}
CASES: dict[str, Callable[[], Texts]] = {}


def case(folder: str) -> Callable[[Callable[[], Texts]], Callable[[], Texts]]:
    def keep(make: Callable[[], Texts]) -> Callable[[], Texts]:
        CASES[f"case-{folder}"] = make
        return make

    return keep


@case("01-l-shaped-floor")
def l_shaped() -> Texts:
    corners = ((0, 0), (24, 0), (24, 12), (12, 12), (12, 24), (0, 24))
    book = Book()
    book.marks()
    book.grid(flat(-4), (0.25, 6, 11.75), (0.25, 6, 12, 18, 23.75), name="N")
    book.grid(flat(-4), (12.25, 18, 23.75), (0.25, 6, 11.75), name="E")
    return job(
        "L-shaped floor",
        book,
        story="A 24 ft square without its upper right quarter, which is another room.",
        outline=corners,
        touches=(("[[door]]", DOOR), ("[joints]", {"kind": "sawn"})),
    )


@case("02-column-in-the-middle")
def column() -> Texts:
    book = Book()
    book.marks()
    book.grid(flat(-4), (0.25, 6, 18, 23.75))
    book.grid(flat(-4), (12,), (0.25, 6, 11, 13, 18, 23.75))
    book.grid(flat(-4), (11, 13), (12,), name="C")
    column = {"name": "column", "at": ["12 ft", "12 ft"], "size": "12 in", "base": "steel"}
    return job(
        "Column in the middle",
        book,
        story="A steel column 12 in square, shot on all four sides.",
        touches=(("[[door]]", DOOR), ("[[post]]", column), ("[isolation]", EDGE_STRIP)),
    )


def two_sills(inches: float) -> Texts:
    back = {
        "name": "back door",
        "kind": "overhead",
        "ends": [["8 ft", "24 ft"], ["16 ft", "24 ft"]],
        "sill": f"100 ft {inches:g} in",
        "may_rise": "0",
        "may_drop": "0",
        "lets_water_out_today": False,
        "firm": False,
    }
    return job(
        "Two doors at different heights",
        shot(flat(-4)),
        story=f"The back door, 24 ft from the first, has its sill {inches:g} in higher.",
        touches=(("[[door]]", DOOR), ("[[door]]", back)),
        wishes={"firm": ["least fall"]},
    )


@case("03-two-doors")
def two_doors() -> Texts:
    return two_sills(1)


@case("04-drain-to-keep")
def drain_kept() -> Texts:
    drain = {
        "name": "drain",
        "at": ["12 ft", "12 ft"],
        "rim": "100 ft",
        "plan": "keep",
        "takes_water_today": True,
    }
    return job(
        "Floor drain to keep",
        shot(flat(-4)),
        story="The plumber has set the rim; all four sides fall to it.",
        touches=(("[[drain]]", drain),),
        wishes={"water_to": ["drain"], "kinds": ["planes"]},
    )


@case("05-drain-to-bury")
def drain_buried() -> Texts:
    drain = {
        "name": "drain",
        "at": ["12 ft", "12 ft"],
        "rim": "99 ft 8 in",
        "plan": "bury",
        "takes_water_today": True,
    }
    return job(
        "Floor drain to bury",
        shot(flat(-4)),
        story="Nobody has said that the drain may be given up.",
        touches=(("[[door]]", DOOR), ("[[drain]]", drain)),
    )


def heave(x: float, y: float) -> float:
    return 0.25 if x + y > 42 else -4.0


@case("06-heaved-corner")
def heaved() -> Texts:
    book = Book()
    book.marks()
    book.grid(heave)
    book.grid(heave, (19.5, 22), (23.5,), name="H")
    book.grid(heave, (23.5,), (19.5, 22), name="H")
    crack = {
        "name": "crack",
        "kind": "crack",
        "line": [["18 ft", "24 ft"], ["24 ft", "18 ft"]],
        "step": "4 1/4 in",
        "moves_under_wheel": "no",
    }
    return job(
        "Heaved corner",
        book,
        story="Frost has pushed one corner up by 4 1/4 in along a crack; is it done?",
        touches=(("[[door]]", DOOR), ("[[break]]", crack)),
        findings={"still_moving": "not known", "frost_heave": "yes", "cause_cured": "not known"},
    )


def sunk(x: float, _y: float) -> float:
    return -6.0 if abs(x - 12) <= 1 else -4.0


@case("07-sunk-trench")
def trench() -> Texts:
    pipe = {"name": "pipe trench", "line": [["12 ft", "0 ft"], ["12 ft", "24 ft"]], "width": "2 ft"}
    grid = (0, 6, 12, 18, 24)
    book = Book()
    book.marks()
    book.grid(sunk, grid, grid)
    book.marks()
    return job(
        "Sunk trench",
        book,
        story="Over an old pipe a strip 2 ft wide has gone down 2 in; the grid lands on it.",
        touches=(("[[door]]", DOOR), ("[[trench]]", pipe)),
    )


@case("08-pitched-the-wrong-way")
def wrong_way() -> Texts:
    book = Book()
    book.marks()
    book.grid(lambda _x, y: -3.25 - y / 8, ys=(0, 4, 8, 12, 16, 20), xs=(0.25, 6, 12, 18, 23.75))
    book.marks()
    wall = {
        "name": "back wall",
        "ends": [["0 ft", "20 ft"], ["24 ft", "20 ft"]],
        "siding": "100 ft 8 in",
    }
    return job(
        "Old floor pitched the wrong way",
        book,
        story="Over 20 ft it falls 1/8 in/ft to the house; it shall fall 1/8 in/ft to the door.",
        outline=((0, 0), (24, 0), (24, 20), (0, 20)),
        wishes={"straightedge": "8 ft"},  # its pad lines lie 5 ft apart: whole sixteenths
        touches=(("[[door]]", DOOR), ("[[wall]]", wall)),
    )


@case("09-stem-wall-and-curb")
def curb() -> Texts:
    wall = {
        "name": "house wall",
        "ends": [["0 ft", "24 ft"], ["24 ft", "24 ft"]],
        "siding": "100 ft 2 in",
        "curb": "100 ft 6 in",
        "curb_least": "4 in",
    }
    return job(
        "Stem wall and curb",
        shot(flat(-4)),
        story="The local office wants 4 in of curb; the wood plate lies low.",
        touches=(("[[door]]", DOOR), ("[[wall]]", wall)),
    )


@case("10-step-at-man-door")
def man_door() -> Texts:
    office = {
        "name": "office door",
        "ends": [["24 ft", "16 ft"], ["24 ft", "19 ft"]],
        "sill": "101 ft",
        "at_least_below": "0",
        "swings": "over",
        "gap_under": "5/8 in",
    }
    stair = {
        "name": "loft stair",
        "ends": [["0 ft", "12 ft"], ["0 ft", "15 ft"]],
        "tread": "100 ft 3 in",
        "riser": "7 in",
        "riser_slack": "3/8 in",
        "risers": ["7 in", "7 in", "7 in", "7 in"],
        "move_cost": "$350",
        "move_up": "7 in",
    }
    return job(
        "Step at the man-door",
        shot(flat(-4)),
        story="A leaf that swings in over the floor, and a stair of four even risers.",
        touches=(("[[door]]", DOOR), ("[[threshold]]", office), ("[[stair]]", stair)),
    )


@case("11-expansion-joint")
def joint() -> Texts:
    line = {
        "name": "expansion joint",
        "kind": "joint",
        "line": [["8 ft", "0 ft"], ["8 ft", "24 ft"]],
        "width": "1/2 in",
        "moves_under_wheel": "no",
    }
    return job(
        "Expansion joint in the old floor",
        shot(flat(-2)),
        story="The joint crosses the old slab from wall to wall; the top is to be bonded.",
        touches=(("[[door]]", DOOR), ("[[break]]", line), ("[joints]", {"kind": "sawn"})),
        wishes={"system": "bonded", "least_thickness": "1 1/2 in"},
        mix={"stone": "3/8 in"},
    )


@case("12-heat-pipes")
def heat_pipes() -> Texts:
    return job(
        "In-floor heat pipes",
        shot(flat(-4)),
        story="A manifold hangs on the wall; nobody knows how deep the pipes lie.",
        findings={"heating_pipes": "yes"},
    )


@case("13-vehicle-lift")
def lift() -> Texts:
    return job(
        "Vehicle lift",
        shot(flat(-4)),
        story="A two-post lift is bolted to the old slab.",
        findings={"lift_posts": "yes"},
    )


@case("14-sump-pit")
def sump() -> Texts:
    pit = {
        "name": "sump",
        "at": ["3 ft", "21 ft"],
        "rim": "99 ft 8 in",
        "plan": "raise",
        "takes_water_today": True,
        "sump": True,
        "size": "2 ft",
    }
    return job(
        "Sump pit",
        shot(flat(-4)),
        story="Ground water is pumped out of a pit in the corner.",
        touches=(("[[door]]", DOOR), ("[[drain]]", pit), ("[isolation]", EDGE_STRIP)),
        findings={"water_from": ["ground"], "drained": "yes"},
    )


@case("15-tree-root")
def root() -> Texts:
    return job(
        "Tree root",
        shot(flat(-2)),
        story="A root lifts the slab; the owner wants the tree and a bonded top.",
        findings={
            "cause": "the root of the maple",
            "cause_cured": "no",
            "still_moving": "yes",
        },
        wishes={"system": "bonded", "least_thickness": "1 1/2 in"},
        mix={"stone": "3/8 in"},
    )


@case("16-metric-site")
def metric() -> Texts:
    feet, inch = 0.3048, 0.0254
    book = Book(units="metric", instrument=1.2 / inch)
    book.read("BM1", 0.0, "benchmark")
    book.read("BM2", 0.152 / inch, "benchmark")
    along = tuple(part / feet for part in (0.1, 2.0, 4.0, 5.9))
    book.grid(flat(-0.1 / inch), along, along, name="P")
    door = {
        **DOOR,
        "ends": [["1 m", "0 m"], ["5 m", "0 m"]],
        "sill": "30480 mm",
    }
    return job(
        "Metric site",
        book,
        story="Everything in millimetres and metres, fall 1:80.",
        outline=((0, 0), (6, 0), (6, 6), (0, 6)),
        touches=(("[[door]]", door),),
        findings={"thickness": "120 mm", "strength": "25 MPa", "pull_off": "1.5 MPa"},
        wishes={
            "least_thickness": "80 mm",
            "least_fall": "1:80",
            "greatest_fall": "1:40",
            "straightedge": "3 m",
            "set_to": "1 mm",
        },
        mix={"strength": "30 MPa", "stone": "19 mm", "slump": "100 mm"},
    )


def tenths_book(typed: dict[str, str] | None = None) -> Book:
    """A floor of one plane, read in feet, tenths and hundredths."""
    book = Book(units="tenths", instrument=48.0)
    book.marks()
    book.grid(lambda x, y: -0.12 * (34 + x / 6 + y / 6), (0, 6, 12, 18, 24), (0, 6, 12, 18, 24),
              typed=typed)  # fmt: skip
    book.marks()
    return book


@case("17-rod-read-in-tenths")
def tenths() -> Texts:
    return job(
        "Rod read in tenths",
        tenths_book(),
        story="The rod shows feet, tenths and hundredths; the crew thinks in inches.",
        wishes={"set_to": "0.01 ft"},
    )


def bumped(*, bm1: float = 0.375, bm2: float | None = 0.375, after: float = 0.375) -> Texts:
    """The beam comes up after a good check; inches by which each mark reads more in the end."""
    book = Book()
    book.marks()
    ys = (0.25, 6, 12, 18, 23.75)
    book.grid(flat(-4), (0.25, 6), ys)
    book.read("BM1", 0.0, "check")
    book.read("BM2", 6.0, "check")
    book.instrument = 48.0 + after
    book.grid(flat(-4), (12, 18, 23.75), ys)
    book.instrument = 48.0 + bm1
    book.read("BM1", 0.0, "check")
    if bm2 is not None:
        book.instrument = 48.0 + bm2
        book.read("BM2", 6.0, "check")
    return job(
        "Laser bumped in mid survey",
        book,
        story="Somebody kicked a leg of the tripod after the first check.",
    )


@case("18-laser-bumped")
def bump() -> Texts:
    return bumped()


def two_setups(*, off: float = 0.25, ties: int = 2) -> Texts:
    """The second set-up reads its first tie ``off`` inches more than it should."""
    book = Book()
    book.marks()
    ys = (0.25, 6, 12, 18, 23.75)
    book.grid(flat(-4), (0.25, 6, 12), ys)
    book.read("TP1", -3.0, "turn")
    book.setup, book.instrument = "2", 53.0
    book.read("TP1", -3.0 - off, "turn")
    if ties > 1:
        book.read("BM2", 6.0, "benchmark")
    book.grid(flat(-4), (18, 23.75), ys)
    return job(
        "Two set-ups",
        book,
        story="Half the floor was shot from the other end, tied by two points.",
    )


@case("19-two-setups")
def setups() -> Texts:
    return two_setups()


@case("20-mistyped-by-a-foot")
def mistyped() -> Texts:
    """The plane reads 4.38 at this place, and 5.38 stands in the book."""
    return job(
        "One shot mistyped by a foot",
        tenths_book({"G12-12": "5.38 ft"}),
        story="5.38 for 4.38 in the middle of the floor.",
        wishes={"set_to": "0.01 ft"},
    )


def usual(title: str, story: str) -> Texts:
    return job(title, shot(flat(-4)), story=story)


@case("21-rain-on-pour-day")
def rain() -> Texts:
    return usual("Rain on pour day", "It may rain at noon: the pour may have to end at a strip.")


@case("22-truck-rejected")
def rejected() -> Texts:
    return usual("One truck rejected", "The first truck may come with the wrong mix.")


@case("23-short-a-man")
def short_a_man() -> Texts:
    return job(
        "Crew short a man",
        shot(flat(-4)),
        story="Two people cannot pull a 12 ft straightedge; they have one of 8 ft as well.",
        wishes={"straightedge": "8 ft"},
    )


@case("24-half-today-half-tomorrow")
def two_days() -> Texts:
    book = shot(flat(-4))
    for y, inches in ((0.25, 0.0), (12, 1.625), (23.75, 3.0)):
        book.read(f"E{y:g}".replace(".", "_"), inches, "asbuilt", (12, y), note="edge of day 1")
    return job(
        "Half the pour today, half tomorrow",
        book,
        story="The edge of the first day was shot again before the second.",
        wishes={"straightedge": "8 ft"},
    )


@case("25-door-height-changed")
def door_changed() -> Texts:
    return job(
        "Owner changes the door height after the bid",
        shot(flat(-4)),
        story="The new door sits 1/2 in higher than the one of the bid.",
        touches=(("[[door]]", {**DOOR, "sill": "100 ft 1/2 in"}),),
    )


def main() -> None:
    for folder, make in CASES.items():
        for name, text in make().items():
            path = JOBS / folder / name
            path.parent.mkdir(parents=True, exist_ok=True)
            path.write_text(text, encoding="utf-8")


if __name__ == "__main__":
    main()
