"""When no top can meet the wishes: which of them fight, and the smallest change that helps.

The set that fights is irreducible: taken out one at a time, each of its rules sets the rest free
(deletion filter, Chinneck, Feasibility and Infeasibility in Optimization, section 6.2.1). The
smallest change is the fewest rules first, by yes/no choices, then the least change in steps.
"""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import replace

import numpy as np
from numpy.typing import NDArray
from scipy import sparse

from overslab.ground.programme import Answer, Growing, Programme, solve
from overslab.newtop import words
from overslab.newtop.model import NO_MARGINS, Model
from overslab.newtop.records import Change, Fight
from overslab.newtop.words import Rule

Floats = NDArray[np.float64]

# No height gives way by more than this, and no fall: beyond it the job is another job.
MOST_HEIGHT_M = 2.0
MOST_FALL = 0.5
_NOTHING = 1e-6
# Rules tried first for leaving the set that fights, so that what stays speaks of heights and
# falls that a person set and not of workmanship limits.
_LEAVE_FIRST = (words.BEND, words.GREATEST_FALL, words.CROSS_FALL, words.GREATEST_THICKNESS)


def fight_of(model: Model) -> Fight:
    """The fight of a model that has no answer."""
    known = words.known_rules(model.site.wishes)
    changes = smallest_changes(model, known)
    held = {name for name in model.rules.names if known[name].firm}
    firm_alone = changes is None and _fights(model, held)
    rules = irreducible(model, among=held if firm_alone else None)
    told = f"These wishes cannot all be met: {'; '.join(rules)}."
    if len(rules) == 1:
        told = f"This wish cannot be met by itself: {rules[0]}."
    if changes is None:
        told += (
            " All of them are firm, so there is no change to offer."
            if firm_alone
            else " No change within reason would let them live."
        )
        return Fight(rules=rules, changes=(), says=told)
    told += " Smallest change: " + " ".join(change.says for change in changes)
    return Fight(rules=rules, changes=changes, says=told)


def _fights(model: Model, names: Collection[str]) -> bool:
    """Whether the rules of these names alone leave no top."""
    programme, rules = _moves_granted(model), model.rules
    places = [rules.names.index(name) for name in names]
    alone = replace(
        programme,
        cost=np.zeros_like(programme.cost),
        row_low=np.where(np.isin(rules.low_rule, places), programme.row_low, -np.inf),
        row_high=np.where(np.isin(rules.high_rule, places), programme.row_high, np.inf),
    )
    return solve(alone).status == "infeasible"


def irreducible(model: Model, *, among: Collection[str] | None = None) -> tuple[str, ...]:
    """Names of rules that cannot all be met, any one of which taken out sets the rest free.

    ``among`` leaves all other rules out from the start.
    """
    programme = _moves_granted(model)
    costless = replace(programme, cost=np.zeros_like(programme.cost))
    loaded = Growing(costless, core=model.core())
    rows, names = model.rules, list(model.rules.names)
    low, high = programme.row_low.copy(), programme.row_high.copy()
    used = [
        name
        for place, name in enumerate(names)
        if ((rows.low_rule == place) | (rows.high_rule == place)).any()
    ]
    left_out = set(used) - set(used if among is None else among)
    order = sorted(
        used, key=lambda name: (name not in left_out, name not in _LEAVE_FIRST, used.index(name))
    )
    kept: list[str] = []
    for name in order:
        place = names.index(name)
        touched = np.flatnonzero((rows.low_rule == place) | (rows.high_rule == place))
        open_low = np.where(rows.low_rule[touched] == place, -np.inf, low[touched])
        open_high = np.where(rows.high_rule[touched] == place, np.inf, high[touched])
        loaded.change_rows(touched, low=open_low, high=open_high)
        if name in left_out or loaded.solve().status == "infeasible":
            low[touched], high[touched] = open_low, open_high
        else:
            loaded.change_rows(touched, low=low[touched], high=high[touched])
            kept.append(name)
    return tuple(sorted(kept, key=names.index))


def smallest_changes(model: Model, known: dict[str, Rule]) -> tuple[Change, ...] | None:
    """Fewest rules, then least change in steps; None when the firm rules alone fight."""
    elastic = _Elastic(model, known)
    fewest = elastic.solve(count=True)
    if fewest.status != "optimal":
        return None
    most = float(np.round(fewest.cost))
    least = elastic.solve(count=False, most=most)
    answer = least if least.status == "optimal" else fewest
    given = answer.x[elastic.first : elastic.first + len(elastic.offered)]
    heights = answer.x[: elastic.first]
    changes = []
    for name, amount in zip(elastic.offered, given, strict=True):
        if amount > _NOTHING:
            rule = known[name]
            sign = elastic.sign(name, heights) if rule.sense == "exactly" else 0.0
            sign = sign or (-1.0 if rule.sense == "at least" else 1.0)
            changes.append(
                Change(
                    rule=name,
                    from_value=rule.value,
                    to_value=round(rule.value + sign * float(amount), 9),
                    quantity=rule.quantity,
                    says=rule.says,
                )
            )
    return tuple(changes)


