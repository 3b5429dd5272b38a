"""The whole walk of the sample job, without and with paper, against the start of the interpreter.

Each figure is a process of its own, as a person starts it; least of three.
"""

from __future__ import annotations

import subprocess
import sys
import tempfile
import time
from pathlib import Path

from overslab.job import sample_folder, sample_names

RUNS = 3
READ = "from pathlib import Path; import sys; from overslab.job import read_job, walk; "
JOB = "job = read_job(Path(sys.argv[1])); "
PAPER = (
    "from overslab.faces.documents import write_packet; write_packet(walk(job), Path(sys.argv[2]))"
)


def seconds(*command: str) -> float:
    times = []
    for _ in range(RUNS):
        start = time.perf_counter()
        subprocess.run(command, check=True, stdout=subprocess.DEVNULL)
        times.append(time.perf_counter() - start)
    return min(times)


def main() -> None:
    run = (sys.executable, "-c")
    bare = seconds(*run, "pass")
    rows = [
        ("the interpreter alone", bare),
        ("overslab --help", seconds(str(Path(sys.executable).with_name("overslab")), "--help")),
    ]
    for name in sample_names():
        folder = str(sample_folder(name))
        with tempfile.TemporaryDirectory() as scratch:
            paper = str(Path(scratch) / "packet")
            rows += [
                (f"{name}: read the job", seconds(*run, READ + JOB, folder)),
                (f"{name}: walk", seconds(*run, READ + JOB + "walk(job)", folder)),
                (f"{name}: walk and paper", seconds(*run, READ + JOB + PAPER, folder, paper)),
            ]
    print(f"the whole walk, least of {RUNS} runs, a process each")
    print(f"{'what':44}{'s':>8}{'of the interpreter':>20}")
    for what, time_s in rows:
        print(f"{what:44}{time_s:8.2f}{time_s / bare:20.0f}")


if __name__ == "__main__":
    main()
