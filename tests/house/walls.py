"""Who imports whom, read from the source without running it."""

from __future__ import annotations

import ast
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from graphlib import CycleError, TopologicalSorter
from pathlib import Path


@dataclass(frozen=True, slots=True)
class Arrow:
    """One import of one of our modules by another; ``late`` when it runs inside a function."""

    importer: str
    imported: str
    line: int
    late: bool

    def __str__(self) -> str:
        return f"{self.importer}, line {self.line}, imports {self.imported}"


def modules_of(package: Path) -> dict[str, Path]:
    """Dotted name to file of every module under a package folder."""
    found = {}
    for path in sorted(package.rglob("*.py")):
        parts = path.relative_to(package.parent).with_suffix("").parts
        parts = parts[:-1] if parts[-1] == "__init__" else parts
        found[".".join(parts)] = path
    return found


def arrows_of(package: Path) -> tuple[Arrow, ...]:
    """Every import between modules of one package, late and type-checking ones too."""
    modules = modules_of(package)
    return tuple(arrow for name, path in modules.items() for arrow in _arrows(name, path, modules))


def _arrows(name: str, path: Path, modules: Mapping[str, Path]) -> Iterator[Arrow]:
    tree = ast.parse(path.read_text(encoding="utf-8"))
    late = {
        id(inner)
        for outer in ast.walk(tree)
        if isinstance(outer, ast.FunctionDef | ast.AsyncFunctionDef | ast.Lambda)
        for inner in ast.walk(outer)
    }
    for node in ast.walk(tree):
        for imported in _named(node, name, path, modules):
            if imported != name:
                yield Arrow(name, imported, getattr(node, "lineno", 0), id(node) in late)


def _named(node: ast.AST, name: str, path: Path, modules: Mapping[str, Path]) -> Iterator[str]:
    """Our modules that one statement names; a name inside a module counts as that module."""
    if isinstance(node, ast.Import):
        for alias in node.names:
            yield from _known([alias.name], modules)
    elif isinstance(node, ast.ImportFrom):
        base = node.module or ""
        if node.level:
            package = name.split(".") if path.name == "__init__.py" else name.split(".")[:-1]
            package = package[: len(package) - node.level + 1]
            base = ".".join([*package, *([base] if base else [])])
        for alias in node.names:
            inner = f"{base}.{alias.name}"
            # A package may export a function under the name of the module that holds it.
            shadowed = base in modules and alias.name in _brought_in(modules[base])
            yield from _known([base] if shadowed else [inner, base], modules)


def _brought_in(path: Path) -> set[str]:
    """Names that a package takes out of its own modules."""
    if path.name != "__init__.py":
        return set()
    return {
        alias.asname or alias.name
        for node in ast.parse(path.read_text(encoding="utf-8")).body
        if isinstance(node, ast.ImportFrom)
        for alias in node.names
    }


def _known(candidates: Sequence[str], modules: Mapping[str, Path]) -> Iterator[str]:
    yield from (name for name in candidates[:1] if name in modules)
    if candidates[0] not in modules:
        yield from (name for name in candidates[1:] if name in modules)


def level_of(module: str, *, package: str, levels: Sequence[str]) -> int | None:
    """Place of a module in the list of levels; None for the package itself and its bare folders."""
    inner = module.removeprefix(package).removeprefix(".")
    fitting = [
        place
        for place, level in enumerate(levels)
        if inner == level or inner.startswith(level + ".")
    ]
    return fitting[0] if fitting else None


def wrong_arrows(package: Path, *, levels: Sequence[str], rooms: Sequence[str]) -> list[str]:
    """Every import that points up the house, goes round a front door, or stands on no level."""
    top = package.name
    complaints = []
    for arrow in arrows_of(package):
        here = level_of(arrow.importer, package=top, levels=levels)
        there = level_of(arrow.imported, package=top, levels=levels)
        if here is None:
            if there is not None and not arrow.importer.endswith("__main__"):
                complaints.append(f"{arrow}: the importer stands on no level")
            continue
        if there is None:
            continue
        if there > here:
            complaints.append(f"{arrow}: {levels[here]} may not know {levels[there]}")
        room = levels[there]
        doors = {f"{top}.{room}", f"{top}.{room}.records"}
        if there != here and room in rooms and arrow.imported not in doors:
            complaints.append(f"{arrow}: go through the front door or the records of {room}")
    return complaints


def cycle(graph: Iterable[tuple[str, str]]) -> list[str] | None:
    """One cycle of a graph given as (from, to), or None."""
    targets: dict[str, set[str]] = {}
    for source, target in graph:
        targets.setdefault(source, set()).add(target)
    try:
        TopologicalSorter(targets).prepare()
    except CycleError as found:
        return list(found.args[1])
    return None


def room_graph(package: Path, *, levels: Sequence[str]) -> set[tuple[str, str]]:
    """Arrows between levels, late imports counted in."""
    top = package.name
    graph = set()
    for arrow in arrows_of(package):
        here = level_of(arrow.importer, package=top, levels=levels)
        there = level_of(arrow.imported, package=top, levels=levels)
        if here is not None and there is not None and here != there:
            graph.add((levels[here], levels[there]))
    return graph


def module_graph(package: Path) -> set[tuple[str, str]]:
    """Arrows between modules that run at import time."""
    return {(arrow.importer, arrow.imported) for arrow in arrows_of(package) if not arrow.late}
