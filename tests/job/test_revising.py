"""Two versions of a job beside each other: what cancels, what is new, what nobody has touched."""

from __future__ import annotations

import sys
from dataclasses import replace
from functools import cache
from pathlib import Path

import pytest

sys.path.append(str(Path(__file__).resolve().parents[1] / "cases"))

from case_jobs import FOOT_M, INCH_M, YARD3_M3, read_again
from make_cases import door_changed

from overslab.job import as_json, walk
from overslab.job.records import FolderTexts, Walk
from overslab.job.revising import Revision, changed_facts, differences

LATER = 'sill = "100 ft 1/2 in"'


def texts(*changes: tuple[str, str, str]) -> FolderTexts:
    """Case 25 with lines changed: (file, old, new)."""
    made = door_changed()
    for file, old, new in changes:
        assert old in made[file]
        made[file] = made[file].replace(old, new)
    return FolderTexts(made["job.toml"], made["shots.csv"], made["rates.toml"])


EARLIER = ("job.toml", LATER, 'sill = "100 ft"')


@cache
def walked(*changes: tuple[str, str, str]) -> Walk:
    found = texts(*changes)
    return walk(
        read_again(
            {
                "job.toml": found.job_toml,
                "shots.csv": found.shots_csv,
                "rates.toml": found.rates_toml,
            }
        )
    )


def revised(before: tuple[str, str, str], *after: tuple[str, str, str]) -> Revision:
    return differences(walked(before), walked(*after), texts=(texts(before), texts(*after)))


def test_the_same_version_twice_differs_in_nothing() -> None:
    found = differences(walked(), walked(), texts=(texts(), texts()))
    assert found.is_nothing
    assert found.facts == ()
    assert found.volume is not None
    assert found.volume.difference_m3.mean == 0.0


def test_half_an_inch_at_the_door() -> None:
    """576 ft2 by 1/2 in: 24 ft3, 0.889 yd3; each thickness, and the floor at the door, 1/2 in more.

    The old floor is the same, however badly it is known: nothing of its doubt is in the difference.
    """
    found = revised(EARLIER)
    assert [(one.before, one.after) for one in found.facts] == [("100 ft", "100 ft 1/2 in")]
    assert "door" in found.facts[0].key
    volume = found.volume
    assert volume is not None
    assert volume.difference_m3.mean / YARD3_M3 == pytest.approx(576 / 24 / 27, abs=1e-3)
    assert volume.difference_m3.deviation == 0.0
    assert volume.before_m3.deviation > 0.0
    assert volume.by_floor_m3 == 0.0
    assert found.thickness is not None
    assert found.thickness.least_m == pytest.approx(INCH_M / 2, abs=1e-6)
    assert found.thickness.most_m == pytest.approx(INCH_M / 2, abs=1e-6)
    figures = {one.name: one.more for one in found.numbers}
    for name in ("thinnest place", "mean thickness", "thickest place"):
        assert figures[name] == pytest.approx(INCH_M / 2, abs=1e-6)
    (door,) = found.touches
    assert door.name == "door"
    assert door.before_m is not None
    assert door.after_m is not None
    assert door.after_m - door.before_m == pytest.approx(INCH_M / 2, abs=1e-6)
    assert found.thin_new == ()


def test_the_other_way_round_everything_turns_its_sign() -> None:
    there, back = revised(EARLIER), differences(walked(), walked(EARLIER))
    assert there.volume is not None
    assert back.volume is not None
    assert back.volume.difference_m3.mean == pytest.approx(-there.volume.difference_m3.mean)
    assert back.facts == ()  # no texts were given


