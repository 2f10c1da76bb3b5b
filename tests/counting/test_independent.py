"""Sums and suppositions judged by python-sat and OR-tools, which get the named constraints and nothing else.

A supposition also rests on the clearing rule: what becomes true bars whatever a constraint of its leaves no room for.
So the constraints of the candidates that become true under it are named by it, too.
"""

from __future__ import annotations

from collections.abc import Iterator
from functools import lru_cache

import pytest
from counting.positions import caged_grid, place_of, stuck
from ortools.sat.python import cp_model
from sat import can_be

import deduce
from deduce import counting
from deduce.counting.names import SUPPOSITION
from deduce.kernel import Counting, Inference, Supposition, check
from deduce.patterns.catalogue import PLAIN as NAMES
from deduce.positions import bits, conclusions
from deduce.proof import Proof
from deduce.solving.generate import minimal_puzzle

Rules = set[tuple[str, int]]


def named(grid: deduce.Grid, inference: Inference) -> Rules:
    """Return the sides of constraints that an inference names."""
    argument = inference.argument
    if isinstance(argument, Counting):
        return {("lower", k) for k, _ in argument.bases} | {("upper", k) for k, _ in argument.covers}
    assert isinstance(argument, Supposition)
    rules: Rules = set()
    placed = [argument.candidate]
    for inner in argument.inferences:
        rules |= named(grid, inner)
        placed += inner.true
    return rules | {("upper", k) for c in placed for k in grid.model.touching[c]}


def terms(grid: deduce.Grid, rules: Rules) -> Iterator[tuple[str, list[tuple[int, int]], int]]:
    """Yield side, live terms and bound of each rule."""
    for side, k in sorted(rules):
        constraint = grid.model.constraints[k]
        bound = constraint.lower if side == "lower" else constraint.upper
        yield side, [(c, a) for c, a in constraint.terms if grid.live >> c & 1], bound


def by_sat(grid: deduce.Grid, rules: Rules, candidate: int, value: bool) -> bool:
    """Whether python-sat finds a filling; every rule is one over plain counts."""
    plain = []
    for side, here, bound in terms(grid, rules):
        assert bound == 1
        assert {a for _, a in here} <= {1}
        plain.append((side, [c for c, _ in here]))
    return can_be(grid, plain, candidate, value)


def by_cp(grid: deduce.Grid, rules: Rules, candidate: int, value: bool) -> bool:
    """Whether CP-SAT finds a filling; any linear rules."""
    model = cp_model.CpModel()
    names = {c: model.new_bool_var(str(c)) for c in bits(grid.live)}
    for side, here, bound in terms(grid, rules):
        total = sum(a * names[c] for c, a in here)
        model.add(total >= bound) if side == "lower" else model.add(total <= bound)
    model.add(names[candidate] == int(value))
    for c in bits(grid.true):
        model.add(names[c] == 1)
    solver = cp_model.CpSolver()
    solver.parameters.num_workers = 1
    return solver.solve(model) in (cp_model.OPTIMAL, cp_model.FEASIBLE)


def opposites(inference: Inference) -> list[tuple[int, bool]]:
    return [*((c, True) for c in inference.false), *((c, False) for c in inference.true)]


@lru_cache(maxsize=8)
def supposed(seed: int) -> tuple[Proof, ...]:
    """Return the suppositions of a walk from where singles end, with no sums beside them."""
    grid, memory, found = stuck(seed, 9, ("hidden single", "naked single")), [], []
    while not grid.solved and len(found) < 8:
        proof, _ = counting.next_proof(grid, names=(SUPPOSITION,), memory=memory)
        assert proof is not None
        if proof.depth:
            found.append(proof)
        grid = grid.moved(check(grid, proof).after)
    return tuple(found)


@pytest.mark.parametrize("seed", [13, 169])
def test_suppositions_are_refuted_by_their_own_constraints_alone(seed):
    proofs = supposed(seed)
    assert proofs
    for proof in proofs:
        (inference,) = proof.inferences
        rules = named(proof.grid, inference)
        for c, value in opposites(inference):
            assert not by_sat(proof.grid, rules, c, value)
            assert not by_cp(proof.grid, rules, c, value)
        # Without what has to be met there is always a way, so the judges can say yes.
        loose = {(side, k) for side, k in rules if side == "upper"}
        assert by_sat(proof.grid, loose, inference.argument.candidate, value=True)
        assert by_cp(proof.grid, loose, inference.argument.candidate, value=True)


def test_sums_beyond_the_patterns_are_refuted_by_their_own_constraints_alone():
    grid = deduce.walk(minimal_puzzle(6), NAMES).grid
    found = counting.eliminations(grid)
    assert len(found.proofs) > 3
    for proof in found.proofs:
        (inference,) = proof.inferences
        rules = named(grid, inference)
        for c, value in opposites(inference):
            assert not by_sat(grid, rules, c, value)
            assert not by_cp(grid, rules, c, value)


def test_totals_are_refuted_by_their_own_constraints_alone():
    grid = caged_grid({(0, 1, 2): 6, (7, 11): 7, (12, 13): 3})
    found = counting.eliminations(grid)
    assert found.proofs
    for proof in found.proofs:
        (inference,) = proof.inferences
        for c, value in opposites(inference):
            assert not by_cp(grid, named(grid, inference), c, value)


@pytest.mark.parametrize(("seed", "cost"), [(6, "constraints"), (169, "people")])
def test_a_least_argument_for_one_candidate_needs_every_part(seed, cost):
    """Drop any one use of a base or a cover, and the kernel refuses what was concluded about the candidate."""
    grid = stuck(seed)
    position = place_of(grid)
    tried = 0
    for candidate in counting.eliminations(grid).false[::5]:
        proof = counting.smallest(grid, candidate, cost=cost)
        if not proof.proved_smallest:
            continue
        number = grid.number(candidate)
        (inference,) = proof.inferences
        argument = inference.argument
        for side in ("bases", "covers"):
            held = getattr(argument, side)
            for i, (k, weight) in enumerate(held):
                less = (*held[:i], *(((k, weight - 1),) if weight > 1 else ()), *held[i + 1 :])
                smaller = Counting(**{"bases": argument.bases, "covers": argument.covers, side: less})
                rest = conclusions(grid.model, position, smaller) if smaller.bases or smaller.covers else None
                assert rest is None or number not in rest.false
                with pytest.raises(deduce.ProofError):
                    check(grid, Proof(grid, (Inference(smaller, (number,)),), proof.pattern))
                tried += 1
    assert tried > 20


@pytest.mark.thorough
def test_steps_of_the_hardest_walks_are_refuted_by_their_own_constraints_alone(collections):
    lines = [line for line in (collections / "hardest_375_part.txt").read_text().splitlines() if line[0] != "#"]
    seen = set()
    for line in lines[::25]:
        for step in deduce.walk(deduce.Grid.parse(line)).steps:
            for inference in step.proof.inferences:
                if step.proof.pattern.name in counting.NAMES and not inference.contradiction:
                    seen.add(step.proof.pattern.name)
                    for c, value in opposites(inference):
                        assert not by_sat(step.before, named(step.before, inference), c, value)
    assert SUPPOSITION in seen
