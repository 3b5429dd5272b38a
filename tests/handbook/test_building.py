"""Model-code limits and what a topping does to the things that a floor meets."""

from __future__ import annotations

import pytest
from as_printed import answer
from hypothesis import given
from hypothesis import strategies as st

from overslab.ground.faults import Faulty
from overslab.ground.units import to_customary, to_si
from overslab.handbook import building
from overslab.handbook import building_checks as checks
from overslab.handbook.limits import Limit

INCH = to_si(1, "in")

# Limit, its print, and how it is known: IRC 2018 R311.7, R311.3, R317.1, R404.1.6, M1307.3;
# ADA 2010 303, 405; NEC; marked memory where the print was not at hand.
PRINTED = [
    (building.RISER_MOST, 7.75, "in", "read"),
    (building.RISER_MOST_STATES, 8.25, "in", "read"),
    (building.RISER_DIFFERENCE, 0.375, "in", "read"),
    (building.TREAD_LEAST, 10, "in", "read"),
    (building.STAIR_HEADROOM, 80, "in", "read"),
    (building.LANDING_LENGTH, 36, "in", "read"),
    (building.EXIT_DROP, 1.5, "in", "read"),
    (building.EXIT_DROP_OUTSIDE, 7.75, "in", "read"),
    (building.OTHER_DOOR_DROP, 7.75, "in", "read"),
    (building.IGNITION, 18, "in", "read"),
    (building.SIDING_TO_CONCRETE, 2, "in", "read"),
    (building.SIDING_TO_GROUND, 6, "in", "read"),
    (building.FRAMING_TO_GROUND, 8, "in", "read"),
    (building.FOUNDATION_VENEER, 4, "in", "read"),
    (building.FOUNDATION, 6, "in", "read"),
    (building.WEEP_TO_EARTH, 4, "in", "memory"),
    (building.WEEP_TO_PAVING, 2, "in", "memory"),
    (building.CEILING, 84, "in", "memory"),
    (building.CEILING_BEAM, 76, "in", "memory"),
    (building.GUARD_DROP, 30, "in", "memory"),
    (building.PARKING_DROP, 12, "in", "memory"),
    (building.RECEPTACLE, 66, "in", "memory"),
    (building.BREAKER, 79, "in", "memory"),
    (building.PANEL_HEADROOM, 78, "in", "memory"),
    (building.RAMP_SLOPE, 100 / 12, "%", "memory"),
    (building.RAMP_SLOPE_TIGHT, 100 / 8, "%", "memory"),
    (building.RAMP_SLOPE_ADA, 100 / 12, "%", "read"),
    (building.RAMP_SLOPE_6_IN, 10, "%", "read"),
    (building.RAMP_SLOPE_3_IN, 12.5, "%", "read"),
    (building.RAMP_RISE, 30, "in", "read"),
    (building.STEP_SQUARE, 0.25, "in", "read"),
    (building.STEP_BEVELED, 0.5, "in", "read"),
    (building.THRESHOLD, 0.5, "in", "memory"),
    (building.THRESHOLD_EXISTING, 0.75, "in", "memory"),
]


@pytest.mark.parametrize(("limit", "printed", "unit", "known"), PRINTED)
def test_limit_as_printed_and_how_it_is_known(limit: Limit, printed, unit, known):
    assert to_customary(limit.value, unit) == pytest.approx(printed)
    assert limit.known == known
    assert limit.source


def test_metric_figures_of_the_page():
    # The county page prints 196 mm (its own rounding) and 2032 mm.
    assert building.RISER_MOST.value == pytest.approx(0.196, abs=0.001)
    assert building.STAIR_HEADROOM.value == pytest.approx(2.032)


def flight(foot_raised: float, riser: float = 7.5, count: int = 6):
    risers = checks.risers_after(risers_m=(riser * INCH,) * count, foot_raised_m=foot_raised * INCH)
    return checks.riser_checks(risers_m=risers, where="stair")


@pytest.mark.parametrize(("raised", "passes"), [(2.0, False), (0.375, True), (0.4375, False)])
def test_bc01_riser_uniformity(raised, passes):
    """7-1/2 in risers, floor at the foot raised: the first riser loses it."""
    greatest, uniform = flight(raised)
    assert uniform.passes is passes
    assert to_customary(uniform.found, "in") == pytest.approx(raised)
    assert greatest.passes


def test_a_floor_raised_at_the_head_makes_the_last_riser_higher():
    risers = checks.risers_after(risers_m=(7.5 * INCH,) * 3, head_raised_m=0.5 * INCH)
    assert [to_customary(riser, "in") for riser in risers] == pytest.approx([7.5, 7.5, 8.0])
    greatest, uniform = checks.riser_checks(risers_m=risers)
    assert not greatest.passes
    assert not uniform.passes
    states, _ = checks.riser_checks(risers_m=risers, most=building.RISER_MOST_STATES)
    assert states.passes


