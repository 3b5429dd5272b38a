"""Every fault of the wishes, met and told, all at once and never as a traceback."""

from __future__ import annotations

import math

import pytest
from floors_for_tops import box, door, old_floor, wishes_of

from overslab.ground.faults import Faulty
from overslab.newtop import design, faults
from overslab.newtop.records import Drain, Move, Outlet, Wishes, Zone
from overslab.oldslab.records import FloorPlan

FRONT = Outlet("front door", ((1.0, 0.0), (4.0, 0.0)))
BAY = ((2.0, 4.0), (4.0, 4.0), (4.0, 6.0), (2.0, 6.0))


def codes(wishes: Wishes) -> list[str]:
    with pytest.raises(Faulty) as caught:
        design(old_floor(FloorPlan(outline=box(6, 8))), wishes)
    for fault in caught.value.faults:
        assert all((fault.what, fault.value, fault.limit, fault.remedy))
        assert "{" not in str(fault)
    return [fault.code for fault in caught.value.faults]


@pytest.mark.parametrize(
    ("changed", "kind"),
    [
        ({"outlets": ()}, faults.NO_OUTLET),
        ({"outlets": (Outlet("far", ((20.0, 0.0),)),)}, faults.OUTLET_OFF_FLOOR),
        ({"outlets": (Outlet("dot", ((1.0, 0.0), (1.0, 0.0))),)}, faults.OUTLET_SHAPE),
        ({"outlets": (Outlet("bent", ((1.0, 0.0), (2.0, 0.0), (2.0, 1.0))),)}, faults.OUTLET_SHAPE),
        ({"outlets": (Outlet("nowhere", ((math.nan, 0.0),)),)}, faults.NOT_A_NUMBER),
        ({"edges": (door(0.0, 1.0, b=(4.0, 1.0)),)}, faults.EDGE_OFF_OUTLINE),
        ({"edges": (door(0.0, 1.0, b=(1.0, 0.0)),)}, faults.EDGE_NO_LENGTH),
        ({"edges": (door(1.0, 0.0),)}, faults.EDGE_UPSIDE_DOWN),
        ({"edges": (door(math.inf, None),)}, faults.NOT_A_NUMBER),
        ({"edges": (door(0.0, 1.0, move=Move(-5.0, 0.1)),)}, faults.NEGATIVE),
        ({"edges": (door(0.0, 1.0), door(0.0, 1.0))}, faults.TWIN_NAMES),
        ({"drains": (Drain("out", (9.0, 9.0), 0.0, "keep"),)}, faults.DRAIN_OFF_FLOOR),
        ({"drains": (Drain("odd", (3.0, 3.0), math.nan, "keep"),)}, faults.NOT_A_NUMBER),
        ({"zones": (Zone("gone", ((20, 20), (21, 20), (21, 21))),)}, faults.ZONE_OFF_FLOOR),
        ({"zones": (Zone("line", ((2, 2), (3, 3))),)}, faults.ZONE_OFF_FLOOR),
        ({"zones": (Zone("bow", ((2, 2), (4, 4), (4, 2), (2, 4))),)}, faults.ZONE_OFF_FLOOR),
        (
            {"zones": (Zone("bay", BAY, least_fall=0.02, greatest_fall=0.01),)},
            faults.LEAST_OVER_GREATEST,
        ),
        ({"zones": (Zone("bay", BAY, least_fall=-0.02),)}, faults.NEGATIVE),
        ({"least_fall": 0.05}, faults.LEAST_OVER_GREATEST),
        ({"greatest_thickness_m": 0.01}, faults.LEAST_OVER_GREATEST),
        ({"mark_m": 0.0}, faults.NOT_POSITIVE),
        ({"straightedge_m": -1.0}, faults.NOT_POSITIVE),
        ({"bend": -0.1}, faults.NEGATIVE),
        ({"concrete_cost_per_m3": math.nan}, faults.NOT_A_NUMBER),
        ({"highest_m": math.inf}, faults.NOT_A_NUMBER),
        ({"firm": ("no such rule",)}, faults.UNKNOWN_RULE),
        ({"kinds": ()}, faults.NO_KIND),
        ({"kinds": ("plane",), "choose": "strips"}, faults.CHOICE_NOT_ASKED),
    ],
)
def test_each_fault_is_told(changed, kind) -> None:
    assert codes(wishes_of(**changed)) == [kind.code]


def test_all_faults_come_together() -> None:
    found = codes(wishes_of(outlets=(), mark_m=0.0, edges=(door(1.0, 0.0),)))
    assert set(found) == {
        faults.NO_OUTLET.code,
        faults.NOT_POSITIVE.code,
        faults.EDGE_UPSIDE_DOWN.code,
    }


def test_a_stair_may_stand_out_in_the_floor() -> None:
    stair = door(0.0, 1.0, name="stair", kind="stair", a=(2.0, 4.0), b=(3.0, 4.0))
    top = design(
        old_floor(FloorPlan(outline=box(6, 8))), wishes_of(edges=(stair,), kinds=("plane",))
    )
    assert top.chosen == "plane"
