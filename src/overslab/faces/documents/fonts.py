"""The lettering of the sheets: where its files are, and which signs it has."""

from __future__ import annotations

import functools
import importlib.util
import shutil
import tempfile
from pathlib import Path

import typst

from overslab.faces.documents.lettering import FAMILY

_FACES = ("Regular", "Bold", "It", "BoldIt")
_PACKAGE = "font_source_sans_pro"
LOST = "\N{REPLACEMENT CHARACTER}"
# The compiler reads a font when it first needs it, so the folder lives as long as the process.
_folders: list[tempfile.TemporaryDirectory[str]] = []


@functools.cache
def fonts() -> typst.Fonts:
    """The four faces used, alone in a folder: no machine's own fonts or file order matter."""
    spec = importlib.util.find_spec(_PACKAGE)
    if spec is None or not spec.submodule_search_locations:
        raise RuntimeError(f"the font package {_PACKAGE} is not installed")
    source = Path(spec.submodule_search_locations[0]) / "files"
    _folders.append(tempfile.TemporaryDirectory(prefix="overslab-fonts-"))
    folder = Path(_folders[-1].name)
    for face in _FACES:
        shutil.copyfile(source / f"SourceSansPro-{face}.ttf", folder / f"{face}.ttf")
    return typst.Fonts(
        include_system_fonts=False, include_embedded_fonts=True, font_paths=[str(folder)]
    )


def compiler() -> typst.Compiler:
    """A typesetter that knows the fonts above and none of the machine's."""
    return typst.Compiler(font_paths=fonts(), ignore_system_fonts=True)


@functools.cache
def can_print(sign: str) -> bool:
    """Whether the lettering, or one of the typesetter's own fonts behind it, has this sign."""
    if " " <= sign <= "~":
        return True
    source = (
        f'#set text(font: "{FAMILY}")\n#set document(title: "sign")\n'
        "#sys.inputs.sign #strong(sys.inputs.sign) #emph(sys.inputs.sign)"
    )
    try:
        # Only a PDF that promises to be readable is refused for a missing sign.
        compiler().compile(
            source.encode(), format="pdf", pdf_standards=["ua-1"], sys_inputs={"sign": sign}
        )
    except typst.TypstError:
        return False
    return True


def only_printable(text: str) -> str:
    """Text with a replacement sign for every sign that the lettering lacks."""
    lacking = {sign for sign in set(text) if not can_print(sign)}
    return text.translate({ord(sign): LOST for sign in lacking}) if lacking else text
