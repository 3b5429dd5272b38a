"""Bad field books: each a clear fault, all of them at once, never a traceback."""

from __future__ import annotations

import contextlib
from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from test_reduce import book

from overslab.ground.faults import Faulty
from overslab.shots import Benchmark, Reading, Stand, TwoStandCheck, reduce
from overslab.shots import faults as kinds

BM = ("BM", "1", 1.25, "benchmark")
A1 = ("A1", "1", 1.5, "floor", (0.0, 0.0))
GOOD = book(BM, A1)


def codes(survey):
    with pytest.raises(Faulty) as caught:
        reduce(survey)
    for fault in caught.value.faults:
        told = str(fault)
        assert "{" not in told
        assert fault.remedy
        assert fault.limit
    return [fault.code for fault in caught.value.faults]


CASES = {
    "shots-none": replace(GOOD, readings=()),
    "shots-no-benchmark": replace(GOOD, benchmarks=()),
    "shots-benchmark-not-read": book(A1),
    "shots-benchmark-unknown": book(BM, ("BMX", "1", 1.2, "benchmark"), A1),
    "shots-benchmark-twice": book(BM, A1, benchmarks=(("BM", 1.0), ("BM", 2.0))),
    "shots-benchmark-height": book(BM, A1, benchmarks=(("BM", float("nan")),)),
    "shots-setup-not-tied": book(BM, A1, ("A2", "2", 1.5, "floor", (1.0, 0.0))),
    "shots-no-place": book(BM, A1, ("D1", "1", 1.5, "sill")),
    "shots-two-places": book(BM, A1, ("A1", "1", 1.5, "floor", (0.5, 0.0))),
    "shots-two-kinds": book(BM, A1, ("A1", "1", 1.5, "sill", (0.0, 0.0))),
    "shots-place-not-a-number": book(BM, A1, ("A2", "1", 1.5, "floor", (float("nan"), 0.0))),
    "shots-reading-not-a-number": book(BM, ("A1", "1", float("inf"), "floor", (0.0, 0.0))),
    "shots-no-floor": book(BM, ("D1", "1", 1.5, "sill", (0.0, 0.0))),
    "shots-no-name": book(BM, A1, (" ", "1", 1.5, "floor", (1.0, 0.0))),
    "shots-kind-unknown": book(BM, A1, ("A2", "1", 1.5, "roof", (1.0, 0.0))),
    "shots-rod": replace(GOOD, resolution_m=0.0),
    "shots-stand-twice": replace(GOOD, stands=(Stand("1", 0, 0), Stand("1", 1, 0))),
    "shots-two-stand-distances": replace(GOOD, two_stand=TwoStandCheck(1, 1, 1, 1, 5.0, 5.0)),
    "shots-convention": replace(GOOD, convention="cubits"),
    "shots-too-many": book(
        BM, *((f"P{i}", "1", 1.5, "floor", (float(i), 0.0)) for i in range(kinds.MOST_POINTS))
    ),
}


@pytest.mark.parametrize("code", CASES)
def test_each_fault_is_told_alone(code):
    assert codes(CASES[code]) == [code]


def test_every_declared_fault_has_a_case():
    declared = {value.code for value in vars(kinds).values() if isinstance(value, kinds.FaultKind)}
    assert declared == set(CASES)


def test_the_sound_book_has_none():
    assert len(reduce(GOOD).points) == 2


def test_every_setup_that_is_not_tied_is_named():
    survey = book(
        BM,
        A1,
        ("T1", "2", 1.5, "turn"),
        ("T1", "3", 1.5, "turn"),
        ("T9", "4", 1.5, "turn"),
    )
    with pytest.raises(Faulty) as caught:
        reduce(survey)
    told = [fault.what.split()[1] for fault in caught.value.faults]
    assert told == ["2", "3", "4"]


def test_all_faults_are_told_at_once_with_line_and_value():
    survey = book(
        BM,
        ("A1", "1", float("nan"), "floor", (0.0, 0.0)),
        ("A2", "1", 1.4, "floor"),
        ("A3", "1", 1.4, "floor", (1.0, 1.0)),
        ("A3", "1", 1.4, "floor", (2.0, 1.0)),
        ("Z", "7", 1.4, "floor", (3.0, 1.0)),
    )
    with pytest.raises(Faulty) as caught:
        reduce(survey)
    told = {fault.code: fault for fault in caught.value.faults}
    assert set(told) == {
        "shots-reading-not-a-number",
        "shots-no-place",
        "shots-two-places",
        "shots-setup-not-tied",
    }
    assert told["shots-two-places"].place == "shots.csv line 6"
    assert "2" in told["shots-two-places"].value


def test_a_place_given_once_serves_every_shot_of_the_point():
    heights = reduce(book(BM, A1, ("A1", "1", 1.502, "check")))
    assert (heights.points[1].x_m, heights.points[1].kind) == (0.0, "floor")


_NUMBERS = st.one_of(
    st.floats(), st.floats(-5, 5), st.sampled_from([0.0, 1.5, 1e300, -1e300, 5e-324])
)
_READINGS = st.builds(
    Reading,
    line=st.integers(1, 9),
    point=st.sampled_from(["BM", "BM2", "A", "B", "C", "", " ", "{x}"]),
    setup=st.sampled_from(["1", "2", ""]),
    reading_m=_NUMBERS,
    kind=st.sampled_from(["benchmark", "floor", "sill", "turn", "check", "asbuilt", "roof"]),
    x_m=st.none() | _NUMBERS,
    y_m=st.none() | _NUMBERS,
    note=st.just(""),
    typed=st.sampled_from(["", "1.5", "4-11", "{nonsense}"]),
)


@settings(max_examples=200)
@given(
    readings=st.lists(_READINGS, max_size=14),
    heights=st.lists(_NUMBERS, max_size=3),
    rod=st.tuples(_NUMBERS, _NUMBERS, _NUMBERS),
    convention=st.sampled_from(["metric", "tenths", "feet-inches", ""]),
)
def test_nothing_but_a_fault_ever_comes_of_garbage(readings, heights, rod, convention):
    survey = replace(
        GOOD,
        readings=tuple(readings),
        benchmarks=tuple(
            Benchmark(name, height, "")
            for name, height in zip(["BM", "BM2", "BM"], heights, strict=False)
        ),
        convention=convention,
        resolution_m=rod[0],
        rod_deviation_m=rod[1],
        laser_slope=rod[2],
    )
    with contextlib.suppress(Faulty):
        assert len(reduce(survey).points) > 0


@settings(max_examples=100)
@given(
    values=st.lists(st.floats(0, 5), min_size=2, max_size=30),
    places=st.lists(st.tuples(st.floats(0, 20), st.floats(0, 20)), min_size=30, max_size=30),
)
def test_any_sound_book_comes_through(values, places):
    lines = [("BM", "1", values[0], "benchmark")]
    lines += [(f"P{i}", "1", v, "floor", places[i]) for i, v in enumerate(values[1:])]
    heights = reduce(book(*lines, ("BM", "1", values[-1], "check")))
    assert len(heights.points) == len(values)
