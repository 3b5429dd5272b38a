"""Write the reference pages from the program itself: formulas, faults, commands, job folder.

``make reference`` runs this. A test holds the pages in the repository against a fresh writing.
"""

from __future__ import annotations

import importlib
import json
import math
import pkgutil
import sys
from collections.abc import Iterator, Mapping
from itertools import groupby
from pathlib import Path
from typing import Any

from pydantic import BaseModel

import overslab
from overslab.ground.faults import FaultKind, known_kinds
from overslab.ground.units import Units, write_by_suffix
from overslab.handbook.limits import Limit, known_tables, with_edition
from overslab.handbook.sources import sources, topics
from overslab.handbook.working import Formula, known_formulas

FOLDER = Path(__file__).parent / "reference"
REFERENCE_UNITS = Units("feet-inches", 0.0254 / 16)
MADE = "<!-- Written by docs/make_reference.py from the program; do not edit by hand. -->\n"

# shots.csv has no model of its own; what its columns mean is said here, once.
SHOT_COLUMNS = {
    "point": "Name of the point; the same name read twice is one point read twice.",
    "x": "To the right on the sheet, a length; empty for benchmarks and turns without a place.",
    "y": "Up the sheet, a length.",
    "setup": "Which set-up of the laser the reading belongs to.",
    "reading": "The rod reading, in the convention that job.toml locks for the whole survey.",
    "kind": "benchmark, floor, sill, step, drive, check, turn or asbuilt.",
    "note": "Anything in words.",
    "grid": "Instead of x and y: the label of the taped grid, such as C4.",
}


def load_everything() -> None:
    """Import every module, so that every fault and every formula has been declared."""
    for found in pkgutil.walk_packages(overslab.__path__, "overslab."):
        if not found.name.endswith("__main__"):
            importlib.import_module(found.name)


def own_formulas() -> list[Formula]:
    """Formulas of our chapters; a test may have registered others of its own."""
    return [
        entry
        for entry in known_formulas()
        if entry.function.__module__.startswith("overslab.handbook.")
    ]


def declared_faults() -> list[FaultKind]:
    """Fault kinds declared at the top of our modules; a test may have made others of its own."""
    found = {
        value.code: value
        for name, module in list(sys.modules.items())
        if name.startswith("overslab.")
        for value in vars(module).values()
        if isinstance(value, FaultKind)
    }
    return [found[code] for code in sorted(found)]


def cell(text: object) -> str:
    return " ".join(str(text).split()).replace("|", "\\|")


def formulas() -> Iterator[str]:
    yield "# Formulas\n"
    yield (
        "Every formula of the handbook, by chapter. Values are SI; the unit stands in the name."
        " `overslab calc NAME key=value ...` runs any of them and shows its working.\n"
    )
    by_chapter = sorted(own_formulas(), key=lambda entry: (entry.chapter, entry.name))
    for chapter, entries in groupby(by_chapter, key=lambda entry: entry.chapter):
        module = importlib.import_module(f"overslab.handbook.{chapter}")
        first = (module.__doc__ or "").strip().split("\n")[0]
        yield f"## Chapter {chapter}\n\n{first}\n"
        for entry in entries:
            yield formula(entry)


def formula(entry: Formula) -> str:
    lines = [f"### `{entry.name}`\n", f"{entry.says}\n", f"    {entry.equation}\n"]
    lines += ["| symbol | name |", "|---|---|"]
    lines += [f"| {cell(symbol)} | `{name}` |" for name, symbol in entry.symbols.items()]
    lines += [f"| {cell(entry.result[1])} | `{entry.result[0]}` (the result) |", ""]

    def in_print(name: str, value: object) -> str:
        unit = entry.printed_in.get(name, "")
        return f"{value!r} {unit}".rstrip()

    given = ", ".join(f"{name}={in_print(name, value)}" for name, value in entry.example.items())
    printed = in_print(entry.result[0], entry.example_result)
    within = f" (within {entry.example_within:.2%} of print)" if entry.example_within else ""
    lines += [
        f"- Source: {cell(entry.source)} ({entry.known})",
        f"- Valid: {cell(entry.valid)}",
        f"- Worked number: `{cell(given)}` gives `{cell(printed)}`{within}\n",
    ]
    return "\n".join(lines)


