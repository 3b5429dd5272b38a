"""What the rooms of the new top answer: new top, touches, takeoff, order; everything but money."""

from __future__ import annotations

from collections.abc import Iterator

from overslab.faces.documents.item_words import item_words, to_buy, to_do
from overslab.faces.documents.words import counted, laser_as_shot
from overslab.faces.web.rooms.floor_answers import question_of
from overslab.faces.web.rooms.numbers import Book, check_lines, place, remarks, table, taken
from overslab.faces.web.rooms.views import Figure, Listed, RoomView, Rows
from overslab.ground.units import (
    write_area,
    write_by_suffix,
    write_height,
    write_length,
    write_reading,
    write_share,
    write_slope,
    write_thickness,
    write_volume,
)
from overslab.handbook.marking import grade_rod
from overslab.job.records import Walk
from overslab.newtop.records import TopOption
from overslab.order.records import Order
from overslab.takeoff.records import Portion, Takeoff
from overslab.touches.records import Touches

NO_TOP = "No top can meet all that is asked: the wishes fight."
_NO_TOP_YET = "There is no top yet that meets the wishes, so this cannot be answered."


def newtop_view(walk: Walk, book: Book) -> RoomView:
    """Where shall the new top be?"""
    top, units = walk.newtop.top, walk.job.units
    if top is None:
        return RoomView("newtop", question_of("newtop"), NO_TOP)
    answer = (
        f"{top.title[:1].upper()}{top.title[1:]}: from {write_thickness(top.thinnest_m, units)} to "
        f"{write_thickness(top.thickest_m, units)} of new concrete"
    )
    if top.drainage is not None:
        answer += f", falling at least {write_slope(top.drainage.least_fall, units)} to the outlet"
    answer += "." if top.passes else "; a rule does not hold, see below."
    return RoomView(
        room="newtop",
        question=question_of("newtop"),
        answer=answer,
        figures=_top_figures(walk, top, book),
        tables=(_pads(walk, top),),
        checks=check_lines([rule.check for rule in top.rules], units),
        taken=taken(walk.newtop.assumptions),
    )


def _top_figures(walk: Walk, top: TopOption, book: Book) -> tuple[Figure, ...]:
    units, drainage = walk.job.units, top.drainage
    looked = "The marked top less the surface of the old floor, looked at all over the floor."
    figures = [
        book.figure(
            "Thinnest",
            f"{write_thickness(top.thinnest_m, units)} at {place(top.thinnest_at, units)}",
            how=looked,
        ),
        book.figure(
            "Thickest",
            f"{write_thickness(top.thickest_m, units)} at {place(top.thickest_at, units)}",
            how=looked,
        ),
        book.figure("Mean thickness", write_thickness(top.mean_thickness_m, units), how=looked),
        book.figure(
            "Heights to set",
            str(len(top.pads)),
            how="Every pad, wall mark and end of a break line of this kind of top.",
        ),
    ]
    if drainage is None:
        return tuple(figures)
    water = "Water was run over the marked top on a fine lattice, without the solver's model."
    figures += [
        book.figure(
            "Least fall",
            f"{write_slope(drainage.least_fall, units)} at {place(drainage.least_fall_at, units)}",
            how=f"{water} This is the least true fall along its way.",
        ),
        book.figure(
            "Floor that drains",
            write_share(drainage.reaches_outlet),
            how=f"{water} This share of it reached an outlet.",
        ),
        book.figure("Water that stands", _ponding(walk, top), how=water),
    ]
    if drainage.birdbath_chance is not None:
        deep = write_length(walk.newtop.wishes.birdbath_m, units)
        figures.append(
            book.figure(
                f"Chance of a birdbath over {deep}",
                write_share(drainage.birdbath_chance),
                by=("newtop", "slope_of_wave", ""),
                how=f"{drainage.tries} tops struck with the crew's own finishing error.",
            )
        )
    return tuple(figures)


def _ponding(walk: Walk, top: TopOption) -> str:
    drainage, units = top.drainage, walk.job.units
    if drainage is None or drainage.ponded_area_m2 <= 0:
        return "none"
    deep = write_thickness(drainage.deepest_m, units)
    return f"{write_area(drainage.ponded_area_m2, units)}, {deep} deep"


def _pads(walk: Walk, top: TopOption) -> Rows:
    """What the rod must read on each pad, as on the sheet of the pads."""
    units, laser = walk.job.units, laser_as_shot(walk)
    rows = []
    for pad in top.pads:
        rod = ""
        if laser is not None:
            reading_m = grade_rod(instrument_m=laser.beam_m, finished_height_m=pad.height_m)
            rod = write_reading(reading_m, units)
        height, thick = write_height(pad.height_m, units), write_thickness(pad.thickness_m, units)
        rows.append((pad.name, place(pad.at, units), rod, height, thick))
    set_as = f"with the laser as in set-up {laser.setup}" if laser else "no set-up saw a benchmark"
    heads = "pad | at | #rod reads | #height | #thickness"
    return table(f"Pad marks, {set_as}", heads, rows, folded=True)


