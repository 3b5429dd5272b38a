"""Plain text: tables, facts, and what stands at the foot of every answer."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from overslab.ground.notes import Assumption, Remark
from overslab.ground.units import Units, write_by_suffix, write_length
from overslab.handbook.checks import Check


def table(header: Sequence[str], rows: Iterable[Sequence[str]], *, indent: str = "  ") -> str:
    """Columns two spaces apart; the first reads from the left, the rest from the right."""
    lines = [list(header), *(list(row) for row in rows)]
    widths = [max(len(line[column]) for line in lines) for column in range(len(header))]

    def laid(line: list[str]) -> str:
        first, *rest = (
            cell.ljust(width) if column == 0 else cell.rjust(width)
            for column, (cell, width) in enumerate(zip(line, widths, strict=True))
        )
        return (indent + "  ".join([first, *rest])).rstrip()

    rule = [indent + "  ".join("-" * width for width in widths)]
    return "\n".join([laid(lines[0]), *rule, *(laid(line) for line in lines[1:])])


def facts(pairs: Iterable[tuple[str, str]], *, indent: str = "  ") -> str:
    """Names and what they are, in two columns."""
    pairs = list(pairs)
    width = max((len(name) for name, _ in pairs), default=0)
    return "\n".join(f"{indent}{name.ljust(width)}  {told}" for name, told in pairs)


def check_line(check: Check, units: Units) -> str:
    """Found beside allowed, with the source."""
    found = write_by_suffix(check.quantity, check.found, units)
    allowed = write_by_suffix(check.quantity, check.allowed, units)
    where = f", {check.where}" if check.where else ""
    verdict = "holds" if check.passes else "DOES NOT HOLD"
    return (
        f"{check.name}{where}: {found}, allowed {check.comparison} {allowed}: {verdict}"
        f" ({check.source})"
    )


def place(point: tuple[float, float], units: Units) -> str:
    """A place on the plan: right of, and up from, where x and y start."""
    return f"x {write_length(point[0], units)}, y {write_length(point[1], units)}"


_WEIGHTS = {"note": "Note", "ask": "To settle", "warn": "WARNING"}


def foot(remarks: Iterable[Remark], assumptions: Iterable[Assumption]) -> list[str]:
    """Remarks, the heaviest first, and what was taken for want of better."""
    lines: list[str] = []
    by_weight = sorted(remarks, key=lambda remark: ["warn", "ask", "note"].index(remark.weight))
    if by_weight:
        lines.append("")
        lines += [f"{_WEIGHTS[remark.weight]}: {remark.text}" for remark in by_weight]
    taken = list(dict.fromkeys(assumptions))
    if taken:
        lines += ["", "Taken as given, for it was not written down:"]
        lines += [f"  {one.about}: {one.taken} ({one.because})" for one in taken]
    return lines
