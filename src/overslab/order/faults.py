"""What can be wrong with the plant's terms, the mix asked for, or the volume to order."""

from __future__ import annotations

from overslab.ground.faults import FaultKind

NOT_A_NUMBER = FaultKind(
    code="order-not-a-number",
    what="{name} is not a number",
    limit="an ordinary number",
    remedy="Write {name} as a number in the rates.",
)
NO_TRUCK = FaultKind(
    code="order-truck-size",
    what="a full truckload must hold some concrete",
    limit="more than 0 (common practice: about 6 to 8 m3, or 8 to 10 yd3)",
    remedy="Ask the plant what a full truck carries and write it down as the truck size.",
)
NO_STEP = FaultKind(
    code="order-step",
    what="the step the plant sells in must be above nothing and no more than a truckload",
    limit="above 0, at most the truck's {truck_m3:g} m3 (common practice: 1/4, 1/2 or 1 yd3)",
    remedy="Ask the plant in what steps it sells and write that down as the order step.",
)
LEAST_LOAD = FaultKind(
    code="order-least-load",
    what="the least load without a charge does not fit the truck",
    limit="0 to {truck_m3:g} m3, the full truckload",
    remedy="Write the load below which the plant adds its short-load charge; 0 if it adds none.",
)
NEGATIVE_COST = FaultKind(
    code="order-negative-cost",
    what="{name} is below nothing",
    limit="0 or more",
    remedy="Write what it costs, not what it saves; 0 if it costs nothing.",
)
FREE_CONCRETE = FaultKind(
    code="order-free-concrete",
    what="concrete without a price",
    limit="more than 0; the price weighs left-over concrete against running short",
    remedy="Write the plant's price of the mix, with its date.",
)
NO_SHORT_COST = FaultKind(
    code="order-short-cost",
    what="running short is said to cost nothing",
    limit="more than 0; with nothing to lose the cheapest order would always be the smallest",
    remedy="Write what running short once costs you beyond the concrete: the extra truck and its"
    " least charge, the crew's wait, the joint to make good.",
)
LOSS_OUT_OF_RANGE = FaultKind(
    code="order-loss",
    what="the share of concrete lost is outside what can be",
    limit="0 to 50 % with a plus-or-minus of 0 or more (common practice: 3 to 10 %)",
    remedy="Write losses as a share of the concrete in place, such as 5 %, with its plus-or-minus.",
)
NO_SPACING = FaultKind(
    code="order-truck-spacing",
    what="trucks cannot come with no time between them",
    limit="more than 0 minutes",
    remedy="Write the minutes you need to place one load before the next comes.",
)
NO_CONCRETE = FaultKind(
    code="order-no-concrete",
    what="there is no concrete to order",
    limit="a volume in place above 0 with a plus-or-minus of 0 or more",
    remedy="Look at the new top and the takeoff: the top must lie above the old floor.",
)
TOO_MANY_STEPS = FaultKind(
    code="order-too-many-steps",
    what="the order step is too fine for this volume",
    limit="at most {most} steps in the order",
    remedy="Write the step the plant really sells in.",
)
MIX_OUT_OF_RANGE = FaultKind(
    code="order-mix",
    what="{name} cannot be",
    limit="{allowed}",
    remedy="Write what the plant is asked for, or leave it out.",
)
MIX_HALF = FaultKind(
    code="order-mix-half",
    what="the mix has {given}, but not {missing}",
    limit="both, or neither",
    remedy="Write {missing}, or take {given} out.",
)
