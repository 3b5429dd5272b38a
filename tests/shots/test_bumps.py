"""A knocked laser: which shots came after, and when a shift may be offered."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from field_campaigns import campaign, text_of
from test_reduce import book, heights_of

from overslab.shots import reduce


def moved(survey, *, after, shift_m, setup="1"):
    """Every reading of the set-up behind a line grows by the shift."""
    readings = []
    for reading in survey.readings:
        if reading.setup == setup and reading.line > after:
            typed, value = text_of(reading.reading_m + shift_m, survey.convention)
            readings.append(replace(reading, typed=typed, reading_m=value))
        else:
            readings.append(reading)
    return replace(survey, readings=tuple(readings))


def mark_lines(survey):
    return [r.line for r in survey.readings if r.kind in ("benchmark", "check")]


@pytest.mark.parametrize("marks", [("BM",), ("BM", "BM2")])
@pytest.mark.parametrize("shift_m", [0.009, -0.0127])
def test_a_move_is_found_between_the_right_checks(marks, shift_m):
    found = offered = 0
    for seed in range(40):
        survey = campaign(seed=seed, marks=marks).survey
        checks = mark_lines(survey)
        # Anywhere from after the first checks to before the last ones.
        after = int(np.random.default_rng(seed).integers(len(marks) + 1, checks[-len(marks)] - 1))
        bumps = reduce(moved(survey, after=after, shift_m=shift_m)).bumps
        right = (
            len(bumps) == 1
            and bumps[0].last_good_line == max(line for line in checks if line <= after)
            and set(range(after + 1, survey.readings[-1].line + 1)) <= set(bumps[0].lines_after)
            and abs(bumps[0].shift_m - shift_m) < 0.004
        )
        found += right
        offered += right and bumps[0].may_shift
    assert found >= 37
    # One benchmark alone never offers a shift; two that agree do.
    assert offered == 0 if len(marks) == 1 else offered >= 36


def test_no_move_is_seen_where_there_was_none():
    alarms = sum(
        bool(reduce(campaign(seed=seed, setups=1 + seed % 2).survey).bumps) for seed in range(80)
    )
    assert alarms <= 2


def test_nothing_is_shifted_by_itself():
    """The heights are those of plain least squares over all the readings."""
    lines = [("BM", "1", 1.250, "benchmark"), ("BM2", "1", 1.350, "benchmark")]
    lines += [(f"A{i}", "1", 1.500, "floor", (float(i), 0.0)) for i in range(3)]
    lines += [("BM", "1", 1.270, "check"), ("BM2", "1", 1.370, "check")]
    heights = reduce(book(*lines, benchmarks=(("BM", 100.0), ("BM2", 99.9))))
    (bump,) = heights.bumps
    assert bump.may_shift
    assert set(bump.benchmarks) == {"BM", "BM2"}
    assert bump.shift_m == pytest.approx(0.020)
    assert bump.last_good_line == 3
    assert bump.lines_after == (4, 5, 6, 7, 8)
    assert heights_of(heights)["A0"] == pytest.approx(100.0 + 1.260 - 1.500)
    assert any(r.weight == "ask" and r.text == bump.says for r in heights.remarks)


def test_two_marks_that_disagree_on_the_shift_mean_a_tilt():
    lines = [("BM", "1", 1.250, "benchmark"), ("BM2", "1", 1.350, "benchmark")]
    lines += [("A1", "1", 1.500, "floor", (0.0, 0.0))]
    lines += [("BM", "1", 1.270, "check"), ("BM2", "1", 1.390, "check")]
    (bump,) = reduce(book(*lines, benchmarks=(("BM", 100.0), ("BM2", 99.9)))).bumps
    assert not bump.may_shift
    assert "tilted" in bump.says


@pytest.mark.parametrize(("second_m", "may"), [(1.370, True), (1.350, False)])
def test_second_benchmark_shot_only_afterwards_speaks_by_its_height(second_m, may):
    lines = [("BM", "1", 1.250, "benchmark"), ("A1", "1", 1.500, "floor", (0.0, 0.0))]
    lines += [("BM", "1", 1.270, "check"), ("BM2", "1", second_m, "benchmark")]
    (bump,) = reduce(book(*lines, benchmarks=(("BM", 100.0), ("BM2", 99.9)))).bumps
    assert bump.may_shift is may


def test_a_tied_point_may_be_the_second_witness():
    lines = [("BM", "1", 1.250, "benchmark"), ("NAIL", "1", 1.100, "check")]
    lines += [("A1", "1", 1.500, "floor", (0.0, 0.0))]
    lines += [("BM", "1", 1.262, "check"), ("NAIL", "1", 1.112, "check")]
    (bump,) = reduce(book(*lines)).bumps
    assert bump.may_shift
    assert set(bump.benchmarks) == {"BM", "NAIL"}


def test_a_check_misread_in_the_middle_is_no_move():
    lines = [("BM", "1", 1.250, "benchmark"), ("A1", "1", 1.500, "floor", (0.0, 0.0))]
    lines += [("BM", "1", 1.350, "check"), ("A2", "1", 1.500, "floor", (1.0, 0.0))]
    lines += [("BM", "1", 1.251, "check")]
    heights = reduce(book(*lines))
    assert heights.bumps == ()
    (suspect,) = heights.suspects
    assert (suspect.line, suspect.how, suspect.slip) == (4, "check shot", "a decimetre")


def test_a_lone_last_check_off_by_a_slip_is_told_both_ways():
    lines = [("BM", "1", 1.250, "benchmark"), ("A1", "1", 1.500, "floor", (0.0, 0.0))]
    lines += [("BM", "1", 1.251, "check"), ("A2", "1", 1.500, "floor", (1.0, 0.0))]
    lines += [("BM", "1", 1.350, "check")]
    heights = reduce(book(*lines))
    (bump,) = heights.bumps
    assert bump.last_good_line == 4
    assert "line 6 may itself be misread" in bump.says
    assert [(s.line, s.how) for s in heights.suspects] == [(6, "check shot")]


def test_one_floor_point_shot_twice_says_nothing_about_the_laser():
    lines = [("BM", "1", 1.250, "benchmark"), ("A1", "1", 1.500, "floor", (0.0, 0.0))]
    lines += [("A2", "1", 1.500, "floor", (1.0, 0.0)), ("A1", "1", 1.600, "floor", (0.0, 0.0))]
    heights = reduce(book(*lines))
    assert heights.bumps == ()
    assert {suspect.line for suspect in heights.suspects} == {3, 5}


def test_two_moves_in_one_setup_are_both_told():
    survey = campaign(seed=11, check_every=8).survey
    checks = mark_lines(survey)
    twice = moved(survey, after=checks[2] + 2, shift_m=0.012)
    twice = moved(twice, after=checks[5] + 2, shift_m=-0.020)
    bumps = reduce(twice).bumps
    assert [bump.last_good_line for bump in bumps] == [checks[2], checks[5]]
    assert [bump.shift_m for bump in bumps] == pytest.approx([0.012, -0.020], abs=0.004)


def test_a_misread_floor_point_does_not_hide_a_move():
    lines = [("BM", "1", 1.250, "benchmark"), ("A1", "1", 1.500, "floor", (0.0, 0.0))]
    lines += [("A1", "1", 1.900, "floor", (0.0, 0.0)), ("BM", "1", 1.265, "check")]
    lines += [("A2", "1", 1.500, "floor", (1.0, 0.0)), ("BM", "1", 1.266, "check")]
    (bump,) = reduce(book(*lines)).bumps
    assert bump.last_good_line == 2
    assert bump.shift_m == pytest.approx(0.0155, abs=0.001)


def test_a_move_spoils_no_floor_shot():
    """Shots behind a move stand off those before it by the shift; they are not called misread."""
    named = 0
    for seed in range(15):
        survey = campaign(seed=seed, marks=("BM", "BM2")).survey
        heights = reduce(moved(survey, after=30, shift_m=0.05))
        assert len(heights.bumps) == 1
        named += len(heights.suspects)
    assert named <= 2
