"""The mix on the order sheet: the form that is read out, and for the office what holds it."""

from __future__ import annotations

from overslab.faces.documents.blocks import (
    Asks,
    Block,
    Bullets,
    Column,
    Facts,
    Heading,
    Para,
    Table,
)
from overslab.ground.units import Units, write_by_suffix, write_share, write_size
from overslab.handbook.checks import Check
from overslab.order.records import Demand, MixAsked, MixCheck, Order, SiteWater


def mix_form(mix: MixAsked, units: Units) -> Asks:
    """What is read out to the dispatcher; what nobody said is a blank to fill."""

    def told(quantity: str, value: float | None) -> str | None:
        return None if value is None else write_by_suffix(quantity, value, units)

    fibre, reducer = mix.fibre, mix.reducer
    if fibre not in (None, "none") and mix.fibre_kg_per_m3 is not None:
        fibre_told = f"{fibre}, {told('dose_kg_per_m3', mix.fibre_kg_per_m3)}"
    else:
        fibre_told = fibre or ""
    return Asks(
        (
            ("strength", told("strength_pa", mix.strength_pa)),
            ("largest stone", told("stone_m", mix.stone_m)),
            ("slump", told("slump_m", mix.slump_m)),
            ("air, or none", told("air_share", mix.air)),
            ("greatest water-cement ratio", told("water_cement_ratio", mix.water_cement_ratio)),
            ("fibre, or none", fibre_told or None),
            ("water reducer, or none", reducer),
            ("batching to discharge", told("discharge_minutes", mix.discharge_minutes)),
            ("mix code of the plant", mix.plant.code or None),
            ("notes", mix.notes or None),
        )
    )


def ticket_blocks(order: Order, units: Units) -> list[Block]:
    """For the person at the chute: what the ticket allows, and the lines to write on it."""
    site = order.mix_check.site_water
    blocks: list[Block] = [Heading("At the truck: read the ticket before it comes down the chute")]
    if site.allowed:
        least, most = site.allowed[0], site.allowed[-1]
        span = _left(least.allowed_m3_per_m3, units)
        if most.allowed_m3_per_m3 - least.allowed_m3_per_m3 > 1e-9:
            span = f"{span} (strictest) to {_left(most.allowed_m3_per_m3, units)}"
        blocks.append(
            Para(
                f"By the plant's own weights the mix leaves in water: {span}. The weights on the "
                "ticket count; on arrival only, once, up to the slump asked, and signed for.",
                "strong",
            )
        )
    else:
        blocks.append(
            Para(
                "What water may still be added is not known: it hangs on the cement and the water "
                "of the mix and on a greatest ratio. Without them, none.",
                "strong",
            )
        )
    blocks.append(
        Asks(
            tuple(
                (name, None)
                for name in (
                    "cement, water batched, by the ticket",
                    "time batched, arrived, empty",
                    "slump seen, temperature",
                    "water added, who signed",
                    "strip it went to",
                )
            )
        )
    )
    return blocks


def mix_blocks(order: Order, units: Units) -> list[Block]:
    """For the office: the mix beside every limit, the published method, and site water."""
    mixed = order.mix_check
    blocks: list[Block] = [
        Heading("The mix beside what the floor asks (for the office)", fresh_page=True),
        Facts(
            (
                ("frost and salt", " or ".join(mixed.frost)),
                (
                    "stone at the thinnest place",
                    f"at most {write_size(mixed.stone_third_m, units)} by the third, "
                    f"{write_size(mixed.stone_federal_m, units)} by the federal guide",
                ),
            )
        ),
    ]
    if mixed.checks:
        blocks.append(_checks(mixed.checks, units))
    if mixed.demands:
        blocks.append(_demands(mixed.demands, units))
    blocks += _method(mixed, units)
    blocks += _water(mixed.site_water, units)
    return [*blocks, _beside(mixed, units)]


def _checks(checks: tuple[Check, ...], units: Units) -> Table:
    return Table(
        (
            Column("mix as asked", share=1.3),
            Column("found", "right"),
            Column("allowed", "right"),
            Column("holds"),
            Column("source and how it is known", share=1.6),
        ),
        tuple(
            (
                check.name,
                write_by_suffix(check.quantity, check.found, units),
                f"{check.comparison} {write_by_suffix(check.quantity, check.allowed, units)}",
                "yes" if check.passes else "NO",
                check.source,
            )
            for check in checks
        ),
        size=8.0,
        strong=tuple(place for place, check in enumerate(checks) if not check.passes),
        name="Bold: does not hold",
    )


