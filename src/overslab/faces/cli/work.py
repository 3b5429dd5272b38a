"""The order of work for the command line, read from ``job/steps.py`` without loading the rooms."""

from __future__ import annotations

import importlib.util
from pathlib import Path
from typing import Protocol, cast

import overslab


class Step(Protocol):
    """What ``job/steps.py`` says of one room."""

    room: str
    verb: str
    question: str


def steps_of_work() -> tuple[Step, ...]:
    """The steps, in order.

    Importing ``overslab.job.steps`` would run the front door of ``job`` and with it every heavy
    library, before anyone knows whether the arguments are good; so the one file is loaded alone.
    """
    file = Path(overslab.__file__).parent / "job" / "steps.py"
    spec = importlib.util.spec_from_file_location("overslab_order_of_work", file)
    if spec is None or spec.loader is None:
        raise ImportError(f"no {file.name} beside the package")
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return cast(tuple[Step, ...], module.STEPS)
