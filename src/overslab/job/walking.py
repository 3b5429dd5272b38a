"""The walk: one room after the other, in the order of work."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from typing import Protocol, TypeVar

from overslab.job.foundfacts import height_limits
from overslab.job.records import Job, Rooms, Walk
from overslab.job.steps import STEPS
from overslab.job.touchfacts import touch_facts_for
from overslab.job.wishing import steered, wishes_for

_ORDER = tuple(step.room for step in STEPS)
Record = TypeVar("Record")


class Recall(Protocol):
    """Gives a room's record for these inputs: one kept from before, or a new one from ``make``."""

    def __call__(
        self, room: str, inputs: tuple[object, ...], make: Callable[[], Record], /
    ) -> Record: ...


def _always_anew(_room: str, _inputs: tuple[object, ...], make: Callable[[], Record]) -> Record:
    return make()


def walk(
    job: Job, *, tell: Callable[[str], None] | None = None, recall: Recall = _always_anew
) -> Walk:
    """Every room in turn; ``tell`` hears each room's question before it starts.

    ``recall`` may hand back what a room gave for the same inputs before.

    Touches, takeoff and order are None when no kind of top can meet the wishes. Raises ``Faulty``
    from the first room that cannot go on. Writes nothing and asks no network.
    """
    rooms = walk_to(job, last=_ORDER[-1], tell=tell, recall=recall)
    # These rooms answer or raise; only the concrete may be left without an answer.
    assert rooms.shots is not None
    assert rooms.oldslab is not None
    assert rooms.verdict is not None
    assert rooms.newtop is not None
    return Walk(
        job=rooms.job,
        shots=rooms.shots,
        oldslab=rooms.oldslab,
        verdict=rooms.verdict,
        newtop=rooms.newtop,
        touches=rooms.touches,
        takeoff=rooms.takeoff,
        order=rooms.order,
        price=rooms.price,
    )


def walk_to(
    job: Job,
    *,
    last: str,
    tell: Callable[[str], None] | None = None,
    recall: Recall = _always_anew,
) -> Rooms:
    """The rooms up to and including ``last``; fewer when no kind of top can meet the wishes."""
    wanted = _ORDER[: _ORDER.index(last) + 1]

    def say(room: str) -> None:
        if tell is not None:
            tell(next(f"{step.room}: {step.question}" for step in STEPS if step.room == room))

    # The rooms bring heavy libraries with them; each loads when the walk comes to it.
    from overslab.shots import reduce

    say("shots")
    heights = recall("shots", (job.survey,), lambda: reduce(job.survey))
    wishes, assumed = wishes_for(job, heights)
    job = replace(job, assumptions=(*job.assumptions, *assumed))
    facts, assumed = touch_facts_for(job, heights)
    job = replace(job, assumptions=(*job.assumptions, *assumed))
    rooms = Rooms(job=job, shots=heights)
    if "oldslab" not in wanted:
        return rooms
    from overslab.oldslab import shape

    say("oldslab")
    oldslab = recall("oldslab", (job.plan, heights), lambda: shape(job.plan, heights))
    rooms = replace(rooms, oldslab=oldslab)
    if "verdict" not in wanted:
        return rooms
    from overslab.verdict import judge

    say("verdict")
    verdict = judge(
        oldslab,
        job.findings,
        job.practice,
        limits=height_limits(wishes, job.plan),
        wished=job.asked.system,
        least_thickness_m=job.asked.least_thickness_m,
        surety=wishes.surety,
        strength_pa=job.mix.strength_pa,
        stone_m=job.mix.stone_m,
        units=job.units,
    )
    wishes, stated = steered(wishes, verdict, job)
    told = replace(rooms.job, assumptions=(*rooms.job.assumptions, *stated))
    rooms = replace(rooms, job=told, verdict=verdict)
    if "newtop" not in wanted:
        return rooms
    from overslab.newtop import design

    say("newtop")
    newtop = recall("newtop", (oldslab, wishes), lambda: design(oldslab, wishes))
    rooms = replace(rooms, newtop=newtop)
    if "touches" not in wanted or newtop.chosen is None:
        return rooms
    from overslab.touches import meet

    say("touches")
    rooms = replace(
        rooms,
        touches=recall(
            "touches",
            (oldslab, newtop, facts, verdict.put_right),
            lambda: meet(oldslab, newtop, facts, put_right=verdict.put_right),
        ),
    )
    if "takeoff" not in wanted:
        return rooms
    from overslab.takeoff import Trucks, measure

    say("takeoff")
    touches = rooms.touches
    trucks = Trucks(every_minutes=job.plant.truck_minutes, hold_m3=job.plant.truck_m3)
    takeoff = recall(
        "takeoff",
        (oldslab, newtop, job.build, verdict, touches, job.mix, trucks, job.units),
        lambda: measure(
            oldslab,
            newtop,
            job.build,
            verdict=verdict,
            touches=touches,
            mix=job.mix,
            trucks=trucks,
            units=job.units,
        ),
    )
    rooms = replace(rooms, takeoff=takeoff)
    if "order" not in wanted:
        return rooms
    from overslab.order import exposure_of, order

    say("order")
    ordered = order(
        takeoff,
        job.plant,
        job.mix,
        exposure=exposure_of(job.findings),
        system=verdict.system,
        units=job.units,
    )
    rooms = replace(rooms, order=ordered)
    if "price" not in wanted or job.rates is None:
        return rooms
    from overslab.price import bid

    say("price")
    return replace(
        rooms,
        price=bid(
            takeoff,
            ordered,
            job.rates,
            newtop=newtop,
            touches=touches,
            oldslab=oldslab,
            verdict=verdict,
            units=job.units,
            park_days=job.proposal.park_days,
        ),
    )
