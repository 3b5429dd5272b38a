"""Wire laid on real outlines: by hand, by points thrown at it, and by the check of its own."""

from __future__ import annotations

import json
from dataclasses import replace
from math import ceil

import numpy as np
import pytest
import shapely
from hypothesis import example, given, settings
from hypothesis import strategies as st
from shapely import affinity

from overslab.ground.faults import Faulty
from overslab.job.asjson import as_json
from overslab.takeoff.asked import WireAsked
from overslab.takeoff.wire import lay_wire
from overslab.takeoff.wire_recheck import look_again
from overslab.takeoff.wire_records import WireLayout

FOOT, INCH = 0.3048, 0.0254


def asked(length_ft: float = 10, width_ft: float = 5, **more: object) -> WireAsked:
    """6x6 W2.9: diameter 0.192 in, since 0.029 in2 = pi/4 d2."""
    return replace(
        WireAsked(
            style="6x6 W2.9",
            sheet_length_m=length_ft * FOOT,
            sheet_width_m=width_ft * FOOT,
            spacing_m=6 * INCH,
            wire_diameter_m=0.192 * INCH,
            lap_m=8 * INCH,
            edge_m=2 * INCH,
            cover_top_m=1 * INCH,
            cover_bottom_m=0.75 * INCH,
        ),
        **more,
    )


def feet(*corners: tuple[float, float], posts: tuple[tuple[float, float], ...] = ()):
    """A floor given in feet, with 6 in posts."""
    holes = [
        [(x - 0.25, y - 0.25), (x + 0.25, y - 0.25), (x + 0.25, y + 0.25), (x - 0.25, y + 0.25)]
        for x, y in posts
    ]
    return affinity.scale(shapely.Polygon(corners, holes), FOOT, FOOT, origin=(0, 0))


def box(wide_ft: float, high_ft: float) -> shapely.Polygon:
    return feet((0, 0), (wide_ft, 0), (wide_ft, high_ft), (0, high_ft))


SHOP = feet((0, 0), (40, 0), (40, 20), (24, 20), (24, 30), (0, 30), posts=((18, 22), (32.5, 7.5)))


# 4 by 4 m less a notch of 1 m in two corners: two sheets of 15 by 7 ft past them, since
# 2 * 7 ft - 8 in = 4.06 m is more than the 3.9 m inside the edges.
BRIDGED = shapely.Polygon([(1, 0), (1, 1), (0, 1), (0, 4), (3, 4), (3, 3), (4, 3), (4, 0)])


def thrown(layout: WireLayout, *, lap_m: float, count: int = 1500) -> tuple[int, int]:
    """Points of the floor under no wire; points whose lap square lies in no one piece."""
    inner = layout.inside()
    west, south, east, north = inner.bounds
    dice = np.random.default_rng(5)
    xy = dice.uniform((west, south), (east, north), (count, 2))
    xy = xy[shapely.contains_xy(inner, xy[:, 0], xy[:, 1])]
    boxes = np.array([shapely.Polygon(piece.corners).bounds for piece in layout.pieces])

    def held(reach: float) -> np.ndarray:
        x, y = xy[:, :1], xy[:, 1:]
        return (
            (x - reach >= boxes[:, 0] - 1e-6)
            & (y - reach >= boxes[:, 1] - 1e-6)
            & (x + reach <= boxes[:, 2] + 1e-6)
            & (y + reach <= boxes[:, 3] + 1e-6)
        ).any(axis=1)

    half = lap_m / 2
    squares = shapely.box(xy[:, 0] - half, xy[:, 1] - half, xy[:, 0] + half, xy[:, 1] + half)
    inside = shapely.covers(inner, squares)
    return int((~held(0.0)).sum()), int((inside & ~held(half)).sum())


def holds(layout: WireLayout) -> None:
    again = [check for check in layout.checks if "looked at again" in check.source]
    assert len(again) == 3
    assert [check.name for check in again if not check.passes] == []
    assert thrown(layout, lap_m=layout.asked.lap_m + 2 * layout.asked.overhang_m) == (0, 0)
    assert layout.bound <= layout.cutting_bound <= layout.sheets <= layout.plain.sheets


def test_a_floor_as_large_as_a_sheet_and_its_margins_takes_one_uncut_sheet():
    layout = lay_wire(box(10 + 4 / 12, 5 + 4 / 12), asked(), thinnest_m=None)
    assert (layout.sheets, layout.bound, layout.plain.sheets) == (1, 1, 1)
    assert [piece.whole for piece in layout.pieces] == [True]


