"""The net of triangles: it covers the floor, keeps every line, and holds the volume."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
import shapely
from export_jobs import Floats, prisms, walked, with_surfaces

from overslab.faces.exports.meshes import mesh_of
from overslab.ground.faults import Faulty
from overslab.job import Walk

FLOORS = (
    "farm-shop",
    "thin-patio",
    "metric-wash-bay",
    "case-01-l-shaped-floor",
    "case-02-column-in-the-middle",
    "case-07-sunk-trench",
    "case-14-sump-pit",
)
# Flat triangles cut across a bent floor: allowed is this share of the concrete, and no more than
# this share of what the volume is unsure by anyway.
SHARE, OF_DOUBT = 0.001, 0.1


def concrete_on(walk: Walk) -> shapely.Polygon:
    """The floor without the square pits of drains that are kept."""
    floor = walk.job.plan.polygon()
    for drain in walk.newtop.wishes.drains:
        if drain.size_m and drain.plan != "bury":
            (x, y), half = drain.at, drain.size_m / 2
            floor -= shapely.box(x - half, y - half, x + half, y + half)
    return floor


def test_a_pit_of_a_drain_is_left_out() -> None:
    walk = walked("case-14-sump-pit")
    assert concrete_on(walk).area < walk.job.plan.polygon().area - 0.01


@pytest.mark.parametrize("name", FLOORS)
def test_the_volume_between_is_that_of_the_takeoff(name: str) -> None:
    walk = walked(name)
    assert walk.takeoff is not None
    record = walk.takeoff.total.volume_m3
    mesh = mesh_of(walk)
    found = prisms(mesh.at_m, mesh.old_m, mesh.new_m, mesh.triangles)
    assert found == pytest.approx(record.mean, rel=SHARE)
    assert abs(found - record.mean) < OF_DOUBT * record.plus_or_minus
    assert mesh.volume_m3 == pytest.approx(found, rel=1e-9)


@pytest.mark.parametrize("name", FLOORS)
def test_triangles_cover_the_floor_once_and_look_up(name: str) -> None:
    walk = walked(name)
    mesh = mesh_of(walk)
    corners = mesh.at_m[mesh.triangles]
    shapes = shapely.polygons(corners)
    floor = concrete_on(walk)
    assert shapely.area(shapes).sum() == pytest.approx(floor.area, rel=1e-6)
    covered = shapely.union_all(shapes, grid_size=1e-7)
    assert covered.symmetric_difference(floor).area < 1e-4 * floor.area
    assert shapely.is_ccw(shapely.linearrings(corners)).all()


@pytest.mark.parametrize("name", FLOORS)
def test_every_line_of_floor_and_top_is_a_side_of_triangles(name: str) -> None:
    walk = walked(name)
    mesh = mesh_of(walk)
    sides = mesh.at_m[mesh.triangles[:, [[0, 1], [1, 2], [2, 0]]].reshape(-1, 2)]
    ordered = np.sort(np.round(sides @ np.array([1.0, 1.0j]), 6), axis=1)  # once, either way round
    sides = sides[np.unique(ordered, axis=0, return_index=True)[1]]
    marks = shapely.points(np.concatenate([sides, sides.mean(axis=1, keepdims=True)], axis=1))
    long = np.hypot(*(sides[:, 1] - sides[:, 0]).T)
    floor, top = concrete_on(walk), walk.newtop.top
    assert top is not None
    lines = [shapely.LineString(one.line) for one in walk.job.plan.breaks]
    lines += [shapely.LineString(fold) for fold in top.folds]
    lines += [shapely.LinearRing(ring) for ring in top.facets]
    for line in [floor.boundary, *(one.intersection(floor) for one in lines)]:
        shapely.prepare(line)
        lie_on = shapely.dwithin(line, marks, 1e-4).all(axis=1)
        assert long[lie_on].sum() == pytest.approx(line.length, abs=1e-3)


@pytest.mark.parametrize("name", ["case-02-column-in-the-middle", "case-01-l-shaped-floor"])
def test_between_planes_the_volume_is_exact(name: str) -> None:
    """Area times the depth at the middle of the floor: exact for planes on any shape."""
    walk = with_surfaces(
        walked(name), old=lambda x, y: 0.02 * x - 0.01 * y, new=lambda _x, y: 0.3 + 0.005 * y
    )
    floor = walk.job.plan.polygon()
    middle = floor.centroid
    by_hand = floor.area * (0.3 + 0.015 * middle.y - 0.02 * middle.x)
    assert mesh_of(walk).volume_m3 == pytest.approx(by_hand, rel=1e-6)


def test_a_step_at_a_break_is_kept_as_a_step() -> None:
    """One side of every break lies 50 mm lower: the volume is that of two level floors."""
    walk = walked("farm-shop")
    first = walk.oldslab.panels[0].polygon
    own = first.buffer(1e-5)

    def stepped(x: Floats, y: Floats) -> Floats:
        return np.where(shapely.intersects_xy(own, x, y), 0.0, -0.05)

    walk = with_surfaces(walk, old=stepped, new=lambda x, _y: np.full_like(x, 0.1))
    area = walk.job.plan.polygon().area
    assert 0.2 * area < first.area < 0.8 * area
    by_hand = 0.1 * area + 0.05 * (area - first.area)
    assert mesh_of(walk).volume_m3 == pytest.approx(by_hand, rel=1e-6)


def test_without_a_top_there_is_no_net() -> None:
    walk = walked("farm-shop")
    none = replace(walk, newtop=replace(walk.newtop, chosen=None))
    with pytest.raises(Faulty) as told:
        mesh_of(none)
    assert [one.code for one in told.value.faults] == ["export-no-top"]
