"""Faults of the paper."""

from __future__ import annotations

from overslab.ground.faults import FaultKind

SHEET_UNKNOWN = FaultKind(
    code="sheet-unknown",
    what="There is no sheet of that name.",
    limit="The sheets are: {known}.",
    remedy="Ask for one of these.",
)
SHEET_ABSENT = FaultKind(
    code="sheet-absent",
    what="This job has no sheet {title}, because no top meets the wishes.",
    limit="The sheet shows the new top, and there is none to show.",
    remedy="Look at the summary: it says which wishes fight and what would let them live.",
)
SHEET_NOT_DRAWN = FaultKind(
    code="sheet-not-drawn",
    what="The sheet {title} is words and tables; it has no drawing.",
    limit="Drawings are on the sheets: {drawn}.",
    remedy="Ask for one of these, or print the sheet.",
)
PACKET_FOLDER = FaultKind(
    code="packet-folder",
    what="The packet cannot be written there: {why}.",
    limit="A folder that may be made and written in.",
    remedy="Name another folder, or free this one.",
)
PROPOSAL_WITHOUT_TOP = FaultKind(
    code="proposal-without-top",
    what="There is nothing to propose: no top meets the wishes.",
    limit="A proposal shows the new floor and what it costs.",
    remedy="Look at the summary: it says which wishes fight and what would let them live.",
)
PROPOSAL_WITHOUT_PRICE = FaultKind(
    code="proposal-without-price",
    what="There is no price to propose.",
    limit="A price needs the sections [crew] and [money] in rates.toml.",
    remedy="Write down your rates, then ask for the proposal again.",
)
