"""``overslab propose``: the file apart from the packet, and what nobody has given."""

from __future__ import annotations

import json
from dataclasses import replace
from pathlib import Path

import pytest
from fake_walk import fake_walk
from made_up_proposal import made_up_texts, secret_bid
from typer.testing import CliRunner

from overslab.faces.cli import proposing
from overslab.faces.cli.main import app
from overslab.faces.cli.outcome import ExitCode


@pytest.fixture
def job(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A folder whose walk is known beforehand."""
    walk = fake_walk()
    known = replace(walk, price=secret_bid(), job=replace(walk.job, proposal=made_up_texts()))
    monkeypatch.setattr(proposing, "read_job", lambda _: known.job)
    monkeypatch.setattr(proposing, "walk", lambda _job, **_: known)
    return tmp_path / "job"


def test_it_lies_apart_from_the_packet(job: Path) -> None:
    answer = CliRunner().invoke(app, ["propose", str(job)])
    assert answer.exit_code == ExitCode.FINE, answer.output
    (file,) = [path for path in job.rglob("*") if path.is_file()]
    assert file == job / "proposal" / "proposal.pdf"
    assert file.read_bytes().startswith(b"%PDF")
    assert "not for the wall" in answer.output
    for text in ("deposit", "right to cancel", "warranty", "local authority or a lawyer"):
        assert text in answer.output


def test_as_json_and_elsewhere(job: Path, tmp_path: Path) -> None:
    answer = CliRunner().invoke(app, ["propose", str(job), "--out", str(tmp_path / "b"), "--json"])
    told = json.loads(answer.stdout)["proposal"]
    assert Path(told["file"]) == tmp_path / "b" / "proposal.pdf"
    assert {one["key"] for one in told["not_given"] if one["law"]} >= {"deposit", "warranty"}
    assert {one["law"] for one in told["not_given"]} == {True}


def test_without_a_top_it_ends_as_every_walk_does(
    job: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    none = fake_walk(fits=False)
    monkeypatch.setattr(proposing, "walk", lambda _job, **_: none)
    answer = CliRunner().invoke(app, ["propose", str(job)])
    assert answer.exit_code == ExitCode.NO_TOP
    assert not job.exists()


def test_without_a_price_it_says_what_is_missing(
    job: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    bare = replace(fake_walk(), price=None)
    monkeypatch.setattr(proposing, "walk", lambda _job, **_: bare)
    answer = CliRunner().invoke(app, ["propose", str(job)])
    assert answer.exit_code == ExitCode.FAULTY
    assert "[crew] and [money]" in answer.output
    assert not job.exists()
