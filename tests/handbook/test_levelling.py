"""The chapter on levelling against print and against other routes."""

from __future__ import annotations

from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats

from overslab.handbook import adjustment, instrument, levelling
from overslab.handbook.working import known_formulas, show

CHAPTER = [
    entry
    for entry in known_formulas()
    if entry.chapter in ("levelling", "instrument", "adjustment")
]

# NPTEL course 105107122, Surveying, module 4, exercise Ex13-1 (metres), as printed. The seventh
# height stands as 149.450 in our copy of the print. That cannot follow from the printed readings
# (147.660 + 2.255 - 0.515 = 149.400), nor lead to the printed last height; the print itself was not
# at hand to tell a misprint from a slip in copying. It is left out of what is held to be printed.
START = 150.485
BACK = (1.205, 0.125, 0.395, 0.880, 1.960, 2.595, 2.255, 2.305)
FORE = (1.860, 1.915, 2.615, 1.760, 0.920, 0.915, 0.515, 1.170)
PRINTED = (149.830, 148.040, 145.820, 144.940, 145.980, 147.660, None, 150.535)


@pytest.mark.parametrize("entry", CHAPTER, ids=lambda entry: entry.name)
def test_worked_number_of_every_formula(entry):
    assert entry.function(**entry.example) == pytest.approx(entry.example_result, rel=1e-3)


@pytest.mark.parametrize("entry", CHAPTER, ids=lambda entry: entry.name)
def test_working_shows_and_computes_again(entry):
    value, working = show(entry.function, **entry.example)
    assert working.recompute() == value
    text = working.filled(lambda name, _: f"<{name}>")
    for term in (*working.inputs, working.result):
        assert f"<{term.name}>" in text


def page():
    heights = [START]
    for back, fore in zip(BACK, FORE, strict=True):
        instrument = levelling.height_of_instrument(
            benchmark_height_m=heights[-1], backsight_m=back
        )
        heights.append(levelling.height_from_reading(instrument_m=instrument, foresight_m=fore))
    return heights


def test_printed_page_of_a_level_book():
    for ours, printed in zip(page()[1:], PRINTED, strict=True):
        if printed is not None:
            assert ours == pytest.approx(printed, abs=0.0005)


def test_height_that_the_print_leaves_in_doubt_by_the_sums():
    assert page()[7] == pytest.approx(START + sum(BACK[:7]) - sum(FORE[:7]), abs=1e-9)


def test_page_check_of_the_printed_page():
    rise = levelling.page_check(backsights_m=sum(BACK), foresights_m=sum(FORE))
    assert rise == pytest.approx(PRINTED[-1] - START, abs=0.0005)


def test_misclosure_spread_by_setups():
    # Inputs from the printed page; spread recomputed by hand in check LV-05.
    spread = (149.8238, 148.0275, 145.8013, 144.9150, 145.9488, 147.6225, 149.3563, 150.4850)
    misclosure = START - page()[-1]
    ours = [
        height
        + levelling.correction_by_setups(misclosure_m=misclosure, setups_so_far=i, setups=len(BACK))
        for i, height in enumerate(page())
    ]
    assert ours[1:] == pytest.approx(spread, abs=0.0001)


def test_misclosure_spread_by_distance():
    # Level circuit of 30.500 km, inputs from print; corrected heights recomputed in check LV-06.
    raw = (783.213, 891.764, 843.195, 739.708, 702.956)
    run = (5.245, 11.271, 17.718, 21.964, 25.247)
    spread = (783.2550, 891.8542, 843.3367, 739.8837, 703.1580)
    ours = [
        height
        + levelling.correction_by_distance(
            misclosure_m=728.730 - 728.486, distance_so_far_m=distance, distance_m=30.500
        )
        for height, distance in zip(raw, run, strict=True)
    ]
    assert ours == pytest.approx(spread, abs=0.0001)


def test_two_peg_with_pegs_80_m_apart():
    # Printed: 0.05 m in 100 m, correct far reading 1.345, near 1.105.
    sights = {"distance_to_a_m": 10.0, "distance_to_b_m": 90.0}
    slope = instrument.two_stand_slope(
        middle_a_m=1.32, middle_b_m=1.56, near_a_m=1.11, near_b_m=1.39, **sights
    )
    assert slope * 100 == pytest.approx(0.05, abs=0.0005)
    far = instrument.level_reading(reading_m=1.39, beam_slope=slope, distance_m=90.0)
    near = instrument.level_reading(reading_m=1.11, beam_slope=slope, distance_m=10.0)
    assert (far, near) == pytest.approx((1.345, 1.105), abs=0.0005)


def test_two_peg_that_reads_low():
    # Inputs from print without an answer; recomputed: -0.030 m in 50 m.
    slope = instrument.two_stand_slope(
        middle_a_m=1.283,
        middle_b_m=0.860,
        near_a_m=1.612,
        near_b_m=1.219,
        distance_to_a_m=55.0,
        distance_to_b_m=5.0,
    )
    assert slope * 50 == pytest.approx(-0.030, abs=0.0005)


@given(
    tilt=st.floats(-1e-3, 1e-3),
    heights=st.tuples(st.floats(-2, 2), st.floats(-2, 2)),
    sights=st.tuples(st.floats(1, 100), st.floats(1, 100)).filter(lambda d: abs(d[0] - d[1]) > 1),
)
def test_two_peg_finds_any_tilt(tilt, heights, sights):
    a, b = (5.0 - height for height in heights)
    middle = 30.0 * tilt
    slope = instrument.two_stand_slope(
        middle_a_m=a + middle,
        middle_b_m=b + middle,
        near_a_m=a + tilt * sights[0],
        near_b_m=b + tilt * sights[1],
        distance_to_a_m=sights[0],
        distance_to_b_m=sights[1],
    )
    assert slope == pytest.approx(tilt, abs=1e-9)


