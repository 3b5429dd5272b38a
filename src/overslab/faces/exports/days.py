"""What goes into the calendar: days of the job, and what must be ready before the pour."""

from __future__ import annotations

import datetime
from collections import Counter
from dataclasses import dataclass

from overslab.faces.documents.proposal_after import use_dates
from overslab.job.records import Walk


@dataclass(frozen=True, slots=True)
class Entry:
    """A day of the job, or a thing to be done before the end of a day.

    ``key`` tells the entries of one job apart for good; ``after`` are keys of what must be done
    first. A thing to be done without a day is not due yet.
    """

    key: str
    summary: str
    says: str
    day: datetime.date | None
    to_do: bool = False
    who: str = ""
    after: tuple[str, ...] = ()


def entries(walk: Walk, *, office: bool) -> tuple[Entry, ...]:
    """Days in order, then the readiness list in its own order.

    Without a pour date there are no days of use, and nothing on the list is due on a day. Until
    when the price holds is for the office.
    """
    job = walk.job
    found = [_day("survey", "Survey of the old floor", "", job.date)]
    if job.pour_date is not None:
        found.append(_day("pour", "Pour the new top", "", job.pour_date))
        found += _uses(walk)
    if office and job.proposal.valid_until:
        says = "Last day on which the price of the proposal holds."
        found.append(_day("valid", "Proposal ends", says, job.proposal.valid_until))
    found.sort(key=lambda one: str(one.day))
    return (*found, *_to_do(walk))


def _uses(walk: Walk) -> list[Entry]:
    """When the new floor may be used, as the proposal has it."""
    found = []
    for one in use_dates(walk).dates:
        source = "the owner's own number" if one.owners else one.source
        says = f"{one.days} days after the pour: {source}. The weather may ask for more."
        summary = "The cure comes off" if one.use == "cure" else f"From today: {one.says}"
        found.append(_day(one.use, summary, says, one.date))
    return found


def _to_do(walk: Walk) -> list[Entry]:
    """The readiness list; all of it is due the day before the pour, once that is set."""
    if walk.touches is None:
        return []
    pour_date = walk.job.pour_date
    due = None
    if pour_date is not None:
        due = datetime.date.fromisoformat(pour_date) - datetime.timedelta(days=1)
    keys: dict[str, str] = {}
    met: Counter[str] = Counter()
    found = []
    for one in walk.touches.readiness:
        same = f"ready/{one.about}/{one.trade}/{one.what}"
        met[same] += 1
        key = same if met[same] == 1 else f"{same}/{met[same]}"
        says = [f"Who: {one.trade}."]
        if one.about:
            says.append(f"About: {one.about}.")
        if one.waits_for:
            says.append("After: " + "; ".join(one.waits_for) + ".")
        after = tuple(keys[what] for what in one.waits_for if what in keys)
        summary = f"{one.trade.capitalize()}: {one.what}"
        found.append(Entry(key, summary, "\n".join(says), due, True, one.trade, after))
        keys.setdefault(one.what, key)
    return found


def _day(key: str, summary: str, says: str, day: str) -> Entry:
    return Entry(key, summary, says, datetime.date.fromisoformat(day))
