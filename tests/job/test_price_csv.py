"""Rates as a table: read back by Python's own csv reader, and taken back with comments kept."""

from __future__ import annotations

import csv
import io
import tomllib

import pytest
from hypothesis import given
from hypothesis import strategies as some
from small_job import RATES, PutDown
from typer.testing import CliRunner

from overslab.faces.cli.main import app
from overslab.ground.faults import Faulty
from overslab.job import read_job, sample_folder
from overslab.job.ratescsv import COLUMNS, rates_table, take_rates, taken_rates

TEXT = (sample_folder("farm-shop") / "rates.toml").read_text(encoding="utf-8")
DANGER = ("=", "+", "-", "@", "\t", "\r")


def plainly(table: str) -> list[dict[str, str]]:
    """By the csv module alone, as another program would read it."""
    return list(csv.DictReader(io.StringIO(table, newline="")))


def changed(table: str, *, kind: str, code: str, column: str, to: str) -> str:
    rows = list(csv.reader(io.StringIO(table, newline="")))
    place = COLUMNS.index(column)
    hits = [row for row in rows[1:] if row[0] == kind and row[1] == code]
    assert hits, code
    hits[0][place] = to
    out = io.StringIO(newline="")
    csv.writer(out).writerows(rows)
    return out.getvalue()


def test_another_reader_finds_every_rate() -> None:
    rows = plainly(rates_table(TEXT))
    data = tomllib.loads(TEXT)
    by_name = {(row["kind"], row["code"]): row for row in rows}
    assert by_name["crew", "wage"]["figure"] == data["crew"]["wage"]
    assert by_name["money", "margin"]["figure"] == data["money"]["margin"]
    for one in data["material"]:
        row = by_name["material", one["code"]]
        assert (row["figure"], row["unit"]) == (one["price"], one["unit"])
    for one in data["work"]:
        row = by_name["work", one["code"]]
        assert float(row["figure"]) == one[row["unit"]]
        assert (row["what"], row["more"]) == (one["what"], one["give_or_take"])
    for one in data["charge"]:
        row = by_name["charge", one["code"]]
        assert (row["what"], row["unit"]) == (one["what"], f"{one['group']} per {one['per']}")
    for one in data["trade"]:
        row = by_name["trade", one["code"]]
        assert (row["what"], row["unit"], row["figure"]) == (
            one["about"],
            one["trade"],
            one["price"],
        )
    assert len(rows) == len(by_name)


def test_taking_the_table_back_unchanged_changes_no_byte() -> None:
    assert taken_rates(TEXT, rates_table(TEXT)) == TEXT


def test_one_figure_changes_one_line_and_keeps_every_comment() -> None:
    table = changed(rates_table(TEXT), kind="crew", code="wage", column="figure", to="$43.25")
    made = taken_rates(TEXT, table)
    pairs = zip(TEXT.splitlines(), made.splitlines(), strict=True)
    different = [(old, new) for old, new in pairs if old != new]
    assert len(different) == 1
    assert different[0][0].replace("$41", "$43.25") == different[0][1]
    assert "#" in different[0][1]


def test_another_kind_of_hours_takes_the_place_of_the_old_one() -> None:
    table = changed(rates_table(TEXT), kind="work", code="seal", column="unit", to="hours_per_m2")
    rows = [one for one in tomllib.loads(taken_rates(TEXT, table))["work"] if one["code"] == "seal"]
    assert [key for key in rows[0] if key.startswith("hours")] == ["hours_per_m2"]


def test_a_new_row_becomes_a_new_rate_and_closed_jobs_stay() -> None:
    table = rates_table(TEXT) + 'material,sand,"",$30,yd3,""\r\n'
    data = tomllib.loads(taken_rates(TEXT, table))
    assert {"code": "sand", "price": "$30", "unit": "yd3"} in data["material"]
    before = tomllib.loads(TEXT)
    assert [one.get("closed") for one in data["work"]] == [
        one.get("closed") for one in before["work"]
    ]


