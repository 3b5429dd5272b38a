"""Long goods cut to lengths: what is used up and how many rolls or boards that takes."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

# An end shorter than this is thrown away: a foot (our choice).
LEAST_END_M = 0.3048
# A strip or board may end this far below the top: a millimetre (our choice).
_BELOW_M = 0.001


@dataclass(frozen=True, slots=True)
class Cut:
    """``used_m`` is all that was cut off rolls for the floor, with laps; ends are not in it."""

    rolls: int
    used_m: float
    laps: int  # where two pieces meet within one length


def cut_off(lengths_m: Sequence[float], *, stock_m: float, lap_m: float = 0.0) -> Cut:
    """Cut ``lengths_m`` in their order off stock of ``stock_m``, each end going on to the next.

    A length may be pieced together; every joint within it costs one lap. An end too short to be
    worth a joint is left over.
    """
    left_m, rolls, used_m, laps = 0.0, 0, 0.0, 0
    for length_m in lengths_m:
        missing_m, first = length_m, True
        while missing_m > 1e-9:
            wanted_m = missing_m + (0.0 if first else lap_m)
            if left_m < min(wanted_m, LEAST_END_M + lap_m) - 1e-9:
                rolls, left_m = rolls + 1, stock_m
            taken_m = min(wanted_m, left_m)
            missing_m -= taken_m - (0.0 if first else lap_m)
            left_m, used_m = left_m - taken_m, used_m + taken_m
            laps += 0 if first else 1
            first = False
    return Cut(rolls, used_m, laps)


def pick_height(height_m: float, heights_m: Sequence[float]) -> tuple[float, int]:
    """The lowest height that reaches, and how many lie over each other where none does."""
    tall_enough = [one for one in sorted(heights_m) if one >= height_m - _BELOW_M]
    if tall_enough:
        return tall_enough[0], 1
    tallest = max(heights_m)
    return tallest, -int(-(height_m - _BELOW_M) // tallest)
