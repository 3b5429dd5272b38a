"""Which lines to cut: least length, then fewest lines and crossings, then evenest; proven by HiGHS.

Every chord is a yes/no column and every rule a row over them, so the least length is proven. Lines
at posts and jambs are wishes with a worth in metres of cut, and may be given up.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray
from scipy import sparse

from overslab.ground.programme import Answer, Programme, solve
from overslab.takeoff.joint_field import Chord, Field
from overslab.takeoff.joint_rows import (
    Row,
    as_rows,
    length_rows,
    needed_cuts,
    reserve_of,
    shape_rows,
    strip_rows,
)

Floats = NDArray[np.float64]

# Metres of cut that a joint at an inside corner is worth: more than any floor has.
CORNER_WORTH_M = 1e5
_STEPS = 5  # halvings of what is not known about the reserve
_SLACK_M = 1e-4
_BROKEN = 1e-6
_LARGE = 80  # lines; beyond, lines and crossings together are bounded and no more
_TRIES = 20  # whole layouts tried with broken rules alone; all rules at once are slow
_AT_ONCE = 20_000  # rules; up to here all of them join then, beyond those of the same two sides
# What the search may take, counted so that every machine stops at the same place.
_NODES = 400
_ROUNDS = 30
_FOUND = ("optimal", "feasible")
# Shapes asked for, one after the other, while no layout has panels as square as that.
LOOSER = (1.0, 1.2, 1.5, 2.0, math.inf)


@dataclass(frozen=True, slots=True, eq=False)
class Chosen:
    """The chords to cut and what was proven of them."""

    chords: tuple[int, ...]
    length_m: float
    bound_m: float
    fewest: int
    fewest_bound: int
    reserve: float
    reserve_step: float
    rules: int
    given_up: tuple[str, ...]
    aspect: float
    stopped: bool  # the search ended before everything was proven


@dataclass(frozen=True, slots=True)
class Worth:
    """Metres of cut that a joint at a post and one at a door's jamb are worth."""

    post_m: float
    door_m: float

    def of(self, kind: str) -> float:
        return {"corner": CORNER_WORTH_M, "post": self.post_m, "door": self.door_m}[kind]


def choose(
    field: Field, *, limit_m: Floats, aspect: float, least_strip_m: float, worth: Worth
) -> Chosen:
    """The best chords of one region. ``limit_m`` (nv, nu) is the longest side over each cell."""
    lengths = length_rows(field, limit_m=limit_m)
    apart = strip_rows(field, least_strip_m=least_strip_m)
    longest_m = float(limit_m[field.inside].max(initial=0.0))
    stopped = False
    for looser in LOOSER:
        shapes = shape_rows(field, aspect=aspect * looser, longest_m=longest_m)
        model = Model(
            field, [*lengths, *apart, *shapes], core=len(lengths) + len(apart), worth=worth
        )
        first = model.solve()
        if first.status in _FOUND:
            return _finer(model, first, field, limit_m, aspect=aspect * looser, stopped=stopped)
        stopped |= first.status == "spent"
    # Without shapes only joints that may not stand near each other are left to clash.
    model = Model(field, lengths, core=len(lengths), worth=worth)
    first = model.solve(nodes=None)
    return _finer(model, first, field, limit_m, aspect=math.inf, stopped=stopped)


