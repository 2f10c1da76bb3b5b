"""The prose of suppositions, and which functions tell what lies beyond the named patterns.

A supposition is told line by line, each inference in the words of its own pattern.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import replace

from deduce.kernel import Position, Supposition, place
from deduce.patterns import NAMES
from deduce.patterns.dead_end import CONTRADICTION
from deduce.positions import after
from deduce.proof import Pattern, Proof
from deduce.puzzle.grid import grid_of
from deduce.words.en.names import Names, capital, losses, series
from deduce.words.en.tallies import read_sum, tell_sum

__all__ = ["HEADLINES", "LONGER", "TELLERS", "inner_proofs"]


MOST_LISTED = 8
"""A headline counts what falls if it is more than this."""


def inner_proofs(proof: Proof) -> Iterator[Proof]:
    """Yield the inferences under a supposition as proofs, each in the position that the ones before it left."""
    grid = grid_of(proof)
    supposed = proof.inferences[0].argument
    if not isinstance(supposed, Supposition):
        return
    patterns = proof.pattern.inner
    if len(patterns) != len(supposed.inferences):
        from deduce.counting.shapes import name_argument

        patterns = name_argument(grid, proof.inferences[0]).inner
    position = place(grid.model, Position(grid.live, grid.true), supposed.candidate)
    for inference, pattern in zip(supposed.inferences, patterns, strict=True):
        yield Proof(grid.moved(position), (inference,), pattern)
        position = after(grid.model, position, inference)


def _told_once(proof: Proof) -> list[Proof]:
    """Return what is told under a supposition: what one pattern rules out in several inferences together.

    The pattern is there as its roles tell it when it is first used, so all of that falls at once.
    """
    found: dict[object, Proof] = {}
    for number, inner in enumerate(inner_proofs(proof)):
        key = inner.pattern if inner.pattern.name in NAMES else number
        earlier = found.get(key)
        found[key] = inner if earlier is None else replace(earlier, inferences=(*earlier.inferences, *inner.inferences))
    return [*found.values()]


def _supposition(proof: Proof, names: Names, pattern: Pattern) -> str:
    """Tell a supposition: what is supposed, each inference on a line of its own, and that it broke down."""
    first, *inner, last = _lines(proof, names, pattern)
    return "\n".join([first, *(f"{number}. {line}" for number, line in enumerate(inner, 1)), last])


def _lines(proof: Proof, names: Names, pattern: Pattern) -> list[str]:
    """Return what is supposed, each inference under it, and what follows."""
    from deduce.words.en.explain import explain, headline

    (candidate,) = pattern.role("supposed")
    digit, cell = names.split(candidate)
    who = f"{names.cell(cell)} is {names.digit(digit)}"
    # Suppositions under this one have lines of their own, which are drawn together here.
    told = []
    for inner in _told_once(proof):
        if inner.pattern.name == CONTRADICTION:
            told.append(f"{headline(inner)}.")
        else:
            told.append(f"{capital(inner.pattern.name)}. {' '.join(explain(inner).splitlines())}")
    first = f"Suppose that {who}, and follow what it leads to."
    return [first, *told, f"So the supposition that {who} cannot be true: {losses(proof.eliminates)}."]


def _broken(proof: Proof, names: Names) -> str:
    """Return the headline of a supposition."""
    digit, cell = names.split(proof.pattern.role("supposed")[0])
    count = len(_told_once(proof))
    steps = "at once" if count == 1 else f"in {count} steps"
    return f"{losses(proof.eliminates)}, since {names.digit(digit)} in {names.cell(cell)} breaks down {steps}"


def _fallen(proof: Proof, _: Names) -> str:
    """Return the headline of a counting argument; where much falls at once it is only counted."""
    placed = [f"{c.symbol or c.digit} in r{c.row}c{c.column}" for c in proof.places]
    false = proof.eliminates
    if len(false) > MOST_LISTED:
        lost = [f"{len(false)} notes fall in {len({(c.row, c.column) for c in false})} cells"]
    else:
        lost = [losses(false)] if false else []
    return "; ".join([series(placed)] * bool(placed) + lost)


TELLERS: dict[str, Callable[[Proof, Names, Pattern], str]] = {
    "counting argument": tell_sum,
    "supposition": _supposition,
}
"""For each pattern the function that tells it."""

LONGER: dict[str, Callable[[Proof, Names, Pattern], list[str]]] = {
    "counting argument": lambda proof, names, pattern: [
        *read_sum(proof, names, pattern),
        tell_sum(proof, names, pattern),
    ],
    "supposition": _lines,
}
"""For each pattern the function that tells it at the longest level, line by line."""

HEADLINES: dict[str, Callable[[Proof, Names], str]] = {"counting argument": _fallen, "supposition": _broken}
"""What is concluded, where one line says more than that."""