@pytest.mark.parametrize(
    ("wide_ft", "high_ft", "sheets"),
    [
        # Two sheets end to end with one lap of 8 in: 20 ft - 8 in, and 2 in margins.
        (20 - 4 / 12, 5 + 4 / 12, 2),
        # An inch more takes a third.
        (20 - 3 / 12, 5 + 4 / 12, 3),
        # Two beside each other: 10 ft - 8 in.
        (10 + 4 / 12, 10 - 4 / 12, 2),
        # One sheet ripped in two halves of 2 ft 6 in, end to end: again 20 ft - 8 in long.
        (20 - 4 / 12, 2.5 + 4 / 12, 1),
        # Two rows of two, lapped both ways.
        (20 - 4 / 12, 10 - 4 / 12, 4),
    ],
)
def test_small_floors_by_hand(wide_ft, high_ft, sheets):
    layout = lay_wire(box(wide_ft, high_ft), asked(), thinnest_m=None)
    holds(layout)
    assert layout.sheets == sheets


def test_the_bound_of_a_rectangle_is_that_of_the_hand():
    # 30 by 20 ft, 2 in margins, 8 in laps: (360-4-8) by (240-4-8) in, over 112 by 52 in a sheet.
    layout = lay_wire(box(30, 20), asked(), thinnest_m=None)
    assert layout.bound == ceil(348 * 228 / (112 * 52))
    holds(layout)


def test_the_plain_grid_of_a_rectangle_is_that_of_the_hand():
    # (356-8)/112 = 3.1 sheets along, (236-8)/52 = 4.4 across: 4 by 5; turned 7 by 3 makes 21.
    layout = lay_wire(box(30, 20), asked(), thinnest_m=None)
    assert layout.plain.sheets == min(4 * 5, 7 * 3)


def test_the_l_shaped_shop_floor_goes_round_its_posts():
    layout = lay_wire(SHOP, asked(), thinnest_m=4 * INCH)
    holds(layout)
    assert layout.sheets < layout.plain.sheets
    assert {piece.label for piece in layout.pieces if piece.posts}
    assert any("cut open" in remark.text for remark in layout.remarks)
    json.dumps(as_json(layout))


@pytest.mark.parametrize("angle", [0.0, 17.0, 90.0, -123.0])
def test_a_turned_floor_takes_as_many_sheets(angle):
    # Not so for half a turn: rows are filled from one end and the plain grid starts in one corner,
    # so that a floor seen from the other end may take a sheet more.
    straight = lay_wire(SHOP, asked(), thinnest_m=None)
    turned = lay_wire(affinity.rotate(SHOP, angle, origin=(3, 4)), asked(), thinnest_m=None)
    assert turned.bound == straight.bound
    assert turned.sheets == straight.sheets
    assert turned.plain.sheets == straight.plain.sheets
    again = [check for check in turned.checks if "looked at again" in check.source]
    assert all(check.passes for check in again)


def test_sheets_of_unlike_wires_are_not_turned():
    layout = lay_wire(SHOP, asked(alike_both_ways=False), thinnest_m=None)
    holds(layout)
    assert not any(piece.turned for piece in layout.pieces)
    ways = {"x", "y"}
    for piece in layout.pieces:
        (x0, y0), (x1, y1) = piece.corners[0], piece.corners[2]
        along = piece.cut_from[2] - piece.cut_from[0]
        sides = {"x": abs(x1 - x0), "y": abs(y1 - y0)}
        ways &= {way for way, side in sides.items() if abs(side - along) < 1e-6}
    assert len(ways) == 1


def test_overhangs_make_the_lap_of_the_edges_longer():
    layout = lay_wire(SHOP, asked(overhang_m=1 * INCH), thinnest_m=None)
    holds(layout)
    same = lay_wire(SHOP, asked(lap_m=10 * INCH), thinnest_m=None)
    assert (layout.sheets, layout.bound) == (same.sheets, same.bound)


def test_slanting_walls_and_thin_ends_lie_under_wire():
    slanting = shapely.Polygon([(0, 0), (12, 0), (13, 9), (6, 11), (0, 8)])
    thin = shapely.union_all([shapely.box(0, 0, 5, 5), shapely.box(5, 0, 20, 0.15)])
    for floor in (slanting, thin):
        holds(lay_wire(floor, asked(), thinnest_m=None))


def test_a_sheet_that_reaches_past_a_wall_is_told_to_be_cut_off():
    # The two sheets that bridge the notches stand out into both; neither lies uncut.
    layout = lay_wire(BRIDGED, asked(15, 7, alike_both_ways=False), thinnest_m=None)
    assert layout.sheets == 2
    assert [piece.trimmed for piece in layout.pieces] == [True, True]
    assert any("cut off" in remark.text and "1, 2" in remark.text for remark in layout.remarks)


@st.composite
def floors(draw) -> shapely.Polygon:
    """Rectangles with a notch in up to two corners, metres."""
    wide, high = draw(st.floats(2.5, 16)), draw(st.floats(2.5, 12))
    floor = shapely.box(0, 0, wide, high)
    for x, y in draw(st.sets(st.sampled_from([(0, 0), (1, 0), (0, 1), (1, 1)]), max_size=2)):
        share = [draw(st.floats(0.1, 0.45)) for _ in range(2)]
        notch = shapely.box(0, 0, wide * share[0], high * share[1])
        at = (x * wide * (1 - share[0]), y * high * (1 - share[1]))
        floor = floor.difference(affinity.translate(notch, *at))
    return floor