def touches_view(walk: Walk, book: Book) -> RoomView:
    """What does the raised floor upset, and who puts it right?"""
    touches = walk.touches
    if touches is None:
        return RoomView("touches", question_of("touches"), _NO_TOP_YET)
    failing, meets = len(touches.failing), counted(len(touches.touches), "thing", "things")
    if failing:
        answer = f"{failing} of {meets} the new floor meets must be put right or settled"
        trades = ", ".join(touches.trades)
        answer += f"; work for: {trades}." if trades else "."
    else:
        answer = f"The new floor meets {meets}, and every rule looked at holds."
    units = walk.job.units
    checks = [check for touch in touches.touches for check in touch.checks]
    remarks_of_all = [remark for touch in touches.touches for remark in touch.remarks]
    return RoomView(
        room="touches",
        question=question_of("touches"),
        answer=answer,
        figures=tuple(
            book.figure(
                f"{touch.name} rises",
                write_length(touch.rise_m, units),
                by=("touches", "height_after_topping", f"{touch.name}:"),
                how="Height of the new floor less that of the old one, where it rises most.",
            )
            for touch in touches.touches
        ),
        lists=_work(walk, touches),
        tables=(_meets(walk, touches),),
        checks=check_lines(checks, units),
        remarks=remarks([*touches.remarks, *remarks_of_all]),
        taken=taken(touches.assumptions),
    )


def _meets(walk: Walk, touches: Touches) -> Rows:
    units = walk.job.units
    rows = []
    for number, touch in enumerate(touches.touches, start=1):
        broken = ", ".join(check.name for check in touch.checks if not check.passes)
        rules = f"not met: {broken}" if broken else "hold" if touch.passes else "not settled"
        rows.append(
            (
                str(number),
                touch.name,
                touch.kind,
                write_height(touch.before_m, units),
                write_height(touch.after_m, units),
                write_length(touch.rise_m, units),
                f"moved; {rules}" if touch.moved else rules,
            )
        )
    strong = tuple(row for row, touch in enumerate(touches.touches) if not touch.passes)
    heads = "#no. | what | kind | #old floor | #new floor | #rise | rules"
    return table("Before and after, by the numbers of the drawing", heads, rows, strong=strong)


def _work(walk: Walk, touches: Touches) -> tuple[Listed, ...]:
    """Each trade's work with its sizes; what it costs is no part of it."""
    units = walk.job.units
    lists = []
    if touches.readiness:
        ready = tuple(f"{one.trade}: {one.what}" for one in touches.readiness)
        lists.append(Listed("No pour date until each of these is done", ready, True))
    for trade in touches.trades:
        said = trade if trade in ("owner", "crew") else f"the {trade}"
        items = tuple(
            f"{one.about}, {one.when}: "
            f"{one.told(lambda quantity, value: write_by_suffix(quantity, value, units))}"
            for one in touches.work_of(trade)
        )
        lists.append(Listed(f"For {said}", items))
    return tuple(lists)


def takeoff_view(walk: Walk, book: Book) -> RoomView:
    """How much of everything?"""
    takeoff, units = walk.takeoff, walk.job.units
    if takeoff is None:
        return RoomView("takeoff", question_of("takeoff"), _NO_TOP_YET)
    volume = takeoff.total.volume_m3
    total, half = write_volume(volume.mean, units), write_volume(volume.plus_or_minus, units)
    return RoomView(
        room="takeoff",
        question=question_of("takeoff"),
        answer=f"{total} of concrete in place, give or take {half} (95 in 100), over "
        f"{write_area(takeoff.total.area_m2, units)}.",
        figures=_amounts(walk, takeoff, book),
        tables=(
            _portions(walk, "By panel of the old floor", takeoff.panels),
            *((_portions(walk, "By strip of the pour", takeoff.strips),) if takeoff.strips else ()),
            *_items(walk, takeoff),
            _notebook(walk, takeoff),
        ),
        checks=check_lines(takeoff.checks, units),
        remarks=remarks(takeoff.remarks),
        taken=taken(takeoff.assumptions),
    )


def _amounts(walk: Walk, takeoff: Takeoff, book: Book) -> tuple[Figure, ...]:
    units, volume = walk.job.units, takeoff.total.volume_m3
    return (
        book.figure(
            "Concrete in place",
            write_volume(volume.mean, units),
            by=("takeoff", "volume_between_surfaces_m3", "volume of record"),
            how="Between the two surfaces, over the whole floor.",
        ),
        book.figure(
            "Give or take",
            write_volume(volume.plus_or_minus, units),
            by=("takeoff", "volume_plus_or_minus_m3", ""),
            how="From how well the old floor is known.",
        ),
        book.figure(
            "Mean thickness",
            write_thickness(takeoff.total.mean_thickness_m, units),
            how="The volume over the area.",
        ),
        book.figure(
            "Second answer, by triangles over the same shots",
            write_volume(takeoff.triangulated_m3, units),
            by=("takeoff", "volume_between_surfaces_m3", "triangulated"),
            how="Flat triangles between the shots instead of the smooth surface.",
        ),
    )


