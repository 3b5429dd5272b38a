"""Linear programmes with yes/no choices, solved by HiGHS: arrays in, arrays out.

Lessons kept here so that no room has to learn them again: the model goes in whole as arrays; a
solver that says "infeasible" is asked a second time without presolve, because presolve has been
seen to call a feasible model infeasible; a model with yes/no columns has no duals, so the choices
are fixed and the rest is solved again for prices; costs and rows are scaled to about one before
they go in; rows that seldom bind join only when they are broken.
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
# "feasible": the nodes ran out with an answer in hand; "spent": they ran out without one.
Status = Literal["optimal", "feasible", "infeasible", "unbounded", "spent", "stopped"]

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
    ``solver_s`` is the time spent inside the solver alone; ``nodes`` counts its branches.
    """

    status: Status
    cost: float
    bound: float
    x: Floats
    duals: Floats | None
    solver_s: float
    nodes: int = 0


class Loaded:
    """A programme held by the solver, so that limits can be changed and solved again from there.

    ``nodes`` is the most branches for one solve of yes/no columns; a count stops everywhere alike.
    """

    def __init__(self, programme: Programme, *, nodes: int | None = None) -> None:
        self._programme = programme
        self._mixed = programme.whole is not None and bool(programme.whole.any())
        largest = float(np.max(np.abs(programme.cost), initial=0.0))
        self._scale = largest if largest > 0 else 1.0
        rows, self._row_scale = _levelled(programme.rows)
        self._highs: Any = _Quiet()  # type: ignore[no-untyped-call]
        for option, value in (
            ("parallel", "off"),
            ("threads", 1),
            ("mip_rel_gap", 1e-9),
            ("mip_abs_gap", 1e-9),
        ):
            self._highs.setOptionValue(option, value)
        if nodes is not None:
            self._highs.setOptionValue("mip_max_nodes", nodes)
        self._method = "choose" if self._mixed else "simplex"
        self._highs.setOptionValue("solver", self._method)
        low, high = programme.row_low / self._row_scale, programme.row_high / self._row_scale
        self._highs.passModel(
            _as_highs(replace(programme, rows=rows, row_low=low, row_high=high), scale=self._scale)
        )

    def change_rows(self, places: Places, *, low: Floats, high: Floats) -> None:
        """New limits for the rows at ``places``; ``low`` and ``high`` have one value a place."""
        if len(places):
            scale = self._row_scale[places]
            self._highs.changeRowsBounds(
                len(places),
                np.asarray(places, dtype=np.int32),
                np.asarray(low, dtype=np.float64) / scale,
                np.asarray(high, dtype=np.float64) / scale,
            )

    def add_rows(self, rows: sparse.csr_array, *, low: Floats, high: Floats) -> None:
        """More rows below those that are there; the next solve goes on from where it stands."""
        rows, scale = _levelled(rows)
        self._row_scale = np.concatenate([self._row_scale, scale])
        self._highs.addRows(
            rows.shape[0],
            low / scale,
            high / scale,
            rows.nnz,
            rows.indptr[:-1].astype(np.int32),
            rows.indices.astype(np.int32),
            rows.data,
        )

    def solve(self) -> Answer:
        """Solve as it stands, from the last basis when there is one."""
        began = time.perf_counter()
        status = self._run()
        if status not in ("optimal", "feasible", "spent"):
            # Infeasible, or infeasible-or-unbounded: believed only without presolve.
            status = self._run(presolve="off")
        if status == "stopped" and not self._mixed:
            status = self._run(solver="ipm")
        solver_s = time.perf_counter() - began
        columns = len(self._programme.cost)
        info = self._highs.getInfo()
        nodes = max(0, int(info.mip_node_count)) if self._mixed else 0
        if status not in ("optimal", "feasible"):
            nothing = np.full(columns, np.nan)
            return Answer(status, np.nan, np.nan, nothing, None, solver_s, nodes)
        solution = self._highs.getSolution()
        offset = self._programme.offset
        cost = float(info.objective_function_value) * self._scale + offset
        bound = cost if not self._mixed else float(info.mip_dual_bound) * self._scale + offset
        duals = None
        if not self._mixed:
            duals = np.asarray(solution.row_dual) * self._scale / self._row_scale
        x = np.asarray(solution.col_value, dtype=np.float64)
        return Answer(status, cost, bound, x, duals, solver_s, nodes)

    def _run(self, **otherwise: str) -> Status:
        usual = {"presolve": "choose", "solver": self._method}
        if otherwise:
            self._highs.clearSolver()
        for option, value in otherwise.items():
            self._highs.setOptionValue(option, value)
        self._highs.run()
        for option in otherwise:
            self._highs.setOptionValue(option, usual[option])
        status = self._highs.getModelStatus()
        if status == highspy.HighsModelStatus.kSolutionLimit:
            found = self._highs.getInfo().primal_solution_status
            return (
                "feasible" if found == highspy.SolutionStatus.kSolutionStatusFeasible else "spent"
            )
        return _STATUS.get(status, "stopped")


