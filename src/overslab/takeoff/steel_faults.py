"""What can be wrong with the steel that is asked for."""

from __future__ import annotations

from overslab.ground.faults import FaultKind

STEEL_NOT_POSITIVE = FaultKind(
    code="steel-not-positive",
    what="The {what} is not more than nothing.",
    limit="Lengths, spacings and sizes of steel are more than 0; laps, edges and cover at least 0.",
    remedy="Correct the {what}.",
)
STEEL_LAP_TOO_LONG = FaultKind(
    code="steel-lap-too-long",
    what="The lap is as long as half of {what} or longer, so that nothing is gained by a joint.",
    limit="Less than half of {limit} (our limit).",
    remedy="Correct the lap or the stock.",
)
STEEL_NO_FLOOR = FaultKind(
    code="steel-no-floor",
    what="Nothing of the floor is left inside the distance that steel keeps from its edges.",
    limit="Some floor farther from every edge, wall and post than that.",
    remedy="Give a smaller distance from the edges.",
)
SUPPORTS_NOT_POSITIVE = FaultKind(
    code="supports-not-positive",
    what="The {what} of the supports is not more than nothing.",
    limit="Spacing, height, box and the stock length of bolsters are more than 0.",
    remedy="Give the {what} as the supplier's list has it.",
)
