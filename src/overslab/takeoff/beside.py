"""Everything beside the concrete, laid out part by part and joined."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field, replace
from typing import Literal, Protocol

from overslab.ground.notes import Assumption, Remark
from overslab.ground.units import Units
from overslab.handbook.checks import Check
from overslab.handbook.working import Working
from overslab.takeoff.asked import BuildUp
from overslab.takeoff.bars import lay_bars
from overslab.takeoff.cover import WIRE_ON_BARS, room_for_both
from overslab.takeoff.covering import bond, cure, lay_sheet, seal
from overslab.takeoff.forming import set_forms
from overslab.takeoff.isolation import lay_isolation
from overslab.takeoff.items import Item, work
from overslab.takeoff.joint_records import JointLayout
from overslab.takeoff.joints import lay_joints
from overslab.takeoff.patching import patch
from overslab.takeoff.place import Place
from overslab.takeoff.records import (
    FormLayout,
    IsolationLayout,
    Part,
    Portion,
    SheetLayout,
    Trucks,
)
from overslab.takeoff.steel_records import BarLayout, SupportLayout
from overslab.takeoff.supports import set_supports
from overslab.takeoff.wire import lay_wire
from overslab.takeoff.wire_records import WireLayout
from overslab.verdict.records import Verdict

METRIC = Units(system="metric", mark_m=0.001)
NOTHING_ASKED = BuildUp()
TAKEN_UNBONDED = Assumption(
    about="how the top lies",
    taken="unbonded",
    because="the verdict chose no system; a bonded top has a bonding agent and no sheet",
)


class MixSaid(Protocol):
    """What the takeoff needs to know of the mix."""

    @property
    def fibre(self) -> str | None: ...

    @property
    def fibre_kg_per_m3(self) -> float | None: ...


class Laid(Protocol):
    """What every layout adds to the whole."""

    @property
    def items(self) -> tuple[Item, ...]: ...

    @property
    def checks(self) -> tuple[Check, ...]: ...

    @property
    def remarks(self) -> tuple[Remark, ...]: ...

    @property
    def workings(self) -> tuple[Working, ...]: ...

    @property
    def assumptions(self) -> tuple[Assumption, ...]: ...


@dataclass(frozen=True, slots=True)
class Beside:
    """What is known when the rest is laid out."""

    verdict: Verdict | None
    mix: MixSaid | None
    trucks: Trucks | None
    units: Units
    total: Portion
    strips: tuple[Portion, ...]
    pits_m3: float


@dataclass(slots=True)
class Laying:
    """The layouts, and all they say in one."""

    system: Literal["unbonded", "bonded"]
    isolation: IsolationLayout | None = None
    sheet: SheetLayout | None = None
    forms: FormLayout | None = None
    wire: WireLayout | None = None
    bars: BarLayout | None = None
    supports: SupportLayout | None = None
    joints: JointLayout | None = None
    parts: list[Laid] = field(default_factory=list)

    @property
    def joined(self) -> Part:
        return Part(
            items=tuple(item for part in self.parts for item in part.items),
            checks=tuple(check for part in self.parts for check in part.checks),
            remarks=tuple(remark for part in self.parts for remark in part.remarks),
            workings=tuple(working for part in self.parts for working in part.workings),
            assumptions=_once(one for part in self.parts for one in part.assumptions),
        )


def lay_beside(place: Place, build: BuildUp, *, asked: Beside) -> Laying:
    """Each thing that was asked for, in the order of the work."""
    said = asked.verdict.system if asked.verdict else None
    laying = Laying(system=said or "unbonded")
    parts = laying.parts
    if said is None and (build.breaker or build.bonding):
        parts.append(Part(assumptions=(TAKEN_UNBONDED,)))
    if build.patch is not None:
        hollows = asked.verdict.hollows if asked.verdict else ()
        parts.append(
            patch(place, build.patch, pits_m3=asked.pits_m3, hollows=hollows, units=asked.units)
        )
    parts.append(_under(place, build, laying, asked))
    if build.isolation is not None:
        laying.isolation = lay_isolation(place, build.isolation, units=asked.units)
        parts.append(laying.isolation)
    if build.forms is not None:
        laying.forms = set_forms(place, build.forms, units=asked.units)
        parts.append(laying.forms)
    _steel(place, build, laying, thinnest_m=asked.total.thinnest_m)
    parts.append(_concrete(place, asked))
    if build.joints is not None:
        verdict = asked.verdict
        laying.joints = lay_joints(
            place.oldslab,
            place.newtop,
            build.joints,
            system=laying.system,
            to_match=verdict.joints_to_match if verdict else (),
            no_drilling=verdict.no_drilling if verdict else (),
        )
        parts.append(laying.joints)
    if build.cure is not None or build.cure_cover is not None:
        parts.append(Part(items=cure(place, build.cure, build.cure_cover)))
    if build.sealer is not None:
        parts.append(Part(items=seal(place, build.sealer)))
    why = "The floor, when all is done."
    parts.append(Part(items=(work("clean-up", "clean up", "area_m2", place.floor.area, why),)))
    return laying


def _steel(place: Place, build: BuildUp, laying: Laying, *, thinnest_m: float) -> None:
    """Wire, bars, and what holds them up."""
    if build.wire is not None:
        laying.wire = lay_wire(place.floor, build.wire, thinnest_m=thinnest_m)
        laying.parts.append(laying.wire)
    if build.bars is not None:
        bars = lay_bars(place.floor, build.bars, thinnest_m=thinnest_m)
        if build.wire is not None:
            height_m = build.supports.height_m if build.supports else None
            both = room_for_both(build.wire, build.bars, thinnest_m=thinnest_m, height_m=height_m)
            bars = replace(
                bars,
                checks=(*bars.checks, *both),
                assumptions=(*bars.assumptions, WIRE_ON_BARS),
            )
        laying.bars = bars
        laying.parts.append(bars)
    # Where both are asked for, the bars lie on the supports and the wire on the bars.
    lowest = laying.bars or laying.wire
    if build.supports is not None and lowest is not None:
        laying.supports = set_supports(lowest, build.supports)
        laying.parts.append(laying.supports)


def _under(place: Place, build: BuildUp, laying: Laying, asked: Beside) -> Part:
    """The sheet under an unbonded top, or what bonds a bonded one; what does not fit is told."""
    remarks = []
    part = Part()
    if laying.system == "unbonded":
        if build.breaker is not None:
            laying.sheet = part = lay_sheet(place, build.breaker)
        if build.bonding is not None:
            remarks.append(
                Remark("note", "The top lies unbonded: the bonding agent of [bonding] is left out.")
            )
    else:
        if build.bonding is not None:
            part = bond(
                place,
                build.bonding,
                total=asked.total,
                strips=asked.strips,
                trucks=asked.trucks,
                units=asked.units,
            )
        if build.breaker is not None:
            remarks.append(Remark("note", "The top is bonded: the sheet of [breaker] is left out."))
    if not remarks:
        return part
    laying.parts.append(Part(remarks=tuple(remarks)))
    return part


def _concrete(place: Place, asked: Beside) -> Part:
    """Pads, placing, finishing, and the fibre that comes in the concrete."""
    items: list[Item] = []
    remarks = []
    top = place.newtop.top
    if top is not None and top.pads:
        pads = float(len(top.pads))
        items.append(work("set-pads", "set pads and marks", "count", pads, "The list of pads."))
    volume_m3 = asked.total.volume_m3.mean
    mix = asked.mix
    if mix is not None and mix.fibre not in (None, "none"):
        if mix.fibre_kg_per_m3 is None:
            remarks.append(
                Remark("ask", f"How much {mix.fibre} goes into the concrete? [mix] gives no dose.")
            )
        else:
            mass_kg = mix.fibre_kg_per_m3 * volume_m3
            items.append(
                Item(
                    code="fibre",
                    what=mix.fibre or "fibre",
                    kind="material",
                    quantity="mass_kg",
                    net=mass_kg,
                    gross=mass_kg,
                    order_unit="as measured",
                    ordered=mass_kg,
                    why="Its dose times the concrete in place; what is ordered beyond that takes "
                    "the same dose.",
                )
            )
    items.append(work("place", "place", "volume_m3", volume_m3, "The concrete in place."))
    items.append(work("finish", "strike and finish", "area_m2", place.floor.area, "The floor."))
    return Part(items=tuple(items), remarks=tuple(remarks))


def _once(assumptions: Iterable[Assumption]) -> tuple[Assumption, ...]:
    return tuple(dict.fromkeys(assumptions))
