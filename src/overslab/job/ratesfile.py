"""The keys of ``rates.toml``, one model a section; the reference page is made from these models.

Money is text, "$165" or "165.00"; the unit it is paid for stands in the name of the key, never in
the text. A volume is text with its unit: "10 yd3", "7.5 m3".
"""

from __future__ import annotations

from typing import Annotated

from pydantic import Field

from overslab.job.pricekeys import (
    Charge,
    CrewRates,
    MaterialPrice,
    MoneyTerms,
    PlantTerms,
    TradeWork,
    WorkHours,
)
from overslab.job.proposalkeys import OptionRates, PaymentTerms, UnitRates
from overslab.job.sections import Section
from overslab.job.typed import Day, Money, Share, Volume, Words


class ConcreteRates(Section):
    """[concrete]: what concrete costs, delivered."""

    price_per_yd3: Money | None = Field(
        default=None, description='Price of one cubic yard, money: "$165". Or price_per_m3.'
    )
    price_per_m3: Money | None = Field(
        default=None, description='Price of one cubic metre, money: "140.00". Or price_per_yd3.'
    )


class TruckRates(Section):
    """[truck]: how concrete comes."""

    full_load: Volume = Field(description='A full truck, a volume: "10 yd3".')
    least_load: Volume = Field(
        description='Below this a short-load charge falls due, a volume: "4 yd3".'
    )
    short_load_charge: Money = Field(description='The charge for one short load, money: "$150".')
    order_step: Volume = Field(description='The plant sells in steps of this, a volume: "0.5 yd3".')
    minutes_between: Annotated[int, Field(strict=True, ge=1, le=480)] = Field(
        default=30, description="Minutes between trucks that you ask for: 30."
    )


class RiskRates(Section):
    """[risk]: what it costs to run short, and to have too much."""

    running_short: Money = Field(
        description=(
            "What running short once costs you beyond the concrete itself: the extra truck, the "
            'wait, the joint to make good, money: "$700".'
        )
    )
    leftover_per_yd3: Money | None = Field(
        default=None,
        description=(
            "What it costs to get rid of one cubic yard left over, beyond its price, money: "
            '"$40". Or leftover_per_m3.'
        ),
    )
    leftover_per_m3: Money | None = Field(
        default=None,
        description="The same for one cubic metre. Or leftover_per_yd3.",
    )


class LossRates(Section):
    """[losses]: what is spilt, pumped and soaked up; from your own past jobs if you kept them."""

    usual: Share = Field(description='Usual loss as a share of the volume: "4%".')
    give_or_take: Share = Field(
        description='How far a job differs from that, two times out of three, a share: "2%".'
    )


class RatesFile(Section):
    """The whole of ``rates.toml``."""

    currency: Annotated[Words, Field(max_length=8)] = Field(
        description='Sign or letters of the money in this job: "$", "EUR".'
    )
    price_date: Day = Field(description="Day of these prices, year-month-day: 2026-04-01.")
    concrete: ConcreteRates = Field(description="What concrete costs.")
    truck: TruckRates = Field(description="How concrete comes.")
    risk: RiskRates = Field(description="What short and over cost.")
    losses: LossRates | None = Field(default=None, description="What gets lost on the way.")
    made_up: Annotated[bool, Field(strict=True)] = Field(
        default=False, description="true: these rates are invented, and every sheet says so."
    )
    crew: CrewRates | None = Field(
        default=None, description="Who works and what an hour costs; there is no price without it."
    )
    materials: list[MaterialPrice] = Field(
        alias="material", default=[], max_length=500, description="What materials cost."
    )
    work: list[WorkHours] = Field(
        default=[], max_length=500, description="How long each piece of work takes."
    )
    charges: list[Charge] = Field(
        alias="charge",
        default=[],
        max_length=500,
        description="What does not grow with the floor.",
    )
    trades: list[TradeWork] = Field(
        alias="trade",
        default=[],
        max_length=500,
        description="What other trades, and the crew, ask where the raised floor meets something.",
    )
    plant_terms: PlantTerms | None = Field(
        default=None, description="What the plant charges beside concrete and short loads."
    )
    money: MoneyTerms | None = Field(
        default=None,
        description="Overhead, profit, tax and rounding; there is no price without it.",
    )
    options: list[OptionRates] = Field(
        alias="option", default=[], max_length=60, description="What the customer may add."
    )
    unit_rates: list[UnitRates] = Field(
        alias="unit_rate", default=[], max_length=60, description="What more is charged at."
    )
    payment: PaymentTerms | None = Field(
        default=None, description="How you are paid, in your own words; shown to the customer."
    )
