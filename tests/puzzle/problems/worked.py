"""Problems for worked examples, with named constraints; everything in them is invented but the shapes of the tasks."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from constraint import (
    AllDifferentConstraint,
    ExactSumConstraint,
    InSetConstraint,
    MaxSumConstraint,
    NotInSetConstraint,
    Problem,
    SomeInSetConstraint,
)


def clue(problem: Problem, text: str, function: Callable[..., Any], scope: list[Any]) -> None:
    """Add a function under the name that its docstring gives it."""
    function.__doc__ = text
    problem.addConstraint(function, scope)


def market() -> Problem:
    """A logic grid: four stalls in a row, each with a keeper, goods and a colour."""
    problem = Problem()
    keepers, goods, colours = (
        ("Ada", "Bo", "Cyr", "Dot"),
        ("lamps", "maps", "kites", "tea"),
        ("amber", "blue", "coral", "dun"),
    )
    problem.addVariables([*keepers, *goods, *colours], [1, 2, 3, 4])
    for group in (keepers, goods, colours):
        problem.addConstraint(AllDifferentConstraint(), list(group))
    clue(problem, "Ada stands directly left of the tea stall", lambda a, t: a + 1 == t, ["Ada", "tea"])
    clue(problem, "the lamp stall is amber", lambda stall, a: stall == a, ["lamps", "amber"])
    clue(problem, "Bo stands at one end", lambda b: b in (1, 4), ["Bo"])
    clue(problem, "the blue stall is to the right of Cyr's", lambda b, c: b > c, ["blue", "Cyr"])
    clue(problem, "kites and maps are neighbours", lambda k, m: abs(k - m) == 1, ["kites", "maps"])
    clue(problem, "Dot's stall is dun", lambda d, c: d == c, ["Dot", "dun"])
    clue(problem, "Cyr sells kites", lambda c, k: c == k, ["Cyr", "kites"])
    clue(problem, "Ada is not next to Bo", lambda a, b: abs(a - b) > 1, ["Ada", "Bo"])
    clue(problem, "the coral stall is next to the dun one", lambda c, d: abs(c - d) == 1, ["coral", "dun"])
    return problem


BORDERS = (
    ("Ash", "Birch"), ("Ash", "Cedar"), ("Birch", "Cedar"), ("Birch", "Dogwood"), ("Cedar", "Dogwood"),
    ("Cedar", "Elm"), ("Dogwood", "Elm"), ("Elm", "Fir"), ("Dogwood", "Fir"),
)  # fmt: skip


def counties(fixed: dict[str, str] | None = None) -> Problem:
    """A map to be coloured, neighbours differently, with three colours."""
    problem = Problem()
    problem.addVariables(["Ash", "Birch", "Cedar", "Dogwood", "Elm", "Fir"], ["red", "green", "blue"])
    for pair in BORDERS:
        problem.addConstraint(AllDifferentConstraint(), list(pair))
    for county, colour in (fixed or {}).items():
        problem.addConstraint(InSetConstraint([colour]), [county])
    return problem


def queens(size: int, given: dict[int, int] | None = None) -> Problem:
    """Queens on a board, one in each column, some of them given: the variables are columns, the values rows."""
    problem = Problem()
    names = [f"column {c + 1}" for c in range(size)]
    problem.addVariables(names, list(range(1, size + 1)))
    problem.addConstraint(AllDifferentConstraint())
    for i in range(size):
        for j in range(i + 1, size):
            text = f"columns {i + 1} and {j + 1} share no diagonal"
            clue(problem, text, lambda a, b, d=j - i: abs(a - b) != d, [names[i], names[j]])
    for column, row in (given or {}).items():
        problem.addConstraint(InSetConstraint([row]), [f"column {column}"])
    return problem


def square() -> Problem:
    """The magic square of order 3, turned so that its least corner is at the top left and the next to its right."""
    problem = Problem()
    names = [f"{row}{column}" for row in "abc" for column in "123"]
    problem.addVariables(names, list(range(1, 10)))
    problem.addConstraint(AllDifferentConstraint())
    lines = [names[0:3], names[3:6], names[6:9], names[0::3], names[1::3], names[2::3], names[0::4], names[2:7:2]]
    for line in lines:
        problem.addConstraint(ExactSumConstraint(15), line)
    for one, other in (("a1", "a3"), ("a1", "c1"), ("a1", "c3"), ("a3", "c1")):
        clue(problem, f"{one} is less than {other}", lambda a, b: a < b, [one, other])
    return problem


def timetable() -> Problem:
    """Six lessons in three slots of two mornings, with rooms, teachers and a pupil who has to be in three of them."""
    problem = Problem()
    slots = ["Mon 9", "Mon 10", "Mon 11", "Tue 9", "Tue 10", "Tue 11"]
    lessons = ["glass", "ropes", "stars", "tides", "tools", "winds"]
    problem.addVariables(lessons, slots)
    hour = {slot: number for number, slot in enumerate(slots)}
    # One workshop: no two of these at once.
    problem.addConstraint(AllDifferentConstraint(), ["glass", "ropes", "tools"])
    # One teacher for both, and one for the other two.
    problem.addConstraint(AllDifferentConstraint(), ["stars", "tides", "winds"])
    clue(problem, "tides come right after stars", lambda s, t: hour[t] == hour[s] + 1 != 3, ["stars", "tides"])
    clue(problem, "glass needs an hour to cool before tools", lambda g, t: hour[t] - hour[g] >= 2, ["glass", "tools"])
    clue(problem, "ropes and winds are on one day", lambda r, w: r[:3] == w[:3], ["ropes", "winds"])
    problem.addConstraint(NotInSetConstraint(["Mon 9", "Tue 9"]), ["stars"])
    problem.addConstraint(InSetConstraint(["Tue 9", "Tue 10", "Tue 11"]), ["winds"])
    problem.addConstraint(NotInSetConstraint(["Tue 11"]), ["tools", "ropes"])
    problem.addConstraint(
        SomeInSetConstraint(["Mon 9", "Mon 10", "Mon 11"], n=4, exact=True), ["glass", "stars", "tides", "tools"]
    )
    clue(problem, "ropes come before winds", lambda r, w: hour[r] < hour[w], ["ropes", "winds"])
    clue(problem, "winds are not last", lambda w: w != "Tue 11", ["winds"])
    return problem


def impossible_timetable() -> Problem:
    """The same with one wish too many."""
    problem = timetable()
    problem.addConstraint(NotInSetConstraint(["Mon 11"]), ["tools", "tides"])
    return problem


def stores() -> Problem:
    """Weights that have to be carried by two boats; no filling is light enough."""
    problem = Problem()
    problem.addVariables(["oats", "salt", "wool"], [4, 5, 6])
    problem.addConstraint(AllDifferentConstraint())
    problem.addConstraint(MaxSumConstraint(8), ["oats", "salt"])
    problem.addConstraint(MaxSumConstraint(20))
    return problem
