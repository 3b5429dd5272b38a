"""Wheels and posts: the thickness found is held against the printed equations, worked apart."""

from __future__ import annotations

from math import log10, pi, sqrt

import pytest
from slabs_to_judge import CRACK, INCH_M, PRACTICE, STILL, found, slab

from overslab.verdict import CrackFinding, LoadOnTop, judge
from overslab.verdict.cracks import all_seen
from overslab.verdict.loads import condition_factor, single_slab_m

PSI_PA, LBF_N, PCI = 6894.757293168361, 4.4482216152605, 271447.1375


def edge_stress_psi(h, *, load, a, k, strength) -> float:
    """Huang 2004 eq. 4.17 in its own units; the second test holds it to the printed example."""
    modulus = 57000 * sqrt(strength)
    stiff = (modulus * h**3 / (12 * (1 - 0.15**2) * k)) ** 0.25
    return 0.803 * load / h**2 * (4 * log10(stiff / a) + 0.666 * a / stiff - 0.034)


def needed_in(**given) -> float:
    """By the smallest step of a sixteenth of a thousandth that carries: brute force."""
    allowed = 7.5 * sqrt(given["strength"]) / 2
    h = 1.0
    while edge_stress_psi(h, **given) > allowed:
        h += 1 / 16000
    return h


def test_the_stress_here_is_the_printed_one() -> None:
    """Example 4.4: 10 kip on a circle of 6 in, slab of 10 in, k 100, E 4e6: 279.4 psi."""
    strength = (4e6 / 57000) ** 2
    got = edge_stress_psi(10.0, load=10_000, a=6.0, k=100, strength=strength)
    assert got == pytest.approx(279.4, rel=0.003)


def test_the_single_slab_is_the_thinnest_that_carries() -> None:
    for load, side, k, strength in (
        (3000, 4.5, 100, 3000),
        (1500, 6.0, 50, 4000),
        (800, 4, 200, 2500),
    ):
        a = side / sqrt(pi)
        got = single_slab_m(
            load_n=load * LBF_N,
            contact_radius_m=a * INCH_M,
            strength_pa=strength * PSI_PA,
            subgrade_pa_per_m=k * PCI,
        )
        assert got is not None
        assert got / INCH_M == pytest.approx(
            needed_in(load=load, a=a, k=k, strength=strength), abs=1e-3
        )


def test_more_load_softer_ground_and_weaker_concrete_need_more() -> None:
    def slab_m(**changed) -> float:
        plain = {
            "load_n": 8000.0, "contact_radius_m": 0.08, "strength_pa": 25e6,
            "subgrade_pa_per_m": 27e6,
        }  # fmt: skip
        got = single_slab_m(**{**plain, **changed})
        assert got is not None
        return got

    assert slab_m(load_n=12000.0) > slab_m()
    assert slab_m(subgrade_pa_per_m=13e6) > slab_m()
    assert slab_m(strength_pa=20e6) > slab_m()
    assert slab_m(contact_radius_m=0.05) > slab_m()


def test_what_no_slab_carries_is_an_engineers() -> None:
    crane = (LoadOnTop("crane foot", "post", 5e6, 0.01),)
    told = judge(slab(breaks=(CRACK,)), found(loads=crane), PRACTICE, strength_pa=28e6)
    assert told.ruling == "put these right first"
    assert any("crane foot" in text.lower() for text in told.engineer)


WHEEL = LoadOnTop("truck wheel", "wheel", 1500 * LBF_N, 36 * INCH_M**2)


def judged(load=WHEEL, *, system, strength_pa=4000 * PSI_PA, **spoilt):
    findings = found(
        loads=(load,),
        **{
            "thickness_m": 4 * INCH_M, "strength_pa": 3000 * PSI_PA,
            "subgrade_pa_per_m": 100 * PCI, **spoilt,
        },
    )  # fmt: skip
    return judge(slab(breaks=(CRACK,)), findings, PRACTICE, wished=system, strength_pa=strength_pa)


