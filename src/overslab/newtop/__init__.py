"""Where shall the new top be?"""

from overslab.newtop.design import design
from overslab.newtop.records import (
    Change,
    Drain,
    Drainage,
    Edge,
    Fight,
    Move,
    NewTop,
    Outlet,
    Pad,
    RuleResult,
    Strip,
    TopKind,
    TopOption,
    TopSurface,
    Wishes,
    Zone,
)

__all__ = [
    "Change",
    "Drain",
    "Drainage",
    "Edge",
    "Fight",
    "Move",
    "NewTop",
    "Outlet",
    "Pad",
    "RuleResult",
    "Strip",
    "TopKind",
    "TopOption",
    "TopSurface",
    "Wishes",
    "Zone",
    "design",
]
