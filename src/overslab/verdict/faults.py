"""What can be wrong with findings, the owner's practice, and wishes that contradict it."""

from __future__ import annotations

from overslab.ground.faults import FaultKind

BREAK_UNKNOWN = FaultKind(
    code="verdict-break-unknown",
    what="something was found at {name}, and the plan has no crack or joint of that name",
    limit="cracks and joints on the plan: {known}",
    remedy="correct the name, or draw the crack on the plan",
)
READING_DATE = FaultKind(
    code="verdict-reading-date",
    what="a reading of {name} has no day that the calendar knows, or one day twice",
    limit="each look at a crack has its own day, year-month-day",
    remedy="correct the day from the notebook",
)
MEASURE_SIGN = FaultKind(
    code="verdict-measure-sign",
    what="{thing} must be {wanted}",
    limit="{thing} is {wanted}; a thing that was not measured is left out",
    remedy="correct the number, or leave it out",
)
HOLLOW_SHAPE = FaultKind(
    code="verdict-hollow-shape",
    what="the outline of {name} crosses itself or has no area",
    limit="a hollow place is outlined corner by corner, three corners or more",
    remedy="correct its corners in the order in which they are walked",
)
HOLLOW_OUTSIDE = FaultKind(
    code="verdict-hollow-outside",
    what="{name} does not lie on the floor",
    limit="a hollow place lies on the floor, at least in part",
    remedy="correct its corners or the outline of the floor",
)
NAME_TWICE = FaultKind(
    code="verdict-name-twice",
    what="two hollow places or two loads have the name {name}",
    limit="each has its own name",
    remedy="give one of them another name",
)
PRACTICE_ORDER = FaultKind(
    code="verdict-practice-order",
    what="the owner's practice asks more of a bonded top than of an unbonded one",
    limit="bonded_least is at most unbonded_least, {unbonded}; common practice: 1-1/2 in and 3 in",
    remedy="swap the two, or correct the one that is wrong",
)
PRACTICE_RANGE = FaultKind(
    code="verdict-practice-range",
    what="{key} in the owner's practice is not a limit that anything could be held to",
    limit="{key} is {wanted}",
    remedy="correct it in [practice], or leave it out for common practice",
)
THINNER_THAN_PRACTICE = FaultKind(
    code="verdict-thinner-than-practice",
    what="the least thickness wished is less than the owner's own practice allows {system}",
    limit="{system}: at least {least} everywhere (owner's practice of {date})",
    remedy="raise least_thickness, choose another system, or change [practice] and say why there",
)
