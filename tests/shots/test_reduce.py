"""Whole surveys: heights, plus-or-minus, misclosures, remarks."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from field_campaigns import campaign, with_reading
from hypothesis import given, settings
from hypothesis import strategies as st

from overslab.shots import Benchmark, Reading, Stand, Survey, TwoStandCheck, reduce


def book(*lines, benchmarks=(("BM", 100.0),), **given_facts):
    """A metric survey from (point, set-up, reading, kind, place) lines."""
    readings = []
    for number, (point, setup, reading, kind, *place) in enumerate(lines):
        x_m, y_m = place[0] if place else (None, None)
        readings.append(
            Reading(number + 2, point, setup, reading, kind, x_m, y_m, "", f"{reading:.3f}")
        )
    facts = {
        "convention": "metric",
        "resolution_m": 0.001,
        "rod_deviation_m": 0.001,
        "laser_slope": 0.0,
    } | given_facts
    return Survey(
        readings=tuple(readings),
        benchmarks=tuple(Benchmark(name, height, "made up") for name, height in benchmarks),
        **facts,
    )


def heights_of(heights):
    return {point.point: point.height_m for point in heights.points}


# NPTEL course 105107122, Surveying, module 4, exercise Ex13-1 (metres).
BACK = (1.205, 0.125, 0.395, 0.880, 1.960, 2.595, 2.255, 2.305)
FORE = (1.860, 1.915, 2.615, 1.760, 0.920, 0.915, 0.515, 1.170)


def printed_page():
    names = ["BM", *(f"TP{i}" for i in range(1, 8)), "BM"]
    lines = []
    for setup, (back, fore) in enumerate(zip(BACK, FORE, strict=True)):
        kinds = ["turn" if name != "BM" else "benchmark" for name in names[setup : setup + 2]]
        lines.append((names[setup], str(setup + 1), back, kinds[0]))
        lines.append((names[setup + 1], str(setup + 1), fore, kinds[1]))
    lines.append(("F1", "1", 1.500, "floor", (1.0, 1.0)))
    return book(*lines, benchmarks=(("BM", 150.485),), allowed_per_setup_m=0.02)


def test_printed_loop_closes_as_printed_and_is_spread_by_setups():
    heights = reduce(printed_page())
    # Set-ups of like weight: least squares is the old rule c = M·i/n (check LV-05).
    spread = (149.8238, 148.0275, 145.8013, 144.9150, 145.9488, 147.6225, 149.3563)
    ours = [heights_of(heights)[f"TP{i}"] for i in range(1, 8)]
    assert ours == pytest.approx(spread, abs=0.0001)
    (loop,) = [check for check in heights.misclosures if "closes" in check.name]
    assert loop.found == pytest.approx(150.535 - 150.485, abs=1e-9)  # printed heights
    assert loop.allowed == pytest.approx(0.02 * np.sqrt(8))
    assert heights.redundancy == 1


def test_one_setup_by_hand():
    heights = reduce(
        book(
            ("BM", "1", 1.250, "benchmark"),
            ("A1", "1", 1.500, "floor", (0.0, 0.0)),
            ("A2", "1", 1.100, "floor", (1.0, 0.0)),
            ("BM", "1", 1.252, "check"),
        )
    )
    assert heights_of(heights) == pytest.approx({"BM": 100.0, "A1": 99.751, "A2": 100.151})
    (setup,) = heights.setups
    assert setup.instrument_m == pytest.approx(101.251)
    assert setup.benchmark_reading_m == pytest.approx(1.251)
    variance = 0.001**2 / 12 + 0.001**2
    # Two readings on the benchmark, one on the point; both points share the benchmark's error.
    assert heights.points[1].standard_error_m == pytest.approx(np.sqrt(1.5 * variance))
    assert heights.covariance_m2[1, 2] == pytest.approx(0.5 * variance)
    assert heights.covariance_m2[0] == pytest.approx(0.0)
    assert heights.variance_factor == pytest.approx(2 * 0.001**2 / variance)
    assert heights.misclosures[0].found == pytest.approx(0.002)


def test_beam_makes_long_sights_weigh_less_and_says_what_it_took():
    lines = (
        ("BM", "1", 1.250, "benchmark", (0.0, 0.0)),
        ("A1", "1", 1.500, "floor", (3.0, 4.0)),
        ("A2", "1", 1.500, "floor", (30.0, 40.0)),
    )
    near = reduce(book(*lines, laser_slope=1e-4, stands=(Stand("1", 0.0, 0.0),)))
    own = 0.001**2 / 12 + 0.001**2
    errors = [point.standard_error_m**2 for point in near.points[1:]]
    expected = [2 * own + (1e-4 * sight) ** 2 for sight in (5.0, 50.0)]
    assert errors == pytest.approx(expected)
    assert not any("laser" in assumption.about for assumption in near.assumptions)
    unknown = reduce(book(*lines, laser_slope=1e-4))
    assert any("place of the laser" in assumption.about for assumption in unknown.assumptions)
    off_plan = reduce(book(("BM", "1", 1.25, "benchmark"), *lines[1:], laser_slope=1e-4))
    assert any("sight to BM" in assumption.about for assumption in off_plan.assumptions)


@settings(max_examples=20)
@given(seed=st.integers(0, 10_000), lift=st.floats(-1000, 1000), setups=st.integers(1, 3))
def test_lifting_the_benchmark_lifts_every_height(seed, lift, setups):
    survey = campaign(seed=seed, columns=4, rows=3, setups=setups).survey
    marks = tuple(replace(mark, height_m=mark.height_m + lift) for mark in survey.benchmarks)
    low, high = reduce(survey), reduce(replace(survey, benchmarks=marks))
    shift = [b.height_m - a.height_m for a, b in zip(low.points, high.points, strict=True)]
    assert shift == pytest.approx([lift] * len(shift), abs=1e-8)
    assert low.covariance_m2 == pytest.approx(high.covariance_m2, abs=1e-15)
    assert [s.line for s in low.suspects] == [s.line for s in high.suspects]


@settings(max_examples=20)
@given(seed=st.integers(0, 10_000), lift=st.floats(0.001, 2.0))
def test_raising_the_laser_changes_nothing(seed, lift):
    survey = campaign(seed=seed, columns=4, rows=3).survey
    raised = tuple(replace(r, reading_m=r.reading_m + lift) for r in survey.readings)
    one, two = reduce(survey), reduce(replace(survey, readings=raised))
    assert heights_of(one) == pytest.approx(heights_of(two), abs=1e-9)


def test_standard_errors_are_honest_over_many_surveys():
    """Heights, and sums of heights by the full covariance, against the truth."""
    scores, sums = [], []
    for seed in range(120):
        made = campaign(seed=seed, columns=5, rows=4, setups=1 + seed % 3)
        heights = reduce(made.survey)
        truth = np.array([made.truth_m[point.point] for point in heights.points])
        found = np.array([point.height_m for point in heights.points])
        errors = np.array([point.standard_error_m for point in heights.points])
        free = errors > 0
        scores.extend((found - truth)[free] / errors[free])
        weight = free / free.sum()
        spread = np.sqrt(weight @ heights.covariance_m2 @ weight)
        sums.append(weight @ (found - truth) / spread)
        assert np.diag(heights.covariance_m2) == pytest.approx(errors**2)
    inside = np.mean(np.abs(scores) < 1.96)
    assert 0.93 < inside < 0.97
    # 120 means of whole floors: 95 of 100 within 1.96, binomial limits at 1 in 1000.
    assert 0.88 < np.mean(np.abs(sums) < 1.96) <= 1.0
    assert 0.75 < np.std(sums) < 1.25


def test_a_common_benchmark_error_makes_heights_err_together():
    heights = reduce(campaign(seed=3, columns=5, rows=4).survey)
    floor = heights.of_kind("floor")
    block = heights.covariance_m2[np.ix_(floor, floor)]
    off = block[~np.eye(len(floor), dtype=bool)]
    assert off.min() > 0
    assert np.linalg.eigvalsh(heights.covariance_m2).min() > -1e-15


def test_readings_at_one_place_under_two_names_are_two_points():
    heights = reduce(
        book(
            ("BM", "1", 1.250, "benchmark"),
            ("A1", "1", 1.500, "floor", (1.0, 1.0)),
            ("LOW", "1", 1.520, "floor", (1.0, 1.0)),
        )
    )
    assert [point.point for point in heights.points] == ["BM", "A1", "LOW"]


def test_new_top_and_old_floor_may_share_a_name():
    heights = reduce(
        book(
            ("BM", "1", 1.250, "benchmark"),
            ("A1", "1", 1.500, "floor", (1.0, 1.0)),
            ("BM", "2", 1.350, "benchmark"),
            ("A1", "2", 1.490, "asbuilt", (1.0, 1.0)),
        )
    )
    found = {(p.point, p.kind): p.height_m for p in heights.points}
    assert found["A1", "floor"] == pytest.approx(99.75)
    assert found["A1", "asbuilt"] == pytest.approx(99.86)


def test_thousands_of_shots_at_one_point():
    survey = campaign(seed=4).survey
    shot = survey.readings[5]
    rng = np.random.default_rng(1)
    noise = np.round(rng.normal(0.0, 0.0008, 4000) / 0.003175) * 0.003175
    many = tuple(
        replace(shot, line=1000 + i, reading_m=shot.reading_m + float(noise[i]), typed="")
        for i in range(4000)
    )
    heights = reduce(replace(survey, readings=survey.readings + many))
    assert heights.covariance_m2.shape == (len(heights.points),) * 2
    assert len(heights.points) == 57
    point = next(p for p in heights.points if p.point == shot.point)
    assert point.readings == 4001
    assert heights.suspects == ()


def test_second_benchmark_that_disagrees_is_told_with_its_misclosure():
    lines = (
        ("BM", "1", 1.250, "benchmark"),
        ("BM2", "1", 1.000, "benchmark"),
        ("A1", "1", 1.500, "floor", (1.0, 1.0)),
    )
    heights = reduce(book(*lines, benchmarks=(("BM", 100.0), ("BM2", 100.262))))
    (check,) = heights.misclosures
    assert check.found == pytest.approx(0.012)
    assert not check.passes
    assert any(r.weight == "ask" and check.name in r.text for r in heights.remarks)
    # Both are held: the height lies between their two answers.
    assert heights_of(heights)["A1"] == pytest.approx(99.756)
    agreed = reduce(book(*lines, benchmarks=(("BM", 100.0), ("BM2", 100.251))))
    assert agreed.misclosures[0].passes


def test_two_common_points_close_over_two_setups():
    lines = (
        ("BM", "1", 1.250, "benchmark"),
        ("T1", "1", 1.400, "turn"),
        ("T2", "1", 1.600, "turn"),
        ("T1", "2", 0.900, "turn"),
        ("T2", "2", 1.105, "turn"),
        ("A1", "2", 1.500, "floor", (1.0, 1.0)),
    )
    (check,) = reduce(book(*lines, allowed_per_setup_m=0.002)).misclosures
    assert check.found == pytest.approx(0.005)
    assert check.allowed == pytest.approx(0.002 * np.sqrt(2))
    assert "1 and 2" in check.name


def test_setups_behind_the_loop_do_not_count():
    """Set-ups 2 and 3 both hang on a point of set-up 1; the loop between them runs through two."""
    lines = (
        ("BM", "1", 1.250, "benchmark"),
        ("T1", "1", 1.400, "turn"),
        ("T1", "2", 0.900, "turn"),
        ("T1", "3", 1.900, "turn"),
        ("T2", "2", 1.000, "turn"),
        ("T2", "3", 2.004, "turn"),
        ("A1", "3", 1.500, "floor", (1.0, 1.0)),
    )
    heights = reduce(book(*lines, allowed_per_setup_m=0.002))
    (check,) = heights.misclosures
    assert check.found == pytest.approx(0.004)
    assert check.allowed == pytest.approx(0.002 * np.sqrt(2))
    assert "2 and 3" in check.name
    assert any("Set-up 1 hangs on one reading of BM" in r.text for r in heights.remarks)


def test_loop_through_three_setups_from_one_benchmark_to_another():
    lines = (
        ("BM", "1", 1.000, "benchmark"),
        ("T1", "1", 1.200, "turn"),
        ("T1", "2", 1.100, "turn"),
        ("T2", "2", 1.300, "turn"),
        ("T2", "3", 1.400, "turn"),
        ("BM2", "3", 1.000, "benchmark"),
        ("A1", "3", 1.500, "floor", (1.0, 1.0)),
    )
    heights = reduce(
        book(*lines, benchmarks=(("BM", 10.0), ("BM2", 10.006)), allowed_per_setup_m=0.004)
    )
    (check,) = heights.misclosures
    assert check.found == pytest.approx(0.006)
    assert check.allowed == pytest.approx(0.004 * np.sqrt(3))
    assert check.passes
    # The closing 6 mm is spread over six readings of like weight.
    assert heights_of(heights)["T1"] == pytest.approx(9.8 + 0.002)


@pytest.mark.parametrize(("near_b_m", "passes"), [(1.39, False), (1.3501, True)])
def test_two_stand_check(near_b_m, passes):
    # Two-peg question with pegs 80 m apart: 0.05 m in 100 m.
    check = TwoStandCheck(1.32, 1.56, 1.11, near_b_m, 10.0, 90.0)
    survey = book(
        ("BM", "1", 1.250, "benchmark"),
        ("A1", "1", 1.500, "floor", (0.0, 0.0)),
        ("A2", "1", 1.500, "floor", (30.0, 0.0)),
        two_stand=check,
    )
    heights = reduce(survey)
    assert heights.collimation is not None
    assert heights.collimation.passes is passes
    assert any("two-stand check fails" in r.text for r in heights.remarks) is not passes
    if not passes:
        assert heights.collimation.found == pytest.approx(0.0005)
        own = reduce(replace(survey, allowed_beam_slope=0.001))
        assert own.collimation is not None
        assert own.collimation.passes


def test_missing_check_shots_are_asked_for():
    made = campaign(seed=2, end_check=False)
    texts = [r.text for r in reduce(made.survey).remarks if r.weight == "ask"]
    assert any("the last check is missing" in text for text in texts)
    first = made.survey.readings[0]
    floor = tuple(r for r in made.survey.readings if r.kind == "floor")
    bare = reduce(replace(made.survey, readings=(first, *floor)))
    assert any("no point was shot twice" in r.text for r in bare.remarks)
    closed = reduce(campaign(seed=2).survey)
    assert not any("check is missing" in r.text for r in closed.remarks)


def test_long_stretches_without_a_check_are_noted():
    heights = reduce(campaign(seed=2, check_every=40).survey)
    assert any("about every 20 shots" in r.text for r in heights.remarks)


def test_scatter_beyond_what_was_claimed_is_told():
    made = campaign(seed=8, setups=2)
    rng = np.random.default_rng(0)
    loose = tuple(
        replace(r, reading_m=r.reading_m + 0.002 * rng.normal()) for r in made.survey.readings
    )
    again = tuple(
        replace(r, line=r.line + 500, reading_m=r.reading_m + 0.003 * rng.normal()) for r in loose
    )
    heights = reduce(replace(made.survey, readings=loose + again))
    assert heights.variance_factor > 1.5
    assert any("plus-or-minus of every height is too small" in r.text for r in heights.remarks)


def test_unread_benchmark_and_unused_stand_are_noted():
    survey = replace(
        book(("BM", "1", 1.25, "benchmark"), ("A1", "1", 1.5, "floor", (0.0, 0.0))),
        benchmarks=(Benchmark("BM", 1.0, ""), Benchmark("WALL", 2.0, "")),
        stands=(Stand("9", 0.0, 0.0),),
    )
    texts = [r.text for r in reduce(survey).remarks if r.weight == "note"]
    assert any("WALL" in text for text in texts)
    assert any("set-up 9" in text for text in texts)


def test_result_is_the_same_whatever_is_suspected():
    """A suspect is told, never removed: heights are those of all readings."""
    survey = campaign(seed=6).survey
    line = next(r for r in survey.readings if r.kind == "floor")
    spoiled = with_reading(survey, line.line, value_m=line.reading_m + 0.3048)
    clean, told = reduce(survey), reduce(spoiled)
    assert [s.line for s in told.suspects] == [line.line]
    before, after = heights_of(clean), heights_of(told)
    assert before[line.point] - after[line.point] == pytest.approx(0.3048, abs=0.002)


def test_every_working_computes_again():
    for working in reduce(campaign(seed=1, setups=2).survey).workings:
        assert working.recompute() == working.result.value
