"""The docs move with the code: every command, option, fault, key and formula has its heading."""

from __future__ import annotations

import importlib.util
import re
import sys
from pathlib import Path
from types import ModuleType

import pytest

from overslab.job.steps import STEPS

DOCS = Path(__file__).parents[2] / "docs"
HEADING = re.compile(r"^#{1,6} +(.+?) *$", re.MULTILINE)
LINK = re.compile(r"\]\(([^)#\s]+)")


def load(name: str) -> ModuleType:
    """A script of the docs as a module."""
    spec = importlib.util.spec_from_file_location(name, DOCS / f"{name}.py")
    assert spec is not None
    assert spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    sys.modules[name] = module
    spec.loader.exec_module(module)
    return module


@pytest.fixture(scope="module")
def maker() -> ModuleType:
    module = load("make_reference")
    module.load_everything()
    return module


@pytest.fixture(scope="module")
def headings() -> set[str]:
    return {
        heading.replace("`", "")
        for page in DOCS.rglob("*.md")
        for heading in HEADING.findall(page.read_text(encoding="utf-8"))
    }


def test_the_reference_pages_are_what_the_program_says(maker: ModuleType) -> None:
    stale = [
        name
        for name, text in maker.pages().items()
        if (DOCS / "reference" / name).read_text(encoding="utf-8") != text
    ]
    assert stale == [], "run make reference"


def test_every_formula_has_a_heading(maker: ModuleType, headings: set[str]) -> None:
    names = {entry.name for entry in maker.own_formulas()}
    assert len(names) >= 10
    assert names - headings == set()


def test_every_fault_has_a_heading(maker: ModuleType, headings: set[str]) -> None:
    codes = {kind.code for kind in maker.declared_faults()}
    assert len(codes) >= 10
    assert codes - headings == set()


def test_every_command_and_option_has_a_heading(maker: ModuleType, headings: set[str]) -> None:
    wanted = set()
    for name, entry in maker.command_tree():
        wanted.add(name)
        for words, says in maker.options_of(entry):
            wanted.add(f"{name} {words}")
            assert says.strip(), f"{name} {words} has no help"
        assert (entry.help or "").strip(), f"{name} has no help"
    assert {"overslab", *(f"overslab {step.verb}" for step in STEPS)} <= wanted
    assert wanted - headings == set()


def test_every_key_of_a_job_file_has_a_heading(maker: ModuleType, headings: set[str]) -> None:
    """Keys are read from the models by another way than the page is written: from their schema."""
    wanted = {f"shots.csv {column}" for column in maker.shot_columns()}
    for _, model in maker.files():
        schema = model.model_json_schema(by_alias=True)
        wanted |= set(keys_of(schema, schema.get("$defs", {}), prefix=""))
    assert {"wishes.least_fall", "shots.csv reading"} <= wanted
    bare = {heading.strip("[]") for heading in headings}
    assert wanted - bare == set()


def keys_of(schema: dict, defs: dict, *, prefix: str) -> list[str]:
    found = []
    for name, entry in schema.get("properties", {}).items():
        found.append(f"{prefix}{name}")
        for reference in set(re.findall(r"#/\$defs/(\w+)", repr(entry))):
            inner = defs[reference]
            if inner.get("type") == "object":
                found += keys_of(inner, defs, prefix=f"{prefix}{name}.")
    return found


def test_every_key_says_what_it_is(maker: ModuleType) -> None:
    silent = [
        f"{model.__name__}.{name}"
        for _, whole in maker.files()
        for model in {whole, *nested(maker, whole)}
        for name, entry in model.model_fields.items()
        if not (entry.description or "").strip()
    ]
    assert silent == []


def nested(maker: ModuleType, model: type) -> set[type]:
    found: set[type] = set()
    for entry in model.model_fields.values():
        for inner in maker.models_in(entry.annotation):
            found |= {inner, *nested(maker, inner)}
    return found


def test_the_map_follows_the_order_of_work() -> None:
    text = (DOCS / "index.md").read_text(encoding="utf-8")
    linked = LINK.findall(text)
    chapters = [f"{step.room}.md" for step in STEPS]
    assert [link for link in linked if link in chapters] == chapters
    for step in STEPS:
        chapter = (DOCS / f"{step.room}.md").read_text(encoding="utf-8")
        assert HEADING.search(chapter), step.room


def test_no_page_is_left_off_the_map_and_no_link_is_dead() -> None:
    linked = set(LINK.findall((DOCS / "index.md").read_text(encoding="utf-8")))
    pages = {path.relative_to(DOCS).as_posix() for path in DOCS.rglob("*.md")} - {"index.md"}
    assert pages - linked == set()
    dead = [
        f"{page.relative_to(DOCS)}: {link}"
        for page in [*DOCS.rglob("*.md"), DOCS.parent / "README.md"]
        for link in LINK.findall(page.read_text(encoding="utf-8"))
        if "://" not in link and not (page.parent / link).exists()
    ]
    assert dead == []


def test_the_readme_names_the_rooms_in_the_order_of_work(maker: ModuleType) -> None:
    readme = (DOCS.parent / "README.md").read_text(encoding="utf-8")
    rows = re.findall(r"^\| `overslab (\w+)` \| (.+) \|$", readme, re.MULTILINE)
    assert rows == [(step.verb, step.question) for step in STEPS]
    named = set(re.findall(r"^ +\.venv/bin/(overslab \w+)", readme, re.MULTILINE))
    assert named
    assert named <= {name for name, _ in maker.command_tree()}


def test_the_first_screen_has_the_picture_and_the_two_commands() -> None:
    first = (DOCS.parent / "README.md").read_text(encoding="utf-8").splitlines()[:24]
    assert any(line.startswith("![") for line in first)
    assert any("make demo" in line for line in first)
    assert any("make test" in line for line in first)


def test_the_pictures_are_what_the_program_draws() -> None:
    """Held by what is written on them; the lines may differ by a hair from machine to machine."""
    for name, fresh in load("make_pictures").pictures().items():
        kept = (DOCS / "pictures" / name).read_text(encoding="utf-8")
        words = [
            re.findall(r">([^<>\n]+)</(?:text|tspan|desc|title)>", svg) for svg in (kept, fresh)
        ]
        assert len(words[1]) > 20
        assert words[0] == words[1], "run make pictures"
        assert f"docs/pictures/{name}" in (DOCS.parent / "README.md").read_text(encoding="utf-8")
