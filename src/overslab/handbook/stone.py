"""Stone: the largest that fits between the forms, in the slab and between the bars.

Over an uneven floor the slab's thickness here is the least one.
"""

from __future__ import annotations

from overslab.ground.units import to_si
from overslab.handbook.publications import ACI_FAQ_754, ARMY_EN5466A, UFGS_03700
from overslab.handbook.ranges import hold, within
from overslab.handbook.working import formula

# UFGS 03700: slabs of this thickness or thinner take stone up to 3/4 in.
_THIN_SLAB_M = to_si(4.0, "in")
_THIN_SLAB_STONE_M = to_si(0.75, "in")
_NOISE = 1e-9


def _least_share(
    narrowest_form_m: float | None,
    slab_thickness_m: float | None,
    clear_bar_spacing_m: float | None,
    *,
    source: str,
) -> float:
    spaces = (
        ("narrowest_form_m", narrowest_form_m, 1 / 5),
        ("slab_thickness_m", slab_thickness_m, 1 / 3),
        ("clear_bar_spacing_m", clear_bar_spacing_m, 3 / 4),
    )
    known = [(name, space, share) for name, space, share in spaces if space is not None]
    hold(
        within("spaces given", float(len(known)), least=1.0),
        *(within(name, space, above=0.0, unit="in") for name, space, _ in known),
        source=source,
    )
    return min(space * share for _, space, share in known)


@formula(
    equation="D = least of b / 5, h / 3, 3 c / 4",
    symbols={"narrowest_form_m": "b", "slab_thickness_m": "h", "clear_bar_spacing_m": "c"},
    result=("largest_stone_m", "D"),
    source=f"{ACI_FAQ_754}, quoting ACI 318-19, 26.4.2.1(a)(5); same in {ARMY_EN5466A}, p. 16",
    known="read",
    valid="what is not there is left out; h at the thinnest place of the slab",
    # A 4 in slab: 1.33 in.
    example={"slab_thickness_m": 4.0},
    example_result=1.33,
    printed_in={"slab_thickness_m": "in", "largest_stone_m": "in"},
)
def largest_stone_aci_318(
    *,
    narrowest_form_m: float | None = None,
    slab_thickness_m: float | None = None,
    clear_bar_spacing_m: float | None = None,
) -> float:
    """Largest stone by ACI 318: forms, slab and bars."""
    return _least_share(narrowest_form_m, slab_thickness_m, clear_bar_spacing_m, source=ACI_FAQ_754)


@formula(
    equation="D = h / 3, and at most 3/4 in where h is 4 in or less",
    symbols={"slab_thickness_m": "h"},
    result=("largest_stone_m", "D"),
    source=f"{UFGS_03700}: slabs 4 in or thinner take 3/4 in; h / 3 as in {ACI_FAQ_754}",
    known="read",
    valid="h at the thinnest place of the slab",
    example={"slab_thickness_m": 4.0},
    example_result=0.75,
    printed_in={"slab_thickness_m": "in", "largest_stone_m": "in"},
)
def largest_stone_ufgs_03700(*, slab_thickness_m: float) -> float:
    """Largest stone by a federal guide specification, stricter in slabs of 4 in and less."""
    third = _least_share(None, slab_thickness_m, None, source=UFGS_03700)
    thin = slab_thickness_m <= _THIN_SLAB_M + _NOISE
    return min(third, _THIN_SLAB_STONE_M) if thin else third
