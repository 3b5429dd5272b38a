"""The summary is what the events say, whatever was done and in whatever order it arrived."""

from __future__ import annotations

import random
import secrets
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

from hypothesis import given, settings
from hypothesis import strategies as st
from made_events import OTHER_PHONE, PHONE, cells, event, shot

from overslab.ground.faults import Faulty
from overslab.job import sample_folder
from overslab.job.store import CREW_KINDS, Event, Store
from overslab.job.store.fold import in_order
from overslab.job.store.records import KeptEvent


@contextmanager
def a_store() -> Iterator[tuple[Store, str]]:
    with tempfile.TemporaryDirectory() as folder:
        place = Path(folder)
        with Store.open(f"sqlite:///{place}/overslab.db", data=place, backup=False) as store:
            yield store, store.import_folder(sample_folder("cannot-all"), who="office")


ACTIONS = st.lists(
    st.tuples(
        st.sampled_from(
            ["shot", "replace", "strike", "undo mine", "wish", "hollow", "take out", "undo",
             "redo", "note", "text", "put away"]
        ),
        st.integers(0, 1_000_000),
    ),
    min_size=1,
    max_size=12,
)  # fmt: skip


def act(store: Store, job: str, what: str, chance: random.Random) -> None:
    """One action of a person, taken as it comes: some of them lead nowhere, as they may."""
    phone = chance.choice([PHONE, OTHER_PHONE])
    mine = [one.event for one in store.events(job) if one.event.device == phone]
    seq = len(mine) + 1
    shots = [thing.id for thing in store.job(job).shots]

    def sent(kind: str, body: dict[str, Any]) -> None:
        store.keep([event(job, kind, body, seq=seq, device=phone)], allowed=CREW_KINDS)

    def edit(kind: str, body: dict[str, Any]) -> None:
        store.change(job, based_on=store.version(job), kind=kind, body=body, who="office")

    match what:
        case "shot":
            sent("shot-kept", cells(f"X{seq}{phone[0]}"))
        case "replace":
            sent("shot-replaced", {"of": chance.choice(shots), **cells("X9", x="2 ft")})
        case "strike":
            sent("shot-struck", {"of": chance.choice(shots)})
        case "undo mine" if mine:
            sent("undone", {"of": chance.choice(mine).id})
        case "wish":
            value = f"{chance.randint(2, 5)} in"
            edit("fact-set", {"path": ["wishes", "least_thickness"], "value": value})
        case "hollow":
            value = {"name": f"h{chance.randint(0, 9)}", "found_by": "chain"}
            edit("fact-set", {"path": ["hollow", "+"], "value": value})
        case "take out":
            edit("fact-removed", {"path": ["hollow", 0]})
        case "undo":
            store.undo(job, who="office")
        case "redo":
            store.redo(job, who="office")
        case "note":
            sent("note-kept", {"text": "wet here"})
        case "text":
            text = store.job(job).folder_texts.shots_csv
            edit("text-set", {"file": "shots.csv", "text": text + "# looked through\n"})
        case "put away":
            edit("job-put-away", {})


@given(ACTIONS)
@settings(max_examples=25, deadline=None)
def test_the_summary_is_what_the_events_say(actions: list[tuple[str, int]]) -> None:
    with a_store() as (store, job):
        for what, chance in actions:
            try:
                act(store, job, what, random.Random(chance))
            except Faulty:
                continue
        assert store.differing() == ()
        seen = store.job(job)
        store.rebuild(job)
        assert store.job(job) == seen


@given(st.lists(st.sampled_from(["wish", "hollow", "text", "put away"]), max_size=8))
@settings(max_examples=15, deadline=None)
def test_as_many_undos_as_actions_lead_back(actions: list[str]) -> None:
    with a_store() as (store, job):
        start = store.job(job)
        for place, what in enumerate(actions):
            act(store, job, what, random.Random(place))
        for _ in range(store.version(job) - 1):
            store.undo(job, who="office")
        end = store.job(job)
        assert end.folder_texts == start.folder_texts
        assert (end.things, end.state, end.name) == (start.things, start.state, start.name)


@given(st.permutations(range(6)), st.lists(st.integers(1, 6), max_size=4))
@settings(max_examples=20, deadline=None)
def test_batches_in_any_order_and_any_number_of_times_make_the_same_job(
    order: list[int], again: list[int]
) -> None:
    """Shots of two phones: the set of what is kept does not depend on how it came."""
    with a_store() as (store, job):
        made: list[Event] = []
        for device in (PHONE, OTHER_PHONE):
            first = shot(job, f"X1{device[0]}", seq=1, device=device)
            better = {"of": first.id, **cells(f"X1{device[0]}", x="5 ft")}
            second = shot(job, f"X2{device[0]}", seq=3, device=device)
            made += [first, event(job, "shot-replaced", better, seq=2, device=device), second]
        for place in order:
            store.keep([made[place]], allowed=CREW_KINDS)
            store.keep([made[n - 1] for n in again if n - 1 == place], allowed=CREW_KINDS)
        fresh = [thing for thing in store.job(job).shots if thing.body["point"].startswith("X")]
        assert {(one.body["point"], one.body["x"]) for one in fresh} == {
            ("X1a", "5 ft"), ("X2a", "3 ft"), ("X1b", "5 ft"), ("X2b", "3 ft")
        }  # fmt: skip
        for device in "ab":
            assert [one.body["point"] for one in fresh if one.body["point"].endswith(device)] == [
                f"X1{device}", f"X2{device}"
            ]  # fmt: skip
        assert store.job(job).skipped == ()
        assert store.differing() == ()


@given(st.lists(st.tuples(st.sampled_from("abc"), st.integers(1, 5)), max_size=12))
def test_every_device_stays_in_its_own_order_and_in_its_own_places(
    typed: list[tuple[str, int]],
) -> None:
    kept = [
        KeptEvent(
            event=event("0" * 32, "note-kept", {"text": ""}, seq=seq, device=device * 32),
            arrival=arrival,
            received_at="",
            by_office=False,
        )
        for arrival, (device, seq) in enumerate(typed, start=1)
    ]
    ordered = in_order(kept)
    assert sorted(one.event.id for one in ordered) == sorted(one.event.id for one in kept)
    assert [one.event.device for one in ordered] == [one.event.device for one in kept]
    for device in "abc":
        own = [one.event.seq for one in ordered if one.event.device == device * 32]
        assert own == sorted(own)


def test_ids_are_made_of_128_random_bits() -> None:
    with a_store() as (store, job):
        made = {store.made(job, "note-kept", {}, who="office", seq=1).id for _ in range(100)}
        assert len(made) == 100
        assert all(len(one) == len(secrets.token_hex(16)) for one in made)
