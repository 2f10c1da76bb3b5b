"""The worked problems, step by step; where deduction stops; and what conflicts in those that have no solution."""

from __future__ import annotations

import re
import subprocess
import sys
from pathlib import Path
from typing import Any

import constraint
import pytest
from puzzle.problems import worked
from puzzle.problems.test_bridge import filled

import deduce
from deduce.patterns import PLAIN
from deduce.walks import Outcome, conflict

SOLVED = {
    "market": worked.market,
    "two counties given": lambda: worked.counties({"Ash": "red", "Birch": "green"}),
    "six queens": lambda: worked.queens(6, {1: 2}),
    "eight queens": lambda: worked.queens(8, {1: 1, 2: 5}),
    "square": worked.square,
    "timetable": worked.timetable,
}


@pytest.mark.parametrize("name", SOLVED)
def test_every_step_is_checked_and_leads_to_the_only_solution(name: str) -> None:
    grid = deduce.Grid.from_problem(SOLVED[name]())
    walk = deduce.walk(grid)
    assert walk.outcome is Outcome.SOLVED
    walk.check()
    wanted = SOLVED[name]().getSolutions()
    assert len(wanted) == 1
    assert filled(walk.grid) == wanted[0]
    said = walk.words()
    for word in ("row", "box", "digit", "cell", "cells", "digits"):
        assert f" {word} " not in said
    assert walk.page().count("<svg") >= 1 or walk.page().count("data:image/svg") >= len(walk)


def test_the_square_falls_to_sums_alone() -> None:
    grid = deduce.Grid.from_problem(worked.square())
    walk = deduce.walk(grid, patterns=[*PLAIN, "counting argument"])
    assert walk.solved
    assert max(step.proof.depth for step in walk.steps) == 0


def test_deduction_stops_where_solutions_differ_only_by_names() -> None:
    # Any two colours can be exchanged, so no county can be settled, and nothing can be excluded.
    grid = deduce.Grid.from_problem(worked.counties())
    walk = deduce.walk(grid)
    assert (walk.outcome, len(walk)) == (Outcome.STUCK, 0)
    assert len(list(deduce.solutions(grid, None))) == len(worked.counties().getSolutions())
    assert "6 variables are still open" in walk.words()


def test_singles_are_told_with_variables_and_values() -> None:
    grid = deduce.Grid.from_problem(worked.counties({"Ash": "red", "Birch": "green"}))
    walk = deduce.walk(grid)
    assert [str(step.proof) for step in walk.steps][:3] == [
        "naked single: Ash = red",
        "naked single: Birch = green",
        "naked single: Cedar = blue",
    ]
    assert walk.steps[2].proof.words() == "Cedar must be blue: it is its only value left."
    proof = next(deduce.find(deduce.Grid.from_problem(worked.queens(6, {1: 2})), ["naked single"]))
    assert proof.words(level="line") == "Naked single: column 1 = 2"


def test_a_name_given_to_a_constraint_is_used() -> None:
    problem = worked.queens(4, {1: 2})
    names = ["the rows of the queens", *[None] * (len(problem._constraints) - 1)]
    grid = deduce.Grid.from_problem(problem, names=names)
    assert [house.name for house in grid.layout.houses] == ["the rows of the queens"]
    told = deduce.walk(grid).words()
    assert "Every value is taken once by the rows of the queens, and only column 3 can still be 1" in told


def alone(problem: Any, numbers: tuple[int, ...]) -> Any:
    """The problem with some of its constraints."""
    problem._constraints = [problem._constraints[number - 1] for number in numbers]
    return problem


@pytest.mark.parametrize(
    ("make", "numbers"),
    [
        (worked.impossible_timetable, (4, 9, 12)),
        (worked.stores, (1, 2)),
        (lambda: worked.counties({"Ash": "red", "Elm": "green"} | {"Fir": "green"}), None),
    ],
)
def test_conflicts(make: object, numbers: tuple[int, ...] | None) -> None:
    found = conflict(deduce.Grid.from_problem(make()))
    assert found is not None
    assert found.minimal
    assert numbers is None or found.numbers == numbers
    assert not alone(make(), found.numbers).getSolutions()
    for left_out in found.numbers:
        rest = tuple(number for number in found.numbers if number != left_out)
        assert alone(make(), rest).getSolutions(), "a constraint that is not needed"
    assert found.walk.outcome is Outcome.IMPOSSIBLE
    found.walk.check()
    told = found.words()
    assert all(title in told for title in found.titles)
    assert told.startswith(f"These {len(found.numbers)} constraints cannot all hold:")


def test_no_conflict_where_there_is_a_solution() -> None:
    assert conflict(deduce.Grid.from_problem(worked.market())) is None
    with pytest.raises(TypeError, match="status"):
        conflict(deduce.Grid.empty())


def test_a_conflict_of_a_problem_that_came_as_a_document() -> None:
    walk = deduce.walk(deduce.Grid.from_problem(worked.stores()))
    from deduce.exchange import Document

    read = Document.from_json(walk.to_json()).start
    found = conflict(read)
    assert found is not None
    assert len(found.numbers) == 2
    assert found.titles[-1] == "oats + salt <= 8"


