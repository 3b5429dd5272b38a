"""Other ways with an old slab: breaking it out and hauling it off, lifting it, grinding it down."""

from __future__ import annotations

from math import ceil

from overslab.handbook.limits import Advice, Row, declare, declare_practice, declare_rows
from overslab.handbook.publications import CONCRETE_CONSTRUCTION, IRC_2018
from overslab.handbook.ranges import hold, within
from overslab.handbook.working import formula

SWELL_TOPIC = "swell of broken concrete"
GRAVEL_TOPIC = "gravel lost to tamping"
_HAUL = "Estimating textbook, examples 9-2 and 9-3: swell, shrinkage and haul"
_LIFTING = f"{CONCRETE_CONSTRUCTION}, Workman, spare that slab"
_LIFTER = "a contractor's page on lifting slabs (low grade)"
# The smallest part of a load that is still one: less is a sum's last digit.
_NO_LOAD = 1e-9

SWELL = declare_practice(
    "swell of a slab broken up and loaded, as a share of its volume in place",
    0.5,
    topic=SWELL_TOPIC,
    quantity="swell_share",
    bound="is",
    note="flat pieces stack badly; books give a half and more for rock",
)
DUG_SWELL = declare_practice(
    "swell of ground that is dug and loaded, as a share of its volume in place",
    0.25,
    topic="swell of dug ground",
    quantity="swell_share",
    bound="is",
    note="a fourth; clay more, sand less",
)
GRAVEL_LOST = declare_practice(
    "loose gravel bought beyond what it fills once tamped, as a share of that",
    0.2,
    topic=GRAVEL_TOPIC,
    quantity="swell_share",
    bound="is",
)
NEW_SLAB = declare_practice(
    "thickness of a new slab from grade, for cars",
    4.0,
    unit="in",
    topic="thickness of a new slab from grade",
    quantity="thickness_m",
    note="trucks, lifts and soft ground ask for more",
)
NEW_SLAB_CODE = declare_rows(
    Row("thickness of a slab on ground", 3.5, f"{IRC_2018}, section R506.1", "2018", "memory"),
    topic="thickness of a new slab from grade",
    quantity="thickness_m",
    unit="in",
)
HOLE_SPACING = declare_practice(
    "distance between the holes that a slab is lifted through",
    5.0,
    unit="ft",
    topic="lifting holes",
    quantity="spacing_m",
    bound="is",
    known="read",
    source=_LIFTING,
    note="5 to 8 ft, rows staggered; the near end is taken, which drills more holes",
)
HOLE_EDGE = declare_practice(
    "distance of the outer holes from the edge of the slab",
    1.5,
    unit="ft",
    topic="lifting holes at the edge",
    quantity="edge_m",
    bound="is",
    known="read",
    source=_LIFTING,
    note="1.5 to 2 ft",
)
LIFT_WAIT = declare_rows(
    Row("age of lifting grout for cars, low", 1.0, _LIFTER, "", "read"),
    Row("age of lifting grout for cars, high", 2.0, _LIFTER, "", "read"),
    topic="lifting grout and traffic",
    quantity="age_days",
)
GRIND_PASS = declare_practice(
    "concrete that one pass of a scarifier takes off",
    0.125,
    unit="in",
    topic="depth of a grinding pass",
    quantity="depth_m",
    bound="at most",
)
GRIND_LEFT = declare_practice(
    "thickness that stays of a slab that is ground down",
    3.0,
    unit="in",
    topic="thickness left after grinding",
    quantity="thickness_m",
    note="under wheels; what a thinner slab carries is for a licensed engineer",
)
PATCH_WAIT = declare_practice(
    "age of a patch for cars",
    1.0,
    topic="patch and traffic",
    quantity="age_days",
    note="the maker of the patch says how long",
)
ADVICE = declare(
    Advice(
        "lifting",
        "Cracks and other defects that were there before lifting stay; fine ones may open.",
        _LIFTING,
        "",
        "read",
    ),
    Advice(
        "lifting",
        "Nobody drills through a slab before what lies in it and under it is known.",
        "common practice of the trade",
        "",
        "common practice",
    ),
    Advice(
        "silica",
        "Sawing, breaking and grinding concrete make dust that destroys lungs: water or a shroud"
        " with a vacuum, and respirators by the local rules.",
        "common practice of the trade",
        "",
        "common practice",
    ),
)


