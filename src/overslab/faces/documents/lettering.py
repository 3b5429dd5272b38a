"""How wide a line of lettering is, so that labels can be kept apart before anything is drawn.

The sheets are lettered in Source Sans Pro, a free sans-serif (SIL Open Font Licence 1.1) that comes
as a Python package of its own. Widths below are that font's advance widths; a test measures them
again by the typesetter.
"""

from __future__ import annotations

FAMILY = "Source Sans Pro"
# Points to millimetres: 1 pt = 1/72 in = 25.4/72 mm (ISO 32000-1:2008, 8.3.2.3).
MM_PER_PT = 25.4 / 72
CAP_HEIGHT = 0.66  # of the size, capitals and figures
DESCENT = 0.22
LONGEST_WORD = 40  # signs; longer ones may be broken anywhere

# Advance widths in thousandths of the size, code points 32 to 126.
# fmt: off
_REGULAR = (
    200, 289, 425, 497, 497, 824, 609, 249, 303, 303, 418, 497, 249, 311, 249, 350, 497, 497, 497,
    497, 497, 497, 497, 497, 497, 497, 249, 249, 497, 497, 497, 425, 847, 544, 588, 571, 615, 527,
    494, 617, 652, 263, 480, 579, 486, 727, 647, 664, 566, 664, 569, 534, 536, 645, 515, 786, 513,
    476, 539, 303, 350, 303, 497, 500, 542, 504, 553, 456, 555, 496, 292, 504, 544, 246, 247, 495,
    255, 829, 547, 542, 555, 555, 347, 419, 338, 544, 467, 718, 446, 467, 425, 303, 241, 303, 497,
)
_BOLD = (
    200, 340, 536, 528, 528, 857, 667, 300, 344, 344, 457, 528, 300, 332, 300, 339, 528, 528, 528,
    528, 528, 528, 528, 528, 528, 528, 300, 300, 528, 528, 528, 463, 903, 573, 605, 582, 635, 548,
    524, 638, 674, 301, 509, 614, 518, 762, 665, 684, 596, 684, 613, 556, 556, 665, 556, 813, 567,
    525, 541, 344, 339, 344, 528, 500, 555, 527, 573, 467, 573, 518, 341, 534, 571, 276, 278, 548,
    286, 857, 572, 555, 573, 573, 398, 443, 383, 568, 523, 776, 514, 521, 460, 344, 268, 344, 528,
)
# fmt: on
_OTHER = {
    "\N{NO-BREAK SPACE}": 200,
    "\N{ZERO WIDTH SPACE}": 0,
    "±": 528,
    "→": 619,
    "×": 528,
    "°": 365,
    "–": 480,
    "−": 528,
    "²": 376,
    "³": 376,
    "·": 300,
}
_WIDEST = 1000  # signs that are not listed are taken as a full square


def width_mm(text: str, *, size_mm: float, bold: bool = False) -> float:
    """Length of one line of lettering at ``size_mm`` (the font size), without kerning."""
    table = _BOLD if bold else _REGULAR
    total = 0
    for sign in text:
        code = ord(sign)
        total += table[code - 32] if 32 <= code < 127 else _OTHER.get(sign, _WIDEST)
    return total * size_mm / 1000


def wrap(text: str, *, width: float, size_mm: float, bold: bool = False) -> list[str]:
    """Break ``text`` at blanks into lines no longer than ``width`` millimetres.

    A word of more than ``LONGEST_WORD`` signs is broken too.
    """
    lines: list[str] = []
    line = ""
    for word in text.split():
        for start in range(0, len(word), LONGEST_WORD):
            piece = word[start : start + LONGEST_WORD]
            longer = f"{line} {piece}" if line and start == 0 else line + piece
            if line and width_mm(longer, size_mm=size_mm, bold=bold) > width:
                lines.append(line)
                line = piece
            else:
                line = longer
    return [*lines, line] if line else lines
