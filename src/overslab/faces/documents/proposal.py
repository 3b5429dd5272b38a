"""The proposal: what a customer reads, agrees to and signs, on paper and on a private page.

Sale prices only. It is no sheet of the packet, which goes to the crew.
"""

from __future__ import annotations

import datetime
import json
from importlib import resources
from pathlib import Path
from typing import Any, cast

from overslab.faces.documents import faults
from overslab.faces.documents import proposal_after as after
from overslab.faces.documents import proposal_floor as floor
from overslab.faces.documents import proposal_money as money
from overslab.faces.documents.blocks import Table
from overslab.faces.documents.fonts import LOST, compiler, only_printable
from overslab.faces.documents.packet import STANDARDS
from overslab.faces.documents.paper import page_of
from overslab.faces.documents.proposal_drawings import Plate, screen_svg
from overslab.faces.documents.proposal_parts import Part, PartBlock, Proposal
from overslab.faces.documents.svg import printable, settable, write_svg
from overslab.faces.documents.words import MADE_UP
from overslab.ground.faults import Faulty
from overslab.job.records import Walk

CODE = "proposal"
FILE = "proposal.pdf"
_MARGIN = 18.0  # of the paper, mm
_FEW_ROWS, _FEW_SIGNS = 6, 1800
_LOST_SIGNS = f"Some signs that were typed are not in the lettering and stand as {LOST}."


def lay_proposal(walk: Walk) -> Proposal:
    """The proposal of a walk. Raises ``Faulty`` when there is no top, or no price for it."""
    top, bid, touches = walk.newtop.top, walk.price, walk.touches
    if top is None or top.surface is None:
        raise Faulty(faults.PROPOSAL_WITHOUT_TOP.met(value=walk.job.name))
    if bid is None:
        raise Faulty(faults.PROPOSAL_WITHOUT_PRICE.met(value=walk.job.name, place="rates.toml"))
    wide = page_of(walk).short - 2 * _MARGIN
    texts = walk.job.proposal
    parts = [
        floor.problem(walk, wide=wide),
        floor.new_floor(walk, top, wide=wide),
        floor.scope(walk),
        floor.not_in_scope(walk),
    ]
    if touches is not None:
        parts += [floor.who_does_what(walk, touches), floor.heights(walk, touches)]
    parts += [
        money.price(walk, bid),
        money.instead(bid),
        money.may_change(walk, bid),
        after.normal(walk, top),
        after.schedule(walk),
        after.use_and_care(walk),
        after.cautions(walk),
        after.law(walk),
        after.signatures(walk),
    ]
    lead = (
        ("For", texts.customer),
        ("", texts.customer_place),
        ("Work at", walk.job.place),
        ("From", texts.firm),
        ("", texts.contact),
        ("Day", texts.date),
        ("Price holds until", texts.valid_until),
    )
    return Proposal(
        title=walk.job.name,
        firm=texts.firm,
        lead=tuple((name, value) for name, value in lead if value),
        price=money.price_asked(bid),
        price_says=money.price_says(bid),
        notice=floor.movement_warnings(walk),
        parts=tuple(part for part in parts if part.blocks),
        made_up=walk.job.made_up or bid.made_up,
        day=texts.date or walk.job.date,
    )


