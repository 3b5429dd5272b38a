"""What can be wrong with the mix as written, before anything is held against the floor."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import fields
from typing import NamedTuple

from overslab.ground.faults import Fault
from overslab.ground.units import Units, to_si, write_by_suffix
from overslab.order import faults
from overslab.order.records import MixAsked


class _Bound(NamedTuple):
    """Name of a field, what it is, its quantity for the words, and what it can be."""

    field: str
    name: str
    quantity: str
    least: float
    most: float
    words: str


# Cement and sacks of ordinary mixes, as the handbook takes them: 200 to 1200 lb/yd3.
_CEMENT = (to_si(200.0, "lb/yd3"), to_si(1200.0, "lb/yd3"))
_WEIGHT = "0 to 3000 kg/m3 (5057 lb/yd3)"
_MIX = (
    _Bound("strength_pa", "strength", "strength_pa", 1e5, 2e8, "0.1 to 200 MPa (15 to 29000 psi)"),
    _Bound("stone_m", "largest stone", "stone_m", 1e-3, 0.2, "1 to 200 mm (up to 8 in)"),
    _Bound("slump_m", "slump", "slump_m", 0.0, 0.3, "0 to 300 mm (12 in), the cone's height"),
    _Bound("air", "air", "air_share", 0.0, 0.2, "0 to 20 %"),
    _Bound("water_cement_ratio", "water-cement ratio", "water_cement_ratio", 0.2, 1.0,
           "0.20 to 1.0 by weight"),
    _Bound("fibre_kg_per_m3", "fibre dose", "dose_kg_per_m3", 0.0, 240.0,
           "0 to 240 kg/m3, 3 % of steel by volume"),
    _Bound("water_cut", "water that the reducer takes off", "reduction_share", 0.0, 0.4,
           "0 to 40 %"),
    _Bound("discharge_minutes", "time from batching to discharge", "discharge_minutes", 1.0, 600.0,
           "1 minute to 10 hours"),
)  # fmt: skip
_PLANT = (
    _Bound("cement_kg_per_m3", "cement of the plant's mix", "cement_kg_per_m3", *_CEMENT,
           "119 to 712 kg/m3 (200 to 1200 lb/yd3)"),
    _Bound("water_kg_per_m3", "water of the plant's mix", "water_kg_per_m3", 50.0, 500.0,
           "50 to 500 kg/m3 (84 to 843 lb/yd3)"),
    _Bound("coarse_kg_per_m3", "stone of the plant's mix", "coarse_kg_per_m3", 0.0, 3e3, _WEIGHT),
    _Bound("fine_kg_per_m3", "sand of the plant's mix", "fine_kg_per_m3", 0.0, 3e3, _WEIGHT),
    _Bound("air_share", "air of the plant's mix", "air_share", 0.0, 0.2, "0 to 20 %"),
    _Bound("fineness_modulus", "fineness modulus of the sand", "fineness_modulus", 1.0, 5.0,
           "1 to 5; ordinary sand 2.3 to 3.1"),
    _Bound("dry_rodded_kg_per_m3", "dry-rodded weight of the stone", "dry_rodded_kg_per_m3",
           500.0, 2500.0, "500 to 2500 kg/m3 (31 to 156 lb/ft3)"),
    _Bound("coarse_gravity", "specific gravity of the stone", "coarse_gravity", 1.0, 5.0,
           "1 to 5; ordinary stone 2.5 to 2.8"),
    _Bound("fine_gravity", "specific gravity of the sand", "fine_gravity", 1.0, 5.0,
           "1 to 5; ordinary sand 2.5 to 2.7"),
)  # fmt: skip


def mix_faults(mix: MixAsked, units: Units) -> Iterator[Fault]:
    """Every figure that cannot be, and every half of a pair without its other half."""
    for record, bounds in ((mix, _MIX), (mix.plant, _PLANT)):
        assert {one.field for one in bounds} <= {one.name for one in fields(record)}
        for one in bounds:
            value = getattr(record, one.field)
            if value is None:
                continue
            if not math.isfinite(value):
                yield faults.NOT_A_NUMBER.met(value=value, name=one.name)
            elif not one.least <= value <= one.most:
                written = write_by_suffix(one.quantity, value, units)
                yield faults.MIX_OUT_OF_RANGE.met(
                    value=written, name=f"{one.name} of {written}", allowed=one.words
                )
    if mix.fibre_kg_per_m3 is not None and mix.fibre in (None, "none"):
        yield _half("a dose of fibre", "which fibre it is")
    if mix.water_cut is not None and mix.reducer in (None, "none"):
        yield _half("water that a reducer takes off", "which water reducer it is")


def _half(given: str, missing: str) -> Fault:
    return faults.MIX_HALF.met(value=given, given=given, missing=missing)
