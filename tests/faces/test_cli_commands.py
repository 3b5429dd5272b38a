"""The commands: what they print, where, and the code they end with."""

from __future__ import annotations

import json
import os
import re
import subprocess
import sys
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from types import SimpleNamespace
from typing import Any

import pytest
from made_up_answers import made_up_heights, made_up_job, made_up_walk
from typer.testing import CliRunner, Result

from overslab import __version__
from overslab.faces.cli import progress as progress_line
from overslab.faces.cli import walks
from overslab.faces.cli.answers import answer
from overslab.faces.cli.main import app
from overslab.faces.cli.outcome import ExitCode
from overslab.ground.faults import FaultKind, Faulty
from overslab.job import Rooms, sample_folder, sample_names
from overslab.job.steps import STEPS

VERBS = [step.verb for step in STEPS]
SAMPLE = "farm-shop"


def ended(*words: str) -> Result:
    return CliRunner().invoke(app, list(words))


def finite_only(text: str) -> Any:
    def refuse(word: str) -> None:
        raise AssertionError(f"{word} is not JSON")

    return json.loads(text, parse_constant=refuse)


@pytest.fixture
def rooms(monkeypatch: pytest.MonkeyPatch) -> SimpleNamespace:
    """Fakes in place of the rooms; ``feasible`` says whether a top can be."""
    fakes = SimpleNamespace(feasible=True, packets=[], last=None)

    def read(folder: Path) -> Any:
        fakes.folder = folder
        return made_up_job()

    def walk(_job: Any, *, tell: Callable[[str], None]) -> Any:
        tell("shots")
        return made_up_walk(feasible=fakes.feasible)

    def walk_to(job: Any, *, last: str, tell: Callable[[str], None]) -> Any:
        fakes.last = last
        tell(last)
        walked = made_up_walk(feasible=fakes.feasible)
        names = [step.room for step in STEPS]
        reached = names[: names.index(last) + 1]
        return Rooms(job=job, **{name: getattr(walked, name) for name in reached})

    def packet(_walked: Any, folder: Path) -> tuple[Path, ...]:
        fakes.packets.append(folder)
        return (folder / "packet.pdf", folder / "01-summary.pdf")

    monkeypatch.setattr(walks, "read_job", read)
    monkeypatch.setattr(walks, "walk", walk)
    monkeypatch.setattr(walks, "walk_to", walk_to)
    import overslab.faces.documents as documents

    monkeypatch.setattr(documents, "write_packet", packet)
    return fakes


def test_there_is_a_verb_for_every_room_in_the_order_of_work() -> None:
    listed = re.findall(r"^  (\w+) ", ended("--help").stdout.split("Commands:")[1], re.MULTILINE)
    others = "plan propose demo new revise calc rates export serve backup restore"
    assert listed == [*VERBS, *others.split()]
    for step in STEPS:
        assert step.question in ended(step.verb, "--help").stdout


def test_help_and_the_order_of_work_load_no_heavy_library() -> None:
    code = (
        "import sys\nfrom overslab.faces.cli.main import run\n"
        "sys.argv = ['overslab', '--help']\n"
        "try:\n    run()\nexcept SystemExit as end:\n    assert not end.code, end.code\n"
        "print(*sorted({name.split('.')[0] for name in sys.modules}))\n"
        "print(*sorted(name for name in sys.modules if name.startswith('overslab')))\n"
    )
    told = subprocess.run(
        [sys.executable, "-c", code], capture_output=True, text=True, check=True
    ).stdout.splitlines()
    heavy = {"numpy", "scipy", "shapely", "pydantic", "highspy", "typst", "rich", "contourpy"}
    assert heavy & set(told[-2].split()) == set()
    ours = {name for name in told[-1].split() if not name.startswith("overslab.faces")}
    assert ours == {"overslab"}


def test_the_version() -> None:
    assert ended("--version").stdout == f"overslab {__version__}\n"


