"""Text that goes into a CSV file and back, safe from being run as a formula by a spreadsheet.

A spreadsheet runs a cell that begins with ``=``, ``+``, ``-``, ``@``, a tab or a line end (OWASP,
"CSV Injection"; full-width signs as well). Such text gets an apostrophe in front; ``plain_cell``
takes it off again. The same is done behind ``;``, a tab or a line end inside the text: a
spreadsheet set to another separator would begin a new cell there. Numbers are written as numbers.

The file itself follows RFC 4180 (2005): commas, CRLF, text in quotes with quotes doubled.
"""

from __future__ import annotations

import csv
import io
import math
import re
from collections.abc import Iterable, Sequence
from decimal import Decimal

Value = str | int | float | Decimal | None

_SIGNS = "=+\\-@＝＋－＠"
_RISKY = re.compile(
    rf"\A(?='* *[{_SIGNS}\t\r\n])"  # where the text begins
    rf"|(?<=[;\t\r\n])(?='* *[{_SIGNS}])"  # where another separator would begin a cell
)
_MADE_SAFE = re.compile(rf"\A'(?='* *[{_SIGNS}\t\r\n])|(?<=[;\t\r\n])'(?='* *[{_SIGNS}])")


def safe_cell(text: str) -> str:
    """``text`` so that no spreadsheet runs it; ``plain_cell`` gives it back unchanged."""
    return _RISKY.sub("'", text)


def plain_cell(cell: str) -> str:
    """The text that ``safe_cell`` was given; other text is left as it is."""
    return _MADE_SAFE.sub("", cell)


def csv_text(rows: Iterable[Sequence[Value]]) -> str:
    """Rows as RFC 4180 text: every text safe and in quotes, numbers bare, None an empty cell.

    Raises ``ValueError`` at a number that is not finite: a table without a figure says None.
    """
    out = io.StringIO(newline="")
    writer = csv.writer(out, quoting=csv.QUOTE_NONNUMERIC, lineterminator="\r\n")
    for row in rows:
        writer.writerow([_cell(value) for value in row])
    return out.getvalue()


def csv_rows(text: str) -> list[list[str]]:
    """The cells of a CSV text, each as it was before it was made safe; blank lines are left out.

    A byte order mark in front, as spreadsheets write it, is no part of the first cell. Raises
    ``csv.Error`` at quotes that are not closed.
    """
    lines = csv.reader(io.StringIO(text.removeprefix("\ufeff"), newline=""), strict=True)
    return [[plain_cell(cell) for cell in line] for line in lines if line]


def _cell(value: Value) -> str | int | float | Decimal:
    if value is None:
        return ""
    if isinstance(value, str):
        return safe_cell(value)
    if not math.isfinite(value):
        raise ValueError(f"{value} is no number for a table")
    # Without a power of ten, which not every reader of money takes.
    return Decimal(f"{value:f}") if isinstance(value, Decimal) else value
