"""One kind of top as a programme: rules over pad heights, fewer unknowns where planes tie pads."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping, Sequence
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray
from scipy import sparse

from overslab.ground.programme import Answer, Growing, Programme, solve
from overslab.newtop import words
from overslab.newtop.pads import GridPads, Pads
from overslab.newtop.records import TopKind
from overslab.newtop.rows import RuleRows
from overslab.newtop.rules import write_rules
from overslab.newtop.site import Site
from overslab.newtop.triangles import TrianglePads

Floats = NDArray[np.float64]

# Virtual corners of cells at slanting walls stay within this of the old floor's mean.
_REACH_M = 20.0
# A dual that moves less than this share of the cost is none.
_NO_MONEY = 1e-9
# With more rows than this those that seldom bind join as they are needed.
_MANY_ROWS = 1500
_FIRST_ROWS = 100


@dataclass(frozen=True, slots=True)
class Margins:
    """Share of the rounding allowance that is kept, and what rules need beyond it (SI, by name).

    ``heights`` is for heights and thickness, ``falls`` for least falls. Greatest falls, cross fall
    and bend are limits of workmanship: they get no allowance until the marked top is seen to break
    one, because room there is dear and one mark over a straightedge does no harm.
    """

    heights: float = 0.0
    falls: float = 0.0
    extra: Mapping[str, float] = field(default_factory=dict)


NO_MARGINS = Margins()


@dataclass(frozen=True, slots=True, eq=False)
class Solved:
    """A top as the solver left it: ``heights_m`` (pads,) above base, touches moved, cost."""

    heights_m: Floats
    moved: tuple[str, ...]
    cost: float
    bound: float


@dataclass(frozen=True, slots=True, eq=False)
class Model:
    """``shape`` (pads, k) gives pad heights from k free numbers; None when every pad is free."""

    site: Site
    kind: TopKind
    title: str
    pads: Pads
    rules: RuleRows
    shape: sparse.csr_array | None
    slopes: NDArray[np.bool_]  # (m,) rows that limit a slope and no height
    least_falls: NDArray[np.bool_]  # (m,) rows whose lower side is a least fall

    def rows(self) -> sparse.csr_array:
        """All rows over the unknowns, movable touches last."""
        heights = self.rules.heights
        if self.shape is not None:
            heights = sparse.csr_array(heights @ self.shape)
        if not self.rules.movable:
            return heights
        return sparse.csr_array(sparse.hstack([heights, self.rules.moves], format="csr"))

    def limits(self, margins: Margins) -> tuple[Floats, Floats]:
        """Low and high of every row with the allowance for rounding taken off either side."""
        rules = self.rules
        extra = np.array([margins.extra.get(name, 0.0) for name in (*rules.names, "")])
        low_share = np.where(self.least_falls, margins.falls, margins.heights)
        low_share = np.where(self.slopes & ~self.least_falls, 0.0, low_share)
        high_share = np.where(self.slopes, 0.0, margins.heights)
        low = rules.low + low_share * rules.margin + extra[rules.low_rule] * rules.ease
        high = rules.high - high_share * rules.margin - extra[rules.high_rule] * rules.ease
        crossed = low > high
        middle = (low[crossed] + high[crossed]) / 2
        low[crossed] = high[crossed] = middle
        return low, high

    def programme(self, margins: Margins = NO_MARGINS) -> Programme:
        """Least money: concrete above the old mean surface, and moving touches."""
        price = self.site.wishes.concrete_cost_per_m3
        volume = self.pads.integral_m2
        if self.shape is not None:
            volume = self.shape.T @ volume
        moving = np.array([cost for _, cost in self.rules.movable])
        free, movable = len(volume), len(moving)
        reach = _REACH_M if self.shape is None else np.inf
        low, high = self.limits(margins)
        return Programme(
            cost=np.concatenate([price * volume, moving]),
            low=np.concatenate([np.full(free, -reach), np.zeros(movable)]),
            high=np.concatenate([np.full(free, reach), np.ones(movable)]),
            rows=self.rows(),
            row_low=low,
            row_high=high,
            whole=np.concatenate([np.zeros(free, dtype=bool), np.ones(movable, dtype=bool)]),
            offset=-price * self.site.old_volume_m3,
        )

    def solve(self, margins: Margins = NO_MARGINS) -> Solved | None:
        """The least-cost top; None when the rules leave none."""
        answer = solve(self.programme(margins), core=self.core(), priced=False)
        return None if answer.status != "optimal" else self.read(answer)

    def solve_each(self, ladder: Sequence[Margins], solved: Solved) -> Iterator[Solved | None]:
        """The top for each set of margins with the same touches moved as in ``solved``."""
        programme = self.programme()
        held = Growing(programme.fixed(self._choices(solved)), core=self.core())
        every = np.arange(len(programme.row_low))
        for margins in ladder:
            low, high = self.limits(margins)
            held.change_rows(every, low=low, high=high)
            answer = held.solve()
            yield self.read(answer) if answer.status == "optimal" else None

    def found(self, heights_m: Floats, moved: Collection[str]) -> Floats:
        """What every row comes to with these heights above base and these touches moved."""
        rules = self.rules
        found = rules.heights @ heights_m
        if rules.movable:
            choices = [float(name in moved) for name, _ in rules.movable]
            found = found + rules.moves @ np.array(choices)
        return np.asarray(found)

    def allowed(self, margins: Margins) -> tuple[Floats, Floats]:
        """Low and high of every row on settable marks.

        Thickness, heights with room and least falls hold outright. Limits of workmanship may lean
        on one mark over the straightedge, heights without room on half a mark.
        """
        low, high = self.limits(Margins(extra=margins.extra))
        wishes = self.site.wishes
        slack = np.where(self.slopes, wishes.mark_m / wishes.straightedge_m, 0.0)
        pinned = np.where(~self.slopes & (self.rules.margin == 0), wishes.mark_m / 2, 0.0)
        return low - np.where(self.least_falls, 0.0, slack) - pinned, high + slack + pinned

    def missing(self, heights_m: Floats, moved: Collection[str], margins: Margins) -> float:
        """By how much the worst row is missed on settable marks."""
        low, high = self.allowed(margins)
        found = self.found(heights_m, moved)
        return float(max((low - found).max(initial=0.0), (found - high).max(initial=0.0)))

    def core(self) -> NDArray[np.bool_] | None:
        """Rows to begin with where there are many: falls, and thickness at a few places.

        Bends, cross falls and thickness at most places never bind; they join when they are broken.
        """
        rules = self.rules
        if len(rules.low) < _MANY_ROWS:
            return None
        later = [words.LEAST_THICKNESS, words.BEND, words.CROSS_FALL]
        core = ~np.isin(rules.low_rule, [rules.names.index(name) for name in later])
        thickness = np.flatnonzero(rules.low_rule == rules.names.index(words.LEAST_THICKNESS))
        core[thickness[np.argsort(rules.low[thickness])[-_FIRST_ROWS:]]] = True
        core[thickness[:: max(1, len(thickness) // _FIRST_ROWS)]] = True
        return np.asarray(core)

    def _choices(self, solved: Solved) -> Floats:
        """One value a column of the programme: zeros, and which touches are moved."""
        free = len(self.pads.at_m) if self.shape is None else self.shape.shape[1]
        choices = [float(name in solved.moved) for name, _ in self.rules.movable]
        return np.concatenate([np.zeros(free), choices])

    def savings(self, solved: Solved) -> dict[str, float]:
        """Money saved by each rule giving way by one step, the same touches moved.

        A dual is only a bound on it where several rules hold the top at one place, so every rule
        with a price is moved and the top solved again from where it stands.
        """
        held = Growing(self.programme().fixed(self._choices(solved)), core=self.core())
        before = held.solve()
        known = words.known_rules(self.site.wishes)
        step_m, step_slope = words.steps(self.site.wishes)
        prices = self.prices(before)
        saved = dict.fromkeys(prices, 0.0)
        for name, price in prices.items():
            step = step_slope if known[name].slope else step_m
            if price * step <= _NO_MONEY * max(1.0, abs(before.cost)):
                continue
            rows, low, high = self._eased(name, step)
            held.change_rows(rows, low=low, high=high)
            after = held.solve()
            held.change_rows(rows, low=self.rules.low[rows], high=self.rules.high[rows])
            saved[name] = before.cost - after.cost if after.status == "optimal" else price * step
        return saved

    def _eased(self, name: str, step: float) -> tuple[NDArray[np.intp], Floats, Floats]:
        """Rows of one rule and their limits when it gives way by ``step``."""
        rules, place = self.rules, self.rules.names.index(name)
        below, above = rules.low_rule == place, rules.high_rule == place
        low = rules.low - np.where(below, step * rules.ease, 0.0)
        high = rules.high + np.where(above, step * rules.ease, 0.0)
        rows = np.flatnonzero(below | above)
        return rows, low[rows], high[rows]

    def read(self, answer: Answer) -> Solved:
        count = len(answer.x) - len(self.rules.movable)
        free, choices = answer.x[:count], answer.x[count:]
        heights = free if self.shape is None else self.shape @ free
        moved = [
            name for (name, _), choice in zip(self.rules.movable, choices, strict=True)
            if choice > 0.5
        ]  # fmt: skip
        return Solved(
            heights_m=heights,
            moved=tuple(moved),
            cost=answer.cost,
            bound=answer.bound,
        )

    def prices(self, answer: Answer) -> dict[str, float]:
        """Duals by rule: money per metre or per unit of slope that it gives way by."""
        if answer.duals is None:
            return {}
        rules = self.rules
        total = np.zeros(len(rules.names) + 1)
        for sign, rule in ((1.0, rules.low_rule), (-1.0, rules.high_rule)):
            held = np.maximum(sign * answer.duals, 0.0) * rules.ease
            np.add.at(total, rule, held)
        return {
            name: float(total[place])
            for place, name in enumerate(rules.names)
            if ((rules.low_rule == place) | (rules.high_rule == place)).any()
        }


def model_of(
    site: Site, pads: Pads, *, kind: TopKind, title: str, shape: Floats | None = None
) -> Model:
    rules = write_rules(site, pads, kind=kind)
    known = words.known_rules(site.wishes)
    sloping = np.array([known[name].slope for name in rules.names] + [False])
    least = [known[name].slope and known[name].sense == "at least" for name in rules.names]
    return Model(
        site=site,
        kind=kind,
        title=title,
        pads=pads,
        rules=rules,
        shape=None if shape is None else sparse.csr_array(shape),
        slopes=sloping[rules.low_rule] | sloping[rules.high_rule],
        least_falls=np.array([*least, False])[rules.low_rule],
    )


def strips_model(site: Site, pads: GridPads) -> Model:
    return model_of(site, pads, kind="strips", title="strips struck from pad to pad")


def plane_model(site: Site, pads: GridPads) -> Model:
    away = pads.at_m - pads.at_m.mean(axis=0)
    size = max(float(np.abs(away).max()), 1e-9)
    shape = np.column_stack([np.ones(len(away)), away / size])
    return model_of(site, pads, kind="plane", title="one plane", shape=shape)


def level_model(site: Site, pads: GridPads) -> Model:
    return model_of(site, pads, kind="level", title="level", shape=np.ones((len(pads.at_m), 1)))


def planes_model(site: Site, pads: TrianglePads, *, title: str) -> Model:
    return model_of(site, pads, kind="planes", title=title, shape=pads.shape)
