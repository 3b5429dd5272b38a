"""The sheet of cautions: where this work can hurt someone, chosen by what the job contains.

A caution is left out only where the job says that its cause is not there; what is not known counts
as there.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import NamedTuple

from overslab.faces.documents.blocks import Block, Bullets, Heading, Para
from overslab.faces.documents.paper import Layout
from overslab.job.records import Walk


def _always(_: Walk) -> bool:
    return True


def _overhead_door(walk: Walk) -> bool:
    known = bool(walk.job.touches.facts.overhead_doors)
    return known or any(edge.kind == "door" for edge in walk.newtop.wishes.edges)


class Caution(NamedTuple):
    """One caution, and the jobs it is printed for."""

    says: str
    applies: Callable[[Walk], bool] = _always


CAUTIONS: tuple[tuple[str, tuple[Caution, ...]], ...] = (
    (
        "Structure",
        (
            Caution(
                "Whether the old slab and the ground under it carry the new weight, and every slab "
                "that hangs over a room, is for a licensed engineer. No lift, hoist or post is to "
                "be anchored in the new concrete on the word of this packet."
            ),
            Caution(
                "The old slab may hang over a room: no truck, no stack and no pour on it, and "
                "nobody below, before an engineer has answered.",
                lambda walk: walk.job.findings.stands_on != "ground",
            ),
            Caution(
                "There may be nothing under parts of the old slab: keep trucks and machines off "
                "what is marked hollow.",
                lambda walk: walk.job.findings.undermined != "no" or bool(walk.verdict.hollows),
            ),
            Caution(
                "Stressed tendons break out of a floor with deadly force when they are cut: no "
                "drilling, sawing or chipping.",
                lambda walk: walk.job.findings.tendons != "no",
            ),
            Caution(
                "Heating pipes lie in the old slab or may: no drilling, sawing or chipping where "
                "they were not found; hot water under pressure scalds.",
                lambda walk: walk.job.findings.heating_pipes != "no",
            ),
            Caution(
                "Conduit, gas and drains may lie in the old floor: find them before anything is "
                "drilled or sawn."
            ),
            Caution(
                "Nothing is lifted on the vehicle lift while its floor is worked on; its anchors "
                "are its maker's and an engineer's business.",
                lambda walk: walk.job.findings.lift_posts != "no",
            ),
        ),
    ),
    (
        "Dust",
        (
            Caution(
                "Sawing, grinding, blasting and chipping concrete frees silica dust that scars the "
                "lungs: water or a shroud with a fine-filter vacuum, a fitted respirator where the "
                "local table asks for one, no dry sweeping."
            ),
            Caution(
                "Old tile, glue and paint may hold asbestos or lead: stop and have them tested."
            ),
        ),
    ),
    (
        "Wet concrete",
        (
            Caution(
                "Wet concrete is caustic and burns skin and eyes, often before it is felt: "
                "waterproof boots and gloves, eye protection, no kneeling in it, wash at once; "
                "concrete over the boot top means stop and rinse. Keep water for eyes at hand."
            ),
        ),
    ),
    (
        "Exhaust and air",
        (
            Caution(
                "Engines and unvented heaters indoors kill by carbon monoxide within minutes. Open "
                "doors and fans do not prove the air safe: electric tools or the engine outside, "
                "heaters vented outdoors, and an alarm that measures carbon monoxide."
            ),
            Caution("In pits and low rooms test the air when there is any doubt; cover open pits."),
        ),
    ),
    (
        "Doors, lifting, hoses, trucks",
        (
            Caution(
                "Springs and cables of overhead doors hold force that maims: never loosen them, a "
                "door technician does; block the door and unplug the opener.",
                _overhead_door,
            ),
            Caution("Two people to a heavy lift; knee boards; clear routes for barrows."),
            Caution("Stay off the line of a pump hose at the start and at blow-out."),
            Caution(
                "A spotter for every backing truck; hands clear of the chute; look for overhead "
                "lines."
            ),
        ),
    ),
    (
        "Tools and site",
        (
            Caution("Ground-fault protection on every cord; cords out of the wet."),
            Caution("Ears and eyes protected at saw, trowel and scarifier; agree hand signals."),
            Caution("Keep the laser beam off eye level and use it as its label says."),
            Caution("Ladders on firm footing; fuel and plastic sheet away from heaters."),
            Caution(
                "Barricade the fresh floor, mark trip edges, leave a light at night; water, shade "
                "and rest."
            ),
            Caution("Anyone may stop the pour."),
        ),
    ),
)


def cautions(walk: Walk) -> Layout:
    """What holds for every job, and what this one adds."""
    blocks: list[Block] = [
        Para(
            "Cautions for this job (common practice). Local law and codes, the makers' labels and "
            "licensed trades decide, and win over anything printed here.",
            "strong",
        )
    ]
    for title, items in CAUTIONS:
        blocks += [Heading(title), Bullets(tuple(one.says for one in items if one.applies(walk)))]
    return Layout(tuple(blocks))
