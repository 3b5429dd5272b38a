"""Every sheet of the packet, written once and in order."""

from __future__ import annotations

from collections.abc import Callable
from typing import NamedTuple

from overslab.faces.documents import cautions, quantities, reasons, summary
from overslab.faces.documents.bid_sheet import bid_sheet
from overslab.faces.documents.blocks import Sheet
from overslab.faces.documents.choices_sheet import choices_lines_sheet, choices_sheet
from overslab.faces.documents.joint_plan import joint_plan
from overslab.faces.documents.laying_plan import has_laying, laying_plan
from overslab.faces.documents.new_top import new_top
from overslab.faces.documents.old_floor import old_floor
from overslab.faces.documents.pads import pads
from overslab.faces.documents.paper import Layout
from overslab.faces.documents.sections import sections
from overslab.faces.documents.steel_plan import steel_plan
from overslab.faces.documents.thickness import thickness
from overslab.faces.documents.touches_sheet import touches_sheet
from overslab.faces.documents.verdict_map import verdict_map
from overslab.faces.documents.verdict_sheet import verdict_sheet
from overslab.job.records import Walk
from overslab.newtop.records import TopOption


class SheetKind(NamedTuple):
    """``needs_top``: the sheet is left out when no top meets the wishes.

    ``has`` tells without drawing it whether a job has this sheet; None: every job.
    """

    code: str
    title: str
    room: str
    drawn: bool
    needs_top: bool
    lay: Callable[[Walk], Layout | None]
    has: Callable[[Walk], bool] | None = None

    def stands(self, walk: Walk) -> bool:
        """Whether the job has this sheet."""
        if self.needs_top and walk.newtop.top is None:
            return False
        return self.has is None or self.has(walk)


def _with_top(lay: Callable[[Walk, TopOption], Layout]) -> Callable[[Walk], Layout | None]:
    def laid(walk: Walk) -> Layout | None:
        top = walk.newtop.top
        return None if top is None or top.surface is None else lay(walk, top)

    return laid


def _touches(walk: Walk) -> Layout | None:
    return None if walk.touches is None else touches_sheet(walk, walk.touches)


def _takeoff(walk: Walk) -> Layout | None:
    return None if walk.takeoff is None else quantities.takeoff_sheet(walk, walk.takeoff)


def _order(walk: Walk) -> Layout | None:
    return None if walk.order is None else quantities.order_sheet(walk, walk.order)


def _has_steel(walk: Walk) -> bool:
    takeoff = walk.takeoff
    return takeoff is not None and (takeoff.wire is not None or takeoff.bars is not None)


def _has_joints(walk: Walk) -> bool:
    return walk.takeoff is not None and walk.takeoff.joints is not None


def _has_choices(walk: Walk) -> bool:
    return walk.price is not None and bool(walk.price.alternatives)


SHEETS: tuple[SheetKind, ...] = (
    SheetKind("summary", "Summary", "job", False, False, summary.summary),
    SheetKind("old-floor", "Old floor", "oldslab", True, False, old_floor),
    SheetKind("verdict", "Verdict", "verdict", False, False, verdict_sheet),
    SheetKind("verdict-map", "Cracks and hollow places", "verdict", True, False, verdict_map),
    SheetKind("new-top", "New top", "newtop", True, True, _with_top(new_top)),
    SheetKind("thickness", "Thickness", "newtop", True, True, _with_top(thickness)),
    SheetKind("sections", "Sections", "newtop", True, True, _with_top(sections)),
    SheetKind("pads", "Pad marks", "newtop", True, True, _with_top(pads)),
    SheetKind("touches", "Touches by trade", "touches", False, True, _touches),
    SheetKind("takeoff", "Takeoff", "takeoff", False, True, _takeoff),
    SheetKind("laying", "Before the pour", "takeoff", True, True, laying_plan, has_laying),
    SheetKind("steel", "Steel", "takeoff", True, True, steel_plan, _has_steel),
    SheetKind("joints", "Joints", "takeoff", True, True, joint_plan, _has_joints),
    SheetKind("order", "Concrete order", "order", False, True, _order),
    SheetKind("bid", "Bid", "price", False, True, bid_sheet),
    SheetKind("choices", "Choices side by side", "price", False, True, choices_sheet, _has_choices),
    SheetKind(
        "choice-lines",
        "Other ways, line by line",
        "price",
        False,
        True,
        choices_lines_sheet,
        _has_choices,
    ),
    SheetKind(
        "rules", "Rules and what they cost", "newtop", False, True, _with_top(reasons.rules_sheet)
    ),
    SheetKind(
        "assumptions", "Assumptions and remarks", "job", False, False, reasons.assumptions_sheet
    ),
    SheetKind("workings", "Workings", "job", False, False, reasons.workings_sheet),
    SheetKind("cautions", "Cautions", "job", False, False, cautions.cautions),
)

# What hangs on the wall. A list of what may be seen, not of what may not: a new sheet is for the
# office until someone has looked at it for prices.
CREW_SHEETS = (
    *("old-floor", "new-top", "thickness", "sections", "pads", "takeoff", "laying", "steel"),
    *("joints", "cautions"),
)


def sheet_names() -> tuple[str, ...]:
    """Codes of all sheets, in the order of the packet."""
    return tuple(kind.code for kind in SHEETS)


def lay_sheets(walk: Walk) -> tuple[Sheet, ...]:
    """The sheets this job has, laid out. A number always means the same sheet."""
    found = []
    for place, kind in enumerate(SHEETS):
        layout = kind.lay(walk)
        if layout is not None:
            found.append(
                Sheet(
                    place + 1,
                    kind.code,
                    kind.title,
                    layout.blocks,
                    layout.landscape,
                    layout.drawing,
                )
            )
    return tuple(found)


def lay_sheet(walk: Walk, code: str) -> Sheet | None:
    """One sheet, or None when the job has no such sheet (a top is missing)."""
    place, kind = next((k, kind) for k, kind in enumerate(SHEETS) if kind.code == code)
    layout = kind.lay(walk)
    if layout is None:
        return None
    return Sheet(place + 1, code, kind.title, layout.blocks, layout.landscape, layout.drawing)
