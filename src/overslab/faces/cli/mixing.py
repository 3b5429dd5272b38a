"""The mix in plain text: asked for beside allowed, by method beside the plant's, site water."""

from __future__ import annotations

from overslab.faces.cli.tables import check_line, facts, table
from overslab.ground.units import Units, write_by_suffix, write_share, write_size
from overslab.handbook.limits import Limit
from overslab.order.records import MixAsked, MixCheck, Order, SiteWater


def mix_asked(mix: MixAsked, units: Units) -> list[tuple[str, str]]:
    """What is written on the order; what is not stays away."""
    lines = [
        ("strength", "strength_pa", mix.strength_pa),
        ("largest stone", "stone_m", mix.stone_m),
        ("slump", "slump_m", mix.slump_m),
        ("air", "air_share", mix.air),
        ("greatest water-cement ratio", "water_cement_ratio", mix.water_cement_ratio),
        ("fibre", "fibre", mix.fibre),
        ("dose of fibre", "dose_kg_per_m3", mix.fibre_kg_per_m3),
        ("water reducer", "reducer", mix.reducer),
        ("discharge within", "discharge_minutes", mix.discharge_minutes),
        ("plant's code", "code", mix.plant.code or None),
        ("notes", "notes", mix.notes or None),
    ]
    return [
        (name, write_by_suffix(quantity, value, units))
        for name, quantity, value in lines
        if value is not None
    ]


def mix_lines(order: Order, units: Units) -> list[str]:
    """The mix held against the floor."""
    mixed = order.mix_check
    lines = ["The mix beside what the floor asks:"]
    lines.append(
        facts(
            [
                ("frost and salt", " or ".join(mixed.frost)),
                (
                    "stone at the thinnest place",
                    f"at most {write_size(mixed.stone_third_m, units)} (a third), "
                    f"{write_size(mixed.stone_federal_m, units)} (federal guide)",
                ),
            ]
        )
    )
    lines += [f"  {check_line(check, units)}" for check in mixed.checks]
    lines += ["", "What every edition asks:", _demands(mixed, units)] if mixed.demands else []
    lines += _method(mixed, units)
    lines += _water(mixed.site_water, units)
    lines += ["", "Beside these:", *(f"  {_limit(one, units)}" for one in mixed.discharge)]
    lines += [f"  {_limit(one, units)}" for one in mixed.published]
    lines += [f"  {one.says} [{one.source}, {one.known}]" for one in mixed.advice]
    return lines


def _demands(mixed: MixCheck, units: Units) -> str:
    return table(
        ("edition, exposure", "ratio at most", "strength at least", "known", ""),
        [
            (
                f"{one.edition}, {one.exposure}",
                write_by_suffix("water_cement_ratio", one.water_cement_ratio, units),
                write_by_suffix("strength_pa", one.strength_pa, units),
                one.known,
                "taken" if one.governs else "",
            )
            for one in mixed.demands
        ],
    )


def _method(mixed: MixCheck, units: Units) -> list[str]:
    lines = ["", "By ACI 211.1, a check and no mix to pour:"]
    method = mixed.by_method
    if method is not None:
        pairs = [
            ("water", write_by_suffix("water_kg_per_m3", method.water_kg_per_m3, units)),
            ("air", write_share(method.air_share)),
            (
                "water over cement",
                write_by_suffix("water_cement_ratio", method.water_cement_ratio, units),
            ),
            ("cement", write_by_suffix("cement_kg_per_m3", method.cement_kg_per_m3, units)),
        ]
        for name, mass in (("stone", method.coarse_kg_per_m3), ("sand", method.fine_kg_per_m3)):
            if mass is not None:
                pairs.append((f"{name}, dry", write_by_suffix("mass_kg_per_m3", mass, units)))
        lines.append(facts(pairs))
    lines += [f"  Not worked out: {text}" for text in mixed.not_worked]
    if mixed.compared:
        lines += [
            "",
            "The plant's mix beside it:",
            table(
                ("", "plant", "beside"),
                [
                    (
                        one.name,
                        write_by_suffix(one.quantity, one.plant, units),
                        write_by_suffix(one.quantity, one.method, units),
                    )
                    for one in mixed.compared
                ],
            ),
        ]
    return lines


def water_left(value_m3_per_m3: float, units: Units) -> str:
    """Water still allowed, or how far it is over already."""
    written = write_by_suffix("allowed_m3_per_m3", abs(value_m3_per_m3), units)
    return written if value_m3_per_m3 >= 0 else f"none: over by {written}"


def _water(site: SiteWater, units: Units) -> list[str]:
    lines = ["", "Water that may still be added on site, by the plant's own weights:"]
    if site.allowed:
        rows = [
            (
                one.by,
                write_by_suffix("water_cement_ratio", one.water_cement_ratio, units),
                water_left(one.allowed_m3_per_m3, units),
                write_by_suffix("load_water_m3", max(0.0, one.full_load_water_m3), units),
            )
            for one in site.allowed
        ]
        lines.append(table(("by", "ratio", "allowed", "in a full truck"), rows))
    else:
        lines.append("  Not known: it hangs on the plant's cement and water, and on a ratio.")
    added = write_by_suffix("added_m3_per_m3", site.added_m3_per_m3, units)
    lines += ["", f"What {added} more does (sources disagree; take none for sure):"]
    for one in site.effects:
        slump, least, most = (
            write_by_suffix(quantity, value, units)
            for quantity, value in (
                ("slump_m", one.slump_m),
                ("loss_pa", one.loss_pa[0]),
                ("loss_pa", one.loss_pa[1]),
            )
        )
        lines.append(f"  slump + {slump}, strength - {least} to {most} [{one.source}; {one.note}]")
    return [*lines, *(f"  {one.says} [{one.source}, {one.known}]" for one in site.rules)]


def _limit(limit: Limit, units: Units) -> str:
    value = write_by_suffix(limit.quantity, limit.value, units)
    note = f"; {limit.note}" if limit.note else ""
    return f"{limit.name}: {limit.bound} {value} [{limit.cited}{note}]"
