"""Where a label of the taped grid lies on the plan."""

from __future__ import annotations

from collections.abc import Sequence

from overslab.ground.faults import Faulty
from overslab.job import faults
from overslab.job.jobfile import TapedGrid
from overslab.job.typed import LABEL, Typed

Point = tuple[float, float]
FARTHEST = 200  # lines counted off by a spacing; nobody tapes more


class Tape:
    """The taped grid: letters count one way, numbers the other, A1 at the origin."""

    def __init__(self, grid: TapedGrid, *, origin_m: Point) -> None:
        self.origin_m = origin_m
        self.letters_run = grid.letters_run
        self.letters = _Lines(spacing=grid.letter_spacing, at=grid.letters_at, names="letters")
        self.numbers = _Lines(spacing=grid.number_spacing, at=grid.numbers_at, names="numbers")

    def find(self, label: str) -> Point:
        """x and y of a label such as ``C4``; raises ``Faulty`` when it is not on the grid."""
        parts = LABEL.fullmatch(label.strip())
        if parts is None:
            raise Faulty(
                faults.GRID_LABEL.met(
                    value=label[:60],
                    label=label[:60],
                    limit="A label is a letter and a number, such as C4.",
                )
            )
        by_letter = self.letters.distance_m(_place_of(parts[1]), label=label)
        by_number = self.numbers.distance_m(int(parts[2]) - 1, label=label)
        right, up = (
            (by_letter, by_number) if self.letters_run == "right" else (by_number, by_letter)
        )
        return self.origin_m[0] + right, self.origin_m[1] + up


class _Lines:
    """The tapes one way: at even spacing, or at distances given one by one."""

    def __init__(self, *, spacing: Typed | None, at: Sequence[Typed] | None, names: str) -> None:
        self.spacing_m = spacing.value if spacing else None
        self.at_m = [typed.value for typed in at] if at is not None else None
        self.names = names

    def distance_m(self, place: int, *, label: str) -> float:
        last = len(self.at_m) if self.at_m is not None else FARTHEST
        if not 0 <= place < last:
            raise Faulty(
                faults.GRID_LABEL.met(
                    value=label, label=label, limit=f"The grid has {last} {self.names}."
                )
            )
        return self.at_m[place] if self.at_m is not None else place * (self.spacing_m or 0.0)


def _place_of(letters: str) -> int:
    """0 for A, 25 for Z, 26 for AA."""
    place = 0
    for letter in letters.upper():
        place = place * 26 + ord(letter) - ord("A") + 1
    return place - 1
