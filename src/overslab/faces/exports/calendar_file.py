"""The calendar as iCalendar (RFC 5545, 2009): whole days as events, the readiness list as to-dos.

What waits for what is told twice: in words, and by RELATED-TO with the relation DEPENDS-ON of
RFC 9253 (2022); RFC 5545 has readers take a relation they do not know for the usual one.
"""

from __future__ import annotations

import datetime
import uuid

from overslab import __version__
from overslab.faces.exports.days import Entry, entries
from overslab.faces.exports.frame import MADE_UP, plain
from overslab.job.records import Job, Walk

_LINE = 75  # octets, without the line end
# Names of entries are made under this; it never changes, or every calendar would double.
_OURS = uuid.UUID("6b1d9a52-4f0e-5c57-9f43-1f2c5b8d7e60")


def icalendar(walk: Walk, *, office: bool) -> bytes:
    """The file. The same job gives the same bytes; an entry keeps its UID when its day moves."""
    job = walk.job
    lines = [
        "BEGIN:VCALENDAR",
        "VERSION:2.0",
        f"PRODID:-//overslab//overslab {__version__}//EN",
        "CALSCALE:GREGORIAN",
    ]
    for entry in entries(walk, office=office):
        lines += _component(entry, job)
    lines.append("END:VCALENDAR")
    return "".join(f"{_folded(line)}\r\n" for line in lines).encode()


def _component(entry: Entry, job: Job) -> list[str]:
    kind = "VTODO" if entry.to_do else "VEVENT"
    stamp = f"{job.date.replace('-', '')}T000000Z"
    lines = [f"BEGIN:{kind}", f"UID:{_uid(job, entry.key)}", f"DTSTAMP:{stamp}"]
    if entry.day is not None:
        name = "DUE" if entry.to_do else "DTSTART"
        lines.append(f"{name};VALUE=DATE:{_date(entry.day)}")
    if not entry.to_do and entry.day is not None:
        # The end is the first day after it.
        lines.append(f"DTEND;VALUE=DATE:{_date(entry.day + datetime.timedelta(days=1))}")
        lines.append("TRANSP:TRANSPARENT")
    summary = entry.summary.rstrip(".")
    lines.append("SUMMARY:" + _text(f"{summary} ({job.name})"))
    says = [entry.says] if entry.says else []
    if job.made_up:
        says.append(MADE_UP)
    if says:
        lines.append("DESCRIPTION:" + _text("\n".join(says)))
    lines.append(f"LOCATION:{_text(job.place)}")
    if entry.to_do:
        lines.append("STATUS:NEEDS-ACTION")
    if entry.who:
        lines.append(f"CATEGORIES:{_text(entry.who)}")
    lines += [f"RELATED-TO;RELTYPE=DEPENDS-ON:{_uid(job, key)}" for key in entry.after]
    return [*lines, f"END:{kind}"]


def _uid(job: Job, key: str) -> str:
    """Of the job's name, place and survey day and what the entry is, not of the day it falls on."""
    parts = "\0".join((job.name, job.place, job.date, key))
    return str(uuid.uuid5(_OURS, parts))


def _date(day: datetime.date) -> str:
    return day.strftime("%Y%m%d")


def _text(text: str) -> str:
    """A value of type TEXT (RFC 5545, 3.3.11)."""
    for sign, escaped in (("\\", "\\\\"), (";", "\\;"), (",", "\\,")):
        text = text.replace(sign, escaped)
    return "\\n".join(plain(line) for line in text.split("\n"))


def _folded(line: str) -> str:
    """Lines longer than 75 octets go on behind a space (RFC 5545, 3.1); no letter is cut in two."""
    parts, length = [""], 0
    for letter in line:
        octets = len(letter.encode())
        if length + octets > _LINE:
            parts.append("")
            length = 1  # the space
        parts[-1] += letter
        length += octets
    return "\r\n ".join(parts)
