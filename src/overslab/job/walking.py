"""The walk: one room after the other, in the order of work."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

from overslab.job.records import Job, Walk
from overslab.job.steps import STEPS
from overslab.job.wishing import wishes_for


def walk(job: Job, *, tell: Callable[[str], None] | None = None) -> Walk:
    """Every room in turn; ``tell`` hears each room's question before it starts.

    Takeoff and order are None when no kind of top can meet the wishes. Raises ``Faulty`` from the
    first room that cannot go on. Writes nothing and asks no network.
    """
    # The rooms bring heavy libraries with them; they load once a job is good.
    from overslab.newtop import design
    from overslab.oldslab import shape
    from overslab.order import order
    from overslab.shots import reduce
    from overslab.takeoff import measure

    def say(room: str) -> None:
        if tell is not None:
            tell(next(f"{step.room}: {step.question}" for step in STEPS if step.room == room))

    say("shots")
    heights = reduce(job.survey)
    wishes, assumed = wishes_for(job, heights)
    job = replace(job, assumptions=(*job.assumptions, *assumed))
    say("oldslab")
    oldslab = shape(job.plan, heights)
    say("newtop")
    newtop = design(oldslab, wishes)
    if newtop.chosen is None:
        return Walk(
            job=job, shots=heights, oldslab=oldslab, newtop=newtop, takeoff=None, order=None
        )
    say("takeoff")
    takeoff = measure(oldslab, newtop)
    say("order")
    ordered = order(takeoff, job.plant, job.mix)
    return Walk(
        job=job, shots=heights, oldslab=oldslab, newtop=newtop, takeoff=takeoff, order=ordered
    )
