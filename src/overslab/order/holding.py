"""Each figure of the mix asked for beside the limit that holds it."""

from __future__ import annotations

from collections.abc import Callable, Iterator

from overslab.ground.faults import Faulty
from overslab.handbook.admixtures import WATER_REDUCERS
from overslab.handbook.checks import Check
from overslab.handbook.exposure import AIR_TOLERANCE, air_aci_318, air_ufgs_03311
from overslab.handbook.fibres import FIBRE_LIMITS
from overslab.handbook.limits import NOISE, Limit
from overslab.handbook.mix_tables import SLUMP_LIMITS, air_aci_211
from overslab.handbook.site_water import SITE_WATER_LIMITS
from overslab.handbook.stone import largest_stone_aci_318, largest_stone_ufgs_03700
from overslab.handbook.working import Working, show
from overslab.order.frost import AIR_CLASS, AIR_EXPOSURE
from overslab.order.records import Demand, FrostClass, MixAsked

# These carry slump beyond what the table of slumps was made for.
_HIGH_RANGE = ("mid-range", "Type F", "Type G")
_REDUCER_TOPIC = {
    "Type A": "water reducer Type A",
    "Type D": "water reducer Type D",
    "mid-range": "water reducer mid-range",
    "Type F": "water reducer Type F",
    "Type G": "water reducer Type F",
}
# 4500 psi is printed as 31 MPa where strength is asked for in MPa, a thousandth less (memory).
_ROUNDED = 0.002
DISCHARGE = tuple(one for one in SITE_WATER_LIMITS if one.quantity.endswith(("minutes", "_count")))


def topic(limits: tuple[Limit, ...], name: str) -> tuple[Limit, ...]:
    return tuple(one for one in limits if one.topic == name)


def strength_checks(mix: MixAsked, demands: tuple[Demand, ...]) -> Iterator[Check]:
    """Strength and ratio asked for, against the edition that governs."""
    for one in demands:
        if not one.governs:
            continue
        source = f"{one.source} ({one.known}), exposure {one.exposure}"
        if mix.strength_pa is not None:
            yield Check(
                name="strength for frost and salt",
                quantity="strength_pa",
                found=mix.strength_pa,
                comparison="at least",
                allowed=one.strength_pa,
                source=source,
                slack=_ROUNDED * one.strength_pa,
            )
        if mix.water_cement_ratio is not None and one.water_cement_ratio is not None:
            yield Check(
                name="water-cement ratio for frost and salt",
                quantity="water_cement_ratio",
                found=mix.water_cement_ratio,
                comparison="at most",
                allowed=one.water_cement_ratio,
                source=source,
                slack=NOISE,
            )


def stone_allowed(thinnest_m: float) -> tuple[tuple[float, float], tuple[Working, ...]]:
    """Largest stone for the thinnest place: by the third, and by the federal guide."""
    third_m, third = show(
        largest_stone_aci_318,
        about="largest stone for the thinnest place",
        slab_thickness_m=thinnest_m,
    )
    federal_m, federal = show(
        largest_stone_ufgs_03700,
        about="largest stone for the thinnest place, the stricter guide",
        slab_thickness_m=thinnest_m,
    )
    return (third_m, federal_m), (third, federal)


def stone_checks(mix: MixAsked, workings: tuple[Working, ...]) -> Iterator[Check]:
    """Stone asked for beside what both rules allow at the thinnest place."""
    if mix.stone_m is None:
        return
    names = ("a third of the thinnest place", "federal guide")
    for name, working in zip(names, workings, strict=True):
        yield Check(
            name=f"largest stone, {name}",
            quantity="stone_m",
            found=mix.stone_m,
            comparison="at most",
            allowed=working.result.value,
            source=f"{working.source} ({working.known})",
            slack=NOISE,
            where="thinnest place",
        )


