"""Findings and the owner's practice out of a job folder, and how the verdict steers the new top."""

from __future__ import annotations

from dataclasses import replace
from math import pi

import pytest
from small_job import JOB, PutDown

from overslab.ground.faults import Fault, Faulty
from overslab.job import Job, read_job, sample_folder, walk_to, wishes_for
from overslab.job.foundfacts import height_limits
from overslab.newtop.records import Drain, Move, Zone
from overslab.shots import reduce
from overslab.verdict.records import CrackReading

INCH, FOOT, PSI, LBF = 0.0254, 0.3048, 6894.757293168361, 4.4482216152605
CRACK = """
[[break]]
name = "crack K"
kind = "crack"
line = [["10 ft", "0 ft"], ["10 ft", "10 ft"]]
step = "1/8 in"
"""
FINDINGS = """
[findings]
sounded = "yes"
stands_on = "ground"
cause = "fill"
cause_cured = "yes"
still_moving = "no"
undermined = "no"
frost_heave = "no"
water_from = ["rain", "vehicles"]
sheet_test = "dry"
hose_test = "stays away"
surface = ["clean"]
profile = 8
pull_off = "180 psi"
thickness = "4 in"
strength = "3000 psi"
heating_pipes = "no"
tendons = "no"
lift_posts = "no"
subgrade = "100 pci"
"""


def read(put_down: PutDown, more: str = "", *, old: str = "", new: str = "") -> Job:
    assert old in JOB
    return read_job(put_down({"job.toml": JOB.replace(old, new, 1) + more}))


def faults_of(put_down: PutDown, more: str, **changed: str) -> tuple[Fault, ...]:
    with pytest.raises(Faulty) as trouble:
        read(put_down, more, **changed)
    return trouble.value.faults


def test_a_job_without_findings_knows_nothing(put_down: PutDown) -> None:
    job = read(put_down)
    assert job.findings.stands_on == "not known"
    assert job.findings.water_from == ("not known",)
    assert job.practice.unbonded_least_m == pytest.approx(3 * INCH)
    assert job.practice.date == "2026-01-05"
    (taken,) = job.practice.taken
    assert "unbonded from 3 in" in taken.taken
    rooms = walk_to(job, last="verdict")
    assert rooms.verdict is not None
    assert rooms.verdict.ruling == "put these right first"
    assert taken in rooms.verdict.assumptions


def test_findings_in_si(put_down: PutDown) -> None:
    findings = read(put_down, FINDINGS).findings
    assert (findings.sounded, findings.stands_on, findings.tendons) == ("yes", "ground", "no")
    assert findings.thickness_m == pytest.approx(4 * INCH)
    assert findings.strength_pa == pytest.approx(3000 * PSI)
    assert findings.pull_off_pa == pytest.approx(180 * PSI)
    # 100 pci is 27.1 MN/m3 (structural tables print 27.2 rounded up; here psi over inch).
    assert findings.subgrade_pa_per_m == pytest.approx(100 * PSI / INCH)
    assert findings.profile_csp == 8
    assert findings.freezes == "not known"


def test_readings_of_a_crack_and_the_width_of_the_day(put_down: PutDown) -> None:
    text = CRACK + (
        'width = "3/16 in"\nmoves_under_wheel = "no"\n'
        '[[break.reading]]\ndate = 2025-10-01\nwidth = "1/8 in"\nstep = "1/16 in"\n'
    )
    (crack,) = read(put_down, text).findings.cracks
    assert crack.moves_under_wheel == "no"
    assert crack.readings == (
        CrackReading("2025-10-01", pytest.approx(INCH / 8), pytest.approx(INCH / 16)),
        CrackReading("2026-01-05", pytest.approx(3 * INCH / 16), pytest.approx(INCH / 8)),
    )


def test_the_width_of_the_day_is_given_once(put_down: PutDown) -> None:
    text = CRACK + ('width = "3/16 in"\n[[break.reading]]\ndate = 2026-01-05\nwidth = "1/8 in"\n')
    (fault,) = faults_of(put_down, text)
    assert fault.code == "give-one-of"
    assert "break" in fault.place


