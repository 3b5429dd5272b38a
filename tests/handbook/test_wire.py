"""Welded wire: areas, weights, laps, chairs."""

from __future__ import annotations

import pytest
from as_printed import answer

from overslab.ground.faults import Faulty
from overslab.ground.units import to_customary
from overslab.handbook import wire
from overslab.handbook.limits import limits_for


@pytest.mark.parametrize("row", wire.WIRE_SHEETS.rows, ids=lambda row: row[0])
def test_x1_area_of_every_style(row):
    # PDH course S132, exact.
    spacing, number = row[0].split()
    got = answer(
        wire.wire_steel, wire_number=float(number[1:]), spacing_m=float(spacing.split("x")[0])
    )
    assert got == pytest.approx(row[2], abs=0.0005)


def test_area_of_a_style_that_is_not_in_the_table():
    # Recomputed: 6x6 W2.1 is 0.042 in2/ft.
    assert answer(wire.wire_steel, wire_number=2.1, spacing_m=6.0) == pytest.approx(0.042)


@pytest.mark.parametrize(
    ("style", "pounds"), [("6x6 W1.4", 21), ("6x6 W2.0", 29), ("6X6 w2.9", 42), ("4x4W4.0", 85)]
)
def test_x3_weight_by_look_up(style, pounds):
    got = to_customary(wire.wire_weight_kg_per_m2(style), "lb/ft2") * 100
    assert got == pytest.approx(pounds)


def test_weights_are_more_than_bare_wire():
    """Trap: area times 3.4 lb/ft, both ways, leaves out overhang and edge wires."""
    bare = [row[2] * 3.4 * 2 * 100 for row in wire.WIRE_SHEETS.rows[:4]]
    assert bare == pytest.approx([19.0, 27.2, 39.4, 54.4], abs=0.05)
    assert all(row[3] > one for row, one in zip(wire.WIRE_SHEETS.rows, bare, strict=False))


def test_an_unknown_style_is_told_the_styles():
    with pytest.raises(Faulty) as told:
        wire.wire_sheet("6x6 W3.3")
    assert "6x6 W2.9" in told.value.faults[0].limit


@pytest.mark.parametrize(("spacing", "lap"), [(6.0, 8.0), (4.0, 6.0)])
def test_lap_of_plain_wire(spacing, lap):
    # ACI 318-19 section 25.5.4, rule from memory; recomputed.
    got = answer(wire.lap_of_plain_wire, spacing_m=spacing, development_m=0.0)
    assert got == pytest.approx(lap)
    longer = answer(wire.lap_of_plain_wire, spacing_m=spacing, development_m=8.0)
    assert longer == pytest.approx(12.0)


def test_lap_of_deformed_wire_is_at_least_eight_inches():
    assert answer(wire.lap_of_deformed_wire, development_m=4.0) == pytest.approx(8.0)


@pytest.mark.parametrize(
    ("feet", "lap", "percent"),
    [((5, 10), 8, 80.9), ((5, 10), 6, 85.5), ((8, 20), 8, 88.6), ((8, 20), 6, 91.4)],
)
def test_net_cover_of_sheets(feet, lap, percent):
    # Recomputed.
    got = answer(
        wire.net_cover_of_sheet, width_m=12.0 * feet[0], length_m=12.0 * feet[1], lap_m=float(lap)
    )
    assert got == pytest.approx(percent, abs=0.05)


def test_x4_chairs():
    # PDH course S132: one for each 25 ft2; 400 ft2 takes 16.
    assert answer(wire.supports_by_floor, floor_m2=400.0, each_m2=25.0) == 16
    assert answer(wire.supports_by_floor, floor_m2=401.0, each_m2=25.0) == 17
    # At 12 in centres, by the rule for light wire, about 400.
    assert answer(wire.supports_by_floor, floor_m2=400.0, each_m2=1.0) == 400


def test_the_sources_on_supports_stand_side_by_side():
    inches = sorted(to_customary(limit.value, "in") for limit in limits_for(wire.SUPPORTS))
    assert inches == pytest.approx([12, 24, 72])
