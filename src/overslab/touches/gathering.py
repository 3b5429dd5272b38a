"""What every kind of touch has in common: the worst places, the checks, the things left unsaid."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field, replace

from overslab.ground.notes import Remark
from overslab.handbook.building_checks import height_after_topping
from overslab.handbook.checks import Check
from overslab.handbook.limits import Limit
from overslab.handbook.working import Working, show
from overslab.touches.places import Floor, Met, Place
from overslab.touches.records import Kind, Point, Remedy, Touch
from overslab.touches.rules import WRITTEN_DOWN

# Heights come out of sums of floating-point numbers; a hair's breadth is no difference.
HAIR_M = 1e-6


@dataclass(frozen=True, slots=True, eq=False)
class Site:
    """The floor, and what was decided about it."""

    floor: Floor
    moved: frozenset[str]
    outlets: frozenset[str]
    mark_m: float  # the crew sets heights no finer than this


@dataclass(slots=True)
class Gathered:
    """One touch while it is looked at."""

    name: str
    kind: Kind
    met: Met
    moved: bool = False
    line: tuple[Point, ...] = ()
    checks: list[Check] = field(default_factory=list)
    remedies: list[Remedy] = field(default_factory=list)
    remarks: list[Remark] = field(default_factory=list)
    workings: list[Working] = field(default_factory=list)
    stands_open: bool = False  # something that no number decides is not settled

    def check(self, limit: Limit, *, found: float, place: Place) -> Check:
        """``found`` beside a limit of the handbook, at the worst place."""
        check = limit.check(found=found, where=self.name, at=place.at, slack=HAIR_M)
        # The owner's own value is known to the owner; it is in no print.
        own = limit.source == WRITTEN_DOWN
        return self.compare(replace(check, source=WRITTEN_DOWN) if own else check)

    def clearance(self, limit: Limit, *, height_m: float, place: Place) -> Check:
        """How far something at ``height_m`` that stands still is above the new floor at a place."""
        found = self.show(
            height_after_topping,
            limit.name,
            before_m=height_m - place.before_m,
            topping_m=place.rise_m,
        )
        return self.check(limit, found=found, place=place)

    def show(self, formula: Callable[..., float], about: str, **inputs: float) -> float:
        """The result of a handbook formula, its working kept."""
        value, working = show(formula, about=f"{self.name}: {about}", **inputs)
        self.workings.append(working)
        return float(value)

    def compare(self, check: Check) -> Check:
        self.checks.append(check)
        return check

    def remedy(self, remedy: Remedy) -> None:
        self.remedies.append(replace(remedy, about=self.name))

    def note(self, text: str) -> None:
        self.remarks.append(Remark("note", text))

    def ask(self, text: str) -> None:
        self.remarks.append(Remark("ask", text))

    def warn(self, text: str) -> None:
        self.remarks.append(Remark("warn", text))

    def not_written(self, things: Sequence[str]) -> None:
        """Facts that nobody wrote down, so that what hangs on them was not looked at."""
        if things:
            self.ask(f"{self.name}: not written down: {'; '.join(things)}.")

    def touch(self) -> Touch:
        worst = self.met.risen_most
        return Touch(
            name=self.name,
            kind=self.kind,
            at=worst.at,
            before_m=worst.before_m,
            after_m=worst.after_m,
            rise_m=worst.rise_m,
            checks=tuple(self.checks),
            passes=all(check.passes for check in self.checks) and not self.stands_open,
            remedies=tuple(self.remedies),
            remarks=tuple(self.remarks),
            moved=self.moved,
            line=self.line,
        )
