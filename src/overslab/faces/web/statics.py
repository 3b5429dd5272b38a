"""Our own style sheets, scripts and letters, read once; an address names its content."""

from __future__ import annotations

import gzip
import hashlib
from functools import lru_cache
from importlib import resources
from importlib.resources.abc import Traversable
from typing import NamedTuple

from starlette.requests import Request
from starlette.responses import Response

from overslab.faces.web.roles import ANYONE, RoleRouter

KINDS = {
    ".css": "text/css; charset=utf-8",
    ".js": "text/javascript; charset=utf-8",
    ".mjs": "text/javascript; charset=utf-8",
    ".svg": "image/svg+xml",
    ".png": "image/png",
    ".json": "application/json",
    ".webmanifest": "application/manifest+json",
    ".ttf": "font/ttf",
    ".woff2": "font/woff2",
    ".txt": "text/plain; charset=utf-8",
}
router = RoleRouter()


class Static(NamedTuple):
    content: bytes
    packed: bytes | None  # gzip, where it is worth it
    kind: str
    tag: str


@lru_cache(maxsize=1)
def statics() -> dict[str, Static]:
    """Every file by its path below ``static``; nothing else can ever be asked for."""
    found: dict[str, Static] = {}
    _gather(resources.files("overslab.faces.web") / "static", "", found)
    return found


def _gather(folder: Traversable, prefix: str, found: dict[str, Static]) -> None:
    for entry in folder.iterdir():
        if entry.is_dir():
            _gather(entry, f"{prefix}{entry.name}/", found)
            continue
        kind = KINDS.get("." + entry.name.rpartition(".")[2])
        if kind is None:
            continue
        content = entry.read_bytes()
        packed = gzip.compress(content, 9, mtime=0)
        found[prefix + entry.name] = Static(
            content,
            packed if len(packed) < 0.9 * len(content) else None,
            kind,
            hashlib.sha256(content).hexdigest()[:16],
        )


def static_address(path: str) -> str:
    """The address of a file, with its content named in it. Raises ``KeyError`` for no such file."""
    return f"/static/{path}?v={statics()[path].tag}"


def static_response(request: Request, path: str, *, headers: dict[str, str]) -> Response:
    """A file as the browser wants it: packed, or not at all when it has it already."""
    file = statics().get(path)
    if file is None:
        return Response(status_code=404)
    headers = {**headers, "ETag": f'"{file.tag}"', "Vary": "Accept-Encoding"}
    if request.headers.get("if-none-match") == f'"{file.tag}"':
        return Response(status_code=304, headers=headers)
    if file.packed is not None and "gzip" in request.headers.get("accept-encoding", ""):
        headers["Content-Encoding"] = "gzip"
        return Response(file.packed, media_type=file.kind, headers=headers)
    return Response(file.content, media_type=file.kind, headers=headers)


@router.page("/static/{path:path}", roles=ANYONE, shared=True)
async def static_file(request: Request, path: str) -> Response:
    known = statics().get(path)
    lasting = known is not None and request.query_params.get("v") == known.tag
    caching = "public, max-age=31536000, immutable" if lasting else "no-cache"
    return static_response(request, path, headers={"Cache-Control": caching})


@router.page("/favicon.ico", roles=ANYONE, shared=True)
async def icon(request: Request) -> Response:
    """Asked for by browsers that show a PDF of ours, which names no icon."""
    return static_response(request, "mark.svg", headers={"Cache-Control": "max-age=86400"})
