"""What cannot be read is refused by name, with what to do; and what the two libraries have in common is enough."""

from __future__ import annotations

import ast
import os
import subprocess
import sys
from pathlib import Path
from typing import Any

import constraint
import pytest
from puzzle.problems.made_up import FUNCTIONS, specs

import deduce
from deduce.errors import ProblemError


def problem(domain: Any = (1, 2, 3), names: Any = "abc") -> Any:
    made = constraint.Problem()
    made.addVariables(list(names), list(domain))
    return made


class Odd(constraint.Constraint):
    """A kind of its own."""


class Sum(constraint.ExactSumConstraint):
    """A kind that may mean something else."""


def nine(*values: int) -> bool:
    return sum(values) == 9


def broken(a: int, b: int) -> bool:
    return 1 // (a - b) > 0


def with_rule(rule: Any, scope: Any = None, **given: Any) -> Any:
    made = problem(**given)
    made.addConstraint(rule, scope)
    return made


REFUSED = {
    "no variables": (constraint.Problem, "the problem has no variables; add variables first"),
    "an unknown kind": (lambda: with_rule(Odd()), "constraint 1 is of the kind Odd, which is not understood; state"),
    "a kind made of another": (lambda: with_rule(Sum(3)), "constraint 1 is of the kind Sum, which is not"),
    "too many variables": (
        lambda: with_rule(nine, names="abcde"),
        "constraint 1 (nine(a, b, c, d, e) holds) is a function of 5 variables; functions of at most 4 are tabulated",
    ),
    "too many combinations": (
        lambda: with_rule(nine, domain=range(28)),
        "constraint 1 (nine(a, b, c) holds) has 21952 combinations of values; at most 20000 are tabulated",
    ),
    "a function that fails": (
        lambda: with_rule(broken, ["a", "b"]),
        "constraint 1 (broken(a, b) holds) failed for a = 1, b = 1 (ZeroDivisionError",
    ),
    "a sum of words": (
        lambda: with_rule(constraint.MaxSumConstraint(3), domain=["x", "y"]),
        "constraint 1 (MaxSumConstraint over a, b and c) cannot add up: 'x' is no number; use whole numbers",
    ),
    "a sum of long floats": (
        lambda: with_rule(constraint.MinSumConstraint(1 / 3)),
        "is no decimal of at most six places",
    ),
    "too few multipliers": (
        lambda: with_rule(constraint.ExactSumConstraint(3, [1, 2])),
        "constraint 1 (ExactSumConstraint) has 2 multipliers for 3 variables; give one for each variable",
    ),
    "a stranger": (
        lambda: with_rule(constraint.AllDifferentConstraint(), ["a", "z"]),
        "constraint 1 (AllDifferentConstraint) names 'z', which is no variable of the problem",
    ),
    "a variable twice": (
        lambda: with_rule(constraint.AllEqualConstraint(), ["a", "b", "a"]),
        "constraint 1 (AllEqualConstraint) names a twice; name each variable once",
    ),
    "a set for an order": (
        lambda: with_rule(nine, {"a", "b"}),
        "constraint 1 (FunctionConstraint) has its variables in a set, which has no order; give them in a list",
    ),
    "what cannot be hashed": (
        lambda: problem(domain=[[1], [2]]),
        "the value [1] of a cannot be hashed; use values such",
    ),
    "what is not itself": (lambda: problem(domain=[float("nan")]), "the value nan of a does not equal itself"),
    "a huge problem": (
        lambda: problem(domain=range(200), names=[f"v{i}" for i in range(101)]),
        "101 variables times 200 values are 20200 candidates; give a problem with at most 20000",
    ),
    "a count of a half": (
        lambda: with_rule(constraint.SomeInSetConstraint([1], n=1.5)),
        "constraint 1 (SomeInSetConstraint) asks for 1.5 of a, b and c; give a whole number",
    ),
}


@pytest.mark.parametrize("name", REFUSED)
def test_refusals(name: str) -> None:
    make, said = REFUSED[name]
    with pytest.raises(ProblemError) as caught:
        deduce.Grid.from_problem(make())
    assert said in str(caught.value)
    assert str(caught.value) == f"{caught.value.problem}; {caught.value.advice}"


