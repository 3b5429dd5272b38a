"""The order of work, written once.

The command line, the order of the sheets, the chapters of the docs and the test of the import
direction all read this list.
"""

from __future__ import annotations

from typing import NamedTuple


class Step(NamedTuple):
    room: str
    verb: str
    question: str


STEPS: tuple[Step, ...] = (
    Step("shots", "reduce", "What did we measure, and how well?"),
    Step("oldslab", "shape", "What lies there now, and where does water go?"),
    Step("verdict", "judge", "May we pour over it, bonded or unbonded, and why?"),
    Step("newtop", "design", "Where shall the new top be?"),
    Step("touches", "meet", "What does the raised floor upset, and who puts it right?"),
    Step("takeoff", "measure", "How much of everything?"),
    Step("order", "order", "Which mix, how much, in which loads?"),
    Step("price", "bid", "What does it cost, what do we ask, and against what else?"),
)

# From the bottom of the house to the top: an import may only point down this list.
LEVELS: tuple[str, ...] = (
    "ground",
    "handbook",
    *(step.room for step in STEPS),
    "job",
    "faces.documents",
    "faces.exports",
    "faces.web",
    "faces.cli",
)
