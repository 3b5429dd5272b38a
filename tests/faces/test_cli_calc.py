"""``overslab calc``: any formula of the handbook with its working."""

from __future__ import annotations

import json
import sys

import pytest
from typer.testing import CliRunner, Result

from overslab.faces.cli.calculate import formulas
from overslab.faces.cli.main import app, run
from overslab.faces.cli.outcome import ExitCode


def calc(*words: str) -> Result:
    return CliRunner().invoke(app, ["calc", *words])


def test_a_formula_is_shown_with_its_working() -> None:
    # NPTEL course 105107122, Surveying, exercise Ex13-1: 150.485 + 1.205 = 151.690.
    result = calc("height_of_instrument", "benchmark_height_m=150.485", "backsight_m=1.205")
    assert result.exit_code == ExitCode.FINE
    assert "HI = Z + BS" in result.stdout
    assert "151.69 m = 150.485 m + 1.205 m" in result.stdout
    assert "NPTEL" in result.stdout
    assert "known by  read" in result.stdout


def test_values_may_carry_their_own_units() -> None:
    # 100 ft and 4 ft 11-1/2 in are 104 ft 11-1/2 in.
    result = calc("height_of_instrument", "benchmark_height_m=100'", "backsight_m=4' 11 1/2\"")
    assert "104' 11 1/2\"" in result.stdout
    by_foot = calc("drop_over_run", "slope=1/8 in/ft", "run_m=10 ft", "--json")
    # 1/8 in per ft over 10 ft is 1-1/4 in (Concrete International, concrete patio slope).
    assert json.loads(by_foot.stdout)["calc"]["result"]["drop_m"] == pytest.approx(1.25 * 0.0254)


def typed(value: object, unit: str = "") -> str:
    """A value as a person types it, several between semicolons, words as they are."""
    if isinstance(value, tuple | list):
        return "; ".join(typed(one, unit) for one in value)
    if isinstance(value, bool):
        return "yes" if value else "no"
    return f"{value if isinstance(value, str) else repr(value)} {unit}".strip()


@pytest.mark.parametrize("name", sorted(formulas()))
def test_the_worked_number_of_every_formula_comes_out(name: str) -> None:
    """Typed as it is printed: with the publication's unit, or bare in SI."""
    entry = formulas()[name]
    words = [
        f"{key}={typed(value, entry.printed_in.get(key, ''))}"
        for key, value in entry.example.items()
    ]
    result = calc(name, *words, "--json")
    assert result.exit_code == ExitCode.FINE, result.stderr
    data = json.loads(result.stdout)["calc"]
    for key, value in entry.example_si().items():
        same = data["inputs"][key]
        assert same == (value if isinstance(value, str) else pytest.approx(value, rel=1e-12))
    (named, answer), *more = data["result"].items()
    assert named == entry.result[0]
    assert not more
    # The handbook's own test holds the number against the print, to the digits of the page.
    assert answer == pytest.approx(entry.function(**entry.example_si()), rel=1e-9, abs=1e-12)
    text = calc(name, *words).stdout
    assert entry.equation in text
    assert entry.source in text


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (
            ("evaporation_menzel_us", "concrete_c=90F", "air_c=90F", "humidity_share=10%",
             "wind_m_per_s=25 mph"),
            "25 mph",
        ),
        (("cement_for_ratio", "water_kg_per_m3=305 lb/yd3", "water_cement_ratio=0.50"),
         "610 lb/yd3"),
        (("curing_days_ufgs_03301a", "binder=type ii"), "result    14"),
        (("air_aci_211", "stone_m=3/4 in", "exposure=moderate"), "5%"),
        (("mixing_water_us", "slump_m=7 in", "stone_m=3 in", "air_entrained=no"), "270 lb/yd3"),
    ],
)  # fmt: skip
def test_values_are_typed_as_the_trade_says_them(words: tuple[str, ...], said: str) -> None:
    result = calc(*words)
    assert result.exit_code == ExitCode.FINE, result.stderr
    assert said in result.stdout


def test_a_word_that_cannot_stand_there_brings_the_words_that_can() -> None:
    result = calc("air_aci_211", "stone_m=3/4 in", "exposure=moderat")
    assert result.exit_code == ExitCode.FAULTY
    assert "one of: none, mild, moderate, severe" in result.stderr
    assert "did you mean moderate?" in result.stderr


@pytest.mark.parametrize(
    "words",
    [
        ("drop_over_run", "slope=1%", "run_m=3"),
        ("drop_over_run", "--json", "slope=1%", "run_m=3"),
        ("drop_over_run", "slope=1%"),
        ("no_such_formula",),
        (),
        ("--json",),
        ("--help",),
        ("drop_over_run", "--jsno"),
    ],
)
def test_the_short_way_of_a_plain_line_answers_as_the_whole_parser(
    words: tuple[str, ...], monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setattr(sys, "argv", ["overslab", "calc", *words])
    try:
        run()
    except SystemExit as ended:
        code = ended.code or 0
    else:
        code = 0
    shown = capsys.readouterr()
    whole = calc(*words)
    assert (code, shown.out, shown.err) == (whole.exit_code, whole.stdout, whole.stderr)


def test_without_a_name_every_formula_is_listed() -> None:
    result = calc()
    assert [name for name in formulas() if name not in result.stdout] == []
    data = json.loads(calc("--json").stdout)["calc"]
    assert {row["formula"] for row in data} == set(formulas())
    assert all(row["takes"] == list(formulas()[row["formula"]].symbols) for row in data)


def test_a_wrong_name_brings_close_ones() -> None:
    result = calc("height_of_instrumnet")
    assert result.exit_code == ExitCode.FAULTY
    assert "did you mean height_of_instrument" in result.stderr
    assert "overslab calc" in calc("zzzz").stderr


def test_everything_wrong_with_the_values_is_told_at_once() -> None:
    result = calc(
        "height_of_instrument", "benchmark_hight_m=1", "backsight_m=abc", "backsight_m=2", "loose"
    )
    assert result.exit_code == ExitCode.FAULTY
    for words in (
        "did you mean benchmark_height_m",
        "backsight_m: this cannot be read as a length",
        "backsight_m is given twice",
        "this is not a key and its value",
        "add benchmark_height_m=150.485",
        "5 faults.",
    ):
        assert words in result.stderr


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("slope_of_drop", "drop_m=1", "run_m=0"), "has no answer"),
        (("rounding_deviation", "step_m=nan"), "cannot be read"),
        (("rounding_deviation", "step_m=1e999"), "cannot be read"),
        (("rounding_deviation", "step_m="), "nothing is written"),
        (("rounding_deviation", "step_m=3/8"), "two things"),
        (("correction_by_setups", "misclosure_m=1", "setups_so_far=1.5", "setups=2"), "a count"),
    ],
)
def test_values_without_an_answer_are_faults(words: tuple[str, ...], said: str) -> None:
    result = calc(*words)
    assert result.exit_code == ExitCode.FAULTY
    assert said in result.stderr
    assert "Traceback" not in result.output
