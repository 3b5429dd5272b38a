"""The small job put down in a folder."""

from __future__ import annotations

from pathlib import Path

import pytest
from small_job import TEXTS, PutDown


@pytest.fixture
def put_down(tmp_path: Path) -> PutDown:
    """Writes the small job; files given by name take the place of its own, None leaves one out."""

    def put(files: dict[str, str | bytes | None] | None = None) -> Path:
        folder = tmp_path / "job"
        folder.mkdir(exist_ok=True)
        for name, text in {**TEXTS, **(files or {})}.items():
            if text is not None:
                raw = text if isinstance(text, bytes) else text.encode()
                (folder / name).write_bytes(raw)
        return folder

    return put
