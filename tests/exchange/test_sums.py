"""Sums as clauses: they say what the sum says, and walks over cages and sums are followed by foreign checkers."""

from __future__ import annotations

from itertools import product
from random import Random

import pytest
from exchange.checkers import dimacs, lrat
from exchange.test_exports import alone, alone_too, concluded
from pysat.solvers import Solver

import deduce
from deduce.errors import ExportError
from deduce.exchange import Document, to_clausal
from deduce.exchange.sums import clauses

CAGES = """grid 6
cage r2c2 r2c3 r2c4 = 14
cage r1c5 r2c5 r2c6 = 10
cage r3c4 r4c4 r5c4 = 10
cage r4c1 r5c1 r6c1 = 14
cage r4c5 r5c5 r6c5 = 9
cage r3c6 r4c6 = 4
cage r1c1 r2c1 r3c1 = 7
cage r3c3 r4c2 r4c3 = 8
cage r5c2 r5c3 r6c2 = 9
cage r1c2 r1c3 r1c4 = 9
cage r3c5 = 6
cage r6c3 r6c4 = 10
cage r1c6 = 6
cage r5c6 r6c6 = 7
cage r3c2 = 3"""

SUMS = """grid 4
total r1c1 r1c1 r1c2 = 4
total r2c1 r3c2 r4c3 >= 5 <= 6
equal r1c4 r2c4 = r4c1 r4c3
total r3c3 r4c4 <= 5
r1c1 < r2c2"""


@pytest.mark.parametrize("seed", range(60))
def test_the_clauses_hold_just_where_the_sum_does(seed: int) -> None:
    dice = Random(seed)
    cells, used = [], 0
    for _ in range(dice.randint(1, 4)):
        size = dice.randint(1, 3)
        cells.append({used + i: dice.choice([-3, -2, -1, 1, 2, 3, 5]) for i in range(1, size + 1)})
        used += size
    least = dice.randint(-6, 9)
    fresh = iter(range(used + 1, 1000))
    with Solver("cadical153", bootstrap_with=[*clauses(cells, least, lambda: next(fresh))] or [[-999, 999]]) as solver:
        for chosen in product(*([0, *cell] for cell in cells)):
            total = sum(cell.get(c, 0) for cell, c in zip(cells, chosen, strict=True))
            settled = [c if c in chosen else -c for c in range(1, used + 1)]
            assert solver.solve(assumptions=settled) == (total >= least)


def walk_of(text: str) -> Document:
    return Document.of_walk(deduce.walk(deduce.Grid.empty(deduce.Layout.parse(text))))


@pytest.mark.parametrize("text", [CAGES, SUMS], ids=["cages", "sums"])
def test_walks_over_sums_are_followed_by_other_checkers(text: str) -> None:
    document = walk_of(text)
    assert len(document.proofs) > 5
    whole, short = (to_clausal(document, premises_only=only) for only in (False, True))
    assert lrat(whole.formula, whole.proof)
    derived = lrat(short.formula, short.proof)
    units = {clause[0] for clause, _ in derived if len(clause) == 1}
    units |= {clause[0] for clause in dimacs(short.formula)[1] if len(clause) == 1}
    assert {*concluded(document)} <= units
    for clause, reasons in derived:
        assert alone(reasons, clause)
        assert alone_too(reasons, clause)
    assert len(whole.formula) + len(whole.proof) < 10 * len(document.to_json())


@pytest.mark.parametrize("text", [CAGES, SUMS], ids=["cages", "sums"])
def test_the_formula_has_the_solutions_of_the_puzzle(text: str) -> None:
    document = walk_of(text)
    layout = document.start.layout
    variables, formula = dimacs(to_clausal(document).formula)
    count = layout.order * layout.cells
    assert variables > count
    expected = {solution.true for solution in deduce.solutions(document.start, limit=None)}
    found = set()
    with Solver("cadical153", bootstrap_with=formula) as solver:
        while solver.solve():
            true = [literal for literal in solver.get_model() if 0 < literal <= count]
            found.add(sum(1 << literal - 1 for literal in true))
            solver.add_clause([-literal for literal in true])
    assert found == expected


def test_a_sum_of_too_many_parts_is_refused_by_name(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("deduce.exchange.clausal.MAX_PARTS", 10)
    with pytest.raises(ExportError, match=r"'.* totals .*' takes more than 10 clauses; export it as a pseudo-Boolean"):
        to_clausal(walk_of(CAGES))
