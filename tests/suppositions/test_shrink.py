"""Lean proofs: no part can be left out, and what is concluded stays."""

from __future__ import annotations

from functools import lru_cache

import pytest
from counting.positions import caged_grid, stuck
from hypothesis import given, settings, strategies as st

import deduce
from deduce import counting
from deduce.counting.names import COUNTING, SUPPOSITION
from deduce.counting.shapes import argument_of
from deduce.kernel import Counting, Inference, Position, Supposition, check
from deduce.links.statements import statements_of
from deduce.positions import bits
from deduce.proof import Pattern, Proof
from deduce.suppositions.choices import supposition
from deduce.suppositions.trail import size_of


@pytest.mark.parametrize("seed", [6, 9, 11])
def test_shrunk_proofs_are_irreducible_and_conclude_the_same(seed):
    grid = stuck(seed)
    proofs = [*counting.eliminations(grid).proofs[::15]]
    supposed, _ = counting.next_proof(grid, names=(SUPPOSITION,))
    for proof in [*proofs, supposed]:
        lean = proof.shrink()
        check(grid, lean)
        assert (lean.eliminates, lean.places) == (proof.eliminates, proof.places)
        assert counting.irreducible(lean)
        assert sum(size_of(i.argument) for i in lean.inferences) <= sum(size_of(i.argument) for i in proof.inferences)


def test_shrinking_takes_out_what_was_put_in():
    grid = stuck(6)
    proof = counting.simplest(grid)
    (inference,) = proof.inferences
    argument = inference.argument
    # The same constraint as a base and as a cover cancels out.
    spare = next(k for k in range(81) if k not in {n for n, _ in (*argument.bases, *argument.covers)})
    fat = Counting((*argument.bases, (spare, 1)), (*argument.covers, (spare, 1)))
    loose = Proof(grid, (Inference(fat, inference.false, inference.true),), proof.pattern)
    check(grid, loose)
    assert not counting.irreducible(loose)
    assert size_of(loose.shrink().inferences[0].argument) == size_of(argument)


def test_what_is_told_of_a_shrunk_sum_is_what_is_left_of_it():
    """Roles and words leave out what the sum can do without, by itself and under a supposition."""
    grid = stuck(6)
    changed = 0
    for proof in counting.eliminations(grid).proofs[::5]:
        lean = proof.shrink()
        if lean.pattern.name == COUNTING:
            assert argument_of(grid, lean.pattern) == lean.inferences[0].argument
        if lean.inferences != proof.inferences and proof.pattern.name == COUNTING:
            changed += 1
            assert lean.words() != proof.words()
    assert changed


def test_a_shrunk_supposition_tells_the_steps_that_are_left():
    proof = refuted(6, 9)[0]
    argument = proof.inferences[0].argument
    inner = argument.inferences[0]
    spare = next(k for k in range(324) if not proof.grid.true & proof.grid.model.masks[k])
    fat = Counting(
        tuple(sorted({**dict(inner.argument.bases), spare: 1}.items())),
        tuple(sorted({**dict(inner.argument.covers), spare: 1}.items())),
    )
    steps = (Inference(fat, inner.false, inner.true), *argument.inferences[1:])
    inference = Inference(Supposition(argument.candidate, steps), proof.inferences[0].false)
    loose = Proof(proof.grid, (inference,), counting.name_argument(proof.grid, inference))
    assert loose.pattern.inner[0].name == COUNTING
    lean = loose.shrink()
    assert lean.pattern == counting.name_argument(proof.grid, lean.inferences[0])
    assert lean.pattern.inner[0].name != COUNTING


def test_a_proof_that_does_not_hold_cannot_be_shrunk():
    grid = stuck(6)
    proof = counting.simplest(grid)
    (inference,) = proof.inferences
    wrong = Proof(grid, (Inference(Counting(((0, 1),), ()), inference.false, inference.true),), proof.pattern)
    with pytest.raises(deduce.ProofError):
        wrong.shrink()


@lru_cache(maxsize=64)
def refuted(seed: int, order: int) -> tuple[Proof, ...]:
    """Return a supposition for every open candidate of a stuck position that breaks down at depth one."""
    grid = stuck(seed, order, ("naked quad",)) if order < 9 else stuck(seed)
    found = []
    for c in bits(grid.live & ~grid.true):
        argument = supposition(statements_of(grid.model), Position(grid.live, grid.true), c)
        if argument is not None:
            found.append(Proof(grid, (Inference(argument, (c,)),), Pattern(SUPPOSITION)))
    return tuple(found)


