"""Case 16: a metric site. Nothing is mixed, and yards never print."""

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import Any

import pytest
from case_jobs import walked

from overslab.faces.cli.answers import answer, summary
from overslab.faces.documents.sheets import lay_sheet
from overslab.ground.units import Units, read_slope, write_slope
from overslab.job.records import Rooms
from overslab.job.steps import STEPS

# A number with a unit that no metric sheet may speak in.
FOREIGN = re.compile(
    r"(?<![A-Za-z\d])[\d.]+\s?(?:(?:cu )?yd|psi|lb|gal|ft|pci)\b"
    r"|(?<![A-Za-z\d])[\d.]+\s?in\b(?! 100)|\d[\"']|\byards?\b"
)
# Print keeps its own units where a source is quoted: in brackets of either kind.
QUOTED = re.compile(r"\[[^\[\]]*\]|\((?:[^()]|\([^()]*\))*\)")

# A source says how it is known at its end; it keeps the units of its print.
CITED = re.compile(r"\((?:read|memory|common practice|derived)\)(?:, exposure .*)?$|^<svg")


def test_one_in_eighty_is_what_the_conversions_say() -> None:
    """1:80 = 1.25 % = 0.15 in/ft (RC)."""
    assert read_slope("1:80") == pytest.approx(0.0125)
    assert read_slope("1.25%") == pytest.approx(0.0125)
    assert read_slope("0.15 in/ft") == pytest.approx(0.0125)
    assert write_slope(0.0125, Units("metric", 0.001)) in {
        "1:80",
        "1.25 %",
        "1.3 %",
        "1.25 % (1:80)",
    }


def test_volume_by_hand() -> None:
    """6 m by 6 m, 100 mm at the door, 1:80 up over 6 m: 137.5 mm mean, 4.95 m3."""
    found = walked(16)
    assert found.takeoff is not None
    assert found.takeoff.total.volume_m3.mean == pytest.approx(36 * (0.100 + 3 / 80), abs=0.01)


def test_no_room_answers_in_feet_or_yards() -> None:
    found = walked(16)
    rooms = Rooms(
        **{step.room: getattr(found, step.room) for step in STEPS},
        job=found.job,
    )
    texts = [answer(step.room, rooms) for step in STEPS] + [summary(found)]
    assert "m3" in texts[-1]
    for text in texts:
        for line in text.splitlines():
            assert not FOREIGN.search(QUOTED.sub("", line)), line


def strings_in(data: Any) -> Iterator[str]:
    """Every text of a sheet, however deep it lies."""
    if isinstance(data, str):
        yield data
    elif isinstance(data, dict):
        yield from strings_in(list(data.values()))
    elif isinstance(data, list | tuple):
        for one in data:
            yield from strings_in(one)


@pytest.mark.parametrize("code", ["takeoff", "order", "pads", "summary"])
def test_no_sheet_of_numbers_prints_in_feet_or_yards(code: str) -> None:
    sheet = lay_sheet(walked(16), code)
    assert sheet is not None
    strings = list(strings_in([block.data() for block in sheet.blocks]))
    assert any("m3" in text for text in strings)
    for text in strings:
        if not CITED.search(text):
            assert not FOREIGN.search(QUOTED.sub("", text)), text


def test_the_mix_is_held_against_the_metric_print() -> None:
    """19 mm, 100 mm slump, no air: 205 kg/m3 in the metric table, not 340 lb/yd3 converted."""
    found = walked(16)
    assert found.order is not None
    method = found.order.mix_check.by_method
    assert method is not None
    assert method.water_kg_per_m3 == pytest.approx(205.0)