@pytest.mark.parametrize(
    ("before", "topping", "passes"), [(18.5, 0.625, False), (18.5, 0.5, True), (18.0, 0.0, True)]
)
def test_bc03_flame_above_a_garage_floor(before, topping, passes):
    check = checks.check_after_topping(
        building.IGNITION, before_m=before * INCH, topping_m=topping * INCH, where="heater"
    )
    assert check.passes is passes
    assert to_customary(check.found, "in") == pytest.approx(before - topping)


@pytest.mark.parametrize(
    ("drop", "outside", "swings", "passes"),
    [
        (1.5, False, True, True),
        (1.5625, False, True, False),
        (7.75, True, False, True),
        (7.75, True, True, False),
        (7.8125, True, False, False),
    ],
)
def test_bc05_drop_at_the_required_door(drop, outside, swings, passes):
    check = checks.door_drop_check(
        drop_m=drop * INCH, required_exit=True, outside=outside, swings_over=swings
    )
    assert check.passes is passes


def test_other_doors_may_drop_a_riser():
    check = checks.door_drop_check(
        drop_m=7.75 * INCH, required_exit=False, outside=True, swings_over=True
    )
    assert check.passes


@pytest.mark.parametrize(("inches", "passes"), [(80.0, True), (79.875, False)])
def test_bc06_headroom(inches, passes):
    check = checks.check_after_topping(
        building.STAIR_HEADROOM, before_m=(inches + 2) * INCH, topping_m=2 * INCH
    )
    assert check.passes is passes


@pytest.mark.parametrize(
    ("step", "bevel", "passes"),
    [
        (0.25, None, True),
        (0.375, None, False),
        (0.375, 0.5, True),
        (0.625, 0.5, False),
        (0.375, 1.0, False),
    ],
)
def test_bc08_change_of_level(step, bevel, passes):
    check = checks.level_change_check(step_m=step * INCH, bevel_slope=bevel)
    assert check.passes is passes


def test_siding_at_exactly_two_inches_is_allowed():
    """The rule is "less than 2 in"."""
    for before, passes in ((5.0, True), (4.9375, False)):
        check = checks.check_after_topping(
            building.SIDING_TO_CONCRETE, before_m=before * INCH, topping_m=3 * INCH
        )
        assert check.passes is passes


@given(before=st.floats(0, 100), topping=st.floats(0, 10))
def test_everything_falls_by_the_topping(before, topping):
    got = answer(checks.height_after_topping, before_m=before, topping_m=topping)
    assert got == pytest.approx(before - topping, abs=1e-9)


@given(rise=st.floats(5, 150))
def test_an_evened_flight_passes_and_one_riser_fewer_does_not(rise):
    count = answer(checks.riser_count, rise_m=rise, riser_m=7.75)
    each = answer(checks.even_riser, rise_m=rise, risers=count)
    assert each <= 7.75 + 1e-6
    if count > 1:
        assert rise / (count - 1) > 7.75 - 1e-6
    assert all(check.passes for check in checks.riser_checks(risers_m=(each * INCH,) * count))


@pytest.mark.parametrize(
    ("rise", "existing", "slope"),
    [(2, True, 1 / 8), (3, True, 1 / 8), (5, True, 1 / 10), (7, True, 1 / 12), (2, False, 1 / 12)],
)
def test_ramps_on_old_sites_may_be_steeper_for_a_small_rise(rise, existing, slope):
    # 2010 ADA Standards 405.2.
    limit = checks.ramp_limit(rise_m=rise * INCH, existing=existing)
    assert limit.value == pytest.approx(slope)
    run = checks.ramp_run(rise_m=rise * INCH, slope=slope)
    checked = checks.ramp_checks(rise_m=rise * INCH, run_m=run, existing=existing)
    assert all(check.passes for check in checked)
    shorter = checks.ramp_checks(rise_m=rise * INCH, run_m=run * 0.99, existing=existing)
    assert not shorter[0].passes


def test_a_ramp_of_more_than_thirty_inches_needs_a_landing_between():
    slope, rise = checks.ramp_checks(rise_m=31 * INCH, run_m=40 * 12 * INCH)
    assert slope.passes
    assert not rise.passes


def test_a_stair_without_risers_is_refused():
    with pytest.raises(Faulty):
        checks.riser_checks(risers_m=())
    with pytest.raises(Faulty):
        checks.risers_after(risers_m=(0.19, -0.19))
