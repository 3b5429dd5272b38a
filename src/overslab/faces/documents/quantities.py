"""The sheets of quantities: the concrete takeoff, and the order as a dispatcher reads it."""

from __future__ import annotations

from overslab.faces.documents.blocks import (
    Asks,
    Block,
    Bullets,
    Column,
    Facts,
    Heading,
    Para,
    Table,
)
from overslab.faces.documents.item_words import item_words, to_buy, to_do
from overslab.faces.documents.mix_blocks import mix_blocks, mix_form, ticket_blocks
from overslab.faces.documents.paper import Layout
from overslab.faces.documents.words import assumption_line, counted
from overslab.ground.units import (
    write_area,
    write_money,
    write_share,
    write_thickness,
    write_volume,
)
from overslab.job.records import Walk
from overslab.order.records import Order
from overslab.takeoff.records import Portion, Takeoff


def takeoff_sheet(walk: Walk, takeoff: Takeoff) -> Layout:
    """Concrete in place: in all, by panel, by strip, and what a notebook would have said."""
    units = walk.job.units
    volume = takeoff.total.volume_m3
    blocks: list[Block] = [
        Facts(
            (
                ("concrete in place", write_volume(volume.mean, units)),
                ("plus or minus", f"{write_volume(volume.plus_or_minus, units)} (95 in 100)"),
                ("area", write_area(takeoff.total.area_m2, units)),
                ("mean thickness", write_thickness(takeoff.total.mean_thickness_m, units)),
                (
                    "second answer, by triangles over the same shots",
                    write_volume(takeoff.triangulated_m3, units),
                ),
            ),
            size=12,
        ),
        Para(
            "In place: nothing is added here for spill, form and base losses; the order sheet "
            "adds them."
        ),
        Heading("By panel of the old floor"),
        _portions(walk, takeoff.panels, takeoff.total),
    ]
    if takeoff.strips:
        blocks += [
            Heading("By strip of the pour"),
            _portions(walk, takeoff.strips, takeoff.total),
        ]
    blocks += [
        Para(
            "Parts err together, because one wrong benchmark lifts them all: their plus-or-minus "
            "do "
            "not add up to that of the whole.",
            "small",
        ),
        *_items(walk, takeoff),
        Heading("What a notebook would have said from the same shots"),
        Table(
            (
                Column("method", share=1.2),
                Column("volume", "right"),
                Column("against ours", "right"),
                Column("why", share=2),
            ),
            tuple(
                (
                    answer.method,
                    "–" if answer.volume_m3 is None else write_volume(answer.volume_m3, units),
                    "–" if answer.difference_m3 is None else _signed(walk, answer.difference_m3),
                    answer.why,
                )
                for answer in takeoff.notebook
            ),
        ),
        Para(assumption_line(walk, room="takeoff"), "small"),
    ]
    return Layout(tuple(block for block in blocks if not isinstance(block, Para) or block.text))


def _items(walk: Walk, takeoff: Takeoff) -> list[Block]:
    """What to buy and what to do beside the concrete; without a price, for the crew sees it."""
    units, blocks = walk.job.units, list[Block]()
    bought = [item_words(item, units) for item in to_buy(takeoff.items)]
    done = [item_words(item, units) for item in to_do(takeoff.items)]
    if bought:
        blocks += [
            Heading("What to buy beside the concrete"),
            Table(
                (
                    Column("item", share=1.3),
                    Column("in the floor", "right"),
                    Column("waste", "right"),
                    Column("order", "right", bold=True),
                    Column("why", share=2),
                ),
                tuple((one.what, one.net, one.waste, one.order, one.why) for one in bought),
            ),
            Para(
                "Waste is what is bought beyond what lies in the floor: laps, cuts and the rest of "
                "the last whole unit.",
                "small",
            ),
        ]
    if done:
        blocks += [
            Heading("What is to be done"),
            Table(
                (Column("work", share=1), Column("amount", "right"), Column("why", share=2)),
                tuple((one.what, one.net, one.why) for one in done),
            ),
        ]
    return blocks


def _signed(walk: Walk, difference_m3: float) -> str:
    """A difference with its sign written out, so that no thin dash is overlooked."""
    told = write_volume(abs(difference_m3), walk.job.units)
    nothing = write_volume(0.0, walk.job.units)
    if told == nothing:
        return "same"
    return f"{told} {'more' if difference_m3 > 0 else 'less'}"