class Model:
    """Rows and columns of one region: chords, then one column for every wish given up."""

    def __init__(self, field: Field, rows: Sequence[Row], *, core: int, worth: Worth) -> None:
        self.field, self.rows = field, rows
        self.chords = len(field.chords)
        self.wants = [(want, group) for want in field.wants for group in want.groups]
        self.columns = self.chords + len(self.wants)
        self.joined = np.concatenate(
            [np.arange(len(rows)) < core, np.ones(len(self.wants), dtype=bool)]
        )
        known: dict[frozenset[int], int] = {}
        sides = [known.setdefault(row.minus, len(known)) for row in rows]
        self.sides = np.array([*sides, *range(-len(self.wants), 0)], dtype=np.intp)
        self.matrix, self.low = self._matrix()
        self.rules = len(rows) + len(self.wants)
        self.cost = np.concatenate(
            [
                [chord.length_m for chord in field.chords],
                [worth.of(want.kind) for want, _ in self.wants],
            ]
        ).astype(np.float64)

    def _matrix(self) -> tuple[sparse.csr_array, Floats]:
        return as_rows(
            [
                *((row.plus, row.minus) for row in self.rows),
                *(
                    ({*group, self.chords + number}, frozenset[int]())
                    for number, (_, group) in enumerate(self.wants)
                ),
            ],
            columns=self.columns,
        )

    def solve(self, *, nodes: int | None = _NODES) -> Answer:
        """Least length, with what wishes given up are worth."""
        return self.answer(self.programme(), nodes=nodes)

    def programme(self) -> Programme:
        """Every rule, for the least length."""
        return Programme(
            cost=self.cost,
            low=np.zeros(self.columns),
            high=np.ones(self.columns),
            rows=self.matrix,
            row_low=self.low,
            row_high=np.full(len(self.low), np.inf),
            whole=np.ones(self.columns, dtype=bool),
        )

    def answer(self, programme: Programme, *, more: int = 0, nodes: int | None = _NODES) -> Answer:
        """The answer to all rows, got with few: those that are broken join for good.

        Without some rows the least cost is no higher, and in the end none is broken. ``more`` rows
        before those of this model are always there. With its ``nodes`` or rounds used up it is
        "feasible" with a bound below its cost, or "spent" with nothing found.
        """
        tries = 0
        while True:
            kept = np.ones(programme.rows.shape[0], dtype=bool)
            kept[more : more + len(self.joined)] = self.joined
            part = replace(
                programme,
                rows=programme.rows[kept],
                row_low=programme.row_low[kept],
                row_high=programme.row_high[kept],
            )
            # Shares of lines break rows as well, and are found much sooner than whole lines.
            answer = solve(replace(part, whole=None))
            joining = self._broken(answer)
            if answer.status == "optimal" and not len(joining):
                answer = solve(part, priced=False, nodes=nodes)
                joining = self._broken(answer)
                tries += 1
                if len(joining) and tries > _TRIES:
                    joining = self._beside(joining)
            if not len(joining):
                return answer
            if nodes is not None and tries > _ROUNDS:
                return replace(answer, status="spent")
            if self.joined[joining].all():
                # A model without columns is "empty" to the solver, whatever its rows ask.
                return replace(answer, status="infeasible")
            self.joined[joining] = True

    def _beside(self, joining: NDArray[np.intp]) -> NDArray[np.intp]:
        """More rules than those that are broken: all, or in a large model those of their sides."""
        if self.rules <= _AT_ONCE:
            return np.flatnonzero(~self.joined | np.isin(np.arange(len(self.joined)), joining))
        return np.flatnonzero(np.isin(self.sides, self.sides[joining]))

    def _broken(self, answer: Answer) -> NDArray[np.intp]:
        if answer.status not in _FOUND:
            return np.empty(0, dtype=np.intp)
        short = self.low - self.matrix @ answer.x[: self.columns]
        return np.flatnonzero(short > _BROKEN)

    def fewest_lines(self, *, length_m: float) -> Programme:
        """Fewest lines at that length; ties lie on edges of pour strips."""
        cost = np.zeros(self.columns)
        cost[: self.chords] = self._each()
        return replace(
            self.programme(),
            cost=cost,
            rows=sparse.csr_array(sparse.vstack([self.matrix, self.cost[None, :]], format="csr")),
            row_low=np.append(self.low, -np.inf),
            row_high=np.append(np.full(len(self.low), np.inf), length_m + _SLACK_M),
        )

    def _each(self) -> Floats:
        """What a line counts: one, and less by what lies on edges of pour strips, half in all."""
        on_strips = np.array([chord.on_strip_m for chord in self.field.chords])
        return np.asarray(1.0 - 0.5 * on_strips / max(1.0, float(on_strips.sum())))

    def with_crossings(self, *, length_m: float, limit_m: Floats) -> Programme:
        """Fewest lines and crossings at that length; ties lie on edges of pour strips."""
        chords = self.field.chords
        counted = [n for n, chord in enumerate(chords) if chord.axis == 1]
        extra = len(counted)
        columns = self.columns + extra
        crossing = sparse.lil_array((extra, columns))
        # Panels beside a line ask for so many crossings of it whatever else is laid.
        needed = sparse.lil_array((extra, columns))
        most = np.zeros(extra)
        for row, one in enumerate(counted):
            crossed = [n for n, other in enumerate(chords) if chords[one].crosses(other)]
            # No more than the length leaves room for: the closer this is, the sooner it is proven.
            shortest_m = min((chords[n].length_m for n in crossed), default=math.inf)
            room = (length_m + _SLACK_M) / shortest_m
            most[row] = min(float(len(crossed)), max(0.0, math.floor(room)))
            crossing[row, crossed] = -1.0
            crossing[row, one] = -most[row]
            crossing[row, self.columns + row] = 1.0
            needed[row, one] = -float(needed_cuts(self.field, chords[one], limit_m=limit_m))
            needed[row, self.columns + row] = 1.0
        rows = sparse.vstack(
            [
                sparse.hstack([self.matrix, sparse.csr_array((len(self.low), extra))]),
                crossing,
                needed,
                sparse.csr_array(np.concatenate([self.cost, np.zeros(extra)])[None, :]),
            ],
            format="csr",
        )
        cost = np.zeros(columns)
        cost[: self.chords] = self._each()
        cost[self.columns :] = 1.0
        count = rows.shape[0]
        row_low = np.concatenate([self.low, -most, np.zeros(extra), [-np.inf]])
        row_high = np.full(count, np.inf)
        row_high[-1] = length_m + _SLACK_M
        high = np.ones(columns)
        high[self.columns :] = most
        whole = np.zeros(columns, dtype=bool)
        whole[: self.columns] = True
        return Programme(
            cost, np.zeros(columns), high, sparse.csr_array(rows), row_low, row_high, whole
        )


