"""``docs/commands.md`` has a heading for every command, option and exit code."""

from __future__ import annotations

import re
from pathlib import Path

import typer.main

from overslab.faces.cli.main import app
from overslab.faces.cli.outcome import ExitCode

PAGE = Path(__file__).parents[2] / "docs" / "commands.md"


def test_every_command_option_and_exit_code_has_a_heading() -> None:
    headings = re.findall(r"^#+ (.+)$", PAGE.read_text(encoding="utf-8"), re.MULTILINE)
    told = " ".join(headings).replace("`", "")
    group = typer.main.get_command(app)
    commands = group.commands  # type: ignore[attr-defined]
    options = {
        word
        for command in (group, *commands.values())
        for parameter in command.params
        if parameter.param_type_name == "option"
        for word in (*parameter.opts, *parameter.secondary_opts)
    }
    missing = [f"overslab {name}" for name in commands if f"overslab {name}" not in told]
    missing += [word for word in options if not re.search(rf"{re.escape(word)}\b", told)]
    missing += [f"{code.value}" for code in ExitCode if f"Exit code {code.value}:" not in told]
    assert missing == []
