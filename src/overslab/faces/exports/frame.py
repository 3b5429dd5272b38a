"""What every file of a surface says of its frame: local, from the benchmark, in which unit."""

from __future__ import annotations

from typing import Literal, NamedTuple

from overslab.ground.units import to_customary, write_height
from overslab.job.records import Job

MADE_UP = "Made-up sample: no real place, people or prices."


class LengthUnit(NamedTuple):
    """``name`` in full and ``short``; lengths in metres are divided by ``in_m``."""

    name: Literal["foot", "meter"]
    short: Literal["ft", "m"]

    def of(self, value_m: float) -> float:
        """A length in metres, in this unit."""
        return to_customary(value_m, self.short)


FOOT, METRE = LengthUnit("foot", "ft"), LengthUnit("meter", "m")


def unit_of(job: Job) -> LengthUnit:
    """International feet where the job speaks feet, else metres."""
    return METRE if job.units.system == "metric" else FOOT


def plain(text: str) -> str:
    """Text for one line of any file: signs that steer a reader or are none stand as a box."""
    return "".join(sign if sign.isprintable() else "�" for sign in text)


def frame_says(job: Job) -> str:
    """Where x, y and heights are counted from."""
    marks = "; ".join(
        f"{plain(mark.name)} = {write_height(mark.height_m, job.units)}"
        for mark in job.survey.benchmarks
    )
    says = (
        "Local frame of the floor plan: x to the right and y up the sheet, where up is "
        f"{plain(job.plan.up_is)}; no map coordinates. Heights from {marks}."
    )
    return f"{says} {MADE_UP}" if job.made_up else says