def _demands(demands: tuple[Demand, ...], units: Units) -> Table:
    return Table(
        (
            Column("edition, exposure", share=1.2),
            Column("ratio at most", "right"),
            Column("strength at least", "right"),
            Column("source and how it is known", share=1.4),
        ),
        tuple(
            (
                f"{one.edition}, {one.exposure}",
                write_by_suffix("water_cement_ratio", one.water_cement_ratio, units),
                write_by_suffix("strength_pa", one.strength_pa, units),
                f"{one.source} ({one.known})",
            )
            for one in demands
        ),
        size=8.0,
        strong=tuple(place for place, one in enumerate(demands) if one.governs),
        name="Frost and salt by edition; bold: the one the mix is held to",
    )


def _method(mixed: MixCheck, units: Units) -> list[Block]:
    blocks: list[Block] = []
    method = mixed.by_method
    if method is not None:
        rows = (
            ("water", "water_kg_per_m3", method.water_kg_per_m3),
            ("cement", "cement_kg_per_m3", method.cement_kg_per_m3),
            ("water over cement", "water_cement_ratio", method.water_cement_ratio),
            ("air", "air_share", method.air_share),
            ("stone, dry", "coarse_kg_per_m3", method.coarse_kg_per_m3),
            ("sand, dry", "fine_kg_per_m3", method.fine_kg_per_m3),
        )
        told = ", ".join(
            f"{name} {write_by_suffix(quantity, value, units)}"
            for name, quantity, value in rows
            if value is not None
        )
        blocks.append(Para(f"By ACI 211.1, as a check and not as a mix to pour: {told}."))
    if mixed.compared:
        blocks.append(
            Table(
                (
                    Column("plant's mix", share=1.5),
                    Column("plant", "right"),
                    Column("beside", "right"),
                ),
                tuple(
                    (
                        one.name,
                        write_by_suffix(one.quantity, one.plant, units),
                        write_by_suffix(one.quantity, one.method, units),
                    )
                    for one in mixed.compared
                ),
                size=8.0,
                name="The plant's figures beside the published method; the plant's tests govern",
            )
        )
    return blocks


def _left(value_m3_per_m3: float, units: Units) -> str:
    written = write_by_suffix("allowed_m3_per_m3", abs(value_m3_per_m3), units)
    return written if value_m3_per_m3 >= 0 else f"none, it is over by {written}"


def _water(site: SiteWater, units: Units) -> list[Block]:
    blocks: list[Block] = []
    if site.allowed:
        rows = tuple(
            (
                one.by,
                write_by_suffix("water_cement_ratio", one.water_cement_ratio, units),
                _left(one.allowed_m3_per_m3, units),
                write_by_suffix("load_water_m3", max(0.0, one.full_load_water_m3), units),
            )
            for one in site.allowed
        )
        blocks.append(
            Table(
                (
                    Column("limit of", share=1.5),
                    Column("ratio", "right"),
                    Column("water left", "right"),
                    Column("in a full truck", "right"),
                ),
                rows,
                size=8.0,
                name="Water that may still be added on site, by the plant's own weights",
            )
        )
    added = write_by_suffix("added_m3_per_m3", site.added_m3_per_m3, units)
    blocks.append(
        Table(
            (
                Column("source", share=1.6),
                Column("slump up by", "right"),
                Column("strength down by", "right"),
                Column("air up by", "right"),
                Column("shrinkage up by", "right"),
            ),
            tuple(
                (
                    f"{one.source} ({one.note})",
                    write_by_suffix("slump_m", one.slump_m, units),
                    " to ".join(write_by_suffix("loss_pa", value, units) for value in one.loss_pa),
                    " to ".join(write_share(value) for value in one.air_share)
                    if one.air_share[1]
                    else "not said",
                    write_share(one.shrinkage_share) if one.shrinkage_share else "not said",
                )
                for one in site.effects
            ),
            size=8.0,
            name=f"What {added} of water does; the sources disagree, so it is a range",
        )
    )
    return blocks


def _beside(mixed: MixCheck, units: Units) -> Block:
    limits = tuple(
        f"{one.name}: {one.bound} {write_by_suffix(one.quantity, one.value, units)} "
        f"[{one.cited}{'; ' + one.note if one.note else ''}]"
        for one in (*mixed.discharge, *mixed.published)
    )
    words = tuple(
        f"{one.says} [{one.source}, {one.known}]"
        for one in (*mixed.site_water.rules, *mixed.advice)
    )
    return Bullets((*words, *limits))
