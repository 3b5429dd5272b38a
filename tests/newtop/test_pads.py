"""Pads and what lies between them: planes come out as planes, volumes are exact."""

from __future__ import annotations

import numpy as np
import pytest
import shapely
from floors_for_tops import L_SHAPE, box, door, old_floor, wishes_of
from hypothesis import given, settings
from hypothesis import strategies as st

from overslab.newtop import design
from overslab.newtop.frame import Frame, frame_along_walls
from overslab.newtop.layouts import layouts
from overslab.newtop.padlines import grid_pads
from overslab.newtop.pads import GridPads, Pads
from overslab.newtop.records import Outlet, Zone
from overslab.newtop.site import prepare
from overslab.newtop.triangles import TrianglePads
from overslab.oldslab.records import FloorPlan, Hole

SLANTED = ((0.0, 0.0), (7.0, 0.0), (9.0, 4.0), (6.5, 8.0), (0.0, 6.0))
POST = Hole("post", ((2.0, 2.0), (3.0, 2.2), (2.8, 3.1), (1.9, 3.0)))


def grid_on(outline, holes=()) -> GridPads:
    plan = FloorPlan(outline=outline, holes=holes)
    return grid_pads(prepare(old_floor(plan), wishes_of()))


def inside(polygon: shapely.Polygon, count: int = 400) -> np.ndarray:
    rng = np.random.default_rng(5)
    west, south, east, north = polygon.bounds
    at = rng.uniform((west, south), (east, north), size=(count, 2))
    return at[shapely.contains_xy(polygon, at[:, 0], at[:, 1])]


def holds_planes(pads: Pads, polygon: shapely.Polygon) -> None:
    """Heights, slopes and the volume of a plane, whose integral is area times the centroid's."""
    plane = np.array([0.3, 0.02, -0.015])
    heights = plane[0] + pads.at_m @ plane[1:]
    at = inside(polygon)
    element = pads.locate(at)
    assert pads.height(at, element).of(heights) == pytest.approx(plane[0] + at @ plane[1:])
    along, up = pads.slope(at, element)
    assert along.of(heights) == pytest.approx(np.full(len(at), 0.02))
    assert up.of(heights) == pytest.approx(np.full(len(at), -0.015))
    centre = np.array(polygon.centroid.coords[0])
    assert pads.integral_m2 @ heights == pytest.approx(
        polygon.area * (plane[0] + centre @ plane[1:])
    )


@pytest.mark.parametrize("outline", [box(6, 8), L_SHAPE, SLANTED])
@pytest.mark.parametrize("holes", [(), (POST,)])
def test_a_plane_on_the_grid_is_a_plane(outline, holes) -> None:
    pads = grid_on(outline, holes)
    holds_planes(pads, pads.polygon)


def test_a_twisted_cell_on_a_slanted_floor_is_integrated_exactly() -> None:
    # Integral of x * y over the polygon by Green's theorem, side by side with 3-point Gauss.
    pads = grid_on(SLANTED)
    corners = np.array(SLANTED)
    nodes, weights = np.polynomial.legendre.leggauss(3)
    exact = 0.0
    for a, b in zip(corners, np.roll(corners, -1, axis=0), strict=True):
        at = (a + b) / 2 + np.outer(nodes, (b - a) / 2)
        exact += float(weights @ (at[:, 0] ** 2 / 2 * at[:, 1])) * (b - a)[1] / 2
    heights = pads.at_m[:, 0] * pads.at_m[:, 1]
    assert pads.integral_m2 @ heights == pytest.approx(exact)


def test_no_pad_line_is_farther_than_the_straightedge_spans() -> None:
    for outline in (box(6, 8), L_SHAPE, SLANTED):
        pads = grid_on(outline)
        for lines in (pads.u_m, pads.v_m):
            assert np.diff(lines).max() <= 3.0 - 0.6096 + 1e-9
            assert np.diff(lines).min() > 0.1


def test_pad_lines_pass_through_corners_drains_and_between_facing_doors() -> None:
    assert {6.0} <= set(grid_on(L_SHAPE).u_m) & set(grid_on(L_SHAPE).v_m)
    outlets = (
        Outlet("front", ((1.0, 0.0), (5.0, 0.0))),
        Outlet("back", ((1.0, 9.0), (5.0, 9.0))),
    )
    plan = FloorPlan(outline=box(6, 9))
    assert 4.5 in grid_pads(prepare(old_floor(plan), wishes_of(outlets=outlets))).v_m
    drain = wishes_of(outlets=(Outlet("drain", ((1.7, 2.9),)),))
    pads = grid_pads(prepare(old_floor(plan), drain))
    assert [1.7, 2.9] in pads.at_m.tolist()


