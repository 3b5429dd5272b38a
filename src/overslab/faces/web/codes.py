"""QR codes: for the page as an image, for the terminal as text."""

from __future__ import annotations

import io

import segno


def picture_of(address: str) -> str:
    """A QR code as the address of an image; black on white in every look of the page."""
    code = segno.make(address, error="m", micro=False)
    return str(code.svg_data_uri(scale=8, border=4, dark="#000", light="#fff"))


def lines_of(address: str) -> str:
    """A QR code made of half blocks, for a terminal."""
    told = io.StringIO()
    segno.make(address, error="l", micro=False).terminal(out=told, compact=True, border=2)
    return told.getvalue()
