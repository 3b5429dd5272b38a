"""What is written in a job folder comes out in SI, as worked by hand."""

from __future__ import annotations

from dataclasses import replace

import pytest
import shapely
from small_job import JOB, RATES, SHOTS, PutDown

from overslab.job import Job, read_job, wishes_for
from overslab.job.taped import Tape
from overslab.shots.records import Heights, PointHeight

FOOT, INCH = 0.3048, 0.0254


def with_more(put_down: PutDown, text: str, *, old: str = "", new: str = "") -> Job:
    assert old in JOB
    return read_job(put_down({"job.toml": JOB.replace(old, new, 1) + "\n" + text}))


def heights_of(job: Job, **heights_m: float) -> Heights:
    """Heights by name, without the room of shots."""
    points = tuple(
        PointHeight(
            point=name,
            kind="sill",
            x_m=0.0,
            y_m=0.0,
            height_m=height_m,
            standard_error_m=0.001,
            readings=1,
            setups=("1",),
            lines=(2,),
        )
        for name, height_m in heights_m.items()
    )
    nothing = dict.fromkeys(Heights.__slots__)
    return Heights(**{**nothing, "points": points, "convention": job.survey.convention})


def test_the_small_job_in_si(put_down: PutDown) -> None:
    job = read_job(put_down())
    wanted = shapely.box(0, 0, 20 * FOOT, 10 * FOOT)
    assert job.plan.polygon().equals_exact(wanted, 1e-12, normalize=True)
    assert job.plan.openings == (((5 * FOOT, 0.0), (15 * FOOT, 0.0)),)
    reading = job.survey.readings[3]
    assert (reading.point, reading.setup, reading.kind, reading.line) == ("F2", "1", "floor", 5)
    assert reading.reading_m == pytest.approx(4 * FOOT + 4.25 * INCH)
    assert (reading.x_m, reading.y_m) == pytest.approx((19 * FOOT, FOOT))
    assert reading.typed == "4' 4 1/4\""
    settled = job.asked.settled
    assert settled.least_thickness_m == pytest.approx(3 * INCH)
    assert settled.least_fall == pytest.approx(1 / 96)
    assert settled.mark_m == pytest.approx(INCH / 8)
    assert settled.outlets[0].name == "door"
    # A yard is 0.9144 m exactly (NIST Special Publication 811, 2008 edition, appendix B).
    assert job.plant.concrete_cost_per_m3 == pytest.approx(270 / 0.9144**3)
    assert job.plant.leftover_cost_per_m3 == pytest.approx(40 / 0.9144**3)
    assert job.plant.truck_m3 == pytest.approx(10 * 0.9144**3)


def test_what_was_left_out_is_stated(put_down: PutDown) -> None:
    about = {one.about for one in read_job(put_down()).assumptions}
    assert about == {
        "rod_error in [survey]",
        "laser in [survey]",
        "cross_fall in [wishes]",
        "bend in [wishes]",
        "sure in [wishes]",
        "finish_error in [wishes]",
        "finish_reach in [wishes]",
        "birdbath in [wishes]",
        "[losses] in rates.toml",
    }


def test_ninety_five_per_cent_is_1_645_deviations(put_down: PutDown) -> None:
    # NIST/SEMATECH e-Handbook, section 1.3.6.7.1, table of the normal distribution: 0.95 at 1.645.
    assert read_job(put_down()).asked.settled.surety == pytest.approx(1.645, abs=5e-4)


def test_a_price_by_the_cubic_metre(put_down: PutDown) -> None:
    text = RATES.replace('price_per_yd3 = "$270"', 'price_per_m3 = "148.00"')
    assert read_job(put_down({"rates.toml": text})).plant.concrete_cost_per_m3 == 148.0


def test_a_door_by_edge_is_the_door_by_its_ends(put_down: PutDown) -> None:
    by_edge = with_more(
        put_down,
        "",
        old='ends = [["5 ft", "0 ft"], ["15 ft", "0 ft"]]',
        new='edge = 1\noffset = "5 ft"\nwidth = "10 ft"',
    )
    (door,) = by_edge.asked.edges
    assert (*door.a, *door.b) == pytest.approx((5 * FOOT, 0, 15 * FOOT, 0))


def test_a_trench_is_its_line_made_wide(put_down: PutDown) -> None:
    job = with_more(
        put_down,
        '[[trench]]\nname = "t"\nline = [["4 ft", "3 ft"], ["9 ft", "3 ft"]]\nwidth = "2 ft"',
    )
    (trench,) = job.plan.features
    wanted = shapely.box(4 * FOOT, 2 * FOOT, 9 * FOOT, 4 * FOOT)
    assert shapely.Polygon(trench.corners).symmetric_difference(wanted).area < 1e-9
    assert trench.kind == "trench"


def test_a_post_is_a_hole(put_down: PutDown) -> None:
    job = with_more(put_down, '[[post]]\nname = "p"\nat = ["10 ft", "5 ft"]\nsize = "6 in"')
    (hole,) = job.plan.holes
    assert shapely.Polygon(hole.corners).area == pytest.approx((6 * INCH) ** 2)
    assert job.plan.polygon().area == pytest.approx(200 * FOOT**2 - (6 * INCH) ** 2)


