"""Dependencies and pruning, against the kernel and against every choice of steps."""

from __future__ import annotations

from dataclasses import replace
from itertools import combinations

import networkx as nx
import pytest
from conftest import THOROUGH
from hypothesis import example, given, strategies as st
from strategies import REACH, minimal, positions

import deduce
from deduce.kernel import Position
from deduce.patterns import fault
from deduce.positions import bits
from deduce.proof import Proof
from deduce.solving.generate import minimal_puzzle
from deduce.walks import Outcome, dependency_graph, needed_steps, prune
from deduce.walks.prune import restated


def stands(grid: deduce.Grid, proof: Proof) -> deduce.Grid | None:
    """Where a proof leads from a position, or None if kernel or pattern refuse it there."""
    if restated(proof, grid) is None:
        return None
    return grid.moved(deduce.check(grid, Proof(grid, proof.inferences, proof.pattern)).after)


def leads(start: deduce.Grid, proofs: list[Proof]) -> deduce.Grid | None:
    """Where proofs lead one after the other, or None if one of them does not stand."""
    grid: deduce.Grid | None = start
    for proof in proofs:
        grid = None if grid is None else stands(grid, proof)
    return grid


# Needs


@given(positions())
def test_needs_are_all_that_the_kernel_asks_for(grid: deduce.Grid) -> None:
    """Whatever else comes back, the proof holds; and each fact that it cannot do without is among its needs."""
    every = grid.layout.every
    for proof in list(deduce.find(grid))[::9][:5]:
        used = proof.needs
        assert not used.gone & grid.live
        assert not used.true & ~grid.true
        weaker = grid.moved(Position(every & ~used.gone, used.true & grid.true))
        deduce.check(weaker, Proof(weaker, proof.inferences, proof.pattern))
        gone = bits(every & ~grid.live)
        for candidate in (c for n, c in enumerate(gone) if THOROUGH or n % 4 == 0 or used.gone >> c & 1):
            back = grid.moved(Position(grid.live | 1 << candidate, grid.true))
            try:
                deduce.check(back, Proof(back, proof.inferences, proof.pattern))
            except deduce.ProofError:
                assert used.gone >> candidate & 1


def test_needs_of_swaps_are_enough_for_the_kernel() -> None:
    """Everything else comes back at once: nothing that a swap rests on may be missing, and it rests on little."""
    tried = little = 0
    for seed in range(12):
        for step in deduce.walk(minimal_puzzle(seed), assume_unique=True).steps:
            if step.proof.assumes_unique:
                grid, used = step.before, step.proof.needs
                weaker = grid.moved(Position(grid.layout.every & ~used.gone, used.true))
                deduce.check(weaker, Proof(weaker, step.proof.inferences, step.proof.pattern))
                tried += 1
                little += used.gone.bit_count() * 2 < (grid.layout.every & ~grid.live).bit_count()
    assert tried > 20
    assert little > tried // 2


def test_the_graph_names_the_step_that_settled_each_need():
    walked = deduce.walk(minimal_puzzle(33))
    graph = dependency_graph(walked)
    assert isinstance(graph, nx.DiGraph)
    assert sorted(graph) == list(range(len(walked)))
    assert all(i < j for i, j in graph.edges)
    for j, step in enumerate(walked.steps):
        assert graph.nodes[j]["proof"] is step.proof
        told = {c for i, _, c in graph.in_edges(j, data="candidates") for c in c}
        used = step.proof.needs
        assert told == {*bits(used.gone & walked.start.live), *bits(used.true & ~walked.start.true)}
        for i, _, candidates in graph.in_edges(j, data="candidates"):
            before, after = walked.steps[i].before, walked.steps[i].after
            for c in candidates:
                assert (before.live >> c & 1, after.live >> c & 1) == (
                    1,
                    0,
                ) or after.true >> c & 1 > before.true >> c & 1


def test_a_step_without_its_ancestors_is_refused_or_was_settled_otherwise():
    walked = deduce.walk(minimal_puzzle(33))
    graph = dependency_graph(walked.steps)
    for j, step in enumerate(walked.steps):
        line = [walked.steps[i].proof for i in sorted(nx.ancestors(graph, j) | {j})]
        end = leads(walked.start, line)
        assert end is not None, "the steps that one rests on are enough for it"
        assert all(not end.live >> end.number(c) & 1 for c in step.proof.eliminates)


def test_a_last_open_cell_is_a_hidden_single_where_others_are_open() -> None:
    """Pruning may leave cells of its house open; the argument stands, and the name is the one that fits."""
    full, open_ = deduce.Grid.parse("123. .... .... ...."), deduce.Grid.parse("12.. .... ..4. ....")
    found = next(deduce.find(full, ["last open cell"]))
    again = restated(found, open_)
    assert again is not None
    assert again.pattern.name == "hidden single"
    assert again.pattern.roles == found.pattern.roles
    assert fault(again) is None
    assert restated(found, full) == found
    assert restated(found, deduce.Grid.parse("12.. .... .... ....")) is None


# Pruning


