"""Floor shots made ready for the surface: on their panels, one to a place, not too many."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import scipy.sparse
import shapely
from numpy.typing import NDArray

from overslab.ground.faults import Fault, Faulty
from overslab.ground.notes import Assumption, Remark
from overslab.ground.plan import SNAP_M
from overslab.oldslab.faults import (
    FEATURE_WITHOUT_SHOTS,
    HEIGHTS_APART,
    NO_FLOOR_SHOTS,
    PANEL_WITHOUT_SHOTS,
    SHOT_NOT_A_NUMBER,
    SHOTS_OUTSIDE,
    TOO_FEW_SHOTS,
)
from overslab.oldslab.panels import Piece, distances, side_of
from overslab.oldslab.process import TILT_DEVIATION, Data
from overslab.oldslab.thinning import farthest
from overslab.oldslab.triangulate import plane_weights
from overslab.oldslab.words import Words, listed
from overslab.shots.records import FLOOR_KINDS, Heights

Floats = NDArray[np.float64]
Places = NDArray[np.intp]

MOST_PLACES = 1000  # the surface is fitted to at most so many places
_ONE_PLACE_M = 0.010  # shots nearer than this stand under the same rod foot
_ON_LINE_M = 0.005  # a shot this near a break could be of either side
_FARTHEST_M = 3.0  # no pit or step of a floor that is poured over is deeper
_NARROW = 0.02  # shots spread less across than this share of their length stand on one line


@dataclass(frozen=True, slots=True, eq=False)
class FloorShots:
    """All floor shots as given, and the data the surface is fitted to."""

    names: tuple[str, ...]
    xy_m: Floats  # (all, 2)
    height_m: Floats  # (all,)
    panel: Places  # (all,)
    data: Data
    assumptions: tuple[Assumption, ...]
    remarks: tuple[Remark, ...]


def gather(heights: Heights, pieces: Sequence[Piece], *, words: Words) -> FloorShots:
    """Floor shots on their panels; raises ``Faulty`` with everything that is wrong with them."""
    at = heights.of_kind(*FLOOR_KINDS)
    points = [heights.points[place] for place in at]
    if not points:
        raise Faulty(NO_FLOOR_SHOTS.met(value="no floor shots"))
    names = tuple(point.point for point in points)
    xy_m = np.array([[point.x_m, point.y_m] for point in points], dtype=np.float64)
    height_m = np.array([point.height_m for point in points])
    covariance_m2 = np.asarray(heights.covariance_m2)[np.ix_(at, at)]
    sound = np.isfinite(xy_m).all(axis=1) & np.isfinite(height_m)
    sound &= np.isfinite(covariance_m2).all(axis=1)
    if not sound.all():
        bad = [name for name, good in zip(names, sound, strict=True) if not good]
        raise Faulty(SHOT_NOT_A_NUMBER.met(value=f"{len(bad)} shots", names=listed(bad)))
    xy_m, faults, remarks = _on_the_floor(names, xy_m, pieces, words=words)
    faults += _enough(xy_m)
    faults += _within_reach(names, height_m, words=words)
    panel, split = _sides(names, xy_m, height_m, pieces)
    faults += _every_piece(panel, split, pieces, words=words)
    if faults:
        raise Faulty(faults)
    if split:
        remarks.append(
            Remark(
                "note",
                f"Shots on a break line or the edge of a pit, trench or pad: {listed(split)}. Each "
                "was put with the side its height fits. If that is wrong, move its x or y to the "
                "side that was meant.",
            )
        )
    data, thinned = _data(xy_m, height_m, covariance_m2, panel, pieces)
    if thinned:
        remarks.append(thinned)
    return FloorShots(
        names=names,
        xy_m=xy_m,
        height_m=height_m,
        panel=panel,
        data=data,
        assumptions=_untold_tilts(xy_m, panel, pieces, words=words),
        remarks=tuple(remarks),
    )


def _on_the_floor(
    names: Sequence[str], xy_m: Floats, pieces: Sequence[Piece], *, words: Words
) -> tuple[Floats, list[Fault], list[Remark]]:
    floor = shapely.union_all([piece.polygon for piece in pieces])
    shapely.prepare(floor)
    spots = shapely.points(xy_m)
    over = np.atleast_1d(shapely.distance(floor, spots))
    far = np.flatnonzero(over > SNAP_M)
    faults, remarks = [], []
    if far.size:
        told = [f"{names[int(place)]} by {words.length(float(over[place]))}" for place in far]
        faults.append(
            SHOTS_OUTSIDE.met(
                value=f"{names[int(far[0])]} at {words.place(xy_m[far[0]])}",
                names=listed(told),
                snap=words.length(SNAP_M),
            )
        )
    near = np.flatnonzero((over > 0) & (over <= SNAP_M))
    if near.size:
        lines = shapely.shortest_line(floor, shapely.points(xy_m[near]))
        xy_m = xy_m.copy()
        xy_m[near] = shapely.get_coordinates(shapely.get_point(lines, 0))
        # Below a micrometre it is the rounding of the sums and not worth a word.
        moved = [names[int(place)] for place in near if over[place] > 1e-6]
        if moved:
            remarks.append(
                Remark(
                    "note",
                    f"Shots a hair outside the floor were taken to stand at its edge: "
                    f"{listed(moved)} (at most {words.height(float(over[near].max()))}).",
                )
            )
    return xy_m, faults, remarks


def _enough(xy_m: Floats) -> list[Fault]:
    places = np.unique(np.round(xy_m / _ONE_PLACE_M), axis=0) * _ONE_PLACE_M
    if len(places) >= 3 and not _on_one_line(places):
        return []
    shape = "at one spot" if len(places) == 1 else "on one line"
    return [TOO_FEW_SHOTS.met(value=f"{len(xy_m)} floor shots", count=len(places), shape=shape)]


def _within_reach(names: Sequence[str], height_m: Floats, *, words: Words) -> list[Fault]:
    off = height_m - np.median(height_m)
    far = np.flatnonzero(np.abs(off) > _FARTHEST_M)
    if not far.size:
        return []
    told = [f"{names[int(place)]} by {words.length(float(off[place]))}" for place in far]
    return [
        HEIGHTS_APART.met(
            value=f"{len(far)} shots", names=listed(told), most=words.length(_FARTHEST_M)
        )
    ]


def _on_one_line(xy_m: Floats) -> bool:
    off = xy_m - xy_m.mean(axis=0)
    _, _, ways = np.linalg.svd(off, full_matrices=True)
    spread = np.ptp(off @ ways.T, axis=0)
    return bool(spread[1] < max(_ONE_PLACE_M, _NARROW * spread[0]))


def _sides(
    names: Sequence[str], xy_m: Floats, height_m: Floats, pieces: Sequence[Piece]
) -> tuple[Places, list[str]]:
    """Panel of each shot; a shot on a line between panels goes where its height fits best."""
    panel = side_of(pieces, xy_m)
    if len(pieces) == 1:
        return panel, []
    near = distances(pieces, xy_m) <= _ON_LINE_M
    unsure = np.flatnonzero(near.sum(axis=1) > 1)
    clear = near.sum(axis=1) <= 1
    split = []
    for place in unsure:
        misfits = {}
        for number in np.flatnonzero(near[place]):
            own = np.flatnonzero(clear & (panel == number))
            if own.size:
                weights = plane_weights(xy_m[own], xy_m[place : place + 1])[0]
                misfits[int(number)] = abs(float(weights @ height_m[own] - height_m[place]))
        if misfits:
            panel[place] = min(misfits, key=lambda number: misfits[number])
        split.append(names[int(place)])
    return panel, split


def _every_piece(
    panel: Places, split: Sequence[str], pieces: Sequence[Piece], *, words: Words
) -> list[Fault]:
    faults = []
    for number, piece in enumerate(pieces):
        if np.any(panel == number):
            continue
        spot = shapely.point_on_surface(piece.polygon)
        where = words.place((spot.x, spot.y))
        value = "no shot in it" + (f"; on its edge: {listed(split)}" if split else "")
        if piece.kind == "panel":
            faults.append(PANEL_WITHOUT_SHOTS.met(value=value, name=piece.name, where=where))
        else:
            faults.append(
                FEATURE_WITHOUT_SHOTS.met(
                    value=value, name=piece.name, kind=piece.kind, where=where
                )
            )
    return faults


def _untold_tilts(
    xy_m: Floats, panel: Places, pieces: Sequence[Piece], *, words: Words
) -> tuple[Assumption, ...]:
    stated = []
    for number, piece in enumerate(pieces):
        own = xy_m[panel == number]
        places = np.unique(np.round(own / _ONE_PLACE_M), axis=0) * _ONE_PLACE_M
        if len(places) >= 3 and not _on_one_line(places):
            continue
        across = "" if len(places) == 1 else " across the line of its shots"
        stated.append(
            Assumption(
                about=f"tilt of {_called(piece)}{across}",
                taken=f"level, give or take {words.slope(TILT_DEVIATION)} (one deviation)",
                because="its shots do not tell it; three that are not on one line would",
            )
        )
    return tuple(stated)


def _called(piece: Piece) -> str:
    return f"panel {piece.name}" if piece.kind == "panel" else f"{piece.name} ({piece.kind})"


def _data(
    xy_m: Floats,
    height_m: Floats,
    covariance_m2: Floats,
    panel: Places,
    pieces: Sequence[Piece],
) -> tuple[Data, Remark | None]:
    """Shots at one place averaged with their covariance, then thinned if there are too many."""
    key = np.column_stack([panel, np.round(xy_m / _ONE_PLACE_M)])
    _, group = np.unique(key, axis=0, return_inverse=True)
    group = group.ravel()
    counts = np.bincount(group)
    average = scipy.sparse.csr_array(
        (1 / counts[group], (group, np.arange(len(group)))), shape=(len(counts), len(group))
    )
    xy_m, height_m = average @ xy_m, average @ height_m
    covariance_m2 = average @ (average @ covariance_m2).T
    own = np.empty(len(counts), dtype=np.intp)
    own[group] = panel
    remark = None
    places = len(counts)
    if places > MOST_PLACES:
        middles = [
            int(here[np.argmin(((xy_m[here] - xy_m[here].mean(axis=0)) ** 2).sum(axis=1))])
            for here in (np.flatnonzero(own == number) for number in range(len(pieces)))
        ]
        kept = farthest(xy_m, count=MOST_PLACES, first=np.array(middles, dtype=np.intp))
        xy_m, height_m, own = xy_m[kept], height_m[kept], own[kept]
        covariance_m2 = covariance_m2[np.ix_(kept, kept)]
        remark = Remark(
            "note",
            f"The floor was shot at {places} places; the surface is laid through {MOST_PLACES} of "
            "them, spread as evenly as they lie. The plus-or-minus is that of those used.",
        )
    centre_m = np.array([piece.polygon.centroid.coords[0] for piece in pieces])
    data = Data(
        xy_m=xy_m,
        panel=own,
        height_m=height_m,
        covariance_m2=np.asarray((covariance_m2 + covariance_m2.T) / 2),
        centre_m=centre_m,
        base_m=float(height_m.mean()),
    )
    return data, remark
