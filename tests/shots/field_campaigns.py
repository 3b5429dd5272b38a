"""Made-up surveys of floors of known truth."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from overslab.ground.units import Units, read_rod_m, write_reading
from overslab.shots import Benchmark, Reading, Survey

FOOT_M, INCH_M = 0.3048, 0.0254
RESOLUTION_M = {"feet-inches": INCH_M / 8, "tenths": 0.01 * FOOT_M, "metric": 0.001}
ROD_DEVIATION_M = 0.0008


@dataclass(frozen=True)
class Campaign:
    survey: Survey
    truth_m: dict[str, float]  # height of every point


def floor_height(rng, xy_m, *, dish_m=0.03, wave_m=0.003, fall=0.005):
    """A dished, waved, sloping floor: a few centimetres over the room, millimetres over a metre."""
    span = xy_m.max(axis=0) + 1e-9
    u, v = (xy_m / span).T
    height = -dish_m * np.sin(np.pi * u) * np.sin(np.pi * v) + fall * xy_m[:, 0]
    for _ in range(6):
        wave = rng.normal(size=2)
        wave *= 2 * np.pi / rng.uniform(3.0, 6.0) / np.hypot(*wave)
        height += wave_m / 2 * np.sin(xy_m @ wave + rng.uniform(0, 2 * np.pi))
    return height


def text_of(reading_m, convention):
    text = write_reading(reading_m, Units(convention, RESOLUTION_M[convention]))
    return text, read_rod_m(text, system=convention)


def campaign(
    *,
    seed,
    columns=8,
    rows=7,
    step_m=1.5,
    convention="feet-inches",
    setups=1,
    crack_step_m=0.0,
    check_every=18,
    end_check=True,
    marks=("BM",),
    **floor,
):
    """A grid floor shot column by column, with check shots; set-ups split it and share two points.

    Noise is what the survey says of itself: normal rod error and rounding, no beam tilt.
    """
    rng = np.random.default_rng(seed)
    grid = [(f"{chr(65 + c)}{r + 1}", c, r) for c in range(columns) for r in range(rows)]
    xy_m = np.array([(c * step_m, r * step_m) for _, c, r in grid])
    xy_m += rng.uniform(-0.15, 0.15, size=xy_m.shape)
    height_m = 30.0 + floor_height(rng, xy_m, **floor)
    height_m += crack_step_m * (xy_m[:, 0] + 0.3 * xy_m[:, 1] > 0.55 * xy_m[:, 0].max())
    truth = {name: height_m[i] for i, (name, _, _) in enumerate(grid)}
    for mark in marks:
        truth[mark] = 30.48 + 0.1 * marks.index(mark)
    place = {name: tuple(xy_m[i]) for i, (name, _, _) in enumerate(grid)}
    readings: list[Reading] = []

    def shoot(name, setup, kind, instrument_m):
        noisy = instrument_m - truth[name] + rng.normal(0.0, ROD_DEVIATION_M)
        typed, value = text_of(noisy, convention)
        x_m, y_m = place.get(name, (None, None))
        readings.append(Reading(len(readings) + 2, name, setup, value, kind, x_m, y_m, "", typed))

    names = [name for name, _, _ in grid]
    before = np.array([], dtype=str)
    for number, part in enumerate(np.array_split(np.array(names), setups)):
        setup = str(number + 1)
        instrument_m = 30.48 + rng.uniform(1.2, 1.8)
        if number:  # two points shot from the set-up before
            part = np.r_[before[-2:], part]
        shoot_marks = marks if number == 0 else ()
        tie = part[:1] if number else ()
        for mark in shoot_marks:
            shoot(mark, setup, "benchmark", instrument_m)
        for count, name in enumerate(part):
            shoot(str(name), setup, "floor", instrument_m)
            if (count + 1) % check_every == 0 and count + 1 < len(part):
                for mark in (*shoot_marks, *tie):
                    shoot(str(mark), setup, "check", instrument_m)
        if end_check:
            for mark in (*shoot_marks, *tie):
                shoot(str(mark), setup, "check", instrument_m)
        before = part
    survey = Survey(
        readings=tuple(readings),
        benchmarks=tuple(Benchmark(mark, truth[mark], "made up") for mark in marks),
        convention=convention,
        resolution_m=RESOLUTION_M[convention],
        rod_deviation_m=ROD_DEVIATION_M,
        laser_slope=0.0,
    )
    return Campaign(survey, truth)


def with_reading(survey, line, *, typed=None, setup=None, value_m=None):
    """The survey with one line booked otherwise."""
    readings = list(survey.readings)
    at = next(i for i, r in enumerate(readings) if r.line == line)
    new = readings[at]
    if typed is None and value_m is not None:
        typed, value_m = text_of(value_m, survey.convention)
    if typed is not None:
        new = replace(new, typed=typed, reading_m=read_rod_m(typed, system=survey.convention))
    if setup is not None:
        new = replace(new, setup=setup)
    readings[at] = new
    return replace(survey, readings=tuple(readings))
