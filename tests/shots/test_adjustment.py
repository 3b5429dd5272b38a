"""The adjustment against published networks and against dense least squares."""

from __future__ import annotations

from math import sqrt

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from overslab.shots.adjustment import adjust, snoop


def network(lines, *, known, deviations):
    """A net of measured rises: each line is a set-up with a back- and a foresight.

    A rise of deviation s is two readings of deviation s/√2; eliminating the height of instrument
    gives the line back exactly, so heights, their errors and vᵀWv must come out as published.
    """
    names = list(dict.fromkeys([*known, *(n for a, b, _ in lines for n in (a, b))]))
    setup_of, point_of, readings, sigma = [], [], [], []
    for setup, ((start, end, rise), deviation) in enumerate(zip(lines, deviations, strict=True)):
        for name, reading in ((start, rise), (end, 0.0)):
            setup_of.append(setup)
            point_of.append(names.index(name))
            readings.append(reading)
            sigma.append(deviation / sqrt(2))
    arguments = {
        "setup_of": np.array(setup_of),
        "point_of": np.array(point_of),
        "reading_m": np.array(readings),
        "deviation_m": np.array(sigma),
        "known_m": np.array([known.get(name, np.nan) for name in names]),
        "setups": len(lines),
    }
    return names, arguments


def line_values(fit):
    """Residuals (adjusted less measured) and redundancy numbers of the lines."""
    residual = -(fit.misfit_m[0::2] - fit.misfit_m[1::2])
    # A line's two readings share its redundancy: each is checked only by way of the other.
    number = fit.redundancy_number[0::2] + fit.redundancy_number[1::2]
    return residual, number


# C. Ghilani and P. Wolf, Adjustment Computations, 4th ed. 2006, section 12.6, example 12.1 (as
# quoted in a public survey test suite); figures in brackets in the checks are recomputed.
LS1 = [
    ("A", "B", 10.509),
    ("B", "C", 5.360),
    ("C", "D", -8.523),
    ("D", "A", -7.348),
    ("B", "D", -3.167),
    ("A", "C", 15.881),
]
LS1_DEVIATIONS = (0.006, 0.004, 0.005, 0.003, 0.004, 0.012)


def test_weighted_network_of_the_textbook():
    names, data = network(LS1, known={"A": 437.596}, deviations=LS1_DEVIATIONS)
    fit = adjust(**data)
    heights = dict(zip(names, fit.height_m, strict=True))
    # Printed heights.
    assert [heights[n] for n in "BCD"] == pytest.approx([448.1087, 453.4685, 444.9436], abs=6e-5)
    # Printed 1.26976 from rounded residuals; 1.27212 recomputed.
    assert fit.weighted_squares == pytest.approx(1.26976, abs=0.003)
    assert fit.weighted_squares == pytest.approx(1.27212, abs=2e-5)
    assert fit.redundancy == 3
    errors = 1000 * np.sqrt(fit.variance_m2)[1:]
    assert errors == pytest.approx([3.525, 4.048, 2.704], abs=0.001)
    unit = sqrt(fit.weighted_squares / fit.redundancy)
    assert errors * unit == pytest.approx([2.295, 2.636, 1.761], abs=0.001)
    residual, number = line_values(fit)
    assert 1000 * residual == pytest.approx([3.71, -0.24, -1.86, 0.39, 1.89, -8.53], abs=0.006)
    assert number == pytest.approx([0.6549, 0.3294, 0.5092, 0.1877, 0.4326, 0.8862], abs=6e-5)


# Network levelled both ways, sample output of GNU Gama 1.5.09; all deviations 5 mm.
LS2 = [
    ("1a", "4", -1.225),
    ("4", "3", -0.848),
    ("3", "2", 1.342),
    ("2", "1a", 0.720),
    ("1a", "2", -0.724),
    ("2", "3", -1.335),
    ("3", "4", 0.842),
    ("4", "1a", 1.231),
]


def snooped(data, *, critical):
    return snoop(
        fit=lambda use: adjust(**data, use=use),
        deviation_m=data["deviation_m"],
        critical=critical,
        most=20,
    )


def test_clean_published_network_raises_no_alarm():
    _, data = network(LS2, known={"1a": 1000.0}, deviations=[0.005] * 8)
    fit = adjust(**data)
    score = fit.misfit_m / (data["deviation_m"] * np.sqrt(fit.redundancy_number))
    assert np.abs(score).max() == pytest.approx(1.68, abs=0.005)  # printed
    assert int(np.argmax(np.abs(score))) // 2 == 5  # printed: the sixth line
    assert snooped(data, critical=1.96)[0] == ()


