"""An earlier version of a job is what its events said up to then; on both databases."""

from __future__ import annotations

import pytest
from made_events import shot

from overslab.ground.faults import Faulty
from overslab.job import FolderTexts
from overslab.job.store import Store

THICK = ["wishes", "least_thickness"]


def test_every_version_can_be_read_again(store: Store, job: str) -> None:
    """Kept while the job was at it, and read back after everything that came later."""
    seen: dict[int, FolderTexts] = {store.version(job): store.job(job).folder_texts}

    def note() -> None:
        seen[store.version(job)] = store.job(job).folder_texts

    body = {"path": THICK, "value": "3 1/4 in"}
    store.change(job, based_on=store.version(job), kind="fact-set", body=body, who="office")
    note()
    store.keep([shot(job, "X1", seq=1)])
    note()
    store.undo(job, who="office")
    note()
    store.redo(job, who="office")
    note()
    assert len(seen) == 5
    assert len({text.job_toml for text in seen.values()}) == 2
    for version, texts in seen.items():
        assert store.texts_at(job, version) == texts
    # Looking changes nothing.
    assert store.job(job).folder_texts == seen[store.version(job)]


@pytest.mark.parametrize("version", [0, -1, 10_000])
def test_a_version_that_never_was_is_told(store: Store, job: str, version: int) -> None:
    with pytest.raises(Faulty) as trouble:
        store.texts_at(job, version)
    assert trouble.value.faults[0].code == "version-unknown"


def test_a_job_that_is_not_there_is_told(store: Store) -> None:
    with pytest.raises(Faulty) as trouble:
        store.texts_at("0" * 32, 1)
    assert trouble.value.faults[0].code == "job-unknown"
