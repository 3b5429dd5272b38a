"""Linear programmes with yes/no choices, solved by HiGHS: arrays in, arrays out.

Lessons kept here so that no room has to learn them again: the model goes in whole as arrays; a
solver that says "infeasible" is asked a second time without presolve, because presolve has been
seen to call a feasible model infeasible; a model with yes/no columns has no duals, so the choices
are fixed and the rest is solved again for prices; costs are scaled to about one before they go in.
Never fork a process after a solve: the solver keeps threads.
"""

from __future__ import annotations

import time
from dataclasses import dataclass, replace
from typing import Any, Literal

import highspy
import numpy as np
from numpy.typing import NDArray
from scipy import sparse

Floats = NDArray[np.float64]
Bools = NDArray[np.bool_]
Places = NDArray[np.intp]
Status = Literal["optimal", "infeasible", "unbounded", "stopped"]

# HiGHS drops matrix entries smaller than its option small_matrix_value, 1e-9 by default.
_SMALLEST_ENTRY = 1e-9
# A row counts as broken beyond the solver's own feasibility tolerance, 1e-7 by default.
_BROKEN = 1e-7
_STATUS: dict[Any, Status] = {
    highspy.HighsModelStatus.kOptimal: "optimal",
    highspy.HighsModelStatus.kModelEmpty: "optimal",
    highspy.HighsModelStatus.kInfeasible: "infeasible",
    highspy.HighsModelStatus.kUnbounded: "unbounded",
}


class _Quiet(highspy.Highs):
    """HiGHS without its banner, which it prints on the way through its own ``__init__``."""

    def enableCallbacks(self) -> None:  # noqa: N802  # the binding's name
        self.setOptionValue("output_flag", False)
        super().enableCallbacks()  # type: ignore[no-untyped-call]


@dataclass(frozen=True, slots=True, eq=False)
class Programme:
    """Least ``cost @ x + offset``, ``row_low <= rows @ x <= row_high`` and ``low <= x <= high``.

    ``cost``, ``low``, ``high`` and ``whole`` are (n,); ``rows`` is (m, n) in compressed rows;
    ``row_low`` and ``row_high`` are (m,), infinite where a side is open. Columns marked ``whole``
    take whole numbers only.
    """

    cost: Floats
    low: Floats
    high: Floats
    rows: sparse.csr_array
    row_low: Floats
    row_high: Floats
    whole: Bools | None = None
    offset: float = 0.0

    def fixed(self, values: Floats) -> Programme:
        """The same programme with its whole columns held at ``values``, so that duals exist."""
        if self.whole is None or not self.whole.any():
            return replace(self, whole=None)
        held = np.round(values)
        return replace(
            self,
            low=np.where(self.whole, held, self.low),
            high=np.where(self.whole, held, self.high),
            whole=None,
        )


@dataclass(frozen=True, slots=True, eq=False)
class Answer:
    """What the solver found. ``duals`` is the change of the least cost per unit of a row's limit.

    A dual is positive where the lower limit holds the answer back and negative where the upper
    does; it is None when yes/no columns were free. ``bound`` is proven: nothing costs less.
    ``solver_s`` is the time spent inside the solver alone.
    """

    status: Status
    cost: float
    bound: float
    x: Floats
    duals: Floats | None
    solver_s: float


