"""The list that holds the pour date: all that comes before it, in an order that works."""

from __future__ import annotations

from made_up_meeting import FRONT, level, new_top, old_slab, raised

from overslab.touches import (
    TRADES,
    Burner,
    FloorDrain,
    OverheadDoor,
    Post,
    SideDoor,
    Stair,
    Touches,
    TouchFacts,
    Wall,
    meet,
)


def everything(by_m: float = 0.2) -> Touches:
    """Every kind of touch, most of them upset."""
    return raised(
        by_m,
        overhead_doors=(OverheadDoor("big door", *FRONT, sill_m=0.0, headroom_left_m=0.1),),
        side_doors=(
            SideDoor("man door", (3.0, 6.0), (4.0, 6.0), 0.1, swings="over", gap_under_m=0.01),
        ),
        stairs=(Stair("stair", (0.0, 1.0), (0.0, 2.0), risers_m=(0.18,) * 6, headroom_m=2.1),),
        walls=(Wall("wall", (8.0, 0.0), (8.0, 6.0), 0.21, 0.2, 0.1, 0.1),),
        burners=(Burner("heater", (6.0, 5.0), 0.4, True),),
        drains=(FloorDrain("drain", (4.0, 3.0), 0.0, "bury"),),
        posts=(Post("post", (5.0, 3.0), "wood", 0.1),),
    )


def test_every_entry_stands_after_what_it_waits_for() -> None:
    done: set[str] = set()
    touches = everything()
    for ready in touches.readiness:
        assert set(ready.waits_for) <= done
        assert ready.what not in done
        done.add(ready.what)
    assert len(done) > 10


def test_the_owner_signs_before_any_trade_and_the_heights_are_shot_again_last() -> None:
    office, signed, *rest = everything().readiness
    assert "local office" in office.what
    assert "signed" in signed.what
    assert signed.waits_for == (office.what,)
    assert {office.trade, signed.trade} == {"owner"}
    last = rest.pop()
    assert "shot again" in last.what
    assert len(last.waits_for) == len(rest) + 2
    for ready in rest:
        assert ready.trade == "owner" or signed.what in ready.waits_for


def test_whatever_must_be_done_before_the_pour_is_on_the_list() -> None:
    touches = everything()
    listed = {(ready.trade, ready.what) for ready in touches.readiness}
    before = [
        remedy
        for touch in touches.touches
        for remedy in touch.remedies
        if remedy.when == "before the pour"
    ]
    assert len(before) > 6
    for remedy in before:
        assert remedy.ready, remedy.says
        assert (remedy.trade, remedy.ready) in listed
    # A door technician comes after the pour; that he will come is known before it.
    assert any(trade == "door technician" for trade, _ in listed)


def test_at_one_touch_trades_come_in_the_order_of_work() -> None:
    order = {trade: place for place, trade in enumerate(TRADES)}
    touches = everything()
    for touch in touches.touches:
        here = [order[one.trade] for one in touches.readiness if one.about == touch.name]
        assert here == sorted(here)
    named = [order[trade] for trade in touches.trades]
    assert named == sorted(set(named))
    for trade in touches.trades:
        assert touches.work_of(trade)
        assert all(remedy.trade == trade for remedy in touches.work_of(trade))


def test_the_local_office_is_asked_when_a_rule_is_not_met() -> None:
    asked = "the local office has said which rules hold here, and what it will look at"
    assert asked in {one.what for one in everything().readiness}
    calm = raised(0.0, overhead_doors=(OverheadDoor("big door", *FRONT, sill_m=0.0),))
    assert [one.what for one in calm.readiness] == [
        "the heights at doors, stairs, drains and walls are signed by the owner",
        "the heights are shot again and the grade sheet is frozen",
    ]


def test_each_remedy_names_its_touch_and_says_its_size() -> None:
    touches = everything()
    names = {touch.name for touch in touches.touches}
    for trade in touches.trades:
        for remedy in touches.work_of(trade):
            assert remedy.about in names
            told = remedy.told(lambda quantity, value: f"<{quantity} {value:.3f}>")
            assert remedy.size_m is not None
            assert f"<length_m {remedy.size_m:.3f}>" in told
            assert remedy.size_m > 0, told


def test_what_the_verdict_wants_put_right_holds_the_pour_date() -> None:
    slab, top = old_slab(level(0.0)), new_top(level(0.1))
    only_that = meet(slab, top, TouchFacts(), put_right=("grout the hollow",)).readiness
    assert [(one.what, one.waits_for) for one in only_that] == [("grout the hollow", ())]
    door = OverheadDoor("big door", *FRONT, sill_m=0.0)
    first, *_, last = meet(
        slab, top, TouchFacts(overhead_doors=(door,)), put_right=("grout the hollow",)
    ).readiness
    assert first.what == "grout the hollow"
    assert "grout the hollow" in last.waits_for
