"""The bid for other wishes: designed, taken off, ordered and priced again."""

from __future__ import annotations

from dataclasses import replace

from overslab.job.records import Rooms
from overslab.job.touchfacts import touch_facts_for
from overslab.newtop.records import Wishes
from overslab.price.records import Bid, WishPrice


def price_each_wish(rooms: Rooms) -> tuple[WishPrice, ...]:
    """What each main wish adds as a whole, every one solved again; empty without a price.

    Takes as many designs as there are wishes: seconds for a small floor, a minute for a large one.
    """
    from overslab.price import price_of_wishes

    if rooms.price is None or rooms.newtop is None or rooms.newtop.top is None:
        return ()
    return price_of_wishes(
        rooms.price,
        rooms.newtop.wishes,
        lambda wishes: bid_for(rooms, wishes),
        units=rooms.job.units,
        moved=rooms.newtop.top.moved,
    )


def bid_for(rooms: Rooms, wishes: Wishes) -> Bid | None:
    """The bid if these were the wishes; None where no top meets them or there are no rates."""
    from overslab.newtop import design
    from overslab.order import exposure_of, order
    from overslab.price import bid
    from overslab.takeoff import Trucks, measure
    from overslab.touches import meet

    job, old, verdict = rooms.job, rooms.oldslab, rooms.verdict
    if rooms.shots is None or old is None or verdict is None or job.rates is None:
        return None
    newtop = design(old, wishes)
    if newtop.chosen is None:
        return None
    facts, _ = touch_facts_for(job, rooms.shots)
    touches = meet(old, newtop, facts, put_right=verdict.put_right)
    takeoff = measure(
        old,
        newtop,
        job.build,
        verdict=verdict,
        touches=touches,
        mix=job.mix,
        trucks=Trucks(every_minutes=job.plant.truck_minutes, hold_m3=job.plant.truck_m3),
        units=job.units,
    )
    ordered = order(
        takeoff,
        job.plant,
        job.mix,
        exposure=exposure_of(job.findings),
        system=verdict.system,
        units=job.units,
    )
    return bid(
        takeoff,
        ordered,
        job.rates,
        newtop=newtop,
        touches=touches,
        oldslab=old,
        verdict=verdict,
        units=job.units,
    )


def with_each_wish(rooms: Rooms) -> Rooms:
    """The same rooms, the bid carrying the prices of whole wishes before those of the next step."""
    if rooms.price is None:
        return rooms
    whole = price_each_wish(rooms)
    return replace(rooms, price=replace(rooms.price, wishes=(*whole, *rooms.price.wishes)))