@pytest.mark.parametrize("bad", range(8))
def test_spoiled_line_of_the_published_network_is_the_one_found(bad):
    lines = list(LS2)
    start, end, rise = lines[bad]
    lines[bad] = (start, end, rise + 0.3048)
    _, data = network(lines, known={"1a": 1000.0}, deviations=[0.005] * 8)
    found, use = snooped(data, critical=3.29)
    assert [{i // 2 for i in outlier.readings} for outlier in found] == [{bad}]
    assert use.sum() == 15
    # The misfit is the slip, up to what the clean net left in that line.
    assert abs(found[0].misfit_m[0]) == pytest.approx(0.3048, abs=0.012)


def test_unweighted_network_with_two_benchmarks():
    # C. Ghilani, Adjustment Computations, chapter 12, opening example (from memory, recomputed).
    lines = [
        ("X", "A", 5.10),
        ("A", "Y", 2.34),
        ("Y", "C", -1.25),
        ("C", "X", -6.13),
        ("A", "B", -0.68),
        ("Y", "B", -3.00),
        ("B", "C", 1.70),
    ]
    names, data = network(lines, known={"X": 100.0, "Y": 107.5}, deviations=[1.0] * 7)
    fit = adjust(**data)
    heights = dict(zip(names, fit.height_m, strict=True))
    unit = sqrt(fit.weighted_squares / fit.redundancy)
    assert [heights[n] for n in "ABC"] == pytest.approx([105.141, 104.483, 106.188], abs=6e-4)
    assert unit == pytest.approx(0.050, abs=6e-4)
    errors = unit * np.sqrt(fit.variance_m2[[names.index(n) for n in "ABC"]])
    assert errors == pytest.approx([0.0309, 0.0328, 0.0309], abs=6e-5)


# J. Mahun, Least Squares Lite, chapters B and E.4; benchmark heights back-solved from print.
LS4_KNOWN = {"BMA": 806.52, "BMB": 818.32, "BMC": 820.12, "BMD": 824.04}
LS4 = [
    ("BMA", "Q", 8.91),
    ("BMB", "Q", -2.92),
    ("BMC", "Q", -4.67),
    ("BMD", "Q", -8.66),
    ("BMA", "R", -3.56),
    ("BMC", "R", -17.12),
    ("BMD", "R", -21.10),
    ("Q", "R", -12.47),
]
LS4_SETUPS = (3, 2, 1, 3, 3, 4, 2, 3)


def test_seven_lines_to_two_points():
    names, data = network(LS4[:7], known=LS4_KNOWN, deviations=[1.0] * 7)
    fit = adjust(**data)
    residual, _ = line_values(fit)
    printed = [-0.015, 0.015, -0.035, 0.035, 0.007, -0.033, 0.027]
    assert residual == pytest.approx(printed, abs=0.0005)
    assert fit.weighted_squares == pytest.approx(0.004767, abs=1e-6)
    assert fit.height_m[names.index("Q")] == pytest.approx(815.415, abs=0.0005)


def test_eight_lines_to_two_points():
    names, data = network(LS4, known=LS4_KNOWN, deviations=[1.0] * 8)
    fit = adjust(**data)
    q, r = names.index("Q"), names.index("R")
    assert fit.height_m[[q, r]] == pytest.approx([815.418, 802.962], abs=0.002)  # printed
    unit = sqrt(fit.weighted_squares / fit.redundancy)
    assert unit * np.sqrt(fit.variance_m2[[q, r]]) == pytest.approx([0.0133, 0.0149], abs=1e-4)


def test_scale_of_the_weights_does_not_matter():
    fits = []
    for scale in (1.0, 12.0):
        deviations = [sqrt(setups / scale) for setups in LS4_SETUPS]
        _, data = network(LS4, known=LS4_KNOWN, deviations=deviations)
        fits.append(adjust(**data))
    one, twelve = fits
    assert one.height_m == pytest.approx(twelve.height_m, abs=1e-9)
    unit = [sqrt(fit.weighted_squares / fit.redundancy) for fit in fits]
    assert unit[1] / unit[0] == pytest.approx(sqrt(12), rel=1e-9)
    posterior = [u * np.sqrt(fit.variance_m2) for u, fit in zip(unit, fits, strict=True)]
    assert posterior[0] == pytest.approx(posterior[1], abs=1e-9)


def dense(data, use=None):
    """The same problem as one dense matrix, solved by numpy's orthogonal route."""
    free = np.flatnonzero(np.isnan(data["known_m"]))
    column = {point: data["setups"] + place for place, point in enumerate(free)}
    rows = np.zeros((len(data["reading_m"]), data["setups"] + len(free)))
    wanted = data["reading_m"].copy()
    for i, (setup, point) in enumerate(zip(data["setup_of"], data["point_of"], strict=True)):
        rows[i, setup] = 1.0
        if point in column:
            rows[i, column[point]] = -1.0
        else:
            wanted[i] += data["known_m"][point]
    weight = 1.0 / data["deviation_m"]
    if use is not None:
        weight = np.where(use, weight, 0.0)
    solution, *_ = np.linalg.lstsq(rows * weight[:, None], wanted * weight, rcond=None)
    covariance = np.linalg.pinv(rows * weight[:, None])
    covariance = covariance @ covariance.T
    fitted = rows @ covariance @ rows.T
    return solution, covariance, wanted - rows @ solution, 1 - weight**2 * np.diag(fitted), free


@st.composite
def surveys(draw):
    """Any chain of set-ups, each tied to the one before, with repeats and side shots."""
    rng = np.random.default_rng(draw(st.integers(0, 2**32 - 1)))
    setups = draw(st.integers(1, 5))
    points = draw(st.integers(setups + 2, 14))
    known = np.full(points, np.nan)
    known[0] = rng.uniform(-50, 200)
    if draw(st.booleans()):
        known[1] = known[0] + rng.uniform(-1, 1)
    pairs = [(0, 0)]
    for setup in range(setups):
        if setup:
            pairs += [(setup - 1, setup + 1), (setup, setup + 1)]
        pairs += [(setup, int(p)) for p in rng.integers(0, points, size=draw(st.integers(1, 9)))]
    pairs += [(0, p) for p in range(points)]
    setup_of, point_of = np.array(pairs).T
    return {
        "setup_of": setup_of,
        "point_of": point_of,
        "reading_m": rng.uniform(0.2, 4.0, len(pairs)),
        "deviation_m": rng.uniform(0.5e-3, 3e-3, len(pairs)),
        "known_m": known,
        "setups": setups,
    }


@given(data=surveys())
def test_against_dense_least_squares(data):
    fit = adjust(**data)
    solution, covariance, misfit, number, free = dense(data)
    assert fit.instrument_m == pytest.approx(solution[: data["setups"]], abs=1e-8)
    assert fit.height_m[free] == pytest.approx(solution[data["setups"] :], abs=1e-8)
    assert fit.misfit_m == pytest.approx(misfit, abs=1e-8)
    assert fit.redundancy_number == pytest.approx(number, abs=1e-7)
    assert number.sum() == pytest.approx(fit.redundancy, abs=1e-6)
    full = np.zeros((len(data["known_m"]),) * 2)
    full[np.ix_(free, free)] = covariance[data["setups"] :, data["setups"] :]
    assert fit.covariance() == pytest.approx(full, abs=1e-11)
    assert fit.variance_m2 == pytest.approx(np.diag(full), abs=1e-11)
    assert fit.instrument_variance_m2 == pytest.approx(
        np.diag(covariance)[: data["setups"]], abs=1e-11
    )


@given(data=surveys())
def test_leaving_a_reading_out_moves_it_by_misfit_over_redundancy(data):
    fit = adjust(**data)
    worst = int(np.argmax(fit.redundancy_number))
    if fit.redundancy_number[worst] < 0.05:
        return
    use = np.ones(len(data["reading_m"]), dtype=bool)
    use[worst] = False
    without = adjust(**data, use=use)
    asked = (
        without.instrument_m[data["setup_of"][worst]] - without.height_m[data["point_of"][worst]]
    )
    expected = fit.misfit_m[worst] / fit.redundancy_number[worst]
    assert data["reading_m"][worst] - asked == pytest.approx(expected, abs=1e-7)
    assert without.redundancy == fit.redundancy - 1


def test_two_readings_that_only_check_each_other_are_told_together():
    data = {
        "setup_of": np.zeros(4, dtype=int),
        "point_of": np.array([0, 1, 2, 1]),
        "reading_m": np.array([1.0, 2.0, 2.2, 2.3048]),
        "deviation_m": np.full(4, 0.001),
        "known_m": np.array([100.0, np.nan, np.nan]),
        "setups": 1,
    }
    found, _ = snooped(data, critical=3.29)
    assert [set(outlier.readings) for outlier in found] == [{1, 3}]
    assert sorted(found[0].misfit_m) == pytest.approx([-0.3048, 0.3048])
