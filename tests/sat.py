"""Puzzles as clauses: the encodings that tests share when they ask a SAT solver for a second opinion."""

from __future__ import annotations

from collections.abc import Iterable
from itertools import combinations

from pysat.card import CardEnc
from pysat.formula import IDPool
from pysat.solvers import Solver

import deduce
from deduce.positions import bits
from deduce.puzzle.layout import Layout


def knowing(layout: Layout) -> Solver:
    """Return a solver that knows the houses of a layout; literal ``c + 1`` says that candidate ``c`` is true."""
    cells = layout.cells
    groups = [[d * cells + cell + 1 for d in range(layout.order)] for cell in range(cells)]
    groups += [[d * cells + cell + 1 for cell in house.cells] for house in layout.houses for d in range(layout.order)]
    solver = Solver("cadical153")
    for group in groups:
        solver.add_clause(group)
        for a, b in combinations(group, 2):
            solver.add_clause([-a, -b])
    return solver


def can_be(grid: deduce.Grid, rules: Iterable[tuple[str, Iterable[int]]], candidate: int, value: bool) -> bool:
    """Whether a filling meets some rules, and what is placed, with one candidate true or false.

    Each rule is ``"lower"``, at least one of these candidates, or ``"upper"``, at most one of them.
    """
    pool = IDPool()
    names = {c: pool.id(c) for c in bits(grid.live)}
    with Solver("cadical153") as solver:
        for side, here in rules:
            literals = [names[c] for c in here]
            if side == "lower":
                solver.add_clause(literals)
            elif len(literals) > 1:
                solver.append_formula(CardEnc.atmost(literals, 1, vpool=pool).clauses)
        solver.add_clause([names[candidate] if value else -names[candidate]])
        for c in bits(grid.true):
            solver.add_clause([names[c]])
        return bool(solver.solve())
