"""Every measurement in one run, one table each: ``make bench``. Names as arguments: only those."""

from __future__ import annotations

import os
import subprocess
import sys
import time
from pathlib import Path

FOLDER = Path(__file__).parent
# In this order: what the owner gains, the surface, the top, the water, the joints, the wire, the
# whole walk, its rooms, one formula, the pages.
TABLES = (
    "ordering",
    "surface",
    "top",
    "ponding",
    "joints",
    "wire",
    "walk",
    "rooms",
    "calc",
    "pages",
)


def main() -> None:
    wanted = sys.argv[1:] or TABLES
    unknown = sorted(set(wanted) - set(TABLES))
    if unknown:
        sys.exit(f"no such table: {', '.join(unknown)}; there are {', '.join(TABLES)}")
    failed = []
    for name in wanted:
        start = time.perf_counter()
        # A process each: one table's caches and threads must not lend speed to the next.
        # Matrices run on one thread, as the command line sets it, for both sides of each ratio.
        one_thread = {**os.environ, "OPENBLAS_NUM_THREADS": "1"}
        done = subprocess.run([sys.executable, FOLDER / f"{name}.py"], check=False, env=one_thread)
        print(f"[{name}: {time.perf_counter() - start:.0f} s]\n", flush=True)
        if done.returncode:
            failed.append(name)
    if failed:
        sys.exit(f"failed: {', '.join(failed)}")


if __name__ == "__main__":
    main()
