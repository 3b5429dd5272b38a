"""shots.csv written again says what it said and what came since; Python's csv reads it back."""

from __future__ import annotations

import csv
import io
import re

import pytest
from hypothesis import given
from hypothesis import strategies as st

from overslab.job import sample_folder, sample_names
from overslab.job.shotsfile import read_shots
from overslab.job.store.book import CELLS, ShotLine, row, rows_of, written

BOOKS = [(sample_folder(name) / "shots.csv").read_text(encoding="utf-8") for name in sample_names()]
texts = st.text(st.characters(exclude_categories=["Cs", "Cc", "Zl", "Zp"]), max_size=15)
cells = st.fixed_dictionaries(dict.fromkeys(CELLS, texts)).filter(
    lambda one: any(re.search(r"[^\s,;]", text) for text in one.values())
)


def shot(typed: dict[str, str], *, line: int | None = None, struck: bool = False) -> ShotLine:
    return ShotLine(cells=typed, line=line, struck=struck, touched=False, was=())


@pytest.mark.parametrize("book", BOOKS)
@pytest.mark.parametrize("end", ["\n", "\r\n", "\r"])
@pytest.mark.parametrize("mark", ["", "\ufeff"])
def test_an_untouched_book_is_the_same_to_the_last_mark(book: str, end: str, mark: str) -> None:
    text = mark + book.replace("\n", end)
    lines = [shot(typed, line=number) for number, typed in rows_of(text)]
    assert len(lines) > 10
    assert written(text, lines) == text


@given(cells)
def test_a_line_says_what_was_typed(typed: dict[str, str]) -> None:
    line = row(typed, CELLS)
    (back,) = csv.reader([line], strict=True)
    assert [one.strip() for one in back] == [typed[name].strip() for name in CELLS]
    assert not line.lstrip().startswith("#")


@given(st.sampled_from(BOOKS), st.lists(cells, max_size=4), st.booleans())
def test_later_shots_stand_behind_and_nothing_else_changes(
    book: str, later: list[dict[str, str]], closed: bool
) -> None:
    text = book if closed else book.rstrip("\n")
    lines = [shot(typed, line=number) for number, typed in rows_of(text)]
    out = written(text, [*lines, *(shot(typed) for typed in later)])
    before = [typed for _, typed in rows_of(text)]
    stripped = [{name: typed[name].strip() for name in CELLS} for typed in later]
    assert [typed for _, typed in rows_of(out)] == [*before, *stripped]


def test_a_column_that_is_missing_is_put_in() -> None:
    book = 'point,setup,reading,kind\nBM1,1,4.11,benchmark\n"a, b",1,4.2,turn\n# a, remark\n'
    new = {"point": "C4", "grid": "C4", "setup": "1", "reading": "4.3", "kind": "floor", "x": ""}
    lines = [shot(typed, line=number) for number, typed in rows_of(book)]
    assert written(book, [*lines, shot(new)]) == (
        'point,setup,reading,kind,grid\nBM1,1,4.11,benchmark,\n"a, b",1,4.2,turn,\n# a, remark\n'
        "C4,1,4.3,floor,C4\n"
    )


def test_a_book_without_a_heading_gets_one() -> None:
    new = {"point": "BM1", "setup": "1", "reading": "4.3", "kind": "benchmark"}
    assert written("", [shot(new)]) == (
        "point,x,y,setup,reading,kind,note\nBM1,,,1,4.3,benchmark,\n"
    )


@pytest.mark.parametrize("note", ['=HYPERLINK("http://x")', "+1+cmd", "@SUM(A1)", "-2 by 4 here"])
def test_no_table_program_runs_a_note(note: str) -> None:
    typed = {
        "point": "X1", "x": "0", "y": "-0.25", "setup": "1", "reading": "1.5", "kind": "floor",
        "note": note,
    }  # fmt: skip
    text = "point,x,y,setup,reading,kind,note\n" + row(typed, CELLS[:3] + CELLS[4:]) + "\n"
    (_, line) = csv.reader(io.StringIO(text))
    assert line[-1] == f" {note}"  # behind a blank it is text
    assert line[2] == "-0.25"  # and a number stays one
    (reading,) = read_shots(text, file="shots.csv", system="metric", rod="metric", find=None)
    assert reading.note == note
    assert reading.y_m == -0.25
