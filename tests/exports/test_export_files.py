"""Files in a folder, and the command: whole or not at all, and faults in words."""

from __future__ import annotations

import json
import os
from dataclasses import replace
from pathlib import Path

import pytest
from export_jobs import walked
from typer.testing import CliRunner

from overslab.faces.cli.main import app
from overslab.faces.exports import FILES, FORMS, FileKind, asked_for, write_exports
from overslab.ground.faults import Faulty
from overslab.job import FolderTexts, read_texts, sample_folder


def codes(trouble: pytest.ExceptionInfo[Faulty]) -> list[str]:
    return [one.code for one in trouble.value.faults]


def test_every_file_is_written_under_its_name(tmp_path: Path) -> None:
    written = write_exports(walked("thin-patio"), tmp_path / "new" / "folder")
    assert [path.name for path in written] == [one.name for one in FILES]
    assert sorted(path.name for path in (tmp_path / "new" / "folder").iterdir()) == sorted(
        one.name for one in FILES
    )
    assert all(path.stat().st_size > 100 for path in written)


def test_only_what_was_asked_for_is_written(tmp_path: Path) -> None:
    written = write_exports(walked("thin-patio"), tmp_path, asked_for(" CSV, ics ,"))
    assert {path.suffix for path in written} == {".csv", ".ics"}
    assert set(tmp_path.iterdir()) == set(written)


@pytest.mark.parametrize("asked", ["pdf", "csv,dwg,xyz", "", " , "])
def test_an_unknown_form_is_told_with_those_there_are(asked: str) -> None:
    with pytest.raises(Faulty) as told:
        asked_for(asked)
    assert set(codes(told)) == {"export-unknown"}
    assert len(told.value.faults) == (2 if "dwg" in asked else 1)
    for form in FORMS:
        assert form in told.value.faults[0].limit


def test_a_job_without_a_top_is_told_and_nothing_is_written(tmp_path: Path) -> None:
    with pytest.raises(Faulty) as told:
        write_exports(walked("cannot-all"), tmp_path / "out")
    assert codes(told) == ["export-no-top"]
    assert not (tmp_path / "out").exists()
    (calendar,) = write_exports(walked("cannot-all"), tmp_path / "out", asked_for("ics"))
    assert calendar.read_bytes().startswith(b"BEGIN:VCALENDAR\r\n")


def test_a_bid_alone_that_is_not_there_is_told(tmp_path: Path) -> None:
    walk = replace(walked("thin-patio"), price=None)
    bid = [one for one in FILES if one.priced]
    with pytest.raises(Faulty) as told:
        write_exports(walk, tmp_path, bid)
    assert codes(told) == ["export-no-price"]
    others = write_exports(walk, tmp_path, asked_for("csv"))
    assert "bid.csv" not in {path.name for path in others}


def test_a_folder_that_cannot_be_one_is_told(tmp_path: Path) -> None:
    (tmp_path / "taken").write_text("a file", encoding="utf-8")
    with pytest.raises(Faulty) as told:
        write_exports(walked("thin-patio"), tmp_path / "taken", asked_for("ics"))
    assert codes(told) == ["export-folder"]


def test_a_disk_that_fails_leaves_the_old_file_whole(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    old = tmp_path / "calendar.ics"
    old.write_text("the old one", encoding="utf-8")

    def fails(_: int) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(os, "fsync", fails)
    with pytest.raises(Faulty) as told:
        write_exports(walked("thin-patio"), tmp_path, asked_for("ics"))
    assert codes(told) == ["export-folder"]
    assert "No space left" in str(told.value)
    assert old.read_text(encoding="utf-8") == "the old one"
    assert list(tmp_path.iterdir()) == [old]


def test_a_file_that_cannot_be_made_keeps_all_others_from_being_written(tmp_path: Path) -> None:
    def never(_walk: object, _office: bool) -> bytes:
        raise Faulty(FILES_FAULT)

    from overslab.faces.exports.faults import NOT_MESHED

    FILES_FAULT = NOT_MESHED.met(value="half of the floor", most=1e-4)
    broken = FileKind("broken.bin", "bin", "application/octet-stream", "It fails.", never)
    with pytest.raises(Faulty):
        write_exports(walked("thin-patio"), tmp_path, (FILES[0], broken))
    assert list(tmp_path.iterdir()) == []


def test_the_command_says_what_each_file_is(tmp_path: Path) -> None:
    job, out = sample_folder("thin-patio"), tmp_path / "out"
    ran = CliRunner().invoke(app, ["export", str(job), "--out", str(out), "--only", "ics,csv,glb"])
    assert ran.exit_code == 0, ran.output
    for path in out.iterdir():
        says = next(one.says for one in FILES if one.name == path.name)
        assert f"{path.name}: {says}" in ran.output
    assert (out / "surfaces.glb").read_bytes()[:4] == b"glTF"
    ran = CliRunner().invoke(
        app, ["export", str(job), "--out", str(out), "--only", "ics", "--json"]
    )
    assert json.loads(ran.stdout)["exports"][0]["file"] == str(out / "calendar.ics")


def test_the_command_ends_with_words_at_a_wrong_form() -> None:
    ran = CliRunner().invoke(app, ["export", str(sample_folder("thin-patio")), "--only", "dwg"])
    assert ran.exit_code == 1
    assert "There is no export of that name." in ran.output
    assert "Traceback" not in ran.output


def texts(pour_date: str) -> FolderTexts:
    folder = sample_folder("thin-patio")
    job, shots, rates = (
        (folder / file).read_text(encoding="utf-8")
        for file in ("job.toml", "shots.csv", "rates.toml")
    )
    return FolderTexts(job.replace("[job]\n", f"[job]\npour_date = {pour_date}\n", 1), shots, rates)


def test_the_pour_date_stands_in_the_job() -> None:
    assert read_texts(texts("2026-12-01")).pour_date == "2026-12-01"
    assert read_texts(texts('"2026-12-01"')).pour_date == "2026-12-01"


def test_a_pour_before_the_survey_is_a_fault() -> None:
    with pytest.raises(Faulty) as told:
        read_texts(texts("2020-01-01"))
    assert codes(told) == ["pour-before-survey"]
    assert "job.toml line" in told.value.faults[0].place
