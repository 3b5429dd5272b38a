"""The second look at the joints finds every way in which a layout can be wrong."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

import numpy as np
import pytest
import shapely
from joint_floors import FOOT, INCH, feet

from overslab.handbook.checks import Check
from overslab.takeoff.joint_check import Drawn, Ground, check_layout, measure_panels
from overslab.takeoff.joint_rules import PanelRule

# 24 x 24 ft without its north-east quarter, 4 in thick (12 ft a panel), an old joint at y = 6 ft
# in the west leg and a post on the line at x = 12 ft.
OUTLINE = feet((0, 0), (24, 0), (24, 12), (12, 12), (12, 24), (0, 24))
POST = feet((11.75, 4), (12.25, 4), (12.25, 4.5), (11.75, 4.5))
OLD = feet((0, 6), (24, 6))
RULE = PanelRule(36.0, 15 * FOOT, 2.0, 2 * FOOT, "36 thicknesses")
GOOD = (
    Drawn("J1", OLD, "old joint", 4 * INCH),
    Drawn("J2", feet((12, 0), (12, 12)), "", 1 * INCH),
    Drawn("J3", feet((0, 12), (12, 12)), "", 1 * INCH),
)
# 24 + 12 + 12 ft, less half a foot of post.
LENGTH_M = 47.5 * FOOT


def ground(thickness: Callable[[np.ndarray], np.ndarray] | None = None) -> Ground:
    floor = shapely.Polygon(OUTLINE, [POST])
    across, up = np.meshgrid(np.arange(0.05, 7.3, 0.1), np.arange(0.05, 7.3, 0.1))
    at = np.column_stack([across.ravel(), up.ravel()])
    at = at[shapely.contains_xy(floor, at[:, 0], at[:, 1])]
    known = thickness or (lambda xy: np.full(len(xy), 4 * INCH))
    return Ground(
        floor=floor,
        lattice_m=at,
        lattice_thickness_m=known(at),
        thickness_m=known,
        to_match=(("old joint", OLD),),
        doors=(("door", (feet((12, 0))[0], feet((20, 0))[0])),),
        both_jambs=False,
        depth_share=0.25,
        least_depth_m=INCH,
    )


def looked_at(
    lines: tuple[Drawn, ...] = GOOD,
    *,
    on: Ground | None = None,
    rule: PanelRule = RULE,
    length_m: float = LENGTH_M,
) -> dict[str, Check]:
    here = on or ground()
    panels = measure_panels([line.path for line in lines], here, rule)
    found = check_layout(lines, here, rule, panels=panels, length_m=length_m)
    return {check.name: check for check in found}


def failing(found: dict[str, Check]) -> set[str]:
    return {name for name, check in found.items() if not check.passes}


def test_a_good_layout_passes() -> None:
    assert failing(looked_at()) == set()
    panels = measure_panels([line.path for line in GOOD], ground(), RULE)
    # By rows: two of 12 by 6 ft, two more, then the leg of 12 by 12.
    sides = [(p.length_m / FOOT, p.width_m / FOOT) for p in panels]
    assert sides == [pytest.approx((12, 6))] * 4 + [pytest.approx((12, 12))]
    assert panels[4].area_m2 == pytest.approx(144 * FOOT**2)
    assert sum(p.area_m2 for p in panels) == pytest.approx((432 - 0.25) * FOOT**2)


LONG, SLENDER = "longest side of a panel", "length over width of a panel"
NARROW, CORNER = "narrowest panel", "inside corners without a joint"
MATCH, STOPS = "old joint without a joint right over it", "joints that stop in the floor"
POSTS, DOORS = "posts without a joint", "doors without a joint at a jamb"
DEEP, TOLD = "depth of a joint at its thickest place", "cut length told and drawn, difference"


def moved(number: int, *path: tuple[float, float], **changes: object) -> tuple[Drawn, ...]:
    lines = list(GOOD)
    lines[number] = replace(lines[number], path=feet(*path), **changes)
    return tuple(lines)


@pytest.mark.parametrize(
    ("lines", "breaks"),
    [
        (GOOD[1:], {MATCH, TOLD}),
        (GOOD[::2], {LONG, SLENDER, POSTS, DOORS, TOLD}),
        # 14 by 6 ft to the east of it, and its head hangs in the leg.
        (moved(1, (10, 0), (10, 12)), {LONG, SLENDER, POSTS, DOORS, STOPS, TOLD}),
        # 12 by 5.9 ft is more slender than 2 to 1.
        (moved(0, (0, 6.1), (24, 6.1)), {MATCH, SLENDER}),
        # What hangs loose parts nothing: 12 by 12 ft to the east.
        (moved(0, (0, 6), (23, 6)), {MATCH, STOPS, TOLD}),
        (moved(2, (0, 11), (12, 11)), {LONG, SLENDER, STOPS}),
        ((*GOOD, Drawn("J4", feet((0, 23), (12, 23)), "", INCH)), {SLENDER, NARROW, TOLD}),
        (moved(0, *((0, 6), (24, 6)), depth_m=3.9 * INCH), {DEEP}),
        (moved(1, *((12, 0), (12, 12)), depth_m=0.9 * INCH), {DEEP}),
    ],
)
def test_every_mutation_is_found(lines: tuple[Drawn, ...], breaks: set[str]) -> None:
    found = failing(looked_at(lines))
    assert found, breaks
    assert found == breaks


def test_an_inside_corner_left_bare_is_found() -> None:
    """The corner loses both lines that end there."""
    lines = (GOOD[0], Drawn("J2", feet((13, 0), (13, 12)), "", INCH))
    assert CORNER in failing(looked_at(lines))


def test_a_thin_place_shortens_its_panel() -> None:
    """3 in only in a hand's breadth of the leg: 9 ft are allowed there, 12 drawn."""

    def thin(xy: np.ndarray) -> np.ndarray:
        near = np.hypot(xy[:, 0] - 6 * FOOT, xy[:, 1] - 18 * FOOT) < 0.15
        return np.where(near, 3.0, 4.0) * INCH

    found = looked_at(on=ground(thin))
    assert failing(found) == {LONG}
    assert found[LONG].allowed == pytest.approx(9 * FOOT)
    assert found[LONG].where == "panel 5"


def test_a_thick_place_asks_for_a_deeper_cut() -> None:
    """6 in along the west wall: 1 1/2 in asked of J3, and the old joint asks for 6."""

    def thick(xy: np.ndarray) -> np.ndarray:
        return np.where(xy[:, 0] < 0.5, 6.0, 4.0) * INCH

    found = looked_at(on=ground(thick))
    assert failing(found) == {DEEP}
    assert found[DEEP].allowed == pytest.approx(6 * INCH)


def test_a_length_told_wrong_is_found() -> None:
    assert failing(looked_at(length_m=LENGTH_M + 0.01)) == {TOLD}


def test_squarer_panels_can_be_asked_for() -> None:
    assert failing(looked_at(rule=replace(RULE, aspect=1.9))) == {SLENDER}
