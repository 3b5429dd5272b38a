"""The calendar, read by the ``icalendar`` library."""

from __future__ import annotations

import datetime
from dataclasses import replace

import icalendar
import pytest
from export_jobs import walked
from hypothesis import given
from hypothesis import strategies as st

from overslab.faces.exports import FILES
from overslab.job import Walk
from overslab.price.records import Bid
from overslab.takeoff.asked import BuildUp
from overslab.touches.records import Ready

(KIND,) = (one for one in FILES if one.form == "ics")
POUR = "2026-05-04"


def booked(walk: Walk, pour_date: str | None = POUR) -> Walk:
    """The job with a pour date, nothing sprayed on, no salt, and no days of the owner's own."""
    plain = replace(walk.job.proposal, walk_days=None, park_days=None, load_days=None, air_c=None)
    findings = replace(walk.job.findings, deicers="no")
    job = replace(walk.job, pour_date=pour_date, build=BuildUp(), findings=findings, proposal=plain)
    return replace(walk, job=job)


def read(walk: Walk, *, office: bool = True) -> icalendar.Calendar:
    return icalendar.Calendar.from_ical(KIND.make(walk, office))


def events(walk: Walk, *, office: bool = True) -> dict[str, datetime.date]:
    """Day of each event by the first words of its summary."""
    return {
        str(one["SUMMARY"]).partition(" (")[0]: one.decoded("DTSTART")
        for one in read(walk, office=office).walk("VEVENT")
    }


def test_the_days_of_use_are_those_of_the_handbook() -> None:
    """Foot 1 day, car 7 days, heavy 28 days (general web guides to slabs), cure 7 days
    (UFGS 03301A, p. 42), all counted from the pour on 2026-05-04."""
    found = events(booked(walked("farm-shop")))
    assert found["Pour the new top"] == datetime.date(2026, 5, 4)
    assert found["Survey of the old floor"] == datetime.date(2026, 4, 18)
    assert found["From today: walk on it"] == datetime.date(2026, 5, 5)
    assert found["From today: park a car on it"] == datetime.date(2026, 5, 11)
    assert found["The cure comes off"] == datetime.date(2026, 5, 11)
    assert found["From today: full load on it"] == datetime.date(2026, 6, 1)


def test_events_are_whole_days_that_block_nothing() -> None:
    for one in read(booked(walked("farm-shop"))).walk("VEVENT"):
        start, end = one.decoded("DTSTART"), one.decoded("DTEND")
        assert type(start) is type(end) is datetime.date
        assert end - start == datetime.timedelta(days=1)
        assert one["TRANSP"] == "TRANSPARENT"


def test_without_a_pour_date_nothing_is_due_and_no_day_of_use_is_told() -> None:
    walk = booked(walked("farm-shop"), None)
    assert not any(name.startswith(("From", "The cure", "Pour")) for name in events(walk))
    for one in read(walk).walk("VTODO"):
        assert "DUE" not in one


def test_every_thing_to_be_ready_is_due_the_day_before_the_pour() -> None:
    walk = booked(walked("farm-shop"))
    assert walk.touches is not None
    todos = read(walk).walk("VTODO")
    assert len(todos) == len(walk.touches.readiness) > 10
    for one, ready in zip(todos, walk.touches.readiness, strict=True):
        assert one.decoded("DUE") == datetime.date(2026, 5, 3)
        assert one["STATUS"] == "NEEDS-ACTION"
        assert ready.what.rstrip(".") in str(one["SUMMARY"])
        assert f"Who: {ready.trade}." in str(one["DESCRIPTION"])
        assert [str(name) for name in one["CATEGORIES"].cats] == [ready.trade]


def test_what_waits_for_what_is_told_in_words_and_by_name() -> None:
    walk = booked(walked("farm-shop"))
    assert walk.touches is not None
    todos = read(walk).walk("VTODO")
    uid_of = {
        ready.what: str(one["UID"])
        for one, ready in zip(todos, walk.touches.readiness, strict=True)
    }
    waiting = 0
    for one, ready in zip(todos, walk.touches.readiness, strict=True):
        related = one.get("RELATED-TO", [])
        related = related if isinstance(related, list) else [related]
        assert [str(uid) for uid in related] == [uid_of[what] for what in ready.waits_for]
        assert all(uid.params["RELTYPE"] == "DEPENDS-ON" for uid in related)
        for what in ready.waits_for:
            waiting += 1
            assert what in str(one["DESCRIPTION"])
    assert waiting > 10