def limits() -> Iterator[str]:
    yield "# Limits and tables\n"
    yield (
        "Every limit of the handbook by topic: what is taken until the owner says otherwise stands"
        " first, marked *default*; sources that disagree are all kept. Then the printed tables.\n"
    )
    for topic, entries in topics():
        yield f"## Limits: {topic}\n"
        yield "| limit | value | source | known | note |\n|---|---|---|---|---|"
        yield "\n".join(limit(entry) for entry in entries) + "\n"
    for entry in sorted(known_tables(), key=lambda table: table.name):
        yield f"## Table: {entry.name}\n"
        heads = [f"{name} ({entry.printed_in[name]})" if name in entry.printed_in else name
                 for name in entry.columns]  # fmt: skip
        yield f"| {' | '.join(heads)} |\n|{'---|' * len(heads)}"
        yield "\n".join(f"| {' | '.join(map(digits, row))} |" for row in entry.rows) + "\n"
        cited = with_edition(entry.source, entry.edition)
        note = f" Note: {cell(entry.note)}." if entry.note else ""
        yield f"Source: {cell(cited)} ({entry.known}).{note}\n"


def digits(value: float | str) -> str:
    if isinstance(value, str):
        return cell(value)
    return f"{value:.6g}" if math.isfinite(value) else "no limit"


def limit(entry: Limit) -> str:
    value = entry.printed or write_by_suffix(entry.quantity, entry.value, REFERENCE_UNITS)
    value = f"{entry.bound} {value}"
    name = f"{entry.name} *default*" if entry.practice else entry.name
    cited = with_edition(entry.source, entry.edition)
    return f"| {cell(name)} | {value} | {cell(cited)} | {entry.known} | {cell(entry.note)} |"


def sources_page() -> Iterator[str]:
    yield "# Sources\n"
    yield (
        "Everything the handbook takes from each publication. *read* was read in print or in a"
        " stored copy (second hand where it says so), *memory* is to be confirmed before anybody"
        " relies on it, *common practice* has no publication, *derived* is arithmetic.\n"
    )
    for source in sources(only=own_formulas()):
        yield f"## {source.title}\n"
        yield "\n".join(
            [
                *(f"- formula `{one.name}`: {cell(one.source)} ({one.known})"
                  for one in source.formulas),
                *(f"- table: {cell(one.name)} ({one.known})" for one in source.tables),
                *(f"- limit, {one.topic}: {cell(one.name)}"
                  + (f", {cell(one.edition)}" if one.edition not in source.title else "")
                  + f" ({one.known})" for one in source.limits),
                *(f"- advice, {one.topic}: {cell(one.says)} ({one.known})"
                  for one in source.advice),
            ]
        ) + "\n"  # fmt: skip


def faults() -> Iterator[str]:
    yield "# Faults\n"
    yield (
        "Everything that can be wrong with what is given, by its code. Words in braces are filled"
        " in when the fault is met; the value given stands beside them.\n"
    )
    for kind in declared_faults():
        yield (
            f"## `{kind.code}`\n\n- What: {cell(kind.what)}\n- Limit: {cell(kind.limit)}\n"
            f"- Do next: {cell(kind.remedy)}\n"
        )


def commands() -> Iterator[str]:
    yield "# Commands\n"
    yield from (command(name, entry) for name, entry in command_tree())


def command_tree() -> Iterator[tuple[str, Any]]:
    """Full name and click command of every command and group, from the top down."""
    import typer.main

    from overslab.faces.cli.main import app

    waiting = [("overslab", typer.main.get_command(app))]
    while waiting:
        name, entry = waiting.pop(0)
        yield name, entry
        inner: Mapping[str, Any] = getattr(entry, "commands", {})
        waiting += [(f"{name} {word}", inner[word]) for word in inner if not inner[word].hidden]


def options_of(entry: Any) -> Iterator[tuple[str, str]]:
    """Name and help of every argument and option that a person sees."""
    for parameter in entry.params:
        if getattr(parameter, "hidden", False):
            continue
        if parameter.param_type_name == "argument":
            yield parameter.name.upper(), getattr(parameter, "help", None) or ""
        else:
            names = [*parameter.opts, *parameter.secondary_opts]
            yield ", ".join(names), parameter.help or ""