def _portions(walk: Walk, caption: str, parts: tuple[Portion, ...]) -> Rows:
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
        for part in parts
    ]
    heads = "part | #area | #thinnest | #thickest | #mean | #volume | #give or take"
    return table(caption, heads, rows)


def _items(walk: Walk, takeoff: Takeoff) -> Iterator[Rows]:
    """What to buy and to do; no money, for the crew reads this page too."""
    units = walk.job.units
    bought = [item_words(item, units) for item in to_buy(takeoff.items)]
    done = [item_words(item, units) for item in to_do(takeoff.items)]
    if bought:
        rows = [(one.what, one.net, one.waste, one.order, one.why) for one in bought]
        heads = "item | #in the floor | #waste | #order | why"
        yield table("What to buy beside the concrete", heads, rows, stacked=True)
    if done:
        rows_done = [(one.what, one.net, one.why) for one in done]
        yield table("What is to be done", "work | #amount | why", rows_done, stacked=True)


def _notebook(walk: Walk, takeoff: Takeoff) -> Rows:
    units = walk.job.units
    rows = []
    for one in takeoff.notebook:
        if one.volume_m3 is None or one.difference_m3 is None:
            rows.append((one.method, "cannot be done", "", one.why))
            continue
        apart = write_volume(abs(one.difference_m3), units)
        more = "more" if one.difference_m3 > 0 else "less"
        rows.append((one.method, write_volume(one.volume_m3, units), f"{apart} {more}", one.why))
    caption = "What a notebook would have said from the same shots"
    return table(caption, "method | #volume | #against ours | why", rows, folded=True)


def order_view(walk: Walk, book: Book) -> RoomView:
    """Which mix, how much, in which loads?"""
    order, units = walk.order, walk.job.units
    if order is None:
        return RoomView("order", question_of("order"), _NO_TOP_YET)
    firm = sum(load.firm for load in order.loads)
    held = len(order.loads) - firm
    answer = (
        f"Order {write_volume(order.amount_m3, units)} in "
        f"{counted(len(order.loads), 'load', 'loads')}: {firm} firm"
    )
    answer += f", {held} held until called" if held else ""
    answer += f"; chance of running short {write_share(order.chance_short)}."
    needed = order.needed_m3
    return RoomView(
        room="order",
        question=question_of("order"),
        answer=answer,
        figures=(
            book.figure(
                "In place",
                write_volume(order.in_place_m3.mean, units),
                give_or_take=write_volume(order.in_place_m3.plus_or_minus, units),
                by=("takeoff", "volume_between_surfaces_m3", "volume of record"),
                how="From the takeoff.",
            ),
            book.figure(
                "Needed, with losses",
                write_volume(needed.mean, units),
                give_or_take=write_volume(needed.plus_or_minus, units),
                by=("order", "needed_volume_m3", ""),
                how="In place, and what is lost on the way.",
            ),
            book.figure(
                "Chance of running short",
                write_share(order.chance_short),
                by=("order", "chance_short", ""),
                how="The chance that more is needed than ordered.",
            ),
            book.figure(
                "Left over on average",
                write_volume(order.expected_left_m3, units),
                by=("order", "expected_left_m3", ""),
                how="What can be expected to stay in the truck.",
            ),
        ),
        lists=_mix(walk, order),
        tables=(_loads(walk, order),),
        checks=check_lines(order.mix_check.checks, units),
        remarks=remarks(one for one in order.remarks if one.weight == "warn"),
        taken=taken((*order.assumptions, *order.mix_check.assumptions)),
    )


def _mix(walk: Walk, order: Order) -> tuple[Listed, ...]:
    units, mix = walk.job.units, order.mix
    asked = (
        ("strength", write_by_suffix("strength_pa", mix.strength_pa, units)),
        ("largest stone", write_by_suffix("stone_m", mix.stone_m, units)),
        ("slump", write_by_suffix("slump_m", mix.slump_m, units)),
        ("air", write_by_suffix("air_share", mix.air, units)),
        ("notes", mix.notes),
    )
    given = tuple(f"{name}: {value}" for name, value in asked if value not in ("", "none"))
    lists = [Listed("The mix as asked", given), Listed("Still to be said", order.mix_check.asks)]
    return tuple(one for one in lists if one.items)


def _loads(walk: Walk, order: Order) -> Rows:
    units = walk.job.units
    rows = [
        (
            str(load.number),
            write_volume(load.volume_m3, units),
            "firm" if load.firm else "held until called",
            ", ".join(load.strips) or "the floor",
        )
        for load in order.loads
    ]
    return table("Loads", "#load | #concrete | | meant for", rows)
