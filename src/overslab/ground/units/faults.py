"""What can be wrong with a number and its unit."""

from __future__ import annotations

from overslab.ground.faults import FaultKind

EMPTY = FaultKind(
    code="units-empty",
    what="nothing is written where {a_thing} is needed",
    limit="{a_thing} is written like {forms}",
    remedy="write it with its unit, like {first_form}",
)
TOO_LONG = FaultKind(
    code="units-too-long",
    what="this is too long to be {a_thing}",
    limit="at most {most} characters; {a_thing} is written like {forms}",
    remedy="write one number with its unit, like {first_form}",
)
UNREADABLE = FaultKind(
    code="units-unreadable",
    what="this cannot be read as {a_thing}",
    limit="{a_thing} is written like {forms}",
    remedy="did you mean {meant}?",
)
TWO_MEANINGS = FaultKind(
    code="units-two-meanings",
    what="this can mean two things as {a_thing}: {meanings}",
    limit="{rule}",
    remedy="write {ways}",
)
NO_UNIT = FaultKind(
    code="units-no-unit",
    what="{a_thing} stands here without its unit",
    limit="{rule}",
    remedy="did you mean {ways}?",
)
WRONG_CONVENTION = FaultKind(
    code="units-wrong-convention",
    what="this is not how the rod of this survey is read: {meanings}",
    limit="the survey is locked to {system}: {rule}",
    remedy="{ways}; one survey has one rod convention, so if the rod differs, change the survey's",
)
ZERO_BELOW = FaultKind(
    code="units-zero-below",
    what="the number below the line is zero",
    limit="nothing can be divided by zero",
    remedy="did you mean {meant}?",
)
INCH_FRACTION = FaultKind(
    code="units-inch-fraction",
    what="no rule has such a fraction of an inch: {fraction}",
    limit="halves, quarters, eighths, 16ths, 32nds and 64ths, each below one whole",
    remedy="did you mean {meant}?",
)
INCHES_CARRY = FaultKind(
    code="units-inches-carry",
    what="there are 12 inches or more after the feet",
    limit="inches after feet are below 12",
    remedy="did you mean {meant}?",
)
OUT_OF_RANGE = FaultKind(
    code="units-out-of-range",
    what="this is out of range for {a_thing}: {found}",
    limit="{allowed}",
    remedy="check the number and its unit{meant}",
)
MARK = FaultKind(
    code="units-mark",
    what="no rule in {system} has such a mark",
    limit="the marks in {system} are {marks}",
    remedy="choose one of these marks",
)
