"""Good proofs, damaged at random: whatever the kernel still accepts must be true, as a SAT solver judges it."""

import os
from dataclasses import replace
from functools import lru_cache

import pytest
from exchange.material import course, suppositions, swaps
from hypothesis import given, settings, strategies as st
from sat import knowing

import deduce
from deduce.kernel import Counting, Inference, Position, Supposition, Swap, check
from deduce.positions import bits
from deduce.proof import Proof

THOROUGH = bool(os.environ.get("DEDUCE_THOROUGH"))
SHAPES = ("4x4", "5x5", "6x6", "9x9")


SOLVERS = {}


@pytest.fixture(scope="module", autouse=True)
def _closing():
    """Close the solvers while their module is still there."""
    yield
    while SOLVERS:
        SOLVERS.popitem()[1].delete()


def solver(layout):
    """The solver of a layout, made once."""
    if layout not in SOLVERS:
        SOLVERS[layout] = knowing(layout)
    return SOLVERS[layout]


def possible(layout, position, *literals):
    """Whether some solution of a position meets these literals."""
    gone = layout.every & ~position.live
    known = [-c - 1 for c in bits(gone)] + [c + 1 for c in bits(position.true)]
    return solver(layout).solve(assumptions=[*known, *literals])


def judge(grid, checked):
    """Nothing that the kernel accepted may lose a solution of the position."""
    layout = grid.layout
    before, after = checked.before, checked.after
    if not possible(layout, before):
        return
    assert not checked.contradiction
    for c in bits(before.live & ~after.live):
        assert not possible(layout, before, c + 1), layout.model.names[c]
    for c in bits(after.true & ~before.true):
        assert not possible(layout, before, -c - 1), layout.model.names[c]


def judge_swap(grid, checked):
    """What rests on a unique solution must hold in it, if the puzzle has one and the position still allows it."""
    layout = grid.layout
    found = list(deduce.solutions(deduce.Grid.from_numbers(layout, bits(grid.givens)), 2))
    if len(found) != 1:
        return
    true = found[0].true
    if true & ~checked.before.live or checked.before.true & ~true:
        return
    assert not checked.contradiction
    assert not true & ~checked.after.live
    assert not checked.after.true & ~true


@lru_cache(maxsize=1)
def pool():
    """Good proofs of every kind."""
    found = []
    for shape in SHAPES:
        for seed in range(6):
            found += [proof for proof in course(shape, seed).proofs if proof.pattern.name != "hidden single"][:12]
            found += course(shape, seed).proofs[:3]
        found += suppositions(shape, 2)[:8]
    for seed in (10, 31, 33, 55):
        found += [proof for proof in course("9x9", seed).proofs if "single" not in proof.pattern.name]
    # Two almost locked sets that restrict one another twice have weights above one.
    sets = (next(deduce.find(proof.grid, ["doubly linked ALS-XZ"]), None) for proof in course("9x9", 10).proofs[::5])
    found += [proof for proof in sets if proof is not None][:8]
    return tuple(found)


