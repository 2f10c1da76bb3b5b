"""Random small problems as plain descriptions: made into a Problem, and filled by brute force without any library.

A description is (domains, constraints): a dict from variable to values, and a list of (kind, arguments, scope).  What
each kind means is written out here once more, so that nothing of the bridge is used to judge it.
"""

from __future__ import annotations

import operator
import random
from collections.abc import Iterator
from itertools import pairwise, product
from types import ModuleType
from typing import Any

from hypothesis import strategies as st

Spec = tuple[dict[Any, list[Any]], list[tuple[str, tuple[Any, ...], list[Any]]]]

NUMBERS = [-2, -1, 0, 1, 2, 3]
ANYTHING = ["red", "green", (1, 2), 4, None, ""]

FUNCTIONS = {
    "sum is even": lambda *x: sum(x) % 2 == 0,
    "ascending": lambda *x: all(a < b for a, b in pairwise(x)),
    "no neighbours equal": lambda *x: all(a != b for a, b in pairwise(x)),
    "first is the sum of the rest": lambda *x: x[0] == sum(x[1:]),
    "few": lambda *x: sum(x) <= 1,
    "product below three": lambda *x: __import__("math").prod(x) < 3,
    "nothing": lambda *x: False,
    "exactly two alike": lambda *x: len(set(x)) == len(x) - 1,
}
OF_ANYTHING = ["no neighbours equal", "exactly two alike", "nothing"]


def total(multipliers: list[int] | None, values: list[Any]) -> Any:
    return sum(map(operator.mul, multipliers or [1] * len(values), values))


MEANING = {
    "AllDifferent": lambda values: len(set(values)) == len(values),
    "AllEqual": lambda values: len(set(values)) == 1,
    "ExactSum": lambda values, goal, multipliers: total(multipliers, values) == goal,
    "MaxSum": lambda values, goal, multipliers: total(multipliers, values) <= goal,
    "MinSum": lambda values, goal, multipliers: total(multipliers, values) >= goal,
    "InSet": lambda values, wanted: all(value in wanted for value in values),
    "NotInSet": lambda values, wanted: all(value not in wanted for value in values),
    "SomeInSet": lambda values, wanted, n, only: some(sum(v in wanted for v in values), n, only),
    "SomeNotInSet": lambda values, wanted, n, only: some(sum(v not in wanted for v in values), n, only),
    "Function": lambda values, name: FUNCTIONS[name](*values),
}


def some(count: int, n: int, only: bool) -> bool:
    return count == n if only else count >= n


def fillings(spec: Spec) -> Iterator[dict[Any, Any]]:
    """Yield every filling that meets all constraints."""
    domains, constraints = spec
    for values in product(*domains.values()):
        filling = dict(zip(domains, values, strict=True))
        if all(MEANING[kind]([filling[v] for v in scope], *given) for kind, given, scope in constraints):
            yield filling


def build(spec: Spec, library: ModuleType) -> Any:
    """Return the problem, made with python-constraint or with its fork."""
    domains, constraints = spec
    problem = library.Problem()
    for variable, values in domains.items():
        problem.addVariable(variable, list(values))
    for kind, given, scope in constraints:
        if kind == "Function":
            problem.addConstraint(FUNCTIONS[given[0]], scope)
        else:
            problem.addConstraint(getattr(library, f"{kind}Constraint")(*given), scope)
    return problem


def library_is_right(spec: Spec) -> bool:
    """Whether the library can be trusted, whose cuts assume that the rest of a sum adds nothing below zero."""
    domains, constraints = spec
    for kind, given, scope in constraints:
        if kind.endswith("Sum"):
            factors = given[1] or [1] * len(scope)
            if any(f * v < 0 for f, variable in zip(factors, scope, strict=True) for v in domains[variable]):
                return False
            if min(factors) < 1:
                return False
    return True


