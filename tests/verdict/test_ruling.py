"""The ruling over every combination of findings that could hurt someone."""

from __future__ import annotations

from dataclasses import fields, replace
from itertools import product

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from slabs_to_judge import CRACK, GREW, PRACTICE, SOUND, STILL, cracked, found, slab

from overslab.ground.units import Units
from overslab.verdict import CrackFinding, CrackReading, Findings, HeightLimit, judge
from overslab.verdict.cracks import all_seen, crack_findings, moving
from overslab.verdict.rest import ground_findings
from overslab.verdict.ruling import ORDER, rule
from overslab.verdict.structure import structure_findings
from overslab.verdict.words import Words

WORDS = Words(Units("metric", 0.001))
SAID = ("yes", "no", "not known")
ONE_LOOK = (CrackReading("2026-04-01", 0.004),)
READINGS = {"grew": GREW, "still": STILL, "one look": ONE_LOOK, "never": ()}
LIFTS = (("no", "no"), ("not known", "no"), ("yes", "yes"), ("yes", "no"), ("yes", "not known"))


def unsafe(findings: Findings, *, grows: bool, wheel: str, system: str) -> bool:
    """Written apart from the room: what must never be poured over as it is."""
    return (
        findings.stands_on != "ground"
        or findings.tendons != "no"
        or (findings.lift_posts == "yes" and findings.lift_on_own_pads != "yes")
        or findings.still_moving != "no"
        or grows
        or not findings.cause
        or findings.cause_cured != "yes"
        or findings.undermined != "no"
        or findings.frost_heave == "yes"
        or wheel == "yes"
        or (wheel == "not known" and system == "bonded")
    )


def hopeless(findings: Findings, *, grows: bool) -> bool:
    """What is not to be poured over at all until its cause is cured."""
    alive = findings.cause_cured != "yes"
    return alive and (findings.still_moving == "yes" or grows or findings.frost_heave == "yes")


def test_no_unsafe_combination_is_poured_over() -> None:
    """All 131,220 combinations of structure, ground and crack, for either system."""
    structures = [
        (changed, structure_findings(changed))
        for stands, tendons, (lift, pads) in product(
            ("ground", "suspended", "not known"), SAID, LIFTS
        )
        for changed in [
            found(stands_on=stands, tendons=tendons, lift_posts=lift, lift_on_own_pads=pads)
        ]
    ]
    grounds = []
    for moves, cause, cured, void, frost, looks, wheel in product(
        SAID, ("", "fill"), SAID, SAID, SAID, ("grew", "still", "one look"), SAID
    ):
        changed = found(
            still_moving=moves,
            cause=cause,
            cause_cured=cured,
            undermined=void,
            frost_heave=frost,
            cracks=(CrackFinding("crack K", READINGS[looks], wheel),),
        )
        seen = all_seen(SLAB, changed)
        told = ground_findings(changed, growing=moving(seen, PRACTICE))
        told += crack_findings(seen, PRACTICE, WORDS)
        grounds.append((changed, looks == "grew", wheel, told))
    rooms = {room.system: room for room in judge(SLAB, SOUND, PRACTICE).systems}
    over = count = 0
    for (built, structural), (ground, grows, wheel, grounded) in product(structures, grounds):
        whole = replace(
            ground,
            stands_on=built.stands_on,
            tendons=built.tendons,
            lift_posts=built.lift_posts,
            lift_on_own_pads=built.lift_on_own_pads,
        )
        for system, room in rooms.items():
            ruling = rule((*structural, *grounded), system=system, room=room)
            bad = unsafe(whole, grows=grows, wheel=wheel, system=system)
            assert ruling.startswith("over it") is not bad, (whole, system)
            if hopeless(whole, grows=grows):
                assert ruling == "do not pour over this"
            over += not bad
            count += 1
    assert count == 45 * 1458 * 2
    assert 0 < over < count / 100


