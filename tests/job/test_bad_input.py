"""Bad input to the job folder: each a clear fault with its place, none a traceback."""

from __future__ import annotations

from pathlib import Path

import pytest
from small_job import JOB, RATES, SHOTS, PutDown

from overslab.ground.faults import Fault, Faulty
from overslab.job import copy_job, read_job, sample_folder, start_job
from overslab.job.faults import MOST_LISTED


def changed(text: str, old: str, new: str) -> str:
    assert old in text
    return text.replace(old, new, 1)


def job(old: str, new: str) -> dict[str, str | bytes | None]:
    return {"job.toml": changed(JOB, old, new)}


def more_job(text: str) -> dict[str, str | bytes | None]:
    return {"job.toml": JOB + "\n" + text}


def shots(old: str, new: str) -> dict[str, str | bytes | None]:
    return {"shots.csv": changed(SHOTS, old, new)}


def more_shots(*lines: str) -> dict[str, str | bytes | None]:
    return {"shots.csv": SHOTS + "\n".join(lines) + "\n"}


def rates(old: str, new: str) -> dict[str, str | bytes | None]:
    return {"rates.toml": changed(RATES, old, new)}


DOOR_ENDS = 'ends = [["5 ft", "0 ft"], ["15 ft", "0 ft"]]'
OUTLINE = '[["0 ft", "0 ft"], ["20 ft", "0 ft"], ["20 ft", "10 ft"], ["0 ft", "10 ft"]]'

