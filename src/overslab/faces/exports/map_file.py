"""The floor and both surfaces in the shapes of GeoJSON (RFC 7946), in the floor's own metres.

RFC 7946 wants longitude and latitude. Nobody surveyed where on earth this floor lies, so by its
section 4 the file may be used only between those who know it: the coordinates are the plan's x, y
and the height, in metres, and the file says so in a member of its own.
"""

from __future__ import annotations

import json
from collections.abc import Iterable, Sequence
from typing import Any

import numpy as np
import shapely

from overslab.faces.exports.frame import frame_says, plain
from overslab.faces.exports.meshes import Floats, Mesh, top_of
from overslab.job.records import Walk
from overslab.takeoff import pits_of_drains

_DIGITS = 6


def geojson(walk: Walk, mesh: Mesh) -> bytes:
    """The file: one FeatureCollection."""
    job, plan, top = walk.job, walk.job.plan, top_of(walk)
    features = [_area("floor", "Floor", plan.polygon())]
    features += [_area(one.kind, one.name, shapely.Polygon(one.corners)) for one in plan.features]
    features += [_area("drain pit", name, pit) for name, pit in pits_of_drains(walk.newtop)]
    features += [_feature(one.kind, one.name, "LineString", _line(one.line)) for one in plan.breaks]
    features += [
        _area("strip", one.name, shapely.Polygon(one.corners, one.holes))
        for one in walk.newtop.strips
    ]
    features += [
        _feature("fold", f"Fold {number}", "LineString", _line(fold))
        for number, fold in enumerate(top.folds, start=1)
    ]
    features += [
        _feature(
            "pad",
            pad.name,
            "Point",
            _rounded((*pad.at, pad.height_m)),
            height_m=round(pad.height_m, _DIGITS),
            thickness_m=round(pad.thickness_m, _DIGITS),
        )
        for pad in top.pads
    ]
    features += [
        _feature("surface", name, "MultiPolygon", _triangles(mesh, heights_m))
        for name, heights_m in (("Old floor", mesh.old_m), ("New top", mesh.new_m))
    ]
    told = {
        "type": "FeatureCollection",
        "overslab": {
            "job": plain(job.name),
            "coordinates": "local x, y and height in metres; not longitude and latitude",
            "frame": frame_says(job),
        },
        "features": features,
    }
    return json.dumps(told, ensure_ascii=False, separators=(",", ":")).encode() + b"\n"


def _feature(
    kind: str, name: str, shape: str, coordinates: Sequence[Any], **more: float
) -> dict[str, Any]:
    return {
        "type": "Feature",
        "properties": {"kind": kind, "name": plain(name), **more},
        "geometry": {"type": shape, "coordinates": coordinates},
    }


def _area(kind: str, name: str, polygon: shapely.Polygon) -> dict[str, Any]:
    """Outer rings run counter-clockwise, holes clockwise, each closed (RFC 7946, 3.1.6)."""
    turned = shapely.orient_polygons(polygon)
    rings = [_line(ring.coords) for ring in (turned.exterior, *turned.interiors)]
    return _feature(kind, name, "Polygon", rings)


def _line(places: Iterable[Sequence[float]]) -> list[list[float]]:
    return [_rounded(place) for place in places]


def _rounded(place: Sequence[float]) -> list[float]:
    return [round(float(value), _DIGITS) for value in place]


def _triangles(mesh: Mesh, heights_m: Floats) -> list[Any]:
    corners = np.round(np.column_stack([mesh.at_m, heights_m]), _DIGITS)
    rings: list[Any] = corners[mesh.triangles[:, [0, 1, 2, 0]]].tolist()
    return [[ring] for ring in rings]