def test_a_shot_taken_again_splits_the_difference() -> None:
    """All 25 floor shots 1/4 in lower on the rod, the same floor 1/4 in higher: 12 ft3 less.

    The top is held by the door and does not move: all of it corrects what was thought before.
    """
    floor = [line for line in texts().shots_csv.splitlines() if ",floor," in line]
    assert len(floor) == 25
    # The beam stands at 48 in and the floor at -4 in: 52 in on every rod, 51 3/4 in now.
    changes = tuple(("shots.csv", line, line.replace("4' 4\"", "4' 3 3/4\"")) for line in floor)
    found = differences(walked(), walked(*changes))
    volume = found.volume
    assert volume is not None
    assert volume.by_floor_m3 is not None
    assert volume.by_top_m3 is not None
    assert volume.by_floor_m3 == pytest.approx(-12 * FOOT_M**3, rel=0.01)
    assert volume.by_top_m3 == pytest.approx(0.0, abs=0.05 * FOOT_M**3)
    was, now = volume.before_m3.deviation, volume.after_m3.deviation
    assert volume.difference_m3.deviation**2 == pytest.approx(was**2 + now**2)
    assert any("old floor" in text for text in found.remarks)
    typed = changed_facts(texts(), texts(*changes))
    assert len(typed) == 25
    assert {one.file for one in typed} == {"shots.csv"}


def test_a_greater_least_thickness_shows_where_it_was_too_thin() -> None:
    """4 in at the door before; 4 1/4 in are asked now, and the door is up by 1/2 in."""
    now = ("job.toml", 'least_thickness = "3 in"', 'least_thickness = "4 1/4 in"')
    found = revised(EARLIER, now)
    assert found.thin_new == ()
    assert found.thin_gone
    # Thinner than 4 1/4 in: the first 2 ft from the door along 24 ft of wall, less half a mark.
    area = sum(spot.area_m2 for spot in found.thin_gone)
    assert area / FOOT_M**2 == pytest.approx(24 * (2 - 0.25), rel=0.1)
    assert found.thin_gone[0].thickness_m / INCH_M == pytest.approx(4.0, abs=0.05)
    assert [one.key for one in found.facts] == ["door > door > sill", "wishes > least_thickness"]


def test_a_rule_that_breaks_is_told_first() -> None:
    before, after = walked(EARLIER), walked()
    top = after.newtop.top
    assert top is not None
    rules = list(top.rules)
    broken = replace(rules[0].check, found=rules[0].check.allowed - 1, comparison="at least")
    rules[0] = replace(rules[0], check=broken)
    options = tuple(
        replace(one, rules=tuple(rules)) if one.kind == top.kind else one
        for one in after.newtop.options
    )
    changed = replace(after, newtop=replace(after.newtop, options=options))
    found = differences(before, changed)
    assert [one.now for one in found.checks] == ["fails"]
    assert found.checks[0].name == broken.name
    assert differences(changed, before).checks[0].now == "passes"


def test_typed_text_is_told_by_name_and_remarks_do_not_count() -> None:
    job = '[job]\nname = "a"\n[[door]]\nname = "west"\nsill = "1 ft"\n[[door]]\nname = "east"\n'
    other = '# a remark\n[[door]]\nname = "east"\nlevel = true\n[[door]]\nname = "west"\n'
    other += 'sill = "2 ft"\n[job]\nname = "a"\n'
    found = changed_facts(FolderTexts(job, "", ""), FolderTexts(other, "", ""))
    assert {(one.key, one.before, one.after) for one in found} == {
        ("door > west > sill", "1 ft", "2 ft"),
        ("door > east > level", None, "true"),
    }


def test_a_file_that_cannot_be_read_is_one_change() -> None:
    found = changed_facts(FolderTexts("[", "", ""), FolderTexts("a = 1", "", ""))
    assert [one.key for one in found] == ["the whole file"]


def test_shots_are_told_by_point_and_setup() -> None:
    head = "# book\npoint,x,y,setup,reading,kind,note\n"
    was = head + "A1,0,0,1,4-3,floor,\nA1,0,0,2,4-4,floor,\nBM1,,,1,4-0,benchmark,\n"
    now = head + "A1,0,0,1,4-3,floor,\nA1,0,0,2,4-5,floor,wet\n"
    found = changed_facts(FolderTexts("", was, ""), FolderTexts("", now, ""))
    assert [(one.key, one.after is None) for one in found] == [
        ("shot A1 of set-up 2", False),
        ("shot BM1 of set-up 1", True),
    ]
    assert "reading 4-5" in (found[0].after or "")


def test_it_can_be_told_as_json() -> None:
    told = as_json(revised(EARLIER))
    assert told["volume"]["difference_m3"]["deviation"] == 0.0
    assert told["thickness"]["most_m"] == pytest.approx(INCH_M / 2, abs=1e-6)
    assert "more_m" not in told["thickness"]
