"""Case 5: a floor drain to bury. Somebody has to say that it may be given up."""

from __future__ import annotations

import pytest
from case_jobs import read_again, walked
from make_cases import drain_buried

from overslab.ground.faults import Faulty
from overslab.job import walk_to


def test_the_pour_waits_for_the_office() -> None:
    touches = walked(5).touches
    assert touches is not None
    asked = "the local office has said in writing that drain may be given up"
    ready = {one.what: one for one in touches.readiness}
    assert ready[asked].trade == "owner"
    assert asked in ready["drain is capped and filled"].waits_for
    assert ready["drain is capped and filled"].trade == "plumber"
    (drain,) = [one for one in touches.touches if one.kind == "drain"]
    assert not drain.passes
    told = " ".join(remark.text for remark in drain.remarks)
    assert "gutter" in told
    assert "where does that water go" in told
    assert "as-built sheet for ever" in told


def test_a_drain_that_may_not_go_is_refused() -> None:
    texts = drain_buried()
    texts["job.toml"] = texts["job.toml"].replace(
        'plan = "bury"', 'plan = "bury"\nmay_be_abandoned = "no"'
    )
    found = walk_to(read_again(texts), last="touches")
    assert found.touches is not None
    (drain,) = [one for one in found.touches.touches if one.kind == "drain"]
    assert not drain.passes
    assert any("may not be given up" in remark.text for remark in drain.remarks)


def test_water_cannot_be_sent_to_a_buried_drain() -> None:
    texts = drain_buried()
    texts["job.toml"] = texts["job.toml"].replace('water_to = ["door"]', 'water_to = ["drain"]')
    with pytest.raises(Faulty) as caught:
        read_again(texts)
    assert any("drain" in fault.value for fault in caught.value.faults)
