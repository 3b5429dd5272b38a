"""The keys of ``job.toml`` and ``rates.toml`` for the proposal: the owner's words, as written.

Nothing is filled in for the owner. What the law asks for stands in [proposal.law] and is his alone.
"""

from __future__ import annotations

from typing import Annotated, Any

from pydantic import Field, PlainValidator, StringConstraints
from pydantic_core import PydanticCustomError

from overslab.ground import units
from overslab.ground.faults import Faulty
from overslab.job.sections import Section
from overslab.job.typed import Day, Money, Typed, Words, as_error

MOST_WORDS = 2000  # characters of one text; two empty lines part paragraphs


def _temperature(value: Any) -> Typed:
    if not isinstance(value, str):
        raise PydanticCustomError("string_type", "text in quotes is wanted, not a bare value")
    try:
        return Typed(value.strip(), units.read_temperature_c(value.strip()))
    except Faulty as trouble:
        raise as_error(trouble.faults[0]) from None


Wording = Annotated[
    str, StringConstraints(strict=True, strip_whitespace=True, max_length=MOST_WORDS)
]
Item = Annotated[
    str, StringConstraints(strict=True, strip_whitespace=True, min_length=1, max_length=500)
]
Items = Annotated[list[Item], Field(max_length=60)]
Days = Annotated[int, Field(strict=True, ge=0, le=365)]
Temperature = Annotated[Typed, PlainValidator(_temperature, json_schema_input_type=str)]


def _words(description: str) -> Any:
    return Field(default="", description=description)


def _items(description: str) -> Any:
    return Field(default=[], description=f"{description} One item a line; left out: not printed.")


class LawFacts(Section):
    """[proposal.law]: what the law where you work asks for or bounds; your text, never ours.

    Ask your local authority or a lawyer what must stand here.
    """

    cancellation: Wording = _words("The customer's right to cancel, as your law words it.")
    licence: Wording = _words("Your licence or registration, as your law wants it shown.")
    insurance: Wording = _words("Your insurance, as you may state it.")
    warranty: Wording = _words("What you warrant, for how long, in your own text.")
    other: Wording = _words("Anything else the law wants on a proposal.")


class ProposalFacts(Section):
    """[proposal]: its words, printed as written; what is left out is not printed."""

    firm: Wording = _words("The name of your firm.")
    contact: Wording = _words("How you are reached: address, telephone.")
    customer: Wording = _words("Who the proposal is for.")
    customer_place: Wording = _words("Where they are reached.")
    date: Day | None = Field(
        default=None, description="Day of the proposal, year-month-day: 2026-05-04."
    )
    valid_until: Day | None = Field(
        default=None, description="Until when the price holds, year-month-day: 2026-06-03."
    )
    problem: Wording = _words("What is wrong today, as you would tell it.")
    scope: Items = _items("What you will do, in order.")
    not_in_scope: Items = _items("What is not included.")
    may_change: Items = _items("What may change the price, without amounts.")
    cracks: Wording = _words("Which cracks are normal.")
    puddles: Wording = _words("Which puddles are normal.")
    local_rule: Wording = _words("The local rule or code you hold to, by its name.")
    schedule: Wording = _words("When you come, how long it takes.")
    weather: Wording = _words("What happens when the weather is wrong.")
    care: Items = _items("How to care for the floor.")
    agreement: Wording = _words("What stands above the signatures.")
    walk_days: Days | None = Field(
        default=None,
        description="Days after the pour until it is walked on: 2. Left out: the handbook's.",
    )
    park_days: Days | None = Field(
        default=None, description="Days until a car stands on it: 7. Left out: the handbook's."
    )
    load_days: Days | None = Field(
        default=None, description="Days until full load: 28. Left out: the handbook's."
    )
    cure_days: Days | None = Field(
        default=None, description="Days until the cure may end: 7. Left out: the handbook's."
    )
    air: Temperature | None = Field(
        default=None,
        description='Mean temperature expected after the pour: "55 F". Cold days count for less.',
    )
    law: LawFacts = Field(
        default=LawFacts(), description="What the law asks for; your text, never ours."
    )


class OptionRates(Section):
    """[[option]]: something the customer may add, at your sale price."""

    name: Words = Field(description='What it is called: "Sealer".')
    says: Wording = _words("What the customer gets, in your words.")
    price: Money = Field(description='What the customer pays for it, money: "$380".')


class UnitRates(Section):
    """[[unit_rate]]: what more of something is charged at; shown to the customer."""

    what: Words = Field(description='What is charged: "Patching beyond the drawing".')
    price: Money = Field(description='What the customer pays for one, money: "$14".')
    per: Words = Field(description='One what, in words: "square foot", "hour of the crew".')


class PaymentTerms(Section):
    """[payment]: how you are paid, in your own words."""

    terms: Wording = _words("When and how the price is paid.")
    deposit: Wording = _words(
        "What is paid before the work. Many laws bound it: ask your local authority."
    )
