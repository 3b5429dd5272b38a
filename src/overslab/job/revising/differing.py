"""The verb: the difference between two versions of a job, walked."""

from __future__ import annotations

from decimal import Decimal

from overslab.job.records import FolderTexts, Walk
from overslab.job.revising.records import (
    LineChange,
    NumberChange,
    PriceChange,
    Revision,
    Wording,
)
from overslab.job.revising.rules import changed_checks, changed_touches
from overslab.job.revising.thickness import (
    change_map,
    same_floor,
    thin_spots,
    volume_change,
)
from overslab.job.revising.typed import changed_facts
from overslab.price.records import Bid, BidLine

_NOTHING = 1e-9
_NONE = "none"


def differences(
    before: Walk, after: Walk, *, texts: tuple[FolderTexts, FolderTexts] | None = None
) -> Revision:
    """What changed, from what was typed down to the price.

    ``texts`` are the files of both versions; without them nothing is said of what was typed.
    """
    new, gone = thin_spots(before, after)
    was_ready, now_ready = (_ready(one) for one in (before, after))
    return Revision(
        name=after.job.name,
        facts=() if texts is None else changed_facts(*texts),
        words=_words(before, after),
        numbers=_numbers(before, after),
        thickness=change_map(before, after),
        thin_new=new,
        thin_gone=gone,
        volume=volume_change(before, after),
        touches=changed_touches(before, after),
        checks=changed_checks(before, after),
        price=_price(before.price, after.price),
        ready_new=tuple(one for one in now_ready if one not in was_ready),
        ready_gone=tuple(one for one in was_ready if one not in now_ready),
        remarks=_remarks(before, after),
    )


def _words(before: Walk, after: Walk) -> tuple[Wording, ...]:
    pairs = (
        ("verdict", before.verdict.ruling, after.verdict.ruling),
        ("kind of top", before.newtop.chosen or _NONE, after.newtop.chosen or _NONE),
        ("day of the pour", before.job.pour_date or _NONE, after.job.pour_date or _NONE),
        ("strips, in order", _strips(before), _strips(after)),
    )
    return tuple(Wording(name, str(was), str(now)) for name, was, now in pairs if was != now)


def _strips(walk: Walk) -> str:
    return ", ".join(strip.name for strip in walk.newtop.strips) or _NONE


def _numbers(before: Walk, after: Walk) -> tuple[NumberChange, ...]:
    was, now = _figures(before), _figures(after)
    found = [
        NumberChange(name, quantity, was.get((name, quantity)), now.get((name, quantity)))
        for name, quantity in dict.fromkeys([*was, *now])
    ]
    return tuple(one for one in found if one.more is None or abs(one.more) > _NOTHING)


def _figures(walk: Walk) -> dict[tuple[str, str], float]:
    figures: dict[tuple[str, str], float] = {
        ("least thickness wished", "thickness_m"): walk.newtop.wishes.least_thickness_m,
        ("least fall wished", "least_fall"): walk.newtop.wishes.least_fall,
    }
    top = walk.newtop.top
    if top is not None:
        figures[("thinnest place", "thickness_m")] = top.thinnest_m
        figures[("mean thickness", "thickness_m")] = top.mean_thickness_m
        figures[("thickest place", "thickness_m")] = top.thickest_m
    if walk.takeoff is not None:
        figures[("concrete in place", "volume_m3")] = walk.takeoff.total.volume_m3.mean
    if walk.order is not None:
        figures[("concrete to order", "volume_m3")] = walk.order.amount_m3
        figures[("loads", "loads_count")] = len(walk.order.loads)
    if walk.price is not None:
        hours = sum((one.number for one in walk.price.lines if _is_work(one)), Decimal(0))
        figures[("work of our crew", "labour_hours")] = float(hours)
    return figures


def _is_work(line: BidLine) -> bool:
    return line.group == "labour" and line.unit == "hour"


def _price(before: Bid | None, after: Bid | None) -> PriceChange | None:
    if before is None or after is None:
        return None
    was, now = _lines(before), _lines(after)
    found = []
    for key in dict.fromkeys([*was, *now]):
        old, new = was.get(key), now.get(key)
        before_is, after_is = (Decimal(0) if one is None else one.amount for one in (old, new))
        if before_is != after_is:
            what = next(one.what for one in (new, old) if one is not None)
            found.append(LineChange(key[0], what, before_is, after_is))
    lines = tuple(found)
    direct = sum((one.more for one in lines), Decimal(0))
    more = after.price - before.price
    return PriceChange(after.currency, before.price, after.price, lines, more - direct)


def _lines(bid: Bid) -> dict[tuple[str, int], BidLine]:
    """Lines by code; the second of a code is told apart by its number."""
    found: dict[tuple[str, int], BidLine] = {}
    for line in bid.lines:
        number = sum(1 for code, _ in found if code == line.code)
        found[(line.code, number)] = line
    return found


def _ready(walk: Walk) -> tuple[str, ...]:
    return () if walk.touches is None else tuple(one.what for one in walk.touches.readiness)


def _remarks(before: Walk, after: Walk) -> tuple[str, ...]:
    found = []
    tops = [one.newtop.top is not None for one in (before, after)]
    if tops == [True, False]:
        found.append("No kind of top meets the wishes any more: see which of them fight.")
    if tops == [False, True]:
        found.append("The earlier version had no top that met the wishes; this one has.")
    if before.job.units != after.job.units:
        found.append("The two versions are written in other units or to another mark.")
    if not same_floor(before, after):
        found.append("The old floor was drawn or shot otherwise: heights of it may differ too.")
    if (before.price is None) != (after.price is None):
        found.append("Only one of the two versions has a price.")
    return tuple(found)
