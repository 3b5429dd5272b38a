"""What lies beside the concrete, out of a job folder: every key in SI, every fault beside it."""

from __future__ import annotations

from dataclasses import fields
from pathlib import Path

import pytest
from small_job import JOB, PutDown

from overslab.ground.faults import Fault, Faulty
from overslab.job import Job, read_job, sample_folder, sample_names
from overslab.takeoff.asked import (
    BarsAsked,
    BuildUp,
    FormsAsked,
    JointsAsked,
    PatchAsked,
    RolledAsked,
    SpreadAsked,
    SupportsAsked,
    WireAsked,
)

INCH, FOOT = 0.0254, 0.3048
WIRE = """
[steel.wire]
style = "6x6 W2.9"
sheet_length = "10 ft"
sheet_width = "5 ft"
spacing = "6 in"
wire = "0.192 in"
lap = "8 in"
edge = "2 in"
cover_top = "1 in"
cover_bottom = "3/4 in"
overhang = "1 in"
alike_both_ways = false
tie_spacing = "2 ft"
"""
BARS = """
[steel.bars]
size = "#3"
diameter = "3/8 in"
spacing = "18 in"
stock_length = "20 ft"
lap = "18 in"
edge = "2 in"
cover_top = "1 in"
cover_bottom = "3/4 in"
both_ways = false
"""
SUPPORTS = """
[steel.supports]
kind = "bolster"
spacing = "3 ft"
height = "1 1/4 in"
stock_length = "5 ft"
box_of = 20
"""
BREAKER = """
[breaker]
what = "polyethylene sheet"
roll_length = "100 ft"
roll_width = "12 ft"
lap = "6 in"
layers = 2
upturn = "4 in"
tape_length = "180 ft"
"""
REST = """
[joints]
kind = "early-entry"
greatest_panel = "10 ft"
greatest_aspect = 1.25
depth = "25%"
step = "6 in"
at_doors = false
jambs = "both"
least_strip = "3 ft"
filler = true

[isolation]
what = "fibre strip"
roll_length = "10 ft"
heights = ["6 in", "4 in"]
lap = "1 in"
at_doors = true

[bonding]
what = "grout"
covers = "50 sq ft"
unit = "50 lb bag"
open_minutes = 20

[patch]
what = "mortar"
fills = "0.5 ft3"
unit = "60 lb bag"
hollow_depth = "1 1/2 in"
pits = false

[cure]
what = "compound"
covers = "900 sq ft"
unit = "5 gal bucket"
coats = 2

[cure_cover]
what = "blanket"
roll_length = "100 ft"
roll_width = "10 ft"
lap = "0"

[sealer]
what = "sealer"
covers = "600 sq ft"
unit = "1 gal can"

[forms]
board_length = "16 ft"
heights = ["5 1/2 in", "3 1/2 in"]
stakes = "3 ft"
bulkheads = false
day_ends = ["S1"]
"""


def read(put_down: PutDown, more: str, *, old: str = "", new: str = "") -> Job:
    assert old in JOB
    return read_job(put_down({"job.toml": JOB.replace(old, new, 1) + more}))


def faults_of(put_down: PutDown, more: str) -> tuple[Fault, ...]:
    with pytest.raises(Faulty) as caught:
        read(put_down, more)
    return caught.value.faults


def close(value: float) -> float:
    return pytest.approx(value)  # type: ignore[return-value]


def test_nothing_is_laid_unasked(put_down: PutDown) -> None:
    assert read_job(put_down()).build == BuildUp()


def test_every_key_in_si(put_down: PutDown) -> None:
    build = read(put_down, WIRE + BARS + SUPPORTS + BREAKER + REST).build
    assert build.wire == WireAsked(
        style="6x6 W2.9",
        sheet_length_m=close(10 * FOOT),
        sheet_width_m=close(5 * FOOT),
        spacing_m=close(6 * INCH),
        wire_diameter_m=close(0.192 * INCH),
        lap_m=close(8 * INCH),
        edge_m=close(2 * INCH),
        cover_top_m=close(INCH),
        cover_bottom_m=close(0.75 * INCH),
        least_offcut_m=close(FOOT),
        overhang_m=close(INCH),
        alike_both_ways=False,
        tie_spacing_m=close(2 * FOOT),
    )
    assert build.bars == BarsAsked(
        size="#3",
        diameter_m=close(0.375 * INCH),
        spacing_m=close(18 * INCH),
        stock_length_m=close(20 * FOOT),
        lap_m=close(18 * INCH),
        edge_m=close(2 * INCH),
        cover_top_m=close(INCH),
        cover_bottom_m=close(0.75 * INCH),
        across=False,
        least_piece_m=close(FOOT),
    )
    assert build.supports == SupportsAsked(
        kind="bolster",
        spacing_m=close(3 * FOOT),
        height_m=close(1.25 * INCH),
        stock_length_m=close(5 * FOOT),
        box_of=20,
    )
    assert build.breaker == RolledAsked(
        roll_length_m=close(100 * FOOT),
        roll_width_m=close(12 * FOOT),
        lap_m=close(6 * INCH),
        layers=2,
        what="polyethylene sheet",
        upturn_m=close(4 * INCH),
        tape_length_m=close(180 * FOOT),
    )
    assert build.joints == JointsAsked(
        kind="early-entry",
        greatest_panel_m=close(10 * FOOT),
        greatest_aspect=1.25,
        depth_share=close(0.25),
        step_m=close(6 * INCH),
        at_doors=False,
        filler=True,
        jambs="both",
        least_strip_m=close(3 * FOOT),
    )
    assert build.isolation == RolledAsked(
        roll_length_m=close(10 * FOOT),
        roll_width_m=close(6 * INCH),
        lap_m=close(INCH),
        what="fibre strip",
        heights_m=(close(4 * INCH), close(6 * INCH)),
        at_doors=True,
    )
    foot2, foot3 = FOOT**2, FOOT**3
    assert build.bonding == SpreadAsked(close(50 * foot2), "50 lb bag", 1, 20, "grout")
    assert build.patch == PatchAsked(
        close(0.5 * foot3), "60 lb bag", close(1.5 * INCH), "mortar", pits=False
    )
    assert build.cure == SpreadAsked(close(900 * foot2), "5 gal bucket", 2, None, "compound")
    assert build.cure_cover == RolledAsked(close(100 * FOOT), close(10 * FOOT), 0.0, 1, "blanket")
    assert build.sealer == SpreadAsked(close(600 * foot2), "1 gal can", 1, None, "sealer")
    assert build.forms == FormsAsked(
        close(16 * FOOT),
        close(3 * FOOT),
        bulkheads=False,
        heights_m=(close(3.5 * INCH), close(5.5 * INCH)),
        day_ends=("S1",),
    )


