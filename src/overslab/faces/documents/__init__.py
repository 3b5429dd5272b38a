"""Records to drawings and paper: the packet of sheets, each alone as PDF and SVG.

Computes nothing beyond the layout.
"""

from overslab.faces.documents.packet import draw_sheet, write_packet
from overslab.faces.documents.sheets import SHEETS, SheetKind, sheet_names

__all__ = ["SHEETS", "SheetKind", "draw_sheet", "sheet_names", "write_packet"]
