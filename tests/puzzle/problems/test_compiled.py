"""What a problem compiles to admits exactly its fillings; tables, cliques and boxes against brute force."""

from __future__ import annotations

from fractions import Fraction
from itertools import combinations, product
from typing import Any

import constraint
import pytest
from hypothesis import given, strategies as st
from puzzle.problems.made_up import Spec, build, fillings, specs

from deduce.kernel import Constraint
from deduce.positions import bits
from deduce.puzzle.problems.boxes import gather_boxes
from deduce.puzzle.problems.cliques import between_two, gather
from deduce.puzzle.problems.compiled import compiled
from deduce.puzzle.problems.described import Described
from deduce.puzzle.problems.naming import printable
from deduce.puzzle.problems.numbers import exact
from deduce.puzzle.problems.reader import describe
from deduce.puzzle.problems.tables import as_total


def met(rule: Constraint, true: set[int]) -> bool:
    total = sum(a for c, a in rule.terms if c in true)
    return (rule.lower is None or total >= rule.lower) and (rule.upper is None or total <= rule.upper)


def admitted(read: Described) -> set[tuple[Any, ...]]:
    """The fillings that the linear constraints and the houses of a problem admit."""
    houses, parts = compiled(read, printable(read.variables), printable(read.values))
    rules = [rule for part in parts for rule in part.constraints]
    assert len({rule.name for rule in rules}) == len(rules)
    cells = len(read.variables)
    kept = set()
    # Every value of the problem is tried for every variable: domains are rules as well.
    for digits in product(range(len(read.values)), repeat=cells):
        true = {digit * cells + cell for cell, digit in enumerate(digits)}
        different = all(len({digits[cell] for cell in house.scope}) == len(house.scope) for house in houses)
        if different and all(met(rule, true) for rule in rules):
            kept.add(tuple(read.values[digit] for digit in digits))
    return kept


@given(specs())
def test_linear_constraints_admit_the_fillings_and_nothing_else(spec: Spec) -> None:
    read = describe(build(spec, constraint))
    assert admitted(read) == {tuple(filling[v] for v in read.variables) for filling in fillings(spec)}


@pytest.mark.parametrize(
    ("multipliers", "goal"),
    [(None, Fraction(3, 2)), ([0.1, 0.2], 0.5), ([2, -4], 2), ([0, 0], 0), ([0, 0], 1), ([2, 2], 3)],
)
def test_sums_of_fractions_and_vanishing_factors(multipliers: list[Any] | None, goal: Any) -> None:
    domain = [Fraction(1, 2), 1, 2, 3] if multipliers is None else [0, 1, 2, 3]
    for kind, holds in (("Exact", "__eq__"), ("Max", "__le__"), ("Min", "__ge__")):
        problem = constraint.Problem()
        problem.addVariables(["a", "b"], domain)
        problem.addConstraint(getattr(constraint, f"{kind}SumConstraint")(goal, multipliers), ["a", "b"])
        one, other = map(exact, multipliers or (1, 1))
        wanted = {
            (a, b)
            for a, b in product(domain, repeat=2)
            if getattr(one * exact(a) + other * exact(b), holds)(exact(goal))
        }
        assert admitted(describe(problem)) == wanted


@given(st.sets(st.sampled_from([(a, b) for a, b in combinations(range(8), 2) if a // 2 != b // 2])))
def test_sets_across_variables_hold_conflicts_only(edges: set[tuple[int, int]]) -> None:
    # Candidates 0 and 1 belong to one variable, and so on.
    own = [3 << c // 2 * 2 for c in range(8)]
    conflicts = [sum(1 << (b if a == c else a) for a, b in edges if c in (a, b)) for c in range(8)]
    found = gather(conflicts, own)
    inside = {pair for clique in found for pair in combinations(bits(clique), 2)}
    assert inside <= edges
    triples = (three for three in combinations(range(8), 3) if {*combinations(three, 2)} <= edges)
    assert inside == {pair for three in triples for pair in combinations(three, 2)}
    for clique in found:
        assert not [c for c in range(8) if not clique >> c & 1 and not clique & ~conflicts[c]], "it could be larger"


@given(st.sets(st.tuples(st.integers(0, 3), st.integers(4, 7))), st.data())
def test_sets_between_two_variables_cover_every_conflict_and_nothing_else(
    edges: set[tuple[int, int]], data: st.DataObject
) -> None:
    covered = data.draw(st.sets(st.sampled_from(sorted(edges)))) if edges else set()
    found = between_two(edges, covered)
    inside = {(a, b) for mask in found for a in bits(mask) if a < 4 for b in bits(mask) if b > 3}
    assert edges - covered <= inside <= edges


@given(st.sets(st.tuples(*[st.integers(0, 2)] * 3)))
def test_boxes_cover_what_is_forbidden_and_nothing_allowed(allowed: set[tuple[int, ...]]) -> None:
    digits = [(0, 1, 2)] * 3
    forbidden = [row for row in product(*digits) if row not in allowed]
    found = gather_boxes(sorted(allowed), digits, forbidden)
    assert {row for box in found for row in product(*box)} == set(forbidden)


@given(st.lists(st.integers(-2, 2), min_size=3, max_size=3).filter(any), st.integers(-3, 6), st.sampled_from("=<"))
def test_tables_of_sums_are_recognised_only_if_the_sum_says_the_same(m: list[int], goal: int, sign: str) -> None:
    domains = [dict(enumerate([0, 1, 2, 4]))] * 3

    def value(row: tuple[int, ...]) -> int:
        return sum(a * domains[0][d] for a, d in zip(m, row, strict=True))

    rows = [*product(range(4), repeat=3)]
    table = [row for row in rows if (value(row) == goal if sign == "=" else value(row) <= goal)]
    found = as_total(table, domains, exact)
    if found is None:
        # An inequality is sought with factors 1 and -1 only; an equation needs points that span it.
        assert not table or len(table) == 64 or sign == "=" or set(map(abs, m)) != {1}
        return
    for row in rows:
        total = sum(f * domains[0][d] for f, d in zip(found.factors, row, strict=True))
        holds = (found.least is None or total >= found.least) and (found.most is None or total <= found.most)
        assert holds == (row in table)


def test_a_plain_equation_is_recognised() -> None:
    domains = [dict(enumerate(range(10)))] * 3
    table = [row for row in product(range(10), repeat=3) if row[0] + row[1] == row[2]]
    found = as_total(table, domains, exact)
    assert found is not None
    assert (found.factors, found.least, found.most) == ((1, 1, -1), 0, 0)
    assert as_total(table[:-1], domains, exact) is None
