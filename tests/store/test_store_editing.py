"""Edits by the office: onto what was seen, undone one by one, never lost; on both databases."""

from __future__ import annotations

import pytest
from made_events import cells, shot
from places_for_stores import Place

from overslab.ground.faults import Faulty
from overslab.job import FolderTexts, read_texts, sample_folder
from overslab.job.store import Stale, Store

THICK = ["wishes", "least_thickness"]
FALL = ["wishes", "least_fall"]


def texts(store: Store, job: str) -> FolderTexts:
    return store.job(job).folder_texts


def put(store: Store, job: str, path: list, value: object, *, based_on: int | None = None) -> int:
    base = store.version(job) if based_on is None else based_on
    body = {"path": path, "value": value}
    return store.change(job, based_on=base, kind="fact-set", body=body, who="office")


def test_a_wish_is_changed_and_the_remarks_stay(store: Store, job: str) -> None:
    put(store, job, THICK, "3 1/4 in")
    text = texts(store, job).job_toml
    assert 'least_thickness = "3 1/4 in" # unbonded, on a sheet' in text
    changed = read_texts(texts(store, job)).asked.least_thickness_m
    assert changed == pytest.approx(3.25 * 0.0254)  # an inch is 25.4 mm (NIST SP 811, App. B)


def test_another_wish_is_not_stale(store: Store, job: str) -> None:
    seen = store.version(job)
    put(store, job, THICK, "4 in")
    store.keep([shot(job, "X1", seq=1)])
    put(store, job, FALL, "3/16 in/ft", based_on=seen)
    text = texts(store, job).job_toml
    assert '"4 in"' in text
    assert '"3/16 in/ft"' in text


def test_the_same_wish_is_stale_and_both_texts_are_kept(store: Store, job: str) -> None:
    seen = store.version(job)
    put(store, job, THICK, "4 in")
    with pytest.raises(Stale) as caught:
        put(store, job, THICK, "5 in", based_on=seen)
    assert (caught.value.yours, caught.value.theirs) == ("5 in", "4 in")
    assert caught.value.faults[0].code == "edit-stale"
    (entry,) = store.tray(job)
    assert entry.number == caught.value.tray
    assert entry.event.body == {"path": THICK, "value": "5 in"}
    assert '"4 in"' in texts(store, job).job_toml
    store.settle(entry.number, who="office")
    assert store.tray(job) == ()
    assert store.job_line(job).in_tray == 0
    assert store.differing() == ()


@pytest.mark.parametrize(
    ("theirs", "yours"),
    [
        ((["door", 0, "sill"], "shots S1, S2"), (["door", "west door", "sill"], "shot S1")),
        ((["door", "west door", "sill"], "shot S2"), (["door", 0, "name"], "big door")),
        ((["mix"], {"strength": "5000 psi"}), (["mix", "strength"], "4500 psi")),
    ],
    ids=["number and name", "the thing renamed", "the section that holds it"],
)
def test_one_thing_under_two_names(store: Store, job: str, theirs: tuple, yours: tuple) -> None:
    seen = store.version(job)
    put(store, job, *theirs)
    if yours[0][-1] == "name":  # a name and a sill of one door are two things
        put(store, job, *yours, based_on=seen)
        return
    with pytest.raises(Stale):
        put(store, job, *yours, based_on=seen)


def test_the_same_edit_twice_is_one(store: Store, job: str) -> None:
    seen = store.version(job)
    first = put(store, job, THICK, "4 in")
    assert put(store, job, THICK, "4 in", based_on=seen) == first


def test_two_corrections_of_one_shot(store: Store, job: str) -> None:
    x1 = shot(job, "X1", seq=1)
    store.keep([x1])
    seen = store.version(job)
    for reading in ("4' 7\"", "4' 8\""):
        body = {"of": x1.id, **cells("X1", reading=reading)}
        if reading == "4' 8\"":
            with pytest.raises(Stale) as caught:
                store.change(job, based_on=seen, kind="shot-replaced", body=body, who="office")
            assert "4' 7" in caught.value.theirs
        else:
            store.change(job, based_on=seen, kind="shot-replaced", body=body, who="office")


def test_an_edit_that_leads_nowhere_is_told_and_not_kept(store: Store, job: str) -> None:
    for path in (["door", "no such door", "sill"], ["wishes", "least_thickness", "deeper"]):
        with pytest.raises(Faulty) as caught:
            put(store, job, path, "1 in")
        assert caught.value.faults[0].code == "entry-without-place"
    assert store.version(job) == 1
    assert store.tray() == ()


def test_an_edit_on_a_version_to_come_is_refused(store: Store, job: str) -> None:
    with pytest.raises(Faulty):
        put(store, job, THICK, "4 in", based_on=99)


