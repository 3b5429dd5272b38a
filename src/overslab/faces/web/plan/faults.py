"""What can be wrong with a place asked about, a line drawn, or a thing drawn on the plan."""

from __future__ import annotations

from overslab.ground.faults import FaultKind

PLACE_SHAPE = FaultKind(
    code="plan-place",
    what="this place cannot be read",
    limit="two lengths with their unit, x to the right and y up the sheet, or a label of the taped "
    "grid such as C4 in the first field",
    remedy="write both again, such as {example}",
)
OFF_FLOOR = FaultKind(
    code="plan-off-floor",
    what="this place is not on the floor",
    limit="heights are known on the floor only, not in a hole and not outside the outline",
    remedy="tap inside the outline, or type another place",
)
LINE_OFF_FLOOR = FaultKind(
    code="plan-line-off-floor",
    what="this line crosses no floor",
    limit="a section shows what lies under the line; a hand's breadth of floor is the least",
    remedy="move one end so that the line runs over the floor",
)
NO_TOP = FaultKind(
    code="plan-no-top",
    what="there is no new top to cut through",
    limit="a section shows old floor and new top together; no kind of top meets all the wishes yet",
    remedy="look at the page of the new top, which says which wishes fight",
)
NO_WALK = FaultKind(
    code="plan-not-worked-out",
    what="the job has not been worked out yet",
    limit="values are shown once every shot and wish has been worked through",
    remedy="wait a moment; if something has to be put right first, the page says so",
)
THING_UNKNOWN = FaultKind(
    code="plan-thing-unknown",
    what="there is no such thing on the plan any more",
    limit="the outline, breaks, doors and hollow spots of this job",
    remedy="choose one from the list",
)
NAME_TAKEN = FaultKind(
    code="plan-name-taken",
    what="there is one of that name already",
    limit="each {kind} has a name of its own",
    remedy="choose another name",
)
NAME_MISSING = FaultKind(
    code="plan-name-missing",
    what="it has no name yet",
    limit="each {kind} has a short name, by which the sheets speak of it",
    remedy="type a name",
)
