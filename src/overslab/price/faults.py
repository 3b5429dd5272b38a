"""Every fault of the room of the price, in the words of the trade."""

from __future__ import annotations

from overslab.ground.faults import FaultKind

UNIT_DIFFERS = FaultKind(
    code="rate-unit-differs",
    what="The rate for {code} is by the {rate_unit}, and the takeoff orders it by the {item_unit}.",
    limit="A material's price is for the unit that it is ordered in (our format).",
    remedy='Write the price of one {item_unit} and unit = "{item_unit}" in its [[material]].',
)
QUANTITY_DIFFERS = FaultKind(
    code="rate-quantity-differs",
    what="The hours for {code} are by {rate_by}, and the takeoff measures it by {item_by}.",
    limit="Hours are for what the takeoff measures the work by (our format).",
    remedy="Write the hours of {code} by {item_by}: see the keys of [[work]].",
)