def test_prices_change_and_come_out(store: Store, job: str) -> None:
    body = {"path": ["concrete", "price_per_yd3"], "value": "$171.50"}
    store.change(job, based_on=1, kind="rates-set", body=body, who="office")
    gone = {"path": ["losses"], "value": None}
    store.change(job, based_on=2, kind="rates-set", body=gone, who="office")
    text = texts(store, job).rates_toml
    assert 'price_per_yd3 = "$171.50"' in text
    assert "[losses]" not in text
    assert store.job(job).trouble == ()


def test_a_broken_file_is_mended_by_its_text(store: Store, job: str) -> None:
    whole = texts(store, job).job_toml
    body = {"file": "job.toml", "text": whole + "\nbroken ="}
    store.change(job, based_on=1, kind="text-set", body=body, who="office")
    assert [fault.code for fault in store.job(job).trouble] == ["toml-broken"]
    with pytest.raises(Faulty, match="mended first"):
        put(store, job, THICK, "4 in")
    # A shot is not held up by a file that it has nothing to do with.
    assert store.keep([shot(job, "X1", seq=1)]).tray == ()
    mended = {"file": "job.toml", "text": whole}
    store.change(job, based_on=store.version(job), kind="text-set", body=mended, who="office")
    assert store.job(job).trouble == ()


def test_a_whole_field_book_keeps_the_shots_it_still_says(store: Store, job: str) -> None:
    x1 = shot(job, "X1", seq=1)
    store.keep([x1])
    before = {thing.body["point"]: thing.id for thing in store.job(job).shots}
    text = texts(store, job).shots_csv.replace("4' 6 1/8\"", "4' 6 3/16\"", 1)
    body = {"file": "shots.csv", "text": text}
    store.change(job, based_on=2, kind="text-set", body=body, who="office")
    after = {thing.body["point"]: thing.id for thing in store.job(job).shots}
    assert [point for point in before if before[point] != after[point]] == ["A2"]
    assert texts(store, job).shots_csv == text
    assert store.differing() == ()


def test_a_hundred_and_twenty_steps_back_and_forth(place: Place) -> None:
    with place.open() as store:
        job = store.import_folder(sample_folder("thin-patio"), who="office")
        start = texts(store, job)
        states = [start]
        for n in range(120):
            put(store, job, THICK, f"{2 + n % 2} {n % 7 + 1}/8 in")
            states.append(texts(store, job))
        assert len(set(states)) == 15
    with place.open() as store:
        for expected in reversed(states[:-1]):
            store.undo(job, who="office")
            assert texts(store, job) == expected
        with pytest.raises(Faulty, match="nothing here to undo"):
            store.undo(job, who="office")
        for expected in states[1:]:
            store.redo(job, who="office")
            assert texts(store, job) == expected
        with pytest.raises(Faulty, match="nothing here to do again"):
            store.redo(job, who="office")
        assert store.differing() == ()


def test_something_new_ends_the_way_forward(store: Store, job: str) -> None:
    put(store, job, THICK, "4 in")
    store.undo(job, who="office")
    put(store, job, FALL, "3/16 in/ft")
    with pytest.raises(Faulty):
        store.redo(job, who="office")


def test_undo_leaves_what_others_did(store: Store, job: str) -> None:
    put(store, job, THICK, "4 in")
    store.keep([shot(job, "X1", seq=1)])
    store.undo(job, who="office")
    assert 'least_thickness = "3 in"' in texts(store, job).job_toml
    assert store.job(job).shots[-1].body["point"] == "X1"


def test_what_something_leans_on_is_not_undone_alone(store: Store, job: str) -> None:
    table = {"name": "drain", "at": ["10 ft", "10 ft"], "rim": "shot A1", "plan": "keep"}
    put(store, job, ["drain", "+"], table)
    first = store.events(job)[-1].event.id
    put(store, job, ["drain", "drain", "plan"], "bury")
    with pytest.raises(Faulty) as caught:
        store.undo(job, who="office", of=first)
    assert caught.value.faults[0].code == "undo-blocked"
    assert store.version(job) == 3
    store.undo(job, who="office")
    store.undo(job, who="office", of=first)
    assert texts(store, job) == FolderTexts(
        **{
            name.replace(".", "_"): (sample_folder("farm-shop") / name).read_text(encoding="utf-8")
            for name in ("job.toml", "shots.csv", "rates.toml")
        }
    )


def test_a_job_put_away_comes_back(store: Store, job: str) -> None:
    store.change(job, based_on=1, kind="job-put-away", body={}, who="office")
    assert store.job_line(job).state == "put-away"
    assert store.jobs(state="open") == ()
    store.undo(job, who="office")
    assert store.job_line(job).state == "open"
    assert store.differing() == ()
