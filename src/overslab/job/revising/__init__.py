"""What a change of a job changes: two versions beside each other, both kept."""

from overslab.job.revising.differing import differences
from overslab.job.revising.records import (
    CheckChange,
    FactChange,
    LineChange,
    Map,
    NumberChange,
    PriceChange,
    Revision,
    ThinSpot,
    TouchChange,
    VolumeChange,
    Wording,
)
from overslab.job.revising.typed import changed_facts

__all__ = [
    "CheckChange",
    "FactChange",
    "LineChange",
    "Map",
    "NumberChange",
    "PriceChange",
    "Revision",
    "ThinSpot",
    "TouchChange",
    "VolumeChange",
    "Wording",
    "changed_facts",
    "differences",
]
