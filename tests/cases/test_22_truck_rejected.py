"""Case 22: one truck rejected. The order knows what each load was for, and what a ticket may say.

The ticket itself, the clock of the cold joint and the moved header wait for the pour day.
"""

from __future__ import annotations

import pytest
from case_jobs import read_again, walked, yards
from make_cases import rejected

from overslab.faces.documents.sheets import lay_sheet
from overslab.job import walk_to


def test_what_is_left_when_the_first_load_is_turned_away() -> None:
    order = walked(22).order
    assert order is not None
    first, *rest = order.loads
    assert first.strips
    assert yards(sum(load.volume_m3 for load in rest)) == pytest.approx(
        yards(order.amount_m3) - yards(first.volume_m3)
    )
    named = {strip for load in order.loads for strip in load.strips}
    assert named == {strip.name for strip in walked(22).newtop.strips}


def test_the_sheet_asks_who_may_turn_a_load_away() -> None:
    sheet = lay_sheet(walked(22), "order")
    assert sheet is not None
    told = repr([block.data() for block in sheet.blocks])
    assert "who alone may call, change or turn away a load" in told
    assert "read the ticket before it comes down the chute" in told
    assert "time batched, arrived, empty" in told


def test_a_mix_too_wet_for_what_was_asked_is_seen_from_its_weights() -> None:
    """0.50 was asked; 564 lb of cement and 310 lb of water are 0.55: over by 28 lb."""
    texts = rejected()
    ticket = '\n[mix.plant]\ncode = "B30"\ncement = "564 lb/yd3"\nwater = "310 lb/yd3"\n'
    found = walk_to(read_again({**texts, "job.toml": texts["job.toml"] + ticket}), last="order")
    assert found.order is not None
    mixed = found.order.mix_check
    (ratio,) = [check for check in mixed.checks if "plant's mix" in check.name]
    assert not ratio.passes
    assert ratio.found == pytest.approx(310 / 564)
    (left,) = mixed.site_water.allowed
    gallons = left.allowed_m3_per_m3 * 201.974  # gal/yd3 in m3/m3
    assert gallons == pytest.approx((0.50 * 564 - 310) / 8.345, rel=1e-4)
    assert any(
        remark.weight == "warn" and "plant's mix" in remark.text for remark in found.order.remarks
    )
