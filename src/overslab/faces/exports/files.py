"""Which files there are, for whom, and how they are written to a folder."""

from __future__ import annotations

import os
import tempfile
from collections.abc import Callable, Iterable
from dataclasses import dataclass
from pathlib import Path

from overslab.faces.exports import faults
from overslab.faces.exports.calendar_file import icalendar
from overslab.faces.exports.drawing_file import dxf
from overslab.faces.exports.map_file import geojson
from overslab.faces.exports.meshes import Mesh, mesh_of
from overslab.faces.exports.model_file import glb
from overslab.faces.exports.survey_file import landxml
from overslab.faces.exports.tables import bid_csv, concrete_csv, pads_csv, takeoff_csv
from overslab.ground.faults import Faulty
from overslab.job.records import Walk


@dataclass(frozen=True, slots=True)
class FileKind:
    """One file that a job can be written out as.

    ``form`` is the word it is asked for by. ``priced``: it holds money, so it is for the office
    alone. ``make`` takes the walk and whether the reader is of the office.
    """

    name: str
    form: str
    media_type: str
    says: str
    make: Callable[[Walk, bool], bytes]
    needs_top: bool = True
    priced: bool = False

    def there_is(self, walk: Walk) -> bool:
        """Whether this job has what the file holds."""
        if self.priced:
            return walk.price is not None
        return walk.newtop.top is not None or not self.needs_top


def _table(make: Callable[[Walk], bytes]) -> Callable[[Walk, bool], bytes]:
    return lambda walk, _office: make(walk)


def _surface(make: Callable[[Walk, Mesh], bytes]) -> Callable[[Walk, bool], bytes]:
    return lambda walk, _office: make(walk, mesh_of(walk))


_CSV = "text/csv; charset=utf-8"
FILES: tuple[FileKind, ...] = (
    FileKind(
        "calendar.ics",
        "ics",
        "text/calendar; charset=utf-8",
        "Days of the job, and what must be ready before the pour, for a calendar (iCalendar).",
        lambda walk, office: icalendar(walk, office=office),
        needs_top=False,
    ),
    FileKind(
        "takeoff.csv",
        "csv",
        _CSV,
        "Everything to buy and to do, without prices, for a spreadsheet.",
        _table(takeoff_csv),
    ),
    FileKind(
        "concrete.csv",
        "csv",
        _CSV,
        "Concrete in place: in all, by panel, by strip, for a spreadsheet.",
        _table(concrete_csv),
    ),
    FileKind(
        "pads.csv",
        "csv",
        _CSV,
        "Every pad: place, height, rod reading, for a spreadsheet.",
        _table(pads_csv),
    ),
    FileKind(
        "bid.csv",
        "csv",
        _CSV,
        "The lines of the bid with their prices, for a spreadsheet; for the office alone.",
        _table(bid_csv),
        priced=True,
    ),
    FileKind(
        "surfaces.xml",
        "landxml",
        "application/xml",
        "Old floor and new top as triangles, for survey software (LandXML).",
        _surface(lambda walk, mesh: landxml(walk.job, mesh)),
    ),
    FileKind(
        "surfaces.dxf",
        "dxf",
        "image/vnd.dxf",
        "Plan, contours, pads and both surfaces, for a drawing program (DXF).",
        _surface(dxf),
    ),
    FileKind(
        "surfaces.geojson",
        "geojson",
        "application/geo+json",
        "Plan, pads and both surfaces in local metres, not on the map (GeoJSON).",
        _surface(geojson),
    ),
    FileKind(
        "surfaces.glb",
        "glb",
        "model/gltf-binary",
        "Both surfaces as a model to turn round on a screen (binary glTF).",
        _surface(lambda walk, mesh: glb(walk.job, mesh)),
    ),
)
FORMS: tuple[str, ...] = tuple(dict.fromkeys(one.form for one in FILES))


def files_for(*, office: bool) -> tuple[FileKind, ...]:
    """The files that may be seen; those with money by the office alone."""
    return tuple(one for one in FILES if office or not one.priced)


def asked_for(forms: str | None) -> tuple[FileKind, ...]:
    """The files of these forms, a text such as ``csv,dxf``; all of them for None.

    Raises ``Faulty`` with every word that is no form.
    """
    if forms is None:
        return FILES
    words = [word.strip().lower() for word in forms.split(",") if word.strip()]
    known = ", ".join(FORMS)
    wrong = [word for word in words if word not in FORMS]
    if wrong or not words:
        raise Faulty(faults.FORM_UNKNOWN.met(value=word, known=known) for word in wrong or [forms])
    return tuple(one for one in FILES if one.form in words)


def write_exports(walk: Walk, folder: Path, kinds: Iterable[FileKind] = FILES) -> tuple[Path, ...]:
    """Write the files into ``folder``; returns those written.

    Everything is made before anything is written, and every file takes the place of an older one
    in one step. The bid is left out where the job has none. Raises ``Faulty`` when there is no top
    for a file that holds it, or when the folder cannot be written.
    """
    kinds = tuple(kinds)
    if walk.newtop.top is None and any(one.needs_top for one in kinds):
        raise Faulty(faults.NO_TOP.met(value=walk.job.name))
    wanted = [one for one in kinds if one.there_is(walk)]
    if not wanted:
        raise Faulty(faults.NO_PRICE.met(value=walk.job.name))
    made = {one.name: one.make(walk, True) for one in wanted}
    try:
        folder.mkdir(parents=True, exist_ok=True)
        for name, content in made.items():
            _put(folder / name, content)
    except OSError as trouble:
        why = trouble.strerror or str(trouble)
        raise Faulty(faults.FOLDER.met(value=folder, why=why)) from None
    return tuple(folder / name for name in made)


def _put(path: Path, content: bytes) -> None:
    """The whole file or none of it, under its name."""
    handle, beside = tempfile.mkstemp(dir=path.parent, prefix=f".{path.name}-")
    new = Path(beside)
    try:
        with os.fdopen(handle, "wb") as file:
            file.write(content)
            file.flush()
            os.fsync(file.fileno())
        # As a file of anyone's that is made here, not for the owner's eyes alone.
        new.chmod(0o644)
        new.replace(path)
    except BaseException:
        new.unlink(missing_ok=True)
        raise
