"""What shall lie in and on the new slab, as the owner asks for it. Nothing is laid unasked."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal


@dataclass(frozen=True, slots=True)
class WireAsked:
    """Welded wire in flat sheets. The side lap is counted between the outermost wires."""

    style: str  # "6x6 W2.9": spacing of the wires in inches, or "mm" styles, and their size
    sheet_length_m: float
    sheet_width_m: float
    spacing_m: float  # of the wires, both ways
    wire_diameter_m: float
    lap_m: float
    edge_m: float  # sheets end this far from edges, walls and posts
    cover_top_m: float  # least concrete over the wire
    cover_bottom_m: float
    least_offcut_m: float = 0.3  # shorter offcuts are scrap
    overhang_m: float = 0.0  # of wires beyond the outermost cross wire, at every edge of a sheet
    alike_both_ways: bool = True  # same wires both ways: sheets and pieces may be turned
    tie_spacing_m: float | None = None  # along the laps; None: ties are not counted


@dataclass(frozen=True, slots=True)
class BarsAsked:
    """Bars both ways. ``diameter_m`` is the nominal one."""

    size: str  # "#4", "10M"
    diameter_m: float
    spacing_m: float
    stock_length_m: float
    lap_m: float
    edge_m: float
    cover_top_m: float
    cover_bottom_m: float
    across: bool = True  # False: only along the longer side
    least_piece_m: float = 0.3  # shorter pieces are neither laid nor kept


@dataclass(frozen=True, slots=True)
class SupportsAsked:
    """What holds the steel up: lines of bolsters or single chairs."""

    kind: Literal["bolster", "chair"]
    spacing_m: float
    height_m: float
    stock_length_m: float | None = None  # of a bolster
    box_of: int = 1  # pieces sold together


@dataclass(frozen=True, slots=True)
class JointsAsked:
    """Contraction joints. What is None follows the published rule for the thickness."""

    kind: Literal["sawn", "early-entry", "tooled"]
    greatest_panel_m: float | None = None
    greatest_aspect: float = 1.5
    depth_share: float | None = None  # of the thickness
    step_m: float = 0.3048  # joints stand on whole steps from the walls, corners and doors
    at_doors: bool = True
    filler: bool = False
    jambs: Literal["one", "both"] = "one"  # how many jambs of a door have a joint, with at_doors
    least_strip_m: float = 0.6096  # joints keep this far from parallel ones and walls
    # How much more cutting a joint at a jamb, or one through a post, is worth at most.
    door_worth_m: float = 3.0
    post_worth_m: float = 10.0


@dataclass(frozen=True, slots=True)
class RolledAsked:
    """What comes in rolls or strips: isolation strip, bond breaker, cure cover."""

    roll_length_m: float
    roll_width_m: float  # a strip's height
    lap_m: float = 0.0
    layers: int = 1
    what: str = ""
    heights_m: tuple[float, ...] = ()  # of a strip: what it can be had in; empty: only its width
    at_doors: bool = False  # a strip also runs across doors and open edges
    upturn_m: float = 0.0  # a sheet is turned up at walls and posts
    tape_length_m: float | None = None  # a roll of tape for the laps of a sheet; None: not taped


@dataclass(frozen=True, slots=True)
class SpreadAsked:
    """What is spread by area: bonding agent, curing compound, sealer."""

    covers_m2_per_unit: float  # by one can, bag or bucket
    unit: str  # "5 gal bucket"
    coats: int = 1
    open_minutes: float | None = None  # a bonding agent must be covered within
    what: str = ""


@dataclass(frozen=True, slots=True)
class PatchAsked:
    """Filling of pits and hollow places before the top; one unit fills so much."""

    fills_m3_per_unit: float
    unit: str  # "50 lb bag"
    hollow_depth_m: float | None = None  # how deep a hollow place is cut out; None: not known
    what: str = ""
    pits: bool = True  # pits and trenches are filled first; False: the top fills them


@dataclass(frozen=True, slots=True)
class FormsAsked:
    """Boards on open edges and bulkheads between days or strips."""

    board_length_m: float
    stake_spacing_m: float = 0.9
    bulkheads: bool = True  # one is held ready where the pour may have to stop
    heights_m: tuple[float, ...] = ()  # what boards can be had in; empty: ripped to the thickness
    day_ends: tuple[str, ...] = ()  # names of strips after which a day of pouring ends


@dataclass(frozen=True, slots=True)
class BuildUp:
    """All that is asked for beside the concrete; None: not wanted."""

    wire: WireAsked | None = None
    bars: BarsAsked | None = None
    supports: SupportsAsked | None = None
    joints: JointsAsked | None = None
    isolation: RolledAsked | None = None
    breaker: RolledAsked | None = None  # used where the top is unbonded
    bonding: SpreadAsked | None = None  # used where it is bonded
    patch: PatchAsked | None = None
    cure: SpreadAsked | None = None
    cure_cover: RolledAsked | None = None
    sealer: SpreadAsked | None = None
    forms: FormsAsked | None = None