@pytest.mark.parametrize(
    "words",
    [("nonsense",), ("reduce",), ("plan", "a", "b"), ("reduce", "--colour", "x"), ("new",), ()],
)
def test_a_command_that_is_not_understood_ends_with_2(words: tuple[str, ...]) -> None:
    result = ended(*words)
    assert result.exit_code == ExitCode.USAGE
    assert "Traceback" not in result.output
    assert "Usage" in result.output


# What each answer must hold, worked out by hand from the made-up records: 24 m2 is 258.3 sq ft,
# 30.48 m is 100 ft, 1/96 is 1/8 in per ft, 0.6 mm is under half of 1/16 in, 27.579 MPa is
# 4000 psi, 183 kg/m2 is 37.48 lb/ft2, 0.6 m2 is 6.46 sq ft.
ANSWERS = {
    "shots": """100' 0"|under 1/16"|A1|line 9|a foot|Set-up 2 moved|Read A1 again""",
    "oldslab": """258 sq ft|181 deg|crack K|3/8"|1/2"|5.3 gal|20.0 %""",
    "verdict": (
        "Ruling: over it, unbonded|37.5 lb/ft2|6 sq ft|PUT RIGHT (unbonded): crack K"
        """|found 3/8", allowed at most 1/4": DOES NOT HOLD|NOT KNOWN|an invented guide"""
        "|Provided that|For a licensed engineer|would change"
    ),
    "newtop": "> plane|wishes fight|$600.00|$597.50|3 1/4 in|$12.50|$30.00|7.0 %|1/8 in/ft",
    "touches": (
        """100' 4"|NOT MET, moved|big door: 2", allowed at most 1/2": DOES NOT HOLD|[ ] owner:"""
        """|For the carpenter|Trim the boards by 1/4"|its ramp 2' 0" ($640.00)"""
    ),
    "takeoff": "4.00 yd3 ± 0.20 yd3|4.02 yd3|1.00 yd3 more|cannot be done",
    "order": "4.50 yd3 in 2 loads: 1 firm, 1 will-call|4.0 %|$760.00|4000 psi|no salt",
    "price": (
        "$1,100.00|$1,880.00|20.0 % (as you wrote it)|25.0 % (the same profit)|$287.50|2.0 %"
        "|the fall adds this much|$4,800.00|a rate is missing|stake|rates are made up"
    ),
}


@pytest.mark.parametrize("step", STEPS, ids=lambda step: step.verb)
def test_a_verb_answers_its_rooms_question(rooms: SimpleNamespace, step: Any) -> None:
    result = ended(step.verb, "here")
    assert result.exit_code == ExitCode.FINE, result.output
    assert rooms.last == step.room
    assert step.question in result.stdout
    assert "made up" in result.stdout
    assert [words for words in ANSWERS[step.room].split("|") if words not in result.stdout] == []
    assert "no air was asked for" in result.stdout
    assert result.stderr == ""


@pytest.mark.parametrize("place", range(len(STEPS)))
@pytest.mark.usefixtures("rooms")
def test_json_of_a_verb_has_one_object_a_room_up_to_its_own(place: int) -> None:
    result = ended(STEPS[place].verb, "here", "--json")
    data = finite_only(result.stdout)
    assert list(data) == [step.room for step in STEPS[: place + 1]]
    assert data["shots"]["points"][0]["height_m"] == 30.48
    assert all(isinstance(record, dict) for record in data.values())


def test_plan_prints_the_summary_and_writes_the_packet(
    rooms: SimpleNamespace, tmp_path: Path
) -> None:
    result = ended("plan", str(tmp_path))
    assert result.exit_code == ExitCode.FINE
    assert rooms.packets == [tmp_path / "packet"]
    for words in ("> plane", "4.00 yd3 ± 0.20 yd3", "4.50 yd3 in 2 loads", "Read A1 again"):
        assert words in result.stdout
    assert str(tmp_path / "packet" / "packet.pdf") in result.stdout


