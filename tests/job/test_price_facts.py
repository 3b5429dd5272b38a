"""The owner's rates out of rates.toml: in feet and in metres, and every way to write them wrong."""

from __future__ import annotations

import tomllib
from decimal import Decimal
from pathlib import Path

import pytest
from small_job import RATES, PutDown

from overslab.ground.faults import Faulty
from overslab.ground.units import read_money
from overslab.job import (
    FolderTexts,
    read_job,
    read_texts,
    sample_folder,
    sample_names,
    walk_to,
)
from overslab.price.records import Rates

METRIC_JOB = Path(__file__).resolve().parents[1] / "jobs" / "metric-wash-bay"
FEET = """
[crew]
wage = "$41.50"
hands = 4
hours_per_day = 8.0

[money]
overhead = "12%"
margin = "18%"
tax = "6%"
taxed = "materials"
round_to = "$10"

[plant_terms]
waiting_free_minutes_per_yd3 = 6.0
waiting_per_minute = "$2.50"
saturday_per_yd3 = "$12"

[[material]]
code = "isolation-strip"
price = "$9.50"
unit = "roll"

[[material]]
code = "isolation-strip"
price = "$12"
unit = "roll"
size = "6 in"

[[work]]
code = "finish"
hours_per_100_ft2 = 1.5
give_or_take = "25%"

[[work.closed]]
date = 2025-06-13
quantity = "1000 ft2"
hours = 16.0

[[work]]
code = "set-pads"
hours_each = 0.15
give_or_take = "30%"

[[charge]]
code = "trowel-machine"
what = "trowel machine"
group = "equipment"
price = "$85"
per = "pour"
"""
METRES = """
[crew]
wage = "38.00"
hands = 3
hours_per_day = 8.0

[money]
overhead = "10%"
markup = "25%"
tax = "20%"
taxed = "all"
round_to = "0.01"

[plant_terms]
waiting_free_minutes_per_m3 = 8.0
waiting_per_minute = "2.00"
hot_water_per_m3 = "6.50"
hot_water = true

[[work]]
code = "place"
hours_per_m3 = 0.8
give_or_take = "20%"

[[work.closed]]
date = 2025-06-13
quantity = "10 m3"
hours = 9.0

[[work.closed]]
date = 2025-08-21
quantity = "20 m3"
hours = 18.0

[[work]]
code = "cut-joints"
hours_per_m = 0.04
give_or_take = "25%"
"""


def rates_of(put_down: PutDown, text: str) -> Rates:
    rates = read_job(put_down({"rates.toml": RATES + text})).rates
    assert rates is not None
    return rates


def test_rates_in_feet(put_down: PutDown) -> None:
    rates = rates_of(put_down, FEET)
    assert rates.wage_per_hour == Decimal("41.50")
    assert (rates.margin, rates.markup) == (Decimal("0.18"), None)
    assert (rates.overhead, rates.tax, rates.round_to) == tuple(
        map(Decimal, ("0.12", "0.06", "10"))
    )
    assert rates.made_up  # the job is
    small, tall = rates.materials
    assert (small.price, small.size_m) == (Decimal("9.50"), None)
    assert tall.size_m == pytest.approx(0.1524)
    finish, pads = rates.work
    # 16 h for 1000 ft2, which are 92.90304 m2; the owner said 15.
    assert finish.hours_per == pytest.approx(16.0 / 92.90304)
    assert finish.own_hours_per == pytest.approx(15.0 / 92.90304)
    assert (finish.quantity, finish.jobs, finish.deviation) == ("area_m2", 1, 0.25)
    assert (pads.hours_per, pads.quantity, pads.jobs) == (0.15, "count", 0)
    # 6 minutes and 12 for a yard of 0.764555 m3.
    assert rates.plant.waiting_free_minutes_per_m3 == pytest.approx(7.8477, abs=1e-4)
    assert float(rates.plant.saturday_per_m3 or 0) == pytest.approx(15.6954, abs=1e-4)
    assert not rates.plant.saturday
    assert rates.flat[0].only_for == "any"


def test_rates_in_metres(put_down: PutDown) -> None:
    rates = rates_of(put_down, METRES)
    assert (rates.margin, rates.markup) == (None, Decimal("0.25"))
    assert (rates.taxed, rates.round_to) == ("all", Decimal("0.01"))
    place, cut = rates.work
    assert (place.hours_per, place.jobs) == (pytest.approx(0.9), 2)
    assert place.deviation == pytest.approx(0.0, abs=1e-9)  # both jobs took 0.9 h a cubic metre
    assert (cut.hours_per, cut.quantity) == (0.04, "length_m")
    assert rates.plant.hot_water_per_m3 == Decimal("6.50")
    assert rates.plant.hot_water


def test_an_old_file_still_reads_and_walks_without_a_price(put_down: PutDown) -> None:
    job = read_job(put_down())
    assert job.rates is None
    rooms = walk_to(job, last="price")
    assert rooms.order is not None
    assert rooms.price is None


