"""Both surfaces as one binary glTF 2.0 file (ISO/IEC 12113:2022): metres, y up, two meshes."""

from __future__ import annotations

import json
import struct
from typing import Any

import numpy as np

from overslab import __version__
from overslab.faces.exports.frame import frame_says, plain
from overslab.faces.exports.meshes import Mesh
from overslab.job.records import Job

_MAGIC, _VERSION = b"glTF", 2
_JSON, _BIN = b"JSON", b"BIN\0"
# Component types, targets and modes by their numbers in the standard.
_FLOAT, _UNSIGNED_INT = 5126, 5125
_VERTICES, _INDICES = 34962, 34963
_TRIANGLES = 4
_MATERIALS = (
    ("old concrete", (0.35, 0.33, 0.30, 1.0), "OPAQUE"),
    ("new concrete", (0.62, 0.70, 0.78, 0.75), "BLEND"),
)


def glb(job: Job, mesh: Mesh) -> bytes:
    """The file: x as on the plan, y the height, z against the plan's y (right-handed)."""
    indices = mesh.triangles.astype("<u4").tobytes()
    parts = [indices]
    accessors: list[dict[str, Any]] = [
        {
            "bufferView": 0,
            "componentType": _UNSIGNED_INT,
            "count": mesh.triangles.size,
            "type": "SCALAR",
        }
    ]
    meshes = []
    for number, (name, heights_m) in enumerate(
        (("Old floor", mesh.old_m), ("New top", mesh.new_m))
    ):
        places = np.column_stack([mesh.at_m[:, 0], heights_m, -mesh.at_m[:, 1]]).astype("<f4")
        parts.append(places.tobytes())
        accessors.append(
            {
                "bufferView": number + 1,
                "componentType": _FLOAT,
                "count": len(places),
                "type": "VEC3",
                "min": [float(value) for value in places.min(axis=0)],
                "max": [float(value) for value in places.max(axis=0)],
            }
        )
        primitive = {
            "attributes": {"POSITION": number + 1},
            "indices": 0,
            "material": number,
            "mode": _TRIANGLES,
        }
        meshes.append({"name": name, "primitives": [primitive]})
    told = {
        "asset": {"version": "2.0", "generator": f"overslab {__version__}"},
        "extras": {"job": plain(job.name), "frame": frame_says(job), "unit": "metre"},
        "scene": 0,
        "scenes": [{"name": plain(job.name), "nodes": [0, 1]}],
        "nodes": [{"name": one["name"], "mesh": number} for number, one in enumerate(meshes)],
        "meshes": meshes,
        "materials": [_material(*one) for one in _MATERIALS],
        "accessors": accessors,
        "bufferViews": _views(parts),
        "buffers": [{"byteLength": sum(len(part) for part in parts)}],
    }
    text = json.dumps(told, ensure_ascii=False, separators=(",", ":")).encode()
    chunks = _chunk(_JSON, text, b" ") + _chunk(_BIN, b"".join(parts), b"\0")
    return _MAGIC + struct.pack("<II", _VERSION, 12 + len(chunks)) + chunks


def _material(name: str, colour: tuple[float, ...], blend: str) -> dict[str, Any]:
    return {
        "name": name,
        "pbrMetallicRoughness": {
            "baseColorFactor": list(colour),
            "metallicFactor": 0.0,
            "roughnessFactor": 0.9,
        },
        "alphaMode": blend,
        "doubleSided": True,
    }


def _views(parts: list[bytes]) -> list[dict[str, int]]:
    """One view a part, end to end; all parts are whole numbers of four bytes."""
    views: list[dict[str, int]] = []
    start = 0
    for part in parts:
        target = _VERTICES if views else _INDICES
        views.append({"buffer": 0, "byteOffset": start, "byteLength": len(part), "target": target})
        start += len(part)
    return views


def _chunk(kind: bytes, content: bytes, filler: bytes) -> bytes:
    padded = content + filler * (-len(content) % 4)
    return struct.pack("<I", len(padded)) + kind + padded
