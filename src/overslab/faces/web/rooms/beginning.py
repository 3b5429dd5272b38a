"""The texts of a job that is begun here or brought in."""

from __future__ import annotations

import datetime
from collections.abc import Mapping
from typing import get_args

from overslab.faces.web.rooms import faults
from overslab.ground.faults import Fault, Faulty
from overslab.ground.units import System, read_length_m
from overslab.job import FolderTexts
from overslab.job.files import plain_text
from overslab.job.folders import FILES
from overslab.job.shotsfile import COLUMNS
from overslab.job.store.carrying import starter_texts
from overslab.job.store.facts import with_value

_SYSTEMS: tuple[str, ...] = get_args(System)
# What a rod of each kind is read to unless the person says otherwise.
STEPS_READ = {"feet-inches": "1/16 in", "tenths": "0.01 ft", "metric": "1 mm"}
_HEAD = "# Kept by the forms of the pages; may be edited by hand in a job folder.\n"


def blank_form(*, today: str) -> dict[str, str]:
    """The fields of a new job and what stands in them at first."""
    return {
        "name": "",
        "place": "",
        "date": today,
        "units": "feet-inches",
        "rod": "feet-inches",
        "resolution": "",
        "currency": "$",
        "begin_with": "blank",
    }


def begun_texts(given: Mapping[str, str]) -> FolderTexts:
    """The three files of a new job. ``Faulty`` with the name of the field as place."""
    found: list[Fault] = []
    for key, what in (("name", "a name"), ("place", "a place")):
        if not given[key].strip():
            found.append(faults.NAME_WANTED.met(value="nothing", place=key, what=what))
    for key in ("units", "rod"):
        if given[key] not in _SYSTEMS:
            said = ", ".join(_SYSTEMS)
            found.append(
                faults.NAME_WANTED.met(value=given[key][:40], place=key, what=f"one of {said}")
            )
    try:
        datetime.date.fromisoformat(given["date"].strip())
    except ValueError:
        value = given["date"][:40] or "nothing"
        what = "the day of the survey, year-month-day"
        found.append(faults.NAME_WANTED.met(value=value, place="date", what=what))
    step = given["resolution"].strip() or STEPS_READ.get(given["rod"], "1/16 in")
    if given["rod"] in _SYSTEMS:
        rod = next(system for system in get_args(System) if system == given["rod"])
        try:
            read_length_m(step, system=rod)
        except Faulty as trouble:
            found += [_at(fault, "resolution") for fault in trouble.faults]
    if found:
        raise Faulty(found)
    if given["begin_with"] == "starter":
        base = starter_texts(given["name"].strip())
        job_toml, shots_csv, rates_toml = base.job_toml, base.shots_csv, base.rates_toml
    else:
        job_toml, rates_toml = _HEAD, _HEAD
        shots_csv = ",".join(COLUMNS) + "\n"
        rates_toml = with_value(rates_toml, ["currency"], given["currency"].strip() or "$")
        for key, text in (("rod", given["rod"]), ("resolution", step)):
            job_toml = with_value(job_toml, ["survey", key], text)
        job_toml = with_value(job_toml, ["job", "units"], given["units"])
    for key in ("name", "place", "date"):
        job_toml = with_value(job_toml, ["job", key], given[key].strip())
    return FolderTexts(job_toml=job_toml, shots_csv=shots_csv, rates_toml=rates_toml)


def _at(fault: Fault, place: str) -> Fault:
    return Fault(fault.code, fault.what, fault.value, fault.limit, fault.remedy, place)


def read_upload(files: Mapping[str, bytes]) -> FolderTexts:
    """The texts of an uploaded folder; ``Faulty`` when a file is missing or is no text."""
    missing = [name for name in FILES if name not in files]
    if missing:
        given = ", ".join(sorted(files))[:120] or "nothing"
        raise Faulty(faults.UPLOAD_WANTED.met(value=given, place=", ".join(missing)))
    texts: dict[str, str] = {}
    found: list[Fault] = []
    for name in FILES:
        try:
            texts[name] = files[name].decode("utf-8")
            plain_text(texts[name], file=name)
        except UnicodeDecodeError:
            found.append(faults.UPLOAD_WANTED.met(value="bytes that are no text", place=name))
        except Faulty as trouble:
            found += trouble.faults
    if found:
        raise Faulty(found)
    return FolderTexts(
        job_toml=texts["job.toml"], shots_csv=texts["shots.csv"], rates_toml=texts["rates.toml"]
    )
