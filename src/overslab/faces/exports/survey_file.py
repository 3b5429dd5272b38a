"""Both surfaces as LandXML 1.2: triangles in the Definition of a Surface, points as y x z."""

from __future__ import annotations

from xml.etree import ElementTree as Xml

import numpy as np

from overslab import __version__
from overslab.faces.exports.frame import FOOT, frame_says, plain, unit_of
from overslab.faces.exports.meshes import Floats, Mesh
from overslab.job.records import Job

NAMESPACE = "http://www.landxml.org/schema/LandXML-1.2"
_IMPERIAL = {
    "areaUnit": "squareFoot",
    "linearUnit": "foot",
    "volumeUnit": "cubicYard",
    "temperatureUnit": "fahrenheit",
    "pressureUnit": "inHG",
}
_METRIC = {
    "areaUnit": "squareMeter",
    "linearUnit": "meter",
    "volumeUnit": "cubicMeter",
    "temperatureUnit": "celsius",
    "pressureUnit": "mmHG",
}


def landxml(job: Job, mesh: Mesh) -> bytes:
    """The file. The same job gives the same bytes: its day is the day of the survey."""
    unit = unit_of(job)
    root = Xml.Element(
        "LandXML", {"xmlns": NAMESPACE, "version": "1.2", "date": job.date, "time": "00:00:00"}
    )
    units = Xml.SubElement(root, "Units")
    if unit == FOOT:
        Xml.SubElement(units, "Imperial", _IMPERIAL)
    else:
        Xml.SubElement(units, "Metric", _METRIC)
    Xml.SubElement(root, "Project", {"name": plain(job.name), "desc": plain(job.place)})
    Xml.SubElement(root, "Application", {"name": "overslab", "version": __version__})
    surfaces = Xml.SubElement(root, "Surfaces")
    scale = unit.of(1.0)
    for name, state, heights_m in (
        ("Old floor", "existing", mesh.old_m),
        ("New top", "proposed", mesh.new_m),
    ):
        attributes = {"name": name, "desc": frame_says(job), "state": state}
        surface = Xml.SubElement(surfaces, "Surface", attributes)
        _definition(surface, mesh, heights_m=heights_m, scale=scale)
    Xml.indent(root, space=" ")
    text = Xml.tostring(root, encoding="UTF-8", xml_declaration=True)
    return bytes(text) + b"\n"


def _definition(surface: Xml.Element, mesh: Mesh, *, heights_m: Floats, scale: float) -> None:
    heights = heights_m * scale
    definition = Xml.SubElement(
        surface,
        "Definition",
        {
            "surfType": "TIN",
            "area2DSurf": f"{mesh.area_m2 * scale**2:.4f}",
            "elevMax": f"{heights.max():.6f}",
            "elevMin": f"{heights.min():.6f}",
        },
    )
    points = Xml.SubElement(definition, "Pnts")
    # Northing, easting, elevation: that is y, x, z.
    places = np.column_stack([mesh.at_m[:, ::-1] * scale, heights])
    for number, (north, east, up) in enumerate(places, start=1):
        point = Xml.SubElement(points, "P", {"id": str(number)})
        point.text = f"{north:.6f} {east:.6f} {up:.6f}"
    faces = Xml.SubElement(definition, "Faces")
    for a, b, c in mesh.triangles + 1:
        Xml.SubElement(faces, "F").text = f"{a} {b} {c}"
