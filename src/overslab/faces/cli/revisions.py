"""Two versions of a job beside each other, on the terminal and on paper."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from overslab.faces.cli.outcome import print_json, say
from overslab.faces.cli.progress import progress
from overslab.faces.cli.tables import facts, table
from overslab.faces.documents.revision_sheet import write_revision
from overslab.faces.documents.revision_words import (
    figure,
    file_words,
    found_words,
    price_rows,
    thin_words,
    volume_words,
)
from overslab.faces.documents.withdrawing import SheetChange, sheet_changes
from overslab.ground.units import Units, write_height
from overslab.job import as_json as plain
from overslab.job import read_job, walk
from overslab.job.files import read_text
from overslab.job.folders import FILES
from overslab.job.records import FolderTexts
from overslab.job.revising import Revision, differences

_WORDS = {
    "replace": "take back, hand out anew",
    "withdraw": "take back, there is none now",
    "new": "new",
    "keep": "still good",
}


def tell_difference(old: Path, new: Path, *, out: Path | None, as_json: bool) -> None:
    """Walk both versions and say what differs; with ``out`` also on paper."""
    with progress() as tell:
        tell("the version before")
        before = walk(read_job(old), tell=tell)
        tell("the version after")
        after = walk(read_job(new), tell=tell)
        tell("sheets: both packets beside each other")
        revision = differences(before, after, texts=(_texts(old), _texts(new)))
        sheets = sheet_changes(before, after)
        files = () if out is None else write_revision(revision, sheets, after, out)
    if as_json:
        told = {"revision": plain(revision), "sheets": plain(sheets)}
        print_json(told | {"files": [str(file) for file in files]})
        return
    say(difference_told(revision, sheets, after.job.units))
    for file in files:
        say(f"Written: {file}")


def _texts(folder: Path) -> FolderTexts:
    job_toml, shots_csv, rates_toml = (read_text(folder / file) for file in FILES)
    return FolderTexts(job_toml, shots_csv, rates_toml)


def difference_told(revision: Revision, sheets: Sequence[SheetChange], units: Units) -> str:
    """Everything that differs, for the office: with prices."""
    lines = [f"{revision.name}: what the change changes", ""]
    if revision.is_nothing:
        return "\n".join([*lines, "Nothing differs between the two versions."])
    typed = [file_words(one) for one in revision.facts]
    if typed:
        lines += ["Written down otherwise", table(("where", "before", "after"), typed), ""]
    pairs = [(one.name, f"{one.before} before, {one.after} now") for one in revision.words]
    pairs += [(one.name, figure(one, units)) for one in revision.numbers]
    volume = revision.volume
    if volume is not None:
        pairs += volume_words(volume, units)
    lines += [facts(pairs), ""]
    if volume is not None:
        lines += [volume.why, ""]
    lines += _rules(revision, units)
    lines += _money(revision)
    handed = [(str(one.number), one.title, _WORDS[one.what]) for one in sheets]
    lines += ["Sheets", table(("", "title", "what to do"), handed)]
    lines += ["", *revision.remarks] if revision.remarks else []
    return "\n".join(lines)


def _rules(revision: Revision, units: Units) -> list[str]:
    lines: list[str] = []
    for touch in revision.touches:
        was, now = (
            "-" if height is None else write_height(height, units)
            for height in (touch.before_m, touch.after_m)
        )
        lines.append(f"  {touch.name}: new floor {was} before, {now} now")
        lines += [f"    {found_words(one, units)}" for one in touch.checks]
    if lines:
        lines = ["At doors, steps and walls", *lines, ""]
    for state, title in (("fails", "Broken now"), ("passes", "Holds now")):
        told = [
            f"  {one.where or one.room}: {found_words(one, units)}"
            for one in revision.checks
            if one.now == state
        ]
        lines += [title, *told, ""] if told else []
    for title, spots in (("Too thin now", revision.thin_new), ("Thin no more", revision.thin_gone)):
        lines += [title, *(f"  {thin_words(one, units)}" for one in spots), ""] if spots else []
    for title, ready in (
        ("Holds the pour date now", revision.ready_new),
        ("Holds it no longer", revision.ready_gone),
    ):
        lines += [title, *(f"  {one}" for one in ready), ""] if ready else []
    return lines


def _money(revision: Revision) -> list[str]:
    price = revision.price
    if price is None:
        return []
    return ["Price", table(("line", "before", "after", "difference"), price_rows(price)), ""]
