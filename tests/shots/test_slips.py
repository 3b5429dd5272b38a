"""Each slip by a worked case of the trade."""

from __future__ import annotations

import pytest

from overslab.ground.units import read_rod_m
from overslab.shots.slips import likely_slips


def slips(typed, true, convention, *, deviation_m=0.003, shifts=None):
    return likely_slips(
        reading_m=read_rod_m(typed, system=convention),
        typed=typed,
        convention=convention,
        fits_m=read_rod_m(true, system=convention),
        deviation_m=deviation_m,
        shift_to_setup_m=shifts or {},
    )


@pytest.mark.parametrize(
    ("typed", "true", "convention", "says"),
    [
        ("5.23", "4.23", "tenths", "a whole foot"),
        ("4.33", "4.23", "tenths", "tenths off by one"),
        ("4.32", "4.23", "tenths", "digits changed about: 4.32 for 4.23"),
        # Trade note: 4.5 booked where the rod said 4 ft 5 in, 4.4167 ft.
        ("4.50", "4.42", "tenths", "a tenth read as an inch"),
        # 4.11 in the book, 4 ft 11 in (4.9167 ft) on the rod.
        ("4.11", "4.92", "tenths", "decimals of a foot booked for feet and inches"),
        # 4-11 in the book, 4.11 ft (4 ft 1 5/16 in) on the rod.
        ("4-11", "4-1 5/16", "feet-inches", "feet and inches booked for decimals of a foot"),
        # 4-5 in the book, 4.5 ft on the rod.
        ("4-5", "4-6", "feet-inches", "inches booked for tenths of a foot"),
        ("5-4 3/8", "4-4 3/8", "feet-inches", "a whole foot"),
        ("4-7 1/4", "4-8 1/4", "feet-inches", "inches off by one"),
        ("6-3", "3-6", "feet-inches", "digits changed about: 6-3 for 3-6"),
        ("1.735", "1.635", "metric", "a decimetre"),
        ("2.635", "1.635", "metric", "a whole metre"),
        ("1.645", "1.635", "metric", "centimetres off by one"),
        ("1.365", "1.635", "metric", "digits changed about: 1.365 for 1.635"),
    ],
)
def test_named_slip(typed, true, convention, says):
    found = slips(typed, true, convention)
    assert says in " | ".join(slip.says for slip in found)
    wanted = next(slip for slip in found if says in slip.says)
    assert wanted.reading_m == pytest.approx(read_rod_m(true, system=convention), abs=0.002)


def test_best_slip_comes_first():
    found = slips("5.23", "4.23", "tenths", deviation_m=0.2)
    misses = [abs(slip.reading_m - read_rod_m("4.23", system="tenths")) for slip in found]
    assert misses == sorted(misses)
    assert found[0].says == "a whole foot"


def test_wrong_setup_by_the_difference_of_the_instruments():
    (slip,) = slips("1.500", "1.842", "metric", shifts={"2": 0.342, "3": -0.7})
    assert "set-up 2" in slip.says
    assert slip.reading_m == pytest.approx(1.842)


def test_a_misfit_no_slip_explains_has_no_name():
    assert slips("1.500", "1.537", "metric") == ()


def test_a_misfit_of_the_size_of_the_noise_has_no_name():
    # 7 mm off with 5 mm of noise: a centimetre would be within noise but explains too little.
    assert slips("1.507", "1.500", "metric", deviation_m=0.005) == ()


def test_feet_are_never_tried_on_a_metric_rod():
    assert slips("1.500", "1.805", "metric") == ()
