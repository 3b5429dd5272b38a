"""Building: what a raised floor runs into, with model-code limits; local code and inspector govern.

Section numbers are those of the residential code from 2009 to 2021; the 2024 edition moved many of
them. Each limit carries its edition. ``building_checks`` holds a topping against them.
"""

from __future__ import annotations

from overslab.handbook.limits import Advice, Row, declare, declare_rows
from overslab.handbook.publications import ADA_2010, IRC_2018, NEC

_STAIRS = f"{IRC_2018}, section R311.7"
_DOORS = f"{IRC_2018}, section R311.3"
_DECAY = f"{IRC_2018}, section R317.1"
_FOUNDATION = f"{IRC_2018}, section R404.1.6"
_IBC = "International Building Code"
_RANGE = "2009 to 2021"

(RISER_MOST, RISER_MOST_STATES, RISER_MOST_COMMERCIAL) = declare_rows(
    Row("riser of a stair", 7.75, f"{_STAIRS}.5.1", "2018", "read"),
    Row("riser of a stair, some states", 8.25, "a state's text of R311.7.5.1", "", "read"),
    Row("riser of a stair, commercial", 7.0, f"{_IBC}, section 1011.5", "", "read",
        "read on a general page"),
    topic="greatest riser",
    quantity="riser_m",
    unit="in",
    bound="at most",
)  # fmt: skip
(RISER_LEAST_COMMERCIAL,) = declare_rows(
    Row("riser of a stair, commercial", 4.0, f"{_IBC}, section 1011.5", "", "read",
        "read on a general page"),
    topic="least riser",
    quantity="riser_m",
    unit="in",
)  # fmt: skip
(RISER_DIFFERENCE,) = declare_rows(
    Row("greatest less smallest riser of a flight", 0.375, f"{_STAIRS}.5.1", _RANGE, "read"),
    topic="riser difference",
    quantity="difference_m",
    unit="in",
    bound="at most",
)
(TREAD_LEAST, TREAD_LEAST_COMMERCIAL) = declare_rows(
    Row("depth of a tread", 10.0, f"{_STAIRS}.5.2", "2018", "read"),
    Row("depth of a tread, commercial", 11.0, f"{_IBC}, section 1011.5", "", "read"),
    topic="tread",
    quantity="tread_m",
    unit="in",
)
(STAIR_HEADROOM,) = declare_rows(
    Row("headroom over a stair, plumb from the nosing line", 80.0, f"{_STAIRS}.2", "2018", "read"),
    topic="stair headroom",
    quantity="headroom_m",
    unit="in",
)
(LANDING_LENGTH,) = declare_rows(
    Row("landing at an outside door, along the way", 36.0, _DOORS, "2018", "read",
        "as wide as the door"),
    topic="landing",
    quantity="length_m",
    unit="in",
)  # fmt: skip
(LANDING_SLOPE,) = declare_rows(
    Row("slope of a landing", 100 / 48, _DOORS, "2018", "read", "printed as 1/4 in 12 (2 %)"),
    topic="landing",
    quantity="slope",
    unit="%",
    bound="at most",
)
(EXIT_DROP, EXIT_DROP_OUTSIDE, OTHER_DOOR_DROP) = declare_rows(
    Row("required way out: drop from the threshold to the landing", 1.5, f"{_DOORS}.1", "2018",
        "read"),
    Row("required way out, door does not swing over it: drop outside", 7.75, f"{_DOORS}.1", "2018",
        "read"),
    Row("other outside doors: drop to the landing", 7.75, f"{_DOORS}.2", "2018", "read",
        "with an exception for a stair of two risers"),
    topic="drop at a door",
    quantity="drop_m",
    unit="in",
    bound="at most",
)  # fmt: skip
(RAMP_SLOPE, RAMP_SLOPE_TIGHT) = declare_rows(
    Row("slope of a ramp", 100 / 12, f"{IRC_2018}, section R311.8.1", "2018", "memory", "1:12"),
    Row("slope of a ramp where 1:12 does not fit", 100 / 8, f"{IRC_2018}, section R311.8.1",
        "2018", "memory", "1:8"),
    topic="ramp",
    quantity="slope",
    unit="%",
    bound="at most",
)  # fmt: skip
(RAMP_SLOPE_ADA, RAMP_SLOPE_6_IN, RAMP_SLOPE_3_IN) = declare_rows(
    Row("slope of a ramp on an accessible way", 100 / 12, f"{ADA_2010}, section 405.2", "2010",
        "read", "1:12"),
    Row("slope of a ramp on an existing site, rise to 6 in", 10.0, f"{ADA_2010}, section 405.2",
        "2010", "read", "1:10"),
    Row("slope of a ramp on an existing site, rise to 3 in", 12.5, f"{ADA_2010}, section 405.2",
        "2010", "read", "1:8"),
    topic="accessible ramp",
    quantity="slope",
    unit="%",
    bound="at most",
)  # fmt: skip
(RAMP_RISE, RAMP_RISE_2010) = declare_rows(
    Row("rise of one run of a ramp", 30.0, "ADA Standards (1991), section 4.8.2", "1991", "read"),
    Row("rise of one run of a ramp", 30.0, f"{ADA_2010}, section 405.6", "2010", "memory"),
    topic="accessible ramp",
    quantity="rise_m",
    unit="in",
    bound="at most",
)
(STEP_SQUARE, STEP_BEVELED) = declare_rows(
    Row("change of level, upright", 0.25, f"{ADA_2010}, section 303", "2010", "read"),
    Row("change of level, beveled at 1:2 or flatter", 0.5, f"{ADA_2010}, section 303", "2010",
        "read", "more is a ramp"),
    topic="change of level",
    quantity="step_m",
    unit="in",
    bound="at most",
)  # fmt: skip
(THRESHOLD, THRESHOLD_EXISTING) = declare_rows(
    Row("accessible threshold", 0.5, f"{ADA_2010}, section 404.2.5", "2010", "memory"),
    Row("accessible threshold, existing and beveled", 0.75, f"{ADA_2010}, section 404.2.5", "2010",
        "memory"),
    topic="accessible threshold",
    quantity="step_m",
    unit="in",
    bound="at most",
)  # fmt: skip
(IGNITION,) = declare_rows(
    Row("flame or spark above a garage floor", 18.0, f"{IRC_2018}, section M1307.3", _RANGE,
        "read", "also P2801 and G2408.2"),
    topic="ignition",
    quantity="above_floor_m",
    unit="in",
)  # fmt: skip
(SIDING_TO_CONCRETE, SIDING_TO_GROUND, FRAMING_TO_GROUND) = declare_rows(
    Row("siding, sheathing, framing above concrete steps or slabs", 2.0, f"{_DECAY} item 5",
        _RANGE, "read", "less asks for durable or treated wood; exactly 2 in is allowed"),
    Row("siding, sheathing, framing above the ground", 6.0, f"{_DECAY} item 5", _RANGE, "read",
        "less asks for durable or treated wood"),
    Row("framing on a foundation wall above the ground", 8.0, f"{_DECAY} item 2", _RANGE, "read",
        "less asks for treated wood"),
    topic="siding",
    quantity="gap_m",
    unit="in",
)  # fmt: skip
(FOUNDATION_VENEER, FOUNDATION) = declare_rows(
    Row("foundation above grade, masonry veneer", 4.0, _FOUNDATION, _RANGE, "read"),
    Row("foundation above grade", 6.0, _FOUNDATION, _RANGE, "read"),
    topic="foundation",
    quantity="gap_m",
    unit="in",
)
(WEEP_TO_EARTH, WEEP_TO_PAVING) = declare_rows(
    Row("weep screed above earth", 4.0, f"{IRC_2018}, section R703.7.2.1", _RANGE, "memory"),
    Row("weep screed above paving", 2.0, f"{IRC_2018}, section R703.7.2.1", _RANGE, "memory"),
    topic="weep screed",
    quantity="gap_m",
    unit="in",
)
(CEILING, CEILING_BEAM) = declare_rows(
    Row("ceiling of a room lived in", 84.0, f"{IRC_2018}, section R305.1", _RANGE, "memory"),
    Row("beam under such a ceiling", 76.0, f"{IRC_2018}, section R305.1", _RANGE, "memory"),
    topic="ceiling",
    quantity="headroom_m",
    unit="in",
)
(GUARD_DROP, PARKING_DROP) = declare_rows(
    Row("drop within 36 in beside a floor without a guard", 30.0, f"{IRC_2018}, section R312.1",
        _RANGE, "memory", "above it a guard of 36 in"),
    Row("drop at the edge of parking without a barrier", 12.0, f"{_IBC}, section 406.4.2", "",
        "memory", "above it a barrier of 2 ft 9 in"),
    topic="guard",
    quantity="drop_m",
    unit="in",
    bound="at most",
)  # fmt: skip
(RECEPTACLE, BREAKER) = declare_rows(
    Row("garage receptacle above the floor", 66.0, f"{NEC}, 210.52(G)", "", "memory"),
    Row("breaker handle above the floor", 79.0, f"{NEC}, 240.24(A) and 404.8", "", "memory"),
    topic="electrical height",
    quantity="above_floor_m",
    unit="in",
    bound="at most",
)
(PANEL_HEADROOM,) = declare_rows(
    Row("headroom in front of a panel", 78.0, f"{NEC}, 110.26(A)(3)", "", "memory"),
    topic="panel headroom",
    quantity="headroom_m",
    unit="in",
)
ADVICE = declare(
    Advice("garage floor", "A garage floor slopes toward a drain or the main vehicle door; no"
           " figure is given; its surface does not burn.",
           f"{IRC_2018}, section R309.1 (R309.3 in 2003)", _RANGE, "read"),
    Advice("ignition", "An appliance in the way of vehicles is protected from impact.",
           f"{IRC_2018}, section M1307.3.1", _RANGE, "read"),
    Advice("siding", "Sills on a slab on the ground have a barrier under them or are treated.",
           f"{_DECAY} item 3", _RANGE, "read"),
    Advice("ramp", "A ramp steeper than 1:12 has a handrail; landings are 36 by 36 in.",
           f"{IRC_2018}, sections R311.8.2 and R311.8.3", _RANGE, "memory"),
    Advice("editions", "The 2024 residential code gave many of these sections new numbers: local"
           " code and its edition govern.", "International Residential Code 2024", "2024",
           "memory"),
)  # fmt: skip
