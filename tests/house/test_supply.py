"""The lock holds what the project asks for, and everything it runs on may be given away."""

from __future__ import annotations

import importlib.metadata as metadata
import re
import tomllib
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

import pytest
from packaging.markers import Marker
from packaging.requirements import Requirement
from packaging.utils import canonicalize_name

ROOT = Path(__file__).parents[2]
PROJECT = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))
RUNTIME = [Requirement(line) for line in PROJECT["project"]["dependencies"]]
DEVELOPMENT = [Requirement(line) for line in PROJECT["project"]["optional-dependencies"]["dev"]]
BUILD = [Requirement(line) for line in PROJECT["build-system"]["requires"]]

# Licences that ask for no more than their text: permissive, share-alike by file (MPL-2.0), fonts.
ALLOWED = {
    "0BSD",
    "Apache-2.0",
    "BSD-2-Clause",
    "BSD-3-Clause",
    "BSL-1.0",
    "CC0-1.0",
    "HPND",
    "ISC",
    "MIT",
    "MIT-0",
    "MIT-CMU",
    "MPL-2.0",
    "OFL-1.1",
    "PSF-2.0",
    "Python-2.0",
    "Unlicense",
    "Zlib",
}
# Exceptions that take demands away; the runtime libraries of the compilers come under these.
ALLOWED_WITH_EXCEPTION = {
    "Apache-2.0 WITH LLVM-exception",
    "GPL-3.0-or-later WITH GCC-exception-3.1",
    "GPL-3.0-only WITH GCC-exception-3.1",
}
BY_CLASSIFIER = {
    "License :: OSI Approved :: MIT License": "MIT",
    "License :: OSI Approved :: BSD License": "BSD-3-Clause",
    "License :: OSI Approved :: Apache Software License": "Apache-2.0",
    "License :: OSI Approved :: Mozilla Public License 2.0 (MPL 2.0)": "MPL-2.0",
    "License :: OSI Approved :: Python Software Foundation License": "PSF-2.0",
    "License :: OSI Approved :: ISC License (ISCL)": "ISC",
    "License :: OSI Approved :: SIL Open Font License 1.1 (OFL-1.1)": "OFL-1.1",
}
BY_WORDS = {
    "MIT": "MIT",
    "MIT License": "MIT",
    "BSD": "BSD-3-Clause",
    "BSD License": "BSD-3-Clause",
    "BSD 3-Clause": "BSD-3-Clause",
    "BSD-3-Clause": "BSD-3-Clause",
    "Apache 2.0": "Apache-2.0",
    "Apache License 2.0": "Apache-2.0",
    "Apache-2.0": "Apache-2.0",
    "MPL-2.0": "MPL-2.0",
    "PSF-2.0": "PSF-2.0",
}


@dataclass(frozen=True, slots=True)
class Pin:
    name: str
    version: str
    marker: Marker | None
    hashes: int


def pins(lock: str) -> list[Pin]:
    """Every pinned package of a lock; a package may stand twice under different markers."""
    text = (ROOT / lock).read_text(encoding="utf-8").replace("\\\n", " ")
    found = []
    for line in text.splitlines():
        if not line.strip() or line.lstrip().startswith("#"):
            continue
        spec = re.split(r"\s--hash=", line, maxsplit=1)[0]
        wanted = Requirement(spec.strip())
        (version,) = wanted.specifier
        assert version.operator == "==", line
        found.append(
            Pin(
                name=canonicalize_name(wanted.name),
                version=version.version,
                marker=wanted.marker,
                hashes=line.count("--hash=sha256:"),
            )
        )
    return found


@pytest.mark.parametrize(
    ("lock", "asked"),
    [
        ("requirements.lock", RUNTIME),
        ("requirements-dev.lock", [*RUNTIME, *DEVELOPMENT]),
        ("requirements-build.lock", BUILD),
    ],
    ids=["runtime", "development", "build"],
)
def test_the_lock_satisfies_the_project(lock: str, asked: list[Requirement]) -> None:
    held = pins(lock)
    for wanted in asked:
        fitting = [pin for pin in held if pin.name == canonicalize_name(wanted.name)]
        assert fitting, f"{wanted.name} is not in {lock}: run make lock"
        for pin in fitting:
            assert wanted.specifier.contains(pin.version), f"{lock}: {pin} against {wanted}"
    assert [pin for pin in held if pin.hashes == 0] == []


def test_what_is_tested_is_what_runs() -> None:
    """The development lock pins the runtime set to the very same versions."""
    development = {(pin.name, pin.version) for pin in pins("requirements-dev.lock")}
    assert {(pin.name, pin.version) for pin in pins("requirements.lock")} <= development


def runtime_set() -> Iterator[metadata.Distribution]:
    """Everything installed that the runtime dependencies reach on this machine."""
    waiting = [(wanted, frozenset(wanted.extras)) for wanted in RUNTIME]
    seen: set[str] = set()
    while waiting:
        wanted, extras = waiting.pop()
        name = canonicalize_name(wanted.name)
        if name in seen:
            continue
        seen.add(name)
        found = metadata.distribution(wanted.name)
        yield found
        for line in found.requires or ():
            further = Requirement(line)
            marker = further.marker
            if marker is None or any(marker.evaluate({"extra": extra}) for extra in (*extras, "")):
                waiting.append((further, frozenset(further.extras)))


def allowed(expression: str) -> bool:
    """Whether an SPDX expression can be met: every part of an AND, one part of an OR."""
    expression = expression.strip()
    if expression in ALLOWED or expression in ALLOWED_WITH_EXCEPTION:
        return True
    bare = expression.replace("(", " ").replace(")", " ")
    for joint, meet in ((" AND ", all), (" OR ", any)):
        if joint in bare:
            return meet(allowed(part) for part in bare.split(joint))
    return False


def licence_of(found: metadata.Distribution) -> str:
    """SPDX expression of an installed package, or its own words when they name no known licence."""
    meta = found.metadata
    if meta.get("License-Expression"):
        return str(meta["License-Expression"])
    classes = [
        line
        for line in meta.get_all("Classifier") or ()
        if line.startswith("License :: ") and line != "License :: OSI Approved"
    ]
    if classes:
        return " AND ".join(BY_CLASSIFIER.get(line, line) for line in classes)
    words = (meta.get("License") or "unknown").strip().splitlines()[0].strip()
    return BY_WORDS.get(words, words)


def test_the_licence_check_can_fail() -> None:
    assert allowed("MIT")
    assert allowed("Apache-2.0 OR GPL-3.0-only")
    assert allowed("BSD-3-Clause AND MIT")
    assert not allowed("BSD-3-Clause AND GPL-3.0-only")
    assert not allowed("AGPL-3.0-or-later")
    assert not allowed("CC-BY-NC-4.0")
    assert not allowed("unknown")


def test_everything_it_runs_on_may_be_given_away() -> None:
    found = {one.name: licence_of(one) for one in runtime_set()}
    assert {canonicalize_name(wanted.name) for wanted in RUNTIME} <= {
        canonicalize_name(name) for name in found
    }
    assert {name: licence for name, licence in found.items() if not allowed(licence)} == {}
