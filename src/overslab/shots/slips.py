"""The likeliest slip behind a reading that does not fit.

Each candidate undoes one slip; the one that comes nearest the reading that would fit is told, if it
comes within noise of it. The list of slips is common practice: what crews find in their books.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from itertools import pairwise
from math import floor, isclose

from overslab.ground.faults import Faulty
from overslab.ground.units import read_rod_m
from overslab.ground.units.factors import CENTIMETRE_M, FOOT_M, INCH_M, METRE_M
from overslab.handbook.adjustment import baarda_critical
from overslab.shots.wording import Wording

_FOOT_M, _INCH_M = float(FOOT_M), float(INCH_M)
_METRE_M, _CENTIMETRE_M = float(METRE_M), float(CENTIMETRE_M)
# A candidate is within noise when chance alone would carry it farther once in a hundred times.
_WITHIN_NOISE = baarda_critical(significance=0.01)
# And it must explain most of the misfit: a slip of the size of the noise is not named.
_LEAST_EXPLAINED = 0.7


@dataclass(frozen=True, slots=True)
class Slip:
    says: str
    reading_m: float  # the reading with the slip undone, as this set-up would read it


def likely_slips(
    *,
    reading_m: float,
    typed: str,
    convention: str,
    fits_m: float,
    deviation_m: float,
    shift_to_setup_m: Mapping[str, float],
) -> tuple[Slip, ...]:
    """The slips that make the reading fit, the best first; none when no known slip does.

    ``deviation_m`` belongs to the misfit; ``shift_to_setup_m`` tells by how much this set-up's
    readings are greater than those of each other set-up on the same point.
    """
    near = min(
        _WITHIN_NOISE * deviation_m,
        (1.0 - _LEAST_EXPLAINED) * abs(reading_m - fits_m),
    )
    words = Wording(convention)
    candidates = [
        *_sizes(reading_m, convention),
        *_mixed_units(reading_m, convention, words),
        *_swapped(reading_m, typed, words),
        *_setups(reading_m, shift_to_setup_m),
    ]
    fitting = [slip for slip in candidates if abs(slip.reading_m - fits_m) <= near]
    return tuple(sorted(fitting, key=lambda slip: abs(slip.reading_m - fits_m)))


def _sizes(reading_m: float, convention: str) -> Iterator[Slip]:
    sizes = {
        "feet-inches": (("a whole foot", _FOOT_M), ("inches off by one", _INCH_M)),
        "tenths": (("a whole foot", _FOOT_M), ("tenths off by one", _FOOT_M / 10)),
        "metric": (
            ("a whole metre", _METRE_M),
            ("a decimetre", _METRE_M / 10),
            ("centimetres off by one", _CENTIMETRE_M),
        ),
    }
    for says, size_m in sizes[convention]:
        for undone_m in (reading_m - size_m, reading_m + size_m):
            yield Slip(says, undone_m)


def _mixed_units(reading_m: float, convention: str, words: Wording) -> Iterator[Slip]:
    """Feet with inches taken for feet with tenths, or the other way about."""
    feet = floor(reading_m / _FOOT_M + 1e-9)
    rest_m = reading_m - feet * _FOOT_M
    other: dict[str, float] = {}
    if convention == "feet-inches":
        inches = rest_m / _INCH_M
        if inches < 10:  # 4-5 booked for 4.5
            other["inches booked for tenths of a foot"] = (feet + inches / 10) * _FOOT_M
        elif isclose(inches, round(inches), abs_tol=1e-6):  # 4-11 booked for 4.11
            other["feet and inches booked for decimals of a foot"] = (
                feet + round(inches) / 100
            ) * _FOOT_M
    elif convention == "tenths":
        tenths = rest_m / _FOOT_M * 10  # 4.5 booked for 4-5
        other["a tenth read as an inch"] = feet * _FOOT_M + tenths * _INCH_M
        hundredths = tenths * 10
        if isclose(hundredths, 10, abs_tol=1e-6) or isclose(hundredths, 11, abs_tol=1e-6):
            other["decimals of a foot booked for feet and inches"] = (
                feet * _FOOT_M + round(hundredths) * _INCH_M
            )
    for says, undone_m in other.items():
        if not isclose(undone_m, reading_m, abs_tol=1e-9):
            yield Slip(f"{says}: {words.reading(undone_m)} would be the true one", undone_m)


def _swapped(reading_m: float, typed: str, words: Wording) -> Iterator[Slip]:
    """Two neighbouring digits of the typed text changed about, read again under the same rules."""
    digits = [place for place, sign in enumerate(typed) if sign.isdigit()]
    for left, right in pairwise(digits):
        if typed[left] == typed[right]:
            continue
        turned = list(typed)
        turned[left], turned[right] = turned[right], turned[left]
        text = "".join(turned)
        try:
            undone_m = read_rod_m(text, system=words.system)
        except Faulty:
            continue  # what the rod cannot show was not read from it
        if not isclose(undone_m, reading_m, abs_tol=1e-9):
            yield Slip(f"digits changed about: {typed} for {text}", undone_m)


def _setups(reading_m: float, shift_to_setup_m: Mapping[str, float]) -> Iterator[Slip]:
    for setup, shift_m in shift_to_setup_m.items():
        yield Slip(f"wrong set-up: it fits set-up {setup} as booked", reading_m + shift_m)