def test_a_metric_job_sets_joints_on_metric_steps(put_down: PutDown) -> None:
    metric = read(
        put_down,
        '\n[joints]\nkind = "sawn"\n\n[patch]\nwhat = "mortar"\nfills = "12 L"\nunit = "bag"\n',
        old='units = "feet-inches"',
        new='units = "metric"',
    ).build
    assert metric.joints is not None
    assert metric.joints.step_m == pytest.approx(0.3)
    assert metric.joints.least_strip_m == pytest.approx(0.6)
    assert metric.patch is not None
    assert metric.patch.fills_m3_per_unit == pytest.approx(0.012)
    assert metric.patch.hollow_depth_m is None


def changed(text: str, old: str, new: str) -> str:
    assert old in text
    return text.replace(old, new, 1)


@pytest.mark.parametrize(
    ("more", "code", "place"),
    [
        (changed(WIRE, 'lap = "8 in"', 'lap = "5 ft"'), "laying-lap", "steel wire lap"),
        (changed(BARS, 'lap = "18 in"', 'lap = "21 ft"'), "laying-lap", "steel bars lap"),
        (changed(BREAKER, 'lap = "6 in"', 'lap = "12 ft"'), "laying-lap", "breaker lap"),
        (SUPPORTS, "laying-nothing-to-hold", "steel supports"),
        (f'{WIRE}\n[mix]\nsteel = "no"\n', "laying-steel-said-no", "mix steel"),
        (changed(BREAKER, 'roll_width = "12 ft"\n', ""), "key-missing", "breaker roll_width"),
        (changed(BREAKER, '"12 ft"', '"0 ft"'), "length-sign", "breaker roll_width"),
        (changed(BREAKER, '"12 ft"', '"12"'), "length-without-unit", "breaker roll_width"),
        (changed(BREAKER, "layers = 2", "layers = 0"), "key-wrong", "breaker layers"),
        (changed(REST, '"50 sq ft"', '"0 sq ft"'), "length-sign", "bonding covers"),
        (changed(REST, '"0.5 ft3"', '"0 ft3"'), "length-sign", "patch fills"),
        (changed(REST, '"early-entry"', '"wet"'), "key-wrong", "joints kind"),
        (changed(REST, 'heights = ["6 in", "4 in"]', "heights = []"), "key-wrong", "isolation"),
        (changed(REST, "open_minutes = 20", 'open_minutes = "20 min"'), "key-wrong", "bonding"),
        ('\n[sealar]\nwhat = "x"\n', "key-unknown", "sealar"),
    ],
)  # fmt: skip
def test_bad_input_is_told_beside_its_key(
    put_down: PutDown, more: str, code: str, place: str
) -> None:
    (fault,) = faults_of(put_down, more)
    assert fault.code == code
    assert fault.place.startswith("job.toml")
    assert place in fault.place


def test_all_laps_are_told_at_once(put_down: PutDown) -> None:
    wrong = changed(WIRE, '"8 in"', '"9 ft"') + changed(BREAKER, '"6 in"', '"120 ft"')
    assert [fault.code for fault in faults_of(put_down, wrong)] == ["laying-lap", "laying-lap"]


def test_steel_that_is_laid_is_known_to_the_mix(put_down: PutDown) -> None:
    assert read(put_down, "").mix.steel == "not known"
    assert read(put_down, WIRE).mix.steel == "yes"
    assert read(put_down, BARS).mix.steel == "yes"


DRAIN = """
[[drain]]
name = "sump"
at = ["2 ft", "2 ft"]
rim = "99 ft 8 in"
plan = "raise"
takes_water_today = true
size = "2 ft"
"""


def test_the_pit_of_a_drain_takes_no_concrete(put_down: PutDown) -> None:
    (drain,) = read(put_down, DRAIN).asked.drains
    assert drain.size_m == pytest.approx(2 * FOOT)
    (fault,) = faults_of(put_down, changed(DRAIN, '"2 ft", "2 ft"', '"6 in", "2 ft"'))
    assert fault.code == "touch-outside"
    assert "sump" in fault.what


def test_everything_but_bars_is_asked_for_in_some_job_that_can_be_walked() -> None:
    bay = Path(__file__).resolve().parents[1] / "jobs" / "metric-wash-bay"
    folders = [*(sample_folder(name) for name in sample_names()), bay]
    builds = [read_job(folder).build for folder in folders]
    seen = {
        one.name for one in fields(BuildUp) if any(getattr(build, one.name) for build in builds)
    }
    assert seen == {one.name for one in fields(BuildUp)} - {"bars"}
