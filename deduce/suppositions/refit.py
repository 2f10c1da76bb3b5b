"""Inferences fitted to a position: a list of arguments replayed and cut down to what its contradiction uses."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass

from deduce.kernel import Argument, Inference, Model, Position, Supposition, place
from deduce.links.statements import Statements
from deduce.positions import after, bitset, needs, united
from deduce.suppositions.trail import singly

__all__ = ["refitted"]


@dataclass(frozen=True, slots=True)
class _Step:
    """One inference of a replay: the positions around it."""

    inference: Inference
    before: Position
    after: Position


def refitted(statements: Statements, position: Position, argument: Argument) -> Inference | None:
    """Return what an argument found elsewhere concludes in a position, or None if it concludes nothing there.

    Parameters
    ----------
    statements : Statements
        The model.
    position : Position
        A position at least as far as the one in which the argument was found, or another one.
    argument : Argument
        For a supposition, the inferences under it are drawn again; those that add nothing are left out, and so are
        conclusions that nothing after them uses.

    Returns
    -------
    Inference or None
        What the kernel accepts in this position.
    """
    if not isinstance(argument, Supposition):
        return singly(statements, position, argument)
    if not (position.live & ~position.true) >> argument.candidate & 1:
        return None
    supposed = place(statements.model, position, argument.candidate)
    steps = _replay(statements, supposed, argument.inferences)
    if not steps or not steps[-1].inference.contradiction:
        return None
    kept = _needed(statements, steps)
    straight = _replay(statements, supposed, _in_lines(statements.model, supposed, kept))
    if straight and straight[-1].inference.contradiction:
        kept = _needed(statements, straight)
    return Inference(Supposition(argument.candidate, kept), (argument.candidate,))


def _in_lines(model: Model, position: Position, inferences: Sequence[Inference]) -> Iterator[Inference]:
    """Yield inferences so that each follows what it rests on as soon as can be: straight lines stay together."""
    used, settled = [], []
    for inference in inferences:
        lacks, has = needs(model, position, [inference])
        then = after(model, position, inference)
        used.append(lacks | has)
        settled.append(position.live & ~then.live | then.true & ~position.true)
        position = then
    drawn: set[int] = set()

    def draw(number: int) -> Iterator[Inference]:
        drawn.add(number)
        for earlier in range(number):
            if settled[earlier] & used[number] and earlier not in drawn:
                yield from draw(earlier)
        yield inferences[number]

    yield from draw(len(inferences) - 1)


def _replay(statements: Statements, position: Position, inferences: Iterable[Inference]) -> list[_Step]:
    """Draw the arguments of inferences again, one after the other, up to a contradiction."""
    steps = []
    for old in inferences:
        inference = refitted(statements, position, old.argument)
        if inference is None:
            continue
        then = after(statements.model, position, inference)
        steps.append(_Step(inference, position, then))
        if inference.contradiction:
            break
        position = then
    return steps


def _needed(statements: Statements, steps: list[_Step]) -> tuple[Inference, ...]:
    """Go back from the last inference; keep what each one needs of those before it."""
    kept: list[Inference] = []
    gone = true = 0
    for step in reversed(steps):
        inference = step.inference
        if not inference.contradiction:
            fell = step.before.live & ~step.after.live & gone
            false = tuple(c for c in inference.false if fell >> c & 1)
            cleared = fell & ~bitset(false)
            placed = tuple(c for c in inference.true if true >> c & 1 or _clears(statements, c) & cleared)
            squeezed = cleared & ~united(_clears(statements, c) for c in placed)
            if not false and not placed and not squeezed:
                continue
            if squeezed:
                # A sum had no room for these any more, which may take all that is concluded here and what was before.
                false, placed = inference.false, inference.true
            inference = Inference(inference.argument, false, placed)
            gone &= ~fell
            true &= ~bitset(placed)
        kept.append(inference)
        lacks, has = needs(statements.model, step.before, [inference])
        gone |= lacks
        true |= has
    return tuple(reversed(kept))


def _clears(statements: Statements, candidate: int) -> int:
    """Return the candidates of which none but this one can be true if it is."""
    model = statements.model
    return united(model.masks[k] for k in model.touching[candidate] if model.exclusive[k]) & ~(1 << candidate)
