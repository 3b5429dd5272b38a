"""The packet on paper: all sheets as one PDF, each sheet alone as PDF and SVG."""

from __future__ import annotations

import datetime
import json
from collections.abc import Sequence
from importlib import resources
from pathlib import Path
from typing import Any, Literal, cast

from overslab.faces.documents import faults
from overslab.faces.documents.blocks import Para, Sheet
from overslab.faces.documents.drawing import Drawing, Text
from overslab.faces.documents.fonts import LOST, compiler, only_printable
from overslab.faces.documents.lettering import MM_PER_PT, wrap
from overslab.faces.documents.paper import LINE, MARGIN, Page, page_of
from overslab.faces.documents.sheets import CREW_SHEETS, SHEETS, lay_sheet, lay_sheets, sheet_names
from overslab.faces.documents.svg import printable, settable, write_svg
from overslab.ground.faults import Faulty
from overslab.job.records import Walk

# Archive copy with tags (ISO 19005-2, level A) that is also accessible (ISO 14289-1).
STANDARDS = ("a-2a", "ua-1")
_LOST_SIGNS = (
    f"Some signs that were typed are not in the lettering of these sheets and stand as {LOST}."
)


def write_packet(walk: Walk, folder: Path) -> tuple[Path, ...]:
    """Write ``packet.pdf``, ``crew.pdf`` and every sheet alone; returns the files written.

    The packet is the office's and holds prices; ``crew.pdf`` is what hangs on the wall.

    Sheets of an earlier packet that this job no longer has are removed, so that nobody pours by
    them. Raises Faulty when the folder cannot be written.
    """
    sheets, page = lay_sheets(walk), page_of(walk)
    on_the_wall = tuple(sheet for sheet in sheets if sheet.code in CREW_SHEETS)
    files: dict[str, bytes] = {
        "packet.pdf": print_pdf(walk, sheets, page),
        "crew.pdf": print_pdf(walk, on_the_wall, page),
    }
    for sheet in sheets:
        stem = f"{sheet.number:02d}-{sheet.code}"
        files[f"{stem}.pdf"] = print_pdf(walk, (sheet,), page)
        if sheet.drawing is not None:
            files[f"{stem}.svg"] = _alone(sheet, page).encode()
        else:
            pages = cast(list[bytes], _compile(walk, (sheet,), page, "svg"))
            for place, text in enumerate(pages):
                tail = f"-{place + 1}" if len(pages) > 1 else ""
                files[f"{stem}{tail}.svg"] = text
    try:
        folder.mkdir(parents=True, exist_ok=True)
        for old in _of_a_packet(folder):
            if old.name not in files:
                old.unlink()
        for name, content in files.items():
            (folder / name).write_bytes(content)
    except OSError as problem:
        why = problem.strerror or str(problem)
        raise Faulty(faults.PACKET_FOLDER.met(value=folder, why=why)) from problem
    return tuple(folder / name for name in files)


def draw_sheet(walk: Walk, code: str) -> str:
    """One drawn sheet as SVG, with the lines that stand at the foot of every sheet.

    Raises Faulty when there is no such sheet, when the job has no top to draw, or when the sheet is
    words only.
    """
    kind = next((kind for kind in SHEETS if kind.code == code), None)
    if kind is None:
        raise Faulty(faults.SHEET_UNKNOWN.met(value=code, known=", ".join(sheet_names())))
    if not kind.drawn:
        drawings = ", ".join(kind.code for kind in SHEETS if kind.drawn)
        raise Faulty(faults.SHEET_NOT_DRAWN.met(value=code, title=kind.title, drawn=drawings))
    sheet = lay_sheet(walk, code)
    if sheet is None:
        raise Faulty(faults.SHEET_ABSENT.met(value=code, title=kind.title))
    return _alone(sheet, page_of(walk))


def print_pdf(walk: Walk, sheets: Sequence[Sheet], page: Page) -> bytes:
    """Sheets as one tagged PDF; the same job gives the same bytes."""
    return cast(bytes, _compile(walk, sheets, page, "pdf"))


def _compile(
    walk: Walk, sheets: Sequence[Sheet], page: Page, form: Literal["pdf", "svg"]
) -> bytes | list[bytes]:
    data: dict[str, Any] = {
        "title": printable(
            f"{walk.job.name}: {sheets[0].title if len(sheets) == 1 else 'packet of sheets'}"
        ),
        "paper": page.paper,
        "margin": MARGIN,
        "foot": [settable(line) for line in page.foot],
        "bold": 2 if walk.job.made_up else 1,
        "sheets": [
            {**sheet.data(), "foot": page.foot_high(landscape=sheet.landscape)} for sheet in sheets
        ],
    }
    written = json.dumps(data, ensure_ascii=False)
    shown = only_printable(written)
    if shown != written and not sheets[0].landscape and sheets[0].drawing is None:
        data["sheets"][0]["blocks"].append(Para(_LOST_SIGNS, "small").data())
        shown = only_printable(json.dumps(data, ensure_ascii=False))
    inputs = {"packet": shown}
    template = resources.files(__package__).joinpath("templates/packet.typ").read_bytes()
    with_form: dict[str, Any] = (
        {"format": "pdf", "pdf_standards": list(STANDARDS), "timestamp": _stamp(walk)}
        if form == "pdf"
        else {"format": "svg", "timestamp": _stamp(walk)}
    )
    made, warnings = compiler().compile_with_warnings(template, sys_inputs=inputs, **with_form)
    if warnings:
        # A warning means letters without a font or a sheet set wrongly: never hand that out.
        raise RuntimeError("; ".join(str(warning) for warning in warnings))
    if form == "svg" and isinstance(made, bytes):
        return [made]
    return cast("bytes | list[bytes]", made)


def _stamp(walk: Walk) -> datetime.datetime:
    """Midnight of the survey's day, so that the same job prints the same file on any day."""
    day = datetime.date.fromisoformat(walk.job.date)
    return datetime.datetime.combine(day, datetime.time(), datetime.UTC)


def _of_a_packet(folder: Path) -> list[Path]:
    """Files that an earlier packet left, told by the names that only packets use."""
    found = []
    for place, kind in enumerate(SHEETS):
        stem = f"{place + 1:02d}-{kind.code}"
        found += [
            path for path in (folder / f"{stem}.pdf", folder / f"{stem}.svg") if path.is_file()
        ]
        found += [path for path in sorted(folder.glob(f"{stem}-[0-9]*.svg")) if path.is_file()]
    return found


def _alone(sheet: Sheet, page: Page) -> str:
    """The drawing with its title and the foot of the sheet under it."""
    assert sheet.drawing is not None
    drawing = sheet.drawing
    size = 7.5 * MM_PER_PT
    lines = [
        part
        for line in (f"Sheet {sheet.number}: {sheet.title}", *page.foot)
        for part in wrap(line, width=drawing.width - 2, size_mm=size, bold=True)
    ]
    whole = Drawing(
        drawing.width,
        drawing.height + 4 + len(lines) * LINE * size,
        drawing.title,
        drawing.told,
        {**drawing.layers, "foot": []},
    )
    y = drawing.height + 2
    whole.line("foot", [(0, y), (drawing.width, y)], pen="frame")
    for place, line in enumerate(lines):
        at = (1.0, y + (place + 0.9) * LINE * size)
        whole.put("foot", Text(line, at, size, bold=place == 0, halo=False, kind="foot"))
    return write_svg(whole)
