"""Every file of a surface read by another reader than its writer; the volume is the takeoff's.

LandXML by the standard library's XML reader and a few lines of our own; DXF, which ezdxf wrote, by
its bare group codes (and by ezdxf's own audit); GeoJSON by shapely; GLB by trimesh.
"""

from __future__ import annotations

import io
import json
import struct
from collections.abc import Iterator
from dataclasses import dataclass, replace
from functools import cache
from xml.etree import ElementTree

import ezdxf
import numpy as np
import pytest
import shapely
import trimesh
from export_jobs import FOOT_M, Floats, prisms, walked

from overslab.faces.exports import FILES

# Feet with breaks that step, metric, an outline that turns in, a hole, a pit.
FLOORS = ("farm-shop", "metric-wash-bay", "case-02-column-in-the-middle", "case-07-sunk-trench")
SHARE = 0.001  # of the volume: flat triangles over a bent floor
NS = {"x": "http://www.landxml.org/schema/LandXML-1.2"}


@dataclass(frozen=True)
class Read:
    """What another reader found: places and heights in metres, and one net of triangles."""

    places: Floats
    old: Floats
    new: Floats
    faces: np.ndarray

    @property
    def volume(self) -> float:
        return prisms(self.places, self.old, self.new, self.faces)


@cache
def content(name: str, file: str) -> bytes:
    kind = next(one for one in FILES if one.name == file)
    return kind.make(walked(name), True)


def unit_m(name: str) -> float:
    return 1.0 if walked(name).job.units.system == "metric" else FOOT_M


def landxml(name: str) -> Read:
    root = ElementTree.fromstring(content(name, "surfaces.xml"))
    found = []
    for surface in root.findall("x:Surfaces/x:Surface", NS):
        points = surface.findall("x:Definition/x:Pnts/x:P", NS)
        number = {one.attrib["id"]: place for place, one in enumerate(points)}
        north_east_up = np.array([[float(v) for v in (one.text or "").split()] for one in points])
        faces = [
            [number[id_] for id_ in (one.text or "").split()]
            for one in surface.findall("x:Definition/x:Faces/x:F", NS)
        ]
        found.append((surface.attrib["name"], north_east_up * unit_m(name), np.array(faces)))
    (old_name, old, faces), (new_name, new, same) = found
    assert (old_name, new_name) == ("Old floor", "New top")
    assert np.array_equal(faces, same)
    assert np.array_equal(old[:, :2], new[:, :2])
    return Read(old[:, [1, 0]], old[:, 2], new[:, 2], faces)


def group_codes(name: str) -> Iterator[tuple[int, str]]:
    """A DXF file is pairs of lines: a group code and its value."""
    lines = content(name, "surfaces.dxf").decode("utf-8").split("\n")
    lines = [line.rstrip("\r") for line in lines]
    assert len(lines) % 2 == 1
    assert lines[-1] == ""
    for code, value in zip(lines[:-1:2], lines[1::2], strict=True):
        yield int(code), value


def entities(name: str) -> list[dict[int, list[str]]]:
    found: list[dict[int, list[str]]] = []
    section = ""
    before = ""
    for code, value in group_codes(name):
        if code == 2 and before == "SECTION":
            section = value
        before = value if code == 0 else ""
        if before == "ENDSEC":
            section = ""
        if section != "ENTITIES":
            continue
        if code == 0:
            found.append({0: [value]})
        elif found:
            found[-1].setdefault(code, []).append(value)
    return found


def dxf(name: str) -> Read:
    layers: dict[str, list[list[list[float]]]] = {"OLD-FLOOR": [], "NEW-TOP": []}
    for one in entities(name):
        if one[0][0] != "3DFACE":
            continue
        corners = [[float(one[10 * axis + k][0]) for axis in (1, 2, 3)] for k in range(4)]
        assert corners[3] == corners[2], "a triangle repeats its third corner"
        layers[one[8][0]].append(corners[:3])
    old, new = (np.array(layers[layer]) * unit_m(name) for layer in ("OLD-FLOOR", "NEW-TOP"))
    assert np.array_equal(old[:, :, :2], new[:, :, :2])
    faces = np.arange(3 * len(old)).reshape(-1, 3)
    flat_old, flat_new = old.reshape(-1, 3), new.reshape(-1, 3)
    return Read(flat_old[:, :2], flat_old[:, 2], flat_new[:, 2], faces)


def geojson(name: str) -> Read:
    told = json.loads(content(name, "surfaces.geojson"))
    nets = {}
    for one in told["features"]:
        if one["properties"]["kind"] == "surface":
            shape = shapely.from_geojson(json.dumps(one["geometry"]))
            assert shape.geom_type == "MultiPolygon"
            rings = [shapely.get_coordinates(part, include_z=True)[:3] for part in shape.geoms]
            nets[one["properties"]["name"]] = np.concatenate(rings)
    old, new = nets["Old floor"], nets["New top"]
    assert np.array_equal(old[:, :2], new[:, :2])
    return Read(old[:, :2], old[:, 2], new[:, 2], np.arange(len(old)).reshape(-1, 3))


