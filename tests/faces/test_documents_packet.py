"""The packet: which sheets, what stands on each, nothing becomes markup, same bytes twice."""

from __future__ import annotations

import io
import re
from dataclasses import replace

import pypdf
import pytest
import svg_boxes
from fake_walk import DATUM, HOSTILE, MARKS, READ, fake_walk

from overslab.faces.documents import SHEETS, draw_sheet, sheet_names, write_packet
from overslab.faces.documents.packet import print_pdf
from overslab.faces.documents.paper import page_of
from overslab.faces.documents.sheets import CREW_SHEETS, lay_sheets
from overslab.faces.documents.words import MADE_UP
from overslab.ground.faults import Faulty
from overslab.ground.notes import Assumption
from overslab.ground.units import Units, write_reading
from overslab.job.steps import STEPS

SAID = {
    "feet-inches": "Rod read in feet, inches and fractions of an inch",
    "tenths": "Rod read in feet, tenths and hundredths of a foot (not inches)",
    "metric": "Rod read in metres",
}


def squeezed(text: str) -> str:
    """Text without blanks: readers put them back in differing places."""
    return re.sub(r"\s+", "", text)


def printed(walk) -> tuple[pypdf.PdfReader, list]:
    sheets = lay_sheets(walk)
    return pypdf.PdfReader(io.BytesIO(print_pdf(walk, sheets, page_of(walk)))), list(sheets)


@pytest.fixture(scope="module")
def packets(tmp_path_factory):
    """Packets of three jobs, written once: system -> (walk, folder, files)."""
    made = {}
    for system in ("feet-inches", "tenths", "metric"):
        walk = fake_walk(system=system, name=f"Shop in {system}")
        folder = tmp_path_factory.mktemp(system) / "packet"
        made[system] = (walk, folder, write_packet(walk, folder))
    return made


def test_sheets_are_listed_once_in_the_order_of_the_work():
    assert sheet_names() == (
        "summary", "old-floor", "verdict", "verdict-map", "new-top", "thickness", "sections",
        "pads", "touches", "takeoff", "laying", "steel", "joints", "order", "bid", "choices",
        "choice-lines", "rules", "assumptions", "workings", "cautions",
    )  # fmt: skip
    assert {kind.room for kind in SHEETS} <= {"job", *(step.room for step in STEPS)}


def test_a_packet_has_every_sheet_alone_as_pdf_and_svg(packets):
    for walk, folder, files in packets.values():
        names = {path.name for path in files}
        assert {path.name for path in folder.iterdir()} == names
        for place, kind in enumerate(SHEETS):
            stem = f"{place + 1:02d}-{kind.code}"
            if not kind.stands(walk):
                assert f"{stem}.pdf" not in names
                continue
            assert f"{stem}.pdf" in names
            assert any(re.fullmatch(rf"{stem}(-\d+)?\.svg", name) for name in names)
        for path in files:
            if path.suffix == ".svg":
                svg_boxes.read(path.read_text())


def test_what_hangs_on_the_wall_holds_no_price(packets):
    for walk, folder, _ in packets.values():
        money = walk.order.plant.currency
        told = {
            name: "".join(page.extract_text() for page in pypdf.PdfReader(folder / name).pages)
            for name in ("packet.pdf", "crew.pdf")
        }
        assert money in told["packet.pdf"]
        assert money not in told["crew.pdf"]
        for kind in SHEETS:
            if kind.code in CREW_SHEETS and kind.stands(walk):
                assert squeezed(f": {kind.title}") in squeezed(told["crew.pdf"])


def test_every_page_says_what_job_it_is_and_how_the_rod_was_read(packets):
    for system, (walk, folder, _) in packets.items():
        pages = pypdf.PdfReader(folder / "packet.pdf").pages
        for number, page in enumerate(pages):
            told = squeezed(page.extract_text())
            for line in (
                walk.job.name,
                f"survey of {walk.job.date}",
                SAID[system],
                MADE_UP,
                "Heights from benchmark BM1 (nail in the door post) =",
                f"page {number + 1} of {len(pages)}",
            ):
                assert squeezed(line) in told, (system, number, line)


def test_drawings_alone_say_it_too(packets):
    for system, (walk, folder, _) in packets.items():
        for kind in SHEETS:
            if kind.drawn and kind.stands(walk):
                path = next(folder.glob(f"*-{kind.code}.svg"))
                told = squeezed(" ".join(t.text for t in svg_boxes.lettering(path.read_text())))
                for line in (walk.job.name, SAID[system], MADE_UP, "Heights from benchmark BM1"):
                    assert squeezed(line) in told


