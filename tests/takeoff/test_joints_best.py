"""The chosen joints against trying every set of lines, on floors small enough for it."""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterator

import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st
from joint_floors import FOOT, INCH, Points, Thickness, box_feet, feet, floor

from overslab.takeoff import lay_joints
from overslab.takeoff.asked import JointsAsked

STEP = 2 * FOOT
LEAST = 2 * FOOT
ASPECT = 1.5


def lines_over(outline: Points) -> list[shapely.LineString]:
    """Every whole-step line from wall to wall, by cutting the outline with shapely."""
    shape = shapely.Polygon(outline)
    west, south, east, north = shape.bounds
    found = []
    for k in range(1, math.ceil((east - west) / STEP)):
        found.append([(west + k * STEP, south - 1), (west + k * STEP, north + 1)])
    for k in range(1, math.ceil((north - south) / STEP)):
        found.append([(west - 1, south + k * STEP), (east + 1, south + k * STEP)])
    inner = shape.buffer(-1e-7, join_style="mitre")
    cut = [shapely.get_parts(shapely.LineString(line).intersection(inner)) for line in found]
    return [part for parts in cut for part in parts if part.length > 0.01]


def faces(outline: Points, lines: list[shapely.LineString]) -> list[shapely.Polygon]:
    net = shapely.union_all([shapely.Polygon(outline).boundary, *lines], grid_size=1e-5)
    return list(shapely.get_parts(shapely.polygonize([net])))


def every_layout(
    outline: Points, thickness: Thickness, must: Points
) -> Iterator[tuple[float, int, float, list[shapely.LineString]]]:
    """Length, lines and crossings, greatest side over allowed, of every set that keeps the rules.

    ``thickness`` is a plane, so that a panel is thinnest at one of its corners.
    """
    lines = lines_over(outline)
    assert len(lines) <= 10
    for count in range(len(lines) + 1):
        for held in itertools.combinations(lines, count):
            if any(
                min((line.distance(shapely.Point(at)) for line in held), default=1.0) > 1e-4
                for at in must
            ):
                continue
            worst, good = 0.0, True
            panels = faces(outline, list(held))
            for panel in panels:
                west, south, east, north = panel.bounds
                long, short = max(east - west, north - south), min(east - west, north - south)
                at = np.asarray(panel.exterior.coords)
                thin = float(np.min(thickness(at[:, 0], at[:, 1])))
                allowed = min(36 * thin, 15 * FOOT)
                worst = max(worst, long / allowed)
                good &= (
                    long <= allowed + 1e-3
                    and long <= ASPECT * short + 2e-3
                    and short >= LEAST - 1e-3
                    and abs(panel.area - (east - west) * (north - south)) < 1e-3
                )
            if good:
                # A floor without holes: every line parts one panel in two, every crossing too.
                yield sum(line.length for line in held), len(panels) - 1, worst, list(held)


def best(outline: Points, thickness: Thickness, must: Points = ()) -> tuple[float, int, float]:
    layouts = list(every_layout(outline, thickness, must))
    assert layouts
    shortest = min(layout[0] for layout in layouts)
    near = [layout for layout in layouts if layout[0] < shortest + 1e-3]
    fewest = min(layout[1] for layout in near)
    return shortest, fewest, min(layout[2] for layout in near if layout[1] == fewest)


ASKED = JointsAsked("sawn", step_m=STEP, least_strip_m=LEAST, at_doors=False)


def held_against(outline: Points, thickness: Thickness, must: Points = ()) -> None:
    shortest, fewest, reserve = best(outline, thickness, must)
    found = lay_joints(*floor(outline, thickness), ASKED, system="unbonded")
    assert found.length_m == pytest.approx(shortest, abs=1e-3)
    assert found.proof.bound_m == pytest.approx(shortest, abs=1e-3)
    assert found.proof.gap < 1e-6
    assert len(found.panels) - 1 == fewest == found.proof.fewest_bound
    worst = max(panel.length_m / panel.allowed_m for panel in found.panels)
    # The halving stops within its own step of the least.
    assert reserve - 2e-3 <= worst <= reserve + found.proof.reserve_step + 2e-3
    assert all(check.passes for check in found.checks), found.checks


@settings(max_examples=12, deadline=None)
@given(
    width=st.sampled_from([8, 10, 12]),
    depth=st.sampled_from([6, 8, 10]),
    thin=st.sampled_from([2.0, 2.4, 3.1, 4.0]),
    fall=st.sampled_from([-0.15, 0.0, 0.1, 0.3]),
    cross=st.sampled_from([0.0, 0.2]),
)
def test_no_set_of_lines_is_better_on_a_rectangle(
    width: float, depth: float, thin: float, fall: float, cross: float
) -> None:
    """Thickness in inches at a corner, falls in inches a foot."""
    low = thin - min(0.0, fall) * width

    def thickness(x: np.ndarray, y: np.ndarray) -> np.ndarray:
        return (low + fall * x / FOOT + cross * y / FOOT) * INCH

    held_against(box_feet(width, depth), thickness)


@pytest.mark.parametrize("thin", [2.2, 2.7, 3.4])
def test_no_set_of_lines_is_better_on_an_l(thin: float) -> None:
    outline = feet((0, 0), (10, 0), (10, 4), (6, 4), (6, 10), (0, 10))
    corner = feet((6, 4))

    def thickness(x: np.ndarray, y: np.ndarray) -> np.ndarray:
        return (thin + 0.1 * y / FOOT) * INCH + 0 * x

    held_against(outline, thickness, corner)


def test_a_joint_at_a_jamb_is_laid_as_far_as_it_is_worth() -> None:
    """8 x 8 ft and 4 in thick is one panel: 36 x 4 in is 12 ft.

    A line at a jamb, 4 or 4 1/2 ft along and 8 ft long, leaves strips more slender than 1.5 to 1,
    which ask for a line across, 8 ft: 16 ft in all for the wish.
    """
    jambs = feet((4, 0), (4.5, 0))
    here = floor(box_feet(8, 8), lambda x, _y: 4 * INCH + 0 * x, doors=(("door", jambs),))

    def laid(worth_ft: float) -> tuple[float, tuple[str, ...]]:
        asked = JointsAsked("sawn", step_m=2 * FOOT, door_worth_m=worth_ft * FOOT)
        found = lay_joints(*here, asked, system="unbonded")
        return found.length_m / FOOT, found.proof.given_up

    assert laid(15.0) == (0.0, ("door",))
    assert laid(17.0) == (pytest.approx(16.0), ())
