"""The sheet of cautions: where this work can hurt someone."""

from __future__ import annotations

from overslab.faces.documents.blocks import Block, Bullets, Heading, Para
from overslab.faces.documents.paper import Layout

_CAUTIONS: tuple[tuple[str, tuple[str, ...]], ...] = (
    (
        "Structure",
        (
            "Whether the old slab and the ground under it carry the new weight, and every slab "
            "that "
            "hangs over a room, is for a licensed engineer. No lift, hoist or post is to be "
            "anchored "
            "in the new concrete on the word of this packet.",
            "Heat pipes, tendons, conduit and drains may lie in the old floor: find them before "
            "anything is drilled or sawn.",
        ),
    ),
    (
        "Dust",
        (
            "Sawing, grinding and chipping concrete frees silica dust that scars the lungs: "
            "water or "
            "a shroud with a fine-filter vacuum, a fitted respirator where the local table asks "
            "for "
            "one, no dry sweeping.",
            "Old tile, glue and paint may hold asbestos or lead: stop and have them tested.",
        ),
    ),
    (
        "Wet concrete",
        (
            "Wet concrete is caustic and burns skin and eyes, often before it is felt: waterproof "
            "boots and gloves, eye protection, no kneeling in it, wash at once; concrete over the "
            "boot top means stop and rinse. Keep water for eyes at hand.",
        ),
    ),
    (
        "Exhaust and air",
        (
            "Engines and unvented heaters indoors kill by carbon monoxide within minutes. Open "
            "doors "
            "and fans do not prove the air safe: electric tools or the engine outside, heaters "
            "vented "
            "outdoors, and an alarm that measures carbon monoxide.",
            "In pits and low rooms test the air when there is any doubt; cover open pits.",
        ),
    ),
    (
        "Doors, lifting, hoses, trucks",
        (
            "Springs and cables of overhead doors hold force that maims: never loosen them, a door "
            "technician does; block the door and unplug the opener.",
            "Two people to a heavy lift; knee boards; clear routes for barrows.",
            "Stay off the line of a pump hose at the start and at blow-out.",
            "A spotter for every backing truck; hands clear of the chute; look for overhead lines.",
        ),
    ),
    (
        "Tools and site",
        (
            "Ground-fault protection on every cord; cords out of the wet.",
            "Ears and eyes protected at saw, trowel and scarifier; agree hand signals.",
            "Keep the laser beam off eye level and use it as its label says.",
            "Ladders on firm footing; fuel and plastic sheet away from heaters.",
            "Barricade the fresh floor, mark trip edges, leave a light at night; water, shade "
            "and rest.",
            "Anyone may stop the pour.",
        ),
    ),
)


def cautions() -> Layout:
    """The same words for every job."""
    blocks: list[Block] = [
        Para(
            "General cautions (common practice). Local law and codes, the makers' labels and "
            "licensed "
            "trades decide, and win over anything printed here.",
            "strong",
        )
    ]
    for title, items in _CAUTIONS:
        blocks += [Heading(title), Bullets(items)]
    return Layout(tuple(blocks))
