"""Whatever is typed into the files: a job, or ``Faulty``; never anything else."""

from __future__ import annotations

import tempfile
from pathlib import Path

from hypothesis import given, settings
from hypothesis import strategies as st
from small_job import JOB, RATES, SHOTS, TEXTS

from overslab.ground.faults import Faulty
from overslab.job import read_job

CELLS = st.one_of(
    st.text(max_size=12),
    st.sampled_from(
        [
            "",
            "0",
            "nan",
            "inf",
            "-1",
            "1e9",
            "4' 4\"",
            "4-4-3/8",
            "4.35",
            "10 ft",
            "C4",
            '"',
            "floor",
        ]
    ),
    st.floats().map(str),
)
ROWS = st.lists(st.lists(CELLS, max_size=9).map(",".join), max_size=6).map("\n".join)


def tried(files: dict[str, bytes]) -> None:
    """Read a job made of these files; only ``Faulty`` may come out, with whole faults."""
    with tempfile.TemporaryDirectory() as place:
        folder = Path(place)
        for name, text in TEXTS.items():
            (folder / name).write_bytes(files.get(name, text.encode()))
        try:
            read_job(folder)
        except Faulty as trouble:
            for fault in trouble.faults:
                assert fault.what
                assert fault.limit
                assert fault.remedy


@settings(max_examples=150, deadline=None)
@given(ROWS)
def test_any_lines_under_the_heading(rows: str) -> None:
    heading = SHOTS.split("\n", 1)[0]
    tried({"shots.csv": f"{heading}\n{rows}".encode("utf-8", "surrogatepass")})


@settings(max_examples=60, deadline=None)
@given(st.sampled_from(list(TEXTS)), st.binary(max_size=300))
def test_any_bytes_as_a_file(name: str, raw: bytes) -> None:
    tried({name: raw})


@st.composite
def spoilt(draw: st.DrawFn, text: str) -> str:
    """A good file with one stretch cut out and something else put in."""
    start = draw(st.integers(0, len(text)))
    end = draw(st.integers(start, min(len(text), start + 30)))
    new = draw(
        st.one_of(st.text(max_size=8), st.sampled_from(["[", "]", "=", '"', "nan", "\n[x]\n"]))
    )
    return text[:start] + new + text[end:]


@settings(max_examples=150, deadline=None)
@given(spoilt(JOB))
def test_a_job_file_spoilt_anywhere(text: str) -> None:
    tried({"job.toml": text.encode("utf-8", "surrogatepass")})


@settings(max_examples=60, deadline=None)
@given(spoilt(RATES))
def test_a_rates_file_spoilt_anywhere(text: str) -> None:
    tried({"rates.toml": text.encode("utf-8", "surrogatepass")})


TOML_VALUES = st.recursive(
    st.one_of(
        st.integers(-5, 5).map(str),
        st.sampled_from(
            ["true", "nan", "inf", "1e308", "2026-01-05", '"C4"', '"3 in"', '"shot S1"']
        ),
    ),
    lambda inner: st.lists(inner, max_size=4).map(lambda parts: f"[{', '.join(parts)}]"),
    max_leaves=6,
)
LINES = [n for n, line in enumerate(JOB.split("\n")) if " = " in line]


@settings(max_examples=150, deadline=None)
@given(st.sampled_from(LINES), TOML_VALUES)
def test_any_value_under_any_key(line: int, value: str) -> None:
    lines = JOB.split("\n")
    lines[line] = f"{lines[line].split(' = ')[0]} = {value}"
    tried({"job.toml": "\n".join(lines).encode()})
