"""The floor cut into panels."""

from __future__ import annotations

import numpy as np
import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st

from overslab.oldslab import Break, Feature, FloorPlan, Hole
from overslab.oldslab.panels import cut_panels, distances, side_of

BOX = ((0.0, 0.0), (6.0, 0.0), (6.0, 4.0), (0.0, 4.0))
ELL = ((0.0, 0.0), (8.0, 0.0), (8.0, 3.0), (3.0, 3.0), (3.0, 7.0), (0.0, 7.0))


def crack(name: str, *line: tuple[float, float]) -> Break:
    return Break(name, line, "crack")


def test_a_plain_floor_is_one_panel() -> None:
    (panel,) = cut_panels(FloorPlan(outline=BOX))
    assert (panel.name, panel.kind) == ("A", "panel")
    assert panel.polygon.equals(shapely.Polygon(BOX))


def test_breaks_that_meet_and_overshoot_cut_three_panels() -> None:
    plan = FloorPlan(
        outline=BOX, breaks=(crack("1", (2, -1), (2, 5)), crack("2", (2.01, 2), (5.99, 2)))
    )
    panels = cut_panels(plan)
    assert [piece.name for piece in panels] == ["A", "B", "C"]
    assert sorted(round(piece.polygon.area, 4) for piece in panels) == [8, 8, 8]
    # Lettered from the top of the sheet down, then from left to right.
    assert panels[0].polygon.centroid.y > panels[1].polygon.centroid.y
    assert panels[1].polygon.centroid.y > panels[2].polygon.centroid.y


def test_three_cracks_that_meet_in_the_open_floor() -> None:
    plan = FloorPlan(
        outline=BOX,
        breaks=(
            crack("stem", (0, 2), (3, 2)),
            crack("up", (3, 2.01), (6, 4)),
            crack("down", (3.01, 2), (6, 0)),
        ),
    )
    assert len(cut_panels(plan)) == 3


def test_a_break_through_a_post_cuts_and_one_up_to_it_does_not() -> None:
    post = Hole("post", ((2.9, 1.9), (3.1, 1.9), (3.1, 2.1), (2.9, 2.1)))
    through = FloorPlan(outline=BOX, holes=(post,), breaks=(crack("1", (3, 0), (3, 4)),))
    assert len(cut_panels(through)) == 2
    up_to = FloorPlan(outline=BOX, holes=(post,), breaks=(crack("1", (3, 0), (3, 1.9)),))
    (panel,) = cut_panels(up_to)
    assert panel.polygon.area == pytest.approx(24 - 0.04)


def test_pits_trenches_and_pads_are_panels_of_their_own() -> None:
    plan = FloorPlan(
        outline=BOX,
        breaks=(crack("1", (1, 3), (5, 3)), crack("2", (1.5, 0.5), (1.5, 1.4))),
        features=(
            Feature("old pipe", "trench", ((1, 0), (1.6, 0), (1.6, 4), (1, 4))),
            Feature("A", "pad", ((5, 2.5), (5.99, 2.5), (5.99, 3.5), (5, 3.5))),
        ),
    )
    panels = {piece.name: piece for piece in cut_panels(plan)}
    # The trench parts the floor; the break runs from it to the pad and does not cut; the one inside
    # the trench has nothing to cut; the letter A is taken by the pad.
    assert sorted(panels) == ["A", "B", "C", "old pipe"]
    assert panels["old pipe"].kind == "trench"
    assert panels["old pipe"].polygon.area == pytest.approx(2.4)
    assert sum(piece.polygon.area for piece in panels.values()) == pytest.approx(24)


def test_a_break_along_the_wall_leaves_no_sliver() -> None:
    plan = FloorPlan(outline=BOX, breaks=(crack("joint", (0.01, -1), (0.012, 5)),))
    (panel,) = cut_panels(plan)
    assert panel.polygon.area == pytest.approx(24)


def test_a_break_cuts_both_legs_of_an_ell() -> None:
    plan = FloorPlan(outline=ELL, breaks=(crack("1", (-1, 7.5), (8, 0.5)),))
    panels = cut_panels(plan)
    assert sum(piece.polygon.area for piece in panels) == pytest.approx(36)
    assert len(panels) >= 2


def test_a_place_belongs_to_the_panel_it_lies_in_or_the_nearest() -> None:
    plan = FloorPlan(outline=BOX, breaks=(crack("1", (2, 0), (2, 4)),))
    panels = cut_panels(plan)
    left = 0 if panels[0].polygon.centroid.x < 2 else 1
    places = np.array([[1.9, 1], [2.1, 1], [-3, 1], [9, 1], [2.0, 1.0]])
    found = side_of(panels, places)
    assert found[:4].tolist() == [left, 1 - left, left, 1 - left]
    assert distances(panels, places)[4].tolist() == [0, 0]


@given(
    cuts=st.lists(
        st.tuples(st.floats(0.2, 5.8), st.floats(0.2, 5.8), st.booleans(), st.floats(-0.02, 0.02)),
        max_size=5,
    )
)
def test_panels_are_the_floor_however_it_is_cracked(
    cuts: list[tuple[float, float, bool, float]],
) -> None:
    breaks = []
    for number, (a, b, upright, short) in enumerate(cuts):
        line = [(a, short), (b, 4 - short)] if upright else [(short, a * 2 / 3), (6, b * 2 / 3)]
        breaks.append(crack(str(number), *line))
    panels = cut_panels(FloorPlan(outline=BOX, breaks=tuple(breaks)))
    assert sum(piece.polygon.area for piece in panels) == pytest.approx(24, abs=1e-4)
    assert shapely.union_all([piece.polygon for piece in panels]).area == pytest.approx(
        24, abs=1e-4
    )
    names = [piece.name for piece in panels]
    assert len(set(names)) == len(names)
    for number, piece in enumerate(panels):
        spot = piece.polygon.point_on_surface()
        assert side_of(panels, np.array([[spot.x, spot.y]]))[0] == number
