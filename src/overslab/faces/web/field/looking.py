"""The laptop's second look at the shots, with the full method of the room of shots."""

from __future__ import annotations

from functools import lru_cache
from typing import Any

from overslab.ground.faults import Faulty
from overslab.job import FolderTexts, read_texts
from overslab.job.store import StoredJob
from overslab.shots import reduce


@lru_cache(maxsize=16)
def _suspects(texts: FolderTexts) -> tuple[dict[str, Any], ...] | int:
    """What the room of shots doubts; or how many things keep it from looking.

    Only the count goes out: a fault of rates.toml may hold a price.
    """
    try:
        survey = read_texts(texts).survey
        heights = reduce(survey)
    except Faulty as trouble:
        return len(trouble.faults)
    return tuple(
        {
            "point": one.point,
            "setup": one.setup,
            "reading_m": round(one.reading_m, 6),
            "gap_m": round(one.misfit_m, 6),
            "fits_m": round(one.fits_m, 6),
            "instead_m": None if one.suggested_m is None else round(one.suggested_m, 6),
            "slip": one.slip,
            "how": one.how,
        }
        for one in heights.suspects
    )


def second_look(stored: StoredJob) -> dict[str, Any]:
    """The doubted shots of a job by the id of the shot, largest misfit first."""
    found = _suspects(stored.folder_texts)
    if isinstance(found, int):
        return {"version": stored.version, "looked": False, "in_the_way": found, "suspects": []}
    standing = [thing for thing in stored.shots if not thing.struck]
    suspects = []
    for one in found:
        ids = [
            thing.id
            for thing in standing
            if thing.body.get("point") == one["point"] and thing.body.get("setup") == one["setup"]
        ]
        suspects.append({**one, "ids": ids})
    return {"version": stored.version, "looked": True, "in_the_way": 0, "suspects": suspects}
