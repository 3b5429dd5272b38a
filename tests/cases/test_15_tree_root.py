"""Case 15: a tree root. The cause is alive: do not pour, and do not bond."""

from __future__ import annotations

from case_jobs import rooms_to


def test_a_live_cause_stops_the_pour() -> None:
    found = rooms_to(15, "verdict")
    verdict = found.verdict
    assert verdict is not None
    assert found.job.asked.system == "bonded"  # what the owner wanted
    assert verdict.ruling == "do not pour over this"
    told = " ".join(verdict.put_right)
    assert "cause and cure it" in told
    assert any("maple" in finding.says for finding in verdict.findings)
    assert any(
        remark.weight == "warn" and "do not pour over this" in remark.text
        for remark in verdict.remarks
    )
    assert any("judged again from the start" in text for text in verdict.would_change)