def test_claims() -> None:
    grid = deduce.Grid.from_problem(worked.market())
    assert deduce.judge(grid, "Bo = 4, tea is not 4").kind.value == "proved"
    refuted = deduce.judge(grid, "Bo <> 4")
    assert refuted.kind.value == "refuted"
    assert refuted.words().endswith("No: the solution has 4 in Bo.")
    for text, column in (("Bo = 4 because of tea", 8), ("Bob = 4", 1), ("Bo = 7", 6), ("Bo 4", 4)):
        with pytest.raises(deduce.ClaimError) as caught:
            deduce.judge(grid, text)
        assert (caught.value.line, caught.value.column) == (1, column)


def test_pictures_are_tables() -> None:
    walk = deduce.walk(deduce.Grid.from_problem(worked.market()))
    chain = next(step.proof for step in walk.steps if step.proof.pattern.chain)
    for theme in ("light", "dark", "print"):
        drawn = chain.picture(theme=theme)
        assert all(f">{name}<" in drawn for name in ("Ada", "kites", "dun"))
        assert len(drawn) < 20_000
    assert "A table of 12 variables and 4 values" in chain.picture()
    assert "digit" not in chain.picture()


def test_the_key_of_a_table_shows_areas_with_the_outline_that_they_have() -> None:
    walk = deduce.walk(deduce.Grid.from_problem(worked.market()))
    seen = set()
    for step in walk.steps:
        drawn = step.proof.picture(theme="print")
        sample = re.compile(r'<path fill="([^"]+)" fill-opacity="([^"]+)"([^>]*) d="([^"]+)"/>')
        looks: dict[bool, set[tuple[str, ...]]] = {False: set(), True: set()}
        for *look, path in sample.findall(drawn):
            looks["h18v14h-18z" in path].add(tuple(look))
        assert looks[True] <= looks[False], "a sample that the table does not show"
        seen |= looks[True]
    assert any("dasharray" in line for _, _, line in seen)


def test_the_same_words_on_every_hash_seed(tmp_path: Path) -> None:
    code = "import sys; sys.path.insert(0, sys.argv[1])\n"
    code += "import deduce\nfrom puzzle.problems import worked\n"
    code += "print(deduce.walk(deduce.Grid.from_problem(worked.timetable())).to_json())\n"
    code += "print(deduce.walk(deduce.Grid.from_problem(worked.queens(6, {1: 2}))).words())\n"
    tests, root = Path(__file__).parents[2], Path(__file__).parents[3]
    told = [
        subprocess.run(
            [sys.executable, "-c", code, str(tests)],
            cwd=root,
            env={"PYTHONHASHSEED": seed, "PYTHONPATH": str(Path(deduce.__file__).parent.parent)},
            capture_output=True,
            check=True,
        ).stdout
        for seed in ("1", "2")
    ]
    assert told[0] == told[1]


def test_words_stay_readable_with_many_values() -> None:
    made = constraint.Problem()
    made.addVariables(["a", "b"], range(300))
    made.addConstraint(constraint.ExactSumConstraint(598))
    told = deduce.walk(deduce.Grid.from_problem(made)).steps[0].proof.words()
    assert told == "It is asked that a + b = 598. a is 0 to 299 and b is 0 to 299, so neither a nor b can be 0 to 298."


def test_a_sentence_loses_its_capital_within_another_but_a_name_does_not() -> None:
    def ordered(a: int, b: int) -> bool:
        """The first comes before the second."""
        return a < b

    def named(a: int, b: int) -> bool:
        """Ada sits before Ben."""
        return a < b

    made = constraint.Problem()
    made.addVariables(["Ada", "Ben"], [1, 2, 3])
    made.addConstraint(ordered, ["Ada", "Ben"])
    made.addConstraint(named, ["Ben", "Ada"])
    found = conflict(deduce.Grid.from_problem(made))
    assert found is not None
    assert found.titles == ("the first comes before the second", "Ada sits before Ben")


def test_of_two_constraints_that_say_the_same_the_first_is_named() -> None:
    made = constraint.Problem()
    made.addVariables("abc", [1, 2])
    made.addConstraint(constraint.AllDifferentConstraint())
    made.addConstraint(constraint.AllDifferentConstraint())
    found = conflict(deduce.Grid.from_problem(made))
    assert found is not None
    assert found.titles == ("a, b and c are all different",)


def test_a_value_that_must_be_taken_names_all_who_are_concerned_and_why_others_cannot() -> None:
    problem = constraint.Problem()
    names = ["Ann day", "Ben day", "Cleo day", "Dan day"]
    for name, values in zip(names, ([1, 2, 3], [1, 2, 3], [1, 3, 4], [2, 3, 4]), strict=True):
        problem.addVariable(name, values)
    problem.addVariable("x", [1, 2, 3, 4, 5, 6])
    problem.addConstraint(constraint.AllDifferentConstraint(), names)
    problem.addConstraint(lambda day, _: day != 1, ["Ann day", "x"])
    problem.addConstraint(lambda day, _: day != 1, ["Cleo day", "x"])
    first = deduce.walk(deduce.Grid.from_problem(problem)).steps[0].proof
    assert first.words() == (
        "It is asked that 1 is taken exactly once by Ann day, Ben day, Cleo day and Dan day, of which Dan day cannot. "
        "Neither Ann day nor Cleo day can be 1, so Ben day cannot be 2 or 3."
    )
