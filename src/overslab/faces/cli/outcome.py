"""How a command ends: exit codes, and faults told in words. No traceback reaches a person."""

from __future__ import annotations

import functools
import json
import os
import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from enum import IntEnum
from pathlib import Path
from typing import Any, ParamSpec

import typer

P = ParamSpec("P")


class ExitCode(IntEnum):
    """The codes a command ends with; typer itself gives 2 for a command it does not understand."""

    FINE = 0
    FAULTY = 1
    USAGE = 2
    NO_TOP = 3
    PROGRAM = 70
    INTERRUPTED = 130


def say(text: str = "", *, error: bool = False) -> None:
    """Print text; signs that would steer the terminal are shown as a box."""
    typer.echo("".join(c if c.isprintable() or c == "\n" else "�" for c in text), err=error)


def print_json(data: dict[str, Any]) -> None:
    """One JSON object; SI, keys with their units, never NaN."""
    typer.echo(json.dumps(data, indent=2, allow_nan=False))


def guarded(command: Callable[P, None]) -> Callable[P, None]:
    """Turn everything a command can raise into words and an exit code."""

    @functools.wraps(command)
    def kept(*args: P.args, **kwargs: P.kwargs) -> None:
        try:
            command(*args, **kwargs)
        except typer.Exit:
            raise
        except KeyboardInterrupt:
            raise typer.Exit(ExitCode.INTERRUPTED) from None
        except BrokenPipeError:
            _close_pipe()
            raise typer.Exit(ExitCode.FINE) from None
        except Exception as trouble:
            raise typer.Exit(_told(trouble)) from None

    return kept


@contextmanager
def quiet_interrupt() -> Iterator[None]:
    """Ctrl-C outside a command ends without a word too."""
    try:
        yield
    except KeyboardInterrupt:
        sys.exit(ExitCode.INTERRUPTED)


def _told(trouble: Exception) -> ExitCode:
    from overslab.ground.faults import Faulty

    if isinstance(trouble, Faulty):
        count = len(trouble.faults)
        for fault in trouble.faults:
            say(f"{fault}\n", error=True)
        say("1 fault." if count == 1 else f"{count} faults.", error=True)
        return ExitCode.FAULTY
    first_line = (str(trouble).splitlines() or [""])[0][:200]
    say(
        "overslab stopped at something it should have foreseen: a fault of the program, not of"
        " the job.\n"
        f"  what: {type(trouble).__name__}{f': {first_line}' if first_line else ''}\n"
        f"  where: {_where(trouble)}\n"
        "  do next: please report it with these lines, the command you gave, and the job folder if"
        " you may share it",
        error=True,
    )
    return ExitCode.PROGRAM


def _where(trouble: Exception) -> str:
    """The innermost place of ours, without the path of anyone's machine."""
    package = Path(__file__).parents[2]
    place = "outside overslab"
    step = trouble.__traceback__
    while step is not None:
        file = Path(step.tb_frame.f_code.co_filename)
        if file.is_relative_to(package):
            place = f"{file.relative_to(package).as_posix()}, line {step.tb_lineno}"
        step = step.tb_next
    return place


def _close_pipe() -> None:
    """The reader of our output went away; nothing more is to be written at exit."""
    try:
        nowhere = os.open(os.devnull, os.O_WRONLY)
        os.dup2(nowhere, sys.stdout.fileno())
    except (OSError, ValueError):
        pass
