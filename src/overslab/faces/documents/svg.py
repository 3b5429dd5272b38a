"""Writes a drawing as SVG with plain attributes, so that it looks alike on a page and on paper."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Mapping
from xml.sax.saxutils import escape, quoteattr

from overslab.faces.documents.drawing import PAPER, PENS, Drawing, Path, Spot, Text, slug
from overslab.faces.documents.lettering import FAMILY, LONGEST_WORD

# Signs that XML 1.0 (fifth edition, section 2.2) does not allow in a document.
_FORBIDDEN = dict.fromkeys(
    [
        *(code for code in range(32) if code not in (9, 10, 13)),
        *range(0xD800, 0xE000),
        0xFFFE,
        0xFFFF,
    ],
    "\N{REPLACEMENT CHARACTER}",
)


# A figure and its unit, or a whole number and its fraction, stay on one line.
_BOUND = re.compile(r"(?<=\d) (?=\d+/\d|%|(?:in|ft|mm|m|m2|m3|yd3|psi|MPa|sq ft)\b)")

_ENDLESS = re.compile(rf"\S{{{LONGEST_WORD}}}(?=\S)")


def printable(text: str) -> str:
    """Text without the signs that may not stand in XML, figures bound to their units."""
    return _BOUND.sub("\N{NO-BREAK SPACE}", text.translate(_FORBIDDEN))


def settable(text: str) -> str:
    """Text for the typesetter: as printable, and words without an end may be broken."""
    return _ENDLESS.sub("\\g<0>\N{ZERO WIDTH SPACE}", printable(text))


def write_svg(drawing: Drawing, *, prefix: str = "", data: Mapping[str, str] | None = None) -> str:
    """The drawing as one SVG document; equal drawings give equal text.

    ``prefix`` goes before every id, for a page that holds several drawings; ``data`` becomes
    ``data-`` attributes of the whole. A layer named by several words is of the class of each.
    """
    ids = _Ids(prefix)
    more = "".join(f" data-{name}={quoteattr(value)}" for name, value in (data or {}).items())
    wide, high = _number(drawing.width), _number(drawing.height)
    lines = [
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{wide}mm" height="{high}mm" '
        f'viewBox="0 0 {wide} {high}" role="img" '
        f'aria-labelledby="{prefix}title {prefix}told"{more} '
        f'font-family="{FAMILY}, sans-serif" fill="none" stroke="none" '
        'stroke-linecap="round" stroke-linejoin="round">',
        f'<title id="{prefix}title">{_text(drawing.title)}</title>',
        f'<desc id="{prefix}told">{_text(drawing.told)}</desc>',
    ]
    for layer, things in drawing.layers.items():
        classes = " ".join(slug(word) for word in layer.split())
        lines.append(f'<g id="{prefix}layer-{slug(layer)}" class="layer {classes}">')
        lines += [_path(t, ids) if isinstance(t, Path) else _letters(t, ids) for t in things]
        lines.append("</g>")
    lines.append("</svg>\n")
    return "\n".join(lines)


class _Ids:
    """Ids that are unique in one drawing even when two names differ only in their signs."""

    def __init__(self, prefix: str) -> None:
        self._prefix = prefix
        self._seen: Counter[str] = Counter()

    def marks(self, kind: str, name: str) -> str:
        """The class, id and name attributes of one thing."""
        marks = f' class="{slug(kind)}"' if kind else ""
        if name:
            base = slug(kind, name) or "thing"
            self._seen[base] += 1
            count = self._seen[base]
            marks += f' id="{self._prefix}{base if count == 1 else f"{base}--{count}"}"'
            marks += f" data-name={quoteattr(printable(name))}"
        return marks


def _path(path: Path, ids: _Ids) -> str:
    way = "".join(_ring(ring, closed=path.closed) for ring in path.rings)
    look = ""
    if path.pen is not None:
        pen = PENS[path.pen]
        look = f' stroke="{pen.tone}" stroke-width="{_number(pen.width)}"'
        if pen.dash:
            look += f' stroke-dasharray="{" ".join(_number(part) for part in pen.dash)}"'
    if path.fill is not None:
        look += f' fill="{path.fill}" fill-rule="evenodd"'
    return f'<path{ids.marks(path.kind, path.name)} d="{way}"{look}/>'


def _ring(points: tuple[Spot, ...], *, closed: bool) -> str:
    way = "L".join(f"{_number(x)} {_number(y)}" for x, y in points)
    return f"M{way}Z" if closed else f"M{way}"


def _letters(text: Text, ids: _Ids) -> str:
    x, y = (_number(part) for part in text.at)
    look = f' x="{x}" y="{y}" font-size="{_number(text.size)}" fill="{text.tone}"'
    if text.anchor != "start":
        look += f' text-anchor="{text.anchor}"'
    if text.bold:
        look += ' font-weight="bold"'
    if text.angle:
        look += f' transform="rotate({_number(text.angle)} {x} {y})"'
    if text.halo:
        width = _number(max(0.6, text.size * 0.3))
        look += f' stroke="{PAPER}" stroke-width="{width}" paint-order="stroke"'
    return f"<text{ids.marks(text.kind, text.name)}{look}>{_text(text.text)}</text>"


def _text(text: str) -> str:
    return escape(printable(text))


def _number(value: float) -> str:
    """Hundredths of a millimetre, without idle zeros and without ``-0``."""
    written = f"{value:.2f}".rstrip("0").rstrip(".")
    return "0" if written in ("-0", "") else written