class Damage:
    """Random changes, drawn one by one."""

    def __init__(self, draw, grid):
        self.draw = draw
        self.model = grid.model
        self.candidates = bits(grid.live & ~grid.true) or [0]

    def number(self, most):
        return self.draw(st.integers(0, most))

    def candidate(self):
        """A candidate, mostly an open one."""
        if self.number(4):
            return self.draw(st.sampled_from(self.candidates))
        return self.number(len(self.model.names) - 1)

    def constraint(self, near):
        """A constraint, mostly one that shares a candidate with what is there."""
        if near and self.number(3):
            terms = self.model.constraints[self.draw(st.sampled_from(near))[0]].terms
            return self.draw(st.sampled_from(self.model.touching[self.draw(st.sampled_from(terms))[0]]))
        return self.number(len(self.model.constraints) - 1)

    def entry(self, side, near):
        """Change one entry of bases or covers, take it out, or put one in."""
        side = list(side)
        action = self.number(3)
        at = self.number(len(side) - 1) if side else 0
        if action == 0 and side:
            side.pop(at)
        elif action == 1 and side:
            number, weight = side[at]
            side[at] = (number, max(1, weight + self.draw(st.sampled_from([-1, 1, 1, 2]))))
        elif action == 2 and side:
            side[at] = (self.constraint(near), side[at][1])
        else:
            side.append((self.constraint(near), 1))
        return tuple(side)

    def members(self, candidates):
        """Change some candidates of a list."""
        listed = list(candidates)
        action = self.number(2)
        if action == 0 and listed:
            listed.pop(self.number(len(listed) - 1))
        elif action == 1 and listed:
            listed[self.number(len(listed) - 1)] = self.candidate()
        else:
            listed.append(self.candidate())
        return tuple(listed)

    def swap(self, swap):
        if self.number(1):
            return Swap(self.members(swap.pattern), swap.exits)
        return Swap(swap.pattern, self.members(swap.exits))

    def argument(self, argument):
        if isinstance(argument, Swap):
            return self.swap(argument)
        if isinstance(argument, Supposition):
            if self.number(5) == 0:
                return replace(argument, candidate=self.candidate())
            return replace(argument, inferences=self.inferences(argument.inferences))
        near = (*argument.bases, *argument.covers)
        if argument.swaps and self.number(1):
            (swap, weight), *rest = argument.swaps
            return replace(argument, swaps=((self.swap(swap), weight), *rest))
        if self.number(1):
            return replace(argument, bases=self.entry(argument.bases, near))
        return replace(argument, covers=self.entry(argument.covers, near))

    def inference(self, inference):
        action = self.number(9)
        if action < 5:
            return replace(inference, argument=self.argument(inference.argument))
        if action == 5:
            return replace(inference, false=self.members(inference.false))
        if action == 6:
            return replace(inference, true=self.members(inference.true))
        if action == 7:
            return replace(inference, false=inference.true, true=inference.false)
        if action == 8:
            return Inference(inference.argument)
        c = self.candidate()
        return Inference(Supposition(c, (inference,)), (c,))

    def inferences(self, listed):
        """Change, drop, repeat or exchange inferences."""
        listed = list(listed)
        at = self.number(len(listed) - 1)
        action = self.number(9)
        if action == 0 and len(listed) > 1:
            listed.pop(at)
        elif action == 1:
            listed.insert(self.number(len(listed)), listed[at])
        elif action == 2 and len(listed) > 1:
            other = self.number(len(listed) - 1)
            listed[at], listed[other] = listed[other], listed[at]
        else:
            listed[at] = self.inference(listed[at])
        return tuple(listed)

    def position(self, grid):
        """Rule a candidate out, bring one back, or make one true."""
        c = self.candidate()
        action = self.number(2)
        if action == 0:
            return grid.moved(Position(grid.live & ~(1 << c) | grid.true, grid.true))
        if action == 1:
            return grid.moved(Position(grid.live | 1 << self.number(len(self.model.names) - 1), grid.true))
        return grid.moved(Position(grid.live | 1 << c, grid.true | 1 << c))


@st.composite
def damaged(draw, proofs):
    """A good proof after one to three changes; its position may be among them."""
    proof = draw(st.sampled_from(proofs()))
    grid, inferences = proof.grid, proof.inferences
    damage = Damage(draw, grid)
    for _ in range(draw(st.sampled_from([1, 1, 1, 2, 3]))):
        if draw(st.integers(0, 4)) == 0:
            grid = damage.position(grid)
        else:
            inferences = damage.inferences(inferences)
    return Proof(grid, inferences, proof.pattern)


TALLY = {"accepted": 0, "refused": 0}


@settings(max_examples=20_000 if THOROUGH else 300)
@given(damaged(pool))
def test_a_damaged_proof_is_refused_or_still_true(proof):
    try:
        checked = check(proof.grid, proof)
    except deduce.ProofError:
        TALLY["refused"] += 1
        return
    TALLY["accepted"] += 1
    judge(proof.grid, checked)


def test_both_verdicts_were_seen():
    if not sum(TALLY.values()):
        test_a_damaged_proof_is_refused_or_still_true()
    assert TALLY["refused"] > sum(TALLY.values()) // 4
    assert TALLY["accepted"] > sum(TALLY.values()) // 50


@settings(max_examples=2_000 if THOROUGH else 40)
@given(damaged(swaps))
def test_a_damaged_swap_is_refused_or_still_true(proof):
    try:
        checked = check(proof.grid, proof)
    except deduce.ProofError:
        return
    (judge_swap if proof.assumes_unique else judge)(proof.grid, checked)


def test_the_judge_knows_a_lie():
    """A kernel that believes anything would be found out."""
    proof = course("9x9", 10).proofs[0]
    grid = proof.grid
    solved = next(deduce.solutions(grid))
    right = next(c for c in bits(solved.true & ~grid.true))

    class Believed:
        before = Position(grid.live, grid.true)
        after = Position(grid.live & ~(1 << right), grid.true)
        contradiction = False

    with pytest.raises(AssertionError):
        judge(grid, Believed)
    with pytest.raises(AssertionError):
        judge_swap(grid, Believed)
    Believed.after, Believed.contradiction = Believed.before, True
    with pytest.raises(AssertionError):
        judge(grid, Believed)


def test_the_pool_holds_every_kind_of_argument():
    kinds = {type(inference.argument) for proof in pool() for inference in proof.inferences}
    assert kinds == {Counting, Supposition}
    assert {type(proof.inferences[0].argument) for proof in swaps()} == {Counting, Swap}
    assert len({proof.pattern.name for proof in pool()}) > 10
    assert any(weight > 1 for proof in pool() for i in proof.inferences if isinstance(i.argument, Counting)
               for _, weight in i.argument.bases)  # fmt: skip
