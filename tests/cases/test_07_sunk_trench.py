"""Case 7: a sunk trench. It is shot as a feature; the grid must not smear it."""

from __future__ import annotations

import pytest
from case_jobs import walked, yards

FLAT = 576 / 324 * (4 + 12 / 8)  # the same floor without the trench


def test_the_trench_is_counted_for_what_it_is() -> None:
    """2 ft by 24 ft by 2 in: 0.30 yd3 (RC)."""
    found = walked(7)
    assert found.takeoff is not None
    true = 2 * 24 * (2 / 12) / 27
    assert true == pytest.approx(0.30, abs=0.005)
    total = found.takeoff.total.volume_m3
    assert yards(total.mean) == pytest.approx(FLAT + true, abs=0.01)
    assert yards(total.deviation) < 0.03
    (pipe,) = [one for one in found.oldslab.panels if one.kind == "trench"]
    assert pipe.name == "pipe trench"
    assert yards(found.takeoff.triangulated_m3) == pytest.approx(FLAT + true, abs=0.02)


def test_the_notebook_smears_it_threefold() -> None:
    """Cells of 6 ft with a line of the grid in the trench: 0.89 yd3 (RC)."""
    found = walked(7)
    assert found.takeoff is not None
    (cells,) = [one for one in found.takeoff.notebook if one.method == "cells of four corners"]
    assert cells.volume_m3 is not None
    assert yards(cells.volume_m3) - FLAT == pytest.approx(0.89, abs=0.005)
    corners = next(one for one in found.takeoff.notebook if one.method == "corner average")
    assert corners.volume_m3 is not None
    assert yards(corners.volume_m3) == pytest.approx(FLAT, abs=0.001)  # it misses it altogether
