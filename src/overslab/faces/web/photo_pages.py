"""Pictures in and out: judged by content, drawn anew, without place or maker."""

from __future__ import annotations

import io
import re
import warnings

import anyio
from PIL import Image, ImageOps, UnidentifiedImageError
from starlette.concurrency import run_in_threadpool
from starlette.datastructures import UploadFile
from starlette.requests import Request
from starlette.responses import JSONResponse, Response

from overslab.faces.web import faults
from overslab.faces.web.access_pages import page_of_ours, typed
from overslab.faces.web.answers import see_other, wants_json
from overslab.faces.web.forms import FORMS, form_of
from overslab.faces.web.limits import size_in_words
from overslab.faces.web.refusals import Refused
from overslab.faces.web.roles import AT_WORK, RoleRouter, viewer_of
from overslab.faces.web.site import Site, site_of
from overslab.ground.faults import Faulty

router = RoleRouter()
KINDS = ("JPEG", "PNG", "WEBP")  # opened by name: Pillow knows many more, and their holes
LONG_SIDE, QUALITY = 2048, 85
_NAME = re.compile(r"[0-9a-f]{64}\.jpg")
_LONGEST_ABOUT = 200
# One picture at a time: opened, one of the largest allowed takes more than a hundred megabytes.
_room = anyio.CapacityLimiter(1)


def redrawn(data: bytes, *, most_points: int) -> bytes:
    """The picture as a new JPEG of at most 2,048 points a side: upright, no notes of any kind.

    Only the first of several frames is taken. Raises ``Faulty`` for what is not a picture of a
    kind that is taken, has too many points, or is damaged.
    """
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("error", Image.DecompressionBombWarning)
            with Image.open(io.BytesIO(data), formats=KINDS) as picture:
                wide, high = picture.size
                if wide * high > most_points:
                    raise _too_many(wide, high, most_points)
                picture.draft("RGB", (LONG_SIDE, LONG_SIDE))
                picture.load()
                whole = ImageOps.exif_transpose(picture)
                whole.thumbnail((LONG_SIDE, LONG_SIDE))
                made = _on_white(whole)
    except (Image.DecompressionBombWarning, Image.DecompressionBombError):
        raise _too_many(0, 0, most_points) from None
    except UnidentifiedImageError:
        raise Faulty(faults.PICTURE_KIND.met(value=f"{len(data)} bytes of another kind")) from None
    except (OSError, ValueError, SyntaxError, EOFError, MemoryError) as trouble:
        raise Faulty(faults.PICTURE_BROKEN.met(value=str(trouble)[:120] or "damaged")) from None
    out = io.BytesIO()
    made.save(out, "JPEG", quality=QUALITY, optimize=True)
    return out.getvalue()


@router.action("/jobs/{job}/photos", roles=AT_WORK)
async def add_photo(request: Request, job: str) -> Response:
    """A form with ``photo`` and ``about``, or the bytes alone.

    ``only=file`` in the query keeps the file and leaves the event to the phone, which sends it
    with its own number; the answer to a script is the file's hash.
    """
    site, viewer = site_of(request), viewer_of(request)
    await run_in_threadpool(site.store.version, job)
    kind = request.headers.get("content-type", "").partition(";")[0].strip().lower()
    about, back, data = "", "", b""
    if kind in FORMS:
        about, back = await typed(request, "about"), await typed(request, "back")
        sent = (await form_of(request)).get("photo")
        if isinstance(sent, UploadFile):
            data = await sent.read()
    else:
        data = await request.body()
    about = about.strip()[:_LONGEST_ABOUT]
    await run_in_threadpool(_check_quota, site, job)
    points = site.settings.photo_points
    made = await anyio.to_thread.run_sync(lambda: redrawn(data, most_points=points), limiter=_room)
    if request.query_params.get("only") == "file":
        sha256 = await run_in_threadpool(site.store.put_photo, made)
    else:
        sha256 = await run_in_threadpool(
            site.store.add_photo, job, made, who=viewer.who, about=about, device=viewer.device
        )
    if wants_json(request) or kind not in FORMS:
        return JSONResponse({"sha256": sha256})
    return see_other(page_of_ours(back or f"/jobs/{job}/photos"))


@router.page("/jobs/{job}/photos/{name}", roles=AT_WORK, shared=True)
async def photo(request: Request, job: str, name: str) -> Response:
    store = site_of(request).store
    sha256 = name.removesuffix(".jpg")
    known = await run_in_threadpool(_photos_of, site_of(request), job)
    if not _NAME.fullmatch(name) or sha256 not in known:
        raise Refused(faults.PAGE_UNKNOWN.met(value=request.url.path[:200]), status=404)
    content = await run_in_threadpool(lambda: store.photo(sha256).read_bytes())
    return Response(
        content,
        media_type="image/jpeg",
        headers={
            "Content-Disposition": f'inline; filename="{sha256[:16]}.jpg"',
            "Content-Security-Policy": "default-src 'none'; sandbox",
            "Cache-Control": "private, max-age=31536000, immutable",
        },
    )


def _photos_of(site: Site, job: str) -> frozenset[str]:
    things = site.store.job(job).things
    return frozenset(str(one.body.get("sha256")) for one in things if one.kind == "photo")


def _check_quota(site: Site, job: str) -> None:
    most = site.settings.photos_a_job_bytes
    kept = sum(site.store.photo(sha256).stat().st_size for sha256 in sorted(_photos_of(site, job)))
    if kept > most:
        told = size_in_words(kept)
        raise Faulty(faults.PICTURE_QUOTA.met(value=told, most=most // 1024 // 1024))


def _too_many(wide: int, high: int, most: int) -> Faulty:
    value = f"{wide} by {high}" if wide else "more than can be counted"
    return Faulty(faults.PICTURE_LARGE.met(value=value, most=most // 1_000_000))


def _on_white(picture: Image.Image) -> Image.Image:
    """Plain colours on white: JPEG knows nothing of seeing through."""
    if picture.mode in ("RGBA", "LA", "PA") or "transparency" in picture.info:
        picture = picture.convert("RGBA")
        ground = Image.new("RGB", picture.size, "white")
        ground.paste(picture, mask=picture.getchannel("A"))
        return ground
    return picture.convert("RGB")