SLAB = cracked()
CHOICES = {
    "stands_on": ("ground", "suspended", "not known"),
    "tendons": SAID,
    "still_moving": SAID,
    "cause": ("", "fill"),
    "cause_cured": SAID,
    "undermined": SAID,
    "frost_heave": SAID,
    "sounded": SAID,
    "surface": (("clean",), ("oil",), ("paint", "scaled"), ("not known",), ()),
    "profile_csp": (None, 5, 7, 9),
    "pull_off_pa": (None, 0.5e6, 2e6),
    "water_from": (("rain",), ("ground",), ("plumbing",), ("not known",)),
    "drained": SAID,
    "sheet_test": ("dry", "damp", "not done"),
    "hose_test": ("stays away", "comes in", "not done"),
    "heating_pipes": SAID,
    "lift_posts": SAID,
    "lift_on_own_pads": SAID,
    "thickness_m": (None, 0.1),
    "strength_pa": (None, 2e7),
}


@settings(max_examples=150, deadline=None)
@given(
    st.fixed_dictionaries({name: st.sampled_from(values) for name, values in CHOICES.items()}),
    st.sampled_from(sorted(READINGS)),
    st.sampled_from(SAID),
    st.sampled_from(("unbonded", "bonded", None)),
)
def test_the_whole_room_keeps_the_same_promise(spoilt, looks, wheel, wished) -> None:
    findings = found(**spoilt, cracks=(CrackFinding("crack K", READINGS[looks], wheel),))
    told = judge(SLAB, findings, PRACTICE, wished=wished)
    grows = looks == "grew"
    if told.ruling.startswith("over it"):
        assert told.system is not None
        assert not unsafe(findings, grows=grows, wheel=wheel, system=told.system)
        if told.system == "bonded":
            assert findings.surface == ("clean",)
            assert findings.sounded == "yes"
            assert findings.profile_csp != 5
            assert findings.pull_off_pa != 0.5e6
    if hopeless(findings, grows=grows):
        assert told.ruling == "do not pour over this"
    if findings.stands_on == "suspended" or findings.tendons == "yes":
        assert any("licensed engineer" in text for text in told.engineer)
    for one in told.findings:
        # Nothing that is wrong or open stands without what to do about it.
        assert one.weighs == "good" or one.remedy


@pytest.mark.parametrize("system", ["unbonded", "bonded"])
def test_nothing_looked_at_is_never_poured_over(system) -> None:
    told = judge(SLAB, Findings(), PRACTICE, wished=system)
    assert told.ruling == "put these right first"
    assert len(told.not_known) > 10
    assert sum(text.startswith("Find out") for text in told.put_right) >= 5


GOOD = {field.name: getattr(SOUND, field.name) for field in fields(Findings)}
UNLOOKED = {field.name: getattr(Findings(), field.name) for field in fields(Findings)}


@pytest.mark.parametrize("name", [n for n in GOOD if GOOD[n] != UNLOOKED[n]])
@pytest.mark.parametrize("system", ["unbonded", "bonded"])
def test_what_is_not_known_never_makes_it_better(name, system) -> None:
    """Each finding in turn goes back to not looked at: the ruling or its provisos get worse."""
    sound = judge(SLAB, SOUND, PRACTICE, wished=system)
    assert sound.ruling == f"over it, {system}"
    assert sound.provided == ()
    spoilt = judge(SLAB, found(**{name: UNLOOKED[name]}), PRACTICE, wished=system)
    assert ORDER.index(spoilt.ruling) >= ORDER.index(sound.ruling)
    silent = {
        # Matters of the mix, of a wheel that is not there, or of a thing that is not there.
        "freezes", "deicers", "drained", "lift_on_own_pads", "subgrade_pa_per_m",
    }  # fmt: skip
    if system == "unbonded":
        silent |= {"surface", "profile_csp", "pull_off_pa"}  # a sheet forgives a dirty face
    assert bool(spoilt.not_known) is (name not in silent)


def test_moving_and_its_cause_alive_is_not_poured_over() -> None:
    told = judge(SLAB, found(still_moving="yes", cause_cured="no"), PRACTICE)
    assert told.ruling == "do not pour over this"
    assert any("tear the floor out" in text for text in told.put_right)
    assert any(advice.topic == "reject" for one in told.findings for advice in one.advice)


