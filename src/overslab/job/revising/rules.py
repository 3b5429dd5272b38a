"""Rules and touches of two versions beside each other."""

from __future__ import annotations

from collections.abc import Iterator

from overslab.handbook.checks import Check
from overslab.job.records import Walk
from overslab.job.revising.records import CheckChange, Now, TouchChange
from overslab.touches.records import Touch

Key = tuple[str, str, str, str]  # room, name, where, quantity
_SAME_M = 1e-6


def changed_checks(before: Walk, after: Walk) -> tuple[CheckChange, ...]:
    """Rules that newly fail, first, then those that newly pass.

    A rule that only one version asks counts as passing in the other.
    """
    found = _paired(dict(_checks(before)), dict(_checks(after)))
    return tuple(
        sorted((one for one in found if one.now != "as before"), key=lambda one: one.now != "fails")
    )


def changed_touches(before: Walk, after: Walk) -> tuple[TouchChange, ...]:
    """Things whose height, moving or rules differ; with every rule of theirs that differs."""
    was, now = _touches(before), _touches(after)
    found = []
    for name in dict.fromkeys([*was, *now]):
        old, new = was.get(name), now.get(name)
        checks = tuple(
            one
            for one in _paired(dict(_of_touch(old)), dict(_of_touch(new)))
            if _differs(one.before, one.after)
        )
        was_m, now_m = (None if one is None else one.after_m for one in (old, new))
        was_moved, now_moved = (one is not None and one.moved for one in (old, new))
        if not checks and _same(was_m, now_m) and was_moved == now_moved:
            continue
        kind = next(one.kind for one in (new, old) if one is not None)
        found.append(TouchChange(name, kind, was_m, now_m, checks, was_moved, now_moved))
    return tuple(found)


def _touches(walk: Walk) -> dict[str, Touch]:
    return {} if walk.touches is None else {one.name: one for one in walk.touches.touches}


def _of_touch(touch: Touch | None) -> Iterator[tuple[Key, Check]]:
    yield from _keyed("touches", touch.checks if touch is not None else ())


def _checks(walk: Walk) -> Iterator[tuple[Key, Check]]:
    yield from _keyed("oldslab", (walk.oldslab.agreement,))
    yield from _keyed("verdict", walk.verdict.loads)
    yield from _keyed(
        "verdict",
        tuple(one.check for one in walk.verdict.findings if one.check is not None),
    )
    top = walk.newtop.top
    if top is not None:
        yield from _keyed("newtop", tuple(rule.check for rule in top.rules))
    for touch in _touches(walk).values():
        for key, check in _of_touch(touch):
            yield (key[0], key[1], touch.name, key[3]), check
    if walk.takeoff is not None:
        yield from _keyed("takeoff", walk.takeoff.checks)
    if walk.order is not None:
        yield from _keyed("order", walk.order.mix_check.checks)


def _keyed(room: str, checks: tuple[Check, ...]) -> Iterator[tuple[Key, Check]]:
    """Each check under its name; the second of a name is told apart by its number."""
    often: dict[tuple[str, str, str], int] = {}
    for check in checks:
        place = (check.name, check.where, check.quantity)
        often[place] = often.get(place, 0) + 1
        again = f" ({often[place]})" if often[place] > 1 else ""
        yield (room, check.name + again, check.where, check.quantity), check


def _paired(was: dict[Key, Check], now: dict[Key, Check]) -> list[CheckChange]:
    found = []
    for key in dict.fromkeys([*was, *now]):
        old, new = was.get(key), now.get(key)
        passed = [one is None or one.passes for one in (old, new)]
        now_is: Now = "as before"
        if passed[0] != passed[1]:
            now_is = "passes" if passed[1] else "fails"
        found.append(CheckChange(key[0], key[1], key[2], old, new, now_is))
    return found


def _differs(old: Check | None, new: Check | None) -> bool:
    if old is None or new is None:
        return old is not new
    return not (_same(old.found, new.found) and _same(old.allowed, new.allowed))


def _same(old: float | None, new: float | None) -> bool:
    if old is None or new is None:
        return old is new
    return abs(old - new) <= _SAME_M
