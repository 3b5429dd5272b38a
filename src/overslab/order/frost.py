"""Frost and salt: what the floor meets, and what each edition then asks of the concrete."""

from __future__ import annotations

from collections.abc import Mapping

from overslab.ground.notes import Assumption
from overslab.handbook.exposure import (
    EXPOSURES,
    FROST_CLASSES,
    Edition,
    FrostExposure,
    garage_strength_irc,
    least_strength_for_exposure,
    most_ratio_for_exposure,
)
from overslab.handbook.exposure import Exposure as Row
from overslab.handbook.mix_tables import AirExposure
from overslab.handbook.working import Working, show
from overslab.order.records import (
    Demand,
    DurabilityEdition,
    Exposure,
    FrostClass,
    MixAsked,
    Said,
)
from overslab.verdict.records import Findings

DEFAULT_EDITION: DurabilityEdition = "318-19"
# The row of each edition that a class falls into. The sheet on durability has rows for salt on
# steel and for no frost only; an edition without a row for a class asks nothing there.
_ROWS: Mapping[Edition, Mapping[FrostClass, Row]] = {
    "318-19": {"F2": "F2", "F3 plain": "F3 plain", "F3": "F3"},
    "318-08": {"F2": "F2", "F3 plain": "F3", "F3": "F3"},
    "PCA 9-1": {
        "F2": "freezing, moist or deicers",
        "F3 plain": "freezing, moist or deicers",
        "F3": "corrosion by deicers",
    },
    "durability sheet": {"F0": "F0", "F3": "C2"},
}
# The columns of air of ACI 211.1 and the classes of ACI 318; the match is ours.
AIR_EXPOSURE: Mapping[FrostClass, AirExposure] = {
    "F0": "none",
    "F2": "severe",
    "F3 plain": "severe",
    "F3": "severe",
}
AIR_CLASS: Mapping[FrostClass, FrostExposure] = {"F2": "F2", "F3 plain": "F3", "F3": "F3"}
_SALTED: Mapping[Said, tuple[FrostClass, ...]] = {
    "yes": ("F3",),
    "no": ("F3 plain",),
    "not known": ("F3 plain", "F3"),
}
_WORDS = {advice.topic.removeprefix("exposure "): advice.says for advice in FROST_CLASSES}


def exposure_of(findings: Findings) -> Exposure:
    """What the finished floor meets, out of what was found at the old slab."""
    return Exposure(freezes=findings.freezes, deicers=findings.deicers)


def frost_classes(exposure: Exposure, *, steel: Said) -> tuple[FrostClass, ...]:
    """Every class that the floor may fall into, the mildest first; one when all is known."""
    if exposure.freezes == "no":
        return ("F0",)
    may_be: list[FrostClass] = []
    if exposure.freezes == "not known":
        may_be.append("F0")
    if exposure.deicers != "yes":
        may_be.append("F2")
    if exposure.deicers != "no":
        may_be += _SALTED[steel]
    return tuple(may_be)


def in_words(frost: FrostClass) -> str:
    """The class with its meaning."""
    plain = ", concrete without steel" if frost == "F3 plain" else ""
    return f"{frost.removesuffix(' plain')} ({_WORDS[frost.removesuffix(' plain')]}{plain})"


def demands_of(
    frost: tuple[FrostClass, ...], mix: MixAsked
) -> tuple[tuple[Demand, ...], tuple[Working, ...]]:
    """What every edition asks at the mildest class that is sure, and at the worst that may be.

    The mildest comes first; the row of the owner's edition governs.
    """
    governing = mix.edition or DEFAULT_EDITION
    found: list[Demand] = []
    workings: list[Working] = []
    for one in dict.fromkeys((frost[0], frost[-1])):
        sure = one == frost[0]
        for edition, rows in _ROWS.items():
            row = rows.get(one)
            if row is None:
                continue
            governs = sure and edition == governing
            demand, opened = _demand(row, edition, governs=governs)
            found.append(demand)
            workings += opened if governs else ()
        if one != "F0":
            found.append(_garage())
    return tuple(dict.fromkeys(found)), tuple(workings)


def _demand(row: Row, edition: Edition, *, governs: bool) -> tuple[Demand, tuple[Working, ...]]:
    printed = EXPOSURES[(edition, row)]
    strength_pa, opened = show(
        least_strength_for_exposure,
        about="strength for frost and salt",
        exposure=row,
        edition=edition,
    )
    workings = [opened]
    ratio = None
    if printed.ratio is not None:
        ratio, opened = show(
            most_ratio_for_exposure,
            about="water-cement ratio for frost and salt",
            exposure=row,
            edition=edition,
        )
        workings.append(opened)
    demand = Demand(
        edition=edition,
        exposure=row,
        strength_pa=strength_pa,
        water_cement_ratio=ratio,
        source=printed.source,
        known=printed.known,
        governs=governs,
    )
    return demand, tuple(workings)


def _garage() -> Demand:
    strength_pa, opened = show(garage_strength_irc, weathering="severe")
    return Demand(
        edition="residential code",
        exposure="garage floor, severe weathering",
        strength_pa=strength_pa,
        water_cement_ratio=None,
        source=opened.source,
        known=opened.known,
    )


def frost_assumptions(frost: tuple[FrostClass, ...], mix: MixAsked) -> tuple[Assumption, ...]:
    """What was taken to read the classes; nothing where nothing freezes."""
    if frost == ("F0",):
        return ()
    taken = [
        Assumption(
            about="water on a floor that freezes",
            taken="often there, not seldom: class F2 and not F1",
            because="a floor that is laid to shed water is laid because water comes",
        )
    ]
    if mix.edition is None:
        taken.append(
            Assumption(
                about="edition for frost and salt",
                taken=f"ACI {DEFAULT_EDITION}",
                because="not given in [mix]; the newest one here. Its values are from memory: "
                "the others stand beside it",
            )
        )
    return tuple(taken)
