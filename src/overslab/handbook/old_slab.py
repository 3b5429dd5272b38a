"""Old slab: what may be left as it is under a topping, and what must be put right first.

Few of these numbers are published. What the trade goes by is marked common practice and is the
owner's default; what was read stands beside it with its source.
"""

from __future__ import annotations

from overslab.handbook.bonding import PULL_OFF, SURFACE_PROFILE
from overslab.handbook.limits import Advice, Row, declare, declare_practice, declare_rows
from overslab.handbook.publications import CONCRETE_CONSTRUCTION, REMODELLING

STEP = "step across a crack"  # the topic that bonding has published values for
WIDTH = "width of a crack"
GROWTH = "growth of a crack"
HOLLOW_SHARE = "hollow share"
HOLLOW_EACH = "hollow place"
PROFILE = SURFACE_PROFILE[0].topic
PULL_OFF_STRENGTH = PULL_OFF[0].topic
SHEET_TEST = "sheet test"
STONE = "stone and thickness"

_WARRANTY = "warranty rules for garage and basement floors, as quoted in the trade press"

STEP_PRACTICE = declare_practice(
    "step across a crack that may be left under a topping",
    0.25,
    unit="in",
    topic=STEP,
    quantity="step_m",
    bound="at most",
    note="a greater one is filled to a plane or ground down, so that the sheet can slide",
)
STEP_PUBLISHED = declare_rows(
    Row("defect of a garage or basement floor: offset", 0.25, _WARRANTY, "", "read"),
    Row("defect of a basement floor: offset", 0.125, REMODELLING, "", "read"),
    topic=STEP,
    quantity="step_m",
    unit="in",
    bound="at most",
)
WIDTH_PUBLISHED = declare_rows(
    Row("defect of a garage or basement floor: width", 0.25, _WARRANTY, "", "read"),
    Row("defect of a basement floor: width", 0.1875, REMODELLING, "", "read"),
    topic=WIDTH,
    quantity="crack_width_m",
    unit="in",
    bound="at most",
)
GROWTH_PRACTICE = declare_practice(
    "change of a crack between dated readings that still counts as standing still",
    1 / 32,
    unit="in",
    topic=GROWTH,
    quantity="growth_m",
    bound="at most",
    note="about what a comparator and the season give or take",
)
HOLLOW_SHARE_PRACTICE = declare_practice(
    "share of the floor that may sound hollow",
    0.10,
    topic=HOLLOW_SHARE,
    quantity="hollow_share",
    bound="at most",
    note="each place is put right all the same; above this the slab is not a base",
)
HOLLOW_EACH_PRACTICE = declare_practice(
    "one hollow place that may be left to itself",
    10.0,
    unit="ft2",
    topic=HOLLOW_EACH,
    quantity="hollow_area_m2",
    bound="at most",
)
PROFILE_PRACTICE = declare_practice(
    "profile of the base under a bonded topping (ICRI concrete surface profile)",
    7.0,
    topic=PROFILE,
    quantity="profile_number",
)
PULL_OFF_PRACTICE = declare_practice(
    "pull-off strength of the prepared base",
    150.0,
    unit="psi",
    topic=PULL_OFF_STRENGTH,
    quantity="bond_strength_pa",
)
SHEET_TEST_READ = declare_rows(
    Row(
        "plastic sheet taped down before it is lifted and looked under",
        48.0,
        f"{CONCRETE_CONSTRUCTION} and other trade guides on damp floors",
        "",
        "read",
        "wet underneath: water comes up; plastic alone does not stop water under pressure",
    ),
    topic=SHEET_TEST,
    quantity="sheet_test_hours",
)
STONE_PRACTICE = declare_practice(
    "greatest stone beside the least thickness",
    1 / 3,
    topic=STONE,
    quantity="stone_share",
    bound="at most",
)

ADVICE = declare(
    Advice(
        "ground water",
        "Plastic alone does not defeat water under pressure, which goes round it: give it a drain"
        " and a sump first.",
        "trade guides on damp floors",
        "",
        "read",
    ),
    Advice(
        "settlement",
        "Settled and at rest may be poured over unbonded; settled and moving may not. One look does"
        " not prove rest: two dated readings do.",
        "common practice of the trade",
        "",
        "common practice",
    ),
)
