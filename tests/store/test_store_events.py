"""What is sent is kept once, judged alone, and never lost; on both databases."""

from __future__ import annotations

from dataclasses import replace

import pytest
from made_events import OTHER_PHONE, PHONE, PNG, cells, event, shot
from places_for_stores import Place

from overslab.ground.faults import Faulty
from overslab.job import sample_folder
from overslab.job.store import CREW_KINDS, KINDS, Store


def points(store: Store, job: str) -> list[str]:
    return [thing.body["point"] for thing in store.job(job).shots if not thing.struck]


def test_a_batch_is_kept_and_seen(store: Store, job: str) -> None:
    batch = [shot(job, f"X{n}", seq=n) for n in (1, 2, 3)]
    kept = store.keep(batch, allowed=CREW_KINDS)
    assert kept.have == tuple(one.id for one in batch)
    assert kept.tray == ()
    assert store.version(job) == 4
    assert points(store, job)[-3:] == ["X1", "X2", "X3"]
    lines = store.job(job).folder_texts.shots_csv.splitlines()
    # The farm shop has no column for the grid; a quote inside a cell needs none around it.
    assert lines[-1] == "X3,3 ft,4 ft,1,4' 6 1/4\",floor,"
    assert store.job(job).trouble == ()
    assert store.differing() == ()


def test_the_same_again_is_one(store: Store, job: str) -> None:
    batch = [shot(job, f"X{n}", seq=n) for n in (1, 2)]
    first = store.keep(batch, allowed=CREW_KINDS)
    again = store.keep([*batch, *batch, shot(job, "X3", seq=3)], allowed=CREW_KINDS)
    assert first.have == tuple(one.id for one in batch)
    assert again.have[:2] == first.have
    assert again.tray == ()
    assert points(store, job)[-3:] == ["X1", "X2", "X3"]
    assert store.version(job) == 4


def test_the_same_number_with_other_content_is_kept_beside(store: Store, job: str) -> None:
    one = shot(job, seq=1)
    other = replace(one, body=cells("X1", reading="4' 7\""))
    store.keep([one], allowed=CREW_KINDS)
    for _ in range(2):
        answer = store.keep([other], allowed=CREW_KINDS)
        assert [entry.code for entry in answer.tray] == ["entry-id-twice"]
    (entry,) = store.tray(job)
    assert entry.event == other
    assert [kept.event for kept in store.events(job, since=1)] == [one]
    assert store.job_line(job).in_tray == 1


def test_one_bad_event_does_not_hold_up_the_others(store: Store, job: str) -> None:
    good = [shot(job, f"X{n}", seq=n) for n in (1, 2, 4)]
    bad = shot(job, "X3", seq=3, reading="4 ft and a bit")
    answer = store.keep([*good[:2], bad, good[2]], allowed=CREW_KINDS)
    assert answer.have == tuple(one.id for one in good)
    assert [entry.id for entry in answer.tray] == [bad.id]
    assert store.job(job).trouble == ()
    assert store.tray()[0].event.body["reading"] == "4 ft and a bit"


