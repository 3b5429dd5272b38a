"""The shipped jobs: invented, exactly as made, and true to the floors they were made from."""

from __future__ import annotations

from dataclasses import fields
from pathlib import Path

import make_samples
import pytest

from overslab.job import read_job, sample_folder, sample_names, start_job
from overslab.shots import reduce

JOBS = [path.parent for path in make_samples.BOOKS]
FLOORS = {
    "farm-shop": make_samples.farm_floor,
    "thin-patio": make_samples.patio_floor,
    "cannot-all": make_samples.garage_floor,
    "metric-wash-bay": make_samples.wash_bay_floor,
    "starter": make_samples.starter_floor,
}


def test_the_samples_are_these() -> None:
    assert sample_names() == ("cannot-all", "farm-shop", "thin-patio")
    assert {path.name for path in JOBS} == set(FLOORS)
    assert all(sample_folder(name) in JOBS for name in sample_names())


@pytest.mark.parametrize("path", make_samples.BOOKS, ids=lambda path: path.parent.name)
def test_the_field_book_is_what_the_maker_makes(path: Path) -> None:
    assert path.read_bytes() == make_samples.BOOKS[path]().encode()


@pytest.mark.parametrize("folder", JOBS, ids=lambda path: path.name)
def test_a_shipped_job_says_that_it_is_invented(folder: Path) -> None:
    assert read_job(folder).made_up
    for name in ("job.toml", "shots.csv", "rates.toml"):
        assert "nvented" in (folder / name).read_text(encoding="utf-8")


@pytest.mark.parametrize("folder", JOBS, ids=lambda path: path.name)
def test_a_shipped_survey_finds_the_floor_it_was_made_from(folder: Path) -> None:
    """Heights against the known truth: the reduction knows nothing of it."""
    floor = FLOORS[folder.name]
    heights = reduce(read_job(folder).survey)
    assert heights.bumps == ()
    assert all(check.passes for check in heights.misclosures)
    scores = [
        (heights.points[n].height_m - floor(point.x_m, point.y_m)) / point.standard_error_m
        for n in heights.of_kind("floor")
        if (point := heights.points[n]).x_m is not None and point.y_m is not None
    ]
    assert len(scores) >= 30
    assert max(abs(score) for score in scores) < 4
    assert sum(abs(score) < 1.96 for score in scores) / len(scores) > 0.9


def test_the_starter_is_written_and_read(tmp_path: Path) -> None:
    written = start_job(tmp_path / "new" / "job")
    assert [path.name for path in written] == ["job.toml", "shots.csv", "rates.toml"]
    job = read_job(tmp_path / "new" / "job")
    assert job.made_up
    assert job.assumptions == ()


def test_every_section_of_the_starter_can_be_switched_on(tmp_path: Path) -> None:
    """The commented lines of the starter are right too; they only name shots not taken yet."""
    start_job(tmp_path)
    path = tmp_path / "job.toml"
    lines = path.read_text(encoding="utf-8").split("\n")
    wanted = (
        *("# [[", "# [survey.two", "# [findings]", "# [practice]", "# [mix.plant]"),
        *("# [steel.", "# [bonding]", "# [patch]", "# [cure_cover]", "# [sealer]", "# [forms]"),
    )
    on, inside = [], False
    for line in lines:
        inside = line.startswith(wanted) or (inside and line.startswith("# "))
        on.append(line.removeprefix("# ") if inside else line)
    text = "\n".join(on)
    for shot in ("T1", "H1", "N1", "D1", "AP1"):
        text = text.replace(f'"shot {shot}"', '"shot S1"')
    assert text.count("\n[[") == 17
    path.write_text(text, encoding="utf-8")
    job = read_job(tmp_path)
    assert {edge.kind for edge in job.asked.edges} == {"door", "stair", "threshold", "line"}
    assert job.survey.two_stand is not None
    assert job.mix.plant.code == "A45"
    build = job.build
    assert all(getattr(build, one.name) is not None for one in fields(build))
    facts = job.touches.facts
    assert (len(facts.outside), len(facts.walls), len(facts.burners)) == (1, 1, 1)
    assert facts.side_doors[0].swings == "over"
