"""What the room of the price takes and gives. Money is Decimal in the job's currency."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal
from typing import Literal

from overslab.ground.notes import Assumption, Remark
from overslab.handbook.working import Working

Group = Literal["concrete", "material", "labour", "equipment", "haul", "trade", "other"]


@dataclass(frozen=True, slots=True)
class MaterialRate:
    """What one order unit of a takeoff item costs."""

    code: str
    price: Decimal
    unit: str  # as sold; must be the item's order unit
    size_m: float | None = None  # height of a strip or board; None: this price for any size


@dataclass(frozen=True, slots=True)
class ClosedJob:
    """What one closed job took; ``quantity`` is in the SI unit of the rate it belongs to."""

    date: str
    quantity: float
    hours: float  # of one hand


@dataclass(frozen=True, slots=True)
class WorkRate:
    """Hours of one hand for one unit of what a takeoff item measures; times the wage, its cost.

    ``hours_per`` is by one m2, m, m3, kg or piece; ``deviation`` is how far a job differs from it,
    two times out of three, as a share.
    """

    code: str
    what: str
    hours_per: float
    quantity: str
    deviation: float = 0.0
    jobs: int = 0  # closed jobs of the crew it was learnt from; 0: the owner's own word
    closed: tuple[ClosedJob, ...] = ()  # those jobs
    own_hours_per: float | None = None  # the owner's word, where closed jobs have replaced it


@dataclass(frozen=True, slots=True)
class FlatRate:
    """A charge that does not grow with the floor, or by the day, the hour or the mile."""

    code: str
    what: str
    group: Group
    price: Decimal
    per: Literal["job", "day", "hour", "load", "pour"]
    only_for: Literal["any", "overlay", "tear-out", "lift", "grind-patch"] = "any"


@dataclass(frozen=True, slots=True)
class TradePrice:
    """What one trade asks for its work at one thing that the floor meets."""

    code: str
    trade: str
    about: str  # name of what is touched
    price: Decimal


@dataclass(frozen=True, slots=True)
class PlantRules:
    """Charges of the plant beyond concrete and short load; None: the plant has no such charge."""

    waiting_free_minutes: float | None = None  # a truck's free time on site, by the truck
    waiting_free_minutes_per_m3: float | None = None  # or by what it carries
    waiting_per_minute: Decimal | None = None
    least_order: Decimal | None = None
    saturday_per_m3: Decimal | None = None
    hot_water_per_m3: Decimal | None = None
    washout_per_load: Decimal | None = None
    fuel_per_load: Decimal | None = None
    saturday: bool = False  # the pour is planned for one
    hot_water: bool = False


@dataclass(frozen=True, slots=True)
class Rates:
    """The owner's own rates, dated. Exactly one of margin and markup was written down."""

    currency: str
    date: str
    made_up: bool
    wage_per_hour: Decimal  # one hand, with everything the owner pays on top
    hands: int
    hours_per_day: float
    materials: tuple[MaterialRate, ...] = ()
    work: tuple[WorkRate, ...] = ()
    flat: tuple[FlatRate, ...] = ()
    trades: tuple[TradePrice, ...] = ()
    plant: PlantRules = PlantRules()
    overhead: Decimal = Decimal(0)  # share of direct cost
    margin: Decimal | None = None  # profit as a share of the price before tax
    markup: Decimal | None = None  # profit as a share of the cost
    tax: Decimal = Decimal(0)  # share of what is taxed
    taxed: Literal["all", "materials", "none"] = "none"
    round_to: Decimal = Decimal("0.01")  # the price asked is rounded up to this, in one place


@dataclass(frozen=True, slots=True)
class BidLine:
    """One line; ``amount`` is ``number`` times ``each``, to the cent."""

    code: str
    what: str
    group: Group
    number: Decimal
    unit: str  # "sheet", "hour", "yd3", "load"
    each: Decimal
    amount: Decimal
    why: str


@dataclass(frozen=True, slots=True)
class Outcome:
    """What the job may leave, over the doubt of volume, losses and hours."""

    expected_profit: Decimal
    deviation: Decimal
    chance_of_loss: float
    profits: tuple[float, ...]  # sorted tries
    why: str


@dataclass(frozen=True, slots=True)
class WishPrice:
    """What one wish adds to the price asked."""

    wish: str
    says: str
    adds: Decimal
    step: float | None = None  # for the next step of the rule; None: for the whole wish
    step_unit: str = ""


@dataclass(frozen=True, slots=True)
class Measured:
    """One figure of a takeoff; ``quantity`` ends in its unit, such as ``volume_m3``."""

    name: str
    quantity: str
    value: float


@dataclass(frozen=True, slots=True)
class Alternative:
    """Another way to deal with the old slab, priced from the same rates with its own takeoff."""

    code: Literal["overlay", "tear-out", "lift", "grind-patch", "nothing"]
    title: str
    possible: bool
    price: Decimal | None  # None where it is not possible, or a rate for it is missing
    lines: tuple[BidLine, ...]
    days_out_of_use: float | None
    solves: tuple[str, ...]
    leaves: tuple[str, ...]  # what stays unsolved
    why: str
    missing: tuple[str, ...] = ()  # rates that would be needed
    measured: tuple[Measured, ...] = ()  # its own takeoff
    assumptions: tuple[Assumption, ...] = ()
    workings: tuple[Working, ...] = ()


@dataclass(frozen=True, slots=True)
class Bid:
    """What it costs, what we ask, against what else."""

    currency: str
    price_date: str
    made_up: bool
    lines: tuple[BidLine, ...]
    direct_cost: Decimal
    overhead: Decimal
    cost: Decimal  # direct and overhead
    profit: Decimal
    margin: Decimal  # profit as a share of the price before tax
    markup: Decimal  # profit as a share of the cost
    before_tax: Decimal
    tax: Decimal
    price: Decimal  # what we ask, rounded
    rounding: Decimal  # what the rounding added
    extra_concrete_price: Decimal | None  # unit price of one more cubic yard or metre, sold
    extra_concrete_unit: str
    outcome: Outcome | None
    wishes: tuple[WishPrice, ...] = ()
    alternatives: tuple[Alternative, ...] = ()
    missing: tuple[str, ...] = ()  # items of the takeoff without a rate: not in the price
    rates: Rates | None = None
    assumptions: tuple[Assumption, ...] = ()
    remarks: tuple[Remark, ...] = ()
    workings: tuple[Working, ...] = ()
