"""Money: margin and markup, tax inside a price, hours learnt from closed jobs, trucks that wait.

Margin and markup are the two ways to say the same profit, and they are mixed up more often than any
other two numbers of a bid: 25 % on the cost is 20 % of the price.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

from overslab.handbook.ranges import hold, within
from overslab.handbook.working import formula

_DEFINITION = "definition; worked by hand"
_CONVERTING = "the two definitions set equal: C (1 + u) = C / (1 - m)"


@formula(
    equation="P = C / (1 - m)",
    symbols={"cost": "C", "margin_share": "m"},
    result=("price", "P"),
    source=_DEFINITION,
    known="derived",
    valid="the margin is a share of the PRICE before tax, at least 0 and below 1",
    # 2,000 of 10,000 is a fifth.
    example={"cost": 8000.0, "margin_share": 0.20},
    example_result=10000.0,
)
def price_by_margin(*, cost: float, margin_share: float) -> float:
    """Price before tax that leaves a margin: profit as a share of the price."""
    hold(within("margin_share", margin_share, least=0, below=1), source=_DEFINITION)
    return cost / (1 - margin_share)


@formula(
    equation="P = C (1 + u)",
    symbols={"cost": "C", "markup_share": "u"},
    result=("price", "P"),
    source=_DEFINITION,
    known="derived",
    valid="the markup is a share of the COST, at least 0",
    # 8,000 and a fifth of it: 400 less than at a margin of a fifth.
    example={"cost": 8000.0, "markup_share": 0.20},
    example_result=9600.0,
)
def price_by_markup(*, cost: float, markup_share: float) -> float:
    """Price before tax at a markup: profit as a share of the cost."""
    hold(within("markup_share", markup_share, least=0), source=_DEFINITION)
    return cost * (1 + markup_share)


@formula(
    equation="u = m / (1 - m)",
    symbols={"margin_share": "m"},
    result=("markup_share", "u"),
    source=_CONVERTING,
    known="derived",
    valid="margin at least 0 and below 1",
    # A fifth of the price is a quarter of the cost.
    example={"margin_share": 0.20},
    example_result=0.25,
)
def markup_of_margin(*, margin_share: float) -> float:
    """The markup that leaves the same profit as a margin."""
    hold(within("margin_share", margin_share, least=0, below=1), source=_CONVERTING)
    return margin_share / (1 - margin_share)


@formula(
    equation="m = u / (1 + u)",
    symbols={"markup_share": "u"},
    result=("margin_share", "m"),
    source=_CONVERTING,
    known="derived",
    valid="markup at least 0",
    # Half on top of the cost is a third of the price.
    example={"markup_share": 0.50},
    example_result=0.3333,
)
def margin_of_markup(*, markup_share: float) -> float:
    """The margin that leaves the same profit as a markup."""
    hold(within("markup_share", markup_share, least=0), source=_CONVERTING)
    return markup_share / (1 + markup_share)


@formula(
    equation="T = P t / (1 + t)",
    symbols={"price": "P", "tax_share": "t"},
    result=("tax_price", "T"),
    source=_DEFINITION,
    known="derived",
    valid="the whole price is taxed and the tax is in it",
    # 1,000 and 8 % on it are 1,080.
    example={"price": 1080.0, "tax_share": 0.08},
    example_result=80.0,
)
def tax_inside(*, price: float, tax_share: float) -> float:
    """Tax that lies in a price with tax."""
    hold(within("tax_share", tax_share, least=0), source=_DEFINITION)
    return price * tax_share / (1 + tax_share)


@formula(
    equation="r = H / Q",
    symbols={"total_hours": "H", "total_quantity": "Q"},
    result=("hours_for_one", "r"),
    source="ratio of totals, the ratio estimator of W. Cochran, Sampling Techniques, chapter 6",
    known="memory",
    valid="totals over the same closed jobs; a large job so counts for more than a small one",
    # Jobs of 100 and 300 units in 10 and 26 hours.
    example={"total_hours": 36.0, "total_quantity": 400.0},
    example_result=0.09,
)
def learnt_rate(*, total_hours: float, total_quantity: float) -> float:
    """Hours for one unit, from jobs that are done."""
    hold(within("total_quantity", total_quantity, above=0), source="ratio of totals")
    return total_hours / total_quantity


@formula(
    equation="d = s sqrt(1 + 1/n), s the sample deviation of ln(x)",
    symbols={"hours_for_one": "x"},
    result=("next_job_share", "d"),
    source="spread of one more observation beside the mean of n, as in the prediction interval of"
    " one future value (NIST/SEMATECH e-Handbook; ISO 16269-8), on the logs of the rates",
    known="memory",
    valid="two closed jobs or more; n is their number, all counted alike; with few jobs the spread"
    " itself is poorly known",
    # ln of 1, e^0.1 and e^0.2: s is 0.1, times the root of 4/3.
    example={"hours_for_one": (1.0, 1.1051709, 1.2214028)},
    example_result=0.1155,
)
def next_job_share(*, hours_for_one: Sequence[float]) -> float:
    """How far the next job may differ from the rate, two times out of three, as a share."""
    count = len(hours_for_one)
    hold(within("hours_for_one", float(count), least=2), source="a spread needs two jobs")
    logs = [math.log(one) for one in hours_for_one]
    mean = math.fsum(logs) / count
    variance = math.fsum((one - mean) ** 2 for one in logs) / (count - 1)
    return math.sqrt(variance * (1 + 1 / count))


@formula(
    equation="w = sum of max(0, leaves - arrives - free), leaves = max(arrives, last leaves) + t",
    symbols={"arrive_minutes": "arrives", "unload_minutes": "t", "free_minutes": "free"},
    result=("waiting_minutes", "w"),
    source="one crew, one truck at a time: the recursion of D. V. Lindley (1952) for one queue",
    known="memory",
    valid="trucks come on the minute and are emptied one after the other at the crew's own pace",
    # Every 30 min, 45 min to empty, 40 free: they stand 45, 60 and 75 min, by hand.
    example={
        "arrive_minutes": (0.0, 30.0, 60.0),
        "unload_minutes": (45.0, 45.0, 45.0),
        "free_minutes": (40.0, 40.0, 40.0),
    },
    example_result=60.0,
)
def waiting_minutes(
    *,
    arrive_minutes: Sequence[float],
    unload_minutes: Sequence[float],
    free_minutes: Sequence[float],
) -> float:
    """Minutes that trucks stand on site beyond their free time."""
    leaves = -math.inf
    waited = 0.0
    for arrives, unload, free in zip(arrive_minutes, unload_minutes, free_minutes, strict=True):
        leaves = max(arrives, leaves) + unload
        waited += max(0.0, leaves - arrives - free)
    return waited