def test_plan_puts_the_packet_where_it_is_told_or_nowhere(
    rooms: SimpleNamespace, tmp_path: Path
) -> None:
    ended("plan", str(tmp_path), "--out", str(tmp_path / "there"))
    ended("plan", str(tmp_path), "--no-paper")
    assert rooms.packets == [tmp_path / "there"]


@pytest.mark.usefixtures("rooms")
def test_json_of_a_plan(tmp_path: Path) -> None:
    data = finite_only(ended("plan", str(tmp_path), "--json").stdout)
    assert {step.room for step in STEPS} <= set(data)
    assert data["order"]["amount_m3"] == pytest.approx(4.5 * 0.764554857984)
    assert data["packet"][0].endswith("packet.pdf")


@pytest.mark.parametrize("words", [("design",), ("measure",), ("order",), ("plan", "--no-paper")])
def test_no_top_ends_with_3_and_says_which_wishes_fight(
    rooms: SimpleNamespace, words: tuple[str, ...]
) -> None:
    rooms.feasible = False
    result = ended(*words, "here")
    assert result.exit_code == ExitCode.NO_TOP
    assert "cannot be 3 in thick and stay under the house door" in result.stdout
    assert "Raise the house door." in result.stdout
    assert "house door highest: from 100' 0\" to 100' 0 1/2\"" in result.stdout
    as_data = ended(*words, "here", "--json")
    assert as_data.exit_code == ExitCode.NO_TOP
    assert finite_only(as_data.stdout)["newtop"]["chosen"] is None


