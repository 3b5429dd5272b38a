"""Case 20: one shot mistyped by a foot. It is asked about while the rod still stands there."""

from __future__ import annotations

import pytest
from case_jobs import FOOT_M, read_again, rooms_to, yards
from make_cases import job, tenths_book

from overslab.handbook.volumes import cells_volume_m3
from overslab.shots import reduce


def test_the_neighbours_catch_it_and_nothing_is_deleted() -> None:
    found = rooms_to(20, "shots")
    assert found.shots is not None
    (suspect,) = found.shots.suspects
    assert suspect.point == "G12-12"
    assert suspect.reading_m == pytest.approx(5.38 * FOOT_M)
    assert suspect.slip == "a whole foot"
    assert suspect.suggested_m == pytest.approx(4.38 * FOOT_M)
    assert suspect.how == "neighbours"
    kept = {point.point: point for point in found.shots.points}["G12-12"]
    assert kept.height_m == pytest.approx((104 - 5.38) * FOOT_M, abs=1e-4)
    told = [remark for remark in found.shots.remarks if "G12-12" in remark.text]
    assert [remark.weight for remark in told] == ["ask"]
    assert "Is it right? It was left in." in told[0].text


@pytest.mark.parametrize(
    ("typed", "slip"),
    [
        ("3.38 ft", "a whole foot"),
        ("4.83 ft", "digits changed about"),  # 4.83 for 4.38
    ],
)
def test_other_slips_are_named(typed: str, slip: str) -> None:
    texts = job("Slip", tenths_book({"G12-12": typed}), story="A slip.")
    (suspect,) = reduce(read_again(texts).survey).suspects
    assert suspect.slip.startswith(slip)
    assert suspect.suggested_m == pytest.approx(4.38 * FOOT_M)


@pytest.mark.parametrize(("spacing_ft", "cost_yd3"), [(4, 0.59), (6, 1.33)])
def test_what_it_would_cost_if_missed(spacing_ft: float, cost_yd3: float) -> None:
    """A foot too deep at an inside node of the grid: a quarter of four cells each (RC)."""
    cell = (spacing_ft * FOOT_M) ** 2
    volume = cells_volume_m3(
        area_m2=4 * cell, cell_areas_m2=(cell,) * 4, cell_thicknesses_m=(FOOT_M / 4,) * 4
    )
    assert yards(volume) == pytest.approx(cost_yd3, abs=0.005)
