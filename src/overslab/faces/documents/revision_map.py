"""The map of a change: how much thicker or thinner the new slab gets, place by place."""

from __future__ import annotations

import numpy as np

from overslab.faces.documents.blocks import Block, Figure, Heading, Para
from overslab.faces.documents.drawing import INK
from overslab.faces.documents.paper import page_of
from overslab.faces.documents.plan_sheet import Room
from overslab.faces.documents.plan_start import bare_sheet
from overslab.ground.units import write_length
from overslab.job.records import Walk
from overslab.job.revising import Map

_HIGH = 120.0  # mm
_ABOUT = 30  # places that are told


def change_blocks(change: Map | None, walk: Walk) -> list[Block]:
    """A plan with the change at places all over; nothing where it is the same everywhere."""
    if change is None or change.most_m - change.least_m < walk.newtop.wishes.mark_m:
        return []
    units = walk.job.units
    sheet = bare_sheet(
        walk,
        Room(page_of(walk).wide(landscape=False), _HIGH),
        title="Change of thickness",
        told="Plan of the floor with the change of thickness, from "
        f"{write_length(change.least_m, units)} to {write_length(change.most_m, units)}.",
    )
    for at, more_m in _places(change):
        spot = sheet.view.spot(at)
        sheet.drawing.circle("marks", spot, radius=0.6, pen="mark", fill=INK, kind="change")
        told = write_length(more_m, units)
        sheet.point_label(
            (f"+{told}" if more_m > 0 and told != "0" else told,),
            spot,
            layer="labels",
            rank=1,
            kind="change-label",
        )
    return [
        Heading("How much thicker, place by place"),
        Para("A minus: thinner than before."),
        Figure(sheet.finish()),
    ]


def _places(change: Map) -> list[tuple[tuple[float, float], float]]:
    """Places on a coarse grid, and the two where it changes least and most."""
    lattice = change.lattice
    stride = max(1, round(float(np.sqrt(lattice.inside.sum() / _ABOUT))))
    found = [(change.least_at, change.least_m), (change.most_at, change.most_m)]
    for row in range(stride // 2, len(lattice.y_m), stride):
        for column in range(stride // 2, len(lattice.x_m), stride):
            more_m = change.more_m[row, column]
            if np.isfinite(more_m):
                at = (float(lattice.x_m[column]), float(lattice.y_m[row]))
                found.append((at, float(more_m)))
    return found
