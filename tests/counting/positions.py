"""Positions for the tests of counting, and second opinions on them from scipy."""

from __future__ import annotations

from functools import lru_cache
from types import SimpleNamespace

import numpy as np
from scipy.optimize import LinearConstraint, linprog, milp

import deduce
from deduce.kernel import Constraint, Inference, Model, Position, check
from deduce.positions import bits
from deduce.puzzle.layout import Layout
from deduce.puzzle.rules import Cage
from deduce.solving.generate import minimal_puzzle

PLAIN = (
    "hidden single",
    "naked single",
    "pointing pair",
    "pointing triple",
    "claiming pair",
    "claiming triple",
    "naked pair",
    "hidden pair",
    "naked triple",
    "hidden triple",
)

# Random minimal 9x9 puzzles (seeds of the project's own generator) that no named pattern solves.
BEYOND_PATTERNS = (6, 169)


@lru_cache(maxsize=64)
def stuck(seed: int, order: int = 9, patterns: tuple[str, ...] = PLAIN) -> deduce.Grid:
    """Return the position in which a walk with some patterns ends."""
    return deduce.walk(minimal_puzzle(seed, Layout.standard(order)), patterns).grid


def place_of(grid: deduce.Grid) -> Position:
    return Position(grid.live, grid.true)


def judge(model: Model, position: Position, *inferences: Inference):
    """Let the kernel check inferences on a bare model."""
    grid = SimpleNamespace(model=model, live=position.live, true=position.true, givens=position.true)
    return check(grid, SimpleNamespace(inferences=inferences))


def relaxed(model: Model, position: Position, candidate: int, value: int) -> bool:
    """Whether scipy's interior point method finds fractions that meet every rule with one candidate fixed."""
    size = len(model.names)
    bounds = [
        (value, value) if c == candidate else (1, 1) if position.true >> c & 1 else (0, position.live >> c & 1)
        for c in range(size)
    ]
    rows, tops = [np.zeros(size)], [0]
    for constraint in model.constraints:
        row = np.zeros(size)
        for c, a in constraint.terms:
            row[c] = a
        if constraint.upper is not None:
            rows.append(row)
            tops.append(constraint.upper)
        if constraint.lower is not None:
            rows.append(-row)
            tops.append(-constraint.lower)
    return linprog(np.zeros(size), np.array(rows), np.array(tops), bounds=bounds, method="highs-ipm").status == 0


def least_cost(model: Model, position: Position, candidate: int, sign: int, prices=None, digits=None) -> int | None:
    """Return the least cost of an argument by scipy's milp, written down afresh from the counting rule.

    Variables: a weight for each constraint as base and as cover, and for each open candidate but the wanted one how far
    its coefficient lies below zero.  `prices` are two lists, for bases and for covers; `digits` tells for each
    constraint its digit (0: none), and what each different digit costs.
    """
    open_ = position.live & ~position.true
    rules = [k for k, mask in enumerate(model.masks) if mask & open_]
    others = [c for c in bits(open_) if c != candidate]
    width = 2 * len(rules) + len(others)
    cost, high, total = np.zeros(width), np.full(width, np.inf), np.zeros(width)
    below = np.zeros((len(others), width))
    for i, k in enumerate(rules):
        constraint = model.constraints[k]
        coefficient = dict(constraint.terms)
        known = sum(a for c, a in constraint.terms if position.true >> c & 1)
        for j, (side, bound) in enumerate(((-1, constraint.lower), (1, constraint.upper))):
            column = 2 * i + j
            cost[column] = 1 if prices is None else prices[j][k]
            if bound is None:
                high[column] = 0
                continue
            total[column] = -side * (bound - known) + (side * coefficient.get(candidate, 0) if sign > 0 else 0)
            for row, c in enumerate(others):
                below[row, column] = side * coefficient.get(c, 0)
    for row in range(len(others)):
        below[row, 2 * len(rules) + row] = 1
        total[2 * len(rules) + row] = -1
    whole = np.array([1] * (2 * len(rules)) + [0] * len(others))
    used = [] if digits is None else sorted({digits[0][k] for k in rules} - {0})
    more = np.zeros((len(used), width + len(used)))
    for row, digit in enumerate(used):
        # A digit is paid for as soon as any of its constraints is used, up to 200 times together.
        more[row, width + row] = -200
        for i, k in enumerate(rules):
            if digits[0][k] == digit:
                more[row, 2 * i : 2 * i + 2] = 1
    spare = np.zeros((len(others), len(used)))
    found = milp(
        np.append(cost, [digits[1]] * len(used) if digits else []),
        constraints=[
            LinearConstraint(np.hstack([below, spare]), 0, np.inf),
            LinearConstraint(np.append(total, np.zeros(len(used)))[None, :], 1, np.inf),
            *([LinearConstraint(more, -np.inf, 0)] if used else []),
        ],
        bounds=(np.zeros(width + len(used)), np.append(high, np.ones(len(used)))),
        integrality=np.append(whole, np.ones(len(used))),
    )
    return round(found.fun) if found.status == 0 else None


def cage(name: str, cells: list[int], total: int, order: int, size: int) -> Constraint:
    """Return the rule that the digits of some cells of a square add up to a total."""
    terms = tuple((d * size + cell, d + 1) for cell in sorted(cells) for d in range(order))
    return Constraint(name, terms, total, total)


def caged(total_of: dict[tuple[int, ...], int]) -> Model:
    """Return the model of the 4x4 grid with cages."""
    layout = Layout.standard(4)
    cages = [cage(f"cage {i}", list(cells), total, 4, 16) for i, (cells, total) in enumerate(total_of.items())]
    return Model(layout.model.names, [*layout.model.constraints, *cages])


def fillings(model: Model, position: Position) -> list[int]:
    """Return every 0-1 assignment that meets the rules, as bitsets, by plain backtracking over the constraints."""
    found = []

    def fits(true: int, live: int) -> bool:
        for constraint in model.constraints:
            least = most = 0
            for c, a in constraint.terms:
                if true >> c & 1:
                    least, most = least + a, most + a
                elif live >> c & 1:
                    least, most = least + min(a, 0), most + max(a, 0)
            if constraint.lower is not None and most < constraint.lower:
                return False
            if constraint.upper is not None and least > constraint.upper:
                return False
        return True

    def extend(true: int, live: int) -> None:
        if not fits(true, live):
            return
        open_ = live & ~true
        if not open_:
            found.append(true)
            return
        low = open_ & -open_
        extend(true | low, live)
        extend(true, live & ~low)

    extend(position.true, position.live)
    return found


def caged_grid(totals: dict[tuple[int, ...], int], order: int = 4) -> deduce.Grid:
    """Return an empty grid with cages, whose digits differ and add up to a total."""
    rules = [Cage(cells, total) for cells, total in totals.items()]
    return deduce.Grid.empty(Layout.standard(order).with_rules(*rules))
