"""The verdict: may we pour over the old slab, bonded or unbonded, and why?"""

from overslab.verdict.checking import finding_faults
from overslab.verdict.judging import judge
from overslab.verdict.practice import (
    common_practice,
    least_of,
    left_to_common,
    practice_faults,
    wish_faults,
)
from overslab.verdict.records import (
    CrackFinding,
    CrackReading,
    Finding,
    Findings,
    HeightLimit,
    Hollow,
    LoadOnTop,
    Practice,
    SystemRoom,
    Verdict,
)

__all__ = [
    "CrackFinding",
    "CrackReading",
    "Finding",
    "Findings",
    "HeightLimit",
    "Hollow",
    "LoadOnTop",
    "Practice",
    "SystemRoom",
    "Verdict",
    "common_practice",
    "finding_faults",
    "judge",
    "least_of",
    "left_to_common",
    "practice_faults",
    "wish_faults",
]
