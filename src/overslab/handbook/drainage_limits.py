"""Drainage limits: least and greatest falls by use, level changes, when standing water counts.

A fall of 2 % away from a house and a cross slope of at most 1:48 on an accessible way leave a
window of 0.083 %: less than a laser and a straightedge hold. Where people walk any way, the limit
belongs to the resultant of both falls and not to each.
"""

from __future__ import annotations

from overslab.handbook.limits import Advice, Row, declare, declare_practice, declare_rows
from overslab.handbook.publications import (
    ADA_2010,
    BUILDING_AMERICA,
    CONCRETE_CONSTRUCTION,
    IRC_2018,
    REMODELLING,
)
from overslab.handbook.ranges import hold, within
from overslab.handbook.working import formula

LEAST_FALL = "least fall"
BIRDBATH = "birdbath"

_HOW_MUCH = f"{CONCRETE_CONSTRUCTION}, How much should concrete fall?"
_HALF = f"{CONCRETE_CONSTRUCTION}, 1/2 plus 1/2 doesn't equal 1"
_PATIO = "Concrete International, Concrete Patio Slope"
_COURTS = "American Sports Builders Association, on trade pages (second hand)"
_EIGHTH, _QUARTER = 1 / 96, 1 / 48

LEAST_FALL_PRACTICE = declare_practice(
    "least fall of a floor that drains",
    _EIGHTH,
    topic=LEAST_FALL,
    quantity="fall",
    note="1/8 in per ft on garage and shop floors",
)
LEAST_FALLS = declare_rows(
    Row("outside flatwork, larger surfaces with good finishing", _EIGHTH, _HOW_MUCH, "", "read",
        "1/8 in per ft"),
    Row("outside flatwork, small surfaces such as treads", _QUARTER, _HOW_MUCH, "", "read",
        "1/4 in per ft"),
    Row("pavement, parking-area guide of a cement association", 0.01, _HALF, "", "read"),
    Row("pavement, positive drainage, ACI floor guide", 0.02, _HALF, "", "read", "about"),
    Row("patio, positive drainage", _QUARTER, _PATIO, "citing ACI 302.1R-04", "read",
        "1/4 in per ft; some birdbaths are still expected"),
    Row("hard surfaces within 10 ft of a house", 0.02, BUILDING_AMERICA, "", "read",
        "10 ft or to the edge; exception of section R401.3 from memory"),
    Row("ground beside a house, first 10 ft", 0.05, BUILDING_AMERICA, "", "read", "6 in in 10 ft"),
    Row("hard court", 1 / 120, "court-care page", "", "read", "about 1 in in 10 ft"),
    Row("wash-down floor, low", _EIGHTH, "trade texts", "", "memory", "advice"),
    Row("wash-down floor, wet all day", _QUARTER, "trade texts", "", "memory", "advice"),
    Row("shower floor", _QUARTER, "Uniform Plumbing Code, section 408", "", "memory"),
    Row("drain pipe to 2-1/2 in", _QUARTER, "International Plumbing Code, section 704.1", "",
        "memory"),
    Row("drain pipe of 3 to 6 in", _EIGHTH, "International Plumbing Code, section 704.1", "",
        "memory"),
    topic=LEAST_FALL,
    quantity="fall",
)  # fmt: skip
SHOWER_MOST = declare_rows(
    Row("shower floor", 1 / 24, "Uniform Plumbing Code, section 408", "", "memory"),
    topic="greatest fall",
    quantity="fall",
    bound="at most",
)
(WALK_RUN,) = declare_rows(
    Row("walking surface of an accessible way, along", 0.05, f"{ADA_2010}, section 403.3", "2010",
        "read", "1:20"),
    topic="greatest fall",
    quantity="fall",
    bound="at most",
)  # fmt: skip
(WALK_CROSS, RAMP_CROSS) = declare_rows(
    Row("walking surface of an accessible way, across", _QUARTER, f"{ADA_2010}, section 403.3",
        "2010", "read", "1:48"),
    Row("ramp of an accessible way, across", _QUARTER, f"{ADA_2010}, section 405.3", "2010",
        "read", "1:48"),
    topic="cross fall",
    quantity="fall",
    bound="at most",
)  # fmt: skip
BIRDBATH_PRACTICE = declare_practice(
    "depth of water that counts as a birdbath",
    0.0625,
    unit="in",
    topic=BIRDBATH,
    quantity="pond_depth_m",
    bound="at most",
    known="read",
    source=_COURTS,
    note="1/16 in (2 mm in print), after drainage stops or one hour at 70 F in sun",
)
BIRDBATHS = (
    *declare_rows(
        Row("water after one hour, in millimetres", 2.0, _COURTS, "", "read"),
        Row("a US nickel laid in it", 1.95, "United States Mint", "", "memory",
            "23 % more than 1/16 in, though print takes both as one"),
        topic=BIRDBATH,
        quantity="pond_depth_m",
        unit="mm",
        bound="at most",
    ),
    *declare_rows(
        Row("water, other court pages", 0.125, "trade pages on courts", "", "read",
            "others wait two hours"),
        Row("hollow of a floor: deeper is repaired, shallower is looks", 0.125, "trade page", "",
            "read", "weak"),
        topic=BIRDBATH,
        quantity="pond_depth_m",
        unit="in",
        bound="at most",
    ),
)  # fmt: skip
STANDING_TIME = declare_rows(
    Row("standing water round a house", 24.0, REMODELLING, "", "read", "ground, not slabs"),
    Row("standing water in swales", 48.0, REMODELLING, "", "read", "ground, not slabs"),
    topic="standing water",
    quantity="standing_hours",
    bound="at most",
)
ADVICE = declare(
    Advice(
        "birdbath",
        "No slab can be expected to be free of birdbaths.",
        _PATIO,
        "",
        "read",
    ),
    Advice(
        "garage floor",
        "A garage floor falls to a drain or to the main vehicle door; practice is 1/8 in per ft.",
        f"{IRC_2018}, section R309",
        "",
        "read",
    ),
)


@formula(
    equation="w = b - a",
    symbols={"least_fall": "a", "greatest_fall": "b"},
    result=("window_fall", "w"),
    source="arithmetic of two limits: 2 % away from the house, 1:48 across",
    known="derived",
    valid="below 0 the two limits fight",
    # Recomputed: 0.083 %.
    example={"least_fall": 0.02, "greatest_fall": 1 / 48},
    example_result=0.00083,
)
def fall_window(*, least_fall: float, greatest_fall: float) -> float:
    """Room between a least and a greatest fall, for the crew's own error."""
    hold(
        within("least_fall", least_fall, least=0),
        within("greatest_fall", greatest_fall, least=0),
        source="arithmetic",
    )
    return greatest_fall - least_fall
