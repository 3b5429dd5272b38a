"""The copy of the pages that a phone keeps, and the script that serves it without signal."""

from __future__ import annotations

import hashlib
import json
import re
from functools import lru_cache
from importlib import resources

from overslab.faces.web.statics import statics

PAGES = ("jobs", "shots", "readings", "notes", "state")
_IMPORT = re.compile(r'^import .*?from "\./([a-z0-9]+\.js)";$', re.MULTILINE)
_WORKER = "field/sw.js"
LOG = "/field/log.js"
# Served below /field/: a service worker has no other reach, nor gives another worker's script.
_IN_REACH = (_WORKER, "field/log.js")


@lru_cache(maxsize=1)
def kept_files() -> tuple[str, ...]:
    """Scripts and sheets of the field pages, by the plain address that scripts import them by."""
    own = [path for path in statics() if path.startswith("field/") and path not in _IN_REACH]
    return (LOG, *(f"/static/{path}" for path in sorted([*own, "base.css", "mark.svg"])))


@lru_cache(maxsize=16)
def modules_of(page: str) -> tuple[str, ...]:
    """Every script that a page comes to import, so that all are asked for at once."""
    found: dict[str, None] = {}
    waiting = [f"field/{page}.js"]
    while waiting:
        text = statics()[waiting.pop()].content.decode()
        for name in _IMPORT.findall(text):
            if f"/static/field/{name}" not in found:
                found[f"/static/field/{name}"] = None
                waiting.append(f"field/{name}")
    return tuple(found)


@lru_cache(maxsize=1)
def version() -> str:
    """Changes when any byte of the kept pages may change."""
    mark = hashlib.sha256()
    for path, file in sorted(statics().items()):
        if path.startswith("field/") or path in ("base.css", "mark.svg"):
            mark.update(f"{path} {file.tag}\n".encode())
    folder = resources.files("overslab.faces.web") / "templates"
    for entry in sorted((folder / "field").iterdir(), key=lambda found: found.name):
        mark.update(entry.read_bytes())
    mark.update((folder / "parts.html").read_bytes())
    return mark.hexdigest()[:16]


def worker_script() -> bytes:
    """The service worker with the list it keeps; a new list is a new worker to the browser."""
    shell = {
        "version": version(),
        "pages": {page: f"/field/shell/{page}" for page in PAGES},
        "files": kept_files(),
    }
    return f"const SHELL = {json.dumps(shell)};\n".encode() + statics()[_WORKER].content
