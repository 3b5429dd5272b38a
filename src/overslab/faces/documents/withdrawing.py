"""Which sheets a change withdraws: every sheet laid out twice and held against itself."""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import Any, Literal

from overslab.faces.documents.blocks import Sheet
from overslab.faces.documents.sheets import lay_sheets
from overslab.job.records import Walk

What = Literal["replace", "withdraw", "new", "keep"]
# The number of a sheet says where it stands in the packet, not what stands on it.
_HEAD = ("number",)


@dataclass(frozen=True, slots=True)
class SheetChange:
    """``replace``: hand out the later one and take the earlier back; ``withdraw``: there is none
    any more; ``new``: there was none; ``keep``: the same to the last line.
    """

    number: int
    code: str
    title: str
    what: What


def sheet_changes(before: Walk, after: Walk) -> tuple[SheetChange, ...]:
    """Every sheet of either version, in the order of the packet."""
    was, now = (_by_code(lay_sheets(walk)) for walk in (before, after))
    found = []
    for code in dict.fromkeys([*now, *was]):
        old, new = was.get(code), now.get(code)
        shown = next(one for one in (new, old) if one is not None)
        found.append(SheetChange(shown.number, code, shown.title, _what(old, new)))
    return tuple(sorted(found, key=lambda one: one.number))


def _by_code(sheets: tuple[Sheet, ...]) -> dict[str, Sheet]:
    return {sheet.code: sheet for sheet in sheets}


def _what(old: Sheet | None, new: Sheet | None) -> What:
    if old is None:
        return "new"
    if new is None:
        return "withdraw"
    return "keep" if _content(old) == _content(new) else "replace"


def _content(sheet: Sheet) -> dict[str, Any]:
    """All that is printed, and nothing that only tells drawings of one page apart."""
    return {key: _bare(value) for key, value in sheet.data().items() if key not in _HEAD}


def _bare(value: Any) -> Any:
    if isinstance(value, dict):
        return {key: _bare(inner) for key, inner in value.items()}
    if isinstance(value, list):
        return [_bare(inner) for inner in value]
    return re.sub(r"\s+", " ", value) if isinstance(value, str) else value