def test_paper_is_letter_for_feet_and_a4_for_metric(packets):
    for system, (_, folder, _) in packets.items():
        # North American letter 8.5 x 11 in; A4 210 x 297 mm (ISO 216).
        sides = (210 / 25.4 * 72, 297 / 25.4 * 72) if system == "metric" else (612, 792)
        for page in pypdf.PdfReader(folder / "packet.pdf").pages:
            assert sorted(map(float, page.mediabox[2:])) == pytest.approx(sides, abs=0.1)


def test_drawn_sheets_take_one_page_and_the_pads_two(packets):
    for walk, folder, _ in packets.values():
        for kind in SHEETS:
            if kind.drawn and kind.stands(walk):
                pdf = pypdf.PdfReader(next(folder.glob(f"*-{kind.code}.pdf")))
                assert len(pdf.pages) == (2 if kind.code == "pads" else 1), kind.code


def test_the_packet_is_tagged_titled_and_described(packets):
    for walk, folder, _ in packets.values():
        pdf = pypdf.PdfReader(folder / "packet.pdf")
        root = pdf.trailer["/Root"]
        assert root["/MarkInfo"]["/Marked"]
        assert root["/Lang"].startswith("en")
        assert walk.job.name in pdf.metadata.title
        # PDF/A-2a and PDF/UA-1 are claimed in the metadata (ISO 19005-2, 6.6.4; ISO 14289-1, 5).
        xmp = root["/Metadata"].get_data().decode()
        assert "<pdfaid:part>2</pdfaid:part>" in xmp
        assert "<pdfaid:conformance>A</pdfaid:conformance>" in xmp
        assert "<pdfuaid:part>1</pdfuaid:part>" in xmp
        told = list(_alternatives(root["/StructTreeRoot"]))
        # Beside the drawn sheets, a plan stands on the page of each trade and a chart on the bid.
        drawn = [kind for kind in SHEETS if kind.drawn and kind.stands(walk)]
        charts = 0 if walk.price is None else 1
        assert len(told) == len(drawn) + len(walk.touches.trades) + charts
        assert all(len(text) > 30 for text in told)


def _alternatives(node):
    node = node.get_object() if hasattr(node, "get_object") else node
    if isinstance(node, list):
        for child in node:
            yield from _alternatives(child)
    elif isinstance(node, dict):
        if "/Alt" in node:
            yield str(node["/Alt"])
        if "/K" in node:
            yield from _alternatives(node["/K"])


def test_fonts_are_inside_the_file(packets):
    _, folder, _ = packets["feet-inches"]
    names = set()
    for page in pypdf.PdfReader(folder / "packet.pdf").pages:
        for font in page["/Resources"].get("/Font", {}).values():
            for inner in font.get_object()["/DescendantFonts"]:
                names.add(inner.get_object()["/BaseFont"])
    assert names
    assert all("SourceSansPro" in name for name in names)


def test_the_same_job_prints_the_same_bytes(packets, tmp_path):
    walk, _, files = packets["metric"]
    again = write_packet(fake_walk(system="metric", name=walk.job.name), tmp_path)
    assert [path.name for path in again] == [path.name for path in files]
    for one, other in zip(files, again, strict=True):
        assert one.read_bytes() == other.read_bytes(), one.name


def test_pad_readings_stand_in_large_type_and_fit_the_laser(packets):
    """Reading = datum + reading on the benchmark - height of the pad, worked here by hand."""
    for system, (walk, folder, _) in packets.items():
        units = Units(system, MARKS[system])
        pages = pypdf.PdfReader(next(folder.glob("*-pads.pdf"))).pages
        sizes: dict[str, float] = {}

        def note(text, _cm, matrix, _font, size, into=sizes):
            if text.strip():
                into[squeezed(text)] = abs(size * (matrix[3] or matrix[0]))

        told = squeezed(" ".join(page.extract_text(visitor_text=note) for page in pages))
        assert squeezed("Rod reading = beam height minus pad height.") in told
        first = write_reading(READ, units)
        assert squeezed(f"Check the benchmark reads {first} first.") in told
        for pad in walk.newtop.top.pads:
            rod = squeezed(write_reading(DATUM + READ - pad.height_m, units))
            assert rod in told
            assert sizes[rod] >= 14


def test_nothing_a_person_wrote_becomes_markup():
    walk = fake_walk(hostile=True)
    pdf, sheets = printed(walk)
    whole = squeezed("".join(page.extract_text() for page in pdf.pages))
    for words in (
        f"Farm shop{HOSTILE}",
        f"nail in the door post{HOSTILE}",
        f"Was the floor wet?{HOSTILE}",
        f"a foot too much{HOSTILE}",
        f"big door{HOSTILE}",
    ):
        assert squeezed(words) in whole
    assert len(sheets) == sum(kind.stands(walk) for kind in SHEETS)