GRID = """
[taped_grid]
origin = ["6 in", "6 in"]
letter_spacing = "5 ft"
numbers_at = ["0 ft", "4 ft", "9 ft"]
"""


def test_labels_of_the_taped_grid(put_down: PutDown) -> None:
    book = "point,grid,setup,reading,kind\nBM1,,1,4' 0\",benchmark\nS1,C1,1,4' 0\",sill\n"
    book += "B3,,1,4' 4\",floor\nlow,D2,1,4' 5\",floor\n"
    job = read_job(put_down({"job.toml": JOB + GRID, "shots.csv": book}))
    places = {one.point: (one.x_m, one.y_m) for one in job.survey.readings}
    assert places["BM1"] == (None, None)
    assert places["S1"] == pytest.approx((10.5 * FOOT, 0.5 * FOOT))
    assert places["B3"] == pytest.approx((5.5 * FOOT, 9.5 * FOOT))
    assert places["low"] == pytest.approx((15.5 * FOOT, 4.5 * FOOT))


def test_letters_that_run_up_the_sheet(put_down: PutDown) -> None:
    job = with_more(
        put_down,
        GRID + 'letters_run = "up"\n[[post]]\nname = "p"\nat = "B2"\nsize = "6 in"',
    )
    middle = shapely.Polygon(job.plan.holes[0].corners).centroid
    assert (middle.x, middle.y) == pytest.approx((4.5 * FOOT, 5.5 * FOOT))


def test_letters_go_on_after_z() -> None:
    from overslab.job.jobfile import TapedGrid
    from overslab.job.typed import Speech

    grid = TapedGrid.model_validate(
        {"origin": [0, 0], "letter_spacing": "1 m", "number_spacing": "2 m"},
        context=Speech(system="metric", rod="metric"),
    )
    assert Tape(grid, origin_m=(0.0, 0.0)).find("AB3") == (27.0, 4.0)


def test_heights_that_lean_on_shots(put_down: PutDown) -> None:
    more = """
[[stair]]
name = "stair"
ends = [["0 ft", "8 ft"], ["3 ft", "8 ft"]]
tread = "shot S1 + 8 in"
riser = "7 in"
riser_slack = "1/4 in"

[[threshold]]
name = "house"
ends = [["12 ft", "10 ft"], ["15 ft", "10 ft"]]
sill = "shots F1, F2 - 2 in"
at_least_below = "1 in"

[[drain]]
name = "drain"
at = ["10 ft", "5 ft"]
rim = "99 ft 6 in"
plan = "keep"
takes_water_today = true
meet_above = "1/2 in"

[[zone]]
name = "bay"
corners = [["1 ft", "1 ft"], ["9 ft", "1 ft"], ["9 ft", "9 ft"]]
highest = "shot S1 + 3 in"
"""
    job = with_more(put_down, more)
    wishes, assumed = wishes_for(job, heights_of(job, S1=30.0, F1=30.5, F2=30.7))
    edges = {edge.name: edge for edge in wishes.edges}
    assert edges["door"].lowest_m == pytest.approx(30 - 0.5 * INCH)
    assert edges["door"].highest_m == pytest.approx(30 + 0.25 * INCH)
    assert edges["stair"].lowest_m == pytest.approx(30 + 0.75 * INCH)
    assert edges["stair"].highest_m == pytest.approx(30 + 1.25 * INCH)
    assert edges["house"].lowest_m is None
    assert edges["house"].highest_m == pytest.approx(30.6 - 3 * INCH)
    assert wishes.drains[0].rim_m == pytest.approx(99.5 * FOOT)
    assert wishes.drains[0].drop_m == pytest.approx(0.5 * INCH)
    assert wishes.zones[0].highest_m == pytest.approx(30 + 3 * INCH)
    assert [one.about for one in assumed] == ["height of house"]
    assert job.plan.drains == ((10 * FOOT, 5 * FOOT),)


def test_a_shot_that_lost_its_height_is_a_fault(put_down: PutDown) -> None:
    from overslab.ground.faults import Faulty

    job = read_job(put_down())
    with pytest.raises(Faulty) as caught:
        wishes_for(job, heights_of(job, F1=30.0))
    assert [fault.code for fault in caught.value.faults] == ["shot-unknown"]


@pytest.mark.parametrize(
    "text",
    [
        "\ufeff" + SHOTS,
        SHOTS.replace("\n", "\r\n"),
        SHOTS.replace("\n", "\r"),
        "# field book\n\n" + SHOTS.replace("\nF1", "\n\n# second row\n,,,,,,\nF1"),
        SHOTS.replace("point", " Point ").replace("floor", "FLOOR"),
        "\n".join(line + ",," for line in SHOTS.split("\n")),
        SHOTS.replace("4' 4 1/4\"", '"4\' 4 1/4"""'),
    ],
    ids=[
        "mark at the start",
        "two-sign ends",
        "old ends",
        "comments",
        "case",
        "trailing",
        "quoted",
    ],
)
def test_field_books_as_spreadsheets_leave_them(text: str, put_down: PutDown) -> None:
    plain = [replace(one, line=0, typed="") for one in read_job(put_down()).survey.readings]
    folder = put_down({"shots.csv": text})
    read = [replace(one, line=0, typed="") for one in read_job(folder).survey.readings]
    assert read == plain
