"""The paper of a change: the letter that withdraws sheets, and the office's page of money.

The letter goes to crew and trades and holds no price; the page of money is for the office alone.
"""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from overslab.faces.documents import faults
from overslab.faces.documents.blocks import (
    Block,
    Bullets,
    Column,
    Facts,
    Heading,
    Para,
    Sheet,
    Table,
)
from overslab.faces.documents.packet import print_pdf
from overslab.faces.documents.paper import page_of
from overslab.faces.documents.revision_map import change_blocks
from overslab.faces.documents.revision_words import (
    figure,
    file_words,
    found_and_allowed,
    found_words,
    is_for_all,
    price_rows,
    thin_words,
    volume_words,
)
from overslab.faces.documents.withdrawing import SheetChange
from overslab.ground.faults import Faulty
from overslab.ground.units import (
    write_height,
    write_length,
)
from overslab.job.records import Walk
from overslab.job.revising import FactChange, Revision

LETTER, MONEY = "revision.pdf", "revision-price.pdf"
# Sheets that the crew never had, so that the letter does not name them.
_OFFICE_SHEETS = frozenset({"bid", "choices", "choice-lines", "proposal", "order", "rules"})


def revision_letter(revision: Revision, sheets: Sequence[SheetChange], walk: Walk) -> Sheet:
    """What is withdrawn and what changes; no money on it. ``walk`` is the later version."""
    shown = [one for one in sheets if one.code not in _OFFICE_SHEETS]
    blocks: list[Block] = [
        Para(_withdrawn(shown), "strong"),
        *_sheets(shown),
        *_facts(revision),
        *_figures(revision, walk),
        *change_blocks(revision.thickness, walk),
        *_touches(revision, walk),
        *_rules(revision, walk),
        *_thin(revision, walk),
        *_ready(revision),
        *(_remarks(revision)),
        Table((Column("read by, day", share=1.0), Column("old sheets given back", share=1.0)),
              (("", ""), ("", ""), ("", "")), size=10.0),
    ]  # fmt: skip
    return Sheet(1, "revision", "What has changed", tuple(blocks))


def revision_money(revision: Revision, sheets: Sequence[SheetChange]) -> Sheet | None:
    """The difference of the price by line; None where one version has no price."""
    price = revision.price
    if price is None:
        return None
    rows = price_rows(price)
    office = [one for one in sheets if one.code in _OFFICE_SHEETS and one.what != "keep"]
    blocks: list[Block] = [
        Para("For the office: not for the crew.", "strong"),
        Table(
            (
                Column("line", share=1.0),
                Column("before", "right"),
                Column("after", "right"),
                Column("difference", "right"),
            ),
            tuple(rows),
            strong=(len(rows) - 1,),
        ),
        *_sheets(office),
        *(_facts_table([one for one in revision.facts if one.file == "rates.toml"])),
        Para(revision.volume.why if revision.volume else "", "small"),
    ]
    kept = tuple(block for block in blocks if not isinstance(block, Para) or block.text)
    return Sheet(2, "revision-price", "What the change costs", kept)


def write_revision(
    revision: Revision, sheets: Sequence[SheetChange], walk: Walk, folder: Path
) -> tuple[Path, ...]:
    """The letter and the office's page, each a PDF of its own. Raises Faulty when it cannot."""
    page = page_of(walk)
    made = {LETTER: print_pdf(walk, (revision_letter(revision, sheets, walk),), page)}
    money = revision_money(revision, sheets)
    if money is not None:
        made[MONEY] = print_pdf(walk, (money,), page)
    try:
        folder.mkdir(parents=True, exist_ok=True)
        (folder / MONEY).unlink(missing_ok=True)
        for name, content in made.items():
            (folder / name).write_bytes(content)
    except OSError as problem:
        why = problem.strerror or str(problem)
        raise Faulty(faults.PACKET_FOLDER.met(value=folder, why=why)) from problem
    return tuple(folder / name for name in made)


def _remarks(revision: Revision) -> list[Block]:
    return [Heading("Mind"), Bullets(revision.remarks)] if revision.remarks else []


def _withdrawn(sheets: Sequence[SheetChange]) -> str:
    if any(one.what in ("replace", "withdraw") for one in sheets):
        return "Sheets of the earlier version are no longer good. Give them back or tear them up."
    return "No sheet of the earlier version has to be given back."


