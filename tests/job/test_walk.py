"""The walk asks the rooms in the order of work and stops where no top can be."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field
from types import SimpleNamespace
from typing import Any

import pytest
from small_job import RATES, PutDown

import overslab.newtop
import overslab.oldslab
import overslab.order
import overslab.price
import overslab.shots
import overslab.takeoff
import overslab.touches
from overslab.job import read_job, walk
from overslab.job.steps import STEPS

FOR_A_PRICE = """
[crew]
wage = "$40"
hands = 2
hours_per_day = 8.0

[money]
overhead = "10%"
margin = "20%"
tax = "0%"
taxed = "none"
round_to = "$1"
"""


@dataclass
class Rooms:
    """Rooms that only note that they were asked, and with what."""

    asked: list[tuple[str, tuple[Any, ...]]]
    gives: dict[str, Any]
    named: dict[str, dict[str, Any]] = field(default_factory=dict)

    def verb(self, name: str) -> Callable[..., Any]:
        def run(*given: Any, **named: Any) -> Any:
            self.asked.append((name, given))
            self.named[name] = named
            return self.gives.get(name, name)

        return run


@pytest.fixture
def rooms(monkeypatch: pytest.MonkeyPatch) -> Rooms:
    made = Rooms(
        asked=[],
        gives={
            "shots": SimpleNamespace(points=(SimpleNamespace(point="S1", height_m=30.0),)),
            "verdict": SimpleNamespace(system="unbonded", put_right=("fill it",)),
            "newtop": SimpleNamespace(chosen="plane"),
        },
    )
    for step in STEPS:
        monkeypatch.setattr(getattr(overslab, step.room), step.verb, made.verb(step.room))
    return made


def test_rooms_are_asked_in_the_order_of_work(rooms: Rooms, put_down: PutDown) -> None:
    heard: list[str] = []
    job = read_job(put_down({"rates.toml": RATES + FOR_A_PRICE}))
    walked = walk(job, tell=heard.append)
    assert [name for name, _ in rooms.asked] == [step.room for step in STEPS]
    assert heard == [f"{step.room}: {step.question}" for step in STEPS]
    given = dict(rooms.asked)
    assert given["oldslab"] == (job.plan, walked.shots)
    assert given["verdict"] == ("oldslab", job.findings, job.practice)
    (limit,) = rooms.named["verdict"]["limits"]
    assert limit.highest_m == pytest.approx(30.0 + 0.25 * 0.0254)
    assert given["newtop"][0] == "oldslab"
    assert given["newtop"][1].edges[0].highest_m == pytest.approx(30.0 + 0.25 * 0.0254)
    assert given["touches"][:2] == ("oldslab", walked.newtop)
    assert given["touches"][2].overhead_doors[0].sill_m == pytest.approx(30.0)
    assert rooms.named["touches"]["put_right"] == ("fill it",)
    assert given["takeoff"] == ("oldslab", walked.newtop, job.build)
    assert given["order"] == ("takeoff", job.plant, job.mix)
    assert given["price"] == ("takeoff", "order", job.rates)
    assert rooms.named["price"]["verdict"] is walked.verdict
    assert (walked.takeoff, walked.order, walked.price) == ("takeoff", "order", "price")


def test_without_rates_there_is_all_but_a_price(rooms: Rooms, put_down: PutDown) -> None:
    walked = walk(read_job(put_down()))
    assert [name for name, _ in rooms.asked] == [step.room for step in STEPS[:-1]]
    assert walked.order == "order"
    assert walked.price is None


def test_without_a_top_nothing_is_taken_off_or_ordered(rooms: Rooms, put_down: PutDown) -> None:
    rooms.gives["newtop"].chosen = None
    walked = walk(read_job(put_down()))
    assert [name for name, _ in rooms.asked] == ["shots", "oldslab", "verdict", "newtop"]
    assert walked.touches is None
    assert walked.takeoff is None
    assert walked.order is None
