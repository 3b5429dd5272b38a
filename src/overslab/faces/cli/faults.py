"""What can be wrong with a ``calc`` line."""

from __future__ import annotations

from overslab.ground.faults import FaultKind

FORMULA_UNKNOWN = FaultKind(
    code="formula-unknown",
    what="the handbook has no formula of this name",
    limit="overslab calc without a name lists all {count} formulas",
    remedy="{meant}",
)
VALUE_SHAPE = FaultKind(
    code="calc-value-shape",
    what="this is not a key and its value",
    limit="values are given as key=value, such as {such}",
    remedy="write key=value without spaces, or in quotes: {such}",
)
VALUE_UNKNOWN = FaultKind(
    code="calc-value-unknown",
    what="{formula} takes no value of this name",
    limit="it takes {takes}",
    remedy="{meant}",
)
VALUE_TWICE = FaultKind(
    code="calc-value-twice",
    what="{key} is given twice",
    limit="each value is given once",
    remedy="leave one of them away",
)
VALUE_MISSING = FaultKind(
    code="calc-value-missing",
    what="{key} ({symbol} in {equation}) is not given",
    limit="{formula} needs {takes}",
    remedy="add {such}",
)
VALUE_CHOICE = FaultKind(
    code="calc-value-choice",
    what="this is none of the words that can stand here",
    limit="one of: {choices}",
    remedy="did you mean {meant}?",
)
VALUES_REFUSED = FaultKind(
    code="calc-values-refused",
    what="{formula} has no answer for these values",
    limit="valid: {valid}; {source}",
    remedy="check the values and their units",
)