def _finer(
    model: Model,
    first: Answer,
    field: Field,
    limit_m: Floats,
    *,
    aspect: float,
    stopped: bool,
) -> Chosen:
    """Among the shortest layouts the fewest lines and crossings, then the evenest panels."""
    programme = model.with_crossings(length_m=first.cost, limit_m=limit_m)
    # Of a large floor only the bound is known of lines and crossings; lines alone are the fewest.
    large = model.chords > _LARGE
    second = counted = model.answer(replace(programme, whole=None) if large else programme)
    if large:
        programme = model.fewest_lines(length_m=first.cost)
        second = model.answer(programme)
    x, fewest_bound = first.x, 0
    reserve = step = reserve_of(field, _picked(x, model), limit_m=limit_m)
    if counted.status in _FOUND and math.isfinite(counted.bound):
        fewest_bound = max(0, math.ceil(counted.bound - 1e-6))
    if second.status in _FOUND:
        x, reserve, step, spent = _evenest(model, programme, second, limit_m)
        stopped |= spent
    stopped |= not first.status == counted.status == second.status == "optimal"
    picked = _picked(x, model)
    given_up = np.round(x[model.chords : model.columns])
    names = [want.name for number, (want, _) in enumerate(model.wants) if given_up[number]]
    return Chosen(
        chords=picked,
        length_m=sum(field.chords[n].length_m for n in picked),
        bound_m=max(0.0, first.bound - float(model.cost[model.chords :] @ given_up)),
        fewest=len(picked) + crossings([field.chords[n] for n in picked]),
        fewest_bound=fewest_bound,
        reserve=reserve,
        reserve_step=step,
        rules=model.rules,
        given_up=tuple(dict.fromkeys(names)),
        aspect=aspect,
        stopped=stopped,
    )


def _evenest(
    model: Model, programme: Programme, second: Answer, limit_m: Floats
) -> tuple[Floats, float, float, bool]:
    """Halve what is not known about the least possible greatest side over what is allowed."""
    field, x = model.field, second.x
    most, least = reserve_of(field, _picked(x, model), limit_m=limit_m), 0.0
    pull = _pull(field, _picked(x, model))
    cost = np.concatenate([pull, np.zeros(len(programme.cost) - len(pull))])
    kept = sparse.csr_array(programme.cost[None, :])
    for _ in range(_STEPS):
        # Half of it is seldom within reach: the first try is a bold one all the same.
        middle = (least + most) / 2 if least else 0.75 * most
        tighter = length_rows(field, limit_m=limit_m * middle)
        rows, low = as_rows(
            [(row.plus, row.minus) for row in tighter], columns=programme.rows.shape[1]
        )
        answer = model.answer(
            Programme(
                cost,
                programme.low,
                programme.high,
                sparse.csr_array(sparse.vstack([rows, programme.rows, kept], format="csr")),
                np.concatenate([low, programme.row_low, [-np.inf]]),
                np.concatenate(
                    [np.full(len(low), np.inf), programme.row_high, [second.cost + 1e-6]]
                ),
                programme.whole,
            ),
            more=len(low),
        )
        if answer.status in _FOUND:
            reached = reserve_of(field, _picked(answer.x, model), limit_m=limit_m)
            if reached >= most:
                break
            x, most = answer.x, reached
        elif answer.status == "infeasible":
            least = middle
        else:
            return x, most, most - least, True
        if most - least < 0.02:
            break
    return x, most, most - least, False


def _pull(field: Field, picked: Sequence[int]) -> Floats:
    """How far each chord lies from where equal parts of its region would end."""
    pull = np.zeros(len(field.chords))
    for axis in (0, 1):
        count = len({field.chords[n].place for n in picked if field.chords[n].axis == axis})
        low, high = field.solid.bounds[1 - axis], field.solid.bounds[3 - axis]
        part = (high - low) / (count + 1)
        for number, chord in enumerate(field.chords):
            if chord.axis == axis:
                off = (chord.place - low) % part
                pull[number] = min(off, part - off)
    return pull


def _picked(x: Floats, model: Model) -> tuple[int, ...]:
    return tuple(int(n) for n in np.flatnonzero(x[: model.chords] > 0.5))


def crossings(chords: Sequence[Chord]) -> int:
    """Places where two of them cross."""
    return sum(
        one.crosses(other) for number, one in enumerate(chords) for other in chords[number + 1 :]
    )