def test_names_of_entries_are_unlike_and_stay_when_the_pour_moves() -> None:
    one, other = booked(walked("farm-shop")), booked(walked("farm-shop"), "2026-06-08")

    def uids(walk: Walk) -> list[str]:
        found = read(walk).walk("VEVENT") + read(walk).walk("VTODO")
        return [str(each["UID"]) for each in found]

    assert len(set(uids(one))) == len(uids(one))
    assert set(uids(one)) == set(uids(other))
    renamed = replace(one, job=replace(one.job, name="Another floor"))
    assert not set(uids(one)) & set(uids(renamed))


def test_two_like_entries_keep_names_of_their_own() -> None:
    walk = booked(walked("farm-shop"))
    assert walk.touches is not None
    twin = Ready("the drain is plugged", "plumber")
    walk = replace(walk, touches=replace(walk.touches, readiness=(twin, twin)))
    first, second = (str(one["UID"]) for one in read(walk).walk("VTODO"))
    assert first != second


def test_the_same_job_gives_the_same_bytes_and_no_hour_of_today() -> None:
    walk = booked(walked("farm-shop"))
    assert KIND.make(walk, True) == KIND.make(walk, True)
    stamps = {one.decoded("DTSTAMP") for one in read(walk).walk("VEVENT")}
    assert stamps == {datetime.datetime(2026, 4, 18, tzinfo=datetime.UTC)}


def test_the_end_of_the_proposal_is_for_the_office_alone() -> None:
    walk = booked(walked("farm-shop"))
    texts = replace(walk.job.proposal, valid_until="2026-05-02")
    walk = replace(walk, job=replace(walk.job, proposal=texts))
    assert events(walk)["Proposal ends"] == datetime.date(2026, 5, 2)
    assert "Proposal ends" not in events(walk, office=False)


def test_a_job_without_a_top_has_a_calendar_too() -> None:
    walk = walked("cannot-all")
    assert walk.newtop.top is None
    assert KIND.there_is(walk)
    assert "Survey of the old floor" in events(walk)


def test_a_sample_says_in_every_entry_that_it_is_made_up() -> None:
    calendar = read(booked(walked("farm-shop")))
    for one in (*calendar.walk("VEVENT"), *calendar.walk("VTODO")):
        assert "Made-up sample" in str(one["DESCRIPTION"])


names = st.text(
    alphabet=st.one_of(
        st.characters(exclude_categories=("Cs",)), st.sampled_from('\\;,:"\n\t^ñ漢🏠')
    ),
    max_size=200,
)


@given(names, names)
def test_any_name_comes_back_as_words(name: str, place: str) -> None:
    """Backslashes, commas, line ends, letters of many octets; lines end by CRLF within 75 octets
    (RFC 5545, 3.1)."""
    walk = booked(walked("thin-patio"))
    walk = replace(walk, job=replace(walk.job, name=name, place=place))
    raw = KIND.make(walk, True)
    assert raw.endswith(b"\r\n")
    lines = raw.split(b"\r\n")
    assert all(len(line) <= 75 for line in lines)
    assert all(b"\n" not in line and b"\r" not in line for line in lines)
    for line in lines:
        line.decode("utf-8")  # no letter is cut in two
    for one in read(walk).walk("VEVENT"):
        told = str(one["LOCATION"])
        kept = "\n".join(
            "".join(sign if sign.isprintable() else "�" for sign in line)
            for line in place.split("\n")
        )
        assert told == kept


def test_the_price_is_nowhere_in_it() -> None:
    walk = booked(walked("farm-shop"))
    bid = walk.price
    assert isinstance(bid, Bid)
    raw = KIND.make(walk, False).decode()
    for amount in (bid.price, bid.cost, bid.direct_cost):
        assert f"{amount:,.2f}" not in raw
        assert str(amount) not in raw


@pytest.mark.parametrize("letters", ["é" * 100, "a" + "漢" * 60, "🏠" * 40])
def test_long_lines_are_folded_between_letters(letters: str) -> None:
    walk = walked("thin-patio")
    walk = replace(walk, job=replace(walk.job, place=letters))
    raw = KIND.make(walk, True)
    assert all(len(line) <= 75 for line in raw.split(b"\r\n"))
    unfolded = raw.replace(b"\r\n ", b"").decode("utf-8")
    assert f"LOCATION:{letters}\r\n" in unfolded
