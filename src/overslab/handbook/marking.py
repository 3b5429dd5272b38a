"""Marking heights for a pour: what the rod must read where a pad is set."""

from __future__ import annotations

from overslab.handbook.working import formula


@formula(
    equation="G = HI − Z",
    symbols={"instrument_m": "HI", "finished_height_m": "Z"},
    result=("reading_m", "G"),
    source="common practice of grade rods: height of instrument less finished grade",
    known="common practice",
    valid="the beam is level and stands where the height of instrument was taken; one length unit",
    # Height of instrument 104 ft 2 1/2 in, finished grade 100 ft 2 1/2 in: the rod reads 4 ft 0 in.
    example={"instrument_m": 31.7627, "finished_height_m": 30.5435},
    example_result=1.2192,
)
def grade_rod(*, instrument_m: float, finished_height_m: float) -> float:
    """Rod reading at which the foot of the rod stands on the finished height."""
    return instrument_m - finished_height_m
