"""What a room's answer has to do with money, for the office alone.

No other module of these pages writes an amount of money; a test holds them to it.
"""

from __future__ import annotations

from decimal import Decimal

from overslab.faces.documents.bid_words import (
    GROUPS,
    NO_RATES,
    chance_told,
    line_cells,
    sum_pairs,
    way_cells,
    wish_cells,
)
from overslab.faces.documents.screen import draw_profit
from overslab.faces.documents.words import counted
from overslab.faces.web.rooms.numbers import Book, remarks, table, taken, told
from overslab.faces.web.rooms.views import (
    Bill,
    Figure,
    Listed,
    Picture,
    RoomView,
    Rows,
    TopCard,
    TopLine,
)
from overslab.ground.units import (
    write_by_suffix,
    write_cost_per_volume,
    write_money,
    write_share,
    write_slope,
    write_thickness,
    write_volume,
)
from overslab.job.records import Walk
from overslab.job.steps import STEPS
from overslab.newtop.records import Fight, RuleResult, TopOption
from overslab.price.records import Bid


def amount(walk: Walk, value: float) -> str:
    return write_money(value, currency=walk.job.plant.currency)


def bill_of(room: str, walk: Walk, book: Book) -> Bill | None:
    """The room's part in money; None when it has none."""
    if room == "touches":
        return touches_bill(walk)
    make = {"newtop": newtop_bill, "order": order_bill, "price": price_bill}.get(room)
    return make(walk, book) if make else None


def newtop_bill(walk: Walk, book: Book) -> Bill | None:
    """What the top costs, what bounds it, and what each rule that binds costs."""
    top, wishes = walk.newtop.top, walk.newtop.wishes
    if top is None:
        return Bill("", remarks=remarks(walk.newtop.remarks))
    cost, bound = amount(walk, top.cost), amount(walk, top.bound_cost)
    price = write_cost_per_volume(
        wishes.concrete_cost_per_m3, walk.job.units, currency=wishes.currency
    )
    volume = write_volume(top.volume_m3, walk.job.units)
    concrete, moving = amount(walk, top.concrete_cost), amount(walk, top.moving_cost)
    how = told(
        "Cost of this top",
        "Concrete at its price, and what moving costs of each thing that is moved.",
        source=f"your rates of {walk.job.plant.price_date}",
        equation="cost = volume · price + moving",
        with_numbers=f"{cost} = {volume} · {price} + {moving}",
    )
    proof = told(
        "What no such top can cost less than",
        "The solver's proven bound for tops of this kind, before heights are set to whole marks.",
        source="linear programming duality; checked again on the marked top",
    )
    held = ", ".join(rule_name(rule) for rule in top.rules if rule.binds)
    return Bill(
        answer=f"It costs {cost}; no top of this kind can cost less than {bound}."
        + (f" Held where it is by: {held}." if held else ""),
        figures=(
            Figure("Cost of this top", cost, how),
            Figure("Of that, concrete", concrete, how),
            Figure("Of that, moving", moving, how),
            Figure("Proven bound", bound, proof),
            *(_saving(walk, rule, book) for rule in top.rules if rule.binds),
        ),
        remarks=remarks((*walk.newtop.remarks, *top.remarks)),
    )


def _saving(walk: Walk, rule: RuleResult, book: Book) -> Figure:
    """A rule that binds, and what it costs."""
    name = rule_name(rule)
    return book.figure(
        f"Binds: {name}",
        price_of(walk, rule),
        by=("newtop", "saving_of_giving_way", rule.check.name),
        how="The rule holds the top where it is; solved again with the rule eased by the step, the "
        "difference is what it costs.",
    )


def rule_name(rule: RuleResult) -> str:
    return f"{rule.check.name}, {rule.check.where}" if rule.check.where else rule.check.name