NOT_EVENTS = {
    "id": {"id": "A" * 32},
    "short id": {"id": "a" * 31},
    "seq 0": {"seq": 0},
    "seq as text": {"seq": "1"},
    "seq true": {"seq": True},
    "kind": {"kind": "price-set"},
    "clock without zone": {"made_at": "2026-11-20T12:00:00"},
    "who": {"who": "x" * 500},
    "who with half a character": {"who": "\ud800"},
    "body a list": {"body": ["point"]},
    "more keys": {"body": {**cells("X1"), "price": "$1"}},
    "cell a number": {"body": {**cells("X1"), "reading": 4.5}},
    "zero character": {"body": cells("X\x001")},
    "half a character": {"body": cells("X\udc00")},
    "line end in a cell": {"body": cells("X1", note="a\nb")},
    "not a number": {"kind": "ticket-kept", "body": {"water": float("nan")}},
    "endless": {"kind": "ticket-kept", "body": {"water": float("inf")}},
    "deep": {"kind": "ticket-kept", "body": {"a": [[[[[[[[[[[[[[]]]]]]]]]]]]]]}},
    "long number": {"kind": "ticket-kept", "body": {"a": 10**5000}},
    "big": {"kind": "note-kept", "body": {"text": "x" * 70_000}},
    "wish from a finding": {
        "kind": "finding-kept",
        "body": {"path": ["wishes", "least_thickness"], "value": "1 in"},
    },
    "price from a finding": {
        "kind": "finding-kept",
        "body": {"path": ["door", 0, "move_cost"], "value": "$1"},
    },
    "no reading": {"body": cells("X1", reading="")},
    "unknown kind of shot": {"body": {**cells("X1"), "kind": "guess"}},
    "no place": {"body": {**cells("X1"), "x": "", "y": ""}},
    "beyond the tapes": {"body": {**cells("X1"), "x": "", "y": "", "grid": "Z99"}},
}


@pytest.mark.parametrize("wrong", NOT_EVENTS.values(), ids=NOT_EVENTS.keys())
def test_what_cannot_be_kept_lies_in_the_tray(
    store: Store, job: str, wrong: dict[str, object]
) -> None:
    before = store.job(job)
    bad = replace(shot(job, seq=1), **wrong)
    answer = store.keep([bad, shot(job, "X2", seq=2)], allowed=CREW_KINDS)
    assert len(answer.have) == 1
    assert [entry.id for entry in answer.tray] == [bad.id]
    assert answer.tray[0].why
    assert len(store.tray()) == 1
    assert len(store.job(job).things) == len(before.things) + 1
    assert store.differing() == ()


def test_the_crew_sends_no_wish_and_no_price(store: Store, job: str) -> None:
    for kind in sorted(KINDS - CREW_KINDS):
        body = {"path": ["wishes", "least_thickness"], "value": "1 in"}
        answer = store.keep([event(job, kind, body, seq=1)], allowed=CREW_KINDS)
        assert answer.have == ()
    assert store.version(job) == 1


def test_an_unknown_job_waits_in_the_tray_and_goes_in_when_the_job_is_here(store: Store) -> None:
    stranger = "c" * 32
    early = shot(stranger, seq=1)
    assert [one.code for one in store.keep([early]).tray] == ["job-unknown"]
    folder = sample_folder("thin-patio")
    texts = {
        name.replace(".", "_"): (folder / name).read_text(encoding="utf-8")
        for name in ("job.toml", "shots.csv", "rates.toml")
    }
    begun = event(stranger, "job-begun", {"name": "Patio", "texts": texts}, seq=1, device="d" * 32)
    tenths = replace(early, body=cells("X1", reading="4.52"))
    answer = store.keep([begun, replace(tenths, id="e" * 32), early])
    assert answer.have[0] == begun.id
    assert "e" * 32 in answer.have
    # Its rod is read in tenths: a reading in feet and inches still does not fit it.
    assert [one.id for one in answer.tray] == [early.id]
    again = store.keep([begun])
    assert again.have == (begun.id,)
    twice = store.keep([replace(begun, id="f" * 32)])
    assert [one.code for one in twice.tray] == ["job-begun-twice"]


def test_what_was_in_the_tray_and_goes_in_later_is_settled(store: Store, job: str) -> None:
    sha256 = "0" * 64
    early = event(job, "photo-added", {"sha256": sha256, "about": "crack", "at": None}, seq=1)
    assert [one.code for one in store.keep([early]).tray] == ["photo-not-there"]
    body = {**early.body, "sha256": store.put_photo(PNG)}
    late = replace(early, body=body)
    assert store.keep([late]).have == (late.id,)
    assert store.tray(job) == ()
    assert len(store.tray(job, settled=True)) == 1
    assert store.job_line(job).in_tray == 0


