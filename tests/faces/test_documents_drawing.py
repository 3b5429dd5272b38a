"""The drawing model: SVG, lettering, hatching, scales, and labels that keep off each other."""

from __future__ import annotations

import json
from itertools import pairwise

import numpy as np
import pytest
import shapely
import svg_boxes
import typst
from fake_walk import HOSTILE, fake_walk
from hypothesis import given, settings
from hypothesis import strategies as st

from overslab.faces.documents import draw_sheet
from overslab.faces.documents.contours import band, levels_m, step_m, straight_places
from overslab.faces.documents.drawing import Drawing, Text
from overslab.faces.documents.fonts import can_print, fonts, only_printable
from overslab.faces.documents.hatching import hatch_lines
from overslab.faces.documents.labels import Box, Label, Place, Placer, around
from overslab.faces.documents.lettering import LONGEST_WORD, MM_PER_PT, width_mm, wrap
from overslab.faces.documents.scales import Scale, View, bar_length_m, fitting_scale
from overslab.faces.documents.svg import write_svg
from overslab.ground.lattice import lattice_over

DRAWN = ("old-floor", "new-top", "thickness", "sections", "pads")


@pytest.fixture(scope="module")
def sheets():
    return {
        (system, code): draw_sheet(fake_walk(system=system), code)
        for system in ("feet-inches", "metric")
        for code in DRAWN
    }


def test_every_drawing_is_whole_and_has_words_for_those_who_cannot_see_it(sheets):
    for svg in sheets.values():
        root = svg_boxes.read(svg)
        assert root.get("role") == "img"
        assert len(root.find(f"{svg_boxes.SVG}title").text) > 5
        assert len(root.find(f"{svg_boxes.SVG}desc").text) > 30
        ids = [node.get("id") for node in root.iter() if node.get("id")]
        assert len(ids) == len(set(ids))


def test_no_lettering_lies_on_other_lettering_or_off_the_sheet(sheets):
    for key, svg in sheets.items():
        assert svg_boxes.overlaps(svg) == [], key
        root = svg_boxes.read(svg)
        page = shapely.box(*(float(part) for part in root.get("viewBox").split()))
        assert all(page.buffer(0.3).contains(one.box) for one in svg_boxes.lettering(svg)), key


def test_no_lettering_is_smaller_than_five_points(sheets):
    for svg in sheets.values():
        assert min(one.size for one in svg_boxes.lettering(svg)) >= 4.9 * MM_PER_PT


def test_every_drawing_states_its_scale_and_which_way_is_up(sheets):
    for (_, code), svg in sheets.items():
        told = " ".join(one.text for one in svg_boxes.lettering(svg))
        assert "1:" in told
        if code == "sections":
            assert "× larger" in told
        else:
            assert "up the sheet is the back wall" in told
            assert svg.count('class="scale-bar"') == 4


def test_thinnest_and_thickest_are_ringed_and_every_pad_is_named(sheets):
    for system in ("feet-inches", "metric"):
        svg = sheets[system, "thickness"]
        assert 'class="thinnest"' in svg
        assert 'class="thickest"' in svg
        told = svg_boxes.lettering(sheets[system, "pads"])
        named = {one.text for one in told if one.kind == "pad-label"}
        assert named == {pad.name for pad in fake_walk(system=system).newtop.top.pads}


def test_outline_and_pads_stand_where_the_stated_scale_puts_them():
    """The sheet is measured with a rule: 12 m at 1:100 is 120 mm."""
    walk = fake_walk(system="metric")
    svg = draw_sheet(walk, "pads")
    root = svg_boxes.read(svg)
    outline = next(n for n in root.iter() if n.get("id") == "outline-floor")
    points = np.array([p.split() for p in outline.get("d").strip("MZ").split("L")], dtype=float)
    ratio = int(next(t.text for t in svg_boxes.lettering(svg) if t.kind == "scale").split(":")[1])
    assert np.ptp(points[:, 0]) == pytest.approx(12.0 * 1000 / ratio, abs=0.02)
    assert np.ptp(points[:, 1]) == pytest.approx(9.0 * 1000 / ratio, abs=0.02)


def test_hostile_names_stay_letters():
    walk = fake_walk(hostile=True)
    for code in DRAWN:
        svg = draw_sheet(walk, code)
        assert "<script" not in svg
        told = [one.text for one in svg_boxes.lettering(svg)]
        if code == "old-floor":
            assert f"crack K{HOSTILE}" in told