def test_third_order_allowance():
    # FGCC 1984, third order, 10 km: 37.95 mm.
    assert levelling.allowable_third_order(loop_m=10_000) * 1000 == pytest.approx(37.95, abs=0.01)


def test_curvature_in_feet_and_in_metres_agree():
    # 0.0206 F² ft with F in thousands of feet is the same rule in the other unit.
    feet = 4000.0
    ours = instrument.curvature_and_refraction(distance_m=feet * 0.3048)
    assert ours == pytest.approx(0.0206 * (feet / 1000) ** 2 * 0.3048, rel=0.005)


@pytest.mark.parametrize(("step_in", "printed_in"), [(0.12, 0.0346), (1 / 16, 0.0180)])
def test_rounding_deviation(step_in, printed_in):
    assert instrument.rounding_deviation(step_m=step_in) == pytest.approx(printed_in, abs=1e-4)


def test_rounding_deviation_by_rounding_many_numbers():
    values = np.linspace(0.0, 7.0, 700_001)
    error = np.round(values) - values
    assert instrument.rounding_deviation(step_m=1.0) == pytest.approx(error.std(), rel=1e-3)


def test_beam_of_a_sixteenth_in_a_hundred_feet():
    # 10.74 seconds of arc; 0.01875 in at 30 ft.
    slope = instrument.beam_slope_from_error(error_m=0.0625, distance_m=1200.0)
    assert instrument.beam_angle(beam_slope=slope) == pytest.approx(10.74, abs=0.01)
    assert instrument.beam_error(beam_slope=slope, distance_m=360.0) == pytest.approx(
        0.01875, abs=1e-9
    )


def test_line_laser_manual():
    # Printed: 0.0024 in per ft, at 32 ft 5/64 in.
    off = instrument.beam_error(beam_slope=0.0024 / 12, distance_m=32 * 12)
    assert off == pytest.approx(5 / 64, abs=0.002)


def test_baarda():
    # W. Baarda 1968: 3.29 and 4.13.
    assert adjustment.baarda_critical(significance=0.001) == pytest.approx(3.29, abs=0.005)
    found = adjustment.baarda_noncentrality(significance=0.001, power=0.8)
    assert found == pytest.approx(4.13, abs=0.005)


@pytest.mark.parametrize(
    ("redundancy", "significance", "value"),
    [(3, 0.05, 1.6454), (5, 0.05, 1.8143), (10, 0.001, 2.6786)],
)
def test_tau(redundancy, significance, value):
    # Recomputed values of check BD-04.
    ours = adjustment.tau_critical(redundancy=redundancy, significance=significance)
    assert ours == pytest.approx(value, abs=0.0005)


@given(redundancy=st.integers(2, 400), significance=st.floats(0.001, 0.2))
def test_tau_stays_under_the_root_of_redundancy_and_nears_the_normal(redundancy, significance):
    tau = adjustment.tau_critical(redundancy=redundancy, significance=significance)
    assert 0 < tau < np.sqrt(redundancy)
    far = adjustment.tau_critical(redundancy=20_000, significance=significance)
    assert far == pytest.approx(adjustment.baarda_critical(significance=significance), abs=1e-3)


@pytest.mark.parametrize(("probability", "printed"), [(0.025, 0.408), (0.975, 1.602)])
def test_unit_weight_limits_at_five(probability, printed):
    ours = adjustment.unit_weight_limit(probability=probability, redundancy=5)
    assert ours == pytest.approx(printed, abs=0.0005)


@given(redundancy=st.integers(1, 2000), probability=st.floats(0.01, 0.995))
def test_unit_weight_limit_against_scipy(redundancy, probability):
    ours = adjustment.unit_weight_limit(probability=probability, redundancy=redundancy)
    other = np.sqrt(stats.chi2.ppf(probability, redundancy) / redundancy)
    assert ours == pytest.approx(other, rel=1e-6)


def test_least_slip_shrinks_as_a_reading_is_checked_better():
    least = [
        adjustment.least_detectable_slip(noncentrality=4.13, deviation_m=0.001, redundancy_number=r)
        for r in (0.1, 0.3, 0.5, 1.0)
    ]
    assert all(a > b for a, b in pairwise(least))
    assert least[-1] == pytest.approx(0.00413)


def test_reading_deviation_is_the_spread_of_made_up_readings():
    rng = np.random.default_rng(7)
    step, rod, slope, distance = 0.003, 0.0008, 5e-5, 20.0
    many = 400_000
    raw = 1.0 + rng.uniform(0, step, many)
    noise = rod * rng.normal(size=many) + slope * distance * rng.normal(size=many)
    read = np.round((raw) / step) * step + noise
    ours = instrument.reading_deviation(
        rounding_m=instrument.rounding_deviation(step_m=step),
        rod_deviation_m=rod,
        laser_slope=slope,
        distance_m=distance,
    )
    assert ours == pytest.approx((read - raw).std(), rel=0.01)
    near = instrument.height_deviation_one_setup(
        reading_m=rod, laser_slope=slope, distance_m=distance
    )
    assert near == pytest.approx((noise + rod * rng.normal(size=many)).std(), rel=0.01)


def test_reversal_cancels_the_true_reading():
    assert instrument.reversal_error(first_m=1.5 + 0.002, turned_m=1.5 - 0.002) == pytest.approx(
        0.002
    )


def test_allowance_grows_with_the_root_of_setups():
    one = levelling.allowable_by_setups(per_setup_m=0.0016, setups=1)
    assert one == 0.0016
    assert levelling.allowable_by_setups(per_setup_m=0.0016, setups=9) == pytest.approx(3 * one)
