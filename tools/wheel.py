"""Build the wheel in a place of its own and see that it carries everything it runs on."""

from __future__ import annotations

import os
import subprocess
import sys
import tempfile
import zipfile
from pathlib import Path

ROOT = Path(__file__).parents[1]


def run(*command: str | Path, **environment: str) -> str:
    done = subprocess.run(
        [str(part) for part in command],
        cwd=ROOT,
        env=os.environ | environment,
        check=False,
        capture_output=True,
        text=True,
    )
    if done.returncode:
        sys.exit(f"{' '.join(map(str, command))}\n{done.stdout}{done.stderr}")
    return done.stdout


def main() -> None:
    pip = (sys.executable, "-m", "pip", "--quiet", "--disable-pip-version-check")
    with tempfile.TemporaryDirectory() as scratch:
        folder = Path(scratch)
        run(*pip, "wheel", "--no-deps", "--no-build-isolation", "--wheel-dir", folder, ROOT)
        (wheel,) = folder.glob("*.whl")
        with zipfile.ZipFile(wheel) as bundle:
            held = set(bundle.namelist())
        source = ROOT / "src"
        wanted = {
            path.relative_to(source).as_posix()
            for path in (source / "overslab").rglob("*")
            if path.is_file() and "__pycache__" not in path.parts
        }
        if missing := sorted(wanted - held):
            sys.exit("not in the wheel: " + ", ".join(missing))
        if not any(name.endswith("LICENSE") for name in held):
            sys.exit("the licence is not in the wheel")
        # The wheel, and not the checkout, has to run: it is unpacked and put first on the path.
        unpacked = folder / "unpacked"
        run(*pip, "install", "--no-deps", "--no-index", "--target", unpacked, wheel)
        said = run(
            sys.executable,
            "-c",
            "import overslab, overslab.job as j; print(overslab.__file__, *j.sample_names())",
            PYTHONPATH=str(unpacked),
        )
        where, *samples = said.split()
        if not where.startswith(str(unpacked)) or not samples:
            sys.exit(f"the wheel does not run by itself: {said}")
        print(f"{wheel.name}: {len(held)} files, samples {', '.join(samples)}")


if __name__ == "__main__":
    main()
