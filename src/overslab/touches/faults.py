"""What can be wrong with what the room of touches is given."""

from __future__ import annotations

from overslab.ground.faults import FaultKind

NO_TOP = FaultKind(
    code="touches-no-top",
    what="There is no new top, so nothing meets it.",
    limit="A kind of top that meets the wishes (room of the new top).",
    remedy="Change the wishes as the new top says, then walk again.",
)
DOOR_LOST = FaultKind(
    code="touches-door-lost",
    what="{name} is said to lie before a door that is not among the facts.",
    limit="Doors known here: {known}.",
    remedy="Correct the name of the door, or write that door down.",
)
