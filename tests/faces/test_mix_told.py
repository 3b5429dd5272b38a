"""The mix on the order sheet and in the answer of the command line: found beside allowed, asked."""

from __future__ import annotations

from dataclasses import replace

from made_up_answers import made_up_walk

from overslab.faces.cli.answers import answer
from overslab.faces.documents.quantities import order_sheet
from overslab.ground.units import to_si
from overslab.job.records import Rooms, Walk
from overslab.order import Exposure, MixAsked, PlantMix, check_mix

# Cement 564 lb and water 270 lb: 0.479. At 0.50 that leaves 12 lb, 1.4 gal/yd3; at 0.45 it is over.
MIX = MixAsked(
    strength_pa=to_si(4000, "psi"),
    stone_m=to_si(1, "in"),
    air=0.04,
    water_cement_ratio=0.50,
    steel="no",
    plant=PlantMix(
        code="B30", cement_kg_per_m3=to_si(564, "lb/yd3"), water_kg_per_m3=to_si(270, "lb/yd3")
    ),
)


def walk_with(mix: MixAsked) -> Walk:
    walk = made_up_walk()
    assert walk.order is not None
    mixed = check_mix(
        mix,
        thinnest_m=to_si(3, "in"),
        truck_m3=to_si(10, "yd3"),
        exposure=Exposure("yes", "yes"),
        units=walk.job.units,
    )
    return replace(walk, order=replace(walk.order, mix=mix, mix_check=mixed))


def told_on_paper(walk: Walk) -> str:
    assert walk.order is not None
    layout = order_sheet(walk, walk.order)
    return " ".join(repr(block.data()) for block in layout.blocks).replace("\\xa0", " ")


def told_on_screen(walk: Walk) -> str:
    return answer("order", Rooms(job=walk.job, order=walk.order))


def test_what_does_not_hold_is_plain_on_paper_and_screen() -> None:
    walk = walk_with(MIX)
    paper, screen = told_on_paper(walk), told_on_screen(walk)
    assert "'strength for frost and salt', '4000 psi', 'at least 4500 psi', 'NO'" in paper
    assert "'largest stone, federal guide', '1 in', 'at most 3/4 in', 'NO'" in paper
    assert "strength for frost and salt: 4000 psi, allowed at least 4500 psi: DOES NOT HOLD" in (
        screen
    )
    for told in (paper, screen):
        assert "318-08" in told
        assert "(memory)" in told


def test_the_ticket_gives_a_range_and_what_is_over_is_said() -> None:
    paper, screen = told_on_paper(walk_with(MIX)), told_on_screen(walk_with(MIX))
    assert "none, it is over by 1.9 gal/yd3 (strictest) to 1.4 gal/yd3" in paper
    assert "none: over by 1.9 gal/yd3" in screen
    for told in (paper, screen):
        assert "150 psi to 200 psi" in told or "150 psi to 200" in told
        assert "200 psi to 400 psi" in told


def test_without_weights_no_water_is_allowed_and_the_form_has_blanks() -> None:
    paper = told_on_paper(walk_with(MixAsked()))
    assert "is not known" in paper
    assert "Without them, none." in paper
    assert "['greatest water-cement ratio', None]" in paper
    assert "['fibre, or none', None]" in paper
    assert "Not known: it hangs on" in told_on_screen(walk_with(MixAsked()))
