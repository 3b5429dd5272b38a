"""What lies there now, and where does water go? The front door of the room of the old slab."""

from overslab.oldslab.contours import Contour, contours
from overslab.oldslab.panels import cut_panels
from overslab.oldslab.records import (
    Break,
    Feature,
    FloorPlan,
    FlowPath,
    Hole,
    LowSpot,
    NextShot,
    OldSlab,
    Panel,
    Step,
    Surface,
    SurfaceFit,
)
from overslab.oldslab.shape import shape
from overslab.oldslab.water import BIRDBATH_M, Water, run_water

__all__ = [
    "BIRDBATH_M",
    "Break",
    "Contour",
    "Feature",
    "FloorPlan",
    "FlowPath",
    "Hole",
    "LowSpot",
    "NextShot",
    "OldSlab",
    "Panel",
    "Step",
    "Surface",
    "SurfaceFit",
    "Water",
    "contours",
    "cut_panels",
    "run_water",
    "shape",
]
