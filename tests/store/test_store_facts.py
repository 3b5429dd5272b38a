"""One value set in a TOML text changes that value and nothing else.

What it should say is worked out on plain data, with Python's own reader of TOML.
"""

from __future__ import annotations

import copy
import tomllib
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from overslab.job import sample_folder, sample_names
from overslab.job.folders import starter_folder
from overslab.job.store.facts import CannotApply, by_name, value_at, with_value, without

TEXTS = [
    (folder / "job.toml").read_text(encoding="utf-8")
    for folder in (*map(sample_folder, sample_names()), starter_folder())
]
words = st.text(st.characters(exclude_categories=["Cs", "Cc"]), max_size=12)
values = st.one_of(
    words,
    st.booleans(),
    st.integers(-9, 99),
    st.floats(allow_nan=False, allow_infinity=False, width=32),
    st.lists(words, max_size=3),
    st.lists(st.lists(words, min_size=2, max_size=2), min_size=1, max_size=3),
    st.dictionaries(st.sampled_from(["name", "at", "note"]), words, max_size=3),
)


def paths(data: Any, *, head: tuple[str | int, ...] = ()) -> list[tuple[str | int, ...]]:
    """Every path of plain data that leads to something."""
    found = [head] if head else []
    parts = data.items() if isinstance(data, dict) else []
    if isinstance(data, list) and data and all(isinstance(one, dict) for one in data):
        parts = list(enumerate(data))
    for key, inner in parts:
        found += paths(inner, head=(*head, key))
    return found


def put(data: Any, path: tuple[str | int, ...], value: Any) -> Any:
    changed = copy.deepcopy(data)
    holder = changed
    for part in path[:-1]:
        holder = holder[part]
    holder[path[-1]] = value
    return changed


@given(st.sampled_from(TEXTS), st.data(), values)
@settings(max_examples=60, deadline=None)
def test_a_value_is_set_and_nothing_else_moves(text: str, data: st.DataObject, value: Any) -> None:
    plain = tomllib.loads(text)
    path = data.draw(st.sampled_from([one for one in paths(plain) if isinstance(one[-1], str)]))
    try:
        changed = with_value(text, path, value)
    except CannotApply:
        # Only a section may be too much for the writer; a value of a key never is.
        assert isinstance(value, dict) or isinstance(value_at(text, path), dict | list)
        return
    assert tomllib.loads(changed) == put(plain, path, value)
    if isinstance(value, str) and isinstance(value_at(text, path), str):
        lines, after = text.splitlines(), changed.splitlines()
        assert sum(one != other for one, other in zip(lines, after, strict=True)) <= 1


@given(st.sampled_from(TEXTS), st.data())
@settings(max_examples=40, deadline=None)
def test_a_value_is_taken_out_and_nothing_else_moves(text: str, data: st.DataObject) -> None:
    plain = tomllib.loads(text)
    path = data.draw(st.sampled_from(paths(plain)))
    changed = without(text, path)
    wanted = copy.deepcopy(plain)
    holder = wanted
    for part in path[:-1]:
        holder = holder[part]
    del holder[path[-1]]
    came = tomllib.loads(changed)
    if isinstance(path[-1], int) and not value_at(changed, path[:-1]):
        # The last section of its kind is gone with its heading.
        wanted.pop(str(path[0]), None) if len(path) == 2 else None
        came.pop(str(path[0]), None) if len(path) == 2 else None
    assert came == wanted


def test_line_ends_and_the_mark_at_the_start_stay() -> None:
    text = "\ufeff" + '[a]\r\nb = "1" # why\r\n'
    assert with_value(text, ["a", "b"], "2") == "\ufeff" + '[a]\r\nb = "2" # why\r\n'


def test_a_day_stays_a_day() -> None:
    text = "day = 2026-04-18\n"
    assert with_value(text, ["day"], "2026-05-01") == "day = 2026-05-01\n"


def test_a_section_is_put_behind_the_last() -> None:
    text = '[[door]]\nname = "a"\n\n[mix]\nair = "6%"\n'
    assert with_value(text, ["door", "+"], {"name": "b"}) == (
        '[[door]]\nname = "a"\n\n[[door]]\nname = "b"\n\n[mix]\nair = "6%"\n'
    )
    fresh = with_value("", ["door", "+"], {"name": "a", "at": ["1 ft", "2 ft"]})
    assert tomllib.loads(fresh) == {"door": [{"name": "a", "at": ["1 ft", "2 ft"]}]}


def test_a_section_that_is_not_there_is_made() -> None:
    changed = with_value('[job]\nname = "x"\n', ["mix", "air"], "6%")
    assert tomllib.loads(changed) == {"job": {"name": "x"}, "mix": {"air": "6%"}}


def test_a_name_leads_to_its_section_whatever_stands_before_it() -> None:
    text = TEXTS[sample_names().index("farm-shop")]
    assert by_name(text, ["door", 1, "sill"]) == ["door", "east door", "sill"]
    shorter = without(text, ["door", 0])
    assert value_at(shorter, ["door", "east door", "edge"]) == value_at(text, ["door", 1, "edge"])


@pytest.mark.parametrize(
    ("text", "path"),
    [
        ("a = 1\n", ["a", "b"]),
        ("a = 1\n", ["b", "c", "d"]),
        ('[[d]]\nname = "x"\n[[d]]\nname = "x"\n', ["d", "x", "sill"]),
        ('[[d]]\nname = "x"\n', ["d", 1, "sill"]),
        ("a = \n", ["a"]),
        ("a = {b = 1}\na.c = 2\n", ["a", "b"]),
        ("a = 1\n", [0]),
        ("a = 1\n", ["a", "+"]),
    ],
)
def test_where_nothing_can_be_put_it_is_said(text: str, path: list[str | int]) -> None:
    with pytest.raises(CannotApply):
        with_value(text, path, {} if path[-1] == "+" else "2")
    with pytest.raises(CannotApply):
        without(text, path)