@formula(
    equation="L = V (1 + s)",
    symbols={"in_place_m3": "V", "swell_share": "s"},
    result=("loose_m3", "L"),
    source=f"{_HAUL}: 1,000 cubic yards in place at 30 % are 1,300 loose",
    known="read",
    valid="a swell of the stuff that is hauled; for gravel what tamping takes is told the same way",
    example={"in_place_m3": 1000.0, "swell_share": 0.30},
    example_result=1300.0,
    printed_in={"in_place_m3": "yd3", "loose_m3": "yd3"},
)
def loose_volume(*, in_place_m3: float, swell_share: float) -> float:
    """Volume of what is broken up or dug, as it lies on a truck."""
    hold(
        within("in_place_m3", in_place_m3, least=0.0, unit="yd3"),
        within("swell_share", swell_share, least=0.0, most=2.0, unit="%"),
        source=_HAUL,
    )
    return in_place_m3 * (1.0 + swell_share)


@formula(
    equation="n = L / l, rounded up",
    symbols={"loose_m3": "L", "load_m3": "l"},
    result=("loads_count", "n"),
    source=f"{_HAUL}: 1,300 loose cubic yards on trucks of 7 are 186 loads",
    known="read",
    valid="trucks of one size, filled by volume; broken concrete may reach their weight first",
    example={"loose_m3": 1300.0, "load_m3": 7.0},
    example_result=186,
    printed_in={"loose_m3": "yd3", "load_m3": "yd3"},
)
def truck_loads(*, loose_m3: float, load_m3: float) -> int:
    """Loads that a loose volume makes."""
    hold(
        within("loose_m3", loose_m3, least=0.0, unit="yd3"),
        within("load_m3", load_m3, above=0.0, unit="yd3"),
        source=_HAUL,
    )
    return ceil(loose_m3 / load_m3 - _NO_LOAD)


@formula(
    equation="n = d / p, rounded up",
    symbols={"depth_m": "d", "pass_m": "p"},
    result=("passes_count", "n"),
    source="common practice of the trade; 4 1/4 in by passes of 1/8 in by hand",
    known="common practice",
    valid="p what the machine takes off of this concrete in one pass",
    example={"depth_m": 4.25, "pass_m": 0.125},
    example_result=34,
    printed_in={"depth_m": "in", "pass_m": "in"},
)
def grinding_passes(*, depth_m: float, pass_m: float) -> int:
    """Passes of a machine over the same place."""
    hold(
        within("depth_m", depth_m, least=0.0, unit="in"),
        within("pass_m", pass_m, above=0.0, unit="in"),
        source="common practice of the trade",
    )
    return ceil(depth_m / pass_m - _NO_LOAD)


@formula(
    equation="V = b s**2 / (2 r)",
    symbols={"length_m": "b", "step_m": "s", "ramp": "r"},
    result=("volume_m3", "V"),
    source="geometry: a wedge as high as the step that runs out at the slope of the ramp",
    known="derived",
    valid="a step of one height along its whole length",
    # 12 in long, 1 in high, 1:12: a triangle of 1 by 12 in.
    example={"length_m": 0.3048, "step_m": 0.0254, "ramp": 1 / 12},
    example_result=0.0011799,
)
def wedge_volume(*, length_m: float, step_m: float, ramp: float) -> float:
    """Concrete ground off the high side of a step, so that it becomes a ramp."""
    hold(
        within("length_m", length_m, least=0.0),
        within("step_m", step_m, least=0.0),
        within("ramp", ramp, above=0.0, most=1.0),
        source="geometry",
    )
    return length_m * step_m**2 / (2.0 * ramp)
