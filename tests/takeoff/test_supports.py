"""Supports under steel: counts of print, by hand, and points thrown at them."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely import affinity

from overslab.ground.faults import Faulty
from overslab.takeoff.asked import BarsAsked, SupportsAsked, WireAsked
from overslab.takeoff.bars import lay_bars
from overslab.takeoff.cover import room_for_both
from overslab.takeoff.steel_records import SupportLayout
from overslab.takeoff.supports import set_supports
from overslab.takeoff.wire import lay_wire
from overslab.takeoff.wire_records import WireLayout

FOOT, INCH = 0.3048, 0.0254
WIRE = WireAsked(
    style="6x6 W2.9",
    sheet_length_m=20 * FOOT,
    sheet_width_m=8 * FOOT,
    spacing_m=6 * INCH,
    wire_diameter_m=0.192 * INCH,
    lap_m=8 * INCH,
    edge_m=0.0,
    cover_top_m=1.0 * INCH,
    cover_bottom_m=0.75 * INCH,
)
CHAIRS = SupportsAsked(kind="chair", spacing_m=5 * FOOT, height_m=0.75 * INCH, box_of=100)
BOLSTERS = SupportsAsked(
    kind="bolster", spacing_m=4 * FOOT, height_m=0.75 * INCH, stock_length_m=5 * FOOT, box_of=6
)


def wire(floor: shapely.Polygon, **more: object) -> WireLayout:
    return lay_wire(floor, WIRE, thinnest_m=more.get("thinnest_m", 3 * INCH))  # type: ignore[arg-type]


SQUARE = wire(shapely.box(0, 0, 20 * FOOT, 20 * FOOT))


@pytest.mark.parametrize(("spacing_ft", "count"), [(5.0, 16), (1.0, 400)])
def test_chairs_on_400_square_feet_are_those_of_print(spacing_ft, count):
    # PDH course S132, one for each 25 ft2: 16 chairs 5 ft apart; 400 at 12 in centres
    # (structure notes, 7.3).
    found = set_supports(SQUARE, replace(CHAIRS, spacing_m=spacing_ft * FOOT))
    assert found.count == count
    told = {check.name: check for check in found.checks}
    assert told["floor on one chair"].passes
    assert told["floor on one chair"].found == pytest.approx(400 / count * FOOT**2)
    assert found.boxes == -(-count // 100)


def test_bolsters_by_hand():
    # 20 ft in rows 4 ft apart: 5 lines of 20 ft, 100 ft, 20 bolsters of 5 ft, 4 boxes of 6.
    found = set_supports(SQUARE, BOLSTERS)
    assert len(found.lines) == 5
    assert (found.count, found.boxes) == (20, 4)
    ys = sorted(round(a[1] / FOOT, 6) for a, _ in found.lines)
    xs = sorted(round(a[0] / FOOT, 6) for a, _ in found.lines)
    assert [2, 6, 10, 14, 18] in (ys, xs)
    bolster, work = found.items
    assert (bolster.code, bolster.order_unit, bolster.ordered) == ("bolster", "box", 4)
    assert bolster.net == pytest.approx(100 * FOOT)
    assert bolster.waste == pytest.approx(0.2)
    assert (work.code, work.ordered) == ("set-supports", 20)
    single = set_supports(SQUARE, replace(BOLSTERS, box_of=1)).items[0]
    assert (single.order_unit, single.ordered) == ("bolster", 20)


def farthest(found: SupportLayout, inner: shapely.Geometry, *, along: bool) -> float:
    """Of points thrown at the steel, how far the farthest is from a support."""
    west, south, east, north = inner.bounds
    xy = np.random.default_rng(3).uniform((west, south), (east, north), (1500, 2))
    xy = xy[shapely.contains_xy(inner, xy[:, 0], xy[:, 1])]
    if along:
        chairs = np.array(found.chairs)
        return float(abs(xy[:, None, :] - chairs[None]).max(axis=2).min(axis=1).max())
    lines = shapely.MultiLineString([shapely.LineString(ends) for ends in found.lines])
    return float(shapely.distance(shapely.points(xy), lines).max())


@settings(max_examples=12, deadline=None)
@given(st.floats(2, 12), st.floats(2, 9), st.floats(0.2, 0.8), st.floats(0.2, 0.8))
def test_no_steel_is_farther_than_half_the_spacing(wide, high, share_x, share_y):
    notch = shapely.box(wide * share_x, high * share_y, wide + 1, high + 1)
    layout = wire(shapely.box(0, 0, wide, high).difference(notch))
    for asked in (CHAIRS, BOLSTERS):
        found = set_supports(layout, asked)
        # Slivers of a hand's palm are let go.
        far = farthest(found, layout.inside().buffer(-0.011), along=asked.kind == "chair")
        assert far <= asked.spacing_m / 2 + 0.011
        assert all(check.passes for check in found.checks if "farther" in check.name)


def test_a_turned_floor_has_as_many_supports():
    turned = wire(affinity.rotate(shapely.box(0, 0, 20 * FOOT, 12 * FOOT), 30))
    straight = wire(shapely.box(0, 0, 20 * FOOT, 12 * FOOT))
    for asked in (CHAIRS, BOLSTERS):
        assert set_supports(turned, asked).count == set_supports(straight, asked).count


def test_cover_on_supports_by_hand():
    # 3 in thick at the thinnest, supports of 3/4 in, steel of four 0.192 in wires at a lap:
    # 3 - 0.75 - 0.768 = 1.482 in over it.
    found = {check.name: check for check in set_supports(SQUARE, CHAIRS).checks}
    over = found["cover over the steel in the thinnest place"]
    assert over.found == pytest.approx(1.482 * INCH)
    assert over.passes
    assert found["cover under the steel, by the height of its supports"].passes
    high = set_supports(SQUARE, replace(CHAIRS, height_m=1.5 * INCH)).checks
    assert [check.passes for check in high[:2]] == [True, False]
    low = set_supports(SQUARE, replace(CHAIRS, height_m=0.5 * INCH)).checks
    assert [check.passes for check in low[:2]] == [False, True]


def test_published_spacings_that_disagree_are_all_told():
    found = set_supports(SQUARE, CHAIRS)
    told = " ".join(remark.text for remark in found.remarks)
    for words in ("72 in", "24 in", "12 in", "disagree"):
        assert words in told
    too_far = set_supports(SQUARE, replace(CHAIRS, spacing_m=7 * FOOT))
    assert not next(c for c in too_far.checks if c.name == "supports of wire, stiff").passes


def test_bars_are_held_up_too():
    bars = lay_bars(
        shapely.box(0, 0, 6, 4),
        BarsAsked("#3", 0.0095, 0.45, 6.0, 0.4, 0.05, 0.03, 0.02),
        thinnest_m=0.075,
    )
    found = set_supports(bars, replace(BOLSTERS, height_m=0.025))
    # 75 - 25 - 2 * 9.5 = 31 mm.
    over = next(check for check in found.checks if "over the steel" in check.name)
    assert over.found == pytest.approx(0.031)
    assert found.count > 0


def test_faults_are_told_together():
    with pytest.raises(Faulty) as raised:
        set_supports(SQUARE, replace(BOLSTERS, stock_length_m=None, spacing_m=0.0, box_of=0))
    assert len(raised.value.faults) == 3


def test_wire_on_bars_is_looked_at_by_the_height_of_both():
    # By hand, inches: 3/4 under the bars, two bars of 1/2, four wires of 0.192, 1 over: 3.518.
    bars = BarsAsked(
        size="#4",
        diameter_m=0.5 * INCH,
        spacing_m=18 * INCH,
        stock_length_m=20 * FOOT,
        lap_m=12 * INCH,
        edge_m=2 * INCH,
        cover_top_m=1.5 * INCH,
        cover_bottom_m=0.75 * INCH,
    )
    for thinnest, good in ((3.53, True), (3.5, False)):
        (room,) = room_for_both(WIRE, bars, thinnest_m=thinnest * INCH, height_m=None)
        assert room.allowed == pytest.approx(3.518 * INCH)
        assert room.passes is good
    # On supports of 1 in, 4 in thick: 4 - 1 - 1.768 = 1.232 over the wire; 3.7 in: 0.932.
    for thinnest, over, good in ((4.0, 1.232, True), (3.7, 0.932, False)):
        _, on = room_for_both(WIRE, bars, thinnest_m=thinnest * INCH, height_m=1 * INCH)
        assert on.found == pytest.approx(over * INCH)
        assert on.passes is good
    # Bars that ask for 2 in over them: the wire fills 0.768 of it, 1.232 are left over the wire.
    deep = replace(bars, cover_top_m=2 * INCH)
    (room,) = room_for_both(WIRE, deep, thinnest_m=4 * INCH, height_m=None)
    assert room.allowed == pytest.approx((0.75 + 1.768 + 1.232) * INCH)
