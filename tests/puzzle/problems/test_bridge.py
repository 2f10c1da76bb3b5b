"""Bridged problems: their solutions, and that nothing deduced on them contradicts one."""

from __future__ import annotations

import json
import pickle
from contextlib import suppress
from itertools import islice
from typing import Any

import constraint
import pytest
from hypothesis import given
from puzzle.problems.made_up import Spec, build, fillings, library_is_right, specs

import deduce
from deduce import counting
from deduce.errors import ProblemError
from deduce.patterns.asking import chain_for, chains_for
from deduce.patterns.catalogue import fault
from deduce.positions import bits
from deduce.puzzle.problem import to_problem
from deduce.puzzle.problems.layout import ProblemLayout
from deduce.walks import Outcome
from deduce.words.en.explain import LEVELS


def filled(grid: deduce.Grid) -> dict[Any, Any]:
    """A solved grid as python-constraint tells a solution."""
    layout = grid.layout
    assert isinstance(layout, ProblemLayout)
    assert grid.solved
    return {layout.variables[n % layout.cells]: layout.values[n // layout.cells] for n in bits(grid.true)}


def frozen(found: Any) -> set[frozenset[tuple[Any, Any]]]:
    return {frozenset(one.items()) for one in found}


def true_in(grid: deduce.Grid, filling: dict[Any, Any]) -> set[int]:
    """The candidates that a filling makes true."""
    layout = grid.layout
    assert isinstance(layout, ProblemLayout)
    return {layout.number(layout.values.index(v) + 1, layout.variables.index(k)) for k, v in filling.items()}


@given(specs())
def test_solutions_are_those_of_brute_force_and_of_the_library(spec: Spec) -> None:
    grid = deduce.Grid.from_problem(build(spec, constraint))
    wanted = frozen(fillings(spec))
    found = [filled(solved) for solved in deduce.solutions(grid, None)]
    assert len(found) == len(frozen(found))
    assert frozen(found) == wanted
    if library_is_right(spec):
        assert frozen(build(spec, constraint).getSolutions()) == wanted


def in_keeping(grid: deduce.Grid, proof: deduce.Proof, allowed: list[set[int]]) -> None:
    """A proof passes the kernel, and concludes nothing that some solution denies."""
    checked = deduce.check(grid, proof)
    assert fault(proof, grid) is None if proof.pattern.name in deduce.patterns.NAMES else True
    assert not (checked.contradiction and allowed)
    false = {grid.number(c) for c in proof.eliminates}
    true = {grid.number(c) for c in proof.places}
    for solution in allowed:
        assert false.isdisjoint(solution)
        assert true <= solution
    for level in LEVELS:
        said = proof.words(level=level)
        assert said
        assert not {"row", "column", "box", "digit", "digits", "cell", "cells"} & {*said.split()}
    proof.notation()


@given(specs())
def test_no_deduction_contradicts_a_solution(spec: Spec) -> None:
    grid = deduce.Grid.from_problem(build(spec, constraint))
    allowed = [true_in(grid, filling) for filling in fillings(spec)]
    for solution in allowed:
        assert all(grid.live >> c & 1 for c in solution)
    for proof in islice(deduce.find(grid), 40):
        in_keeping(grid, proof, allowed)
    for proof in counting.eliminations(grid).proofs[:10]:
        in_keeping(grid, proof, allowed)
    least = deduce.simplest(grid)
    if least is not None:
        in_keeping(grid, least, allowed)
    walk = deduce.walk(grid)
    for step in walk.steps:
        in_keeping(step.before, step.proof, allowed)
    # A walk may get stuck (suppositions are not nested over every kind of rule), but it never says what is not so.
    if walk.outcome is Outcome.IMPOSSIBLE:
        assert not allowed
    elif walk.outcome is Outcome.SOLVED:
        assert allowed == [{*bits(walk.grid.true)}]
    else:
        assert walk.outcome is Outcome.STUCK
        for solution in allowed:
            assert {*bits(walk.grid.true)} <= solution <= {*bits(walk.grid.live)}


def test_a_chain_whose_sum_nothing_can_meet_is_passed_over() -> None:
    # Three values for four variables.  The shortest chain that places d = red goes through the sets twice, whose covers
    # take d = red out of the sum again: the sum is a contradiction, and no proof that d is red.
    domains = {"a": ["red"], "b": ["red", "green", (1, 2)], "c": [4], "d": [4, "red"]}
    grid = deduce.Grid.from_problem(build((domains, [("AllDifferent", (), list(domains))]), constraint))
    red = next(c for c in bits(grid.live) if grid.layout.model.names[c] == "d = red")
    chains = [*deduce.find(grid, ["chain through almost locked sets"])]
    assert len(chains) > 5
    for proof in chains:
        assert red not in {grid.number(c) for c in proof.places}
        in_keeping(grid, proof, [])
    asked = chain_for(grid, str(grid.candidate(red)), almost_locked_sets=True)
    assert asked.proof is not None
    for proof in [asked.proof, *chains_for(grid, str(grid.candidate(red)), almost_locked_sets=True, longest=9)]:
        in_keeping(grid, proof, [])


def state(thing: Any, seen: set[int] | None = None) -> Any:
    """Everything that an object holds, deeply, with the identity of what is held."""
    seen = set() if seen is None else seen
    if id(thing) in seen:
        return id(thing)
    seen.add(id(thing))
    if isinstance(thing, dict):
        return [(state(k, seen), state(v, seen)) for k, v in thing.items()]
    parts = [id(thing), type(thing), repr(thing) if isinstance(thing, int | str | tuple) else ""]
    if isinstance(thing, list | tuple):
        parts += [state(item, seen) for item in thing]
    if hasattr(thing, "__dict__") and not callable(thing):
        parts.append(state(vars(thing), seen))
    return parts


@given(specs())
def test_the_problem_is_left_as_it_was(spec: Spec) -> None:
    problem = build(spec, constraint)
    before = state(problem)
    grid = deduce.Grid.from_problem(problem)
    list(deduce.solutions(grid, 3))
    deduce.walk(grid, budget=3)
    with suppress(ProblemError):
        to_problem(grid).getSolutions()
    assert state(problem) == before


@given(specs().filter(library_is_right))
def test_a_problem_that_has_been_solved_reads_the_same(spec: Spec) -> None:
    # Where the library errs it removes values from the caller's domains for good, and nobody can know them any more.
    problem = build(spec, constraint)
    fresh = deduce.Grid.from_problem(problem)
    problem.getSolution()
    again = deduce.Grid.from_problem(problem)
    assert frozen(map(filled, deduce.solutions(again, None))) == frozen(map(filled, deduce.solutions(fresh, None)))


@given(specs())
def test_round_trips(spec: Spec) -> None:
    grid = deduce.Grid.from_problem(build(spec, constraint))
    wanted = frozen(fillings(spec))
    back = to_problem(grid) if all(grid.live & grid.layout.masks[cell] for cell in range(grid.layout.cells)) else None
    if back is not None:
        assert frozen(map(filled, deduce.solutions(deduce.Grid.from_problem(back), None))) == wanted
        if library_is_right(spec):
            assert frozen(back.getSolutions()) == wanted
    else:
        with pytest.raises(ProblemError, match="has no value left"):
            to_problem(grid)
    copied = pickle.loads(pickle.dumps(grid))
    assert copied == grid
    assert hash(copied) == hash(grid)
    assert frozen(map(filled, deduce.solutions(copied, None))) == wanted
    if back is not None:  # without the caller's own constraints
        assert frozen(to_problem(copied).getSolutions()) == wanted
    for step in [*deduce.walk(grid).steps][:6]:
        assert deduce.Grid.parse(step.after.pencil(), grid.layout) == step.after
    for number in range(grid.layout.order * grid.layout.cells):
        assert grid.number(str(grid.candidate(number))) == number


@given(specs())
def test_documents(spec: Spec) -> None:
    walk = deduce.walk(deduce.Grid.from_problem(build(spec, constraint)))
    if not walk.steps:
        return
    from deduce.exchange import Document, verify

    text = walk.to_json()
    read = Document.from_json(text)
    assert read.to_json() == text
    assert read.start == walk.start
    assert all(mine.inferences == step.proof.inferences for mine, step in zip(read.proofs, walk.steps, strict=True))
    assert all(verdict.verified for verdict in verify(read, fault))
    json.loads(text)
