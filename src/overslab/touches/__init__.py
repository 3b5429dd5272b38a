"""What the raised floor upsets, and who puts it right."""

from overslab.touches.meeting import meet
from overslab.touches.readiness import TRADES
from overslab.touches.records import (
    Burner,
    FloorDrain,
    Outside,
    OverheadDoor,
    Post,
    Ready,
    Remedy,
    SideDoor,
    Size,
    Stair,
    Touch,
    Touches,
    TouchFacts,
    Wall,
)

__all__ = [
    "TRADES",
    "Burner",
    "FloorDrain",
    "Outside",
    "OverheadDoor",
    "Post",
    "Ready",
    "Remedy",
    "SideDoor",
    "Size",
    "Stair",
    "Touch",
    "TouchFacts",
    "Touches",
    "Wall",
    "meet",
]