# what was done: (files, code of the fault, what its place holds)
SPOILT: dict[str, tuple[dict[str, str | bytes | None], str, str]] = {
    "no job.toml": ({"job.toml": None}, "job-file-missing", "job.toml"),
    "no shots.csv": ({"shots.csv": None}, "job-file-missing", "shots.csv"),
    "no rates.toml": ({"rates.toml": None}, "job-file-missing", "rates.toml"),
    "empty job.toml": ({"job.toml": ""}, "job-file-empty", "job.toml"),
    "only comments": ({"job.toml": "# nothing\n\n"}, "job-file-empty", "job.toml"),
    "empty shots.csv": ({"shots.csv": ""}, "job-file-empty", "shots.csv"),
    "only a heading": (
        {"shots.csv": SHOTS.split("\n")[0] + "\n"},
        "fieldbook-none",
        "shots.csv",
    ),
    "10 MB of garbage": (
        {"shots.csv": b"\xf3\x01garbage!" * 1_000_000},
        "job-file-too-big",
        "shots.csv",
    ),
    "10 MB of job": ({"job.toml": b"x" * 10_000_000}, "job-file-too-big", "job.toml"),
    "NUL bytes": (
        {"shots.csv": SHOTS.replace("F3", "F\x00")},
        "job-file-not-text",
        "shots.csv line 6",
    ),
    "a picture": ({"rates.toml": b"\x89PNG\r\n\x1a\n\x00\x00"}, "job-file-encoding", "line 1"),
    "Latin-1": (
        {"shots.csv": (SHOTS + "F5,1 ft,5 ft,1,4' 4\",floor,caf\u00e9\n").encode("latin-1")},
        "job-file-encoding",
        "shots.csv line 8",
    ),
    "UTF-16": ({"shots.csv": SHOTS.encode("utf-16")}, "job-file-encoding", "shots.csv"),
    "broken TOML": (job('name = "Small bay"', 'name = "Small bay'), "toml-broken", "line 2"),
    "inch mark in quotes": (job('"1/4 in"', '"1/4""'), "toml-broken", "job.toml line 24"),
    "TOML never closed": (job("[floor]", "[floor"), "toml-broken", "job.toml line 17"),
    "key twice": (job("made_up = true", "made_up = true\nmade_up = true"), "toml-broken", "line 7"),
    "a day that is none": (job("2026-01-05", "2026-02-31"), "toml-broken", "job.toml"),
    "key missing": (job('set_to = "1/8 in"\n', ""), "key-missing", "wishes set_to"),
    "section missing": ({"job.toml": JOB.split("[wishes]")[0]}, "key-missing", "wishes"),
    "missing benchmark": (
        job('[[survey.benchmark]]\nname = "BM1"\nheight = "100 ft"\nwhere = "Nail"\n', ""),
        "key-missing",
        "benchmark",
    ),
    "key misspelt": (
        job("may_rise", "may_rais"),
        "key-unknown",
        "job.toml line 24, door 'door' may_rais",
    ),
    "number for text": (job('name = "Small bay"', "name = 7"), "key-wrong", "job.toml line 2"),
    "text for true": (job("made_up = true", 'made_up = "yes"'), "key-wrong", "line 6"),
    "unknown choice": (job('units = "feet-inches"', 'units = "feet"'), "key-wrong", "line 5"),
    "section for a list": (job("[[door]]", "[door]"), "key-wrong", "door"),
    "list for a section": (job("[wishes]", "[[wishes]]"), "key-wrong", "wishes"),
    "NaN thickness": (job('"3 in"', "nan"), "length-without-unit", "least_thickness"),
    "NaN in quotes": (job('"3 in"', '"nan"'), "units-unreadable", "least_thickness"),
    "length without unit": (job('"12 ft"', '"12"'), "length-without-unit", "straightedge"),
    "length as a number": (job('"12 ft"', "12"), "length-without-unit", "straightedge"),
    "thickness of nothing": (job('"3 in"', '"0 in"'), "length-sign", "least_thickness"),
    "negative rise": (
        job('may_rise = "1/4 in"', 'may_rise = "-1/4 in"'),
        "length-sign",
        "may_rise",
    ),
    "two corners": (
        job(OUTLINE, '[["0 ft", "0 ft"], ["20 ft", "0 ft"]]'),
        "key-wrong",
        "floor outline",
    ),
    "half a corner": (job('["20 ft", "10 ft"]', '["20 ft"]'), "key-wrong", "floor outline 3"),
    "crossing outline": (
        job(
            OUTLINE, '[["0 ft", "0 ft"], ["20 ft", "0 ft"], ["0 ft", "10 ft"], ["20 ft", "10 ft"]]'
        ),
        "plan-crosses-itself",
        "job.toml",
    ),
    "outline in miles": (
        job(OUTLINE, '[["0 ft", "0 ft"], ["9000 ft", "0 ft"], ["20 ft", "10 ft"]]'),
        "plan-too-large",
        "job.toml",
    ),
    "a unit mixed up": (
        job('["0 ft", "10 ft"]]', '["0 ft", "10 stone"]]'),
        "units-unreadable",
        "outline",
    ),
    "post outside": (
        more_job('[[post]]\nname = "post"\nat = ["30 ft", "5 ft"]\nsize = "6 in"'),
        "plan-hole-outside",
        "job.toml",
    ),
    "break that does not cross": (
        more_job(
            '[[break]]\nname = "crack"\nkind = "crack"\n'
            'line = [["10 ft", "0 ft"], ["10 ft", "6 ft"]]'
        ),
        "plan-break-does-not-cross",
        "job.toml",
    ),
    "pit outside": (
        more_job(
            '[[pit]]\nname = "pit"\n'
            'corners = [["18 ft", "2 ft"], ["25 ft", "2 ft"], ["18 ft", "5 ft"]]'
        ),
        "plan-feature-outside",
        "job.toml",
    ),
    "trench of no length": (
        more_job(
            '[[trench]]\nname = "t"\nline = [["5 ft", "5 ft"], ["5 ft", "5 ft"]]\nwidth = "1 ft"'
        ),
        "line-too-short",
        "trench 't'",
    ),
    "door not on the outline": (
        job(DOOR_ENDS, 'ends = [["5 ft", "2 ft"], ["15 ft", "2 ft"]]'),
        "door-off-outline",
        "door 'door'",
    ),
    "door across the floor": (
        job(DOOR_ENDS, 'ends = [["0 ft", "0 ft"], ["20 ft", "10 ft"]]'),
        "door-off-outline",
        "door 'door'",
    ),
    "door of no width": (
        job(DOOR_ENDS, 'ends = [["5 ft", "0 ft"], ["5 ft", "0 ft"]]'),
        "line-too-short",
        "door 'door'",
    ),
    "door past its edge": (
        job(DOOR_ENDS, 'edge = 1\noffset = "15 ft"\nwidth = "9 ft"'),
        "door-off-outline",
        "door 'door'",
    ),
    "door on no edge": (
        job(DOOR_ENDS, 'edge = 5\noffset = "1 ft"\nwidth = "9 ft"'),
        "edge-unknown",
        "door 'door' edge",
    ),
    "door without width": (
        job(DOOR_ENDS, 'edge = 1\noffset = "1 ft"'),
        "key-missing",
        "door 'door'",
    ),
    "door without a place": (job(DOOR_ENDS + "\n", ""), "give-one-of", "door 'door'"),
    "door with two places": (
        job(DOOR_ENDS, DOOR_ENDS + "\nedge = 1"),
        "give-one-of",
        "door 'door'",
    ),
    "open edge that is none": (
        job("outline =", "open_edges = [7]\noutline ="),
        "edge-unknown",
        "floor open_edges",
    ),
    "no outlet": (job('water_to = ["door"]', "water_to = []"), "outlet-missing", "water_to"),
    "outlet unknown": (job('["door"]', '["back door"]'), "outlet-unknown", "water_to"),
    "outlet buried": (
        {
            "job.toml": changed(JOB, '["door"]', '["drain"]')
            + '\n[[drain]]\nname = "drain"\nat = ["10 ft", "5 ft"]\nrim = "99 ft"\nplan = "bury"\n'
            "takes_water_today = false\n"
        },
        "outlet-unknown",
        "water_to",
    ),
    "drain outside": (
        more_job(
            '[[drain]]\nname = "d"\nat = ["1 ft", "50 ft"]\nrim = "99 ft"\nplan = "keep"\n'
            "takes_water_today = true"
        ),
        "touch-outside",
        "drain 'd' at",
    ),
    "zone outside": (
        more_job(
            '[[zone]]\nname = "z"\n'
            'corners = [["1 ft", "1 ft"], ["9 ft", "1 ft"], ["9 ft", "30 ft"]]'
        ),
        "touch-outside",
        "zone 'z'",
    ),
    "threshold turned round": (
        more_job(
            '[[threshold]]\nname = "t"\n'
            'ends = [["0 ft", "2 ft"], ["0 ft", "5 ft"]]\nsill = "shot S1"\n'
            'at_least_below = "2 in"\nat_most_below = "1 in"'
        ),
        "least-over-greatest",
        "threshold 't' at_least_below",
    ),
    "falls turned round": (
        job('least_fall = "1/8 in/ft"', 'least_fall = "6%"'),
        "least-over-greatest",
        "wishes least_fall",
    ),
    "thickness turned round": (
        job("straightedge", 'greatest_thickness = "2 in"\nstraightedge'),
        "least-over-greatest",
        "wishes least_thickness",
    ),
    "threshold in the open floor": (
        more_job(
            '[[threshold]]\nname = "t"\nends = [["4 ft", "5 ft"], ["8 ft", "5 ft"]]\n'
            'sill = "shot S1"\nat_least_below = "1 in"'
        ),
        "door-off-outline",
        "threshold 't'",
    ),
    "name twice": (
        more_job('[[post]]\nname = "door"\nat = ["10 ft", "5 ft"]\nsize = "6 in"'),
        "name-twice",
        "job.toml line 21, door 'door' name",
    ),
    "sill shot not taken": (job('"shot S1"', '"shot S9"'), "shot-unknown", "door 'door' sill"),
    "height in strange words": (job('"shot S1"', '"shot"'), "height-words", "door 'door' sill"),
    "moving without its reach": (
        job('may_rise = "1/4 in"', 'may_rise = "1/4 in"\nmove_cost = "$400"'),
        "key-missing",
        "door 'door'",
    ),
    "stand of no set-up": (
        more_job('[[survey.stand]]\nsetup = "7"\nat = ["1 ft", "1 ft"]'),
        "setup-unknown",
        "survey stand",
    ),
    "grid label without a grid": (
        more_job('[[post]]\nname = "p"\nat = "C4"\nsize = "6 in"'),
        "taped-grid-missing",
        "post 'p' at",
    ),
    "grid without spacing": (
        more_job('[taped_grid]\norigin = ["0 ft", "0 ft"]\nnumber_spacing = "5 ft"'),
        "give-one-of",
        "taped_grid",
    ),
    "bad mark": (
        job('units = "feet-inches"', 'units = "feet-inches"\nmark = "1/7 in"'),
        "units-inch-fraction",
        "job mark",
    ),
    "mark no rule has": (
        job('units = "feet-inches"', 'units = "feet-inches"\nmark = "2 in"'),
        "units-mark",
        "job mark",
    ),
    "sure of nothing": (
        job("straightedge", 'sure = "10%"\nstraightedge'),
        "length-sign",
        "wishes sure",
    ),
    "beam in strange words": (
        job("resolution", 'laser = "1/16 in"\nresolution'),
        "key-wrong",
        "survey laser",
    ),
    "price twice": (
        rates('price_per_yd3 = "$270"', 'price_per_yd3 = "$270"\nprice_per_m3 = "$350"'),
        "give-one-of",
        "concrete",
    ),
    "price missing": (rates('price_per_yd3 = "$270"', ""), "give-one-of", "concrete"),
    "price below zero": (rates('"$270"', '"-$270"'), "price-not-money", "concrete price_per_yd3"),
    "price as a number": (rates('"$270"', "270"), "key-wrong", "concrete price_per_yd3"),
    "truck of nothing": (rates('"10 yd3"', '"0 yd3"'), "length-sign", "truck full_load"),
    "rates with strange keys": (rates("[risk]", "[risks]"), "key-unknown", "risks"),
    "wrong column": (shots("reading", "rod"), "fieldbook-column-missing", "shots.csv line 1"),
    "extra column": (shots("note", "note,who"), "fieldbook-column-unknown", "shots.csv line 1"),
    "column twice": (shots("note", "x"), "fieldbook-column-twice", "shots.csv line 1"),
    "semicolons": (
        {"shots.csv": SHOTS.replace(",", ";")},
        "fieldbook-column-missing",
        "shots.csv line 1",
    ),
    "cell too many": (shots("4' 4\",floor,", "4' 4\",floor,a,b"), "fieldbook-row-cells", "line 4"),
    "quote never closed": (
        more_shots('F5,1 ft,5 ft,1,4\' 4",floor,"low'),
        "fieldbook-row-quote",
        "line 8",
    ),
    "no reading": (shots("4' 4 1/4\"", ""), "fieldbook-cell-empty", "shots.csv line 5"),
    "NaN reading": (shots("4' 4 1/4\"", "NaN"), "units-unreadable", "shots.csv line 5, reading"),
    "NaN place": (shots("19 ft,1 ft", "nan,1 ft"), "units-unreadable", "shots.csv line 5, x"),
    "bare place": (shots("19 ft,1 ft", "19,1 ft"), "length-without-unit", "shots.csv line 5, x"),
    "mixed rod": (
        shots("4' 4 1/4\"", "4.35"),
        "units-wrong-convention",
        "shots.csv line 5, reading",
    ),
    "metric among feet": (
        shots("4' 4 1/4\"", "1327 mm"),
        "units-wrong-convention",
        "line 5, reading",
    ),
    "unknown kind": (
        shots("4' 4 1/4\",floor", "4' 4 1/4\",flor"),
        "fieldbook-kind-unknown",
        "line 5",
    ),
    "no place": (shots("19 ft,1 ft", ","), "fieldbook-place-missing", "shots.csv line 5"),
    "half a place": (shots("19 ft,1 ft", "19 ft,"), "fieldbook-place-missing", "shots.csv line 5"),
    "point in two places": (
        more_shots("F1,1 ft,5 ft,1,4' 4\",floor,"),
        "fieldbook-point-moved",
        "shots.csv line 8",
    ),
    "label without a grid": (
        {"shots.csv": "point,grid,setup,reading,kind\nS1,A1,1,4' 0\",sill\nF1,B2,1,4' 0\",floor\n"},
        "taped-grid-missing",
        "shots.csv line 2",
    ),
    "thousands at one point": (
        more_shots(*["F1,1 ft,1 ft,1,4' 4\",floor,"] * 3000),
        "fieldbook-at-one-place",
        "shots.csv",
    ),
    "a scan": (
        more_shots(*[f"Q{n},{n % 240} in,{n % 113} in,1,4' 4\",floor," for n in range(6000)]),
        "fieldbook-too-many",
        "shots.csv",
    ),
    "a name without end": (
        more_shots(f"{'F' * 99},1 ft,5 ft,1,4' 4\",floor,"),
        "fieldbook-cell-long",
        "shots.csv line 8",
    ),
}