def test_readings_win_over_what_is_believed() -> None:
    grown = found(cracks=(CrackFinding("crack K", GREW, "no"),))
    told = judge(SLAB, grown, PRACTICE)
    assert told.ruling == "put these right first"
    rest = next(one for one in told.findings if one.topic == "ground")
    assert "though it was said to be at rest" in rest.says
    alive = replace(grown, cause_cured="not known")
    assert judge(SLAB, alive, PRACTICE).ruling == "do not pour over this"


def test_a_suspended_slab_stops_in_words() -> None:
    told = judge(SLAB, found(stands_on="suspended"), PRACTICE)
    assert told.ruling == "put these right first"
    (words,) = told.engineer
    assert "stop" in words
    assert "licensed engineer" in words
    assert any(remark.weight == "warn" and words == remark.text for remark in told.remarks)


def test_a_lift_on_pads_of_its_own_does_not_hold_the_floor_back() -> None:
    own = judge(SLAB, found(lift_posts="yes", lift_on_own_pads="yes"), PRACTICE)
    assert own.ruling == "over it, unbonded"
    assert any("holds no anchor" in text for text in own.engineer)
    bolted = judge(SLAB, found(lift_posts="yes"), PRACTICE)
    assert bolted.ruling == "put these right first"
    assert any("maker" in text for text in bolted.put_right)


def test_pipes_of_unknown_depth_forbid_every_drill() -> None:
    unknown = judge(SLAB, found(heating_pipes="yes"), PRACTICE)
    assert any("at a depth nobody knows" in text for text in unknown.no_drilling)
    assert any("No drilling" in remark.text for remark in unknown.remarks)
    known = judge(SLAB, found(heating_pipes="yes", heating_pipe_depth_m=0.05), PRACTICE)
    assert any("proven in places only" in text for text in known.no_drilling)
    assert judge(SLAB, SOUND, PRACTICE).no_drilling == ()
    assert judge(SLAB, found(tendons="not known"), PRACTICE).no_drilling


def test_what_would_change_the_ruling_is_said() -> None:
    over = judge(SLAB, SOUND, PRACTICE)
    assert any("void found" in text for text in over.would_change)
    held = judge(SLAB, found(undermined="yes"), PRACTICE)
    assert any("over it, unbonded" in text for text in held.would_change)
    moving_unknown = judge(SLAB, found(still_moving="not known"), PRACTICE)
    assert any("do not pour over this" in text.lower() for text in moving_unknown.would_change)
    door = HeightLimit("door", (1.0, 0.0), (5.0, 0.0), 0.06)
    low = judge(SLAB, SOUND, PRACTICE, limits=(door,))
    assert any("More room would allow it unbonded" in text for text in low.would_change)


def test_the_better_system_is_taken_and_then_the_one_on_a_sheet() -> None:
    assert judge(SLAB, SOUND, PRACTICE).system == "unbonded"
    door = HeightLimit("door", (1.0, 0.0), (5.0, 0.0), 0.06)
    assert judge(SLAB, SOUND, PRACTICE, limits=(door,)).system == "bonded"
    assert judge(SLAB, SOUND, PRACTICE, limits=(door,), wished="unbonded").system is None


def test_words_of_a_metric_job_hold_no_inch_and_no_yard() -> None:
    crack = replace(CRACK, step_m=0.012)
    told = judge(
        slab(breaks=(crack,)),
        found(heating_pipes="yes", heating_pipe_depth_m=0.05),
        PRACTICE,
        limits=(HeightLimit("door", (1.0, 0.0), (5.0, 0.0), 0.06),),
        stone_m=0.02,
    )
    texts = [*told.put_right, *told.would_change, *told.provided]
    texts += [one.says for one in told.findings] + [one.remedy for one in told.findings]
    texts += [reason for room in told.systems for reason in room.reasons]
    joined = " ".join(texts)
    assert "mm" in joined
    for unit in (" in ", " ft", '"', "yd", "psi", "lb"):
        said = [text for text in texts if unit in text and any(c.isdigit() for c in text)]
        if unit == " in ":  # also a word: look for it behind a digit
            said = [text for text in said if any(f"{d} in " in text for d in "0123456789")]
        assert said == [], unit
