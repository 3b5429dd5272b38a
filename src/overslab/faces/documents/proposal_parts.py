"""What a proposal is made of: parts with a heading each, the same on paper and on the page."""

from __future__ import annotations

import re
from dataclasses import dataclass

from overslab.faces.documents.blocks import Asks, Bullets, Facts, Heading, Para, Table
from overslab.faces.documents.proposal_drawings import Plate

PartBlock = Para | Heading | Bullets | Facts | Asks | Table | Plate
_PARAGRAPHS = re.compile(r"\n\s*\n")
_SPACES = re.compile(r"\s+")


@dataclass(frozen=True, slots=True)
class Part:
    """One part; ``code`` is its place on the page. A part without blocks is not shown."""

    code: str
    title: str
    blocks: tuple[PartBlock, ...]


@dataclass(frozen=True, slots=True)
class Proposal:
    """Laid out. ``lead`` are the facts at its head, ``notice`` what must be read before them."""

    title: str
    firm: str
    lead: tuple[tuple[str, str], ...]
    price: str
    price_says: str
    notice: tuple[str, ...]
    parts: tuple[Part, ...]
    made_up: bool
    day: str


def own_words(text: str) -> tuple[Para, ...]:
    """The owner's text as written; empty lines part its paragraphs."""
    parted = (_SPACES.sub(" ", part).strip() for part in _PARAGRAPHS.split(text))
    return tuple(Para(part) for part in parted if part)