def least_change(model: Model) -> float:
    """Least change in steps, however many rules it takes: how far a layout is from working."""
    elastic = _Elastic(model, words.known_rules(model.site.wishes))
    answer = elastic.solve(count=False, choices=False)
    return answer.cost if answer.status == "optimal" else np.inf


def _moves_granted(model: Model) -> Programme:
    """The programme with every movable touch moved: moving only ever widens what is allowed."""
    programme = model.programme(NO_MARGINS)
    return programme.fixed(np.ones(len(programme.cost)))


class _Elastic:
    """Every rule that may give way gets one amount by which it does, the same for all its rows."""

    def __init__(self, model: Model, known: dict[str, Rule]) -> None:
        base = _moves_granted(model)
        rules = model.rules
        self.first = base.rows.shape[1]
        self._base, self._rules = base, rules
        step_m, step_slope = words.steps(model.site.wishes)
        names = np.array([*rules.names, ""])
        used = set(names[rules.low_rule]) | set(names[rules.high_rule])
        self.offered = [name for name in rules.names if name in used and not known[name].firm]
        column = np.full(len(names), -1)
        for place, name in enumerate(self.offered):
            column[rules.names.index(name)] = place
        self._step = np.array(
            [step_slope if known[name].slope else step_m for name in self.offered]
        )
        self._most = np.array(
            [MOST_FALL if known[name].slope else MOST_HEIGHT_M for name in self.offered]
        )
        sides = []
        core = model.core()
        self._core = []
        for limit, rule, sign in (
            (base.row_low, rules.low_rule, 1.0),
            (base.row_high, rules.high_rule, -1.0),
        ):
            rows = np.flatnonzero(np.isfinite(limit))
            gives = column[rule[rows]]
            free = gives >= 0
            give = sparse.csr_array(
                (sign * rules.ease[rows][free], (np.flatnonzero(free), gives[free])),
                shape=(len(rows), len(self.offered)),
            )
            sides.append((base.rows[rows], give, limit[rows], sign))
            self._core.append(np.ones(len(rows), dtype=bool) if core is None else core[rows])
        self._sides = sides

    def solve(self, *, count: bool, most: float | None = None, choices: bool = True) -> Answer:
        """Least number of rules that give way, or least change with at most ``most`` of them."""
        programme = self._programme(count=count, most=most, choices=choices)
        core = np.ones(len(programme.row_low), dtype=bool)
        told = np.concatenate(self._core)
        core[: len(told)] = told
        return solve(programme, core=core, priced=False)

    def _programme(self, *, count: bool, most: float | None, choices: bool) -> Programme:
        offered = len(self.offered)
        chosen = offered if choices else 0
        width = self.first + offered + chosen
        blocks, low, high = [], [], []
        for rows, give, limit, sign in self._sides:
            nothing = sparse.csr_array((rows.shape[0], chosen))
            blocks.append(sparse.hstack([rows, give, nothing], format="csr"))
            low.append(limit if sign > 0 else np.full(len(limit), -np.inf))
            high.append(limit if sign < 0 else np.full(len(limit), np.inf))
        if choices:
            # A rule may give way only when it is chosen to.
            tie = sparse.hstack(
                [
                    sparse.csr_array((offered, self.first)),
                    sparse.diags_array(1 / self._most),
                    -sparse.eye_array(offered),
                ],
                format="csr",
            )
            blocks.append(tie)
            low.append(np.full(offered, -np.inf))
            high.append(np.zeros(offered))
            if most is not None:
                limit = np.concatenate([np.zeros(self.first + offered), np.ones(offered)])
                blocks.append(sparse.csr_array(limit[None, :]))
                low.append(np.array([-np.inf]))
                high.append(np.array([most]))
        cost = np.zeros(width)
        if count:
            cost[self.first + offered :] = 1.0
        else:
            cost[self.first : self.first + offered] = 1 / self._step
        whole = np.zeros(width, dtype=bool)
        whole[self.first + offered :] = True
        return Programme(
            cost=cost,
            low=np.concatenate([self._base.low, np.zeros(offered + chosen)]),
            high=np.concatenate([self._base.high, self._most, np.ones(chosen)]),
            rows=sparse.csr_array(sparse.vstack(blocks, format="csr")),
            row_low=np.concatenate(low),
            row_high=np.concatenate(high),
            whole=whole,
        )

    def sign(self, name: str, heights: Floats) -> float:
        """Which way an exact rule gives: +1 when the top stands above it."""
        place = self._rules.names.index(name)
        rows = np.flatnonzero(self._rules.low_rule == place)
        stands = (self._base.rows @ heights)[rows] - self._base.row_low[rows]
        return float(np.sign(stands[np.argmax(np.abs(stands))]))