class Growing:
    """A programme whose rows join as they are broken, beginning with ``core`` (m,).

    Its answers are those of all rows: without some the least cost is no higher, and in the end
    none is broken. Rows that have joined stay for the next solve. Without ``core`` all are there
    from the start.
    """

    def __init__(
        self, programme: Programme, *, core: Bools | None = None, nodes: int | None = None
    ) -> None:
        self._programme = programme
        self._low, self._high = programme.row_low.copy(), programme.row_high.copy()
        self._taken = np.arange(len(self._low)) if core is None else np.flatnonzero(core)
        self._loaded = Loaded(_part(programme, self._taken), nodes=nodes)
        self._place = np.full(len(self._low), -1, dtype=np.intp)  # of each row in the solver
        self._place[self._taken] = np.arange(len(self._taken))

    def held_at(self, values: Floats) -> Growing:
        """The same rows as they stand now, whole columns held at ``values``."""
        programme = replace(
            self._programme.fixed(values), row_low=self._low.copy(), row_high=self._high.copy()
        )
        return Growing(programme, core=self._place >= 0)

    def change_rows(self, places: Places, *, low: Floats, high: Floats) -> None:
        """New limits for the rows at ``places``; ``low`` and ``high`` have one value a place."""
        changed = (self._low[places] != low) | (self._high[places] != high)
        self._low[places], self._high[places] = low, high
        there = changed & (self._place[places] >= 0)
        self._loaded.change_rows(self._place[places[there]], low=low[there], high=high[there])

    def solve(self) -> Answer:
        """Solve as it stands, from the last basis when there is one."""
        solver_s, nodes = 0.0, 0
        while True:
            answer = self._loaded.solve()
            solver_s, nodes = solver_s + answer.solver_s, nodes + answer.nodes
            if answer.status in ("unbounded", "stopped"):
                # Without all its rows it may be unbounded, or beyond the solver.
                joining = np.flatnonzero(self._place < 0)
            elif answer.status in ("optimal", "feasible"):
                found = self._programme.rows @ answer.x
                broken = (found < self._low - _BROKEN) | (found > self._high + _BROKEN)
                joining = np.flatnonzero(broken & (self._place < 0))
            else:
                joining = np.empty(0, dtype=np.intp)
            if not len(joining):
                duals = self._spread(answer.duals)
                return replace(answer, duals=duals, solver_s=solver_s, nodes=nodes)
            self._join(joining)

    def _join(self, rows: Places) -> None:
        self._place[rows] = len(self._taken) + np.arange(len(rows))
        self._taken = np.concatenate([self._taken, rows])
        self._loaded.add_rows(
            self._programme.rows[rows], low=self._low[rows], high=self._high[rows]
        )

    def _spread(self, duals: Floats | None) -> Floats | None:
        if duals is None:
            return None
        every = np.zeros(len(self._low))
        every[self._taken] = duals
        return every


def solve(
    programme: Programme,
    *,
    core: Bools | None = None,
    priced: bool = True,
    nodes: int | None = None,
) -> Answer:
    """The answer to one programme; duals of a mixed one come from its choices fixed.

    ``core`` (m,) marks rows to begin with; the others join when the answer breaks them. The answer
    is the same: without some rows the least cost is no higher, and in the end none is broken.
    ``nodes`` is the most branches of each solve: with them spent the best found comes back as
    "feasible", its ``bound`` below its ``cost`` by what is not proven, or "spent" without any.
    """
    growing = Growing(programme, core=core, nodes=nodes)
    answer = growing.solve()
    if answer.status != "optimal" or answer.duals is not None or not priced:
        return answer
    held = growing.held_at(answer.x).solve()
    return replace(
        answer,
        x=held.x if held.status == "optimal" else answer.x,
        duals=held.duals,
        solver_s=answer.solver_s + held.solver_s,
    )


def _part(programme: Programme, taken: Places) -> Programme:
    return replace(
        programme,
        rows=programme.rows[taken],
        row_low=programme.row_low[taken],
        row_high=programme.row_high[taken],
    )


def _levelled(rows: sparse.csr_array) -> tuple[sparse.csr_array, Floats]:
    """Rows divided by their largest entry, and that entry: long chains of slopes need it."""
    largest = np.zeros(rows.shape[0])
    filled = np.flatnonzero(np.diff(rows.indptr))
    if len(filled):
        largest[filled] = np.maximum.reduceat(np.abs(rows.data), rows.indptr[filled])
    largest[largest <= 0] = 1.0
    data = rows.data / np.repeat(largest, np.diff(rows.indptr))
    data[np.abs(data) < _SMALLEST_ENTRY] = 0.0
    level = sparse.csr_array((data, rows.indices, rows.indptr), shape=rows.shape)
    if not data.all():
        level = level.copy()
        level.eliminate_zeros()
    return level, largest


def _as_highs(programme: Programme, *, scale: float) -> highspy.HighsLp:
    rows = programme.rows
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
