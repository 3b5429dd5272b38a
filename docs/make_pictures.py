"""Draw the pictures of the docs with the program itself, from a sample job of our own invention.

``make pictures`` runs this. A test holds the picture in the repository against a fresh drawing.
"""

from __future__ import annotations

import sys
from pathlib import Path

from overslab.faces.documents import draw_sheet
from overslab.job import read_job, sample_folder, walk

FOLDER = Path(__file__).parent / "pictures"
SAMPLE = "farm-shop"
SHEETS = ("sections",)


def pictures() -> dict[str, str]:
    """Every picture by its file name."""
    walked = walk(read_job(sample_folder(SAMPLE)))
    return {f"{SAMPLE}-{sheet}.svg": on_paper(draw_sheet(walked, sheet)) for sheet in SHEETS}


def on_paper(svg: str) -> str:
    """A white ground under the lines, for pages that are shown on a dark one."""
    told = "</desc>\n"
    if svg.count(told) != 1:
        raise ValueError("a drawing has one description, after which its lines begin")
    return svg.replace(told, f'{told}<rect width="100%" height="100%" fill="white"/>\n')


def main() -> None:
    FOLDER.mkdir(exist_ok=True)
    for name, text in pictures().items():
        (FOLDER / name).write_text(text, encoding="utf-8")
        sys.stdout.write(f"docs/pictures/{name}\n")


if __name__ == "__main__":
    main()
