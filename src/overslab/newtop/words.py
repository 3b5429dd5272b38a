"""Rules by name: what each is called, what it limits, what it means when it gives way."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from overslab.ground.units import System, Units, write_length
from overslab.ground.units.factors import FOOT_M, INCH_M
from overslab.newtop.records import Wishes

Sense = Literal["at least", "at most", "exactly"]

LEAST_THICKNESS = "least thickness"
GREATEST_THICKNESS = "greatest thickness"
LEAST_FALL = "least fall"
GREATEST_FALL = "greatest fall"
CROSS_FALL = "cross fall"
BEND = "bend"
HIGHEST = "highest level"


@dataclass(frozen=True, slots=True)
class Rule:
    """One named rule. ``quantity`` ends in the unit suffix (slopes have none).

    ``firm`` rules are never offered up when wishes fight; ``says`` tells a customer what it would
    mean if this rule gave way, without numbers.
    """

    name: str
    quantity: str
    sense: Sense
    value: float
    firm: bool
    says: str

    @property
    def slope(self) -> bool:
        return not self.quantity.endswith("_m")


def steps(wishes: Wishes) -> tuple[float, float]:
    """The step in which a price is told: for heights in metres, and for falls as a slope.

    1/8 in and 1/16 in/ft where the mark is a fraction of an inch, 0.01 ft and 1/16 in/ft where it
    is a part of a foot, otherwise 3 mm and half a percent.
    """
    inch, foot = float(INCH_M), float(FOOT_M)
    sixteenth_per_foot = inch / 16 / foot
    heights_m = {"feet-inches": inch / 8, "tenths": foot / 100, "metric": 0.003}
    system = _system(wishes.mark_m)
    return heights_m[system], 0.005 if system == "metric" else sixteenth_per_foot


def about(length_m: float, *, mark_m: float) -> str:
    """A round length as the crew would say it, in the units that its mark belongs to."""
    system = _system(mark_m)
    rough_m = {"feet-inches": float(INCH_M), "tenths": float(FOOT_M) / 10, "metric": 0.01}
    return write_length(length_m, Units(system, rough_m[system]))


def _system(mark_m: float) -> System:
    """The system that a settable mark is of: a fraction of an inch, a part of a foot, or metric."""
    if _whole(mark_m / (float(INCH_M) / 64)):
        return "feet-inches"
    if _whole(mark_m / (float(FOOT_M) / 1000)) and not _whole(mark_m / 0.0005):
        return "tenths"
    return "metric"


def _whole(number: float) -> bool:
    return round(number) >= 1 and abs(number - round(number)) < 1e-6


def known_rules(wishes: Wishes) -> dict[str, Rule]:
    """Every rule these wishes make, by name, in the order in which they are told."""
    rules: list[Rule] = []

    def add(
        name: str, quantity: str, sense: Sense, value: float, says: str, *, firm: bool = False
    ) -> None:
        held = firm or name in wishes.firm
        rules.append(Rule(name, quantity, sense, value, held, says))

    add(
        LEAST_THICKNESS, "thickness_m", "at least", wishes.least_thickness_m,
        "The slab would have to be allowed to be thinner at its thinnest place.",
    )  # fmt: skip
    if wishes.greatest_thickness_m is not None:
        add(
            GREATEST_THICKNESS, "thickness_m", "at most", wishes.greatest_thickness_m,
            "The slab would have to be allowed to be thicker at its thickest place.",
        )  # fmt: skip
    add(
        LEAST_FALL, "fall", "at least", wishes.least_fall,
        "The floor would have to be allowed to fall less toward the outlet.",
    )  # fmt: skip
    add(
        GREATEST_FALL, "fall", "at most", wishes.greatest_fall,
        "The floor would have to be allowed to fall more steeply toward the outlet.",
    )  # fmt: skip
    add(
        CROSS_FALL, "fall", "at most", wishes.cross_fall,
        "The floor would have to be allowed to lean more across the way of the water.",
    )  # fmt: skip
    add(
        BEND, "fall", "at most", wishes.bend,
        "The floor would have to be allowed to bend more where strips meet.",
    )  # fmt: skip
    if wishes.highest_m is not None:
        add(
            HIGHEST, "height_m", "at most", wishes.highest_m,
            "The floor would have to be allowed to come up higher.",
        )  # fmt: skip
    for edge in wishes.edges:
        part = f"The sill of {edge.name}" if edge.kind == "door" else f"The floor at {edge.name}"
        if edge.lowest_m is not None:
            add(
                f"{edge.name} lowest", "height_m", "at least", edge.lowest_m,
                f"{part} would have to be lower.", firm=edge.firm,
            )  # fmt: skip
        if edge.highest_m is not None:
            add(
                f"{edge.name} highest", "height_m", "at most", edge.highest_m,
                f"{part} would have to be higher.", firm=edge.firm,
            )  # fmt: skip
        if edge.level:
            add(
                f"{edge.name} level", "rise_m", "at most", 0.0,
                f"The floor could not be level along {edge.name}.", firm=edge.firm,
            )  # fmt: skip
    for drain in wishes.drains:
        if drain.plan != "bury":
            add(
                f"{drain.name} rim", "height_m", "exactly", drain.rim_m + drain.drop_m,
                f"The rim of {drain.name} would have to be set at another height.",
            )  # fmt: skip
    for zone in wishes.zones:
        for suffix, quantity, sense, value, words in (
            ("least fall", "fall", "at least", zone.least_fall, "fall less"),
            ("greatest fall", "fall", "at most", zone.greatest_fall, "fall more steeply"),
            ("least thickness", "thickness_m", "at least", zone.least_thickness_m, "be thinner"),
            ("highest level", "height_m", "at most", zone.highest_m, "come up higher"),
        ):
            if value is not None:
                sign: Sense = "at least" if sense == "at least" else "at most"
                add(
                    f"{zone.name} {suffix}", quantity, sign, value,
                    f"The floor in {zone.name} would have to be allowed to {words}.",
                    firm=zone.firm,
                )  # fmt: skip
    for outlet in wishes.outlets:
        if len(outlet.line) == 2 and outlet.gather == "wall":
            add(
                f"wall run to {outlet.name}", "fall", "at least", 0.0,
                f"The foot of the wall at {outlet.name} would have to be allowed to fall away "
                "from the opening.",
            )  # fmt: skip
    return {rule.name: rule for rule in rules}
