"""Answers to scripts: JSON whose bytes any text can become."""

from __future__ import annotations

import json
from typing import Any

from starlette.responses import JSONResponse


class Plain(JSONResponse):
    """JSON in ASCII: half a letter, which JSON can carry and no text can, comes back as it was."""

    def render(self, content: Any) -> bytes:
        return json.dumps(content, allow_nan=False, separators=(",", ":")).encode()
