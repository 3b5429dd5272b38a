"""What must not lie in the repository, and what every file must have."""

from __future__ import annotations

import ast
import re
from collections import Counter
from collections.abc import Iterator
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]
MOST_LINES = 400
# Put together here so that this file does not find itself.
MACHINE_PATH = re.compile(
    "/(?:" + "|".join(["root", "work", "tmp", "home", "Users"]) + r")/[A-Za-z]"
)
LEFT_OPEN = re.compile(
    r"\b(?:" + "|".join(["TO" + "DO", "FIX" + "ME", "X" * 3, "NotImplemented" + "Error"]) + r")\b"
)
TEXT = {".py", ".md", ".toml", ".csv", ".typ", ".sh", ".lock", ".txt", ".cfg", ".json", ""}
SKIPPED = {".git", ".venv", "build", "dist", "demo", "__pycache__", "LICENSES"}


def texts() -> Iterator[tuple[Path, str]]:
    """Every text file of the repository with its words, by path from the root."""
    for path in sorted(ROOT.rglob("*")):
        inner = path.relative_to(ROOT)
        hidden = any(part.startswith(".") and part != ".ci" for part in inner.parts)
        if path.is_dir() or hidden or SKIPPED & set(inner.parts):
            continue
        if path.suffix in TEXT:
            yield inner, path.read_text(encoding="utf-8")


def sources() -> Iterator[tuple[Path, str]]:
    yield from ((path, text) for path, text in texts() if path.suffix == ".py")


def test_the_search_finds_what_it_looks_for() -> None:
    assert MACHINE_PATH.search("see /" + "home/somebody")
    assert LEFT_OPEN.search("# TO" + "DO later")
    names = {path.as_posix() for path, _ in texts()}
    assert {"README.md", "Makefile", ".ci/run", "src/overslab/ground/faults.py"} <= names


def test_no_source_is_longer_than_a_person_reads() -> None:
    long = {
        path.as_posix(): text.count("\n")
        for path, text in sources()
        if path.parts[0] != "tests" and text.count("\n") > MOST_LINES
    }
    assert long == {}


def test_every_module_says_what_it_is() -> None:
    silent = [path.as_posix() for path, text in sources() if not ast.get_docstring(ast.parse(text))]
    assert silent == []


def test_no_path_of_a_machine() -> None:
    found = [path.as_posix() for path, text in texts() if MACHINE_PATH.search(text)]
    assert found == []


def test_nothing_is_left_open() -> None:
    assert [path.as_posix() for path, text in texts() if LEFT_OPEN.search(text)] == []


def test_no_address_in_a_lock() -> None:
    locks = {path.as_posix(): text for path, text in texts() if path.suffix == ".lock"}
    assert locks
    assert [path for path, text in locks.items() if "://" in text] == []


def test_no_two_test_modules_share_a_name() -> None:
    """The test runner imports them by name."""
    names = Counter(path.name for path, _ in sources() if path.parts[0] == "tests")
    names.pop("conftest.py", None)
    names.pop("__init__.py", None)
    assert [name for name, times in names.items() if times > 1] == []


@pytest.mark.parametrize("needed", ["CHANGELOG.md", "CONTRIBUTING.md", "LICENSE", "README.md"])
def test_the_papers_of_the_house(needed: str) -> None:
    assert len((ROOT / needed).read_text(encoding="utf-8")) > 300


def test_decisions_are_numbered_without_gaps() -> None:
    records = sorted(path.name for path in (ROOT / "docs" / "decisions").glob("*.md"))
    assert [int(name[:4]) for name in records] == list(range(1, len(records) + 1))
    for name in records:
        text = (ROOT / "docs" / "decisions" / name).read_text(encoding="utf-8")
        assert text.startswith(f"# {name[:4]}"), name