@given(st.sampled_from(["4x4", "5x5"]), st.integers(0, 60), st.integers(0, 99))
@example("5x5", 59, 0)  # a step whose argument needs less than its pattern
def test_no_choice_of_steps_can_be_left_out(shape: str, seed: int, pick: int) -> None:
    """For a walk of few steps every subset of what is left is tried."""
    grid = minimal(shape, seed)
    walked = deduce.walk(grid, ["naked single", "pointing pair", "naked pair", "hidden pair", "hidden single"])
    if not walked.solved:
        return
    wanted = walked.start.candidates()[pick * (len(walked.start.candidates()) - 1) // 99]
    pruned = prune(walked, [wanted])
    number = grid.number(wanted)
    placed = walked.grid.true >> number & 1

    def met(end: deduce.Grid) -> bool:
        return bool(end.true >> number & 1) if placed else not end.live >> number & 1

    proofs = [step.proof for step in pruned.steps]
    assert met(leads(grid, proofs))
    for size in range(min(len(proofs), 9)):
        for fewer in combinations(proofs, size):
            end = leads(grid, list(fewer))
            assert end is None or not met(end), f"{size} of {len(proofs)} steps are enough for {wanted}"


@pytest.mark.parametrize("seed", [33, 104, 909])
def test_a_hard_walk_is_irreducible_and_still_solves(seed):
    walked = deduce.walk(minimal_puzzle(seed))
    assert walked.solved
    pruned = prune(walked)
    assert pruned.solved
    assert pruned.grid.line() == walked.grid.line()
    assert [checked.after for checked in pruned.check()] == [step.checked.after for step in pruned.steps]
    assert all(fault(step.proof, step.before) is None for step in pruned.steps)
    assert all(step.proof.grid == step.before for step in pruned.steps)
    proofs = [step.proof for step in pruned.steps]
    for i in range(len(proofs)):
        end = leads(walked.start, proofs[:i] + proofs[i + 1 :])
        assert end is None or not end.solved, f"step {i} can be left out"
    kept = needed_steps(walked)
    assert [walked.steps[i].proof.inferences for i in kept] == [proof.inferences for proof in proofs]
    assert list(kept) == sorted(kept)


def test_something_is_gained():
    walks = [deduce.walk(minimal_puzzle(seed)) for seed in (33, 104, 909)]
    assert any(len(prune(walked)) < len(walked) for walked in walks)


@pytest.mark.parametrize("seed", [104, 909])
def test_narrowed_proofs_conclude_nothing_idle(seed):
    walked = deduce.walk(minimal_puzzle(seed))
    narrow = prune(walked, narrow=True)
    assert narrow.solved
    narrow.check()
    whole = prune(walked)
    assert len(narrow) == len(whole)
    assert all({*n.proof.eliminates} <= {*w.proof.eliminates} for n, w in zip(narrow.steps, whole.steps, strict=True))
    assert sum(len(s.proof.eliminates) for s in narrow.steps) < sum(len(s.proof.eliminates) for s in whole.steps)
    proofs = [step.proof for step in narrow.steps]
    for i, proof in enumerate(proofs):
        for number, inference in enumerate(proof.inferences):
            for candidate in inference.false:
                left = replace(inference, false=tuple(c for c in inference.false if c != candidate))
                rest = [*proof.inferences[:number], *([left] if left.false else []), *proof.inferences[number + 1 :]]
                line = [*proofs[:i], *([replace(proof, inferences=tuple(rest))] if rest else []), *proofs[i + 1 :]]
                end = leads(walked.start, line)
                assert end is None or not end.solved, f"{proof} need not conclude {candidate}"


@given(st.integers(0, 19), st.integers(1, len(REACH) - 1))
def test_a_stuck_walk_keeps_its_last_position(seed: int, reach: int) -> None:
    walked = deduce.walk(minimal("9x9", seed), REACH[reach])
    pruned = prune(walked)
    assert pruned.outcome is walked.outcome
    assert pruned.grid.true == walked.grid.true
    assert pruned.grid.live == walked.grid.live
    assert len(pruned) <= len(walked)
    pruned.check()


def test_a_contradiction_keeps_what_leads_to_it():
    (solution,) = deduce.solutions(minimal_puzzle(909))
    puzzle = minimal_puzzle(909)
    found = 0
    for wrong in puzzle.candidates()[::17]:
        number = puzzle.number(wrong)
        if solution.live >> number & 1:
            continue
        walked = deduce.walk(deduce.Grid.from_numbers(puzzle.layout, bits(puzzle.givens), [number]))
        if walked.outcome is not Outcome.IMPOSSIBLE:
            continue
        pruned = prune(walked)
        assert pruned.outcome is Outcome.IMPOSSIBLE
        assert pruned.steps[-1].checked.contradiction
        for i in range(len(pruned) - 1):
            assert leads(walked.start, [s.proof for n, s in enumerate(pruned.steps) if n != i]) is None
        found += len(pruned) < len(walked)
    assert found


def test_goals_are_checked():
    walked = deduce.walk(minimal_puzzle(909), ["hidden single"])
    open_ = next(c for c in walked.grid.candidates())
    with pytest.raises(ValueError, match="neither places nor rules out"):
        prune(walked, [open_])
    with pytest.raises(TypeError, match="give a list"):
        prune(walked, "5r4c7")
    with pytest.raises(deduce.GridError):
        prune(walked, ["5r4c70"])
    broken = replace(walked, steps=walked.steps[1:][::-1])
    with pytest.raises(deduce.ProofError):
        prune(broken)
    assert len(prune(walked, [])) == 0
    first = walked.steps[0].proof.places[0]
    alone = prune(walked, [first])
    assert [step.proof.places for step in alone.steps][-1] == (first,)
    assert not alone.solved