def price_of(walk: Walk, rule: RuleResult) -> str:
    """What easing a rule by one step would save."""
    if rule.cost_per_step is None:
        return "no price"
    write = write_slope if rule.step_unit == "slope" else write_thickness
    return f"{amount(walk, rule.cost_per_step)} saved per {write(rule.step, walk.job.units)}"


def touches_bill(walk: Walk) -> Bill | None:
    """What is known of the cost of each trade's work."""
    touches = walk.touches
    if touches is None or not touches.trades:
        return None
    rows, known_of_all, without = [], 0.0, 0
    for trade in touches.trades:
        work = touches.work_of(trade)
        known = [remedy.cost for remedy in work if remedy.cost is not None]
        told_cost = amount(walk, sum(known)) if known else "not known"
        rows.append((trade, str(len(work)), told_cost, str(len(work) - len(known))))
        known_of_all += sum(known)
        without += len(work) - len(known)
    if without == sum(len(touches.work_of(trade)) for trade in touches.trades):
        answer = f"No price is written down yet for {counted(without, 'item', 'items')} of work."
    else:
        answer = f"Of the work, {amount(walk, known_of_all)} is written down"
        missing = counted(without, "item has", "items have")
        answer += f"; {missing} no price yet." if without else "."
    heads = "trade | #items | #written down | #without a price"
    return Bill(answer, tables=(table("What it costs, as far as written down", heads, rows),))


def order_bill(walk: Walk, book: Book) -> Bill | None:
    """What the order can be expected to cost, and why this amount."""
    order = walk.order
    if order is None:
        return None
    cost, charge = amount(walk, order.expected_cost), amount(walk, order.short_load_charge)
    answer = f"It can be expected to cost {cost}, at prices of {order.plant.price_date}"
    answer += f"; a short-load charge of {charge} falls due." if order.short_load_charge else "."
    figures = (
        book.figure(
            "Cost to be expected",
            cost,
            by=("order", "expected_order_cost", ""),
            how="Concrete, short-load charge, running short and left over, each with its chance.",
        ),
        book.figure(
            "Chance of enough at which one more step pays",
            write_share(_enough(book)),
            by=("order", "critical_ratio", ""),
            how="The cost of short against the cost of left over.",
        ),
    )
    return Bill(answer, figures, (_choices(walk),), remarks(order.remarks))


def _enough(book: Book) -> float:
    found = [w.result.value for _, w in book.entries if w.formula == "critical_ratio"]
    return float(found[0]) if found else 0.0


def _choices(walk: Walk) -> Rows:
    order, units = walk.order, walk.job.units
    assert order is not None
    rows = [
        (
            write_volume(one.volume_m3, units),
            write_share(one.chance_short),
            write_volume(one.expected_left_m3, units),
            amount(walk, one.expected_cost),
        )
        for one in order.choices
    ]
    chosen = tuple(
        place
        for place, one in enumerate(order.choices)
        if abs(one.volume_m3 - order.amount_m3) < 1e-9
    )
    heads = "#order | #chance of short | #left over on average | #cost to be expected"
    return table("Why this amount: all that could be ordered", heads, rows, strong=chosen)


def price_view(walk: Walk, _book: Book) -> RoomView:
    """What does it cost, what do we ask? Its page is for the office alone."""
    question = next(step.question for step in STEPS if step.room == "price")
    bid = walk.price
    if bid is None:
        why = NO_RATES if walk.order is not None else "No top meets the wishes yet."
        return RoomView("price", question, why)
    # A view of this kind has no place for money: what is asked stands in the bill.
    count = counted(len(bid.lines), "line", "lines")
    answer = f"The bid has {count}"
    answer += f"; {counted(len(bid.missing), 'thing', 'things')} not in it." if bid.missing else "."
    missing = Listed("Not in the price: no price of it is written down", bid.missing)
    return RoomView(
        "price",
        question,
        answer,
        lists=(missing,) if bid.missing else (),
        remarks=remarks(bid.remarks),
        taken=taken(bid.assumptions),
    )


