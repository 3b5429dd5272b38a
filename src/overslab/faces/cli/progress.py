"""A line on the error stream that says what is being worked on, when a person is watching."""

from __future__ import annotations

import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager


@contextmanager
def progress() -> Iterator[Callable[[str], None]]:
    """Gives what to tell the step to; silent unless the error stream is a terminal."""
    if not sys.stderr.isatty():
        yield lambda _text: None
        return
    from rich.console import Console
    from rich.markup import escape

    with Console(stderr=True).status("reading the job") as line:
        yield lambda text: line.update(escape(text))
