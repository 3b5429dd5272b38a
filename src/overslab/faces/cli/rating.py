"""Rates carried to a table and back."""

from __future__ import annotations

from pathlib import Path

from overslab.faces.cli.outcome import print_json, say
from overslab.ground.faults import Faulty
from overslab.job import faults
from overslab.job.files import read_text, text_of
from overslab.job.ratescsv import rates_table, take_rates


def carry_rates(folder: Path, *, out: Path | None, take: Path | None, as_json: bool) -> None:
    """Write the table, or take one; without either the table is printed."""
    changed = take_rates(folder, text_of(take)) if take is not None else False
    table = rates_table(read_text(folder / "rates.toml"))
    if out is not None:
        try:
            with out.open("x", encoding="utf-8", newline="") as file:
                file.write(table)
        except FileExistsError:
            raise Faulty(faults.WOULD_OVERWRITE.met(value=out.name, place=str(out))) from None
        except OSError as trouble:
            why = trouble.strerror or "unknown"
            raise Faulty(faults.CANNOT_WRITE.met(value=out, place=str(out), why=why)) from None
    if as_json:
        print_json({"rates": {"written": None if out is None else str(out), "changed": changed}})
        return
    if take is not None:
        say("Taken into rates.toml." if changed else "Nothing changed: rates.toml says the same.")
    if out is not None:
        say(f"Written: {out}")
    if take is None and out is None:
        say(table.replace("\r\n", "\n"))
