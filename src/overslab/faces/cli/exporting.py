"""Writes a walked job out for other programs, and says what each file is."""

from __future__ import annotations

from pathlib import Path

from overslab.faces.cli.outcome import print_json, say
from overslab.faces.cli.progress import progress
from overslab.faces.exports import FILES, asked_for, write_exports
from overslab.job import read_job, walk


def export_job(folder: Path, *, out: Path | None, only: str | None, as_json: bool) -> None:
    """Walk the job, write the files, name them."""
    kinds = asked_for(only)
    with progress() as tell:
        walked = walk(read_job(folder), tell=tell)
        tell("writing the files")
        written = write_exports(walked, out if out is not None else folder / "exports", kinds)
    says = {one.name: one.says for one in FILES}
    if as_json:
        files = [{"file": str(path), "says": says[path.name]} for path in written]
        print_json({"exports": files})
        return
    say(f"Written to {written[0].parent}:\n")
    for path in written:
        say(f"  {path.name}: {says[path.name]}")
    if walked.price is None and any(one.priced for one in kinds):
        say("\nThere is no bid among them: rates.toml says nothing of wages and profit.")
    if any(path.name.startswith("surfaces.") for path in written):
        say("\nThe surfaces lie in the plan's own frame, not on a map; docs/exports.md says more.")
