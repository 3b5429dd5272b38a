"""What shall lie in, under and on the new slab, out of ``job.toml``."""

from __future__ import annotations

from collections.abc import Callable
from typing import TypeVar

from overslab.job import faults
from overslab.job.floorplan import Plotter
from overslab.job.layingkeys import (
    BarFacts,
    BondingFacts,
    BreakerFacts,
    CoverFacts,
    FillingFacts,
    FormFacts,
    IsolationFacts,
    JointFacts,
    SpreadFacts,
    SupportFacts,
    WireFacts,
)
from overslab.job.touches import or_none
from overslab.job.typed import Typed
from overslab.takeoff import (
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

Given = TypeVar("Given")
Asked = TypeVar("Asked")

LEAST_OFFCUT_M = 0.3048
STEPS_M = {"metric": 0.3}  # joints stand on whole steps; a foot elsewhere


def build_in(plotter: Plotter) -> BuildUp:
    """Everything asked for beside the concrete; faults go to the plotter."""
    facts = plotter.facts
    wire, bars, supports = facts.steel.wire, facts.steel.bars, facts.steel.supports
    if supports is not None and wire is None and bars is None:
        place = plotter.source.place("steel", "supports")
        plotter.found.append(faults.NOTHING_TO_HOLD.met(value="no wire, no bars", place=place))
    for name, steel in (("wire", wire), ("bars", bars)):
        if steel is not None and facts.mix.steel == "no":
            plotter.found.append(
                faults.STEEL_BOTH_WAYS.met(
                    value='steel = "no"',
                    place=plotter.source.place("mix", "steel"),
                    section=f"steel.{name}",
                )
            )
    _laps(plotter)
    return BuildUp(
        wire=_made(wire, _wire),
        bars=_made(bars, _bars),
        supports=_made(supports, _supports),
        joints=_made(facts.joints, lambda one: _joints(one, system=plotter.units.system)),
        isolation=_made(facts.isolation, _isolation),
        breaker=_made(facts.breaker, _breaker),
        bonding=_made(facts.bonding, _bonding),
        patch=_made(facts.patch, _patch),
        cure=_made(facts.cure, _spread),
        cure_cover=_made(facts.cure_cover, _cover),
        sealer=_made(facts.sealer, _spread),
        forms=_made(facts.forms, _forms),
    )


def _made(facts: Given | None, make: Callable[[Given], Asked]) -> Asked | None:
    return None if facts is None else make(facts)


def _laps(plotter: Plotter) -> None:
    """A lap is less than the thing lapped."""
    facts = plotter.facts
    wire, bars, isolation = facts.steel.wire, facts.steel.bars, facts.isolation
    sheets: list[tuple[tuple[str, ...], Typed | None, tuple[Typed, ...]]] = []
    if wire is not None:
        sheets.append((("steel", "wire"), wire.lap, (wire.sheet_width, wire.sheet_length)))
    if bars is not None:
        sheets.append((("steel", "bars"), bars.lap, (bars.stock_length,)))
    if isolation is not None:
        sheets.append((("isolation",), isolation.lap, (isolation.roll_length,)))
    for name, rolled in (("breaker", facts.breaker), ("cure_cover", facts.cure_cover)):
        if rolled is not None:
            sheets.append(((name,), rolled.lap, (rolled.roll_width, rolled.roll_length)))
    for path, lap, sizes in sheets:
        narrowest = min(sizes, key=lambda size: size.value)
        if lap is not None and lap.value >= narrowest.value:
            plotter.found.append(
                faults.LAP_TOO_WIDE.met(
                    value=lap.text,
                    place=plotter.source.place(*path, "lap"),
                    section=".".join(path),
                    than=narrowest.text,
                )
            )


def _wire(facts: WireFacts) -> WireAsked:
    return WireAsked(
        style=facts.style,
        sheet_length_m=facts.sheet_length.value,
        sheet_width_m=facts.sheet_width.value,
        spacing_m=facts.spacing.value,
        wire_diameter_m=facts.wire.value,
        lap_m=facts.lap.value,
        edge_m=facts.edge.value,
        cover_top_m=facts.cover_top.value,
        cover_bottom_m=facts.cover_bottom.value,
        least_offcut_m=or_none(facts.least_offcut) or LEAST_OFFCUT_M,
        overhang_m=or_none(facts.overhang) or 0.0,
        alike_both_ways=facts.alike_both_ways,
        tie_spacing_m=or_none(facts.tie_spacing),
    )


def _bars(facts: BarFacts) -> BarsAsked:
    return BarsAsked(
        size=facts.size,
        diameter_m=facts.diameter.value,
        spacing_m=facts.spacing.value,
        stock_length_m=facts.stock_length.value,
        lap_m=facts.lap.value,
        edge_m=facts.edge.value,
        cover_top_m=facts.cover_top.value,
        cover_bottom_m=facts.cover_bottom.value,
        across=facts.both_ways,
        least_piece_m=or_none(facts.least_piece) or LEAST_OFFCUT_M,
    )


def _supports(facts: SupportFacts) -> SupportsAsked:
    return SupportsAsked(
        kind=facts.kind,
        spacing_m=facts.spacing.value,
        height_m=facts.height.value,
        stock_length_m=or_none(facts.stock_length),
        box_of=facts.box_of,
    )


def _joints(facts: JointFacts, *, system: str) -> JointsAsked:
    common_m = STEPS_M.get(system, LEAST_OFFCUT_M)
    return JointsAsked(
        kind=facts.kind,
        greatest_panel_m=or_none(facts.greatest_panel),
        greatest_aspect=facts.greatest_aspect,
        depth_share=or_none(facts.depth),
        step_m=facts.step.value if facts.step else common_m,
        at_doors=facts.at_doors,
        filler=facts.filler,
        jambs=facts.jambs,
        least_strip_m=facts.least_strip.value if facts.least_strip else 2 * common_m,
    )


def _isolation(facts: IsolationFacts) -> RolledAsked:
    heights = tuple(sorted({height.value for height in facts.heights}))
    return RolledAsked(
        roll_length_m=facts.roll_length.value,
        roll_width_m=heights[-1],
        lap_m=or_none(facts.lap) or 0.0,
        what=facts.what,
        heights_m=heights,
        at_doors=facts.at_doors,
    )


def _breaker(facts: BreakerFacts) -> RolledAsked:
    return RolledAsked(
        roll_length_m=facts.roll_length.value,
        roll_width_m=facts.roll_width.value,
        lap_m=facts.lap.value,
        layers=facts.layers,
        what=facts.what,
        upturn_m=or_none(facts.upturn) or 0.0,
        tape_length_m=or_none(facts.tape_length),
    )


def _spread(facts: SpreadFacts, *, open_minutes: int | None = None) -> SpreadAsked:
    return SpreadAsked(
        covers_m2_per_unit=facts.covers.value,
        unit=facts.unit,
        coats=facts.coats,
        open_minutes=open_minutes,
        what=facts.what,
    )


def _bonding(facts: BondingFacts) -> SpreadAsked:
    return _spread(facts, open_minutes=facts.open_minutes)


def _patch(facts: FillingFacts) -> PatchAsked:
    return PatchAsked(
        fills_m3_per_unit=facts.fills.value,
        unit=facts.unit,
        hollow_depth_m=or_none(facts.hollow_depth),
        what=facts.what,
        pits=facts.pits,
    )


def _cover(facts: CoverFacts) -> RolledAsked:
    return RolledAsked(
        roll_length_m=facts.roll_length.value,
        roll_width_m=facts.roll_width.value,
        lap_m=facts.lap.value,
        what=facts.what,
    )


def _forms(facts: FormFacts) -> FormsAsked:
    return FormsAsked(
        board_length_m=facts.board_length.value,
        stake_spacing_m=facts.stakes.value,
        bulkheads=facts.bulkheads,
        heights_m=tuple(sorted({height.value for height in facts.heights or []})),
        day_ends=tuple(facts.day_ends),
    )