def test_the_same_job_with_rates_has_a_price(put_down: PutDown) -> None:
    rooms = walk_to(read_job(put_down({"rates.toml": RATES + FEET})), last="price")
    assert rooms.price is not None
    assert rooms.price.price % 10 == 0
    assert rooms.price.made_up


@pytest.mark.parametrize("name", sample_names())
def test_the_rates_of_a_sample_are_said_to_be_made_up(name: str) -> None:
    text = (sample_folder(name) / "rates.toml").read_text(encoding="utf-8")
    assert "made_up = true" in text
    assert "nvented" in text
    rates = read_job(sample_folder(name)).rates
    assert rates is not None
    assert rates.made_up


WRONG: dict[str, tuple[str, str, str, str]] = {
    "both": ('margin = "18%"', 'margin = "18%"\nmarkup = "22%"', "give-one-of", "Both"),
    "neither": ('margin = "18%"\n', "", "give-one-of", "None"),
    "a margin of all": ('margin = "18%"', 'margin = "100%"', "length-sign", "margin"),
    "two kinds of hours": (
        "hours_each = 0.15",
        "hours_each = 0.15\nhours_per_m = 1.0",
        "give-one-of",
        "Both of hours_per_100_ft2",
    ),
    "no hours": ("hours_each = 0.15\n", "", "give-one-of", "None of"),
    "a price twice": ('size = "6 in"\n', "", "rate-twice", "isolation-strip"),
    "a step of nothing": ('round_to = "$10"', 'round_to = "$0"', "length-sign", "round_to"),
    "no wage": ('wage = "$41.50"\n', "", "key-missing", "wage"),
    "no give or take": ('hours_each = 0.15\ngive_or_take = "30%"', "hours_each = 0.15",
                        "key-missing", "give_or_take"),
    "waiting without free time": ("waiting_free_minutes_per_yd3 = 6.0\n", "", "key-missing",
                                  "waiting_free_minutes"),
    "two free times": ("waiting_free_minutes_per_yd3 = 6.0",
                       "waiting_free_minutes_per_yd3 = 6.0\nwaiting_free_minutes = 30.0",
                       "give-one-of", "Both"),
    "a closed job by length": ('"1000 ft2"', '"1000 ft"', "", "given"),
    "a closed job of nothing": ('"1000 ft2"', '"0 ft2"', "length-sign", "quantity"),
    "money without quotes": ('price = "$85"', "price = 85", "key-wrong", "price"),
    "a group of no kind": ('group = "equipment"', 'group = "toys"', "key-wrong", "group"),
    "a code with blanks": ('code = "finish"', 'code = "Finish it"', "key-wrong", "code"),
}  # fmt: skip


@pytest.mark.parametrize("case", WRONG)
def test_every_wrong_way_is_told(put_down: PutDown, case: str) -> None:
    old, new, code, words = WRONG[case]
    assert old in FEET, case
    with pytest.raises(Faulty) as trouble:
        rates_of(put_down, FEET.replace(old, new, 1))
    told = [one for one in trouble.value.faults if one.place.startswith("rates.toml")]
    assert told
    assert any(code in one.code and words in str(one) for one in told), told


@pytest.mark.parametrize("left_out", ["crew", "money"])
def test_half_a_set_of_rates_is_asked_for(put_down: PutDown, left_out: str) -> None:
    sections = FEET.split("\n\n")
    text = "\n\n".join(one for one in sections if f"[{left_out}]" not in one)
    with pytest.raises(Faulty) as trouble:
        rates_of(put_down, "\n" + text)
    (fault,) = trouble.value.faults
    assert (fault.code, left_out in fault.what) == ("key-missing", True)
    assert fault.remedy == f"Add the section [{left_out}]."


def test_all_faults_come_at_once(put_down: PutDown) -> None:
    text = FEET.replace('margin = "18%"\n', "").replace('size = "6 in"\n', "")
    text = text.replace("hours_each = 0.15\n", "").replace('"1000 ft2"', '"0 ft2"')
    with pytest.raises(Faulty) as trouble:
        rates_of(put_down, text)
    codes = [one.code for one in trouble.value.faults]
    assert sorted(codes) == ["give-one-of", "give-one-of", "length-sign", "rate-twice"]


def test_a_metric_job_is_priced_in_metres() -> None:
    """Concrete by the cubic metre, and its price as the file says it."""
    texts = [
        (METRIC_JOB / name).read_text(encoding="utf-8")
        for name in ("job.toml", "shots.csv", "rates.toml")
    ]
    given = tomllib.loads(texts[2])["concrete"]["price_per_m3"]
    made = FolderTexts(job_toml=texts[0], shots_csv=texts[1], rates_toml=texts[2] + METRES)
    rooms = walk_to(read_texts(made), last="price")
    bid, order = rooms.price, rooms.order
    assert bid is not None
    assert order is not None
    concrete = bid.lines[0]
    assert (concrete.code, concrete.unit) == ("concrete", "m3")
    assert concrete.each == read_money(given)
    assert float(concrete.number) == pytest.approx(order.amount_m3, abs=0.0005)
    assert bid.extra_concrete_unit == "m3"
    assert {line.code for line in bid.lines} >= {"concrete", "hot-water", "place"}
