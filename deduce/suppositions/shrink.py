"""Proofs made lean: no base, no cover and no step that could be left out."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace

from deduce.counting.names import NAMES
from deduce.counting.shapes import name_argument
from deduce.kernel import Argument, Counting, Inference, Position, Supposition, Swap, check
from deduce.links.statements import statements_of
from deduce.positions import Setting, accepted
from deduce.proof import Pattern, Proof
from deduce.puzzle.grid import Grid
from deduce.suppositions.refit import refitted

__all__ = ["irreducible", "shrunk"]


def shrunk(proof: Proof) -> Proof:
    """Return a proof of the same conclusions that is irreducible.

    Parameters
    ----------
    proof : Proof
        A proof that the kernel accepts.

    Returns
    -------
    Proof
        With the same candidates eliminated and placed, and :func:`irreducible`: taking away any one use of a base,
        cover or swap, one use of a constraint on both sides, any inference, any step under a supposition or any
        conclusion that only serves later ones makes the kernel refuse it or lose a conclusion.  It keeps its pattern;
        but a counting argument or a supposition of which something was left out is named anew, so that its roles and
        words tell what is left.

    Raises
    ------
    ProofError
        If the kernel does not accept the proof to begin with.

    Notes
    -----
    Reductions are tried in a fixed order, whole parts before single uses, each on what the ones before it left, until
    none is accepted.  The result is minimal, not always the smallest.
    """
    stand = _stand(proof)
    check(stand, proof)
    inferences = _fitted(stand, proof.inferences)
    if not _same(stand, proof.inferences, inferences):
        inferences = proof.inferences
    start = 0
    while True:
        for number, smaller in enumerate(_reductions(inferences)):
            # Most reductions that failed once fail again, so the next round goes on where this one succeeded.
            if number >= start and _same(stand, proof.inferences, smaller):
                inferences, start = smaller, number
                break
        else:
            if not start:
                return replace(proof, inferences=inferences, pattern=_pattern(proof, inferences))
            start = 0


def irreducible(proof: Proof) -> bool:
    """Whether the kernel refuses every proof that lacks one part of this one, or it concludes less.

    Examples
    --------
    >>> from deduce.suppositions.step import next_proof
    >>> from deduce.puzzle.grid import Grid
    >>> irreducible(next_proof(Grid.parse("12.. 3... .... ...1"))[0])
    True
    """
    stand = _stand(proof)
    return not any(_same(stand, proof.inferences, smaller) for smaller in _reductions(proof.inferences))


def _pattern(proof: Proof, inferences: tuple[Inference, ...]) -> Pattern:
    """Return the pattern of what is left: the roles of sums and suppositions tell every part of them."""
    grid, pattern = proof.grid, proof.pattern
    if inferences == proof.inferences or pattern.name not in NAMES or not isinstance(grid, Grid):
        return pattern
    if len(inferences) > 1 or _swapped(inferences):
        return pattern
    return name_argument(grid, inferences[0])


def _swapped(inferences: Sequence[Inference]) -> bool:
    """Whether a swap stands anywhere in the inferences; those have no names by shape."""
    arguments = [inference.argument for inference in inferences]
    return any(
        _swapped(argument.inferences)
        if isinstance(argument, Supposition)
        else isinstance(argument, Swap) or bool(argument.swaps)
        for argument in arguments
    )


def _stand(proof: Proof) -> Setting:
    grid = proof.grid
    return Setting(grid.model, grid.live, grid.true, getattr(grid, "givens", grid.true))


def _fitted(stand: Setting, inferences: Sequence[Inference]) -> tuple[Inference, ...]:
    """Drop from suppositions at once what their contradictions do not use; the slow way would find the same."""
    position = Position(stand.live, stand.true)
    statements = statements_of(stand.model)
    if len(inferences) == 1:
        fitted = refitted(statements, position, inferences[0].argument)
        if fitted is not None and isinstance(fitted.argument, Supposition):
            return (fitted,)
    return tuple(inferences)


def _same(stand: Setting, old: Sequence[Inference], new: tuple[Inference, ...]) -> bool:
    """Whether the kernel accepts the new inferences and they conclude the same as the old ones."""
    return _conclusions(old) == _conclusions(new) and accepted(stand, new)


def _conclusions(inferences: Sequence[Inference]) -> tuple[set[int], set[int], bool]:
    false = {c for inference in inferences for c in inference.false}
    true = {c for inference in inferences for c in inference.true}
    return false, true, any(inference.contradiction for inference in inferences)


def _reductions(inferences: tuple[Inference, ...], *, inner: bool = False) -> Iterator[tuple[Inference, ...]]:
    """Yield the inferences with one part less: an inference, part of one, or under a supposition a conclusion."""
    for i, inference in enumerate(inferences):
        before, after = inferences[:i], inferences[i + 1 :]
        if before or after:
            yield (*before, *after)
        if inner:
            for less in _fewer_conclusions(inference):
                yield (*before, less, *after)
        for argument in _smaller(inference.argument):
            yield (*before, replace(inference, argument=argument), *after)


def _fewer_conclusions(inference: Inference) -> Iterator[Inference]:
    """Yield the inference with one conclusion less, as long as one is left."""
    if len(inference.false) + len(inference.true) < 2:
        return
    for candidate in inference.false:
        yield replace(inference, false=tuple(c for c in inference.false if c != candidate))
    for candidate in inference.true:
        yield replace(inference, true=tuple(c for c in inference.true if c != candidate))


def _smaller(argument: Argument) -> Iterator[Argument]:
    """Yield the argument with one part less."""
    if isinstance(argument, Supposition):
        for inferences in _reductions(argument.inferences, inner=True):
            yield Supposition(argument.candidate, inferences)
    elif isinstance(argument, Counting):
        for bases in _lighter(argument.bases):
            yield replace(argument, bases=bases)
        for covers in _lighter(argument.covers):
            yield replace(argument, covers=covers)
        for number in sorted({k for k, _ in argument.bases} & {k for k, _ in argument.covers}):
            # The same rule on both sides cancels out, and neither side can be left out alone.
            yield replace(argument, bases=_less(argument.bases, number), covers=_less(argument.covers, number))
        for i, (swap, weight) in enumerate(argument.swaps):
            lighter: tuple[tuple[Swap, int], ...] = ((swap, weight - 1),) if weight > 1 else ()
            yield replace(argument, swaps=(*argument.swaps[:i], *lighter, *argument.swaps[i + 1 :]))


def _less(side: tuple[tuple[int, int], ...], number: int) -> tuple[tuple[int, int], ...]:
    """Return a side of an argument with one use less of one constraint."""
    return tuple((k, weight - (k == number)) for k, weight in side if k != number or weight > 1)


def _lighter(side: tuple[tuple[int, int], ...]) -> Iterator[tuple[tuple[int, int], ...]]:
    """Yield a side of an argument without one constraint, and with one use of it less."""
    for i, (number, weight) in enumerate(side):
        yield side[:i] + side[i + 1 :]
        if weight > 1:
            yield (*side[:i], (number, weight - 1), *side[i + 1 :])
