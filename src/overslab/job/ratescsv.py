"""Rates as a table: out of ``rates.toml`` and back into it, with every comment kept.

One row a rate: kind, code, what, figure, unit, more. What the table holds is what changes from
season to season: wage, prices of concrete and materials, hours, charges, overhead and profit.
Rows are matched by kind and code; what the table does not name stays as it is.
"""

from __future__ import annotations

import csv
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import tomlkit
from tomlkit.items import AoT, Table

from overslab.ground.csvcells import Value, csv_rows, csv_text
from overslab.ground.faults import Fault, Faulty
from overslab.job import faults
from overslab.job.checking import Checked
from overslab.job.files import read_text
from overslab.job.typed import Speech

COLUMNS = ("kind", "code", "what", "figure", "unit", "more")
_HOURS = "hours_"
# Single sections: kind in the table, section, keys that a row may carry.
_SINGLE: tuple[tuple[str, tuple[str, ...]], ...] = (
    ("concrete", ("price_per_yd3", "price_per_m3")),
    ("truck", ("short_load_charge",)),
    ("risk", ("running_short", "leftover_per_yd3", "leftover_per_m3")),
    ("crew", ("wage", "hands", "hours_per_day")),
    ("money", ("overhead", "margin", "markup", "tax", "taxed", "round_to")),
    (
        "plant_terms",
        (
            "waiting_free_minutes",
            "waiting_free_minutes_per_yd3",
            "waiting_free_minutes_per_m3",
            "waiting_per_minute",
            "least_order",
            "saturday_per_yd3",
            "saturday_per_m3",
            "hot_water_per_yd3",
            "hot_water_per_m3",
            "washout_per_load",
            "fuel_per_load",
        ),
    ),
)
_TOP = ("price_date",)


def rates_table(text: str) -> str:
    """The rates of a ``rates.toml`` as CSV; cells that a spreadsheet would run are made safe."""
    data = Checked(text, file="rates.toml").data
    return csv_text([COLUMNS, *_rows(data)])


def _rows(data: dict[str, Any]) -> Iterator[tuple[Value, ...]]:
    for key in _TOP:
        if key in data:
            yield ("file", key, "", str(data[key]), "", "")
    for section, keys in _SINGLE:
        for key in keys:
            if key in data.get(section, {}):
                yield (section, key, "", _cell(data[section][key]), "", "")
    for row in data.get("material", []):
        yield ("material", row["code"], "", row["price"], row["unit"], row.get("size", ""))
    for row in data.get("work", []):
        key = next((key for key in row if key.startswith(_HOURS)), "")
        figure, more = _cell(row.get(key, "")), row.get("give_or_take", "")
        yield ("work", row["code"], row.get("what", ""), figure, key, more)
    for row in data.get("charge", []):
        per = f"{row['group']} per {row['per']}"
        yield ("charge", row["code"], row["what"], row["price"], per, row.get("only_for", ""))
    for row in data.get("trade", []):
        yield ("trade", row["code"], row["about"], row["price"], row["trade"], "")


def _cell(value: Any) -> str:
    return value if isinstance(value, str) else repr(value)


def taken_rates(text: str, table: str) -> str:
    """``rates.toml`` with the figures of a CSV table in it, its comments and order kept.

    Raises ``Faulty`` with every bad row, and, when all rows can be read, with every fault of the
    file that they would make.
    """
    rows = _read(table)
    document = tomlkit.parse(text)
    found: list[Fault] = []
    seen: dict[tuple[str, str, str], int] = {}
    for number, row in rows:
        size = row["more"] if row["kind"] == "material" else ""
        name = (row["kind"], row["code"], size)
        if name in seen:
            found.append(
                faults.RATES_ROW.met(
                    value=f"{row['kind']} {row['code']}",
                    place=f"line {number}",
                    why=f"the same rate stands on line {seen[name]}",
                )
            )
            continue
        seen[name] = number
        why = _put(document, row)
        if why:
            found.append(
                faults.RATES_ROW.met(
                    value=f"{row['kind']} {row['code']}", place=f"line {number}", why=why
                )
            )
    if found:
        raise Faulty(found)
    return tomlkit.dumps(document)


def _read(table: str) -> list[tuple[int, dict[str, str]]]:
    try:
        lines = csv_rows(table)
    except csv.Error as trouble:
        raise Faulty(
            faults.RATES_TABLE.met(value=str(trouble), columns=", ".join(COLUMNS))
        ) from None
    if not lines or tuple(cell.strip() for cell in lines[0]) != COLUMNS:
        given = ", ".join(lines[0]) if lines else "nothing"
        raise Faulty(faults.RATES_TABLE.met(value=given[:120], columns=", ".join(COLUMNS)))
    rows, found = [], []
    for number, line in enumerate(lines[1:], start=2):
        if len(line) != len(COLUMNS):
            why = f"it has {len(line)} cells, and {len(COLUMNS)} are wanted"
            found.append(
                faults.RATES_ROW.met(value=",".join(line)[:80], place=f"line {number}", why=why)
            )
            continue
        rows.append((number, dict(zip(COLUMNS, (cell.strip() for cell in line), strict=True))))
    if found:
        raise Faulty(found)
    return rows


