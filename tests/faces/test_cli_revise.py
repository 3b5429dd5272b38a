"""``overslab revise``: two folders beside each other, neither of them touched."""

from __future__ import annotations

import json
import shutil
from pathlib import Path

import pytest
from typer.testing import CliRunner

from overslab.faces.cli.main import app

CASE = Path(__file__).resolve().parents[1] / "jobs" / "case-25-door-height-changed"


@pytest.fixture(scope="module")
def folders(tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, Path]:
    """Before and after: the door 1/2 in higher."""
    place = tmp_path_factory.mktemp("revise")
    old, new = place / "old", place / "new"
    for folder in (old, new):
        shutil.copytree(CASE, folder)
    text = (old / "job.toml").read_text()
    assert 'sill = "100 ft 1/2 in"' in text
    (old / "job.toml").write_text(text.replace('sill = "100 ft 1/2 in"', 'sill = "100 ft"'))
    return old, new


def test_it_tells_the_difference_and_writes_the_letter(
    folders: tuple[Path, Path], tmp_path: Path
) -> None:
    old, new = folders
    was = {path: path.read_bytes() for folder in folders for path in folder.iterdir()}
    ended = CliRunner().invoke(app, ["revise", str(old), str(new), "--out", str(tmp_path)])
    assert ended.exit_code == 0, ended.stderr
    for words in ("100 ft 1/2 in", "0.89 yd3 more, plus or minus 0.00 yd3", "take back", "Written"):
        assert words in ended.stdout
    assert (tmp_path / "revision.pdf").read_bytes().startswith(b"%PDF")
    assert {path: path.read_bytes() for folder in folders for path in folder.iterdir()} == was


def test_as_json_in_si(folders: tuple[Path, Path]) -> None:
    ended = CliRunner().invoke(app, ["revise", *map(str, folders), "--json"])
    assert ended.exit_code == 0, ended.stderr
    told = json.loads(ended.stdout)
    volume = told["revision"]["volume"]["difference_m3"]
    assert volume["mean"] == pytest.approx(24 * 0.3048**3, rel=1e-3)
    assert volume["deviation"] == 0.0
    sheets = {one["code"]: one["what"] for one in told["sheets"]}
    assert sheets["pads"] == "replace"
    assert sheets["old-floor"] == "keep"


def test_a_folder_that_is_not_there_is_told(folders: tuple[Path, Path], tmp_path: Path) -> None:
    ended = CliRunner().invoke(app, ["revise", str(folders[0]), str(tmp_path / "none")])
    assert ended.exit_code == 1
    assert "none" in ended.stderr
