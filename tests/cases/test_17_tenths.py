"""Case 17: a rod read in tenths by a crew that thinks in inches. One lock for the whole survey."""

from __future__ import annotations

import pytest
from case_jobs import FOOT_M, INCH_M, read_again, rooms_to
from make_cases import tenths

from overslab.ground.faults import Faulty
from overslab.ground.units import Units, read_rod_m, write_length


def test_the_lock_is_kept_with_the_heights() -> None:
    found = rooms_to(17, "shots").shots
    assert found is not None
    assert found.convention == "tenths"
    assert found.suspects == ()


def test_4_11_and_4_dash_11_are_two_readings() -> None:
    assert read_rod_m("4.11", system="tenths") == pytest.approx(4.11 * FOOT_M)
    assert read_rod_m("4-11", system="feet-inches") == pytest.approx((4 + 11 / 12) * FOOT_M)


def test_the_other_way_of_writing_is_refused_with_both_meanings() -> None:
    texts = tenths()
    line = next(row for row in texts["shots.csv"].splitlines() if row.startswith("G6-6"))
    wrong = line.replace("4.36 ft", "4-11")
    assert wrong != line
    with pytest.raises(Faulty) as caught:
        read_again({**texts, "shots.csv": texts["shots.csv"].replace(line, wrong)})
    (fault,) = caught.value.faults
    assert fault.place.startswith("shots.csv line ")
    assert "4.11 ft or 4 ft 11 in" in fault.what
    assert "4.917 ft" in fault.remedy
    assert "one rod convention" in fault.remedy


@pytest.mark.parametrize(
    ("inches", "written"),
    [
        (11.99, "1' 0\""),  # not 16/16, not 0' 12"
        (23.98, "2' 0\""),
        (-0.5, '-1/2"'),  # the sign stays
        (-13.5, "-1' 1 1/2\""),  # feet and inches below nothing together
    ],
)
def test_traps_of_feet_and_inches(inches: float, written: str) -> None:
    assert write_length(inches * INCH_M, Units("feet-inches", INCH_M / 16)) == written