def _put(document: tomlkit.TOMLDocument, row: dict[str, str]) -> str:
    """Put one row in; says why when it cannot be."""
    kind, code, figure = row["kind"], row["code"], row["figure"]
    if not figure:
        return "the figure is empty"
    if kind == "file":
        return _put_top(document, code, figure)
    single = dict(_SINGLE)
    if kind in single:
        if code not in single[kind]:
            return f"{kind} has no rate {code}; known: {', '.join(single[kind])}"
        return _put_single(document, kind, code, figure)
    if kind == "material":
        return _put_many(document, row, {"price": figure, "unit": row["unit"]}, optional="size")
    if kind == "work":
        try:
            hours = float(figure)
        except ValueError:
            return "hours are a plain number"
        if not row["unit"].startswith(_HOURS):
            return "its unit is a key of [[work]] that begins with hours_"
        put = {"what": row["what"], row["unit"]: hours, "give_or_take": row["more"]}
        return _put_many(document, row, put, drop=_HOURS)
    if kind == "charge":
        group, parted, per = row["unit"].partition(" per ")
        if not parted:
            return 'its unit is a group and how often, such as "equipment per day"'
        put = {"what": row["what"], "group": group, "price": figure, "per": per}
        return _put_many(document, row, put, optional="only_for")
    if kind == "trade":
        put = {"trade": row["unit"], "about": row["what"], "price": figure}
        return _put_many(document, row, put)
    known = ("file", *single, "material", "work", "charge", "trade")
    return f"the kind {kind or '(empty)'} is not known; known: {', '.join(known)}"


def _put_top(document: tomlkit.TOMLDocument, code: str, figure: str) -> str:
    if code not in _TOP:
        return f"file has no {code}; known: {', '.join(_TOP)}"
    try:
        day = tomlkit.date(figure)
    except ValueError:
        return "a day is written year-month-day: 2026-04-01"
    if document.get(code) != day:
        document[code] = day
    return ""


def _put_single(document: tomlkit.TOMLDocument, kind: str, code: str, figure: str) -> str:
    if kind not in document:
        document[kind] = tomlkit.table()
    section = document[kind]
    value: object = figure
    if code in ("hands", "hours_per_day") or code.startswith("waiting_free_minutes"):
        try:
            value = int(figure) if code == "hands" else float(figure)
        except ValueError:
            return f"{code} is a plain number"
    if section.get(code) != value:
        section[code] = value
    return ""


def _put_many(
    document: tomlkit.TOMLDocument,
    row: dict[str, str],
    put: dict[str, object],
    *,
    optional: str = "",
    drop: str = "",
) -> str:
    if not row["code"]:
        return "the code is empty"
    if optional and row["more"]:
        put = {**put, optional: row["more"]}
    many = document.get(row["kind"])
    if not isinstance(many, AoT):
        many = tomlkit.aot()
        document[row["kind"]] = many
    size = row["more"] if row["kind"] == "material" else None
    mine = next(
        (
            one
            for one in many
            if one.get("code") == row["code"] and (size is None or one.get("size", "") == size)
        ),
        None,
    )
    if mine is None:
        mine = tomlkit.table()
        mine["code"] = row["code"]
        many.append(mine)
    _fill(mine, put, drop=drop)
    return ""


def _fill(mine: Table, put: dict[str, object], *, drop: str) -> None:
    """Only what differs is written, so that a line that says the same keeps its comment."""
    for key in [key for key in mine if drop and key.startswith(drop) and key not in put]:
        del mine[key]
    for key, value in put.items():
        if value != "" and mine.get(key) != value:
            mine[key] = value


def take_rates(folder: Path, table: str) -> bool:
    """Put a table into the ``rates.toml`` of a job folder; whether anything changed.

    Nothing is written when the file would then be faulty.
    """
    from overslab.job.pricefacts import rates_in
    from overslab.job.ratesfile import RatesFile

    path = Path(folder) / "rates.toml"
    text = read_text(path)
    made = taken_rates(text, table)
    source = Checked(made, file="rates.toml")
    speech = Speech(system="feet-inches", rod="feet-inches")
    facts = source.validate(RatesFile, speech=speech)
    found: list[Fault] = []
    rates_in(facts, source=source, system="feet-inches", made_up=False, found=found)
    faults.raise_if(found)
    if made == text:
        return False
    # A file half written would be a job that cannot be read: put whole in the place of the old one.
    beside = path.with_name("rates.toml.new")
    beside.write_text(made, encoding="utf-8")
    beside.replace(path)
    return True
