"""Which mix? The one asked for, held against the floor it is for; what is missing is asked."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Literal

from overslab.ground.notes import Remark
from overslab.ground.units import Units, write_by_suffix
from overslab.handbook.bonding import TOPPING_SHRINKAGE
from overslab.handbook.checks import Check
from overslab.handbook.exposure import AIR_TOLERANCE, IRC_LIMITS
from overslab.handbook.fibres import FIBRE_ADVICE
from overslab.handbook.limits import Limit
from overslab.handbook.mix_tables import SLUMP_LIMITS
from overslab.order import holding
from overslab.order.by_method import (
    ASSUMED,
    by_method,
    compared,
    fills,
    ratio_check,
    strength_beside,
)
from overslab.order.frost import demands_of, frost_assumptions, frost_classes, in_words
from overslab.order.records import Demand, Exposure, FrostClass, MixAsked, MixCheck
from overslab.order.ticket import site_water

METRIC = Units(system="metric", mark_m=0.001)
NOT_ASKED = Exposure()
System = Literal["unbonded", "bonded"]


def check_mix(
    mix: MixAsked,
    *,
    thinnest_m: float,
    truck_m3: float,
    exposure: Exposure = NOT_ASKED,
    system: System | None = None,
    units: Units = METRIC,
) -> MixCheck:
    """The mix asked for beside every limit that bears on it; nothing is filled in.

    ``thinnest_m`` is the thinnest place of the new slab; at 0 or less no stone fits and none is
    judged. ``units`` only choose how the words say
    their numbers. The mix is one that ``mix_faults`` finds nothing wrong with.
    """
    frost = frost_classes(exposure, steel=mix.steel)
    demands, opened = demands_of(frost, mix)
    (third_m, federal_m), stone = (
        holding.stone_allowed(thinnest_m) if thinnest_m > 0 else ((0.0, 0.0), ())
    )
    air, air_workings, silent = holding.air_checks(mix, frost[0])
    ratio, by = _greatest_ratio(mix, demands)
    method, not_worked, method_workings = by_method(mix, frost=frost, ratio=ratio)
    strength, strength_workings = strength_beside(
        mix, entrained=frost[0] != "F0" or bool(mix.air and mix.air > _ENTRAPPED_MOST)
    )
    filled, filled_workings = fills(mix.plant)
    water, water_workings = site_water(mix, demands, truck_m3=truck_m3, units=units)
    checks = (
        *holding.strength_checks(mix, demands),
        *ratio_check(mix.plant, ratio=ratio, by=by),
        *(holding.stone_checks(mix, stone) if stone else ()),
        *holding.slump_checks(mix),
        *air,
        *holding.additive_checks(mix),
    )
    asks = (
        *_not_written(mix),
        *_not_found(exposure, mix, frost, units),
        *_of_the_plant(mix, ratio, not_worked),
    )
    return MixCheck(
        frost=frost,
        demands=demands,
        checks=checks,
        asks=asks,
        stone_third_m=third_m,
        stone_federal_m=federal_m,
        by_method=method,
        not_worked=tuple(dict.fromkeys((*not_worked, *silent))),
        compared=(*compared(mix.plant, method), *strength, *((filled,) if filled else ())),
        site_water=water,
        discharge=holding.DISCHARGE,
        published=_published(frost, system),
        advice=FIBRE_ADVICE if mix.fibre not in (None, "none") else (),
        assumptions=(*frost_assumptions(frost, mix), *((ASSUMED,) if method else ())),
        remarks=tuple(_remarks(checks, frost, mix, units)),
        workings=(
            *opened,
            *stone,
            *air_workings,
            *method_workings,
            *strength_workings,
            *filled_workings,
            *water_workings,
        ),
    )


# The greatest air that is in concrete without any entrained, ACI 211.1 table 6.3.3.
_ENTRAPPED_MOST = 0.03


def _greatest_ratio(mix: MixAsked, demands: tuple[Demand, ...]) -> tuple[float | None, str]:
    """The lowest of the ratio asked and the one of frost and salt, and whose it is."""
    known = [
        (one.water_cement_ratio, f"{one.source} ({one.known}), exposure {one.exposure}")
        for one in demands
        if one.governs and one.water_cement_ratio is not None
    ]
    if mix.water_cement_ratio is not None:
        known.append((mix.water_cement_ratio, "the ratio asked for"))
    return min(known, default=(None, ""), key=lambda pair: pair[0])


def _not_written(mix: MixAsked) -> Iterator[str]:
    """What the dispatcher will ask."""
    said = {
        "strength": mix.strength_pa,
        "largest stone": mix.stone_m,
        "slump": mix.slump_m,
        "air, or none": mix.air,
        "fibre, or none": mix.fibre,
        "water reducer, or none": mix.reducer,
        "greatest water-cement ratio": mix.water_cement_ratio,
        "time from batching to discharge": mix.discharge_minutes,
    }
    missing = [name for name, value in said.items() if value is None]
    if mix.fibre not in (None, "none") and mix.fibre_kg_per_m3 is None:
        missing.append(f"dose of the {mix.fibre}")
    if mix.reducer not in (None, "none") and mix.water_cut is None:
        missing.append("what the maker says the water reducer takes off")
    if missing:
        yield (
            f"Not written on the mix: {'; '.join(missing)}. The dispatcher will ask; nothing was"
            " filled in here."
        )


def _not_found(
    exposure: Exposure,
    mix: MixAsked,
    frost: tuple[FrostClass, ...],
    units: Units,
) -> Iterator[str]:
    """What nobody has said of frost, salt and steel, and what it would ask of the mix."""
    if len(frost) == 1:
        return
    open_matters = []
    if exposure.freezes == "not known":
        open_matters.append("whether the finished floor, wet, meets frost")
    if exposure.deicers == "not known":
        open_matters.append("whether salt reaches it, also off vehicles")
    if exposure.deicers != "no" and mix.steel == "not known":
        open_matters.append("whether wire or bars lie in it")
    worst = demands_of(frost[-1:], mix)[0]
    asked = next((one for one in worst if one.governs), None)
    told = ""
    if asked is not None:
        strength = write_by_suffix("strength_pa", asked.strength_pa, units)
        told = (
            f" At worst, class {in_words(frost[-1])}, {asked.edition} asks a water-cement ratio of"
            f" at most {asked.water_cement_ratio:.2f} and at least {strength} ({asked.known})."
        )
    yield f"Nobody has said {'; '.join(open_matters)}.{told}"


def _of_the_plant(mix: MixAsked, ratio: float | None, not_worked: tuple[str, ...]) -> Iterator[str]:
    if mix.water_cement_ratio is None and ratio is not None:
        yield (
            f"Ask the plant to hold the water-cement ratio to at most {ratio:.2f}, and write it on"
            " the order: the water that the ticket allows hangs on it."
        )
    if mix.plant.cement_kg_per_m3 is None or mix.plant.water_kg_per_m3 is None:
        yield (
            "Ask the plant for the cement and the water of its mix: without them nobody can say"
            " what water the ticket still allows."
        )
    if not_worked:
        yield f"The mix is not worked out whole by ACI 211.1: {'; '.join(not_worked)}."


def _published(frost: tuple[FrostClass, ...], system: System | None) -> tuple[Limit, ...]:
    """Limits that nothing is checked by, to stand beside the checks."""
    found = [one for one in SLUMP_LIMITS if one.topic == "slump, as ordered"]
    if frost != ("F0",):
        found += [AIR_TOLERANCE, *(one for one in IRC_LIMITS if one.topic.startswith("garage air"))]
    if system == "bonded":
        found += TOPPING_SHRINKAGE
    return tuple(found)


def _remarks(
    checks: tuple[Check, ...], frost: tuple[FrostClass, ...], mix: MixAsked, units: Units
) -> Iterator[Remark]:
    for check in checks:
        if check.passes:
            continue
        found = write_by_suffix(check.quantity, check.found, units)
        allowed = write_by_suffix(check.quantity, check.allowed, units)
        # Slumps and doses are habits that a plant may better; the rest harms the floor.
        weight = "ask" if check.quantity in _HABITS else "warn"
        yield Remark(
            weight,
            f"Mix, {check.name}: {found}, {check.comparison} {allowed} ({check.source}).",
        )
    if frost == ("F0",) and mix.air is None:
        yield Remark(
            "note",
            "Nothing freezes here, so air need not be entrained; say so, for some plants put it in"
            " unasked.",
        )
    yield Remark(
        "note",
        "Proportions by the published method are a check on the plant's mix and no mix to pour;"
        " the plant's trial batches and local codes come first.",
    )


_HABITS = frozenset({"slump_m", "dose_kg_per_m3", "reduction_share", "discharge_minutes"})