@given(
    some.sampled_from(DANGER),
    some.text(some.characters(codec="utf-8", exclude_categories=("Cs", "Cc")), max_size=20),
)
def test_no_cell_is_run_by_a_spreadsheet_and_comes_back_the_same(sign: str, rest: str) -> None:
    what = (sign + rest).replace("\r", " ").replace("\t", " ").strip() or sign.strip() or "x"
    text = RATES + (
        '\n[[charge]]\ncode = "odd"\nwhat = '
        + tomlish(what)
        + '\ngroup = "other"\nprice = "$1"\nper = "job"\n'
    )
    table = rates_table(text)
    cells = [cell for row in csv.reader(io.StringIO(table, newline="")) for cell in row]
    assert not [cell for cell in cells if cell.startswith(DANGER)]
    assert tomllib.loads(taken_rates(text, table)) == tomllib.loads(text)


def tomlish(text: str) -> str:
    """A basic string of TOML, every character but plain ones written by its number."""
    safe = "".join(c if c.isalnum() and c.isascii() else f"\\U{ord(c):08x}" for c in text)
    return f'"{safe}"'


def test_every_bad_row_is_told_at_once_and_nothing_is_written(put_down: PutDown) -> None:
    folder = put_down()
    before = (folder / "rates.toml").read_bytes()
    rows = [
        ",".join(COLUMNS),
        "crew,wages,,$40,,",
        "work,finish,,soon,hours_per_m2,20%",
        "work,cure,,1.0,days,20%",
        "toys,ball,,1,,",
        "concrete,price_per_yd3,,,,",
        "charge,pump,pump,$90,equipment,",
        "money,tax,,5%,,",
        "money,tax,,6%,,",
        "file,price_date,,soon,,",
    ]
    with pytest.raises(Faulty) as trouble:
        take_rates(folder, "\r\n".join(rows))
    places = [one.place for one in trouble.value.faults]
    assert places == [f"line {n}" for n in (2, 3, 4, 5, 6, 7, 9, 10)]
    assert (folder / "rates.toml").read_bytes() == before


def test_a_table_that_would_spoil_the_file_is_refused_in_the_files_words(
    put_down: PutDown,
) -> None:
    folder = put_down({"rates.toml": TEXT})
    table = rates_table(TEXT) + 'money,markup,"",30%,"",""\r\n'
    with pytest.raises(Faulty) as trouble:
        take_rates(folder, table)
    assert [one.code for one in trouble.value.faults] == ["give-one-of"]
    assert (folder / "rates.toml").read_text(encoding="utf-8") == TEXT


@pytest.mark.parametrize("table", ["", "a,b,c\r\n1,2,3\r\n", '"kind', "kind,code\r\n"])
def test_what_is_no_table_of_rates_is_told(table: str) -> None:
    with pytest.raises(Faulty) as trouble:
        taken_rates(TEXT, table)
    assert [one.code for one in trouble.value.faults] == ["rates-table-head"]


def test_out_and_back_by_the_command(put_down: PutDown) -> None:
    folder = put_down({"rates.toml": TEXT})
    table, run = folder / "rates.csv", CliRunner()
    result = run.invoke(app, ["rates", str(folder), "--out", str(table)])
    assert result.exit_code == 0, result.output
    again = run.invoke(app, ["rates", str(folder), "--out", str(table)])
    assert again.exit_code == 1  # never over a file that is there
    text = table.read_bytes().decode("utf-8")
    table.write_text(
        changed(text, kind="money", code="margin", column="figure", to="20%"),
        encoding="utf-8", newline="",
    )  # fmt: skip
    result = run.invoke(app, ["rates", str(folder), "--take", str(table)])
    assert result.exit_code == 0, result.output
    rates = read_job(folder).rates
    assert rates is not None
    assert str(rates.margin) == "0.2"
    result = run.invoke(app, ["rates", str(folder), "--take", str(table)])
    assert "Nothing changed" in result.output
