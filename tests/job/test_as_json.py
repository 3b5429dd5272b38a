"""Records as plain data: every number finite or null, every key with its unit."""

from __future__ import annotations

import datetime
import json
from dataclasses import dataclass, field
from decimal import Decimal
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from small_job import PutDown

from overslab.ground.estimate import Estimate
from overslab.handbook.checks import Check
from overslab.job import as_json, read_job


@dataclass(frozen=True)
class Thing:
    depth_m: object
    hidden: object = field(default="secret", metadata={"json": False})


@pytest.mark.parametrize(
    ("record", "plain"),
    [
        (Thing(1.5), {"depth_m": 1.5}),
        (Thing(float("nan")), {"depth_m": None}),
        (Thing(np.float64("inf")), {"depth_m": None}),
        (Thing(np.array([[1.0, np.nan], [2.0, 3.0]])), {"depth_m": [[1.0, None], [2.0, 3.0]]}),
        (Thing(np.int64(4)), {"depth_m": 4}),
        (Thing(np.bool_(True)), {"depth_m": True}),
        (Thing(Estimate(mean=2.0, deviation=0.5)), {"depth_m": {"mean": 2.0, "deviation": 0.5}}),
        (Thing(((1, 2.0), "x", None, False)), {"depth_m": [[1, 2.0], "x", None, False]}),
        (Thing({"a": Decimal("1.25")}), {"depth_m": {"a": 1.25}}),
        (Thing(datetime.date(2026, 4, 18)), {"depth_m": "2026-04-18"}),
        (Thing(frozenset({"b", "a"})), {"depth_m": ["a", "b"]}),
    ],
)
def test_plain(record: Thing, plain: object) -> None:
    assert as_json(record) == plain
    json.dumps(as_json(record), allow_nan=False)


def test_a_check_says_whether_it_passes() -> None:
    check = Check(
        name="n", quantity="fall", found=2.0, comparison="at least", allowed=3.0, source="s"
    )
    plain = as_json(check)
    assert (plain["found"], plain["passes"], plain["margin"]) == (2.0, False, -1.0)


def test_what_has_no_plain_form_is_an_error_and_not_a_guess() -> None:
    with pytest.raises(TypeError, match="object"):
        as_json(Thing(object()))


@given(st.recursive(st.floats() | st.none() | st.text(), lambda inner: st.lists(inner)))
def test_json_is_always_strict(record: object) -> None:
    json.dumps(as_json(record), allow_nan=False)


def test_a_job_as_json_keeps_what_was_typed_and_no_path(put_down: PutDown) -> None:
    job = read_job(put_down())
    assert isinstance(job.folder, Path)
    plain = as_json(job)
    assert plain["survey"]["readings"][3]["typed"] == "4' 4 1/4\""
    assert plain["asked"]["edges"][0]["meets"]["typed"] == "shot S1"
    assert "folder" not in plain
    assert str(job.folder) not in json.dumps(plain, allow_nan=False)
