"""The sheet of the joints: what is drawn grey, what black, and what its lists say."""

from __future__ import annotations

import io
import re
from dataclasses import replace

import pypdf
import pytest
from fake_walk import HOSTILE, fake_walk

from overslab.faces.documents.drawing import PENS, Path, Text
from overslab.faces.documents.packet import print_pdf
from overslab.faces.documents.paper import page_of
from overslab.faces.documents.sheets import lay_sheet
from overslab.ground.units import write_length, write_thickness
from overslab.takeoff import lay_joints
from overslab.takeoff.asked import JointsAsked


def squeezed(text: str) -> str:
    return re.sub(r"\s+", "", text)


def walk_with_joints(*, system="feet-inches", hostile=False, bonded=False, **asked):
    walk = fake_walk(system=system, hostile=hostile)
    names = tuple(line.name for line in walk.oldslab.plan.breaks) if bonded else ()
    joints = lay_joints(
        walk.oldslab,
        walk.newtop,
        JointsAsked("sawn", **asked),
        system="bonded" if bonded else "unbonded",
        to_match=names,
    )
    assert walk.takeoff is not None
    return replace(walk, takeoff=replace(walk.takeoff, joints=joints))


def told(walk) -> str:
    sheet = lay_sheet(walk, "joints")
    assert sheet is not None
    pdf = pypdf.PdfReader(io.BytesIO(print_pdf(walk, (sheet,), page_of(walk))))
    return squeezed("".join(page.extract_text() for page in pdf.pages))


@pytest.mark.parametrize("system", ["feet-inches", "metric"])
def test_every_joint_and_panel_is_listed_in_the_units_of_the_job(system):
    step = {"feet-inches": 0.3048, "metric": 0.3}[system]
    walk = walk_with_joints(system=system, step_m=step)
    words, joints, units = told(walk), walk.takeoff.joints, walk.job.units
    assert squeezed(f"{write_length(joints.length_m, units)} in all, sawn") in words
    assert squeezed(f"A plain grid takes {write_length(joints.plain.length_m, units)}") in words
    for line in joints.lines:
        assert squeezed(line.name + write_length(line.from_wall_m, units)) in words
        assert squeezed(f"{write_thickness(line.depth_m, units)} deep") in words
    for panel in joints.panels:
        assert squeezed(write_length(panel.allowed_m, units)) in words
    for check in joints.checks:
        assert squeezed(check.name) in words


def test_old_is_grey_and_planned_is_black_and_both_are_where_they_are():
    walk = walk_with_joints()
    joints = walk.takeoff.joints
    drawing = lay_sheet(walk, "joints").drawing
    paths = [p for layer in drawing.layers.values() for p in layer if isinstance(p, Path)]
    planned = [path for path in paths if path.kind == "joint"]
    assert len(planned) == sum(len(line.parts) for line in joints.lines)
    assert {PENS[path.pen].tone for path in planned} == {"#000000"}
    old = [path for path in paths if path.kind.startswith("old-")]
    assert {path.name for path in old} == {line.name for line in walk.job.plan.breaks}
    assert all(PENS[path.pen].tone != "#000000" for path in old)
    # To scale: a joint on the sheet is as long as a wall of the same length.
    outline = next(path for path in paths if path.kind == "outline").rings[0]
    corners = walk.job.plan.outline
    wall_mm = ((outline[1][0] - outline[0][0]) ** 2 + (outline[1][1] - outline[0][1]) ** 2) ** 0.5
    wall_m = ((corners[1][0] - corners[0][0]) ** 2 + (corners[1][1] - corners[0][1]) ** 2) ** 0.5
    drawn_mm = sum(
        ((b[0] - a[0]) ** 2 + (b[1] - a[1]) ** 2) ** 0.5 for a, b in (p.rings[0] for p in planned)
    )
    assert drawn_mm == pytest.approx(joints.length_m * wall_mm / wall_m, rel=1e-6)
    numbers = [
        one.text
        for layer in drawing.layers.values()
        for one in layer
        if isinstance(one, Text) and one.kind == "panel-number"
    ]
    assert sorted(numbers) == sorted(panel.name for panel in joints.panels)


def test_a_joint_over_an_old_one_says_so():
    walk = walk_with_joints(bonded=True)
    over = next(line.over for line in walk.takeoff.joints.lines if line.over)
    assert squeezed(f"over {over}") in told(walk)


def test_without_joints_there_is_no_sheet():
    walk = fake_walk()
    assert lay_sheet(walk, "joints") is None
    assert lay_sheet(replace(walk, takeoff=None), "joints") is None


def test_what_a_person_wrote_is_set_as_letters():
    assert squeezed(HOSTILE) in told(walk_with_joints(hostile=True))