def test_control_signs_and_foreign_letters_print():
    walk = fake_walk(name="Шоп \x00\x07 工 \ud800")
    pdf, _ = printed(walk)
    told = pdf.pages[0].extract_text()
    assert "Шоп" in told
    assert "工" not in told
    assert "not in the lettering" in squeezed(told) or "notinthelettering" in squeezed(told)


def test_endless_words_and_many_assumptions_stay_on_the_page():
    walk = fake_walk(name="W" * 300)
    many = tuple(Assumption(f"thing {k}", "a value that takes some room", "x") for k in range(40))
    walk = replace(walk, job=replace(walk.job, assumptions=many))
    sheets = lay_sheets(walk)
    drawn = next(sheet for sheet in sheets if sheet.code == "old-floor")
    pdf = pypdf.PdfReader(io.BytesIO(print_pdf(walk, (drawn,), page_of(walk))))
    assert len(pdf.pages) == 1
    rights = []

    def note(text, matrix, place, _font, _size):
        if "WWW" in text:
            # Where the line ends: its start and 0.83 of the size for each W of the bold face.
            rights.append(matrix[4] + place[4] + len(text.strip()) * 0.83 * 7.5)

    pdf.pages[0].extract_text(visitor_text=note)
    assert rights
    assert max(rights) < float(pdf.pages[0].mediabox.width)


def test_without_a_top_the_sheets_of_the_top_are_left_out_and_the_fight_is_told(tmp_path):
    write_packet(fake_walk(), tmp_path)
    walk = fake_walk(fits=False)
    files = write_packet(walk, tmp_path)
    assert {path.name for path in tmp_path.iterdir()} == {path.name for path in files}
    codes = {
        path.stem.split("-", 1)[1] for path in files if path.suffix == ".pdf" and "-" in path.name
    }
    assert codes == {
        "summary", "old-floor", "verdict", "verdict-map", "assumptions", "workings", "cautions",
    }  # fmt: skip
    told = squeezed(pypdf.PdfReader(tmp_path / "01-summary.pdf").pages[0].extract_text())
    for words in (
        "No top can meet all that is asked",
        "The side door is too low for water to run from it to the big door.",
        "least fall to big door",
        "Let the side door come up 3/4 in.",
        # 30.53 m is 100 ft 1 31/32 in, 30.55 m is 100 ft 2 3/4 in, to the nearest 1/16 in.
        "side door height: 100' 2 3/4\" instead of 100' 1 15/16\"",
    ):
        assert squeezed(words) in told
    with pytest.raises(Faulty) as fault:
        draw_sheet(walk, "thickness")
    assert fault.value.faults[0].code == "sheet-absent"


def test_the_summary_sets_every_kind_of_top_beside_the_others(packets):
    for walk, folder, _ in packets.values():
        told = squeezed(pypdf.PdfReader(folder / "01-summary.pdf").pages[0].extract_text())
        for option in walk.newtop.options:
            assert squeezed(option.title) in told
        assert "cannotbebuilt" in told
        assert squeezed("The slot at the side door must be cut first.") in told


def test_the_order_prints_blanks_for_what_was_not_given(packets):
    for _, folder, _ in packets.values():
        told = squeezed(pypdf.PdfReader(next(folder.glob("*-order.pdf"))).pages[0].extract_text())
        assert squeezed("ask: slump") in told
        assert squeezed("ask: air") in told
        assert squeezed("ask: strength") not in told
        assert "will-call" in told


def test_a_stated_assumption_stands_on_every_sheet_that_leans_on_it(packets):
    _, folder, _ = packets["metric"]
    for code in ("summary", "old-floor", "new-top", "thickness", "sections", "takeoff", "order"):
        path = next(folder.glob(f"*-{code}.pdf"))
        told = squeezed(" ".join(p.extract_text() for p in pypdf.PdfReader(path).pages))
        assert squeezed("losses: 5 %") in told, code


def test_unknown_and_wordy_sheets_are_faults():
    for code, fault_code in (("roof", "sheet-unknown"), ("order", "sheet-not-drawn")):
        with pytest.raises(Faulty) as fault:
            draw_sheet(fake_walk(), code)
        assert fault.value.faults[0].code == fault_code


def test_a_folder_that_cannot_be_written_is_a_fault(tmp_path):
    taken = tmp_path / "taken"
    taken.write_text("a file")
    with pytest.raises(Faulty) as fault:
        write_packet(fake_walk(), taken)
    assert fault.value.faults[0].code == "packet-folder"
    assert taken.read_text() == "a file"