def print_proposal(walk: Walk) -> bytes:
    """The proposal as one tagged PDF; the same job gives the same bytes."""
    made = lay_proposal(walk)
    page = page_of(walk)
    data = {
        **_data(made),
        "paper": page.paper,
        "margin": _MARGIN,
        "foot": settable(
            " · ".join(one for one in (made.firm, walk.job.name, f"proposal of {made.day}") if one)
        ),
    }
    written = json.dumps(data, ensure_ascii=False)
    shown = only_printable(written)
    if shown != written:
        data["lost"] = _LOST_SIGNS
        shown = only_printable(json.dumps(data, ensure_ascii=False))
    template = resources.files(__package__).joinpath("templates/proposal.typ").read_bytes()
    stamp = datetime.datetime.combine(
        datetime.date.fromisoformat(made.day), datetime.time(), datetime.UTC
    )
    form: dict[str, Any] = {
        "format": "pdf",
        "pdf_standards": list(STANDARDS),
        "timestamp": stamp,
    }
    made_pdf, warnings = compiler().compile_with_warnings(
        template, sys_inputs={"proposal": shown}, **form
    )
    if warnings:
        # A warning means letters without a font or a page set wrongly: never hand that out.
        raise RuntimeError("; ".join(str(warning) for warning in warnings))
    return cast(bytes, made_pdf)


def page_data(walk: Walk) -> dict[str, Any]:
    """What a private page shows, as plain data: parts without their drawings, and the drawings.

    ``drawings`` holds each as SVG by its file name: ``water-wide.svg``, ``water-narrow.svg``.
    """
    made = lay_proposal(walk)
    data = _data(made, with_svg=False)
    drawings = {}
    for part in made.parts:
        for block in part.blocks:
            if isinstance(block, Plate):
                drawings[f"{block.code}.svg"] = write_svg(block.drawing)
                drawings[f"{block.code}-wide.svg"] = screen_svg(walk, block.code, size="wide")
                drawings[f"{block.code}-narrow.svg"] = screen_svg(walk, block.code, size="narrow")
    not_given = [
        {"what": one.what, "law": one.law, "place": one.place}
        for one in walk.job.proposal.not_given
    ]
    return {"page": data, "drawings": drawings, "not_given": not_given}


def write_proposal(walk: Walk, folder: Path) -> Path:
    """Write ``proposal.pdf`` into the folder. Raises ``Faulty`` where it cannot be made or put."""
    content = print_proposal(walk)
    try:
        folder.mkdir(parents=True, exist_ok=True)
        (folder / FILE).write_bytes(content)
    except OSError as problem:
        why = problem.strerror or str(problem)
        raise Faulty(faults.PACKET_FOLDER.met(value=folder, why=why)) from problem
    return folder / FILE


def _data(made: Proposal, *, with_svg: bool = True) -> dict[str, Any]:
    return {
        "title": printable(made.title),
        "lead": [[settable(name), settable(value)] for name, value in made.lead],
        "price": settable(made.price),
        "price_says": settable(made.price_says),
        "notice": [settable(one) for one in made.notice],
        "made_up": MADE_UP if made.made_up else "",
        "lost": "",
        "parts": [_part(part, with_svg=with_svg) for part in made.parts],
    }


def _part(part: Part, *, with_svg: bool) -> dict[str, Any]:
    return {
        "code": part.code,
        "title": settable(part.title),
        "whole": _fits(part),
        "blocks": [_block(block, with_svg=with_svg) for block in part.blocks],
    }


def _fits(part: Part) -> bool:
    """Whether a part is surely short enough to be kept on one page."""
    blocks = [block.data() for block in part.blocks if not isinstance(block, Plate)]
    rows = sum(len(block.get("rows", ())) for block in blocks)
    return len(blocks) == len(part.blocks) and rows <= _FEW_ROWS and len(str(blocks)) < _FEW_SIGNS


def _block(block: PartBlock, *, with_svg: bool) -> dict[str, Any]:
    if isinstance(block, Table):
        columns = list(zip(*block.rows, strict=True))
        by_hand = [place for place, words in enumerate(columns) if not any(words)]
        return block.data() | {"by_hand": by_hand}  # columns to be written in by hand
    if not isinstance(block, Plate):
        return block.data()
    drawing = block.drawing
    return {
        "block": "plate",
        "code": block.code,
        "caption": settable(block.caption),
        "alt": printable(drawing.told),
        "width": drawing.width,
        "height": drawing.height,
        **({"svg": write_svg(drawing)} if with_svg else {}),
    }