def test_slopes_are_the_slopes_of_the_heights() -> None:
    pads = grid_on(L_SHAPE)
    heights = np.random.default_rng(2).normal(size=len(pads.at_m))
    at = inside(pads.polygon.buffer(-0.01))
    element = pads.locate(at)
    for axis, stencil in enumerate(pads.slope(at, element)):
        aside = np.zeros(2)
        aside[axis] = 1e-4
        rise = pads.height(at + aside, element).of(heights) - pads.height(at - aside, element).of(
            heights
        )
        assert stencil.of(heights) == pytest.approx(rise / 2e-4, abs=1e-6)


def corner_of_two_doors() -> GridPads:
    outlets = (
        Outlet("south", ((1.0, 0.0), (3.0, 0.0))),
        Outlet("east", ((6.0, 2.0), (6.0, 4.0))),
    )
    plan = FloorPlan(outline=box(6, 6))
    return grid_pads(prepare(old_floor(plan), wishes_of(outlets=outlets)))


def test_a_hip_cuts_the_corner_cell_in_two_planes() -> None:
    pads = corner_of_two_doors()
    assert len(pads.hips) == 1
    corner, end = pads.hips[0]
    assert corner == pytest.approx([6.0, 0.0])
    assert abs(end[0] - corner[0]) == pytest.approx(abs(end[1] - corner[1]))
    holds_planes(pads, pads.polygon)
    heights = np.random.default_rng(4).normal(size=len(pads.at_m))
    fine = 0.01
    x = np.arange(fine / 2, 6, fine)
    at = np.column_stack([part.ravel() for part in np.meshgrid(x, x)])
    summed = pads.height(at, pads.locate(at)).of(heights).sum() * fine**2
    assert pads.integral_m2 @ heights == pytest.approx(summed, abs=1e-3)
    # Straight along the hip, and the same from both sides of it.
    share = np.linspace(0.1, 0.9, 5)[:, None]
    on_hip = corner + share * (end - corner)
    ends = pads.height(pads.hips[0], pads.locate(on_hip)[:2]).of(heights)
    assert pads.height(on_hip, pads.locate(on_hip)).of(heights) == pytest.approx(
        ends[0] + share.ravel() * (ends[1] - ends[0])
    )


@pytest.mark.parametrize("outline", [box(6, 8), L_SHAPE])
def test_regions_in_planes_are_joined_and_hold_planes(outline) -> None:
    plan = FloorPlan(outline=outline, holes=(POST,))
    site = prepare(old_floor(plan), wishes_of(edges=(door(0.0, 1.0),)))
    grid = grid_pads(site)
    found = layouts(site)
    assert found
    for layout in found:
        assert sum(region.area for region in layout.regions) == pytest.approx(
            shapely.Polygon(outline).area
        )
        regions = [
            part
            for region in layout.regions
            for part in shapely.get_parts(region.intersection(site.polygon))
        ]
        pads = TrianglePads(site.polygon, regions, inner_m=grid.at_m, limit_m=site.pad_limit_m)
        holds_planes(pads, site.polygon)
        free = np.random.default_rng(1).normal(size=pads.shape.shape[1])
        heights = pads.shape @ free
        # Each region is one plane, and a plane over the whole floor is one of the choices.
        for number, region in enumerate(regions):
            at = inside(region.buffer(-0.05))
            design = np.column_stack([np.ones(len(at)), at])
            fitted = pads.height(at, pads.locate(at)).of(heights)
            plane = np.linalg.lstsq(design, fitted, rcond=None)[0]
            assert design @ plane == pytest.approx(fitted, abs=1e-9)
            assert pads.gradients(heights)[number] == pytest.approx(plane[1:])
        flat = np.linalg.lstsq(pads.shape, np.ones(len(pads.at_m)), rcond=None)[0]
        assert pads.shape @ flat == pytest.approx(np.ones(len(pads.at_m)))


def test_a_drain_is_fanned_to_every_corner() -> None:
    drain = Outlet("drain", ((2.0, 3.0),))
    site = prepare(old_floor(FloorPlan(outline=box(6, 8))), wishes_of(outlets=(drain,)))
    fan = layouts(site)[0]
    assert len(fan.regions) == 4
    assert sorted(region.area for region in fan.regions) == pytest.approx([8.0, 9.0, 15.0, 16.0])


