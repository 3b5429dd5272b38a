"""What can be wrong with a value that is put into a published formula or table."""

from __future__ import annotations

from overslab.ground.faults import FaultKind

OUT_OF_RANGE = FaultKind(
    code="handbook-out-of-range",
    what="{quantity} lies outside what this formula holds for",
    limit="{quantity} {range}; {source}",
    remedy="check the number and its unit; beyond the range no published formula here gives an "
    "answer, so ask an engineer",
)
NOT_A_NUMBER = FaultKind(
    code="handbook-not-a-number",
    what="{quantity} is not a number that can be worked with",
    limit="{quantity} {range}; {source}",
    remedy="find out the value, or leave out the formula that needs it",
)
NOT_IN_TABLE = FaultKind(
    code="handbook-not-in-table",
    what="the table has no row for this {quantity}",
    limit="the table has {rows}; {source}",
    remedy="take one of the rows, or ask for the value where the thing is bought",
)