def test_what_is_no_problem() -> None:
    with pytest.raises(TypeError, match="a dict is no python-constraint problem"):
        deduce.Grid.from_problem({})


def test_names_must_fit() -> None:
    made = with_rule(constraint.AllDifferentConstraint())
    for names, said in (([], "0 names are given for 1 constraints"), (["two\nlines"], "is no name for a constraint")):
        with pytest.raises(ProblemError, match=said):
            deduce.Grid.from_problem(made, names=names)


def test_a_set_of_variables_will_do_where_order_does_not_matter() -> None:
    made = with_rule(constraint.AllDifferentConstraint(), {"c", "b", "a"})
    assert [house.name for house in deduce.Grid.from_problem(made).layout.houses] == ["a, b and c"]


def test_names_that_print_alike_are_told_apart() -> None:
    made = constraint.Problem()
    made.addVariable("1", [1, "1"])
    made.addVariable(1, ["1", True])
    grid = deduce.Grid.from_problem(made)
    assert [str(candidate) for candidate in grid.candidates()] == ["'1' = 1", "1 = 1", "'1' = '1'", "1 = '1'"]


# The maintained fork, by doubles: classes of the same names in a module of that name, and constraints as text.


class Double:
    """A problem of the fork as the bridge sees it."""

    def __init__(self, variables: dict[str, list[Any]], constraints: list[Any], texts: list[str]) -> None:
        self._variables = variables
        self._constraints = constraints
        self._str_constraints = texts


def test_constraints_as_text() -> None:
    made = Double({"a": [1, 2, 3], "b": [1, 2, 3]}, [(constraint.AllDifferentConstraint(), None)], ["a + 1 < b"])
    grid = deduce.Grid.from_problem(made)
    assert [solved.line() for solved in deduce.solutions(grid, None)] == ["a = 1, b = 3"]
    for text, said in (("a +", "is no expression"), ("3 > 2", "names no variable of the problem")):
        with pytest.raises(ProblemError, match=said):
            deduce.Grid.from_problem(Double({"a": [1]}, [], [text]))


FORK = os.environ.get("DEDUCE_FORK")
"""A folder into which python-constraint2 was installed: ``pip install --target FOLDER python-constraint2``."""

RUN = """
import ast, sys
sys.path[:0] = [sys.argv[1], sys.argv[2], sys.argv[3]]
import constraint
assert hasattr(constraint.Problem(), "_str_constraints"), "this is not the fork"
import deduce
from deduce.puzzle.problem import to_problem
from puzzle.problems.made_up import build, fillings
from puzzle.problems.test_bridge import filled, frozen, state
for spec in ast.literal_eval(sys.stdin.read()):
    problem = build(spec, constraint)
    before = state(problem)
    grid = deduce.Grid.from_problem(problem)
    walk = deduce.walk(grid)
    found = frozen(map(filled, deduce.solutions(grid, None)))
    assert found == frozen(fillings(spec)), spec
    assert state(problem) == before, spec
    if found:
        again = deduce.Grid.from_problem(to_problem(grid))
        assert frozen(map(filled, deduce.solutions(again, None))) == found, spec
problem = constraint.Problem()
problem.addVariables(["a", "b"], [1, 2, 3])
problem.addConstraint("a + 1 < b")
solved = list(deduce.solutions(deduce.Grid.from_problem(problem), None))
assert frozen(map(filled, solved)) == {frozenset({("a", 1), ("b", 3)})}
print("all of them agree")
"""


@pytest.mark.thorough
@pytest.mark.skipif(not FORK, reason="DEDUCE_FORK names no folder with python-constraint2")
def test_the_fork() -> None:
    import warnings

    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        made = [specs().example() for _ in range(150)]
    assert ast.literal_eval(repr(made)) == made
    tests = Path(__file__).parents[2]
    done = subprocess.run(
        [sys.executable, "-c", RUN, str(FORK), str(tests.parent), str(tests)],
        input=repr(made),
        text=True,
        capture_output=True,
        check=False,
    )
    assert done.stdout == "all of them agree\n", done.stderr
    assert FUNCTIONS
