"""Wire: welded wire sheets, their steel and weight, laps, net cover, and what holds them up."""

from __future__ import annotations

from math import ceil

from overslab.ground.units import to_customary, to_si
from overslab.handbook.limits import Advice, Row, Table, declare, declare_practice, declare_rows
from overslab.handbook.publications import ACI_318, CONCRETE_CONSTRUCTION, PDH_S132
from overslab.handbook.ranges import hold, not_in_table, within
from overslab.handbook.working import formula

SUPPORTS = "supports of wire"

_SUPPORTS = f"{CONCRETE_CONSTRUCTION}, Choosing supports for welded wire reinforcement"
_FAQ = "ACI question 900 (second hand)"
_LAP = f"{ACI_318}, section 25.5.4"

# PDH course S132: welded wire, steel each way and weight with overhang and edge wires. Bare area
# times 3.4 lb/ft gives less (19.0 for the first), so weights come from here.
WIRE_SHEETS = declare(
    Table(
        name="welded wire: old gauge, steel each way, weight",
        topic="wire sheets",
        columns=("style", "old_gauge", "steel_m2_per_m", "weight_lb_per_100_ft2"),
        rows=(
            ("6x6 W1.4", 10, 0.028, 21),
            ("6x6 W2.0", 8, 0.040, 29),
            ("6x6 W2.9", 6, 0.058, 42),
            ("6x6 W4.0", 4, 0.080, 58),
            ("6x6 W5.5", 2, 0.110, 80),
            ("4x4 W1.4", 10, 0.042, 31),
            ("4x4 W2.0", 8, 0.060, 43),
            ("4x4 W2.9", 6, 0.087, 62),
            ("4x4 W4.0", 4, 0.120, 85),
        ),
        source=PDH_S132,
        edition="",
        known="read",
        printed_in={"steel_m2_per_m": "in2/ft"},
    )
)[0]
SUPPORT_SPACING = declare_rows(
    Row("supports of wire, stiff", 72.0, _SUPPORTS, "", "read",
        "2 to 6 ft by the stiffness of the wire; wires 12 to 18 in apart let feet pass between"),
    Row("supports of wire, soft", 24.0, _SUPPORTS, "", "read"),
    Row("supports of wire lighter than W4.0 or D4.0", 12.0, _FAQ, "citing ACI 301-16", "read"),
    topic=SUPPORTS,
    quantity="spacing_m",
    unit="in",
    bound="at most",
)  # fmt: skip
AREA_PER_SUPPORT = declare_practice(
    "floor on one chair",
    25.0,
    unit="ft2",
    topic="floor on one support",
    quantity="floor_m2",
    bound="at most",
    known="read",
    source=PDH_S132,
)
SHEET_SIZES = declare(
    Table(
        name="sizes of wire sheets",
        topic="wire sheets",
        columns=("width_m", "length_m"),
        rows=((5, 10), (8, 20)),
        source="suppliers' habit",
        edition="",
        known="memory",
        printed_in={"width_m": "ft", "length_m": "ft"},
    )
)[0]
ADVICE = declare(
    Advice(
        "wire",
        "Rolls are 5 to 8 ft wide and only W1.4 to W4; rolled wire is hard to hold in position.",
        "contractors' society position statement 2, Location of rolled welded wire fabric",
        "",
        "read",
    ),
    Advice(
        "wire",
        "Do not lay wire on the ground and pull it up, nor walk it in.",
        _FAQ,
        "citing ACI 302.1R-15 section 5.2.4",
        "read",
    ),
)


def wire_sheet(style: str) -> dict[str, float | str]:
    """The row of a style such as ``6x6 W2.9``, steel in SI. Raises ``Faulty`` for others."""
    wanted = "".join(style.split()).lower()
    for row in WIRE_SHEETS.si_rows:
        if "".join(str(row["style"]).split()).lower() == wanted:
            return row
    styles = ", ".join(str(row["style"]) for row in WIRE_SHEETS.si_rows)
    raise not_in_table("style", style, rows=styles, source=PDH_S132)


def wire_weight_kg_per_m2(style: str) -> float:
    """Weight of a wire sheet with its overhang and edge wires, by the printed table."""
    return to_si(float(wire_sheet(style)["weight_lb_per_100_ft2"]), "lb/ft2") / 100


