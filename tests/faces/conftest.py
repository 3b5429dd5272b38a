"""Lets the tests of the faces share their made-by-hand walk."""

from __future__ import annotations

import sys
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parent))