def found_in(folder: Path) -> tuple[Fault, ...]:
    before = {path: path.read_bytes() for path in folder.iterdir()}
    with pytest.raises(Faulty) as caught:
        read_job(folder)
    assert {path: path.read_bytes() for path in folder.iterdir()} == before, "something was written"
    return caught.value.faults


def test_the_small_job_is_good_before_it_is_spoilt(put_down: PutDown) -> None:
    assert len(read_job(put_down()).survey.readings) == 6


@pytest.mark.parametrize("what", SPOILT)
def test_a_spoilt_job_is_told(what: str, put_down: PutDown) -> None:
    files, code, place = SPOILT[what]
    faults = found_in(put_down(files))
    told = [fault for fault in faults if fault.code == code and place in fault.place]
    assert told, "\n".join(f"{fault.code} | {fault}" for fault in faults)
    for fault in faults:
        assert fault.place
        assert all((fault.what, fault.value, fault.limit, fault.remedy))
        assert "{" not in fault.what + fault.limit + fault.remedy
        assert len(str(fault)) < 1500


def test_every_fault_of_all_files_is_told_at_once(put_down: PutDown) -> None:
    folder = put_down(
        {
            "job.toml": changed(changed(JOB, '"3 in"', '"0"'), "may_rise", "may_rais"),
            "rates.toml": changed(RATES, '"$270"', '"lots"'),
        }
    )
    places = [fault.place for fault in found_in(folder)]
    assert any("least_thickness" in place for place in places)
    assert any("may_rais" in place for place in places)
    assert any("rates.toml" in place for place in places)


