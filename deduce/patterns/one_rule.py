"""One rule alone: what a single rule beyond the houses leaves possible, given what its cells may still hold."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator
from functools import lru_cache
from itertools import groupby, product

from deduce.kernel import Counting, Inference, Position
from deduce.patterns.board import Board, Scope
from deduce.patterns.finder import Family
from deduce.patterns.shape import ShapeReading, SumShape
from deduce.positions import bits, conclusions, united
from deduce.proof import Pattern, Proof, Role
from deduce.puzzle.grid import Grid
from deduce.puzzle.layout import Layout

__all__ = ["FINDERS", "ONE_RULE"]

ONE_RULE = "one rule alone"


@lru_cache(maxsize=64)
def _numbers(layout: Layout) -> dict[int, list[int]]:
    """Return the constraints of each rule, by the first of them."""
    every = range(layout.exact, len(layout.model.constraints))
    found = (list(numbers) for _, numbers in groupby(every, lambda number: layout.origin(number).number))
    return {numbers[0]: numbers for numbers in found}


@lru_cache(maxsize=64)
def by_rule(layout: Layout) -> tuple[Scope, ...]:
    """Return one scope for each rule: the number of its first constraint and the candidates of its cells."""
    return tuple(
        Scope(first, united(layout.masks[cell] for number in numbers for cell in _cells(layout, number)))
        for first, numbers in _numbers(layout).items()
    )


def _cells(layout: Layout, number: int) -> list[int]:
    """List the cells of a constraint."""
    return sorted({candidate % layout.cells for candidate, _ in layout.model.constraints[number].terms})


def _search(board: Board, scope: Scope, _: Collection[str]) -> Iterator[Proof]:
    """Yield what each constraint of a rule rules out, or places, by either of its sides, what concludes most first.

    Each open cell of the constraint adds at least the least coefficient among its candidates, those that the
    constraint does not name counting 0.  What would take the sum beyond its bound falls.  The argument has the
    constraint on the side at stake, and its open cells on either side to make good what each adds anyway.
    """
    grid = board.grid
    position = Position(grid.live, grid.true)
    yielded = []
    for number, upper in product(_numbers(board.layout)[scope.item], (True, False)):
        # A sum that its cells cannot meet tells more than what it would ask of them.
        found = [
            (inference, read)
            for argument, read in _arguments(grid, number, upper=upper)
            if (inference := conclusions(grid.model, position, argument)) is not None
        ]
        if found:
            inference, read = max(found, key=lambda item: (item[0].contradiction, len(item[0].false), -len(item[1])))
            roles = (Role("rule", "constraints", (number,)), Role("read", "cells", read))
            yielded.append(Proof(grid, (inference,), Pattern(ONE_RULE, roles)))
    yield from sorted(yielded, key=lambda proof: (not proof.contradiction, -len(proof.inferences[0].false)))


def _arguments(grid: Grid, number: int, *, upper: bool) -> Iterator[tuple[Counting, tuple[int, ...]]]:
    """Yield the arguments from one side of a constraint with the cells that are read: the constraint alone, then all.

    Where the constraint says as much by itself, its cells need not be read.
    """
    argument, cells = _side_of(grid, number, upper=upper)
    if argument is not None:
        if cells:
            yield Counting((), ((number, 1),)) if upper else Counting(((number, 1),), ()), ()
        yield argument, cells


def _side_of(grid: Grid, number: int, *, upper: bool) -> tuple[Counting | None, tuple[int, ...]]:
    """Return the argument from one side of a constraint of a rule, and the cells that are read for it.

    Parameters
    ----------
    grid : Grid
        The position.
    number : int
        The constraint.
    upper : bool
        Whether its at-most side is meant.

    Returns
    -------
    Counting or None
        None if the constraint is open on that side, or a cell has no candidate left.
    tuple of int
        The open cells that add something whatever they hold.
    """
    layout = grid.layout
    constraint = layout.model.constraints[number]
    if (constraint.upper if upper else constraint.lower) is None:
        return None, ()
    weights = dict(constraint.terms)
    bases, covers, read = [], [], []
    for cell in _cells(layout, number):
        here = grid.live & layout.masks[cell]
        if not here:
            return None, ()
        if here & grid.true:
            continue
        found = [weights.get(candidate, 0) for candidate in bits(here)]
        least = min(found) if upper else -max(found)
        if least > 0:
            bases.append((cell, least))
        elif least < 0:
            covers.append((cell, -least))
        if least:
            read.append(cell)
    (covers if upper else bases).append((number, 1))
    return Counting(tuple(sorted(bases)), tuple(sorted(covers))), tuple(read)


def _fault(grid: Grid, pattern: Pattern) -> str | None:
    layout = grid.layout
    (number,) = pattern.role("rule")
    if not layout.exact <= number < len(layout.model.constraints):
        return f"constraint {number} is not of a rule"
    if not {*pattern.role("read")} <= {*_cells(layout, number)}:
        return "a cell is read that the rule does not speak of"
    position = Position(grid.live, grid.true)
    for upper in (True, False):
        for argument, cells in _arguments(grid, number, upper=upper):
            if cells == pattern.role("read") and conclusions(grid.model, position, argument):
                return None
    return "the rule leaves everything possible that its cells may hold"


def _read(grid: Grid, inference: Inference, _: SumShape) -> Iterable[Pattern]:
    """Read one constraint of a rule, with what its cells add anyway, as what this rule alone leaves possible."""
    argument = inference.argument
    if not isinstance(argument, Counting):
        return
    rules = [number for number, _ in (*argument.bases, *argument.covers) if number >= grid.layout.exact]
    if len(rules) != 1:
        return
    number = rules[0]
    for upper in (True, False):
        whole, read = _side_of(grid, number, upper=upper)
        alone = Counting((), ((number, 1),)) if upper else Counting(((number, 1),), ())
        for made, cells in ((alone, ()), (whole, read)):
            if made == argument:
                yield Pattern(ONE_RULE, (Role("rule", "constraints", (number,)), Role("read", "cells", cells)))


FINDERS = (
    Family(
        (ONE_RULE,),
        by_rule,
        _search,
        _fault,
        roles={"rule": "rule", "read": "base"},
        reads=ShapeReading(_read, beyond=True),
    ),
)
