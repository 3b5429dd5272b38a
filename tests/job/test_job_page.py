"""The page of the job folder: its examples are those of the sample job, and they are read."""

from __future__ import annotations

import re
import tomllib
from pathlib import Path
from typing import Any

from make_samples import ROOT
from small_job import PutDown

from overslab.job import read_job, sample_folder, sample_names

PAGE = (ROOT / "docs" / "job-folder.md").read_text(encoding="utf-8")


def blocks(language: str) -> list[str]:
    return re.findall(rf"^```{language}\n(.*?)^```", PAGE, re.MULTILINE | re.DOTALL)


def holds(whole: Any, part: Any) -> bool:
    """Whether every key of ``part`` stands in ``whole`` with the same value."""
    if isinstance(part, dict):
        return all(key in whole and holds(whole[key], value) for key, value in part.items())
    if isinstance(part, list) and part and isinstance(part[0], dict):
        return all(any(holds(one, wanted) for one in whole) for wanted in part)
    return bool(whole == part)


def test_the_facts_on_the_page_are_those_of_the_farm_shop() -> None:
    sample = tomllib.loads((sample_folder("farm-shop") / "job.toml").read_text(encoding="utf-8"))
    shown = [tomllib.loads(block) for block in blocks("toml")]
    assert len(shown) >= 3
    for part in shown:
        assert holds(sample, part), part


def test_the_field_book_on_the_page_is_read(put_down: PutDown) -> None:
    grid = '[taped_grid]\norigin = ["1 ft", "1 ft"]\nletter_spacing = "5 ft"\n'
    grid += 'number_spacing = "5 ft"\n'
    folder = put_down({"shots.csv": blocks("csv")[0]})
    path: Path = folder / "job.toml"
    path.write_text(path.read_text(encoding="utf-8") + "\n" + grid, encoding="utf-8")
    readings = read_job(folder).survey.readings
    assert [one.kind for one in readings] == [
        "benchmark",
        "sill",
        "floor",
        "floor",
        "turn",
        "check",
    ]


def test_every_sample_is_on_the_page() -> None:
    assert all(f"`{name}`" in PAGE for name in sample_names())
