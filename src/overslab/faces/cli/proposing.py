"""Writes the proposal, and says which words of it nobody has given."""

from __future__ import annotations

from pathlib import Path

import typer

from overslab.faces.cli.outcome import ExitCode, print_json, say
from overslab.faces.cli.progress import progress
from overslab.job import read_job, walk
from overslab.job.records import Walk


def propose_job(folder: Path, *, out: Path | None, as_json: bool) -> None:
    """Walk the job and write ``proposal.pdf``; ends with its own code when no top can be had."""
    with progress() as tell:
        walked = walk(read_job(folder), tell=tell)
        if walked.newtop.chosen is None:
            say("No top meets the wishes: there is nothing to propose.", error=True)
            raise typer.Exit(ExitCode.NO_TOP)
        from overslab.faces.documents.proposal import write_proposal

        tell("paper: drawing the proposal")
        file = write_proposal(walked, out if out is not None else folder / "proposal")
    if as_json:
        missing = [
            {"key": one.key, "what": one.what, "law": one.law, "place": one.place}
            for one in walked.job.proposal.not_given
        ]
        print_json({"proposal": {"file": str(file), "not_given": missing}})
        return
    say(f"The proposal is {file}. It holds sale prices: it is for the customer, not for the wall.")
    say(_not_given(walked))


def _not_given(walked: Walk) -> str:
    missing = walked.job.proposal.not_given
    lines = []
    if law := [one for one in missing if one.law]:
        lines += ["", "Texts that law governs and that are not given (nothing stands for them):"]
        lines += [f"  {one.what}: {one.place}" for one in law]
        lines.append("Ask your local authority or a lawyer which must be there, in which words.")
    if own := [one for one in missing if not one.law]:
        lines += ["", "Words of yours that are not given:"]
        lines += [f"  {one.what}: {one.place}" for one in own]
    return "\n".join(lines)
