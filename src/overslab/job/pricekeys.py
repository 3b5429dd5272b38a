"""The keys of ``rates.toml`` for the price: wages, materials, work, charges, profit and tax."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field

from overslab.job.sections import Section
from overslab.job.typed import Day, Money, Share, Size, Words
from overslab.touches.records import Trade

Hours = Annotated[float, Field(strict=True, gt=0, le=10_000)]
Minutes = Annotated[float, Field(strict=True, ge=0, le=600)]
Code = Annotated[str, Field(strict=True, pattern=r"^[a-z][a-z0-9-]{0,40}$")]


class CrewRates(Section):
    """[crew]: who works, and what an hour of one hand costs you."""

    wage: Money = Field(
        description="What one hour of one hand costs you, with all you pay on top of the wage, "
        'money: "$38".'
    )
    hands: Annotated[int, Field(strict=True, ge=1, le=100)] = Field(
        description="How many work on this job: 4."
    )
    hours_per_day: Annotated[float, Field(strict=True, gt=0, le=24)] = Field(
        description="Hours that one hand works in a day: 8."
    )


class MaterialPrice(Section):
    """[[material]]: what one order unit of a thing costs, delivered to the site."""

    code: Code = Field(description='The code of the takeoff\'s line: "wire-sheet".')
    price: Money = Field(description='Price of one unit, money: "$11.40".')
    unit: Words = Field(
        description='The unit it is sold in; the same as the takeoff orders it in: "sheet".'
    )
    size: Size | None = Field(
        default=None,
        description='Height of a strip or board that comes in several, a length: "4 in". Left '
        "out: this price for every size that has none of its own.",
    )


class ClosedWork(Section):
    """[[work.closed]]: what this work took on a job that is done."""

    date: Day = Field(description="Day of that job, year-month-day: 2025-09-12.")
    quantity: Words = Field(
        description='How much was done, with its unit: "640 ft2", "120 ft", "11 yd3"; a bare '
        'number for pieces: "14".'
    )
    hours: Hours = Field(description="Hours of all hands together: 21.5.")


class WorkHours(Section):
    """[[work]]: hours of one hand for a piece of work; two hands for an hour are two hours.

    Exactly one of the keys that begin with ``hours`` says it. Where closed jobs are given they
    take the place of this word of yours, which is then shown beside them.
    """

    code: Code = Field(description='The code of the takeoff\'s line of work: "finish".')
    what: Annotated[str, Field(strict=True, max_length=200)] = Field(
        default="", description='The work in your own words: "float and trowel".'
    )
    hours_per_100_ft2: Hours | None = Field(
        default=None, description="Hours of one hand for 100 square feet: 1.5."
    )
    hours_per_100_ft: Hours | None = Field(
        default=None, description="Hours of one hand for 100 feet of length: 1.2."
    )
    hours_per_yd3: Hours | None = Field(
        default=None, description="Hours of one hand for one cubic yard: 0.6."
    )
    hours_per_100_lb: Hours | None = Field(
        default=None, description="Hours of one hand for 100 pounds: 0.8."
    )
    hours_per_m2: Hours | None = Field(
        default=None, description="Hours of one hand for one square metre: 0.16."
    )
    hours_per_m: Hours | None = Field(
        default=None, description="Hours of one hand for one metre of length: 0.04."
    )
    hours_per_m3: Hours | None = Field(
        default=None, description="Hours of one hand for one cubic metre: 0.8."
    )
    hours_per_kg: Hours | None = Field(
        default=None, description="Hours of one hand for one kilogram: 0.02."
    )
    hours_each: Hours | None = Field(
        default=None, description="Hours of one hand for one piece: 0.25."
    )
    give_or_take: Share = Field(
        description='How far a job differs from that, two times out of three, a share: "20%".'
    )
    closed: list[ClosedWork] = Field(
        default=[], max_length=500, description="What this work took on jobs that are done."
    )


class Charge(Section):
    """[[charge]]: what does not grow with the floor: a pump, a machine by the day, a permit."""

    code: Code = Field(description='A code of your own: "trowel-machine".')
    what: Words = Field(description='What it is, as it stands on the bid: "trowel machine".')
    group: Literal["material", "labour", "equipment", "haul", "trade", "other"] = Field(
        description='Where it stands in the bid: "material", "labour", "equipment", "haul", '
        '"trade" or "other".'
    )
    price: Money = Field(description='What it costs each time, money: "$95".')
    per: Literal["job", "day", "hour", "load", "pour"] = Field(
        description='How often: once a "job", each "day" or "hour" of the crew, each "load" of '
        'concrete, each "pour".'
    )
    only_for: Literal["any", "overlay", "tear-out", "lift", "grind-patch"] = Field(
        default="any",
        description='Which way of dealing with the old slab needs it: "any" (left out, it is '
        'this), "overlay", "tear-out", "lift" or "grind-patch".',
    )


class TradeWork(Section):
    """[[trade]]: what a trade asks for all its work at one thing that the floor meets."""

    code: Code = Field(description='A code of your own: "heater-reset".')
    trade: Trade = Field(
        description='Whose work it is, as on the sheet of touches: "heating fitter".'
    )
    about: Words = Field(description='The name of what is touched: "water heater".')
    price: Money = Field(
        description='What that trade asks for everything the sheet gives it to do there: "$380".'
    )


class PlantTerms(Section):
    """[plant_terms]: what the plant charges beside concrete and short loads; left out: nothing."""

    waiting_free_minutes: Minutes | None = Field(
        default=None, description="Minutes a truck may stand on site for nothing: 45."
    )
    waiting_free_minutes_per_yd3: Minutes | None = Field(
        default=None, description="The same by each cubic yard it carries: 6. One of the two."
    )
    waiting_free_minutes_per_m3: Minutes | None = Field(
        default=None, description="The same by each cubic metre it carries: 8. One of the three."
    )
    waiting_per_minute: Money | None = Field(
        default=None, description='Price of each minute after that, money: "$2.50".'
    )
    least_order: Money | None = Field(
        default=None, description='The least that one order comes to, money: "$600".'
    )
    saturday_per_yd3: Money | None = Field(
        default=None, description='Added to one cubic yard on a Saturday, money: "$12".'
    )
    saturday_per_m3: Money | None = Field(
        default=None, description="The same for one cubic metre. One of the two."
    )
    hot_water_per_yd3: Money | None = Field(
        default=None, description='Added to one cubic yard for hot water, money: "$6".'
    )
    hot_water_per_m3: Money | None = Field(
        default=None, description="The same for one cubic metre. One of the two."
    )
    washout_per_load: Money | None = Field(
        default=None, description='For washing out on or off site, by the load, money: "$25".'
    )
    fuel_per_load: Money | None = Field(
        default=None, description='Added for fuel, by the load, money: "$18".'
    )
    saturday: Annotated[bool, Field(strict=True)] = Field(
        default=False, description="Is the pour on a Saturday? true or false."
    )
    hot_water: Annotated[bool, Field(strict=True)] = Field(
        default=False, description="Is hot water ordered? true or false."
    )


class MoneyTerms(Section):
    """[money]: from what it costs to what you ask."""

    overhead: Share = Field(
        description='What running the firm costs, as a share of the direct cost of its jobs: "12%".'
    )
    margin: Share | None = Field(
        default=None,
        description='Profit as a share of the PRICE before tax: "15%". Or markup; never both.',
    )
    markup: Share | None = Field(
        default=None,
        description='Profit as a share of the COST: "17.6%". Or margin; never both.',
    )
    tax: Share = Field(description='Tax on what is taxed, a share: "0%" where there is none.')
    taxed: Literal["all", "materials", "none"] = Field(
        description='What the tax falls on: "all" of the price, "materials" (concrete and '
        'materials at what you paid for them) or "none". Ask who keeps your books.'
    )
    round_to: Money = Field(
        description='The price you ask is rounded up to whole steps of this, money: "$10"; '
        '"$0.01" leaves it as it is.'
    )
