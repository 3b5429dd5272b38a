"""The words of the proposal are read as written; nothing is filled in; days of use by hand."""

from __future__ import annotations

from dataclasses import astuple
from decimal import Decimal
from math import exp

import pytest
from small_job import JOB, RATES, PutDown

from overslab.ground.faults import Faulty
from overslab.job import read_job, sample_folder
from overslab.price.promises import LegalTexts, ProposalTexts
from overslab.price.useafter import use_after

PROPOSAL = '''
[proposal]
firm = "Invented Flatwork"
date = 2026-04-27
valid_until = 2026-05-27
problem = """
It sank.

It is wet. # not a comment"""
scope = ["Sweep", "Pour"]
air = "50 F"
walk_days = 2

[proposal.law]
cancellation = "  As the law has it.  "
'''
MONEY = """
[[option]]
name = "Sealer"
says = "One coat"
price = "$460.10"

[[unit_rate]]
what = "Waiting"
price = "240"
per = "hour"

[payment]
terms = "Half and half."
deposit = "An invented sum."
"""


def test_words_are_read_as_written(put_down: PutDown) -> None:
    folder = put_down({"job.toml": JOB + PROPOSAL, "rates.toml": RATES + MONEY})
    texts = read_job(folder).proposal
    assert texts.firm == "Invented Flatwork"
    assert (texts.date, texts.valid_until) == ("2026-04-27", "2026-05-27")
    assert texts.problem == "It sank.\n\nIt is wet. # not a comment"
    assert texts.scope == ("Sweep", "Pour")
    assert texts.air_c == pytest.approx(10.0)  # 50 F
    assert texts.law.cancellation == "As the law has it."
    assert texts.law.deposit == "An invented sum."
    (option,), (rate,) = texts.options, texts.unit_rates
    assert (option.name, option.price) == ("Sealer", Decimal("460.10"))
    assert (rate.what, rate.price, rate.per) == ("Waiting", Decimal("240"), "hour")
    assert {one.key for one in texts.not_given if one.law} == {"licence", "insurance", "warranty"}


def test_nothing_is_filled_in(put_down: PutDown) -> None:
    texts = read_job(put_down()).proposal
    assert texts == ProposalTexts()
    assert set(astuple(texts.law)) == {""}
    assert "deposit" in {one.key for one in texts.not_given}


@pytest.mark.parametrize(
    ("old", "new", "code"),
    [
        ("valid_until = 2026-05-27", "valid_until = 2026-04-26", "proposal-ends-early"),
        ('air = "50 F"', "air = 50", "key-wrong"),
        ("walk_days = 2", "walk_days = -1", "key-wrong"),
        ('firm = "Invented Flatwork"', 'price = "$5"', "key-unknown"),
        ("[proposal.law]", "[proposal.law]\ndeposit = 'money'", "key-unknown"),
    ],
)
def test_wrong_words_are_told(put_down: PutDown, old: str, new: str, code: str) -> None:
    """Money stands in rates.toml alone: a price or a deposit in job.toml is not known there."""
    assert old in PROPOSAL
    with pytest.raises(Faulty) as trouble:
        read_job(put_down({"job.toml": JOB + PROPOSAL.replace(old, new)}))
    assert [fault.code for fault in trouble.value.faults] == [code]


def test_an_option_needs_its_price(put_down: PutDown) -> None:
    with pytest.raises(Faulty) as trouble:
        read_job(put_down({"rates.toml": RATES + MONEY.replace('"$460.10"', '"-5"')}))
    assert len(trouble.value.faults) == 1


def test_the_samples_hold_no_text_of_the_law() -> None:
    """Words of ours must not stand where the law's belong, not even invented ones."""
    for name in ("farm-shop", "thin-patio", "cannot-all"):
        assert read_job(sample_folder(name)).proposal.law == LegalTexts()
    assert "invented" in read_job(sample_folder("farm-shop")).proposal.firm


# Days of use. General guides: foot 24 h, cars 7 days, heavy vehicles 28; cure 7 days (UFGS 03301A,
# p. 42), 21 days where salt comes (UFGS 03300N, p. 45); compound bears no foot for 72 h (UFGS
# 03301A, p. 43).
@pytest.mark.parametrize(
    ("compound", "salt", "days"),
    [
        (False, False, {"walk": 1, "cure": 7, "park": 7, "load": 28}),
        (True, False, {"walk": 3, "cure": 7, "park": 7, "load": 28}),
        (True, True, {"walk": 3, "cure": 21, "park": 7, "load": 28}),
    ],
)
def test_days_of_the_guides(compound: bool, salt: bool, days: dict[str, int]) -> None:
    found = use_after(ProposalTexts(), pour_date=None, compound=compound, salt=salt)
    assert {one.use: one.days for one in found.dates} == days
    assert {one.date for one in found.dates} == {""}
    assert found.cold_share is None


def test_dates_by_the_calendar() -> None:
    found = use_after(ProposalTexts(), pour_date="2028-02-22", compound=False, salt=False)
    dates = {one.use: one.date for one in found.dates}
    # 2028 is a leap year: seven days after 22 February is the 29th, 28 days is 21 March.
    assert dates == {
        "walk": "2028-02-23", "cure": "2028-02-29", "park": "2028-02-29", "load": "2028-03-21"
    }  # fmt: skip
    assert [one.days for one in found.dates] == sorted(one.days for one in found.dates)


def test_cold_stretches_and_warmth_does_not_shorten() -> None:
    cold = use_after(ProposalTexts(air_c=10.0), pour_date=None, compound=False, salt=False)
    # By hand: exp(-5000 (1/283.15 - 1/293.15)) = exp(-0.60238) = 0.5475; 1, 7 and 28 days over it
    # are 1.83, 12.79 and 51.14.
    assert cold.cold_share == pytest.approx(exp(-0.60238), rel=1e-4)
    assert {one.use: one.days for one in cold.dates} == {
        "walk": 2, "cure": 13, "park": 13, "load": 52
    }  # fmt: skip
    warm = use_after(ProposalTexts(air_c=32.0), pour_date=None, compound=False, salt=False)
    plain = use_after(ProposalTexts(), pour_date=None, compound=False, salt=False)
    assert warm.dates == plain.dates


def test_the_owners_own_days_win() -> None:
    texts = ProposalTexts(walk_days=2, park_days=10, load_days=30, cure_days=14, air_c=10.0)
    found = use_after(texts, pour_date=None, compound=True, salt=True)
    assert {one.use: one.days for one in found.dates} == {
        "walk": 2, "park": 10, "cure": 14, "load": 30
    }  # fmt: skip
    assert all(one.owners for one in found.dates)


def test_strength_by_then() -> None:
    found = use_after(ProposalTexts(), pour_date=None, compound=False, salt=False)
    # ACI 209, moist, Type I: 7 / (4 + 0.85 * 7) = 0.7035.
    (park,) = [one for one in found.dates if one.use == "park"]
    assert park.strength == pytest.approx(7 / 9.95)
