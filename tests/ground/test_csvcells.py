"""Cells of CSV files: nothing is run by a spreadsheet, nothing is lost on the way."""

from __future__ import annotations

import csv
import io
from decimal import Decimal

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from overslab.ground.csvcells import csv_rows, csv_text, plain_cell, safe_cell

# OWASP Cheat Sheet / "CSV Injection" page: = + - @ tab, carriage return, line feed, and the
# full-width forms of the signs.
SIGNS = "=+-@＝＋－＠"
BEGINS = SIGNS + "\t\r\n"

nasty = st.text(alphabet=st.sampled_from("'=+-@＝;, \t\r\n\"a1|"), max_size=12)


@pytest.mark.parametrize("sign", BEGINS)
def test_every_sign_that_begins_a_formula_gets_an_apostrophe(sign: str) -> None:
    assert safe_cell(f"{sign}1+1") == f"'{sign}1+1"


@pytest.mark.parametrize("text", ["", "wire sheet", "6x6-W2.9", "it's", "'tis", "a=b", "5 - 3"])
def test_harmless_text_is_left_alone(text: str) -> None:
    assert safe_cell(text) == text
    assert plain_cell(text) == text


@given(st.one_of(st.text(), nasty))
@example("'=x")
@example("''\t;'=")
@example("a\r\n=1")
def test_what_was_made_safe_comes_back_unchanged(text: str) -> None:
    assert plain_cell(safe_cell(text)) == text


@given(nasty, st.sampled_from(",;\t"))
def test_no_cell_begins_a_formula_whatever_separator_the_reader_takes(
    text: str, separator: str
) -> None:
    """The plainest reader there is: it knows no quotes and splits at its own separator."""
    cells = safe_cell(text).replace("\r", "\n").replace("\n", separator).split(separator)
    if separator == ",":
        cells = [safe_cell(text)]  # our own separator stands inside quotes
    for cell in cells:
        assert not cell.lstrip(" ").startswith(tuple(SIGNS))


@given(st.lists(st.lists(nasty, min_size=2, max_size=4), min_size=1, max_size=5))
def test_rows_come_back_through_the_standard_reader(rows: list[list[str]]) -> None:
    text = csv_text(rows)
    assert [[plain_cell(c) for c in row] for row in csv.reader(io.StringIO(text, newline=""))] == (
        rows
    )
    assert csv_rows("\ufeff" + text) == rows


def test_numbers_stay_numbers_and_nothing_is_an_empty_cell() -> None:
    assert csv_text([("a,b", 'say "so"', -2.5, 3, Decimal("-0.10"), None)]) == (
        '"a,b","say ""so""",-2.5,3,-0.10,""\r\n'
    )


def test_money_has_no_power_of_ten() -> None:
    assert csv_text([(Decimal("1E+2"), Decimal("-2.50"))]) == "100,-2.50\r\n"


def test_a_number_that_is_none_is_refused() -> None:
    with pytest.raises(ValueError, match="no number"):
        csv_text([(float("nan"),)])


def test_an_open_quote_is_refused() -> None:
    with pytest.raises(csv.Error):
        csv_rows('"a,b\r\n')
