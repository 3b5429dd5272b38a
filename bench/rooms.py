"""Seconds of each room within the walk of every sample job, and its share of the walk.

The verdict and the touches shall each cost less than a tenth of it. Least of three walks in one
process, so that no room pays for loading what another has loaded.
"""

from __future__ import annotations

import time
from itertools import pairwise

from overslab.job import read_job, sample_folder, sample_names, walk
from overslab.job.steps import STEPS

RUNS = 3
ROOMS = tuple(step.room for step in STEPS)


def seconds_by_room(name: str) -> dict[str, float]:
    """Each room from its own question to the next one's."""
    job = read_job(sample_folder(name))
    heard: list[tuple[str, float]] = []
    walk(job, tell=lambda words: heard.append((words.partition(":")[0], time.perf_counter())))
    heard.append(("", time.perf_counter()))
    return {room: later - start for (room, start), (_, later) in pairwise(heard)}


def main() -> None:
    print(f"rooms within the walk, s, least of {RUNS}; share of the walk in brackets")
    print(f"{'job':16}" + "".join(f"{room:>16}" for room in ROOMS))
    for name in sample_names():
        runs = [seconds_by_room(name) for _ in range(RUNS)]
        least = {room: min(run[room] for run in runs) for room in runs[0]}
        whole = sum(least.values())
        cells = "".join(
            f"{least[room]:9.3f} ({least[room] / whole:4.0%})" if room in least else f"{'-':>16}"
            for room in ROOMS
        )
        print(f"{name:16}{cells}")


if __name__ == "__main__":
    main()