def test_signs_that_xml_forbids_are_replaced():
    drawing = Drawing(10, 10, "a\x00b", "c\x0bd\ud800")
    drawing.put("labels", Text("tab\x1b", (1, 1), 2))
    root = svg_boxes.read(write_svg(drawing))
    assert root.find(f"{svg_boxes.SVG}title").text == "a\ufffdb"
    assert [one.text for one in svg_boxes.lettering(write_svg(drawing))] == ["tab\ufffd"]


def test_same_names_get_different_ids():
    drawing = Drawing(10, 10, "t", "d")
    for name in ("C 4", "C-4", "c4!"):
        drawing.line("marks", [(0, 0), (1, 1)], pen="mark", kind="shot", name=name)
    root = svg_boxes.read(write_svg(drawing))
    nodes = [node for node in root.iter() if node.get("class") == "shot"]
    assert len({node.get("id") for node in nodes}) == 3
    assert [node.get("data-name") for node in nodes] == ["C 4", "C-4", "c4!"]


def test_line_lengths_agree_with_the_typesetter():
    """The same lines measured by typst, which reads the font; kerning may tighten a little."""
    lines = ["99' 8 11/16\"", "crack K, 3/8 in", "Quiet WAVES over 1.04 % (1:96)", "post P–Q ± 2"]
    for bold in (False, True):
        weight = "bold" if bold else "regular"
        source = (
            "#let lines = json(bytes(sys.inputs.lines))\n"
            f'#set text(font: "Source Sans Pro", size: 100pt, weight: "{weight}")\n'
            "#context [#metadata(lines.map(l => measure(l).width.pt())) <wide>]"
        )
        compiler = typst.Compiler(
            source.encode(),
            font_paths=fonts(),
            ignore_system_fonts=True,
            sys_inputs={"lines": json.dumps(lines)},
        )
        measured = json.loads(compiler.query("<wide>", field="value", one=True))
        for line, wide in zip(lines, measured, strict=True):
            ours = width_mm(line, size_mm=100.0, bold=bold)
            assert wide * 0.998 <= ours <= wide * 1.04, line


@given(st.text(max_size=60), st.floats(5, 80))
def test_wrapping_keeps_every_word_in_order(text, width):
    lines = wrap(text, width=width, size_mm=2.5)
    assert "".join("".join(lines).split()) == "".join(text.split())
    if all(len(word) <= LONGEST_WORD for word in text.split()):
        assert " ".join(lines).split() == text.split()
    assert all(width_mm(x, size_mm=2.5) <= width for x in lines if " " in x)


def test_hatching_covers_a_square_evenly():
    """Lines 2 mm apart over 40 x 40 mm lay 40*40/2 = 800 mm, at any angle, to the edge's share."""
    square = shapely.box(3, 5, 43, 45)
    for angle in (0, 30, 45, -45, 90):
        lines = hatch_lines(square, spacing=2.0, angle=angle)
        laid = shapely.MultiLineString(lines)
        assert laid.length == pytest.approx(800, rel=0.06)
        assert square.buffer(1e-6).contains(laid)
        ways = {round(np.degrees(np.arctan2(-(b[1] - a[1]), b[0] - a[0])) % 180) for a, b in lines}
        assert ways == {angle % 180}


def test_bands_share_out_the_whole_floor():
    floor = shapely.Polygon([(0, 0), (6, 0), (6, 2), (3, 2), (3, 5), (0, 5)])
    lattice = lattice_over(floor, step_m=0.1)
    values = lattice.spread(lattice.points_m @ np.array([0.01, 0.02]))
    levels = levels_m(values, step=0.02)
    edges = [-1.0, *levels, 1.0]
    areas = [band(lattice, values, low=a, high=b, floor=floor).area for a, b in pairwise(edges)]
    assert sum(areas) == pytest.approx(floor.area, rel=1e-6)
    # The band from 0.02 to 0.04 of the plane z = 0.01 x + 0.02 y, cut by hand with the floor.
    strip = shapely.Polygon([(2, 0), (4, 0), (0, 2), (0, 1)]).intersection(floor)
    assert band(lattice, values, low=0.02, high=0.04, floor=floor).area == pytest.approx(
        strip.area, rel=0.01
    )


def test_contour_steps_are_round_in_the_units_of_the_job():
    values = np.array([[0.0, 0.1]])
    assert step_m(values, most=10, system="feet-inches") == pytest.approx(0.0127)  # 1/2 in
    assert step_m(values, most=10, system="metric") == pytest.approx(0.010)
    assert step_m(values, most=10, system="tenths") == pytest.approx(0.05 * 0.3048)