def test_the_overlay_is_what_the_equation_of_the_corps_leaves() -> None:
    """UFC 3-260-02 chapter 17: hd - hE bonded; (hd^2 - C ((hd/he) hE)^2)^(1/2) with a sheet."""
    a = 6 / sqrt(pi)
    new = needed_in(load=1500, a=a, k=100, strength=4000)
    old = needed_in(load=1500, a=a, k=100, strength=3000)
    (bonded,) = judged(system="bonded").loads
    assert bonded.allowed / INCH_M == pytest.approx(max(new - 4, 0), abs=2e-3)
    (unbonded,) = judged(system="unbonded").loads
    left = new**2 - 0.75 * (new / old * 4) ** 2  # one crack, proven still: 0.75
    assert unbonded.allowed / INCH_M == pytest.approx(sqrt(max(left, 0)), abs=2e-3)
    assert unbonded.found == pytest.approx(3 * INCH_M)


def test_a_thin_topping_on_a_sheet_says_that_it_lies_outside_the_tested_sections() -> None:
    told = judged(system="unbonded")
    finding = next(one for one in told.findings if one.topic == "loads")
    assert "tested only with overlays at least as thick as the old slab" in finding.says
    thin_base = judged(system="unbonded", thickness_m=2 * INCH_M)
    finding = next(one for one in thin_base.findings if one.topic == "loads")
    assert "tested only" not in finding.says


def test_a_load_that_is_too_much_holds_the_ruling_back() -> None:
    heavy = LoadOnTop("loader wheel", "wheel", 9000 * LBF_N, 60 * INCH_M**2)
    told = judged(heavy, system="unbonded")
    assert told.ruling == "put these right first"
    assert any("thicker there" in text for text in told.put_right)


def test_what_is_missing_is_asked_for_and_nothing_is_computed() -> None:
    told = judged(system="unbonded", strength_pa=None, subgrade_pa_per_m=None)
    assert told.loads == ()
    (words,) = [one.says for one in told.findings if one.topic == "loads"]
    assert "strength of the new concrete and stiffness of the ground" in words
    assert told.ruling == "over it, unbonded"
    assert any("truck wheel" in text for text in told.provided)


def test_a_post_is_also_held_against_punching() -> None:
    """Plain punching, phi 0.55 * 8/3 * sqrt(fc) * 4 (c + h) * h, beside 1.6 times the load."""
    post = LoadOnTop("rack post", "post", 2000 * LBF_N, 16 * INCH_M**2)
    _, check = judged(post, system="unbonded").loads
    strength_lb = 0.55 * 8 / 3 * sqrt(4000) * 4 * (4 + 3) * 3
    assert check.allowed / LBF_N == pytest.approx(strength_lb, rel=1e-6)
    assert check.found / LBF_N == pytest.approx(3200)
    assert check.passes


def test_an_axle_is_a_wheel_at_either_end() -> None:
    axle = LoadOnTop("truck axle", "axle", 2 * WHEEL.load_n, WHEEL.contact_m2)
    (one,), (other,) = judged(axle, system="unbonded").loads, judged(system="unbonded").loads
    assert one.allowed == pytest.approx(other.allowed)


def test_the_condition_factor_follows_what_is_known_of_the_cracks() -> None:
    floor = slab(breaks=(CRACK,))
    still = found(cracks=(CrackFinding("crack K", STILL, "no"),))
    unproven = found(cracks=(CrackFinding("crack K", STILL[:1], "no"),))
    assert condition_factor(all_seen(slab(), found(cracks=())), PRACTICE) == 1.0
    assert condition_factor(all_seen(floor, still), PRACTICE) == 0.75
    assert condition_factor(all_seen(floor, unproven), PRACTICE) == 0.35


def test_every_number_can_be_opened_and_computed_again() -> None:
    for working in judged(system="unbonded").workings:
        assert working.recompute() == working.result.value
