"""What has changed since an entry of the history: for the office; the letter without money."""

from __future__ import annotations

import io
import re

import pypdf
from fastapi import FastAPI
from web_site import PRICES, as_role

from overslab.faces.web.roles import Role
from overslab.job.store import Store


def test_the_job_now_beside_the_job_as_it_was(app: FastAPI, store: Store, job: str) -> None:
    """The sill 1 in higher, the plane on it too: 200 sq ft by 1 in, 0.62 yd3."""
    began = store.version(job)
    body = {"path": ["door", "door", "sill"], "value": "shot S1 + 1 in"}
    store.change(job, based_on=began, kind="fact-set", body=body, who="office")
    desk, crew = as_role(app, Role.OFFICE), as_role(app, Role.CREW)
    address = f"/jobs/{job}/history/since"
    assert f'href="{address}?version={began}"' in desk.get(f"/jobs/{job}/history").text
    answer = desk.get(f"{address}?version={began}")
    assert answer.status_code == 200
    told = re.sub(r"[\s\u2060\u200b\xa0]+", " ", re.sub(r"<[^>]+>", " ", answer.text))
    for words in (
        "shot S1 + 1 in",
        "take back, hand out the new one",
        "still good",
        "0.62 yd3 more",
    ):
        assert words in told, words
    letter = desk.get(f"{address}.pdf?version={began}")
    assert letter.headers["content-type"] == "application/pdf"
    pages = pypdf.PdfReader(io.BytesIO(letter.content)).pages
    read = re.sub(r"\s+", " ", " ".join(page.extract_text() for page in pages))
    assert "shot S1 + 1 in" in read, read
    assert not any(price in read.replace(",", "") for price in PRICES)
    for path in (address, f"{address}.pdf"):
        assert crew.get(f"{path}?version={began}").status_code in (403, 404)
    assert desk.get(f"{address}?version=999").status_code == 400
    assert "no such version" in desk.get(f"{address}?version=999").text