class Loaded:
    """A programme held by the solver, so that limits can be changed and solved again from there."""

    def __init__(self, programme: Programme) -> None:
        self._programme = programme
        self._mixed = programme.whole is not None and bool(programme.whole.any())
        largest = float(np.max(np.abs(programme.cost), initial=0.0))
        self._scale = largest if largest > 0 else 1.0
        self._highs: Any = _Quiet()  # type: ignore[no-untyped-call]
        for option, value in (
            ("parallel", "off"),
            ("threads", 1),
            ("mip_rel_gap", 1e-9),
            ("mip_abs_gap", 1e-9),
        ):
            self._highs.setOptionValue(option, value)
        if not self._mixed:
            self._highs.setOptionValue("solver", "simplex")
        self._highs.passModel(_as_highs(programme, scale=self._scale))

    def change_rows(self, places: Places, *, low: Floats, high: Floats) -> None:
        """New limits for the rows at ``places``; ``low`` and ``high`` have one value a place."""
        if len(places):
            self._highs.changeRowsBounds(
                len(places),
                np.asarray(places, dtype=np.int32),
                np.asarray(low, dtype=np.float64),
                np.asarray(high, dtype=np.float64),
            )

    def solve(self) -> Answer:
        """Solve as it stands, from the last basis when there is one."""
        began = time.perf_counter()
        self._highs.run()
        status = self._highs.getModelStatus()
        if _STATUS.get(status) != "optimal":
            # Infeasible, or infeasible-or-unbounded: believed only without presolve.
            self._highs.setOptionValue("presolve", "off")
            self._highs.clearSolver()
            self._highs.run()
            status = self._highs.getModelStatus()
            self._highs.setOptionValue("presolve", "choose")
        solver_s = time.perf_counter() - began
        told: Status = _STATUS.get(status, "stopped")
        columns = len(self._programme.cost)
        if told != "optimal":
            nothing = np.full(columns, np.nan)
            return Answer(told, np.nan, np.nan, nothing, None, solver_s)
        solution = self._highs.getSolution()
        info = self._highs.getInfo()
        offset = self._programme.offset
        cost = float(info.objective_function_value) * self._scale + offset
        bound = cost if not self._mixed else float(info.mip_dual_bound) * self._scale + offset
        duals = None if self._mixed else np.asarray(solution.row_dual) * self._scale
        x = np.asarray(solution.col_value, dtype=np.float64)
        return Answer(told, cost, bound, x, duals, solver_s)


def solve(programme: Programme, *, core: Bools | None = None) -> Answer:
    """The answer to one programme; duals of a mixed one come from its choices fixed.

    ``core`` (m,) marks rows to begin with; the others join when the answer breaks them. The answer
    is the same: without some rows the least cost is no higher, and in the end none is broken.
    """
    return _whole(programme) if core is None else _from_core(programme, core)


def _from_core(programme: Programme, core: Bools) -> Answer:
    rows = core.copy()
    solver_s = 0.0
    while True:
        taken = np.flatnonzero(rows)
        part = replace(
            programme,
            rows=programme.rows[taken],
            row_low=programme.row_low[taken],
            row_high=programme.row_high[taken],
        )
        answer = _whole(part)
        solver_s += answer.solver_s
        if answer.status == "unbounded":
            return _whole(programme)
        if answer.status != "optimal":
            return replace(answer, solver_s=solver_s)
        found = programme.rows @ answer.x
        broken = (found < programme.row_low - _BROKEN) | (found > programme.row_high + _BROKEN)
        broken &= ~rows
        if not broken.any():
            duals = None
            if answer.duals is not None:
                duals = np.zeros(len(rows))
                duals[taken] = answer.duals
            return replace(answer, duals=duals, solver_s=solver_s)
        rows |= broken


def _whole(programme: Programme) -> Answer:
    answer = Loaded(programme).solve()
    if answer.status != "optimal" or answer.duals is not None:
        return answer
    priced = Loaded(programme.fixed(answer.x)).solve()
    return replace(
        answer,
        x=priced.x if priced.status == "optimal" else answer.x,
        duals=priced.duals,
        solver_s=answer.solver_s + priced.solver_s,
    )


def _as_highs(programme: Programme, *, scale: float) -> highspy.HighsLp:
    rows = programme.rows
    if np.any(np.abs(rows.data) < _SMALLEST_ENTRY):
        rows = rows.copy()
        rows.data[np.abs(rows.data) < _SMALLEST_ENTRY] = 0.0
        rows.eliminate_zeros()
    model = highspy.HighsLp()
    model.num_row_, model.num_col_ = rows.shape
    model.col_cost_ = programme.cost / scale
    model.col_lower_ = programme.low
    model.col_upper_ = programme.high
    model.row_lower_ = programme.row_low
    model.row_upper_ = programme.row_high
    matrix = model.a_matrix_
    matrix.format_ = highspy.MatrixFormat.kRowwise
    matrix.num_row_, matrix.num_col_ = rows.shape
    matrix.start_ = rows.indptr.astype(np.int32)
    matrix.index_ = rows.indices.astype(np.int32)
    matrix.value_ = rows.data
    if programme.whole is not None and programme.whole.any():
        kinds = (highspy.HighsVarType.kContinuous, highspy.HighsVarType.kInteger)
        model.integrality_ = [kinds[int(whole)] for whole in programme.whole]
    return model