def test_contour_labels_lie_on_the_straight_part():
    bend = [(10 * np.cos(t), 10 * np.sin(t)) for t in np.linspace(np.pi, np.pi / 2, 30)]
    line = [*bend, (20.0, 10.0), (40.0, 10.0)]
    best = straight_places(line, length=8.0, drop=0.0)[0]
    assert best.at[1] == pytest.approx(10.0)
    assert best.angle == pytest.approx(0.0)
    assert 4 < best.at[0] < 36


def test_scales_are_those_of_the_rule():
    # A floor 40 x 30 ft in 200 x 150 mm: 1/4 in to the foot would need 254 mm, 3/16 in 190.5.
    scale = fitting_scale(
        40 * 0.3048, 30 * 0.3048, room_wide=200, room_high=150, system="feet-inches"
    )
    assert (scale.ratio, str(scale)) == (64, "3/16 in = 1 ft (1:64)")
    assert str(fitting_scale(12, 9, room_wide=250, room_high=190, system="metric")) == "1:50"
    assert str(fitting_scale(12, 9, room_wide=50, room_high=50, system="tenths")) == (
        "1 in = 20 ft (1:240)"
    )
    assert fitting_scale(900, 9, room_wide=150, room_high=150, system="metric").ratio == 6000
    assert bar_length_m(Scale(48, ""), system="feet-inches") == pytest.approx(8 * 0.3048)
    assert bar_length_m(Scale(50, ""), system="metric") == 2.0


def test_a_view_turns_north_up():
    view = View(Scale(100, ""), west_m=1.0, north_m=9.0, left=20.0, top=10.0)
    assert view.spot((1.0, 9.0)) == (20.0, 10.0)
    assert view.spot((2.0, 8.0)) == pytest.approx((30.0, 20.0))
    laid = view.shape(shapely.box(1, 8, 3, 9))
    assert laid.bounds == pytest.approx((20, 10, 40, 20))
    assert view.metres(view.mm(1.7)) == pytest.approx(1.7)


boxes = st.builds(
    Box,
    st.tuples(st.floats(0, 30), st.floats(0, 30)),
    st.floats(0.5, 15),
    st.floats(0.5, 6),
    st.sampled_from([0.0, 17.0, 45.0, -90.0, 90.0, -33.3]),
)


@given(boxes, boxes)
def test_boxes_overlap_when_shapely_says_so(one, other):
    shared = shapely.Polygon(one.corners()).intersection(shapely.Polygon(other.corners())).area
    if shared > 1e-3:
        assert one.overlaps(other)
    elif shapely.Polygon(one.corners()).distance(shapely.Polygon(other.corners())) > 1e-3:
        assert not one.overlaps(other)


@settings(max_examples=40)
@given(
    st.lists(st.tuples(st.floats(5, 75), st.floats(5, 55)), min_size=1, max_size=40),
    st.booleans(),
)
def test_placed_labels_never_overlap_and_stay_on_the_sheet(spots, must):
    drawing = Drawing(80, 60, "t", "d")
    placer = Placer(Box((40, 30), 80, 60))
    for k, spot in enumerate(spots):
        label = Label(
            (f"P{k}", "99' 11 3/4\""), 2.5, around(spot, gap=1, size=2.5, lines=2), "labels", k,
            must=must, target=spot,
        )  # fmt: skip
        placer.ask(label)
    placer.settle(drawing)
    assert len(placer.placed) + len(placer.left_out) == len(spots)
    shapes = [shapely.Polygon(box.corners()) for _, box in placer.placed]
    page = shapely.box(0, 0, 80, 60).buffer(1e-6)
    assert all(page.contains(shape) for shape in shapes)
    for k, one in enumerate(shapes):
        assert all(one.intersection(other).area < 1e-3 for other in shapes[:k])


def test_a_label_that_must_stand_is_led_to_its_place():
    drawing = Drawing(80, 60, "t", "d")
    placer = Placer(Box((40, 30), 80, 60))
    placer.block(Box((40, 30), 12, 12))
    place = Place((40.0, 30.0))
    may = Label(("may",), 2.5, (place,), "labels", 1)
    must = Label(("must",), 2.5, (place,), "labels", 2, must=True, target=(40.0, 30.0))
    placer.ask(may, must)
    placer.settle(drawing)
    assert [label.lines for label in placer.left_out] == [("may",)]
    assert [label.lines for label, _ in placer.placed] == [("must",)]
    assert write_svg(drawing).count('class="leader"') == 1


def test_signs_the_lettering_lacks_are_replaced_and_none_else():
    assert can_print("é")
    assert can_print("Ш")
    assert not can_print("工")
    assert only_printable("Шоп 工 é √ ½ 🚜") == "Шоп \ufffd é √ ½ \ufffd"
    assert can_print("\ufffd")