@formula(
    equation="As = (W/100)*(12/s)",
    symbols={"wire_number": "W", "spacing_m": "s"},
    result=("steel_m2_per_m", "As"),
    source=f"{PDH_S132}: 6x6 W2.9 is 0.058 in2/ft",
    known="read",
    valid="one direction; the number of a W or D wire is its area in hundredths of in2",
    example={"wire_number": 2.9, "spacing_m": 6.0},
    example_result=0.058,
    printed_in={"spacing_m": "in", "steel_m2_per_m": "in2/ft"},
)
def wire_steel(*, wire_number: float, spacing_m: float) -> float:
    """Steel of welded wire across each width of slab."""
    hold(
        within("wire_number", wire_number, above=0),
        within("spacing_m", spacing_m, above=0, unit="in"),
        source=PDH_S132,
    )
    return to_si(wire_number / 100 * 12 / to_customary(spacing_m, "in"), "in2/ft")


_LAP_PRINT = {"spacing_m": "in", "development_m": "in", "lap_m": "in"}


@formula(
    equation="o = max(s + 2 in, 1.5*ld, 6 in)",
    symbols={"spacing_m": "s", "development_m": "ld"},
    result=("lap_m", "o"),
    source=_LAP,
    known="memory",
    valid="plain wire, between outermost cross wires; less where there is twice the steel needed",
    # The rule from memory; 6x6 sheet by hand.
    example={"spacing_m": 6.0, "development_m": 0.0},
    example_result=8.0,
    printed_in=_LAP_PRINT,
)
def lap_of_plain_wire(*, spacing_m: float, development_m: float = 0.0) -> float:
    """Overlap of two sheets of plain welded wire."""
    hold(
        within("spacing_m", spacing_m, above=0, unit="in"),
        within("development_m", development_m, least=0, unit="in"),
        source=_LAP,
    )
    return max(spacing_m + to_si(2, "in"), 1.5 * development_m, to_si(6, "in"))


@formula(
    equation="o = max(1.3*ld, 8 in)",
    symbols={"development_m": "ld"},
    result=("lap_m", "o"),
    source=_LAP,
    known="memory",
    valid="deformed wire; outermost cross wires overlap by at least 2 in",
    # The rule from memory; by hand.
    example={"development_m": 10.0},
    example_result=13.0,
    printed_in={"development_m": "in", "lap_m": "in"},
)
def lap_of_deformed_wire(*, development_m: float) -> float:
    """Overlap of two sheets of deformed welded wire."""
    hold(within("development_m", development_m, least=0, unit="in"), source=_LAP)
    return max(1.3 * development_m, to_si(8, "in"))


@formula(
    equation="n = (b - o)*(l - o)/(b*l)",
    symbols={"width_m": "b", "length_m": "l", "lap_m": "o"},
    result=("net_share", "n"),
    source="geometry: a sheet less one lap each way",
    known="derived",
    valid="large floor, every sheet lapped on two sides",
    # Recomputed: 5 by 10 ft with 8 in.
    example={"width_m": 60.0, "length_m": 120.0, "lap_m": 8.0},
    example_result=80.9,
    printed_in={"width_m": "in", "length_m": "in", "lap_m": "in", "net_share": "%"},
)
def net_cover_of_sheet(*, width_m: float, length_m: float, lap_m: float) -> float:
    """Share of a sheet that covers floor once the laps are off."""
    hold(
        within("width_m", width_m, above=0, unit="ft"),
        within("length_m", length_m, above=0, unit="ft"),
        within("lap_m", lap_m, least=0, below=max(min(width_m, length_m), 0.0), unit="in"),
        source="geometry",
    )
    return (width_m - lap_m) * (length_m - lap_m) / (width_m * length_m)


@formula(
    equation="N = A/a, up to a whole number",
    symbols={"floor_m2": "A", "each_m2": "a"},
    result=("support_count", "N"),
    source=f"{PDH_S132}: one for each 25 ft2",
    known="read",
    valid="at least one chair; edges and laps may need more",
    # Rule read; 400 ft2 by hand.
    example={"floor_m2": 400.0, "each_m2": 25.0},
    example_result=16,
    printed_in={"floor_m2": "ft2", "each_m2": "ft2"},
)
def supports_by_floor(*, floor_m2: float, each_m2: float) -> int:
    """Number of chairs from the floor that one of them holds."""
    hold(
        within("floor_m2", floor_m2, least=0, unit="ft2"),
        within("each_m2", each_m2, above=0, unit="ft2"),
        source=PDH_S132,
    )
    return max(ceil(floor_m2 / each_m2 - 1e-9), 1)
