"""What the crew's own closed jobs say of an hour's work."""

from __future__ import annotations

from dataclasses import replace

from overslab.handbook.money import learnt_rate, next_job_share
from overslab.price.records import ClosedJob, WorkRate


def learn(rate: WorkRate, closed: tuple[ClosedJob, ...]) -> WorkRate:
    """The owner's rate with what closed jobs taught: ratio of totals, scatter of the logs.

    Without a closed job the owner's word stands. With one, its hours stand and the give-or-take
    stays the owner's, for one job has no scatter. With more, both come from the jobs, and the
    owner's word is kept beside them.
    """
    if not closed:
        return rate
    hours_per = learnt_rate(
        total_hours=sum(job.hours for job in closed),
        total_quantity=sum(job.quantity for job in closed),
    )
    deviation = rate.deviation
    if len(closed) > 1:
        deviation = next_job_share(hours_for_one=tuple(job.hours / job.quantity for job in closed))
    return replace(
        rate,
        hours_per=hours_per,
        deviation=deviation,
        jobs=len(closed),
        closed=closed,
        own_hours_per=rate.hours_per,
    )