def test_a_flood_of_faults_is_counted_and_not_printed(put_down: PutDown) -> None:
    lines = [f"Q{n},{n} in,1 ft,1,wet,floor," for n in range(300)]
    faults = found_in(put_down(more_shots(*lines)))
    assert len(faults) == MOST_LISTED + 1
    assert faults[-1].code == "more-faults"
    assert str(300 - MOST_LISTED) in faults[-1].what


def test_no_folder(tmp_path: Path) -> None:
    with pytest.raises(Faulty) as caught:
        read_job(tmp_path / "nowhere")
    assert [fault.code for fault in caught.value.faults] == ["job-folder-missing"]


def test_a_file_that_is_a_folder(put_down: PutDown) -> None:
    folder = put_down({"shots.csv": None})
    (folder / "shots.csv").mkdir()
    with pytest.raises(Faulty) as caught:
        read_job(folder)
    assert [fault.code for fault in caught.value.faults] == ["job-file-unreadable"]


@pytest.mark.parametrize("there", ["job.toml", "shots.csv", "rates.toml"])
def test_nothing_is_written_over(there: str, tmp_path: Path) -> None:
    (tmp_path / there).write_text("mine")
    with pytest.raises(Faulty) as caught:
        start_job(tmp_path)
    assert [fault.code for fault in caught.value.faults] == ["would-overwrite"]
    assert there in caught.value.faults[0].value
    assert [path.name for path in tmp_path.iterdir()] == [there]
    assert (tmp_path / there).read_text() == "mine"


def test_a_job_is_not_put_onto_a_file(tmp_path: Path) -> None:
    (tmp_path / "taken").write_text("mine")
    with pytest.raises(Faulty):
        start_job(tmp_path / "taken")
    with pytest.raises(Faulty) as caught:
        start_job(tmp_path / "taken" / "below")
    assert [fault.code for fault in caught.value.faults] == ["cannot-write"]
    assert (tmp_path / "taken").read_text() == "mine"


def test_a_copy_that_breaks_off_leaves_nothing(tmp_path: Path) -> None:
    source = tmp_path / "source"
    source.mkdir()
    (source / "job.toml").write_text("only this one")
    with pytest.raises(Faulty) as caught:
        copy_job(source, tmp_path / "copy")
    assert [fault.code for fault in caught.value.faults] == ["cannot-write"]
    assert list((tmp_path / "copy").iterdir()) == []


def test_an_unknown_sample() -> None:
    with pytest.raises(Faulty) as caught:
        sample_folder("../secret")
    assert "farm-shop" in caught.value.faults[0].limit
