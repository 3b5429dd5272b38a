"""Which sheets a change takes back, and the paper that says so."""

from __future__ import annotations

import io
import re
from collections.abc import Sequence
from dataclasses import replace
from decimal import Decimal
from pathlib import Path

import pypdf
import pytest
from fake_walk import fake_walk
from test_documents_choices import bid

from overslab.faces.cli.revisions import difference_told
from overslab.faces.documents.blocks import Figure
from overslab.faces.documents.revision_map import change_blocks
from overslab.faces.documents.revision_sheet import LETTER, MONEY, write_revision
from overslab.faces.documents.sheets import SHEETS
from overslab.faces.documents.withdrawing import SheetChange, sheet_changes
from overslab.job import FolderTexts, Walk
from overslab.job.revising import Map, differences

BEFORE = FolderTexts(
    '[job]\nname = "a"\n[[door]]\nname = "west"\nsill = "100 ft"\nmove_cost = "$640"\n', "",
    '[crew]\nwage = "$41"\n',
)  # fmt: skip
AFTER = FolderTexts(
    '[job]\nname = "a"\n[[door]]\nname = "west"\nsill = "100 ft 1 in"\nmove_cost = "$700"\n', "",
    '[crew]\nwage = "$44"\n',
)  # fmt: skip


def said(path: Path) -> str:
    pages = pypdf.PdfReader(io.BytesIO(path.read_bytes())).pages
    return re.sub(r"\s+", "", " ".join(page.extract_text() for page in pages))


def what(changes: Sequence[SheetChange]) -> dict[str, str]:
    return {one.code: one.what for one in changes}


def dearer(walk: Walk) -> Walk:
    """The same job at a price a hundred higher, ten of it in one line."""
    one = bid()
    (line,) = one.lines
    more = replace(line, amount=line.amount + 10)
    return replace(walk, price=replace(one, lines=(more,), price=one.price + 100))


def test_the_same_walk_twice_takes_no_sheet_back() -> None:
    assert set(what(sheet_changes(fake_walk(), fake_walk())).values()) == {"keep"}


def test_a_moved_pad_takes_back_what_tells_of_it_and_leaves_the_rest() -> None:
    before = fake_walk()
    top = before.newtop.top
    assert top is not None
    pads = (replace(top.pads[0], height_m=top.pads[0].height_m + 0.0254), *top.pads[1:])
    options = tuple(
        replace(one, pads=pads) if one.kind == top.kind else one for one in before.newtop.options
    )
    after = replace(before, newtop=replace(before.newtop, options=options))
    found = what(sheet_changes(before, after))
    assert found["pads"] == "replace"
    for code in ("old-floor", "verdict", "verdict-map", "touches", "order", "cautions"):
        assert found[code] == "keep", code


def test_sheets_that_come_and_go_are_told() -> None:
    with_top, without = fake_walk(), fake_walk(fits=False)
    gone, come = what(sheet_changes(with_top, without)), what(sheet_changes(without, with_top))
    assert gone["pads"] == "withdraw"
    assert come["pads"] == "new"
    numbers = [one.number for one in sheet_changes(with_top, without)]
    assert numbers == sorted(numbers)
    assert {one.code for one in sheet_changes(with_top, without)} <= {one.code for one in SHEETS}


@pytest.mark.parametrize("system", ["feet-inches", "metric"])
def test_the_letter_holds_no_price_and_the_offices_page_holds_it(
    tmp_path: Path, system: str
) -> None:
    before = replace(fake_walk(system=system), price=bid())
    after = dearer(fake_walk(system=system))
    revision = differences(before, after, texts=(BEFORE, AFTER))
    changes = sheet_changes(before, after)
    files = write_revision(revision, changes, after, tmp_path / "out")
    assert [path.name for path in files] == [LETTER, MONEY]
    letter, money = (said(path) for path in files)
    for words in ("100 ft 1 in", "Old floor", "still good", "read by, day"):
        assert words.replace(" ", "") in letter, words
    for words in ("$", "640", "700", "wage", "9,810", "9,910", "Bid", "Choices"):
        assert words not in letter, words
    for words in ("$9,810.00", "$9,910.00", "+$100.00", "+$10.00", "+$90.00", "wage", "$44", "Bid"):
        assert words in money, words


def test_without_a_price_there_is_no_page_of_money_and_an_old_one_goes(tmp_path: Path) -> None:
    (tmp_path / MONEY).write_bytes(b"of an earlier change")
    walk = replace(fake_walk(), price=None)
    revision = differences(walk, walk, texts=(BEFORE, AFTER))
    files = write_revision(revision, sheet_changes(walk, walk), walk, tmp_path)
    assert [path.name for path in files] == [LETTER]
    assert not (tmp_path / MONEY).exists()


def test_the_terminal_tells_the_same() -> None:
    before, after = replace(fake_walk(), price=bid()), dearer(fake_walk())
    revision = differences(before, after, texts=(BEFORE, AFTER))
    assert revision.price is not None
    assert revision.price.more == Decimal(100)
    assert revision.price.between == Decimal(90)
    told = difference_told(revision, sheet_changes(before, after), after.job.units)
    for words in ("100 ft 1 in", "+$100.00", "still good", "take back, hand out anew"):
        assert words in told
    same = differences(before, before, texts=(BEFORE, BEFORE))
    assert "Nothing differs" in difference_told(same, (), before.job.units)


def tilted(walk: Walk, *, from_m: float, to_m: float) -> Map:
    """A change that grows evenly from the left edge to the right one."""
    lattice = walk.oldslab.lattice
    x_m = lattice.points_m[:, 0]
    share = (x_m - x_m.min()) / (x_m.max() - x_m.min())
    more_m = from_m + (to_m - from_m) * share
    ends = [lattice.points_m[place] for place in (share.argmin(), share.argmax())]
    (low, high) = ((float(at[0]), float(at[1])) for at in ends)
    return Map(lattice, lattice.spread(more_m), from_m, low, to_m, high)


def test_the_map_tells_the_change_place_by_place() -> None:
    walk = fake_walk()
    blocks = change_blocks(tilted(walk, from_m=-0.0254, to_m=0.0508), walk)
    (figure,) = (block for block in blocks if isinstance(block, Figure))
    text = figure.data()["svg"]
    for label in ('-1"', '+2"'):
        assert f">{label}<" in text.replace("&quot;", '"').replace("\xa0", " "), label
    assert 'from -1" to 2"' in figure.data()["alt"]


def test_a_change_that_is_the_same_everywhere_needs_no_map() -> None:
    walk = fake_walk()
    assert change_blocks(tilted(walk, from_m=0.0127, to_m=0.0128), walk) == []
    assert change_blocks(None, walk) == []
