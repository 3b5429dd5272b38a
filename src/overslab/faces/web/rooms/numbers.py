"""Numbers in the job's units, each with how it came about; nothing here computes one."""

from __future__ import annotations

from collections.abc import Iterable

from overslab.faces.documents.svg import printable
from overslab.faces.documents.workings import all_workings, filled, fine, known_words, typeset
from overslab.faces.web.rooms.views import CheckLine, Figure, Head, Opened, Rows, Taken, Told
from overslab.ground.estimate import Estimate
from overslab.ground.notes import Assumption, Remark
from overslab.ground.units import Units, write_by_suffix, write_length
from overslab.handbook.checks import Check
from overslab.handbook.working import Term, Working
from overslab.job.records import Job, Walk

# Rooms whose workings hold lengths, volumes and loads and no money. A list of what the crew may
# open, not of what it may not.
CREW_ROOMS = frozenset({"shots", "oldslab", "verdict", "pads", "touches", "takeoff"})
_UNIT_WORDS = frozenset(
    {"m", "m2", "m3", "m4", "m6", "kg", "per", "pa", "c", "s", "n", "k", "deg", "j", "mol"}
)


class Book:
    """Every working of a walk: by its number, or by formula and what it is about."""

    def __init__(self, walk: Walk) -> None:
        self.job = walk.job
        self.entries: tuple[tuple[str, Working], ...] = tuple(
            (room, working) for _, room, workings in all_workings(walk) for working in workings
        )

    def opened(self, number: int) -> Opened | None:
        """The working of that number; None when there is none."""
        if not 0 <= number < len(self.entries):
            return None
        return opened(self.job, self.entries[number][1], number=number)

    def for_crew(self, number: int) -> Opened | None:
        """The same when the crew may see it."""
        known = 0 <= number < len(self.entries) and self.entries[number][0] in CREW_ROOMS
        return self.opened(number) if known else None

    def of_room(self, room: str) -> tuple[Opened, ...]:
        return tuple(
            opened(self.job, working, number=number)
            for number, (own, working) in enumerate(self.entries)
            if own == room
        )

    def figure(
        self,
        name: str,
        value: str,
        *,
        by: tuple[str, str, str] | None = None,
        how: str,
        source: str = "this job",
        give_or_take: str = "",
    ) -> Figure:
        """A number opened by the working ``by`` (room, formula, what it is about), or else by the
        sentence ``how``."""
        if by is not None:
            room, formula, about = by
            for number, (own, working) in enumerate(self.entries):
                if (own, working.formula) == (room, formula) and about in working.about:
                    made = opened(self.job, working, number=number)
                    return Figure(name, printable(value), made, printable(give_or_take))
        return Figure(
            name, printable(value), told(name, how, source=source), printable(give_or_take)
        )


def opened(job: Job, working: Working, *, number: int | None) -> Opened:
    """A working in words."""
    return Opened(
        number=number,
        about=working.about or working.says,
        says=working.says,
        equation=typeset(working.equation),
        filled=filled(job, working),
        inputs=tuple(_term(job, term) for term in working.inputs),
        result=_term(job, working.result),
        source=working.source,
        known=known_words(working),
    )


def told(
    about: str, how: str, *, source: str, equation: str = "", with_numbers: str = ""
) -> Opened:
    """A number that comes from no formula, opened in words."""
    return Opened(None, about, how, equation, with_numbers, (), None, source, "from this job")


def _term(job: Job, term: Term) -> tuple[str, str, str]:
    value = term.written(lambda name, number: fine(job, name, number))
    return (typeset(term.symbol), plain_name(term.name), value)


def plain_name(name: str) -> str:
    """The name of an input without its unit: ``rod_deviation_m`` is rod deviation."""
    words = name.split("_")
    while len(words) > 1 and words[-1] in _UNIT_WORDS:
        words.pop()
    return " ".join(words)


def spread(value: float, units: Units) -> str:
    """A plus-or-minus length; below the mark it is said to be so, and not to be nothing."""
    written = write_length(value, units)
    nothing = written == write_length(0.0, units)
    return f"under {write_length(units.mark_m, units)}" if nothing else written


def half_width(deviation: float) -> float:
    """Half the width of the 95 in 100 interval of a standard deviation."""
    return Estimate(0.0, deviation).plus_or_minus


def place(point: tuple[float, float], units: Units) -> str:
    """A place on the plan."""
    return f"x {write_length(point[0], units)}, y {write_length(point[1], units)}"


def check_line(check: Check, units: Units) -> CheckLine:
    """Found beside allowed, in words."""
    name = f"{check.name}, {check.where}" if check.where else check.name
    within = check.passes and check.margin < 0
    return CheckLine(
        name=name,
        found=write_by_suffix(check.quantity, check.found, units),
        allowed=f"{check.comparison} {write_by_suffix(check.quantity, check.allowed, units)}",
        holds="holds, within the mark" if within else "holds" if check.passes else "does not hold",
        good=check.passes,
        source=check.source,
    )


def check_lines(checks: Iterable[Check], units: Units) -> tuple[CheckLine, ...]:
    return tuple(check_line(check, units) for check in checks)


def remarks(found: Iterable[Remark]) -> tuple[Told, ...]:
    """Remarks, the heaviest first, each once."""
    order = ("warn", "ask", "note")
    kept = dict.fromkeys(found)
    return tuple(
        Told(one.weight, one.text) for weight in order for one in kept if one.weight == weight
    )


def taken(found: Iterable[Assumption]) -> tuple[Taken, ...]:
    return tuple(Taken(one.about, one.taken, one.because) for one in dict.fromkeys(found))


def table(
    caption: str,
    heads: str,
    rows: Iterable[tuple[str, ...]],
    *,
    strong: tuple[int, ...] = (),
    folded: bool = False,
    stacked: bool = False,
) -> Rows:
    """A table; ``heads`` are parted by ``|``, those of numbers begin with ``#``."""
    made = tuple(
        Head(word.strip().removeprefix("#"), word.strip().startswith("#"))
        for word in heads.split("|")
    )
    return Rows(caption, made, tuple(rows), strong, folded, stacked)