def _sheets(sheets: Sequence[SheetChange]) -> list[Block]:
    words = {
        "replace": "take back, hand out the new one",
        "withdraw": "take back; there is none any more",
        "new": "new",
        "keep": "still good",
    }
    if not sheets:
        return []
    return [
        Table(
            (Column("sheet", "right"), Column("title", share=1.0), Column("", share=1.0)),
            tuple((str(one.number), one.title, words[one.what]) for one in sheets),
            strong=tuple(n for n, one in enumerate(sheets) if one.what != "keep"),
        )
    ]


def _facts(revision: Revision) -> list[Block]:
    """What was typed otherwise, but nothing that tells of money."""
    told = [one for one in revision.facts if is_for_all(one)]
    table = _facts_table(told)
    return [Heading("What was written down otherwise"), *table] if table else []


def _facts_table(facts: Sequence[FactChange]) -> list[Block]:
    rows = [file_words(one) for one in facts]
    if not rows:
        return []
    return [
        Table(
            (Column("where", share=1.4), Column("before", share=1.0), Column("after", share=1.0)),
            tuple(rows),
        )
    ]


def _figures(revision: Revision, walk: Walk) -> list[Block]:
    units = walk.job.units
    pairs = [(word.name, f"{word.before} before, {word.after} now") for word in revision.words]
    pairs += [
        (one.name, figure(one, units))
        for one in revision.numbers
        if one.quantity != "labour_hours"  # the crew's hours are no customer's business
    ]
    volume, change = revision.volume, revision.thickness
    if volume is not None and (volume.difference_m3.mean or volume.difference_m3.deviation):
        pairs += volume_words(volume, units)
    if change is not None and max(abs(change.least_m), abs(change.most_m)) > 1e-6:
        pairs.append(
            (
                "thickness, place by place",
                f"from {write_length(change.least_m, units)} to "
                f"{write_length(change.most_m, units)} more",
            )
        )
    if not pairs:
        return []
    blocks: list[Block] = [Heading("What comes of it"), Facts(tuple(pairs))]
    if volume is not None:
        blocks.append(Para(volume.why, "small"))
    return blocks


def _touches(revision: Revision, walk: Walk) -> list[Block]:
    units = walk.job.units
    rows = []
    for touch in revision.touches:
        heights = [
            "–" if height is None else write_height(height, units)
            for height in (touch.before_m, touch.after_m)
        ]
        moved = touch.moved_before != touch.moved_after
        rules = [found_words(one, units) for one in touch.checks]
        if moved:
            rules.insert(0, "moved now" if touch.moved_after else "not moved any more")
        rows.append((touch.name, touch.kind, *heights, "; ".join(rules) or "–"))
    if not rows:
        return []
    return [
        Heading("New floor at doors, steps and walls"),
        Table(
            (
                Column("where", share=0.8),
                Column("kind"),
                Column("before", "right"),
                Column("after", "right"),
                Column("steps, gaps and other rules", share=1.6),
            ),
            tuple(rows),
            size=8.0,
        ),
    ]


def _rules(revision: Revision, walk: Walk) -> list[Block]:
    if not revision.checks:
        return []
    units = walk.job.units
    return [
        Heading("Rules that are broken now, and rules that hold now"),
        Table(
            (Column("now"), Column("rule", share=1.0), Column("found and allowed", share=1.4)),
            tuple(
                (
                    "BROKEN" if one.now == "fails" else "holds",
                    f"{one.where}: {one.name}" if one.where else one.name,
                    found_and_allowed(one, units),
                )
                for one in revision.checks
            ),
            strong=tuple(n for n, one in enumerate(revision.checks) if one.now == "fails"),
        ),
    ]


def _thin(revision: Revision, walk: Walk) -> list[Block]:
    blocks: list[Block] = []
    for title, spots in (
        ("Too thin now", revision.thin_new),
        ("No longer too thin", revision.thin_gone),
    ):
        if spots:
            told = tuple(thin_words(one, walk.job.units) for one in spots)
            blocks += [Heading(title), Bullets(told)]
    return blocks


def _ready(revision: Revision) -> list[Block]:
    blocks: list[Block] = []
    if revision.ready_new:
        blocks += [Heading("Holds the pour date now"), Bullets(revision.ready_new, boxes=True)]
    if revision.ready_gone:
        blocks += [Heading("Holds it no longer"), Bullets(revision.ready_gone)]
    return blocks
