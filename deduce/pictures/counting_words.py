"""The prose of counting arguments without a name of the trade, and of suppositions.

A counting argument is told from its roles: what must be filled, what has room, and what falls short.  A supposition is
told line by line, each inference in the words of its own pattern.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterable, Iterator

from deduce.counting.shapes import argument_of
from deduce.kernel import Inference, Position, Supposition, coefficients, place
from deduce.pictures.names import NUMBERS, Names, grid_of, losses, series
from deduce.proof import Pattern, Proof
from deduce.puzzle.grid import Grid

__all__ = ["TELLERS"]


def _counted(proof: Proof, names: Names, pattern: Pattern) -> str:
    """Tell a counting argument: suppose against the conclusion, and count needs against room."""
    grid = grid_of(proof)
    argument = argument_of(grid, pattern)
    weights, _ = coefficients(grid.model, argument)
    open_ = grid.live & ~grid.true
    size = names.layout.cells
    false, true = [*map(grid.number, proof.eliminates)], [*map(grid.number, proof.places)]
    told, first = "", None
    bases, covers = argument.bases, argument.covers
    if true:
        first = true[0]
        told = f"Suppose that {names.cell(first % size)} is not {names.digit(first // size + 1)}. Then "
    elif false:
        first = false[0]
        told = f"Suppose that {names.cell(first % size)} is {names.digit(first // size + 1)}. Then "
        masks = names.layout.model.masks
        bases = tuple((k, w) for k, w in bases if not masks[k] >> first & 1)
        covers = tuple((k, w) for k, w in covers if not masks[k] >> first & 1)
    needs, room = _total(bases), _total(covers)
    spared = {c: -w for c, w in weights.items() if w < 0 and c != first and open_ >> c & 1}
    told += f"{_many(needs, 'need')} {_are(needs)} to be met: {_parts(names, bases)}. "
    if covers:
        told += f"What can meet {_them(needs)} lies where there is room for {_number(room)}: {_parts(names, covers)}"
    else:
        told += "Nothing that could is left"
    taken = {c: w for c, w in weights.items() if w > 0 and grid.true >> c & 1}
    if taken:
        held = series(f"{names.digit(c // size + 1)} in {names.cell(c % size)}" for c in sorted(taken))
        told += f"; of this the placed {held} {'takes' if len(taken) == 1 else 'take'} {_number(sum(taken.values()))}"
    if spared:
        both = series(f"{names.digit(c // size + 1)} in {names.cell(c % size)}" for c in sorted(spared))
        told += f"; {both} would meet more than one at once, which saves {_number(sum(spared.values()))}"
    told = f"{told[:1].upper()}{told[1:]}, and that is not enough."
    if proof.contradiction:
        return f"{told} So this position has no solution."
    placed = [f"{names.cell(c % size)} is {names.digit(c // size + 1)}" for c in true]
    lost = [losses(proof.eliminates)] if false else []
    same = "By the same count: " if len(true) + len(false) > 1 else "So "
    return f"{told} {same}{series([*placed, *lost])}."


def _supposition(proof: Proof, names: Names, pattern: Pattern) -> str:
    """Tell a supposition: what is supposed, each inference on a line of its own, and that it broke down."""
    from deduce.pictures.words import explain, headline

    (candidate,) = pattern.role("supposed")
    digit, cell = names.split(candidate)
    lines = [f"Suppose that {names.cell(cell)} is {names.digit(digit)}."]
    for number, inner in enumerate(_inner(proof, pattern), 1):
        lines.append(f"{number}. {headline(inner)}. {explain(inner)}")
    lines.append(f"The supposition has led to what cannot be, so {names.cell(cell)} is not {names.digit(digit)}.")
    return "\n".join(lines)


def _inner(proof: Proof, pattern: Pattern) -> Iterator[Proof]:
    """Yield the inferences under a supposition as proofs, each in the position that the ones before it left."""
    grid = grid_of(proof)
    supposed = proof.inferences[0].argument
    if not isinstance(supposed, Supposition):
        return
    position = place(grid.model, Position(grid.live, grid.true), supposed.candidate)
    for inference, inner in zip(supposed.inferences, pattern.inner, strict=False):
        yield Proof(grid.moved(position), (inference,), inner)
        position = _after(grid, position, inference)


def _after(grid: Grid, position: Position, inference: Inference) -> Position:
    """Return the position that an inference leaves."""
    live = position.live
    for candidate in inference.false:
        live &= ~(1 << candidate)
    position = Position(live, position.true)
    for candidate in inference.true:
        position = place(grid.model, position, candidate)
    return position


def _parts(names: Names, side: Iterable[tuple[int, int]]) -> str:
    """Tell one side of a sum: its cells by rows, then its houses by digits."""
    layout = names.layout
    cells: dict[int, list[int]] = {}
    houses: dict[tuple[int, int], list[int]] = {}
    rules: list[tuple[str, int]] = []
    for number, weight in side:
        place = layout.house_of(number)
        if number < layout.cells:
            cells.setdefault(weight, []).append(number)
        elif place is None:
            rules.append((names.rule(number), weight))
        else:
            houses.setdefault((place[1], weight), []).append(place[0])
    told = []
    for weight, found in sorted(cells.items()):
        what = "the cell" if len(found) == 1 else f"the {_number(len(found))} cells"
        told.append(f"{what} {_by_rows(names, found)}{_times(weight)}")
    for (digit, weight), found in sorted(houses.items()):
        told.append(f"{names.digit(digit)} in {_by_kinds(names, found)}{_times(weight)}")
    told += [f"that {said}{_times(weight)}" for said, weight in rules]
    return "; ".join(told)


def _by_rows(names: Names, cells: Iterable[int]) -> str:
    """List cells, those of one row together, as in ``r1c147 and r2c3``."""
    rows: dict[int, list[str]] = {}
    for cell in sorted(cells):
        row, column = names.layout.places[cell]
        rows.setdefault(row + 1, []).append(str(column + 1))
    # Above 9 the figures run into one another, so they are kept apart.
    joint = "/" if names.layout.broad else ""
    return series(f"r{row}c{joint.join(columns)}" for row, columns in rows.items())


def _by_kinds(names: Names, houses: Iterable[int]) -> str:
    """List houses, those of one kind under one plural."""
    kinds: dict[str, list[int]] = {}
    for house in sorted(houses):
        kinds.setdefault(names.layout.houses[house].kind, []).append(house)
    return series(names.houses(found) for found in kinds.values())


def _times(weight: int) -> str:
    """Say how often something counts if that is more than once."""
    return {1: "", 2: ", counted twice"}.get(weight, f", counted {_number(weight)} times")


def _total(side: Iterable[tuple[int, int]]) -> int:
    return sum(Counter(dict(side)).values())


def _many(count: int, noun: str) -> str:
    return f"{_number(count)} {noun}{'' if count == 1 else 's'}"


def _are(count: int) -> str:
    return "is" if count == 1 else "are"


def _them(count: int) -> str:
    return "it" if count == 1 else "them"


def _number(count: int) -> str:
    """Write a small number as a word."""
    return NUMBERS[count] if count < len(NUMBERS) else str(count)


TELLERS: dict[str, Callable[[Proof, Names, Pattern], str]] = {
    "counting argument": _counted,
    "supposition": _supposition,
}
"""For each pattern the function that tells it."""
