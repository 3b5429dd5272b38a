"""The owner's practice: the trade's where the owner says nothing."""

from __future__ import annotations

from collections.abc import Sequence

from overslab.ground.faults import Fault
from overslab.ground.notes import Assumption
from overslab.ground.units import Units, write_pressure, write_share
from overslab.handbook import bonding, old_slab
from overslab.handbook.limits import Limit
from overslab.verdict import faults
from overslab.verdict.records import Practice, System
from overslab.verdict.words import Words

# Lengths this close are the same length.
SLACK_M = 1e-6

# Which limit of the handbook each field starts from.
STARTS_FROM: dict[str, Limit] = {
    "unbonded_least_m": bonding.UNBONDED_PRACTICE,
    "bonded_least_m": bonding.BONDED_PRACTICE,
    "crack_step_most_m": old_slab.STEP_PRACTICE,
    "crack_growth_most_m": old_slab.GROWTH_PRACTICE,
    "hollow_share_most": old_slab.HOLLOW_SHARE_PRACTICE,
    "hollow_each_most_m2": old_slab.HOLLOW_EACH_PRACTICE,
    "profile_least_csp": old_slab.PROFILE_PRACTICE,
    "pull_off_least_pa": old_slab.PULL_OFF_PRACTICE,
}
COMMON = "common practice"
GREATEST_CSP = 10  # the roughness grades of the ICRI run from 1 to 10


def common_practice(date: str) -> Practice:
    """What the trade commonly goes by, from the handbook; ``date`` is the day it is taken."""
    values = {name: limit.value for name, limit in STARTS_FROM.items()}
    return Practice(
        date=date,
        unbonded_least_m=values["unbonded_least_m"],
        bonded_least_m=values["bonded_least_m"],
        crack_step_most_m=values["crack_step_most_m"],
        crack_growth_most_m=values["crack_growth_most_m"],
        hollow_share_most=values["hollow_share_most"],
        hollow_each_most_m2=values["hollow_each_most_m2"],
        profile_least_csp=int(values["profile_least_csp"]),
        pull_off_least_pa=values["pull_off_least_pa"],
        note=COMMON,
    )


def left_to_common(fields: Sequence[str], units: Units) -> tuple[Assumption, ...]:
    """One statement of everything that an owner left to common practice."""
    if not fields:
        return ()
    common, words = common_practice(""), Words(units)
    written = {
        "unbonded_least_m": ("unbonded from", words.thickness(common.unbonded_least_m)),
        "bonded_least_m": ("bonded from", words.thickness(common.bonded_least_m)),
        "crack_step_most_m": ("step across a crack to", words.fine(common.crack_step_most_m)),
        "crack_growth_most_m": ("change of a crack to", words.fine(common.crack_growth_most_m)),
        "hollow_share_most": ("hollow share to", write_share(common.hollow_share_most)),
        "hollow_each_most_m2": ("one hollow place to", words.area(common.hollow_each_most_m2)),
        "profile_least_csp": ("roughness from CSP", str(common.profile_least_csp)),
        "pull_off_least_pa": ("pull-off from", write_pressure(common.pull_off_least_pa, units)),
    }
    taken = "; ".join(" ".join(written[name]) for name in written if name in fields)
    return (Assumption(about="[practice]", taken=taken, because="not given; common practice"),)


def least_of(system: System, practice: Practice) -> float:
    """The least thickness that the practice allows a system, metres."""
    return practice.unbonded_least_m if system == "unbonded" else practice.bonded_least_m


def cited(practice: Practice) -> str:
    """The source of every limit of the practice, for a check."""
    common = f", {COMMON}" if practice.note == COMMON else ""
    return f"owner's practice of {practice.date}{common}"


def practice_faults(practice: Practice, units: Units) -> list[Fault]:
    """Everything in a practice that nothing could be held to."""
    words = Words(units)
    found = [
        faults.PRACTICE_RANGE.met(value=value, place="[practice]", key=key, wanted=wanted)
        for key, value, good, wanted in (
            ("bonded_least", practice.bonded_least_m, practice.bonded_least_m > 0, "above 0"),
            (
                "crack_step",
                practice.crack_step_most_m,
                practice.crack_step_most_m >= 0,
                "0 or more",
            ),
            (
                "crack_growth",
                practice.crack_growth_most_m,
                practice.crack_growth_most_m >= 0,
                "0 or more",
            ),
            (
                "hollow_share",
                practice.hollow_share_most,
                0 <= practice.hollow_share_most <= 1,
                "from 0 to 100 %",
            ),
            (
                "hollow_each",
                practice.hollow_each_most_m2,
                practice.hollow_each_most_m2 >= 0,
                "0 or more",
            ),
            (
                "profile",
                practice.profile_least_csp,
                1 <= practice.profile_least_csp <= GREATEST_CSP,
                f"from 1 to {GREATEST_CSP}",
            ),
            ("pull_off", practice.pull_off_least_pa, practice.pull_off_least_pa > 0, "above 0"),
        )
        if not good
    ]
    if practice.bonded_least_m > practice.unbonded_least_m + SLACK_M:
        unbonded = words.thickness(practice.unbonded_least_m)
        found.append(
            faults.PRACTICE_ORDER.met(
                value=words.thickness(practice.bonded_least_m),
                place="[practice]",
                unbonded=unbonded,
            )
        )
    return found


def wish_faults(
    practice: Practice, *, wished: System | None, least_thickness_m: float | None, units: Units
) -> list[Fault]:
    """A least thickness that the owner's own practice forbids to the system wished, or to any."""
    if least_thickness_m is None:
        return []
    system: System = wished or "bonded"
    allowed_m = least_of(system, practice)
    if least_thickness_m >= allowed_m - SLACK_M:
        return []
    words = Words(units)
    return [
        faults.THINNER_THAN_PRACTICE.met(
            value=words.thickness(least_thickness_m),
            place="least_thickness in [wishes]",
            system=system,
            least=words.thickness(allowed_m),
            date=practice.date,
        )
    ]
