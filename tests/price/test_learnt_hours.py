"""What closed jobs teach, against the statistics module and by hand."""

from __future__ import annotations

import math
import statistics

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as some

from overslab.price import learn
from overslab.price.records import ClosedJob, WorkRate

OWN = WorkRate("finish", "finish", 0.15, "area_m2", 0.25)
JOBS = some.lists(some.tuples(some.floats(1, 1000), some.floats(0.1, 500)), min_size=2, max_size=12)


def closed(*pairs: tuple[float, float]) -> tuple[ClosedJob, ...]:
    return tuple(ClosedJob("2025-09-12", quantity, hours) for quantity, hours in pairs)


def test_without_closed_jobs_the_owners_word_stands() -> None:
    assert learn(OWN, ()) == OWN


def test_one_job_gives_its_hours_and_leaves_the_give_or_take() -> None:
    learnt = learn(OWN, closed((100.0, 20.0)))
    assert (learnt.hours_per, learnt.deviation, learnt.jobs) == (0.2, 0.25, 1)
    assert learnt.own_hours_per == 0.15


def test_totals_over_totals_by_hand() -> None:
    """100 in 10 h and 300 in 26 h: 36 h for 400, and not the mean of 0.100 and 0.0867."""
    assert learn(OWN, closed((100.0, 10.0), (300.0, 26.0))).hours_per == pytest.approx(0.09)


@given(JOBS)
def test_against_the_statistics_module(pairs: list[tuple[float, float]]) -> None:
    learnt = learn(OWN, closed(*pairs))
    logs = [math.log(hours / quantity) for quantity, hours in pairs]
    spread = statistics.stdev(logs) * math.sqrt(1 + 1 / len(logs))
    assert learnt.deviation == pytest.approx(spread, rel=1e-9, abs=1e-12)
    rates = [hours / quantity for quantity, hours in pairs]
    assert min(rates) * 0.999 <= learnt.hours_per <= max(rates) * 1.001
    assert learnt.jobs == len(pairs)


def test_the_spread_covers_the_next_job_two_times_out_of_three() -> None:
    """Crews drawn at random: ln of the next rate lies within d of the mean log as Student says."""
    from scipy.stats import t

    rng = np.random.default_rng(7)
    jobs, crews = 6, 4000
    logs = rng.normal(math.log(0.2), 0.3, size=(crews, jobs + 1))
    inside = 0
    for row in logs:
        learnt = learn(OWN, closed(*((1.0, math.exp(one)) for one in row[:jobs])))
        inside += abs(row[jobs] - row[:jobs].mean()) <= learnt.deviation
    wanted = 1 - 2 * t.sf(1.0, df=jobs - 1)
    assert inside / crews == pytest.approx(wanted, abs=4 * math.sqrt(0.25 / crews))