def _portions(walk: Walk, parts: tuple[Portion, ...], total: Portion) -> Table:
    units = walk.job.units
    rows = [
        (
            part.name,
            write_area(part.area_m2, units),
            write_thickness(part.thinnest_m, units),
            write_thickness(part.thickest_m, units),
            write_thickness(part.mean_thickness_m, units),
            write_volume(part.volume_m3.mean, units),
            write_volume(part.volume_m3.plus_or_minus, units),
        )
        for part in (*parts, total)
    ]
    rows[-1] = ("in all", *rows[-1][1:])
    return Table(
        (
            Column("part", share=1),
            Column("area", "right"),
            Column("thinnest", "right"),
            Column("thickest", "right"),
            Column("mean", "right"),
            Column("volume", "right"),
            Column("plus or minus", "right"),
        ),
        tuple(rows),
        strong=(len(rows) - 1,),
    )


def order_sheet(walk: Walk, order: Order) -> Layout:
    """What to say on the telephone, what to ask, and what the plant reads back."""
    units = walk.job.units
    firm = [load for load in order.loads if load.firm]
    call = [load for load in order.loads if not load.firm]
    blocks: list[Block] = [
        Facts(
            (
                ("concrete in all", write_volume(order.amount_m3, units)),
                (
                    "firm",
                    f"{write_volume(order.firm_m3, units)} in "
                    f"{counted(len(firm), 'load', 'loads')}",
                ),
                (
                    "will-call",
                    f"{write_volume(order.will_call_m3, units)} in "
                    f"{counted(len(call), 'load', 'loads')}: held until called",
                ),
                ("spacing asked for", f"{order.plant.truck_minutes:g} minutes between trucks"),
            ),
            size=14,
        ),
        Table(
            (
                Column("load", "right"),
                Column("amount", "right", bold=True),
                Column("firm or will-call"),
                Column("meant for", share=1),
            ),
            tuple(
                (
                    str(load.number),
                    write_volume(load.volume_m3, units),
                    "firm" if load.firm else "will-call",
                    ", ".join(load.strips) or "the floor",
                )
                for load in order.loads
            ),
            size=11,
        ),
        Heading("The mix as asked"),
        mix_form(order.mix, units),
        Heading("Ask and write down"),
        Asks(
            tuple(
                (name, None)
                for name in (
                    "day and hour of the first truck",
                    "address and way in",
                    "who is on site, telephone",
                    "who alone may call, change or turn away a load",
                    "latest hour to call or cancel the will-call",
                    "placing: chute, pump, buggy",
                    "free unloading time, waiting charge",
                    "washout place, curb release",
                    "dispatcher's name, order number",
                )
            )
        ),
        Heading("Read back before hanging up"),
        Bullets(
            (
                f"{write_volume(order.firm_m3, units)} firm, "
                f"{write_volume(order.will_call_m3, units)} will-call, "
                f"{write_volume(order.amount_m3, units)} in all.",
                f"{counted(len(order.loads), 'load', 'loads')}, {order.plant.truck_minutes:g} "
                "minutes apart.",
                "The mix, line by line as above, and: air or no air.",
                "Day, first truck, address, and the one person who may change it.",
            ),
            boxes=True,
        ),
        Heading("Keep in mind"),
        Bullets(tuple(remark.text for remark in order.remarks if remark.weight != "note")),
        Para(
            "Mind: wet concrete burns skin and eyes; a spotter for every backing truck; nobody "
            "between "
            "the chute and a wall.",
            "mind",
        ),
        *ticket_blocks(order, units),
        *mix_blocks(order, units),
        *_amount(walk, order),
        Para(assumption_line(walk, room="order"), "small"),
    ]
    return Layout(tuple(block for block in blocks if not isinstance(block, Para) or block.text))


def _amount(walk: Walk, order: Order) -> list[Block]:
    """For the office: why this amount."""
    units = walk.job.units
    currency = order.plant.currency
    rows = tuple(
        (
            write_volume(choice.volume_m3, units),
            write_share(choice.chance_short),
            write_volume(choice.expected_left_m3, units),
            write_money(choice.expected_cost, currency=currency),
        )
        for choice in order.choices
    )
    chosen = tuple(
        place
        for place, choice in enumerate(order.choices)
        if abs(choice.volume_m3 - order.amount_m3) < 1e-9
    )
    return [
        Heading("Why this amount (for the office)", fresh_page=True),
        Para(
            f"In place {write_volume(order.in_place_m3.mean, units)}, with losses "
            f"{write_volume(order.needed_m3.mean, units)} plus or minus "
            f"{write_volume(order.needed_m3.plus_or_minus, units)}. Chance of running short "
            f"{write_share(order.chance_short)}; left over on average "
            f"{write_volume(order.expected_left_m3, units)}. Prices of {order.plant.price_date}."
            + (
                " A short-load charge of "
                f"{write_money(order.short_load_charge, currency=currency)} "
                "falls due."
                if order.short_load_charge
                else ""
            )
        ),
        Table(
            (
                Column("order", "right"),
                Column("chance short", "right"),
                Column("left over on average", "right"),
                Column("cost to be expected", "right"),
            ),
            rows,
            strong=chosen,
            name="Amounts that could be ordered; the best in bold",
        ),
    ]