def slump_checks(mix: MixAsked) -> Iterator[Check]:
    """Slump asked for beside the table for slabs, by hand; high-range reducers lie outside it."""
    if mix.slump_m is None:
        return
    least = topic(SLUMP_LIMITS, "slump, least")[0]
    greatest = topic(SLUMP_LIMITS, "slump, greatest")[0]
    by_hand = topic(SLUMP_LIMITS, "slump, by hand")[0]
    yield least.check(found=mix.slump_m)
    if mix.reducer in _HIGH_RANGE:
        return
    yield Check(
        name="greatest slump for slabs struck by hand, not vibrated",
        quantity="slump_m",
        found=mix.slump_m,
        comparison="at most",
        allowed=greatest.value + by_hand.value,
        source=f"{greatest.cited}; {by_hand.name}: {by_hand.printed} ({by_hand.known})",
        slack=NOISE,
    )


def air_checks(
    mix: MixAsked, frost: FrostClass
) -> tuple[tuple[Check, ...], tuple[Working, ...], tuple[str, ...]]:
    """Air asked for beside what each source gives for the stone, and why a table gives nothing."""
    if mix.air is None or mix.stone_m is None or frost == "F0":
        return (), (), ()
    air, stone_m = mix.air, mix.stone_m
    checks: list[Check] = []
    workings: list[Working] = []
    silent: list[str] = []

    def look(function: Callable[..., float], name: str, **inputs: object) -> Working | None:
        try:
            _, opened = show(function, about=name, stone_m=stone_m, **inputs)
        except Faulty as trouble:
            silent.extend(told(trouble))
            return None
        workings.append(opened)
        return opened

    severity, frost_class = AIR_EXPOSURE[frost], AIR_CLASS[frost]
    opened = look(air_aci_211, "air for frost", exposure=severity)
    if opened is not None:
        checks += _both_ways(air, opened, f"ACI 211.1, {severity}")
    if mix.strength_pa is not None:
        opened = look(
            air_aci_318, "air for frost", exposure=frost_class, strength_pa=mix.strength_pa
        )
        if opened is not None:
            checks += _both_ways(air, opened, f"ACI 318, class {frost_class}")
    for end in ("least", "most"):
        opened = look(air_ufgs_03311, "air, federal guide", end=end)
        if opened is not None:
            value = opened.result.value
            checks.append(_air(air, value, opened, "federal guide", least=end == "least"))
    return tuple(checks), tuple(workings), tuple(dict.fromkeys(silent))


def _both_ways(air: float, opened: Working, name: str) -> Iterator[Check]:
    """At least the target; at most the target and the tolerance of what is delivered."""
    target = opened.result.value
    yield _air(air, target, opened, name, least=True)
    yield _air(air, target + AIR_TOLERANCE.value, opened, f"{name}, and tolerance", least=False)


def _air(air: float, allowed: float, opened: Working, name: str, *, least: bool) -> Check:
    return Check(
        name=f"air for frost, {name}",
        quantity="air_share",
        found=air,
        comparison="at least" if least else "at most",
        allowed=allowed,
        source=f"{opened.source} ({opened.known})",
        slack=NOISE,
    )


def additive_checks(mix: MixAsked) -> Iterator[Check]:
    """Fibre dose, what the reducer takes off, and the time to discharge."""
    if mix.fibre_kg_per_m3 is not None and mix.fibre is not None:
        for limit in topic(FIBRE_LIMITS, mix.fibre):
            yield limit.check(found=mix.fibre_kg_per_m3)
    if mix.water_cut is not None and mix.reducer is not None:
        for limit in topic(WATER_REDUCERS, _REDUCER_TOPIC.get(mix.reducer, "")):
            yield limit.check(found=mix.water_cut)
    if mix.discharge_minutes is not None:
        yield topic(SITE_WATER_LIMITS, "discharge time")[0].check(found=mix.discharge_minutes)


def told(trouble: Faulty) -> tuple[str, ...]:
    """Faults of a table as one line each: what it was asked, and what it has."""
    return tuple(f"{one.what}: {one.value}; {one.limit}" for one in trouble.faults)
