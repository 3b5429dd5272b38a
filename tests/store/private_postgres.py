"""A PostgreSQL server of our own for the tests: private folder, socket only, gone afterwards."""

from __future__ import annotations

import os
import pwd
import shutil
import subprocess
import tempfile
from pathlib import Path

import psycopg

SETTING = "OVERSLAB_TEST_POSTGRES"  # address of a server that the tests may make databases on
SKIP = (
    "PostgreSQL is not here: install Debian's postgresql (apt-get install postgresql) or set "
    f"{SETTING} to an address such as postgresql+psycopg://name@machine/postgres"
)


def binaries() -> Path | None:
    """The folder of initdb and pg_ctl, the newest release first."""
    on_path = shutil.which("initdb")
    found = [Path(on_path).parent] if on_path and shutil.which("pg_ctl") else []
    releases = Path("/usr/lib/postgresql").glob("*/bin/initdb")
    found += [path.parent for path in sorted(releases, reverse=True)]
    return found[0] if found else None


class PrivateServer:
    """One cluster. It refuses to run as root, so root lends it to the user postgres."""

    def __init__(self, bin_folder: Path) -> None:
        self.bin = bin_folder
        self.folder = Path(tempfile.mkdtemp(prefix="overslab-pg-"))
        self.user = "postgres" if os.geteuid() == 0 else None
        if self.user is not None:
            account = pwd.getpwnam(self.user)
            os.chown(self.folder, account.pw_uid, account.pw_gid)
        self._run(
            "initdb",
            "-D",
            f"{self.folder}/data",
            "-A",
            "trust",
            "-U",
            "overslab",
            "-N",
            "-E",
            "UTF8",
            "--locale=C",
            "--data-checksums",
        )
        self.start()

    def _run(self, tool: str, *words: str) -> None:
        command = [str(self.bin / tool), *words]
        if self.user is not None:
            command = ["runuser", "-u", self.user, "--", *command]
        done = subprocess.run(
            command, cwd=self.folder, capture_output=True, text=True, timeout=60, check=False
        )
        if done.returncode:
            raise RuntimeError(f"{tool}: {done.stdout}{done.stderr}")

    def start(self) -> None:
        options = f"-c listen_addresses='' -c unix_socket_directories='{self.folder}'"
        self._run(
            "pg_ctl",
            "-D",
            f"{self.folder}/data",
            "-w",
            "-l",
            f"{self.folder}/log",
            "-o",
            options,
            "start",
        )

    def stop(self, *, mode: str = "fast") -> None:
        """``immediate`` is as if it were killed."""
        self._run("pg_ctl", "-D", f"{self.folder}/data", "-w", "-m", mode, "stop")

    def url(self, database: str) -> str:
        return f"postgresql+psycopg://overslab@/{database}?host={self.folder}"

    def remove(self) -> None:
        self.stop(mode="immediate")
        shutil.rmtree(self.folder, ignore_errors=True)


def make_database(server_url: str, name: str, *, like: str = "template1") -> None:
    """A database on a server that is given by the address of another one on it: empty, or like
    one that nobody has open."""
    with psycopg.connect(_plain(server_url), autocommit=True) as connection:
        words = psycopg.sql.SQL("CREATE DATABASE {} TEMPLATE {}")
        names = (psycopg.sql.Identifier(name), psycopg.sql.Identifier(like))
        connection.execute(words.format(*names))


def drop_database(server_url: str, name: str) -> None:
    with psycopg.connect(_plain(server_url), autocommit=True) as connection:
        words = psycopg.sql.SQL("DROP DATABASE IF EXISTS {} WITH (FORCE)")
        connection.execute(words.format(psycopg.sql.Identifier(name)))


def _plain(url: str) -> str:
    return url.replace("postgresql+psycopg://", "postgresql://", 1)