def command(name: str, entry: Any) -> str:
    lines = [f"## `{name}`\n", f"{(entry.help or '').strip()}\n"]
    for words, says in options_of(entry):
        lines += [f"### `{name} {words}`\n", f"{says.strip()}\n"]
    return "\n".join(lines)


def job_folder() -> Iterator[str]:
    yield "# The job folder, key by key\n"
    yield "What must be given says so; everything else may be left out.\n"
    for file, model in files():
        yield f"## `{file}`\n\n{first_lines(model)}\n"
        yield from keys(model, prefix="")
    yield "## `shots.csv`\n\nOne reading a line, with these columns.\n"
    for column in shot_columns():
        yield f"### `shots.csv {column}`\n\n{SHOT_COLUMNS[column]}\n"


def files() -> list[tuple[str, type[BaseModel]]]:
    """The models of whole files: those of the job that no other model holds."""
    models = {
        model
        for model in every_model(BaseModel)
        if model.__module__.startswith("overslab.job.")
        and not model.__module__.startswith("overslab.job.store.")  # bodies of events, no file
        and model.model_fields
    }
    held = {
        inner
        for model in models
        for entry in model.model_fields.values()
        for inner in models_in(entry.annotation)
    }
    bases = {base for model in models for base in model.__mro__[1:]}
    whole = sorted(models - held - bases, key=lambda model: model.__name__)
    return [(model.__name__.removesuffix("File").lower() + ".toml", model) for model in whole]


def every_model(top: type[BaseModel]) -> Iterator[type[BaseModel]]:
    for model in top.__subclasses__():
        yield model
        yield from every_model(model)


def models_in(annotation: Any) -> list[type[BaseModel]]:
    """The models named anywhere inside a type."""
    if isinstance(annotation, type) and issubclass(annotation, BaseModel):
        return [annotation]
    return [model for part in getattr(annotation, "__args__", ()) for model in models_in(part)]


def is_list(annotation: Any) -> bool:
    return getattr(annotation, "__origin__", None) is list or any(
        is_list(part) for part in getattr(annotation, "__args__", ())
    )


def keys(model: type[BaseModel], *, prefix: str) -> Iterator[str]:
    """A heading a key, sections after the plain keys, as they stand in a file."""
    sections = []
    for name, entry in model.model_fields.items():
        key = f"{prefix}{entry.alias or name}"
        inner = models_in(entry.annotation)
        if inner:
            sections.append((key, inner[0], is_list(entry.annotation), entry.description))
            continue
        yield f"### `{key}`\n\n{entry_line(entry)}\n"
    for key, inner_model, many, says in sections:
        head = f"[[{key}]]" if many else f"[{key}]"
        yield f"### `{head}`\n\n{(says or first_lines(inner_model)).strip()}\n"
        yield from keys(inner_model, prefix=f"{key}.")


def entry_line(entry: Any) -> str:
    says = (entry.description or "").strip()
    if entry.is_required():
        return f"**Must be given.** {says}"
    default = entry.get_default(call_default_factory=True)
    if default is None or isinstance(default, list | tuple | dict):
        return says
    # As it would be typed in the file.
    typed = str(default).lower() if isinstance(default, bool) else json.dumps(default)
    return f"{says} Left out: `{typed}`."


def first_lines(model: type[BaseModel]) -> str:
    return (model.__doc__ or "").strip().split("\n\n")[0]


def shot_columns() -> tuple[str, ...]:
    from overslab.job.shotsfile import COLUMNS

    return tuple(COLUMNS)


def pages() -> dict[str, str]:
    """Every reference page by its file name."""
    load_everything()
    made = {
        "formulas.md": formulas(),
        "limits.md": limits(),
        "sources.md": sources_page(),
        "faults.md": faults(),
        "commands.md": commands(),
        "job-file.md": job_folder(),
    }
    return {name: MADE + "\n" + "\n".join(parts) for name, parts in made.items()}


def main() -> None:
    FOLDER.mkdir(exist_ok=True)
    made = pages()
    hidden = {kind.code for kind in known_kinds()} - {kind.code for kind in declared_faults()}
    if hidden:
        sys.exit(f"faults that are not declared at the top of a module: {sorted(hidden)}")
    for name, text in made.items():
        (FOLDER / name).write_text(text, encoding="utf-8")
        sys.stdout.write(f"docs/reference/{name}\n")


if __name__ == "__main__":
    main()
