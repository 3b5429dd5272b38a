"""Faults of the exports."""

from __future__ import annotations

from overslab.ground.faults import FaultKind

NO_TOP = FaultKind(
    code="export-no-top",
    what="There is no new top to write out.",
    limit="All files but the calendar hold the new top or what it takes, and no kind of top meets "
    "the wishes.",
    remedy="Look at the summary: it says which wishes fight and what would let them live. The "
    "calendar can be had alone: --only ics.",
)
NO_PRICE = FaultKind(
    code="export-no-price",
    what="There is no bid to write out.",
    limit="Bid lines come from the wages and profit of rates.toml, and none are written there.",
    remedy="Fill in the rates, or ask for the other files only.",
)
NOT_MESHED = FaultKind(
    code="export-not-meshed",
    what="The floor could not be cut into triangles that cover it.",
    limit="The triangles add up to the floor's area within {most:g} of it, and every edge and "
    "break is a side of triangles.",
    remedy="Look in [floor] and [[break]] for lines that nearly meet, and draw them to meet.",
)
NOT_YET = FaultKind(
    code="export-not-yet",
    what="There is nothing to write out yet.",
    limit="Files are made from the last walk that came to an end.",
    remedy="Wait until the job is worked out, or put right what it says is wrong.",
)
FORM_UNKNOWN = FaultKind(
    code="export-unknown",
    what="There is no export of that name.",
    limit="The exports are: {known}.",
    remedy="Ask for one of these, parted by commas.",
)
FOLDER = FaultKind(
    code="export-folder",
    what="The files cannot be written there: {why}.",
    limit="A folder that may be made and written in.",
    remedy="Name another folder, or free this one.",
)