def test_corrections_leave_both_readable(store: Store, job: str) -> None:
    first = shot(job, "X1", seq=1)
    better = event(
        job, "shot-replaced", {"of": first.id, **cells("X1", reading="4' 6 1/2\"")}, seq=2
    )
    best = event(
        job, "shot-replaced", {"of": better.id, **cells("X1", reading="4' 6 3/8\"")}, seq=3
    )
    gone = shot(job, "X2", seq=4)
    struck = event(job, "shot-struck", {"of": gone.id}, seq=5)
    store.keep([first, better, best, gone, struck], allowed=CREW_KINDS)
    thing = next(one for one in store.job(job).shots if one.id == first.id)
    assert thing.event == best.id
    assert [old["reading"] for old in thing.was] == ["4' 6 1/4\"", "4' 6 1/2\""]
    text = store.job(job).folder_texts.shots_csv
    assert text.splitlines()[-4:] == [
        "# was: X1,3 ft,4 ft,1,4' 6 1/4\",floor,",
        "# was: X1,3 ft,4 ft,1,4' 6 1/2\",floor,",
        "X1,3 ft,4 ft,1,4' 6 3/8\",floor,",
        "# struck: X2,3 ft,4 ft,1,4' 6 1/4\",floor,",
    ]
    assert store.job(job).trouble == ()


def test_a_line_of_the_file_is_a_shot_like_any_other(store: Store, job: str) -> None:
    a5 = next(one for one in store.job(job).shots if one.body["point"] == "A5")
    body = {**a5.body, "reading": "4' 5 5/8\""}
    store.change(job, based_on=1, kind="shot-replaced", body={"of": a5.id, **body}, who="office")
    before = (sample_folder("farm-shop") / "shots.csv").read_text(encoding="utf-8").splitlines()
    after = store.job(job).folder_texts.shots_csv.splitlines()
    assert [line for line in after if line not in before] == [
        "# was: A5,,,1,4' 5 9/16\",floor,",
        "A5,,,1,4' 5 5/8\",floor,",
    ]
    assert [line for line in before if line not in after] == ["A5,,,1,4' 5 9/16\",floor,"]


def test_order_of_arrival_loses_nothing(store: Store, job: str) -> None:
    """A correction that overtakes its shot waits for it; a phone's own order is kept."""
    first = shot(job, "X1", seq=1)
    second = shot(job, "X2", seq=2)
    better = event(job, "shot-replaced", {"of": first.id, **cells("X1", x="9 ft")}, seq=3)
    others = [shot(job, f"P{n}", seq=n, device=OTHER_PHONE) for n in (1, 2)]
    store.keep([better, others[0]], allowed=CREW_KINDS)
    assert [one.event for one in store.job(job).skipped] == [better.id]
    store.keep([second, others[1], first], allowed=CREW_KINDS)
    assert store.job(job).skipped == ()
    # The phone's places in the row are filled in the order it typed.
    assert points(store, job)[-4:] == ["X1", "P1", "X2", "P2"]
    assert next(one for one in store.job(job).shots if one.id == first.id).body["x"] == "9 ft"
    assert store.differing() == ()


def test_what_is_missing_from_a_phone_is_told(store: Store, job: str) -> None:
    late = "2026-11-20T12:00:00-11:30"
    store.keep([shot(job, f"X{n}", seq=n, made_at=late) for n in (1, 2, 5)], allowed=CREW_KINDS)
    line = next(one for one in store.devices(job) if one.device == PHONE)
    assert (line.arrived, line.last_seq, line.missing) == (3, 5, (3, 4))
    assert line.skew_s is not None
    assert abs(line.skew_s) > 3600


@pytest.mark.parametrize(
    "made_at",
    ["1970-01-01T00:00:00Z", "2026-11-21T14:00:00+00:00", "2026-10-25T02:30:00.5+02:00"],
    ids=["1970", "a day ahead", "the hour that comes twice"],
)
def test_no_clock_decides_anything(store: Store, job: str, made_at: str) -> None:
    store.keep(
        [shot(job, "X1", seq=1), shot(job, "X2", seq=2, made_at=made_at), shot(job, "X3", seq=3)]
    )
    assert points(store, job)[-3:] == ["X1", "X2", "X3"]


