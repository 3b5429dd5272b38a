"""How much of everything?"""

from overslab.takeoff.asked import (
    BarsAsked,
    BuildUp,
    FormsAsked,
    JointsAsked,
    PatchAsked,
    RolledAsked,
    SpreadAsked,
    SupportsAsked,
    WireAsked,
)
from overslab.takeoff.bars import lay_bars
from overslab.takeoff.items import Item
from overslab.takeoff.joint_records import JointLayout, JointLine, JointPanel
from overslab.takeoff.joints import lay_joints
from overslab.takeoff.measure import measure
from overslab.takeoff.place import pits_of_drains
from overslab.takeoff.records import NotebookAnswer, Portion, Takeoff, Trucks
from overslab.takeoff.steel_records import BarLayout, SupportLayout
from overslab.takeoff.supports import set_supports
from overslab.takeoff.wire import lay_wire
from overslab.takeoff.wire_records import WireLayout

__all__ = [
    "BarLayout",
    "BarsAsked",
    "BuildUp",
    "FormsAsked",
    "Item",
    "JointLayout",
    "JointLine",
    "JointPanel",
    "JointsAsked",
    "NotebookAnswer",
    "PatchAsked",
    "Portion",
    "RolledAsked",
    "SpreadAsked",
    "SupportLayout",
    "SupportsAsked",
    "Takeoff",
    "Trucks",
    "WireAsked",
    "WireLayout",
    "lay_bars",
    "lay_joints",
    "lay_wire",
    "measure",
    "pits_of_drains",
    "set_supports",
]