def test_hollow_places_and_loads(put_down: PutDown) -> None:
    text = """
[[hollow]]
name = "h"
corners = [["1 ft", "1 ft"], ["4 ft", "1 ft"], ["4 ft", "3 ft"], ["1 ft", "3 ft"]]
found_by = "chain"

[[load]]
name = "truck wheel"
kind = "wheel"
load = "1800 lb"
tire_pressure = "45 psi"

[[load]]
name = "grain truck"
kind = "axle"
load = "20000 lb"
tire_pressure = "88.42 psi"
twins_apart = "14 in"

[[load]]
name = "rack post"
kind = "post"
load = "2000 lbf"
contact = "16 in2"
"""
    findings = read(put_down, text).findings
    assert findings.hollows[0].corners[2] == pytest.approx((4 * FOOT, 3 * FOOT))
    wheel, axle, post = findings.loads
    assert wheel.load_n == pytest.approx(1800 * LBF)
    assert wheel.contact_m2 == pytest.approx(1800 / 45 * INCH**2)  # load over pressure
    # Four tires of 5000 lb, 14 in apart at 88.42 psi: a = 7.85 in (Huang 2004, example 4.5).
    assert (axle.contact_m2 / pi) ** 0.5 / INCH == pytest.approx(7.85, abs=0.005)
    assert axle.load_n == pytest.approx(20_000 * LBF)
    assert post.contact_m2 == pytest.approx(16 * INCH**2)


def test_the_owners_practice_is_dated_and_the_rest_is_common(put_down: PutDown) -> None:
    text = """
[practice]
date = 2025-11-30
unbonded_least = "2 1/2 in"
hollow_each = "1 m2"
profile = 5
note = "after three winters"
"""
    practice = read(put_down, text).practice
    assert practice.date == "2025-11-30"
    assert practice.unbonded_least_m == pytest.approx(2.5 * INCH)
    assert practice.hollow_each_most_m2 == pytest.approx(1.0)
    assert (practice.profile_least_csp, practice.note) == (5, "after three winters")
    assert practice.bonded_least_m == pytest.approx(1.5 * INCH)
    (taken,) = practice.taken
    assert "bonded from 1 1/2 in" in taken.taken
    assert "unbonded" not in taken.taken
    assert "CSP" not in taken.taken


@pytest.mark.parametrize(
    ("text", "code"),
    [
        ('[findings]\nsounded = "perhaps"\n', "key-wrong"),
        ('[findings]\nprofile = 12\n', "key-wrong"),
        ('[findings]\nsurfaces = ["clean"]\n', "key-unknown"),
        ('[findings]\nthickness = "0 in"\n', "length-sign"),
        ('[findings]\nsubgrade = "100"\n', "units-no-unit"),
        ('[practice]\nbonded_least = "4 in"\n', "verdict-practice-order"),
        ('[practice]\nunbonded_least = "5 in"\nbonded_least = "4 in"\n',
         "verdict-thinner-than-practice"),
        ('[[load]]\nname = "w"\nkind = "wheel"\nload = "800 lb"\n', "give-one-of"),
        ('[[load]]\nname = "w"\nkind = "axle"\nload = "800 lb"\ncontact = "9 in2"\n'
         'twins_apart = "12 in"\n', "key-missing"),
        ('[[hollow]]\nname = "h"\ncorners = [["90 ft", "90 ft"], ["91 ft", "90 ft"], '
         '["91 ft", "91 ft"]]\n', "verdict-hollow-outside"),
        ('[[hollow]]\nname = "door"\ncorners = [["1 ft", "1 ft"], ["4 ft", "1 ft"], '
         '["4 ft", "3 ft"]]\n', "name-twice"),
        (CRACK + '[[break.reading]]\ndate = 2025-02-01\nwidth = "1/8 in"\n'
         '[[break.reading]]\ndate = 2025-02-01\nwidth = "1/8 in"\n', "verdict-reading-date"),
    ],
)  # fmt: skip
def test_bad_findings_are_told_with_their_place(put_down: PutDown, text: str, code: str) -> None:
    faults = faults_of(put_down, text)
    assert code in [fault.code for fault in faults]
    assert all(fault.place.startswith("job.toml") for fault in faults)


