"""Findings that contradict the plan or themselves: told all at once, before anything is judged."""

from __future__ import annotations

from dataclasses import replace

import pytest
from slabs_to_judge import PRACTICE, SOUND, cracked, found

from overslab.ground.faults import Faulty
from overslab.verdict import CrackFinding, CrackReading, Hollow, LoadOnTop, judge

SQUARE = ((1.0, 1.0), (2.0, 1.0), (2.0, 2.0), (1.0, 2.0))
TWICE = (CrackReading("2026-01-01", 0.001), CrackReading("2026-01-01", 0.002))


@pytest.mark.parametrize(
    ("spoilt", "code"),
    [
        ({"cracks": (CrackFinding("crack X"),)}, "verdict-break-unknown"),
        ({"cracks": (CrackFinding("crack K", TWICE),)}, "verdict-reading-date"),
        (
            {"cracks": (CrackFinding("crack K", (CrackReading("2026-02-30", 0.001),)),)},
            "verdict-reading-date",
        ),
        (
            {"cracks": (CrackFinding("crack K", (CrackReading("2026-02-03", -0.001),)),)},
            "verdict-measure-sign",
        ),
        ({"thickness_m": 0.0}, "verdict-measure-sign"),
        ({"profile_csp": 11}, "verdict-measure-sign"),
        ({"loads": (LoadOnTop("w", "wheel", 0.0, 0.01),)}, "verdict-measure-sign"),
        ({"hollows": (Hollow("h", ((0, 0), (1, 0))),)}, "verdict-hollow-shape"),
        ({"hollows": (Hollow("h", ((0, 0), (1, 1), (1, 0), (0, 1))),)}, "verdict-hollow-shape"),
        (
            {"hollows": (Hollow("h", ((9, 9), (10, 9), (10, 10), (9, 10))),)},
            "verdict-hollow-outside",
        ),
        ({"hollows": (Hollow("h", SQUARE), Hollow("h", SQUARE))}, "verdict-name-twice"),
    ],
)
def test_a_finding_that_cannot_be_is_a_fault(spoilt, code) -> None:
    with pytest.raises(Faulty) as trouble:
        judge(cracked(), found(**spoilt), PRACTICE)
    assert [fault.code for fault in trouble.value.faults] == [code]
    for fault in trouble.value.faults:
        assert fault.what
        assert fault.limit
        assert fault.remedy


@pytest.mark.parametrize(
    ("changed", "code"),
    [
        ({"bonded_least_m": 0.1}, "verdict-practice-order"),
        ({"bonded_least_m": 0.0}, "verdict-practice-range"),
        ({"crack_growth_most_m": -0.001}, "verdict-practice-range"),
        ({"hollow_share_most": 1.2}, "verdict-practice-range"),
        ({"profile_least_csp": 0}, "verdict-practice-range"),
    ],
)
def test_a_practice_that_nothing_could_be_held_to_is_a_fault(changed, code) -> None:
    with pytest.raises(Faulty) as trouble:
        judge(cracked(), SOUND, replace(PRACTICE, **changed))
    assert [fault.code for fault in trouble.value.faults] == [code]


def test_all_faults_are_told_at_once() -> None:
    spoilt = found(
        cracks=(CrackFinding("crack X", TWICE),), hollows=(Hollow("h", ((0, 0), (1, 0))),)
    )
    with pytest.raises(Faulty) as trouble:
        judge(cracked(), spoilt, replace(PRACTICE, pull_off_least_pa=0.0), least_thickness_m=0.01)
    assert {fault.code for fault in trouble.value.faults} == {
        "verdict-break-unknown",
        "verdict-reading-date",
        "verdict-hollow-shape",
        "verdict-practice-range",
        "verdict-thinner-than-practice",
    }
