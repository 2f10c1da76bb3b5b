"""Everything that can be asked of a position, asked; and all answers held against its solutions, found without us."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import islice

import deduce
from deduce.claims.verdict import Kind
from deduce.exchange import Document, verify
from deduce.patterns import fault
from deduce.positions import bits
from deduce.walks.walk import Outcome

__all__ = ["ask_everything", "sound"]


def sound(grid: deduce.Grid, proof: deduce.Proof, answers: Sequence[int]) -> None:
    """A proof passes the kernel, denies no solution, leads to a position, can be told and drawn, and reads back."""
    checked = deduce.check(grid, proof)
    assert not checked.after.true & ~checked.after.live
    assert not (checked.contradiction and answers)
    for answer in answers:
        assert not answer & ~checked.after.live
        assert not checked.after.true & ~answer
    if proof.pattern.name in deduce.patterns.NAMES:
        assert fault(proof, grid) is None
    assert all(proof.words(level=level) for level in ("line", "paragraph", "full"))
    proof.notation()
    assert proof.picture().startswith("<svg")
    again = deduce.Proof.from_json(proof.to_json())
    assert (again.grid, again.inferences, again.pattern) == (proof.grid, proof.inferences, proof.pattern)


def ask_everything(grid: deduce.Grid, answers: Sequence[int], most: int = 6) -> Outcome:
    """Ask everything of a position whose solutions (bitsets of true candidates) are known; return how it walks."""
    possible = 0
    for answer in answers:
        possible |= answer
        assert not answer & ~grid.live
    assert not (answers and grid.status())
    assert grid.picture().startswith("<svg")
    assert deduce.Grid.parse(grid.pencil(), grid.layout) == grid
    assert type(grid.layout).from_json(grid.layout.to_json()) == grid.layout
    for proof in islice(deduce.find(grid), most):
        sound(grid, proof, answers)
    least = deduce.simplest(grid)
    if least is not None:
        sound(grid, least, answers)
    walk = deduce.walk(grid)
    for step in walk.steps:
        sound(step.before, step.proof, answers)
        assert bool(step.after.status()) or deduce.Grid.parse(step.after.pencil(), grid.layout) == step.after
    walk.check()
    if walk.outcome is Outcome.SOLVED:
        assert list(answers) == [walk.grid.true]
    elif walk.outcome is Outcome.IMPOSSIBLE:
        assert not answers
    else:
        assert walk.outcome is Outcome.STUCK
        assert answers or not walk.grid.status()
    assert walk.words()
    text = walk.to_json()
    read = Document.from_json(text)
    assert (read.to_json(), read.start) == (text, walk.start)
    assert all(verdict.verified for verdict in verify(read, fault))
    for candidate in bits(grid.live & ~grid.true)[:2]:
        name = grid.candidate(candidate)
        wrong, right = (
            deduce.judge(grid, f"{name.cell} <> {name.written}"),
            deduce.judge(grid, f"{name.cell} = {name.written}"),
        )
        assert wrong.words()
        assert right.words()
        assert (wrong.kind is Kind.REFUTED) == bool(possible >> candidate & 1)
        assert (right.kind is Kind.REFUTED) == any(not answer >> candidate & 1 for answer in answers)
        for proof in (*wrong.proofs, *right.proofs):
            assert proof.words()
    return walk.outcome