@settings(max_examples=25, deadline=None)
@example(BRIDGED, (15, 7), False)
@given(floors(), st.sampled_from([(10, 5), (20, 8), (15, 7)]), st.booleans())
def test_every_floor_is_covered_with_its_laps_and_can_be_cut(floor, size, alike):
    holds(lay_wire(floor, asked(*size, alike_both_ways=alike), thinnest_m=None))


def test_looking_again_finds_what_was_spoilt():
    layout = lay_wire(SHOP, asked(), thinnest_m=None)

    def found(pieces) -> list[bool]:
        checks = look_again(
            layout.inside(),
            pieces,
            lap_m=8 * INCH,
            sheet_length_m=10 * FOOT,
            sheet_width_m=5 * FOOT,
        )
        return [check.passes for check in checks]

    pieces = list(layout.pieces)
    assert found(pieces) == [True, True, True]
    assert found(pieces[1:])[0] is False
    middle = next(k for k, piece in enumerate(pieces) if piece.whole)
    nudged = replace(
        pieces[middle], corners=tuple((x + 0.05, y + 0.05) for x, y in pieces[middle].corners)
    )
    assert found([*pieces[:middle], nudged, *pieces[middle + 1 :]])[1] is False
    twice = replace(pieces[0], sheet=pieces[-1].sheet, cut_from=pieces[-1].cut_from)
    assert found([twice, *pieces[1:]])[2] is False


def test_the_lap_is_held_against_the_published_rule():
    # ACI 318-19, 25.5.4: one spacing and 2 in: 8 in for 6x6, 6 in for 4x4 (structure notes, 7.2).
    good = lay_wire(box(20, 10), asked(), thinnest_m=None).checks[0]
    assert good.passes
    assert good.allowed == pytest.approx(8 * INCH)
    assert "memory" in good.source
    short = lay_wire(box(20, 10), asked(lap_m=6 * INCH), thinnest_m=None).checks[0]
    assert not short.passes
    close = asked(style="4x4 W2.9", spacing_m=4 * INCH, lap_m=6 * INCH)
    assert lay_wire(box(20, 10), close, thinnest_m=None).checks[0].passes


def test_the_steel_of_the_style_is_that_of_print():
    # PDH course S132: 6x6 W2.9 has 0.058 in2/ft each way.
    steel = next(
        working
        for working in lay_wire(box(20, 10), asked(), thinnest_m=None).workings
        if working.formula == "wire_steel"
    )
    assert steel.result.value == pytest.approx(0.058 * INCH**2 / FOOT)


def test_cover_is_checked_in_the_thinnest_place():
    # 1 in over, 3/4 in under, two sheets of two 0.192 in wires at a lap: 2.518 in.
    for thinnest, good in ((2.55, True), (2.5, False)):
        layout = lay_wire(box(20, 10), asked(), thinnest_m=thinnest * INCH)
        cover = next(check for check in layout.checks if "thinnest" in check.name)
        assert cover.allowed == pytest.approx(2.518 * INCH)
        assert cover.passes is good


def test_the_items_say_what_is_bought():
    layout = lay_wire(SHOP, asked(tie_spacing_m=2 * FOOT), thinnest_m=None)
    sheet, tie, work = layout.items
    assert (sheet.code, sheet.order_unit, sheet.ordered) == ("wire-sheet", "sheet", layout.sheets)
    assert sheet.unit_holds == pytest.approx(50 * FOOT**2)
    # 1040 ft2 less 2 in along 140 ft of walls (one inside corner: 5 corners out, 1 in), less two
    # posts of 10 in square.
    net = 1040 - 140 * 2 / 12 + 4 * (2 / 12) ** 2 - 2 * (10 / 12) ** 2
    assert sheet.net == pytest.approx(net * FOOT**2)
    assert sheet.net < sheet.gross <= sheet.ordered * sheet.unit_holds
    assert sheet.waste == pytest.approx(layout.sheets * 50 / net - 1)
    assert tie.code == "wire-tie"
    assert tie.ordered > 0
    assert (work.code, work.net) == ("lay-wire", pytest.approx(sheet.net))


def test_all_faults_are_told_at_once():
    bad = asked(lap_m=-1.0, sheet_width_m=0.0, spacing_m=float("nan"))
    with pytest.raises(Faulty) as raised:
        lay_wire(box(20, 10), bad, thinnest_m=None)
    assert [fault.code for fault in raised.value.faults] == ["steel-not-positive"] * 3
    with pytest.raises(Faulty, match="half of"):
        lay_wire(box(20, 10), asked(lap_m=0.9), thinnest_m=None)
    with pytest.raises(Faulty, match="Nothing of the floor"):
        lay_wire(shapely.box(0, 0, 0.05, 3), asked(), thinnest_m=None)
