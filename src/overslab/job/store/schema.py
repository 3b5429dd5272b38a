"""Which layout the tables have, and how an older one becomes the one of this program."""

from __future__ import annotations

from pathlib import Path

from alembic import command
from alembic.config import Config
from alembic.runtime.migration import MigrationContext
from alembic.script import ScriptDirectory
from sqlalchemy import Connection, inspect, text

from overslab.ground.faults import Faulty
from overslab.job.store import faults

_HERE = Path(__file__).parent / "migrations"


class Schema:
    """The known layouts, oldest first; ``more`` names folders with further ones."""

    def __init__(self, *more: Path) -> None:
        self._config = Config()
        self._config.set_main_option("script_location", _escaped(_HERE))
        self._config.set_main_option("path_separator", "newline")
        folders = "\n".join(_escaped(path) for path in (_HERE / "versions", *more))
        self._config.set_main_option("version_locations", folders)
        scripts = ScriptDirectory.from_config(self._config)
        self.known = tuple(one.revision for one in reversed(list(scripts.walk_revisions())))

    @property
    def newest(self) -> str:
        return self.known[-1]

    def of(self, connection: Connection) -> str | None:
        """The layout of this database, None without tables of ours; ``Faulty`` for a newer."""
        has = MigrationContext.configure(connection).get_current_revision()
        if has is None:
            return None
        if has not in self.known:
            raise Faulty(faults.STORE_NEWER.met(value=has, known=self.newest, has=has))
        return has

    def bring(self, connection: Connection, *, to: str | None = None) -> None:
        """Bring the database to a layout, inside the transaction of ``connection``.

        It is all or nothing: the caller commits, and a kill before that leaves the old layout.
        """
        self._config.attributes["connection"] = connection
        try:
            command.upgrade(self._config, to or self.newest)
        finally:
            del self._config.attributes["connection"]
        if connection.dialect.name == "sqlite":
            broken = connection.execute(text("PRAGMA foreign_key_check")).first()
            if broken is not None:
                raise Faulty(
                    faults.STORE_DAMAGED.met(
                        value=str(tuple(broken)),
                        why="rows point nowhere after a change of layout",
                        backup="the one made before this change",
                    )
                )


def has_tables(connection: Connection) -> bool:
    return bool(inspect(connection).get_table_names())


def _escaped(path: Path) -> str:
    return str(path).replace("%", "%%")