def test_a_phone_undoes_its_own_and_no_other(store: Store, job: str) -> None:
    mine, theirs = shot(job, "X1", seq=1), shot(job, "P1", seq=1, device=OTHER_PHONE)
    store.keep([mine, theirs], allowed=CREW_KINDS)
    answer = store.keep(
        [
            event(job, "undone", {"of": theirs.id}, seq=2),
            event(job, "undone", {"of": mine.id}, seq=3),
        ],
        allowed=CREW_KINDS,
    )
    assert [one.code for one in answer.tray] == ["entry-of-others"]
    assert points(store, job)[-1] == "P1"
    assert "X1" not in points(store, job)
    assert store.differing() == ()


def test_a_finding_goes_into_the_job(store: Store, job: str) -> None:
    hollow = {
        "name": "hollow at the lift",
        "corners": [["26 ft", "12 ft"], ["28 ft", "12 ft"], ["28 ft", "14 ft"]],
        "found_by": "hammer",
    }
    body = {"words": "sounds hollow", "path": ["hollow", "+"], "value": hollow}
    store.keep([event(job, "finding-kept", body, seq=1)], allowed=CREW_KINDS)
    seen = store.job(job)
    assert 'name = "hollow at the lift"' in seen.folder_texts.job_toml
    assert seen.trouble == ()
    assert [one.body["words"] for one in seen.things if one.kind == "finding"] == ["sounds hollow"]


def test_tickets_notes_and_findings_are_things(store: Store, job: str) -> None:
    batch = [
        event(job, "ticket-kept", {"truck": "7", "water": "3 gal", "slump": "4 in"}, seq=1),
        event(job, "note-kept", {"text": "door frame\nis loose"}, seq=2),
    ]
    store.keep(batch, allowed=CREW_KINDS)
    things = [one for one in store.job(job).things if one.kind != "shot"]
    assert [(one.kind, one.body) for one in things] == [
        ("ticket", batch[0].body),
        ("note", batch[1].body),
    ]


def test_everything_is_there_after_closing(place: Place) -> None:
    with place.open() as store:
        job = store.import_folder(sample_folder("farm-shop"), who="office", sample=True)
        store.keep([shot(job, seq=1), event(job, "undone", {"of": "9" * 32}, seq=3)])
        seen, line, tray = store.job(job), store.job_line(job), store.tray()
    with place.open() as store:
        assert store.job(job) == seen
        assert store.jobs() == (line,)
        assert store.tray() == tray
        # The next event leans on what was remembered, not on what a process had in mind.
        late = shot(job, "X2", seq=2)
        store.keep([late])
        assert points(store, job)[-2:] == ["X1", "X2"]
        assert store.differing() == ()


def test_a_sample_leaves_no_trace(store: Store, job: str) -> None:
    sample = store.import_folder(sample_folder("thin-patio"), who="office", sample=True)
    store.keep([shot(sample, seq=1, reading="unreadable")])
    with pytest.raises(Faulty, match="real job"):
        store.remove_sample(job)
    store.remove_sample(sample)
    assert [line.id for line in store.jobs()] == [job]
    assert store.events(sample) == ()
    assert store.tray(settled=True) == ()
    with pytest.raises(Faulty, match="no job with this number"):
        store.job(sample)


def test_the_list_is_paged_and_searched(store: Store) -> None:
    for name in ("Barn 100%", "Barn 1000", "shop_floor", "shopXfloor"):
        store.begin(name, who="office")
    assert {line.name for line in store.jobs(containing="100%")} == {"Barn 100%"}
    assert {line.name for line in store.jobs(containing="shop_")} == {"shop_floor"}
    assert {line.name for line in store.jobs(containing="BARN")} == {"Barn 100%", "Barn 1000"}
    paged = [store.jobs(limit=2, offset=n)[0].name for n in (0, 2)]
    assert len({*paged}) == 2
    assert len(store.jobs()) == 4
