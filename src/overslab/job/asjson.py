"""Records as plain data in SI: what ``--json`` prints."""

from __future__ import annotations

import datetime
import math
from collections.abc import Mapping
from dataclasses import fields, is_dataclass
from decimal import Decimal
from pathlib import PurePath
from typing import Any

import numpy as np

from overslab.handbook.checks import Check


def as_json(record: object) -> Any:
    """Dictionaries, lists, text, numbers, true, false and None: ready for ``json.dumps``.

    A dataclass becomes an object under the names of its fields, which end in their SI unit; fields
    marked ``{"json": False}`` are left out. What is not a finite number becomes None, for JSON has
    no NaN. A ``Check`` also says whether it passes and by how much. A ``Walk`` so has one object a
    room under the room's name. Raises ``TypeError`` for a thing that has no plain form.
    """
    if record is None or isinstance(record, str | bool):
        return record
    if isinstance(record, np.generic):
        return as_json(record.item())
    if isinstance(record, int):
        return record
    if isinstance(record, float | Decimal):
        number = float(record)
        return number if math.isfinite(number) else None
    if is_dataclass(record) and not isinstance(record, type):
        plain = {
            one.name: as_json(getattr(record, one.name))
            for one in fields(record)
            if one.metadata.get("json", True)
        }
        if isinstance(record, Check):
            plain |= {"passes": record.passes, "margin": as_json(record.margin)}
        return plain
    if isinstance(record, Mapping):
        return {str(key): as_json(value) for key, value in record.items()}
    if isinstance(record, np.ndarray):
        return [as_json(value) for value in record.tolist()]
    if isinstance(record, list | tuple):
        return [as_json(value) for value in record]
    if isinstance(record, set | frozenset):
        return [as_json(value) for value in sorted(record, key=str)]
    if isinstance(record, datetime.date):
        return record.isoformat()
    if isinstance(record, PurePath):
        return str(record)
    raise TypeError(f"{type(record).__name__} has no plain form; mark its field as no json")
