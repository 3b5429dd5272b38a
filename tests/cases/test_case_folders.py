"""The folders of the cases: exactly as made, all twenty-five, each said in the docs."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from case_jobs import JOBS
from make_cases import CASES

DOCS = Path(__file__).resolve().parents[2] / "docs" / "cases.md"
HERE = Path(__file__).parent


def test_there_are_twenty_five_and_each_has_its_test() -> None:
    numbers = [int(name.removeprefix("case-")[:2]) for name in CASES]
    assert numbers == list(range(1, 26))
    assert {path.name for path in JOBS.glob("case-*")} == set(CASES)
    tested = {int(path.name[5:7]) for path in HERE.glob("test_[0-9][0-9]_*.py")}
    assert tested == set(numbers)


@pytest.mark.parametrize("folder", CASES)
def test_a_folder_is_what_the_maker_makes(folder: str) -> None:
    for name, text in CASES[folder]().items():
        assert (JOBS / folder / name).read_text(encoding="utf-8") == text, name
        assert "nvented" in text


def test_the_table_in_the_docs_names_every_case_its_job_and_its_test() -> None:
    text = DOCS.read_text(encoding="utf-8")
    rows = re.findall(
        r"^\| (\d+) \| .+ \| `(case-[\w-]+)` \| `(test_\w+\.py)` \|", text, re.MULTILINE
    )
    assert [int(row[0]) for row in rows] == list(range(1, 26))
    assert [row[1] for row in rows] == list(CASES)
    assert {row[2] for row in rows} == {path.name for path in HERE.glob("test_[0-9][0-9]_*.py")}