def glb(name: str) -> Read:
    scene = trimesh.load(io.BytesIO(content(name, "surfaces.glb")), file_type="glb", process=False)
    old, new = scene.geometry["Old floor"], scene.geometry["New top"]
    assert np.array_equal(old.faces, new.faces)
    # y is up and the plan's y runs against z.
    places = np.column_stack([old.vertices[:, 0], -old.vertices[:, 2]])
    return Read(places, old.vertices[:, 1], new.vertices[:, 1], np.asarray(old.faces))


READERS = {"surfaces.xml": landxml, "surfaces.dxf": dxf, "surfaces.geojson": geojson,
           "surfaces.glb": glb}  # fmt: skip


@pytest.mark.parametrize("name", FLOORS)
@pytest.mark.parametrize("file", READERS)
def test_the_volume_read_back_is_that_of_the_takeoff(name: str, file: str) -> None:
    takeoff = walked(name).takeoff
    assert takeoff is not None
    assert READERS[file](name).volume == pytest.approx(takeoff.total.volume_m3.mean, rel=SHARE)


@pytest.mark.parametrize("name", FLOORS)
def test_all_files_hold_the_same_surfaces(name: str) -> None:
    """To the digits written: a millionth of a foot or metre, and single precision in the model."""
    first, *others = (read(name) for read in READERS.values())
    corners = [np.column_stack([one.places, one.old, one.new])[one.faces] for one in (first,)]
    for one in others:
        theirs = np.column_stack([one.places, one.old, one.new])[one.faces]
        assert theirs.shape == corners[0].shape
        assert np.abs(theirs - corners[0]).max() < 5e-6


@pytest.mark.parametrize("name", FLOORS)
@pytest.mark.parametrize("file", READERS)
def test_the_plan_is_not_turned_or_mirrored(name: str, file: str) -> None:
    """The right way round: every reader finds the floor between its own west, south, east, north,
    and heights where the rooms have them."""
    walk = walked(name)
    read = READERS[file](name)
    bounds = (*read.places.min(axis=0), *read.places.max(axis=0))
    assert bounds == pytest.approx(walk.job.plan.polygon().bounds, abs=1e-5)
    top = walk.newtop.top
    assert top is not None
    assert top.surface is not None
    # Off by a height at most where the pad lines of the top meet.
    assert np.abs(read.new - top.surface.height_m(read.places)).max() < 1e-4
    a, b, c = (read.places[read.faces[:, k]] for k in range(3))
    turn = np.cross(np.column_stack([b - a, np.zeros(len(a))]),
                    np.column_stack([c - a, np.zeros(len(a))]))[:, 2]  # fmt: skip
    assert (turn > 0).all(), "seen from above, corners run against the clock"


@pytest.mark.parametrize(
    ("name", "kind", "units"),
    [
        ("farm-shop", "Imperial", ("foot", "squareFoot", "cubicYard", "fahrenheit", "inHG")),
        ("metric-wash-bay", "Metric", ("meter", "squareMeter", "cubicMeter", "celsius", "mmHG")),
    ],
)
def test_landxml_says_its_units_and_keeps_to_the_schema(
    name: str, kind: str, units: tuple[str, ...]
) -> None:
    """What LandXML 1.2 asks of these elements: order, and attributes that must be there."""
    root = ElementTree.fromstring(content(name, "surfaces.xml"))
    assert root.tag == f"{{{NS['x']}}}LandXML"
    assert root.attrib == {"version": "1.2", "date": walked(name).job.date, "time": "00:00:00"}
    names = [one.tag.partition("}")[2] for one in root]
    assert names == ["Units", "Project", "Application", "Surfaces"]
    (spoken,) = root[0]
    assert spoken.tag.partition("}")[2] == kind
    asked = ("linearUnit", "areaUnit", "volumeUnit", "temperatureUnit", "pressureUnit")
    assert tuple(spoken.attrib[one] for one in asked) == units
    area = walked(name).oldslab.area_m2 / unit_m(name) ** 2
    for definition in root.iter(f"{{{NS['x']}}}Definition"):
        assert definition.attrib["surfType"] == "TIN"
        assert float(definition.attrib["area2DSurf"]) == pytest.approx(area, abs=1e-3)
        assert [one.tag.partition("}")[2] for one in definition] == ["Pnts", "Faces"]
        ids = [int(one.attrib["id"]) for one in definition[0]]
        assert len(set(ids)) == len(ids) >= 3
        assert min(ids) >= 1


@pytest.mark.parametrize(("name", "code"), [("farm-shop", 2), ("metric-wash-bay", 6)])
def test_dxf_passes_the_audit_and_says_its_unit(name: str, code: int) -> None:
    """$INSUNITS: 2 is feet, 6 is metres (DXF Reference, HEADER section)."""
    codes = list(group_codes(name))
    at = codes.index((9, "$INSUNITS"))
    assert codes[at + 1] == (70, str(code))
    drawing = ezdxf.read(io.StringIO(content(name, "surfaces.dxf").decode("utf-8")))
    audit = drawing.audit()
    assert not audit.errors
    assert not audit.fixes
    walk = walked(name)
    top = walk.newtop.top
    assert top is not None
    texts = {one[1][0] for one in entities(name) if one[0][0] == "TEXT"}
    assert len(texts) == len(top.pads)
    assert {text.split("  ")[0] for text in texts} == {pad.name for pad in top.pads}
    layers = {one[8][0] for one in entities(name)}
    assert {"OUTLINE", "OLD-CONTOURS", "TOP-CONTOURS", "PADS", "OLD-FLOOR", "NEW-TOP"} <= layers