def price_bill(walk: Walk, book: Book) -> Bill | None:
    """The bid: lines by group, from cost to price, wishes and other ways."""
    bid = walk.price
    if bid is None:
        return None
    answer = f"We ask {write_money(bid.price, currency=bid.currency)}"
    if bid.outcome is not None:
        profit = write_money(bid.outcome.expected_profit, currency=bid.currency)
        answer += f"; it leaves {profit} on average; {chance_told(bid.outcome)}"
    rows: list[tuple[str, ...]] = []
    strong: list[int] = []
    for group, name in GROUPS.items():
        mine = [line for line in bid.lines if line.group == group]
        if mine:
            total = sum(line.amount for line in mine)
            strong.append(len(rows))
            rows.append((name, "", "", "", write_money(total, currency=bid.currency)))
            rows += [line_cells(line, currency=bid.currency)[:5] for line in mine]
    heads = "what | #number | unit | #each | #amount"
    pairs = list(sum_pairs(bid))
    ends = [place for place, (name, _) in enumerate(pairs) if name in ("cost", "PRICE")]
    tables = [
        table("What it costs", heads, rows, strong=tuple(strong), stacked=True),
        table("From cost to price", "what | #amount", pairs, strong=tuple(ends)),
    ]
    if bid.wishes:
        cells = [wish_cells(one, currency=bid.currency) for one in bid.wishes]
        tables.append(table("What the wishes add to the price", "wish | #adds", cells, folded=True))
    if bid.alternatives:
        cells3 = [way_cells(one, currency=bid.currency) for one in bid.alternatives]
        tables.append(table("Against what else", "way | #price | #days out of use", cells3))
    return Bill(f"{answer}.", _asked(bid, book), tuple(tables), pictures=_profit_pictures(walk))


def _asked(bid: Bid, book: Book) -> tuple[Figure, ...]:
    """The amounts on the way to the price, each opened."""

    def money(value: Decimal) -> str:
        return write_money(value, currency=bid.currency)

    by_margin = bid.rates is not None and bid.rates.margin is not None
    added = told(
        "Price asked",
        "The price before tax, what setting it to your whole step adds, and the tax.",
        source="your rates",
        equation="price = before tax + rounding + tax",
        with_numbers=f"{money(bid.price)} = {money(bid.before_tax)} + {money(bid.rounding)} + "
        f"{money(bid.tax)}",
    )
    spent = told(
        "Cost",
        "All lines of the bid, and the overhead on them.",
        source="your rates",
        equation="cost = direct cost + overhead",
        with_numbers=f"{money(bid.cost)} = {money(bid.direct_cost)} + {money(bid.overhead)}",
    )
    before_tax, same = "price_by_markup", "margin_of_markup"
    if by_margin:
        before_tax, same = "price_by_margin", "markup_of_margin"
    figures = [
        Figure("Price asked", money(bid.price), added),
        book.figure(
            "Price before tax",
            money(bid.before_tax),
            by=("price", before_tax, ""),
            how="The cost and the profit you wrote down.",
        ),
        book.figure(
            "The same profit as markup" if by_margin else "The same profit as margin",
            write_share(float(bid.markup if by_margin else bid.margin)),
            by=("price", same, ""),
            how="Margin is a share of the price, markup a share of the cost.",
        ),
        Figure("Cost", money(bid.cost), spent),
    ]
    outcome = bid.outcome
    if outcome is not None:
        left = told("What it leaves on average", outcome.why, source="tries of this bid")
        figures += [
            Figure("What it leaves on average", money(outcome.expected_profit), left),
            Figure("Two times out of three within so much of it", money(outcome.deviation), left),
        ]
    return tuple(figures)


