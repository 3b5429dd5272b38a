"""The tables are what the program thinks, and a change of layout loses nothing."""

from __future__ import annotations

import pytest
from alembic.autogenerate import compare_metadata
from alembic.runtime.migration import MigrationContext
from layouts import LATER, NEW, OLD, layout, said
from made_events import PNG, shot
from sqlalchemy import inspect
from sqlalchemy.exc import IntegrityError

from conftest import Place
from overslab.ground.faults import Faulty
from overslab.job import sample_folder
from overslab.job.store import Store, tables
from overslab.job.store.engines import Engines
from overslab.job.store.schema import Schema


def test_the_layouts_lead_to_the_tables_of_the_program(place: Place) -> None:
    place.open().close()
    engines = Engines(place.url)
    with engines.reading() as connection:
        context = MigrationContext.configure(connection, opts={"compare_type": True})
        assert compare_metadata(context, tables.metadata) == []
        names = {
            constraint["name"]
            for table in tables.ALL
            for constraint in (
                inspect(connection).get_pk_constraint(table),
                *inspect(connection).get_foreign_keys(table),
                *inspect(connection).get_unique_constraints(table),
            )
        }
    engines.close()
    # Every one has a name, or a later layout could not speak of it.
    assert names == {
        "pk_own", "pk_jobs", "pk_events", "pk_things", "pk_tray", "fk_events_job_jobs",
        "fk_things_job_jobs", "uq_events_id", "uq_tray_id_content",
    }  # fmt: skip


def test_no_event_stands_without_its_job(place: Place) -> None:
    with place.open() as store:
        store.begin("Barn", who="office")
    engines = Engines(place.url)
    with (
        pytest.raises(Faulty) as caught,
        engines.writing() as connection,
    ):
        connection.exec_driver_sql("UPDATE events SET job = '00000000000000000000000000000000'")
    engines.close()
    assert isinstance(caught.value.__cause__, IntegrityError)


def test_a_change_of_layout_keeps_everything_and_a_way_back(place: Place) -> None:
    with place.open() as store:
        job = store.import_folder(sample_folder("farm-shop"), who="office")
        store.keep([shot(job, f"X{n}", seq=n) for n in range(1, 30)])
        store.add_photo(job, PNG, who="office")
        seen, wanted = store.job(job), said(place.url)
    assert layout(place.url) == OLD
    with Store.open(place.url, data=place.data, backup=False, schema=Schema(LATER)) as store:
        assert store.health().schema == NEW
        assert store.job(job) == seen
    assert layout(place.url) == NEW
    assert said(place.url) == wanted
    # What points to the table that was laid anew still does.
    engines = Engines(place.url)
    with engines.reading() as connection:
        keys = inspect(connection).get_foreign_keys("events")
        assert [key["referred_table"] for key in keys] == ["jobs"]
    engines.close()
    with pytest.raises(Faulty) as caught:
        place.open()
    assert caught.value.faults[0].code == "store-newer"
    (backup,) = Store.backups(place.data)
    assert f"before-{NEW}" in backup.name
    if place.url.startswith("sqlite"):
        Store.restore(backup, url=place.url, data=place.data)
        with place.open() as store:
            assert store.job(job) == seen
            store.keep([shot(job, "X30", seq=30)])
            assert store.differing() == ()
    else:
        # A server's tables of a newer program are not taken apart; an empty database is asked for.
        with pytest.raises(Faulty) as caught:
            Store.restore(backup, url=place.url, data=place.data)
        assert caught.value.faults[0].code == "store-newer"
