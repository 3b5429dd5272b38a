"""Everything that can be wrong with the wishes for a new top, in the trade's words."""

from __future__ import annotations

from overslab.ground.faults import FaultKind

NO_OUTLET = FaultKind(
    code="newtop-no-outlet",
    what="No outlet is given for the water.",
    limit="A top that drains needs at least one door, open edge or drain as its outlet.",
    remedy="Name the door, open edge or drain that the water shall run to.",
)
OUTLET_OFF_FLOOR = FaultKind(
    code="newtop-outlet-off-floor",
    what="The outlet {name} does not lie on the floor.",
    limit="Both ends within {tolerance_m} m of the floor (our tolerance).",
    remedy="Check the corners of {name} against the outline.",
)
OUTLET_SHAPE = FaultKind(
    code="newtop-outlet-shape",
    what="The outlet {name} is neither a point nor a straight line.",
    limit="One point for a drain, two different points for a door or an open edge.",
    remedy="Give {name} one or two points; split a bent opening into straight ones.",
)
EDGE_OFF_OUTLINE = FaultKind(
    code="newtop-edge-off-outline",
    what="{name} does not lie on the edge of the floor.",
    limit="Within {tolerance_m} m of the outline or of a hole (our tolerance); a stair or a free "
    "line may stand anywhere on the floor.",
    remedy="Measure {name} from the corner of its wall again, or draw the notch it stands in.",
)
EDGE_NO_LENGTH = FaultKind(
    code="newtop-edge-no-length",
    what="{name} starts and ends at the same place.",
    limit="An edge is a line between two different points.",
    remedy="Give both ends of {name}.",
)
EDGE_UPSIDE_DOWN = FaultKind(
    code="newtop-edge-upside-down",
    what="The lowest height of {name} is above its highest.",
    limit="Lowest at or below highest.",
    remedy="Swap the two heights of {name}, or check the shots they came from.",
)
DRAIN_OFF_FLOOR = FaultKind(
    code="newtop-drain-off-floor",
    what="The drain {name} does not lie on the floor.",
    limit="Inside the outline, outside the holes.",
    remedy="Check the place of {name} on the plan.",
)
ZONE_OFF_FLOOR = FaultKind(
    code="newtop-zone-off-floor",
    what="The zone {name} does not lie on the floor.",
    limit="A zone has at least three corners, does not cross itself and covers some floor.",
    remedy="Check the corners of {name}.",
)
LEAST_OVER_GREATEST = FaultKind(
    code="newtop-least-over-greatest",
    what="The least {quantity} of {name} is above the greatest.",
    limit="Least at or below greatest.",
    remedy="Swap the two, or say which of them is meant.",
)
NOT_POSITIVE = FaultKind(
    code="newtop-not-positive",
    what="The {name} cannot be used.",
    limit="A number above zero.",
    remedy="Give the {name} again.",
)
NEGATIVE = FaultKind(
    code="newtop-negative",
    what="The {name} cannot be used.",
    limit="A number, zero or above.",
    remedy="Give the {name} again.",
)
NOT_A_NUMBER = FaultKind(
    code="newtop-not-a-number",
    what="The {name} is not a number.",
    limit="A finite number.",
    remedy="Give the {name} again.",
)
TWIN_NAMES = FaultKind(
    code="newtop-twin-names",
    what="Two {kinds} are called {name}.",
    limit="Each has a name of its own, so that a rule can be told by it.",
    remedy="Give one of them another name, such as the side of the building it is on.",
)
UNKNOWN_RULE = FaultKind(
    code="newtop-unknown-firm-rule",
    what="A wish that shall stay firm is not a wish of this job.",
    limit="One of: {known}.",
    remedy="Write the name as listed, or take it out of the firm list.",
)
CHOICE_NOT_ASKED = FaultKind(
    code="newtop-choice-not-asked",
    what="The kind of top chosen is not among the kinds asked for.",
    limit="One of: {known}.",
    remedy="Add it to the kinds, or choose another.",
)
NO_KIND = FaultKind(
    code="newtop-no-kind",
    what="No kind of top is asked for.",
    limit="At least one of plane, planes, strips, level, follow.",
    remedy="Name the kinds of top to compare.",
)