def _profit_pictures(walk: Walk) -> tuple[Picture, ...]:
    wide, phone = (draw_profit(walk, size=size) for size in ("wide", "narrow"))
    if wide is None or phone is None:
        return ()
    sizes = [(round(one.wide), round(one.high)) for one in (wide, phone)]
    return (Picture("profit", wide.title, wide.told, sizes[0], sizes[1]),)


def top_cards(walk: Walk) -> tuple[TopCard, ...]:
    """Every kind of top side by side: the chosen one first, then by cost, then what cannot be."""
    asked = walk.newtop.wishes.choose

    def rank(option: TopOption) -> tuple[bool, bool, bool, float]:
        chosen = option.kind == walk.newtop.chosen
        return (not chosen, not option.feasible, not option.passes, option.cost)

    return tuple(
        _card(walk, option, asked=asked) for option in sorted(walk.newtop.options, key=rank)
    )


def _card(walk: Walk, option: TopOption, *, asked: str | None) -> TopCard:
    units, drainage = walk.job.units, option.drainage
    figures: tuple[tuple[str, str], ...] = ()
    if option.feasible:
        stands = drainage is not None and drainage.ponded_area_m2 > 0
        figures = (
            ("concrete", write_volume(option.volume_m3, units)),
            ("thinnest", write_thickness(option.thinnest_m, units)),
            ("thickest", write_thickness(option.thickest_m, units)),
            ("least fall", write_slope(drainage.least_fall, units) if drainage else "not known"),
            (
                "standing water",
                write_thickness(drainage.deepest_m, units) + " deep"
                if drainage and stands
                else "none",
            ),
            ("heights to set", str(len(option.pads))),
            ("moved", ", ".join(option.moved) or "nothing"),
        )
    failing = [rule_name(rule) for rule in option.rules if not rule.check.passes]
    why_not = option.fight.says if option.fight else ""
    if option.feasible and not option.passes:
        why_not = f"Misses: {', '.join(failing)}." if failing else "Water does not leave it."
    told_in_words = f"{option.title} in small: thickness, folds and the way of the water."
    return TopCard(
        kind=option.kind,
        title=option.title,
        chosen=option.kind == walk.newtop.chosen,
        asked=option.kind == asked,
        built=option.feasible,
        passes=option.passes,
        picture=Picture(option.kind, option.title, told_in_words, (84, 66), (84, 66))
        if option.feasible
        else None,
        cost=amount(walk, option.cost) if option.feasible else "",
        bound=amount(walk, option.bound_cost) if option.feasible else "",
        figures=figures,
        binds=tuple(
            f"{rule_name(rule)}: {price_of(walk, rule)}" for rule in option.rules if rule.binds
        ),
        why_not=why_not,
        changes=changes_of(walk, option.fight) if option.fight else (),
    )


def changes_of(walk: Walk, fight: Fight) -> tuple[str, ...]:
    """The smallest changes that would let the rest live."""
    lines = []
    for change in fight.changes:
        was, then = (
            write_by_suffix(change.quantity, value, walk.job.units)
            for value in (change.from_value, change.to_value)
        )
        said = "" if change.says in fight.says else f"{change.says} "
        lines.append(f"{said}{change.rule}: {then} instead of {was}.")
    return tuple(lines)


def top_line(walk: Walk, *, version: int) -> TopLine:
    """The drawn top in one line, to be held against another one."""
    top, units = walk.newtop.top, walk.job.units
    if top is None:
        return TopLine(version, "", "", "", "", "", "")
    fall = write_slope(top.drainage.least_fall, units) if top.drainage else ""
    thin, thick = (write_thickness(value, units) for value in (top.thinnest_m, top.thickest_m))
    return TopLine(
        version=version,
        title=top.title,
        cost=amount(walk, top.cost),
        volume=write_volume(top.volume_m3, units),
        thickness=f"{thin} to {thick}",
        fall=fall,
        binds=", ".join(rule_name(rule) for rule in top.rules if rule.binds) or "nothing",
    )
