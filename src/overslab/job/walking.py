"""The walk: one room after the other, in the order of work."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

from overslab.job.records import Job, Rooms, Walk
from overslab.job.steps import STEPS
from overslab.job.wishing import wishes_for

_ORDER = tuple(step.room for step in STEPS)


def walk(job: Job, *, tell: Callable[[str], None] | None = None) -> Walk:
    """Every room in turn; ``tell`` hears each room's question before it starts.

    Takeoff and order are None when no kind of top can meet the wishes. Raises ``Faulty`` from the
    first room that cannot go on. Writes nothing and asks no network.
    """
    rooms = walk_to(job, last=_ORDER[-1], tell=tell)
    # These rooms answer or raise; only the concrete may be left without an answer.
    assert rooms.shots is not None
    assert rooms.oldslab is not None
    assert rooms.newtop is not None
    return Walk(
        job=rooms.job,
        shots=rooms.shots,
        oldslab=rooms.oldslab,
        newtop=rooms.newtop,
        takeoff=rooms.takeoff,
        order=rooms.order,
    )


def walk_to(job: Job, *, last: str, tell: Callable[[str], None] | None = None) -> Rooms:
    """The rooms up to and including ``last``; fewer when no kind of top can meet the wishes."""
    wanted = _ORDER[: _ORDER.index(last) + 1]

    def say(room: str) -> None:
        if tell is not None:
            tell(next(f"{step.room}: {step.question}" for step in STEPS if step.room == room))

    # The rooms bring heavy libraries with them; each loads when the walk comes to it.
    from overslab.shots import reduce

    say("shots")
    heights = reduce(job.survey)
    wishes, assumed = wishes_for(job, heights)
    rooms = Rooms(
        job=replace(job, assumptions=(*job.assumptions, *assumed)),
        shots=heights,
    )
    if "oldslab" not in wanted:
        return rooms
    from overslab.oldslab import shape

    say("oldslab")
    oldslab = shape(job.plan, heights)
    rooms = replace(rooms, oldslab=oldslab)
    if "newtop" not in wanted:
        return rooms
    from overslab.newtop import design

    say("newtop")
    newtop = design(oldslab, wishes)
    rooms = replace(rooms, newtop=newtop)
    if "takeoff" not in wanted or newtop.chosen is None:
        return rooms
    from overslab.takeoff import measure

    say("takeoff")
    takeoff = measure(oldslab, newtop)
    rooms = replace(rooms, takeoff=takeoff)
    if "order" not in wanted:
        return rooms
    from overslab.order import order

    say("order")
    return replace(rooms, order=order(takeoff, job.plant, job.mix))
