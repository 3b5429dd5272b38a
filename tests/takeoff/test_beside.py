"""Sheet, bond, filling, cure, forms and fibre: every amount by hand."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Any, cast

import numpy as np
import pytest
import shapely
from test_measure import FOOT, Shape, box, level, new_top, old_slab

from overslab.newtop.records import Edge, NewTop, Pad
from overslab.oldslab.records import Hole, OldSlab
from overslab.takeoff import BuildUp, Item, Takeoff, Trucks, measure
from overslab.takeoff.asked import (
    BarsAsked,
    FormsAsked,
    PatchAsked,
    RolledAsked,
    SpreadAsked,
    SupportsAsked,
    WireAsked,
)
from overslab.verdict.records import Hollow, Verdict

SHEET = RolledAsked(roll_length_m=30.0, roll_width_m=4.25, lap_m=0.25, what="sheet")
GROUT = SpreadAsked(covers_m2_per_unit=5.0, unit="bag", open_minutes=15.0, what="grout")


@dataclass(frozen=True)
class Said:
    """What the takeoff reads of a verdict."""

    system: str | None
    hollows: tuple[Hollow, ...] = ()
    joints_to_match: tuple[str, ...] = ()
    no_drilling: tuple[str, ...] = ()


@dataclass(frozen=True)
class Mix:
    fibre: str | None
    fibre_kg_per_m3: float | None


def verdict(system: str | None, *hollows: Hollow) -> Verdict:
    return cast(Verdict, Said(system, hollows))


def bay(*, top_m: float = 0.1, strips: tuple[Any, ...] = (), **plan: Any) -> tuple[OldSlab, NewTop]:
    """8 by 6 m, level, 100 mm thick."""
    return old_slab(box(0, 0, 8, 6), level(0.0), **plan), new_top(level(top_m), strips)


def items(found: Takeoff) -> dict[str, Item]:
    codes = [item.code for item in found.items]
    assert len(codes) == len(set(codes))
    return {item.code: item for item in found.items}


def says(found: Takeoff, weight: str) -> str:
    return " ".join(remark.text for remark in found.remarks if remark.weight == weight)


def test_unasked_there_is_only_the_work_of_the_concrete() -> None:
    old, new = bay()
    found = items(measure(old, new))
    assert {code: item.net for code, item in found.items()} == {
        "place": pytest.approx(4.8),
        "finish": pytest.approx(48.0),
        "clean-up": pytest.approx(48.0),
    }
    assert all(item.kind == "work" for item in found.values())


def test_sheet_turned_up_at_the_walls_and_taped() -> None:
    """North is open: upturn 0.1 m on 20 m of wall. The sheet lies on 8.2 by 6.1 m: along, two
    courses of 8.2 m reach 4.25 + 4 = 8.25 > 6.1; across, two of 6.1 m reach 8.25 > 8.2: 12.2 m.
    """
    old, new = bay(openings=(((0.0, 6.0), (8.0, 6.0)),))
    asked = replace(SHEET, upturn_m=0.1, tape_length_m=5.0)
    found = measure(old, new, BuildUp(breaker=asked), verdict=verdict("unbonded"))
    sheet, tape = items(found)["breaker"], items(found)["breaker-tape"]
    assert sheet.net == pytest.approx(48 + 2.0)
    assert sheet.gross == pytest.approx(12.2 * 4.25)
    assert sheet.ordered == 1
    assert tape.net == pytest.approx(6.1)
    assert tape.ordered == 2
    assert items(found)["lay-breaker"].net == pytest.approx(48)
    assert found.sheet is not None
    assert len(found.sheet.courses) == 2


def test_two_layers_are_twice_the_sheet() -> None:
    """Across 8 m: 2 courses of 6 m, 12 m a layer; two layers are 24 m of the 30 on a roll."""
    old, new = bay(holes=(Hole("post", box(2, 2, 2.5, 2.5)),))
    found = items(measure(old, new, BuildUp(breaker=replace(SHEET, layers=2))))
    assert found["breaker"].net == pytest.approx(2 * (48 - 0.25))  # the post is cut round
    assert found["breaker"].gross == pytest.approx(24 * 4.25)
    assert found["breaker"].ordered == 1


def test_bonded_takes_the_bonding_agent_and_no_sheet() -> None:
    """48 m2 by 5 m2 a bag: 9.6, ten bags."""
    old, new = bay()
    both = BuildUp(breaker=SHEET, bonding=GROUT)
    bonded = measure(old, new, both, verdict=verdict("bonded"))
    assert "breaker" not in items(bonded)
    agent = items(bonded)["bonding-agent"]
    assert (agent.ordered, agent.order_unit) == (10, "bag")
    assert agent.waste == pytest.approx(50 / 48 - 1)
    assert items(bonded)["prepare-surface"].net == pytest.approx(48)
    assert "sheet of [breaker] is left out" in says(bonded, "note")
    unbonded = measure(old, new, both, verdict=verdict("unbonded"))
    assert {"bonding-agent", "bond", "prepare-surface"}.isdisjoint(items(unbonded))
    undecided = measure(old, new, both, verdict=verdict(None))
    assert "unbonded" in [one.taken for one in undecided.assumptions]


def test_how_much_may_be_coated_ahead() -> None:
    """A truck of 6 m3 every 30 min is 3 m3 in 15 min: 30 m2 at 100 mm. S2 is 32 m2: in parts."""
    old, new = bay(strips=(box(0, 0, 8, 2), box(0, 2, 8, 6)))
    found = measure(
        old,
        new,
        BuildUp(bonding=GROUT),
        verdict=verdict("bonded"),
        trucks=Trucks(every_minutes=30.0, hold_m3=6.0),
    )
    told = says(found, "warn")
    assert "At most 30.0 m2" in told
    assert "Coat S2 in parts" in told
    (working,) = [one for one in found.workings if "coated ahead" in one.about]
    assert working.result.value == pytest.approx(30.0)


def test_an_open_time_that_nobody_gave_is_asked() -> None:
    old, new = bay()
    asked = BuildUp(bonding=replace(GROUT, open_minutes=None))
    assert "how many minutes" in says(measure(old, new, asked, verdict=verdict("bonded")), "ask")


def pitted() -> OldSlab:
    """A floor that rises 10 mm a metre; a pit of 2 by 1 m goes down 0.1 m all over."""

    def height(x: np.ndarray, y: np.ndarray) -> np.ndarray:
        inside = (x > 3) & (x < 5) & (y > 2) & (y < 3)
        return 0.01 * x - np.where(inside, 0.1, 0.0)

    pit = shapely.box(3, 2, 5, 3)
    floor = shapely.Polygon(box(0, 0, 8, 6), [pit.exterior.coords])
    old = old_slab(box(0, 0, 8, 6), Shape(height), panels=(("A", floor), ("pit", pit)))
    return replace(old, panels=(old.panels[0], replace(old.panels[1], kind="pit")))


MORTAR = PatchAsked(fills_m3_per_unit=0.05, unit="bag", hollow_depth_m=0.04)
HOLLOW = Hollow("hollow", box(4, 2.5, 6, 4))  # 3 m2, half a square metre of it in the pit


def test_pits_by_their_own_level_and_hollow_places_by_depth() -> None:
    """Pit 2 * 0.1 = 0.2 m3, hollow (3 - 0.5) * 0.04 = 0.1: six bags of 0.05. 0.2 less to pour."""
    old, new = pitted(), new_top(level(0.3))
    plain = measure(old, new)
    found = measure(old, new, BuildUp(patch=MORTAR), verdict=verdict(None, HOLLOW))
    assert items(found)["patch"].net == pytest.approx(0.3, abs=1e-6)
    assert items(found)["patch"].ordered == 6
    assert items(found)["fill"].net == pytest.approx(0.3, abs=1e-6)
    less_m3 = plain.total.volume_m3.mean - found.total.volume_m3.mean
    assert less_m3 == pytest.approx(0.2, abs=1e-6)
    assert sum(part.volume_m3.mean for part in found.panels) == pytest.approx(
        found.total.volume_m3.mean
    )
    assert found.panels[1].thickest_m == pytest.approx(0.3 - 0.03, abs=1e-3)
    assert items(found)["place"].net == pytest.approx(found.total.volume_m3.mean)


def test_pits_left_to_the_top() -> None:
    old, new = pitted(), new_top(level(0.3))
    asked = BuildUp(patch=replace(MORTAR, pits=False))
    found = measure(old, new, asked, verdict=verdict(None, HOLLOW))
    assert items(found)["patch"].net == pytest.approx(3 * 0.04)
    assert found.total.volume_m3.mean == pytest.approx(measure(old, new).total.volume_m3.mean)


def test_a_depth_that_nobody_gave_is_asked_and_never_guessed() -> None:
    old, new = bay()
    asked = BuildUp(patch=replace(MORTAR, hollow_depth_m=None))
    found = measure(old, new, asked, verdict=verdict(None, HOLLOW))
    assert "patch" not in items(found)
    assert "How deep" in says(found, "ask")
    assert "3.0 m2" in says(found, "ask")


def test_cure_and_sealer_by_coats_in_feet() -> None:
    """1000 sq ft, 300 sq ft a bucket and coat: two coats 6.67, seven; one coat 3.33, four."""
    old = old_slab(box(0, 0, 40 * FOOT, 25 * FOOT), level(0.0))
    spread = SpreadAsked(covers_m2_per_unit=300 * FOOT**2, unit="5 gal bucket")
    asked = BuildUp(cure=replace(spread, coats=2), sealer=spread)
    found = items(measure(old, new_top(level(0.1)), asked))
    assert (found["cure-compound"].ordered, found["sealer"].ordered) == (7, 4)
    assert found["cure-compound"].waste == pytest.approx(7 * 150 / 1000 - 1)
    assert found["cure"].net == found["seal"].net == pytest.approx(1000 * FOOT**2)


def test_cover_in_courses() -> None:
    """8 by 6 m, 3 m wide without laps: along two of 8 m, 16 m; across three of 6 m, 18 m."""
    old, new = bay()
    found = items(measure(old, new, BuildUp(cure_cover=RolledAsked(10.0, 3.0))))
    assert found["cure-cover"].gross == pytest.approx(48)
    assert found["cure-cover"].ordered == 2
    assert found["cure"].net == pytest.approx(48)


def test_boards_on_open_edges_and_stakes() -> None:
    """North 8 m and east 6 m off 5 m boards: 5 + 3; 2 + 4: three. Stakes 9 + 1 and 7 + 1."""
    old, new = bay(openings=(((0.0, 6.0), (8.0, 6.0)), ((8.0, 0.0), (8.0, 6.0))))
    found = measure(old, new, BuildUp(forms=FormsAsked(5.0, 0.9)))
    assert items(found)["form-board"].net == pytest.approx(14)
    assert items(found)["form-board"].ordered == 3
    assert items(found)["stake"].ordered == 9 + 1 + 7 + 1
    assert items(found)["set-forms"].net == items(found)["strip-forms"].net == pytest.approx(14)
    assert found.forms is not None
    assert [run.height_m for run in found.forms.runs] == pytest.approx([0.1, 0.1])
    assert "bulkhead-board" not in items(found)  # nothing is poured in strips


def test_a_board_that_is_too_low_is_told() -> None:
    old, new = bay(openings=(((0.0, 6.0), (8.0, 6.0)),))
    found = measure(old, new, BuildUp(forms=FormsAsked(5.0, 0.9, heights_m=(0.09,))))
    assert items(found)["form-board"].net == pytest.approx(16)
    assert "edge 3 (100 mm)" in says(found, "warn")


def test_bulkheads_where_a_day_ends_and_one_held_ready() -> None:
    """Three strips across: seams of 6 m after S1 and S2. One ends a day, one is held ready."""
    strips = (box(0, 0, 2, 6), box(2, 0, 5, 6), box(5, 0, 8, 6))
    old, new = bay(strips=strips)
    asked = FormsAsked(4.0, 1.0, day_ends=("S1", "S9"))
    found = measure(old, new, BuildUp(forms=asked))
    assert found.forms is not None
    assert [(run.kind, run.name) for run in found.forms.runs] == [
        ("bulkhead", "after S1"),
        ("held ready", "held ready, after S2"),
    ]
    assert items(found)["bulkhead-board"].net == pytest.approx(12)
    assert items(found)["set-bulkheads"].net == pytest.approx(12)
    assert "S9" in says(found, "ask")
    none = measure(old, new, BuildUp(forms=replace(asked, bulkheads=False, day_ends=())))
    assert none.forms is not None
    assert none.forms.runs == ()


def test_seams_meet_in_strips_that_lie_askew() -> None:
    """Strips turned by 30 degrees share their line only but for rounding: still 6 m."""
    turn = np.radians(30.0)
    matrix = np.array([[np.cos(turn), np.sin(turn)], [-np.sin(turn), np.cos(turn)]])

    def turned(corners: tuple[tuple[float, float], ...]) -> tuple[tuple[float, float], ...]:
        return tuple((x, y) for x, y in (np.array(corners) @ matrix).tolist())

    old = old_slab(turned(box(0, 0, 8, 6)), level(0.0))
    new = new_top(level(0.1), (turned(box(0, 0, 3, 6)), turned(box(3, 0, 8, 6))))
    found = measure(old, new, BuildUp(forms=FormsAsked(4.0)))
    assert items(found)["set-bulkheads"].net == pytest.approx(6, abs=1e-3)


def test_fibre_and_pads() -> None:
    """4.8 m3 at 0.6 kg/m3 is 2.88 kg; without a dose it is asked."""
    old, new = bay()
    pads = tuple(Pad(f"P{n}", (n, 1.0), 0.1, 0.1, 0.1) for n in range(3))
    (option,) = new.options
    new = replace(new, options=(replace(option, pads=pads),))
    found = measure(old, new, mix=Mix("micro fibre", 0.6))
    assert items(found)["fibre"].net == pytest.approx(2.88)
    assert items(found)["set-pads"].ordered == 3
    unknown = measure(old, new, mix=Mix("micro fibre", None))
    assert "fibre" not in items(unknown)
    assert "gives no dose" in says(unknown, "ask")
    assert "fibre" not in items(measure(old, new, mix=Mix("none", None)))


def test_what_is_taken_of_doors_is_told() -> None:
    old, new = bay()
    door = Edge("big door", "door", (1.0, 0.0), (4.0, 0.0), lowest_m=None, highest_m=None)
    new = replace(new, wishes=replace(new.wishes, edges=(door,)))
    told = says(measure(old, new, BuildUp(forms=FormsAsked(4.0))), "note")
    assert "At big door the new slab is taken as cast against the sill" in told


def test_wire_on_bars_is_held_against_the_thickness_and_said() -> None:
    wire = WireAsked(
        style="6x6 W2.9",
        sheet_length_m=3.0,
        sheet_width_m=1.5,
        spacing_m=0.15,
        wire_diameter_m=0.005,
        lap_m=0.2,
        edge_m=0.05,
        cover_top_m=0.03,
        cover_bottom_m=0.02,
    )
    bars = BarsAsked(
        size="10M",
        diameter_m=0.0113,
        spacing_m=0.4,
        stock_length_m=6.0,
        lap_m=0.5,
        edge_m=0.05,
        cover_top_m=0.03,
        cover_bottom_m=0.02,
    )
    chairs = SupportsAsked(kind="chair", spacing_m=0.6, height_m=0.025)
    old, new = bay()
    found = measure(old, new, BuildUp(wire=wire, bars=bars, supports=chairs))
    told = {check.name: check for check in found.checks}
    room = told["covers, bars and the wire on them in the thinnest place"]
    # 20 under, two bars of 11.3, four wires of 5, 30 over.
    assert (room.found, room.allowed) == (pytest.approx(0.1), pytest.approx(0.0926))
    over = told["cover over the wire that lies on the bars, in the thinnest place"]
    assert over.found == pytest.approx(0.1 - 0.025 - 0.0426)
    assert any(one.about == "wire and bars together" for one in found.assumptions)
    alone = measure(old, new, BuildUp(bars=bars))
    assert not any("wire" in check.name for check in alone.checks)