@st.composite
def specs(draw: st.DrawFn, most: int = 4, constraints: int = 4) -> Spec:
    """Problems of two to four variables with up to four values each."""
    numeric = draw(st.booleans())
    pool = NUMBERS if numeric else ANYTHING
    # The library sorts its variables, so they are of one type.
    every = draw(st.sampled_from([["a", "b", "c", "d"], [("x", 1), ("x", 2), ("y", 1), ("y", 2)], [1, 2, 3, 4]]))
    names = draw(st.lists(st.sampled_from(every), min_size=2, max_size=most, unique=True))
    some_values = st.lists(st.sampled_from(pool), min_size=1, max_size=4, unique=True)
    domains = {name: draw(some_values) for name in names}
    if draw(st.booleans()):  # the same domain for all, as AllDifferent needs to make a house
        one = draw(st.lists(st.sampled_from(pool), min_size=len(names), max_size=len(names), unique=True))
        domains = dict.fromkeys(names, one)
    kinds = ["AllDifferent", "AllEqual", "InSet", "NotInSet", "SomeInSet", "SomeNotInSet", "Function"]
    kinds += ["ExactSum", "MaxSum", "MinSum"] * numeric
    listed = []
    for _ in range(draw(st.integers(1, constraints))):
        kind = draw(st.sampled_from(kinds))
        least = 1 if kind.endswith(("InSet", "Sum")) else 2
        scope = draw(st.lists(st.sampled_from(names), min_size=least, max_size=len(names), unique=True))
        given: tuple[Any, ...] = ()
        if kind.endswith("Sum"):
            factors = st.lists(st.integers(-2, 2), min_size=len(scope), max_size=len(scope))
            given = (draw(st.integers(-3, 6)), draw(st.none() | factors))
        elif kind.startswith("Some"):
            given = (draw(some_values), draw(st.integers(0, 3)), draw(st.booleans()))
        elif kind.endswith("InSet"):
            given = (draw(some_values),)
        elif kind == "Function":
            given = (draw(st.sampled_from(list(FUNCTIONS) if numeric else OF_ANYTHING)),)
        listed.append((kind, given, scope))
    return domains, listed


POOLS = [[-2, 2], [-3, -1, 1, 3], [-4, 0, 2, 4], [-7, 0, 5, 11], NUMBERS]
FACTORS = [-3, -2, -1, 0, 1, 2, 4]
EVERY = [["a", "b", "c", "d"], ["a", "b", "c", "d"], [1, 2, 3, 4], [("x", 1), ("x", 2), ("y", 1), ("y", 2)]]


def at_random(seed: int) -> Spec:
    """Return a problem such as people write by mistake, too: sums of the wrong parity, empty sets, too few values."""
    dice = random.Random(seed)
    numeric = dice.random() < 0.75
    pool: list[Any] = dice.choice(POOLS) if numeric else ANYTHING
    names = dice.sample(dice.choice(EVERY), dice.choice([1, 2, 2, 3, 3, 4]))

    def some_values(least: int = 1) -> list[Any]:
        return dice.sample(pool, dice.randint(least, min(4, len(pool))))

    domains = {name: some_values() for name in names}
    if dice.random() < 0.5:
        domains = dict.fromkeys(names, some_values(2))
    kinds = [kind for kind in MEANING if numeric or not kind.endswith("Sum")]
    kinds += ["ExactSum", "MaxSum", "MinSum"] * numeric
    listed: list[tuple[str, tuple[Any, ...], list[Any]]] = []
    for _ in range(dice.randint(1, 4)):
        kind = dice.choice(kinds)
        scope = dice.sample(names, dice.randint(1, len(names)))
        given: tuple[Any, ...] = ()
        if kind.endswith("Sum"):
            factors = dice.choice([None, [dice.choice(FACTORS) for _ in scope]])
            met = total(factors, [domains[name][0] for name in scope])
            given = (met if dice.random() < 0.4 else dice.randint(-6, 9), factors)
        elif kind.startswith("Some"):
            given = (dice.choice([[], some_values(), some_values()]), dice.randint(0, 3), dice.random() < 0.5)
        elif kind.endswith("InSet"):
            given = (dice.choice([[], some_values(), some_values(), some_values()]),)
        elif kind == "Function":
            given = (dice.choice(list(FUNCTIONS) if numeric else OF_ANYTHING),)
        listed.append((kind, given, scope))
    return domains, listed
