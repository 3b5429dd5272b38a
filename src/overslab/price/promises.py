"""What the owner says on a proposal, in his own words; every amount in it is a sale price.

Nothing here is ever made up for him: a text that is not given is not printed. Texts that law
governs (deposit, right to cancel, licence, insurance, warranty) are his alone.
"""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal


@dataclass(frozen=True, slots=True)
class OptionOffered:
    """Something the customer may add, at a price."""

    name: str
    says: str
    price: Decimal


@dataclass(frozen=True, slots=True)
class UnitRate:
    """What more of something would be charged at: so much ``per`` so much."""

    what: str
    price: Decimal
    per: str


@dataclass(frozen=True, slots=True)
class LegalTexts:
    """Texts that local law asks for or bounds; printed as written, or not at all."""

    deposit: str = ""
    cancellation: str = ""
    licence: str = ""
    insurance: str = ""
    warranty: str = ""
    other: str = ""


@dataclass(frozen=True, slots=True)
class ProposalTexts:
    """The words of the proposal. Days are ISO dates; an empty text says nothing."""

    firm: str = ""
    contact: str = ""  # how the firm is reached
    customer: str = ""
    customer_place: str = ""
    date: str = ""
    valid_until: str = ""
    problem: str = ""
    scope: tuple[str, ...] = ()
    not_in_scope: tuple[str, ...] = ()
    may_change: tuple[str, ...] = ()
    cracks: str = ""
    puddles: str = ""
    local_rule: str = ""  # the rule or code the owner names
    schedule: str = ""
    weather: str = ""
    care: tuple[str, ...] = ()
    payment: str = ""
    agreement: str = ""  # what stands above the signatures
    walk_days: int | None = None  # the owner's own days of use; None: the handbook's
    park_days: int | None = None
    load_days: int | None = None
    cure_days: int | None = None
    air_c: float | None = None  # mean of the days after the pour
    options: tuple[OptionOffered, ...] = ()
    unit_rates: tuple[UnitRate, ...] = ()
    law: LegalTexts = LegalTexts()

    @property
    def not_given(self) -> tuple[NotGiven, ...]:
        """Texts that a good proposal has and this one has not; those of the law last."""
        return tuple(
            one
            for one in _WANTED
            if not (getattr(self.law, one.key) if one.law else getattr(self, one.key))
        )


@dataclass(frozen=True, slots=True)
class NotGiven:
    """A text the owner has not written. ``law``: only he, and who advises him, can say it."""

    key: str
    what: str
    law: bool
    place: str  # file and section where it is written


_JOB, _RATES, _LAW = "[proposal] in job.toml", "rates.toml", "[proposal.law] in job.toml"
_WANTED = (
    NotGiven("firm", "the name of your firm", False, _JOB),
    NotGiven("contact", "how your firm is reached", False, _JOB),
    NotGiven("customer", "who the proposal is for", False, _JOB),
    NotGiven("date", "the day of the proposal", False, _JOB),
    NotGiven("valid_until", "until when the price holds", False, _JOB),
    NotGiven("problem", "what is wrong today, in your words", False, _JOB),
    NotGiven("scope", "what you will do", False, _JOB),
    NotGiven("not_in_scope", "what is not included", False, _JOB),
    NotGiven("may_change", "what may change the price", False, _JOB),
    NotGiven("unit_rates", "unit rates for what may change", False, f"[[unit_rate]] in {_RATES}"),
    NotGiven("cracks", "which cracks are normal", False, _JOB),
    NotGiven("puddles", "which puddles are normal", False, _JOB),
    NotGiven("local_rule", "the local rule you hold to", False, _JOB),
    NotGiven("schedule", "the schedule", False, _JOB),
    NotGiven("weather", "what happens when the weather is wrong", False, _JOB),
    NotGiven("care", "how to care for the floor", False, _JOB),
    NotGiven("payment", "how you are paid", False, f"[payment] in {_RATES}"),
    NotGiven("agreement", "what stands above the signatures", False, _JOB),
    NotGiven("deposit", "deposit", True, f"[payment] in {_RATES}"),
    NotGiven("cancellation", "the customer's right to cancel", True, _LAW),
    NotGiven("licence", "licence or registration", True, _LAW),
    NotGiven("insurance", "insurance", True, _LAW),
    NotGiven("warranty", "warranty", True, _LAW),
)