def parts(inferences: tuple[Inference, ...]) -> int:
    return sum(size_of(inference.argument) for inference in inferences)


def without_one(inferences: tuple[Inference, ...]) -> list[tuple[Inference, ...]]:
    """List what is left if one use of a base or cover, or one inference, is taken away; written anew for the test."""
    found = []
    for i, inference in enumerate(inferences):
        before, after = inferences[:i], inferences[i + 1 :]
        if len(inferences) > 1:
            found.append((*before, *after))
        argument = inference.argument
        if isinstance(argument, Supposition):
            found += [
                (*before, Inference(Supposition(argument.candidate, less), inference.false, inference.true), *after)
                for less in without_one(argument.inferences)
            ]
            continue
        for side in ("bases", "covers"):
            held = getattr(argument, side)
            for j, (k, weight) in enumerate(held):
                less = (*held[:j], *(((k, weight - 1),) if weight > 1 else ()), *held[j + 1 :])
                lighter = Counting(**{"bases": argument.bases, "covers": argument.covers, side: less})
                found.append((*before, Inference(lighter, inference.false, inference.true), *after))
    return found


@given(seed=st.integers(0, 30), pick=st.integers(0, 999), order=st.sampled_from([4, 6, 9]))
@settings(max_examples=15)
def test_shrunk_suppositions_cannot_do_without_any_part(seed, pick, order):
    proofs = refuted(seed % 6 + 6 if order == 9 else seed, order)
    if not proofs:
        return
    proof = proofs[pick % len(proofs)]
    lean = proof.shrink()
    check(lean.grid, lean)
    assert lean.eliminates == proof.eliminates
    assert parts(lean.inferences) <= parts(proof.inferences)
    assert counting.irreducible(lean)
    for less in without_one(lean.inferences):
        with pytest.raises(deduce.ProofError):
            check(lean.grid, Proof(lean.grid, less, lean.pattern))


@given(seed=st.integers(0, 40), data=st.data())
@settings(max_examples=15)
def test_what_is_put_in_comes_out_again(seed, data):
    """Fatten a sum or the steps of a supposition; the result is irreducible and no larger than before."""
    proofs = refuted(seed, 6)
    if not proofs:
        return
    proof = proofs[data.draw(st.integers(0, len(proofs) - 1))]
    grid = proof.grid
    argument = proof.inferences[0].argument
    spare = data.draw(st.integers(0, len(grid.model.constraints) - 1))
    where = data.draw(st.integers(0, len(argument.inferences) - 1))
    fat = []
    for number, inner in enumerate(argument.inferences):
        sum_ = inner.argument
        if number == where and isinstance(sum_, Counting):
            # A rule on both sides cancels out.
            bases, covers = dict(sum_.bases), dict(sum_.covers)
            bases[spare], covers[spare] = bases.get(spare, 0) + 1, covers.get(spare, 0) + 1
            sum_ = Counting(tuple(sorted(bases.items())), tuple(sorted(covers.items())))
        fat.append(Inference(sum_, inner.false, inner.true))
    fattened = Inference(Supposition(argument.candidate, tuple(fat)), proof.inferences[0].false)
    loose = Proof(grid, (fattened,), proof.pattern)
    check(grid, loose)
    assert not counting.irreducible(loose)
    lean = loose.shrink()
    assert counting.irreducible(lean)
    assert lean.eliminates == proof.eliminates
    assert parts(lean.inferences) < parts(loose.inferences)


@given(totals=st.lists(st.tuples(st.integers(0, 15), st.integers(2, 7)), min_size=1, max_size=4))
@settings(max_examples=10)
def test_sums_with_totals_are_shrunk_too(totals):
    cages = {}
    for cell, total in totals:
        if cell % 4 < 3 and not any(other in (cell, cell + 1) for held in cages for other in held):
            cages[cell, cell + 1] = total
    if not cages:
        return
    grid = caged_grid(cages)
    for proof in counting.eliminations(grid).proofs[:4]:
        lean = proof.shrink()
        check(grid, lean)
        assert (lean.eliminates, lean.places, lean.contradiction) == (
            proof.eliminates,
            proof.places,
            proof.contradiction,
        )
        assert counting.irreducible(lean)