def test_contours_of_the_drawing_lie_on_the_old_floor() -> None:
    """Each line carries its level, and the floor has that height along it."""
    walk = walked("metric-wash-bay")
    checked = 0
    for one in entities("metric-wash-bay"):
        if one[0][0] != "LWPOLYLINE" or one[8][0] != "OLD-CONTOURS":
            continue
        level = float(one[38][0])
        line = np.array([[float(x), float(y)] for x, y in zip(one[10], one[20], strict=True)])
        inside = line[1:-1]  # ends lie on an edge or a break
        if len(inside):
            checked += 1
            # A lattice step of the sheet is about 0.1 m; over that the floor bends little.
            assert np.abs(walk.oldslab.surface.height_m(inside) - level).max() < 0.002
    assert checked > 3


@pytest.mark.parametrize("name", FLOORS)
def test_geojson_is_valid_and_says_that_it_is_not_on_the_map(name: str) -> None:
    told = json.loads(content(name, "surfaces.geojson"))
    assert told["type"] == "FeatureCollection"
    assert "crs" not in told, "RFC 7946, 4: the member of 2008 is gone"
    assert "not longitude and latitude" in told["overslab"]["coordinates"]
    collection = shapely.from_geojson(content(name, "surfaces.geojson"))
    assert len(collection.geoms) == len(told["features"])
    assert all(one["type"] == "Feature" for one in told["features"])
    (floor,) = (one for one in told["features"] if one["properties"]["kind"] == "floor")
    shape = shapely.from_geojson(json.dumps(floor["geometry"]))
    assert shape.exterior.is_ccw
    assert all(not ring.is_ccw for ring in shape.interiors)
    assert shape.area == pytest.approx(walked(name).oldslab.area_m2, rel=1e-6)
    top = walked(name).newtop.top
    assert top is not None
    pads = [one for one in told["features"] if one["properties"]["kind"] == "pad"]
    assert len(pads) == len(top.pads)


@pytest.mark.parametrize("name", FLOORS)
def test_glb_is_laid_out_as_the_standard_says(name: str) -> None:
    """glTF 2.0, 4.4: head of 12 bytes, JSON chunk, BIN chunk, each a multiple of four long."""
    held = content(name, "surfaces.glb")
    magic, version, length = struct.unpack("<4sII", held[:12])
    assert (magic, version, length) == (b"glTF", 2, len(held))
    size, kind = struct.unpack("<I4s", held[12:20])
    assert kind == b"JSON"
    told = json.loads(held[20 : 20 + size])
    bin_size, bin_kind = struct.unpack("<I4s", held[20 + size : 28 + size])
    assert bin_kind == b"BIN\0"
    assert size % 4 == bin_size % 4 == 0
    assert told["buffers"] == [{"byteLength": bin_size}]
    assert [one["name"] for one in told["meshes"]] == ["Old floor", "New top"]
    ends = [one["byteOffset"] + one["byteLength"] for one in told["bufferViews"]]
    assert ends[-1] == bin_size
    for one in told["accessors"][1:]:
        low, high = np.array(one["min"]), np.array(one["max"])
        assert (low <= high).all()


@pytest.mark.parametrize("file", READERS)
def test_odd_names_stay_words(file: str) -> None:
    """Signs of markup, of control and of spreadsheets in the names of job and place."""
    odd = 'Bay <1> & "2"\x00\x1b[31m ]]> %%c ^J\n\u2028=1+1 \ufffe'
    walk = walked("thin-patio")
    job = replace(walk.job, name=odd, place=odd)
    kind = next(one for one in FILES if one.name == file)
    held = kind.make(replace(walk, job=job), True)
    if file != "surfaces.glb":
        assert b"\x1b" not in held
    if file == "surfaces.xml":
        project = ElementTree.fromstring(held).find("x:Project", NS)
        assert project is not None
        assert project.attrib["name"].startswith('Bay <1> & "2"')
    elif file == "surfaces.dxf":
        drawing = ezdxf.read(io.StringIO(held.decode("utf-8")))
        assert not drawing.audit().errors
    elif file == "surfaces.geojson":
        assert json.loads(held)["overslab"]["job"].startswith('Bay <1> & "2"')
    else:
        (size,) = struct.unpack("<I", held[12:16])
        job_told = json.loads(held[20 : 20 + size])["extras"]["job"]
        assert job_told.startswith('Bay <1> & "2"')
        assert job_told.isprintable()


@pytest.mark.parametrize("file", READERS)
def test_the_same_job_gives_the_same_bytes(file: str) -> None:
    kind = next(one for one in FILES if one.name == file)
    assert kind.make(walked("farm-shop"), True) == content("farm-shop", file)
