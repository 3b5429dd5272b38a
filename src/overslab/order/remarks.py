"""What the person who orders must know beside the figures; volumes stand in the record."""

from __future__ import annotations

from collections.abc import Iterator

from overslab.ground.estimate import Estimate
from overslab.ground.notes import Remark
from overslab.handbook.ordering import chance_short
from overslab.order.amount import Weighed, weigh
from overslab.order.loads import steps_to_reach
from overslab.order.records import MixCheck, Plant
from overslab.takeoff.records import Takeoff

# Above this spread a normal need would reach below nothing too often to be believed.
_WIDE_SPREAD = 1 / 3
_PLAIN_WASTE = 0.10


def remarks_on(
    *, takeoff: Takeoff, plant: Plant, mixed: MixCheck, needed_m3: Estimate, best: Weighed
) -> tuple[Remark, ...]:
    """Remarks in the order a dispatcher's caller needs them."""
    return (
        *_on_amount(takeoff, plant, needed_m3, best),
        *_on_loads(plant, needed_m3, best),
        *_on_mix(mixed),
        *_standing(),
    )


def _on_amount(
    takeoff: Takeoff, plant: Plant, needed_m3: Estimate, best: Weighed
) -> Iterator[Remark]:
    plain_m3 = takeoff.total.volume_m3.mean * (1 + _PLAIN_WASTE)
    steps = steps_to_reach(plain_m3, step_m3=plant.order_step_m3)
    plain = weigh(steps=steps, needed_m3=needed_m3, plant=plant).choice
    more = plain.expected_cost / best.choice.expected_cost - 1
    yield Remark(
        "note",
        "Ten percent on top of the volume in place, up to the next step of the plant, would run"
        f" short with a chance of {plain.chance_short:.0%} (this order:"
        f" {best.choice.chance_short:.0%}) and be expected to cost {max(0.0, more):.1%} more.",
    )
    if best.choice.chance_short >= 0.5:
        yield Remark(
            "ask",
            "By the costs written down it is cheaper to run short than to have concrete left over,"
            " so the order is no more than what is likely needed. Look at the cost of running short"
            " again: the extra truck and its charge, the crew's wait, the joint to make good.",
        )
    if needed_m3.deviation > _WIDE_SPREAD * needed_m3.mean:
        yield Remark(
            "ask",
            "The volume is known too poorly to order from: shoot more of the old floor first.",
        )
    if plant.loss.mean > 0 or plant.loss.deviation > 0:
        yield Remark(
            "note",
            "A loss written as a share hides what does not grow with the floor: what stays in the"
            " drum and the chute, the fill of a pump line, a form that gives way. On a small job"
            " these weigh more than the share says. A share also does nothing for a dished floor;"
            " that is in the measured volume.",
        )


def _on_loads(plant: Plant, needed_m3: Estimate, best: Weighed) -> Iterator[Remark]:
    count, firm = len(best.division.steps), best.division.firm
    if firm < count:
        held = "the last load is" if count - firm == 1 else f"the last {count - firm} loads are"
        yield Remark(
            "ask",
            f"{held.capitalize()} held (will-call). Tell the plant so when you book, and ask how"
            " long before it must be called (common practice: 1 to 2 hours), how much it may"
            " grow, and after which minute it can no longer be changed.",
        )
        yield Remark(
            "note",
            "Before the held load is called, measure what is still to fill: lay strings, dip the"
            " open strips every few steps, and multiply by what the floor has used so far over"
            " what was computed for the same strips.",
        )
        firm_m3 = sum(best.division.steps[:firm]) * plant.order_step_m3
        over = 1 - chance_short(
            amount_m3=firm_m3, needed_m3=needed_m3.mean, deviation_m3=needed_m3.deviation
        )
        if over > 0.05:
            yield Remark(
                "warn",
                f"Even the firm loads have a chance of {over:.0%} of being more than is needed.",
            )
    else:
        yield Remark(
            "note",
            "Everything comes in one load: nothing can be measured before the last truck, so the"
            " whole margin rides in it. Have a form ready for what is left over.",
        )
    if best.division.short_loads:
        yield Remark(
            "note",
            "A load below the plant's least load cannot be avoided at this amount, or costs less"
            " than avoiding it; its charge is in the expected cost.",
        )
    yield Remark(
        "note",
        "Ask for a rate in volume per hour, not in trucks per hour: trucks differ in size.",
    )


def _on_mix(mixed: MixCheck) -> Iterator[Remark]:
    yield from (Remark("ask", text) for text in mixed.asks)
    yield from mixed.remarks


def _standing() -> Iterator[Remark]:
    yield Remark(
        "warn",
        "One named person calls the plant, for the first load, the held load and any change, and"
        " has the figure read back.",
    )
    yield Remark(
        "warn",
        "If it runs short, stop at the next planned joint and square it off with a header; do not"
        " blend fresh concrete into what has begun to set.",
    )
    yield Remark(
        "warn",
        "A backing truck needs one spotter whom the driver sees; keep everyone else, and children,"
        " out of the way. Wet concrete burns skin and eyes: boots, gloves, eye protection, water"
        " at hand.",
    )