def test_a_system_wished_against_the_owners_least_is_a_fault(put_down: PutDown) -> None:
    (fault,) = faults_of(
        put_down, "", old='least_thickness = "3 in"',
        new='least_thickness = "2 in"\nsystem = "unbonded"',
    )  # fmt: skip
    assert fault.code == "verdict-thinner-than-practice"
    assert "unbonded" in fault.limit


@pytest.mark.parametrize(("system", "least_in"), [("bonded", 1.5), ("unbonded", 3.0), (None, 3.0)])
def test_the_verdicts_system_sets_the_least_thickness(
    put_down: PutDown, system: str | None, least_in: float
) -> None:
    new = "" if system is None else f'system = "{system}"\n'
    job = read(put_down, FINDINGS, old='least_thickness = "3 in"\n', new=new)
    job = replace(
        job, asked=replace(job.asked, settled=replace(job.asked.settled, kinds=("plane",)))
    )
    rooms = walk_to(job, last="newtop")
    assert rooms.verdict is not None
    assert rooms.verdict.system == (system or "unbonded")
    assert rooms.newtop is not None
    assert rooms.newtop.wishes.least_thickness_m == pytest.approx(least_in * INCH)
    (stated,) = [one for one in rooms.job.assumptions if "least_thickness" in one.about]
    assert "practice of 2026-01-05" in stated.because


def test_the_owners_least_thickness_holds_when_he_gives_one(put_down: PutDown) -> None:
    rooms = walk_to(read(put_down, FINDINGS), last="verdict")
    assert not [one for one in rooms.job.assumptions if "least_thickness" in one.about]
    assert rooms.verdict is not None
    assert rooms.verdict.least_thickness_m == pytest.approx(3 * INCH)


def test_every_fixed_height_bounds_the_top() -> None:
    job = read_job(sample_folder("farm-shop"))
    wishes, _ = wishes_for(job, reduce(job.survey))
    limits = {limit.name: limit for limit in height_limits(wishes, job.plan)}
    assert set(limits) == {"west door", "east door", "loft stair", "office door"}
    assert limits["west door"].can_move_up_m == pytest.approx(2 * INCH)
    assert limits["office door"].can_move_up_m == 0.0


def test_drains_zones_and_the_highest_level_bound_it_too() -> None:
    job = read_job(sample_folder("thin-patio"))
    wishes, _ = wishes_for(job, reduce(job.survey))
    by_name = {limit.name: limit for limit in height_limits(wishes, job.plan)}
    assert by_name["highest level"].corners == job.plan.outline
    corners = ((0.0, 0.0), (1.0, 0.0), (1.0, 1.0))
    wishes = replace(
        wishes,
        drains=(
            Drain("kept", (1, 1), 10.0, "keep", drop_m=0.01),
            Drain("raised free", (2, 1), 10.0, "raise"),
            Drain("raised at a price", (3, 1), 10.0, "raise", move=Move(50.0, 0.05)),
            Drain("buried", (4, 1), 10.0, "bury"),
        ),
        zones=(Zone("bay", corners, highest_m=10.2), Zone("free", corners)),
    )
    limits = {limit.name: limit for limit in height_limits(wishes, job.plan)}
    assert limits["kept"].highest_m == pytest.approx(10.01)
    assert limits["raised at a price"].can_move_up_m == 0.05
    assert limits["bay"].corners == corners
    assert {"raised free", "buried", "free"} & set(limits) == set()


@pytest.mark.parametrize(
    ("name", "ruling"),
    [
        ("farm-shop", "over it, unbonded"),
        ("thin-patio", "over it, bonded"),
        ("cannot-all", "put these right first"),
    ],
)
def test_the_samples_are_ruled_as_they_tell(name: str, ruling: str) -> None:
    verdict = walk_to(read_job(sample_folder(name)), last="verdict").verdict
    assert verdict is not None
    assert verdict.ruling == ruling