def test_every_fault_is_told_with_its_four_parts_on_the_error_stream(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    kind = FaultKind("made-up-cli", "it is {how}", "limit L", "remedy R")

    def read(_folder: Path) -> None:
        raise Faulty(
            kind.met(value=value, place="job.toml line 3", how="bad") for value in ("v", "\x1b[2J")
        )

    monkeypatch.setattr(walks, "read_job", read)
    for words in (("reduce", "x"), ("plan", "x"), ("plan", "x", "--json")):
        result = ended(*words)
        assert result.exit_code == ExitCode.FAULTY
        assert result.stdout == ""
        for part in (
            "job.toml line 3: it is bad",
            "given: v",
            "limit: limit L",
            "do next: remedy R",
        ):
            assert part in result.stderr
        assert "2 faults." in result.stderr
        assert "\x1b" not in result.stderr


@pytest.mark.parametrize(
    ("trouble", "code"),
    [
        (RuntimeError("solver said 7\nand more"), ExitCode.PROGRAM),
        (AssertionError(), ExitCode.PROGRAM),
        (MemoryError(), ExitCode.PROGRAM),
        (KeyboardInterrupt(), ExitCode.INTERRUPTED),
    ],
)
def test_what_nobody_foresaw_ends_in_words(
    monkeypatch: pytest.MonkeyPatch, trouble: BaseException, code: ExitCode
) -> None:
    def read(_folder: Path) -> None:
        raise trouble

    monkeypatch.setattr(walks, "read_job", read)
    result = ended("order", "x")
    assert result.exit_code == code
    assert "Traceback" not in result.output
    if code is ExitCode.INTERRUPTED:
        assert result.output == ""
    else:
        assert type(trouble).__name__ in result.stderr
        assert "please report" in result.stderr
        assert "faces/cli/walks.py, line " in result.stderr
        assert str(Path(walks.__file__).parent) not in result.stderr
        assert "and more" not in result.stderr


def test_a_reader_that_goes_away_is_no_fault() -> None:
    command = [sys.executable, "-m", "overslab", "calc"]
    with subprocess.Popen(command, stdout=subprocess.PIPE, stderr=subprocess.PIPE) as process:
        assert process.stdout is not None
        assert process.stderr is not None
        process.stdout.close()
        assert b"Traceback" not in process.stderr.read()


def test_a_terminal_without_the_signs_still_gets_its_answer() -> None:
    told = subprocess.run(
        [sys.executable, "-m", "overslab", "calc", "rounding_deviation", "step_m=0.001"],
        capture_output=True,
        env={**os.environ, "PYTHONIOENCODING": "ascii", "PYTHONUTF8": "0"},
        check=True,
    )
    assert b"0.000288675 m" in told.stdout


def test_new_writes_a_job_and_never_writes_over(tmp_path: Path) -> None:
    folder = tmp_path / "job"
    first = ended("new", str(folder))
    assert first.exit_code == ExitCode.FINE
    assert str(folder / "job.toml") in first.stdout
    (folder / "job.toml").write_text("mine")
    again = ended("new", str(folder))
    assert again.exit_code == ExitCode.FAULTY
    assert "would" not in again.stdout
    assert "nothing was written" in again.stderr
    assert (folder / "job.toml").read_text() == "mine"
    data = finite_only(ended("new", str(tmp_path / "other"), "--json").stdout)
    assert str(tmp_path / "other" / "shots.csv") in data["new"]["files"]


def test_demo_copies_walks_and_can_be_run_again(rooms: SimpleNamespace, tmp_path: Path) -> None:
    folder = tmp_path / "demo"
    for _ in range(2):
        result = ended("demo", "--out", str(folder))
        assert result.exit_code == ExitCode.FINE, result.output
    assert rooms.folder == folder
    assert rooms.packets == [folder / "packet"] * 2
    for file in sample_folder(SAMPLE).iterdir():
        assert (folder / file.name).read_bytes() == file.read_bytes()


def test_demo_leaves_alone_what_is_not_its_own(rooms: SimpleNamespace, tmp_path: Path) -> None:
    ended("demo", "--out", str(tmp_path))
    (tmp_path / "rates.toml").write_text("my own prices")
    result = ended("demo", "--out", str(tmp_path))
    assert result.exit_code == ExitCode.FAULTY
    assert "nothing was written" in result.stderr
    assert (tmp_path / "rates.toml").read_text() == "my own prices"
    assert len(rooms.packets) == 1


@pytest.mark.usefixtures("rooms")
def test_demo_knows_its_samples(tmp_path: Path) -> None:
    assert SAMPLE in sample_names()
    result = ended("demo", "none-such", "--out", str(tmp_path))
    assert result.exit_code == ExitCode.FAULTY
    assert SAMPLE in result.stderr
    with pytest.MonkeyPatch.context() as patch:
        patch.chdir(tmp_path)
        for name in sample_names():
            assert ended("demo", name).exit_code == ExitCode.FINE
            assert (tmp_path / "demo" / name / "job.toml").is_file()


def test_a_job_that_is_not_there(tmp_path: Path) -> None:
    result = ended("reduce", str(tmp_path / "none"))
    assert result.exit_code == ExitCode.FAULTY
    assert "overslab new" in result.stderr


def test_progress_is_told_to_a_person_only(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    with progress_line.progress() as tell:
        tell("oldslab: [red]what[/red] lies there?")
    assert capsys.readouterr() == ("", "")
    monkeypatch.setattr(sys.stderr, "isatty", lambda: True)
    monkeypatch.setenv("TTY_INTERACTIVE", "1")
    monkeypatch.setenv("TTY_COMPATIBLE", "1")
    with progress_line.progress() as tell:
        tell("oldslab: [red]what[/red] lies there?")
    out, err = capsys.readouterr()
    assert out == ""
    assert "[red]what[/red] lies there?" in err


def test_nothing_that_can_be_checked_is_said_so() -> None:
    heights = replace(made_up_heights(), misclosures=())
    assert "nothing can be checked" in answer("shots", Rooms(job=made_up_job(), shots=heights))
