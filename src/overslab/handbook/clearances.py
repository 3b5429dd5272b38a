"""Clearances: what the trade keeps free of a raised floor where no code gives a number.

Most are plain geometry (nothing that rots stands in concrete, water runs out and not in) and stand
here so that a check can name them. ``building`` has what the codes give.
"""

from __future__ import annotations

from overslab.handbook.limits import Advice, declare, declare_practice

SEAL = declare_practice(
    "new floor above the sill, taken up by the seal of an overhead door",
    0.5,
    unit="in",
    topic="seal of an overhead door",
    quantity="gap_m",
    bound="at most",
    known="read",
    source="trade magazine on garage floors: a rubber seal takes up about 1/2 in",
    note="more needs the floor or the door changed",
)
OPENING = declare_practice(
    "opening left under the head of an overhead door",
    0.0,
    topic="opening of an overhead door",
    quantity="height_m",
    note="what is enough is the owner's to say",
)
WATER_OUT = declare_practice(
    "new floor against the sill where water shall leave over it",
    0.0,
    topic="water at a door",
    quantity="above_sill_m",
    note="below the sill, water stands behind it",
)
WATER_KEPT_OUT = declare_practice(
    "new floor above the ground outside the door",
    0.0,
    topic="water at a door",
    quantity="above_outside_m",
    note="the top outside is never above the top inside",
)
THRESHOLD = declare_practice(
    "threshold above the new floor",
    0.0,
    topic="water at a door",
    quantity="above_floor_m",
)
LEAF = declare_practice(
    "leaf of a door above the new floor under its swing",
    0.0,
    topic="swing of a door",
    quantity="gap_m",
    note="it must not touch; how much air is left under it is the owner's to say",
)
CURB = declare_practice(
    "curb left above the new floor",
    0.0,
    topic="curb",
    quantity="above_floor_m",
    note="a local code may want a set height between a garage and a house",
)
WOOD = declare_practice(
    "wood of a post above the new floor",
    0.0,
    topic="foot of a post",
    quantity="above_floor_m",
    note="wood cast into concrete rots",
)
OUTLET_BOX = declare_practice(
    "outlet box above the new floor",
    0.0,
    topic="outlet box",
    quantity="above_floor_m",
)
RIM = declare_practice(
    "new floor against the rim of a drain",
    0.0,
    topic="rim of a drain",
    quantity="above_rim_m",
    note="a rim above the floor takes no water",
)
ADVICE = declare(
    Advice(
        "rim of a drain",
        "Drains are set about 1 in below the finished floor, so that finishers can work down to"
        " them.",
        "trade magazine on floor drains",
        "",
        "read",
    ),
    Advice(
        "isolation",
        "The slab is kept apart from whatever else it meets: walls, posts, steps, drains; the top"
        " of the strip is flush with the floor or a little below.",
        "trade guides on isolation joints",
        "",
        "read",
    ),
)
