"""One shot held against the job it is for, before it goes in.

A shot that nobody can read would stop the whole job; in the tray it stops nobody.
"""

from __future__ import annotations

from collections.abc import Callable
from functools import lru_cache

from overslab.ground.faults import Fault, Faulty
from overslab.job.checking import SYSTEMS, Checked
from overslab.job.files import plain_text
from overslab.job.floorplan import Plotter
from overslab.job.jobfile import JobFile
from overslab.job.reading import JOB_FILE, SHOTS_FILE, units_of
from overslab.job.shotsfile import Find, read_shots
from overslab.job.store.book import CELLS, row
from overslab.job.store.records import Body
from overslab.job.typed import Speech

Judge = Callable[[Body], Fault | None]


@lru_cache(maxsize=64)
def judge_of(job_toml: str) -> Judge:
    """What judges the cells of one shot by the units, the rod and the taped grid of this job.

    While job.toml cannot be read its shots are not held up: only what it does say is used.
    """
    try:
        source = Checked(plain_text(job_toml, file=JOB_FILE), file=JOB_FILE)
    except Faulty:
        return lambda _: None
    told = {key: source.data.get(key) for key in ("job", "survey")}
    spoken = [
        inside.get(key) if isinstance(inside, dict) else None
        for inside, key in ((told["job"], "units"), (told["survey"], "rod"))
    ]
    system, rod = (next((one for one in SYSTEMS if one == said), None) for said in spoken)
    if system is None or rod is None:
        return lambda _: None
    find = _find(source, Speech(system=system, rod=rod))

    def judge(cells: Body) -> Fault | None:
        text = ",".join(CELLS) + "\n" + row({key: cells.get(key, "") for key in CELLS}, CELLS)
        try:
            read_shots(text, file=SHOTS_FILE, system=system, rod=rod, find=find)
        except Faulty as trouble:
            return trouble.faults[0]
        return None

    return judge


def _find(source: Checked, speech: Speech) -> Find | None:
    """How the job looks a grid label up; any label holds while the job has faults."""
    try:
        facts = source.validate(JobFile, speech=speech)
        units = units_of(facts, source=source)
    except Faulty:
        return lambda _: (0.0, 0.0)
    tape = Plotter(facts, source=source, spoken=units).tape
    if tape is None and facts.taped_grid is not None:
        return lambda _: (0.0, 0.0)
    return tape.find if tape else None
