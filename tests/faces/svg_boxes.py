"""Reads a finished SVG sheet back: every line of lettering with the room it takes up on the sheet.

The boxes are computed from the SVG alone, so they do not lean on the placer that they test.
"""

from __future__ import annotations

import re
import xml.etree.ElementTree as ET
from dataclasses import dataclass

import shapely
from shapely import affinity

from overslab.faces.documents.lettering import width_mm

SVG = "{http://www.w3.org/2000/svg}"


@dataclass(frozen=True)
class Lettered:
    text: str
    kind: str
    size: float
    box: shapely.Polygon


def read(svg: str) -> ET.Element:
    return ET.fromstring(svg)


def lettering(svg: str) -> list[Lettered]:
    """Every text element; capitals stand 0.66 of the size high in the font that is used."""
    found = []
    for node in read(svg).iter(f"{SVG}text"):
        text = "".join(node.itertext())
        size, x, y = (float(node.get(key)) for key in ("font-size", "x", "y"))
        wide = width_mm(text, size_mm=size, bold=node.get("font-weight") == "bold")
        west = x - {"middle": wide / 2, "end": wide}.get(node.get("text-anchor"), 0.0)
        box = shapely.box(west, y - 0.66 * size, west + wide, y)
        turn = re.match(r"rotate\((\S+) ", node.get("transform", ""))
        if turn:
            box = affinity.rotate(box, float(turn.group(1)), origin=(x, y))
        found.append(Lettered(text, node.get("class", ""), size, box))
    return found


def overlaps(svg: str) -> list[tuple[str, str]]:
    """Pairs of lines of lettering that lie on each other."""
    told = lettering(svg)
    tree = shapely.STRtree([one.box for one in told])
    return [
        (told[a].text, told[b].text)
        for a, b in tree.query([one.box for one in told], predicate="intersects").T
        if a < b and told[a].box.intersection(told[b].box).area > 0.02
    ]
