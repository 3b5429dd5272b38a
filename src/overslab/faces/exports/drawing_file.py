"""Floor, surfaces, contours and pads as DXF (AutoCAD 2010 version of the format), in job units.

Written through ezdxf: layers by what lies on them, triangles as 3DFACE, ``$INSUNITS`` says feet or
metres.
"""

from __future__ import annotations

import io
from collections.abc import Iterable, Sequence
from typing import TYPE_CHECKING

import numpy as np
import shapely

from overslab.faces.documents.contours import levels_m, step_m
from overslab.faces.exports.frame import FOOT, LengthUnit, frame_says, plain, unit_of
from overslab.faces.exports.meshes import Floats, Mesh, top_of
from overslab.ground.units import write_height
from overslab.job.records import Walk
from overslab.oldslab import Contour, contours
from overslab.takeoff import pits_of_drains

if TYPE_CHECKING:
    from ezdxf.document import Drawing
    from ezdxf.layouts import Modelspace

# Name and colour number of every layer.
LAYERS = {
    "OUTLINE": 7,
    "HOLES": 7,
    "BREAKS": 1,
    "PITS": 30,
    "FOLDS": 5,
    "STRIPS": 8,
    "OLD-CONTOURS": 32,
    "TOP-CONTOURS": 150,
    "PADS": 3,
    "OLD-FLOOR": 33,
    "NEW-TOP": 151,
}
_MOST_LINES = 24
_TEXT_M = 0.1


def dxf(walk: Walk, mesh: Mesh) -> bytes:
    """The file. The same job gives the same bytes."""
    import ezdxf
    from ezdxf import units

    # Otherwise the hour of writing and a chance number stand in every file.
    ezdxf.options.write_fixed_meta_data_for_testing = True
    unit = unit_of(walk.job)
    drawing = ezdxf.new("R2010", units=units.FT if unit == FOOT else units.M)
    for name, value in (("Job", walk.job.name), ("Frame", frame_says(walk.job))):
        drawing.header.custom_vars.append(name, plain(value))
    for name, colour in LAYERS.items():
        drawing.layers.add(name, color=colour)
    _Draughtsman(drawing, unit).draw(walk, mesh)
    west, south, east, north = (unit.of(value) for value in walk.job.plan.polygon().bounds)
    drawing.set_modelspace_vport(
        height=1.2 * max(north - south, east - west),
        center=((west + east) / 2, (south + north) / 2),
    )
    out = io.StringIO()
    drawing.write(out)
    return out.getvalue().encode(drawing.output_encoding)


class _Draughtsman:
    """Draws in metres; the drawing holds the job's unit."""

    def __init__(self, drawing: Drawing, unit: LengthUnit) -> None:
        self._space: Modelspace = drawing.modelspace()
        self._scale = unit.of(1.0)

    def draw(self, walk: Walk, mesh: Mesh) -> None:
        plan, top = walk.job.plan, top_of(walk)
        self._ring("OUTLINE", plan.outline)
        for hole in plan.holes:
            self._ring("HOLES", hole.corners)
        for one in plan.features:
            self._ring("PITS", one.corners)
        for _, pit in pits_of_drains(walk.newtop):
            self._ring("PITS", pit.exterior.coords[:-1])
        for crack in plan.breaks:
            self._line("BREAKS", crack.line)
        for strip in walk.newtop.strips:
            self._ring("STRIPS", strip.corners)
        for fold in top.folds:
            ends = np.array(fold)
            assert top.surface is not None
            self._solid_line("FOLDS", np.column_stack([ends, top.surface.height_m(ends)]))
        self._contours(walk)
        for pad in top.pads:
            place = (*pad.at, pad.height_m)
            self._space.add_point(self._scaled(place), dxfattribs={"layer": "PADS"})
            text = f"{plain(pad.name)}  {write_height(pad.height_m, walk.job.units)}"
            self._text("PADS", text, place)
        for layer, heights_m in (("OLD-FLOOR", mesh.old_m), ("NEW-TOP", mesh.new_m)):
            corners = np.column_stack([mesh.at_m, heights_m]) * self._scale
            for face in corners[mesh.triangles[:, [0, 1, 2, 2]]].tolist():
                self._space.add_3dface(face, dxfattribs={"layer": layer})

    def _contours(self, walk: Walk) -> None:
        system, top = walk.job.units.system, walk.newtop
        old = walk.oldslab.heights_m
        step = step_m(old, most=_MOST_LINES, system=system)
        found = contours(walk.oldslab, levels_m(old, step=step))
        self._level_lines("OLD-CONTOURS", found)
        step = step_m(top.top_m, most=_MOST_LINES, system=system)
        floor: shapely.Geometry = walk.job.plan.polygon()
        levels = levels_m(top.top_m, step=step)
        found = contours((top.lattice, top.top_m), levels, within=floor)
        self._level_lines("TOP-CONTOURS", found)

    def _level_lines(self, layer: str, lines: Iterable[Contour]) -> None:
        for one in lines:
            self._space.add_lwpolyline(
                [self._scaled(place) for place in one.line],
                dxfattribs={"layer": layer, "elevation": one.level_m * self._scale},
            )

    def _ring(self, layer: str, corners: Iterable[Sequence[float]]) -> None:
        self._space.add_lwpolyline(
            [self._scaled(place) for place in corners], close=True, dxfattribs={"layer": layer}
        )

    def _line(self, layer: str, corners: Iterable[Sequence[float]]) -> None:
        self._space.add_lwpolyline(
            [self._scaled(place) for place in corners], dxfattribs={"layer": layer}
        )

    def _solid_line(self, layer: str, places: Floats) -> None:
        start, end = (places * self._scale).tolist()
        self._space.add_line(start, end, dxfattribs={"layer": layer})

    def _text(self, layer: str, text: str, place: Sequence[float]) -> None:
        height = _TEXT_M * self._scale
        # Two percent signs would begin a control code.
        made = self._space.add_text(
            text.replace("%%", "% %"), height=height, dxfattribs={"layer": layer}
        )
        x, y, z = self._scaled(place)
        made.set_placement((x + height, y + height, z))

    def _scaled(self, place: Sequence[float]) -> tuple[float, ...]:
        return tuple(float(value) * self._scale for value in place)
