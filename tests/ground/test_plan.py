"""Lines of a floor plan: every way they can be wrong, and cells that add up."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

import numpy as np
import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st

from overslab.ground.plan import SNAP_M, carry_ends, check_plan, clipped_cells, distinct

Ring = Sequence[tuple[float, float]]
BOX = [(0.0, 0.0), (6.0, 0.0), (6.0, 4.0), (0.0, 4.0)]


def square(x: float, y: float, side: float) -> Ring:
    return [(x, y), (x + side, y), (x + side, y + side), (x, y + side)]


def codes(
    outline: Ring = BOX,
    *,
    holes: Mapping[str, Ring] | None = None,
    features: Mapping[str, Ring] | None = None,
    breaks: Mapping[str, Ring] | None = None,
) -> list[str]:
    faults = check_plan(
        outline=outline, holes=holes or {}, features=features or {}, breaks=breaks or {}
    )
    return [fault.code for fault in faults]


def test_a_sound_plan_has_no_faults() -> None:
    assert not codes(
        [*BOX, BOX[0]],
        holes={"post": square(1, 1, 0.2)},
        features={"pit": square(3, 1, 1), "pad": square(4, 1, 1)},
        breaks={
            "across": [(2.5, -1), (2.5, 5)],
            "to the wall, a hair short": [(2.5 + SNAP_M * 0.9, 2.5), (6 - SNAP_M * 0.9, 2.5)],
            "into the pit": [(3.5, 2.5), (3.5, 1.5)],
            "ring": [(0.5, 3), (1.5, 3), (1.5, 3.5), (0.5, 3.5), (0.5, 3)],
        },
    )


@pytest.mark.parametrize(
    ("code", "given"),
    [
        ("plan-not-a-number", {"outline": [*BOX[:3], (float("nan"), 4.0)]}),
        ("plan-too-large", {"outline": [*BOX[:3], (0.0, 4e5)]}),
        ("plan-too-few-corners", {"outline": BOX[:2]}),
        ("plan-too-few-corners", {"outline": [(0, 0), (1, 0), (1, 0), (0, 0)]}),
        ("plan-too-few-corners", {"outline": []}),
        ("plan-too-few-corners", {"outline": square(0, 0, 0.05)}),
        ("plan-crosses-itself", {"outline": [BOX[0], BOX[2], BOX[1], BOX[3]]}),
        ("plan-crosses-itself", {"features": {"pit": [(1, 1), (2, 2), (2, 1), (1, 2)]}}),
        ("plan-hole-outside", {"holes": {"post": square(5.9, 1, 0.3)}}),
        ("plan-hole-outside", {"holes": {"post": square(5.7, 1, 0.3)}}),
        ("plan-hole-outside", {"holes": {"post": square(8, 1, 0.3)}}),
        ("plan-holes-overlap", {"holes": {"a": square(1, 1, 1), "b": square(1.5, 1.5, 1)}}),
        ("plan-holes-overlap", {"holes": {"a": square(1, 1, 1), "b": square(2, 1, 1)}}),
        ("plan-feature-outside", {"features": {"pit": square(5.5, 1, 0.6)}}),
        (
            "plan-feature-outside",
            {"holes": {"post": square(1, 1, 2)}, "features": {"pit": square(1.5, 1.5, 1)}},
        ),
        ("plan-features-overlap", {"features": {"a": square(1, 1, 1), "b": square(1.5, 1.5, 1)}}),
        ("plan-break-too-short", {"breaks": {"c": [(1, 1), (1, 1.01)]}}),
        ("plan-break-too-short", {"breaks": {"c": [(1, 1)]}}),
        ("plan-break-off-floor", {"breaks": {"c": [(7, 0), (7, 4)]}}),
        ("plan-break-does-not-cross", {"breaks": {"c": [(0, 2), (4, 2)]}}),
        ("plan-break-does-not-cross", {"breaks": {"c": [(0, 2), (6 - 2 * SNAP_M, 2)]}}),
    ],
)
def test_each_fault_is_told_alone(code: str, given: dict[str, object]) -> None:
    assert codes(**given) == [code]  # type: ignore[arg-type]


def test_all_faults_are_told_at_once() -> None:
    found = codes(
        [BOX[0], BOX[2], BOX[1], BOX[3]],
        holes={"post": BOX[:2]},
        breaks={"c": [(1, 1)], "d": [(float("inf"), 0), (1, 1)]},
    )
    assert found == [
        "plan-crosses-itself",
        "plan-too-few-corners",
        "plan-break-too-short",
        "plan-not-a-number",
    ]
    both_ends = codes(breaks={"c": [(1, 2), (4, 2)]})
    assert both_ends == ["plan-break-does-not-cross"] * 2


def test_a_fault_names_the_place_in_the_units_asked_for() -> None:
    (fault,) = check_plan(
        outline=BOX,
        holes={},
        features={},
        breaks={"crack 1": [(0, 2), (4.25, 2)]},
        place="job.toml",
        write=lambda metres: f"{1000 * metres:.0f} mm",
    )
    assert fault.place == "job.toml"
    assert "crack 1" in fault.what
    assert "x 4250 mm, y 2000 mm, 1750 mm short" in fault.what


def test_crossing_outline_names_where_it_crosses() -> None:
    (fault,) = check_plan(
        outline=[(0, 0), (4, 4), (4, 0), (0, 4)], holes={}, features={}, breaks={}
    )
    assert "x 2.000 m, y 2.000 m" in fault.what


def test_ends_near_something_are_carried_to_it() -> None:
    floor = shapely.Polygon(BOX)
    lines = {
        "a": shapely.LineString([(0.02, 1), (5.99, 1)]),
        "b": shapely.LineString([(3, 1.02), (3, 4.5)]),
    }
    carried, free = carry_ends(floor, breaks=lines, features={})
    assert free == {"a": [], "b": []}
    assert carried["a"].coords[0] == (0.0, 1.0)
    assert carried["a"].coords[-1] == (6.0, 1.0)
    assert carried["b"].coords[0] == (3.0, 1.0)
    assert carried["b"].coords[-1] == (3.0, 4.5)


def test_repeated_corners_are_one() -> None:
    assert distinct([(0, 0), (0, 0), (1, 0), (1, 1), (0, 0)]) == [(0, 0), (1, 0), (1, 1)]


def _metres(most: float) -> st.SearchStrategy[float]:
    """To the micrometre: nobody tapes finer, and GEOS cannot part the least float from nought."""
    return st.floats(0, most).map(lambda value: round(value, 6))


@given(
    points=st.lists(st.tuples(_metres(9), _metres(7)), min_size=4, max_size=12, unique=True),
    tilt=st.tuples(st.floats(-1, 1), st.floats(-1, 1)),
    step_m=st.floats(0.15, 2),
)
def test_clipped_cells_are_exact_for_planes(
    points: list[tuple[float, float]], tilt: tuple[float, float], step_m: float
) -> None:
    hull = shapely.MultiPoint(points).convex_hull
    if hull.area < 0.5:
        return
    polygon = hull.difference(hull.centroid.buffer(0.2))
    xy, areas = clipped_cells(polygon, step_m=step_m)
    assert areas.sum() == pytest.approx(polygon.area, rel=1e-9)
    centre = np.array(polygon.centroid.coords[0])
    exact = polygon.area * (centre @ tilt)
    assert areas @ (xy @ np.array(tilt)) == pytest.approx(exact, abs=1e-8)
