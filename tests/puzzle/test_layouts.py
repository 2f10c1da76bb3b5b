"""What a layout is: frozen, with all that is worked out of it, and with an origin for each constraint of its model."""

from __future__ import annotations

import ast
from functools import cached_property
from itertools import groupby
from pathlib import Path
from types import MappingProxyType

import pytest
from constraint import AllDifferentConstraint, Problem

import deduce
from deduce import Grid, Layout
from deduce.counting.names import NAMES as BEYOND
from deduce.patterns.families import NAMES
from deduce.words.en.explain import headline

RULED = "grid 4\ncage r1c1-r1c2 = 3\nknight"


def problem() -> Grid:
    """Return a problem with a value that is called as a digit in a house is."""
    made = Problem()
    made.addVariables(["left", "right"], ["cup in hand", "jug"])
    made.addConstraint(AllDifferentConstraint())
    made.addConstraint(lambda side: side != "jug", ["left"])
    return Grid.from_problem(made)


LAYOUTS = [Layout.standard(), Layout.parse(RULED), problem().layout]


@pytest.mark.parametrize("layout", LAYOUTS, ids=repr)
def test_a_layout_does_not_change(layout: Layout) -> None:
    for name in ("order", "rules", "model", "peers", "anything"):
        with pytest.raises(AttributeError, match="does not change"):
            setattr(layout, name, 5)
        with pytest.raises(AttributeError, match="does not change"):
            delattr(layout, name)
    arguments = (4,) if layout.problem is None else (["a"], ["b"])
    with pytest.raises(AttributeError, match="does not change"):
        type(layout).__init__(layout, *arguments)  # type: ignore[misc]
    with pytest.raises(AttributeError):
        layout.model.exclusive = ()  # type: ignore[misc]
    assert layout.order == len(layout.symbols)
    assert deduce.walk(Grid.empty(layout)).start.layout is layout


@pytest.mark.parametrize("layout", LAYOUTS, ids=repr)
def test_what_a_layout_keeps_cannot_be_written_into(layout: Layout) -> None:
    kinds = type(layout).__mro__
    kept = [name for kind in kinds for name, made in vars(kind).items() if isinstance(made, cached_property)]
    assert {"model", "peers", "cell_at"} <= {*kept}
    for name in kept:
        value = getattr(layout, name)
        assert getattr(layout, name) is value
        assert value is None or isinstance(value, int | str | tuple | MappingProxyType), name
        if isinstance(value, tuple):
            hash(value)  # which fails if there is a list or a dict anywhere in it


@pytest.mark.parametrize("layout", LAYOUTS, ids=repr)
def test_each_constraint_has_an_origin(layout: Layout) -> None:
    constraints = layout.model.constraints
    origins = [layout.origin(number) for number in range(len(constraints))]
    assert [kind for kind, _ in groupby(origin.kind for origin in origins)] == ["cell", "house", "rule"][
        : 2 + bool(layout.rules)
    ]
    for number, (origin, constraint) in enumerate(zip(origins, constraints, strict=True)):
        held = [divmod(candidate, layout.cells) for candidate, _ in constraint.terms]
        if origin.kind == "cell":
            assert held == [(digit, origin.number) for digit in range(layout.order)]
            assert constraint.name == f"cell {layout.cell_name(origin.number)}"
        elif origin.kind == "house":
            house = layout.houses[origin.number]
            assert held == [(origin.digit - 1, cell) for cell in house.cells]
            assert constraint.name == f"{layout.symbols[origin.digit - 1]} in {house.name}"
            assert layout.house_of(number) == (origin.number, origin.digit)
        else:
            assert layout.rule_of(number) is layout.rules[origin.number]
            assert constraint in [*layout.rules[origin.number].constraints(layout)]


def test_a_value_may_be_called_like_a_digit_in_a_house() -> None:
    found = problem().without(["left = cup in hand", "right = cup in hand"]).status()
    told = [finding.sentence for finding in found if finding.kind == "digit with no place in a house"]
    assert told == ["cup in hand has no place left in left and right"]


def test_patterns_found_on_a_problem_speak_of_values() -> None:
    grid = problem()
    for name in (*NAMES, *BEYOND, "contradiction"):
        proof = deduce.Proof(grid, (), deduce.proof.Pattern(name))
        assert "digit" not in headline(proof).lower()
        told = headline(proof).partition(":")[0].lower()
        assert told == name.replace("digit", "value").replace("cell", "variable").lower()


def test_only_the_room_of_puzzles_asks_what_kind_of_layout_it_has() -> None:
    package = Path(deduce.__file__).parent
    rooms = set()
    for path in package.rglob("*.py"):
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            if "ProblemLayout" in (getattr(node, "id", ""), getattr(node, "name", ""), getattr(node, "attr", "")):
                rooms.add(path.relative_to(package).parts[0])
    assert rooms == {"puzzle"}


@pytest.mark.parametrize("rule", ["knight", "king"])
def test_chess_moves_lead_in_every_direction(rule: str) -> None:
    """A digit bars itself from every cell that one move reaches, and from no other cell but those of its houses."""
    plain, ruled = Layout.standard(9), Layout.parse(f"grid 9\n{rule}")
    for cell in range(81):
        away = {other: sorted((abs(other // 9 - cell // 9), abs(other % 9 - cell % 9))) for other in range(81)}
        reached = {o for o, steps in away.items() if (steps == [1, 2] if rule == "knight" else steps[1] == 1)}
        beside = {other for other in range(81) if plain.neighbours[cell] >> other & 1}
        barred = {other for other in range(81) if ruled.peers[cell] >> other & 1}  # the candidates of the digit 1
        assert barred == reached | beside, (cell, barred ^ (reached | beside))