@given(st.floats(-40, 40))
@settings(max_examples=20, deadline=None)
def test_a_turned_floor_is_seen_along_its_walls(turn_deg: float) -> None:
    turned = shapely.affinity.rotate(shapely.Polygon(L_SHAPE), turn_deg, origin=(0, 0))
    frame = frame_along_walls(turned)
    assert np.degrees(frame.angle_rad) == pytest.approx(turn_deg, abs=1e-4)
    assert frame.shape_to_walls(turned).bounds == pytest.approx((0, 0, 12, 12), abs=1e-4)
    places = np.array([[1.0, 2.0], [-3.0, 0.5]])
    assert frame.to_sheet(frame.to_walls(places)) == pytest.approx(places)


def test_no_turn_changes_nothing() -> None:
    places = np.array([[1.0, 2.0]])
    assert Frame(0.0).to_walls(places) is not None
    assert Frame(0.0).to_walls(places).tolist() == places.tolist()


def test_a_place_on_an_inner_wall_belongs_to_the_cell_beside_it() -> None:
    # The wall runs on from a corner of the floor: the cell round that corner is no neighbour.
    pads = grid_on(L_SHAPE)
    heights = np.random.default_rng(7).normal(size=len(pads.at_m))
    places = np.column_stack([np.linspace(6.0, 12.0, 25)[1:], np.full(24, 6.0)])
    inside_m = places + np.array([0.0, 1e-7])
    assert pads.height(places, pads.locate(places)).of(heights) == pytest.approx(
        pads.height(inside_m, pads.locate(inside_m)).of(heights), abs=1e-5
    )


NARROW = Hole("post", ((4.8, 5.0), (4.95, 5.0), (4.95, 5.15), (4.8, 5.15)))


def test_no_pad_is_set_at_the_corners_of_a_narrow_post() -> None:
    plan = FloorPlan(outline=box(6, 8), holes=(NARROW,))
    whole = grid_on(box(6, 8))
    pads = grid_on(box(6, 8), (NARROW,))
    assert pads.u_m.tolist() == whole.u_m.tolist()
    assert pads.v_m.tolist() == whole.v_m.tolist()
    holds_planes(pads, plan.polygon())
    for option in design(old_floor(plan), wishes_of(kinds=("plane", "planes"))).options:
        places = np.array([pad.at for pad in option.pads])
        for corner in NARROW.corners:
            assert np.hypot(*(places - corner).T).min() > 0.3
        floor = plan.polygon().area
        # A plane of 1 % over 8 m from 50 mm at the door, counted over the floor without the post.
        middle = plan.polygon().centroid.y
        assert option.volume_m3 == pytest.approx(floor * (0.05 + 0.01 * middle), rel=0.03)


def test_the_planes_leave_out_what_stands_under_a_narrow_post() -> None:
    plan = FloorPlan(outline=L_SHAPE, holes=(NARROW,))
    site = prepare(old_floor(plan), wishes_of())
    grid = grid_pads(site)
    for layout in layouts(site):
        pads = TrianglePads(
            site.polygon, layout.regions, inner_m=grid.at_m, limit_m=site.pad_limit_m
        )
        holds_planes(pads, site.polygon)


def test_pads_keep_two_feet_apart_but_where_a_line_is_needed() -> None:
    zone = Zone("bay", ((1.3, 2.0), (2.6, 2.0), (2.6, 3.0), (1.3, 3.0)), greatest_fall=0.02)
    edges = (door(0.0, 1.0), door(0.0, 1.0, name="side", a=(0.0, 2.3), b=(0.0, 3.3)))
    site = prepare(old_floor(FloorPlan(outline=box(6, 8))), wishes_of(zones=(zone,), edges=edges))
    pads = grid_pads(site)
    for lines in (pads.u_m, pads.v_m):
        assert np.diff(lines).min() >= 0.6 - 1e-9
    # An edge that need not be level asks for no line of its own.
    loose = (door(0.0, 1.0, name="side", a=(0.0, 5.1), b=(0.0, 5.9), level=False, kind="stair"),)
    plain = grid_pads(prepare(old_floor(FloorPlan(outline=box(6, 8))), wishes_of()))
    with_it = grid_pads(prepare(old_floor(FloorPlan(outline=box(6, 8))), wishes_of(edges=loose)))
    assert with_it.v_m.tolist() == plain.v_m.tolist()
