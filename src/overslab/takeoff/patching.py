"""Pits and hollow places filled before the top, as an item of their own."""

from __future__ import annotations

from math import ceil

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

from overslab.ground.notes import Assumption, Remark
from overslab.ground.units import Units, write_area, write_volume
from overslab.oldslab.records import OldSlab
from overslab.takeoff.asked import PatchAsked
from overslab.takeoff.items import Item, work
from overslab.takeoff.pieces import Places
from overslab.takeoff.place import Place
from overslab.takeoff.records import Part
from overslab.verdict.records import Hollow

Floats = NDArray[np.float64]

_RIM_M = 0.1  # the floor round a pit is looked at this far outside it
_RIM_STEP_M = 0.15
_RIM = Assumption(
    about="rim of the pits",
    taken="a plane through the old floor a hand's breadth outside each",
    because="a pit is filled level with what lies round it; its doubt stays that of the pit as "
    "shot",
)


def fill_of_pits(
    oldslab: OldSlab, at_m: Floats, panel_of: Places, asked: PatchAsked | None
) -> Floats:
    """How much (n,) the floor comes up at (n, 2) places of which panels they are known, when pits
    and trenches are filled to their rim.
    """
    fill_m = np.zeros(len(at_m))
    if asked is None or not asked.pits:
        return fill_m
    for number, panel in enumerate(oldslab.panels):
        here = panel_of == number
        if panel.kind not in ("pit", "trench") or not here.any():
            continue
        rim_m = _rim_m(oldslab, panel.polygon, at_m[here])
        if rim_m is not None:
            old_m = oldslab.surface.height_m(at_m[here])
            fill_m[here] = np.maximum(rim_m - old_m, 0.0)
    return fill_m


def _rim_m(oldslab: OldSlab, pit: shapely.Polygon, at_m: Floats) -> Floats | None:
    """Height of the plane through the floor round a pit; None where no floor lies round it."""
    ring = pit.buffer(_RIM_M, join_style="mitre").exterior
    round_it = oldslab.plan.polygon().buffer(-1e-3)
    others = [one.polygon for one in oldslab.panels if one.kind != "panel"]
    shapely.prepare(round_it)
    spots = shapely.get_coordinates(shapely.segmentize(ring, _RIM_STEP_M))[:-1]
    kept = spots[
        shapely.contains_xy(round_it, spots[:, 0], spots[:, 1])
        & ~shapely.contains_xy(shapely.union_all(others), spots[:, 0], spots[:, 1])
    ]
    if len(kept) < 3:
        return None
    middle = kept.mean(axis=0)
    table = np.column_stack([np.ones(len(kept)), kept - middle])
    plane, *_ = np.linalg.lstsq(table, oldslab.surface.height_m(kept), rcond=None)
    rim_m: Floats = np.column_stack([np.ones(len(at_m)), at_m - middle]) @ plane
    return rim_m


def patch(
    place: Place,
    asked: PatchAsked,
    *,
    pits_m3: float,
    hollows: tuple[Hollow, ...],
    units: Units,
) -> Part:
    """Volume of the pits as drawn and of hollow places by the depth you gave; none is guessed."""
    open_floor: BaseGeometry = place.floor
    for panel in place.oldslab.panels:
        if asked.pits and panel.kind in ("pit", "trench"):
            open_floor = open_floor.difference(panel.polygon)
    hollow = shapely.union_all([shapely.Polygon(one.corners) for one in hollows])
    hollow_m2 = float(hollow.intersection(open_floor).area)
    remarks, volume_m3 = [], pits_m3
    if hollow_m2 > 0.0 and asked.hollow_depth_m is None:
        remarks.append(
            Remark(
                "ask",
                f"How deep are the hollow places cut out? {write_area(hollow_m2, units)} sound "
                "hollow and are not in the filling yet: hollow_depth in [patch] says it.",
            )
        )
    elif asked.hollow_depth_m is not None:
        volume_m3 += hollow_m2 * asked.hollow_depth_m
    if pits_m3 > 0.0:
        remarks.append(
            Remark(
                "note",
                f"Pits and trenches are filled first: {write_volume(pits_m3, units)} that the "
                "concrete in place leaves out.",
            )
        )
    if volume_m3 <= 0.0:
        return Part(remarks=tuple(remarks))
    item = Item(
        code="patch",
        what=asked.what or "filling for pits and hollow places",
        kind="material",
        quantity="volume_m3",
        net=volume_m3,
        gross=volume_m3,
        order_unit=asked.unit,
        ordered=float(ceil(volume_m3 / asked.fills_m3_per_unit - 1e-9)),
        why="Pits and trenches from their floor up to the rim, hollow places by the depth you "
        "gave.",
        unit_holds=asked.fills_m3_per_unit,
    )
    job = work("fill", "fill pits and hollow places", "volume_m3", volume_m3, "The same volume.")
    return Part(
        items=(item, job),
        remarks=tuple(remarks),
        assumptions=(_RIM,) if pits_m3 > 0.0 else (),
    )
