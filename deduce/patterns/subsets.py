"""Naked and hidden subsets: some cells of a house and as many digits."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator, Sequence
from itertools import product

from deduce.kernel import Counting, Inference
from deduce.patterns.board import Board, Scope, by_house, house_order
from deduce.patterns.finder import Family, counted
from deduce.patterns.shape import ShapeReading, SumShape
from deduce.patterns.why_not import (
    Fault,
    FaultKind,
    Named,
    easiest,
    extra_digits,
    extra_places,
    houses_around,
    wanted_digits,
)
from deduce.positions import bits
from deduce.proof import Pattern, Proof, Role
from deduce.puzzle.grid import Grid
from deduce.puzzle.layout import Layout

__all__ = ["FINDERS", "HIDDEN", "NAKED", "closed_sets"]

SIZES = {2: "pair", 3: "triple", 4: "quad"}
NAKED = {f"naked {word}": size for size, word in SIZES.items()}
HIDDEN = {f"hidden {word}": size for size, word in SIZES.items()}


def closed_sets(
    items: Sequence[tuple[int, int]], size: int, among: int | None = None
) -> Iterator[tuple[tuple[int, ...], int]]:
    """Yield each choice of `size` items whose bitsets have a union of exactly `size` bits, in order of the items.

    Parameters
    ----------
    items : sequence of (int, int)
        A label and a bitset; every bitset has 2 to `size` bits.
    size : int
        How many to choose.
    among : int, optional
        One at least is to be among so many items at the beginning.

    Examples
    --------
    >>> list(closed_sets([(10, 0b011), (11, 0b110), (12, 0b101), (13, 0b11000)], 3))
    [((10, 11, 12), 7)]
    """
    last = len(items) - size
    first = last + 1 if among is None else min(among, last + 1)

    def extend(start: int, chosen: tuple[int, ...], union: int) -> Iterator[tuple[tuple[int, ...], int]]:
        if len(chosen) == size:
            if union.bit_count() == size:
                yield chosen, union
            return
        for i in range(start, last + len(chosen) + 1 if chosen else first):
            label, mask = items[i]
            joined = union | mask
            if joined.bit_count() <= size:
                yield from extend(i + 1, (*chosen, label), joined)

    if last >= 0:
        yield from extend(0, (), 0)


def _naked(board: Board, scope: Scope, names: Collection[str]) -> Iterator[Proof]:
    """Yield each set of k open cells of a house, two or more candidates in each, that hold k digits between them.

    The digits fall from the other cells of every house that holds all k.  The argument has the cells as bases and the
    digits in those houses as covers.  A set that lies in two houses is reported once, at the house searched first
    among those in which it eliminates something.
    """
    layout, digits, planes = board.layout, board.digits, board.planes
    for name in names:
        size = NAKED[name]
        house = layout.houses[scope.item]
        items = [(cell, digits[cell]) for cell in house.cells if 2 <= digits[cell].bit_count() <= size]
        for cells, union in closed_sets(items, size):
            inside = sum(1 << cell for cell in cells)
            useful = [
                h
                for h in house_order(layout)
                if not inside & ~layout.house_masks[h]
                and any(planes[digit] & layout.house_masks[h] & ~inside for digit in bits(union))
            ]
            if useful and useful[0] == scope.item:
                yield _naked_proof(board, name, cells, bits(union))


def _naked_proof(board: Board, name: str, cells: tuple[int, ...], digits: list[int]) -> Proof:
    """Build the proof from its roles, with an argument for each house."""
    layout = board.layout
    houses = _around(layout, cells)
    roles = (Role("subset", "cells", cells), Role("digits", "digits", tuple(digits)), Role("houses", "houses", houses))
    bases = tuple((layout.cell_constraint(cell), 1) for cell in cells)
    covers = (tuple((layout.house_constraint(house, digit), 1) for digit in digits) for house in houses)
    return counted(board.grid, Pattern(name, roles), *(Counting(bases, each) for each in covers))


def _around(layout: Layout, cells: tuple[int, ...]) -> tuple[int, ...]:
    """Return the houses that hold all these cells."""
    return tuple(h for h in layout.houses_of[cells[0]] if all(h in layout.houses_of[cell] for cell in cells))


def _hidden(board: Board, scope: Scope, names: Collection[str]) -> Iterator[Proof]:
    """Yield each set of k digits, two or more places of each in a house, that have k cells of it between them.

    The other candidates of those cells fall.  The argument has the digits in the house as bases and the cells as
    covers.
    """
    layout = board.layout
    mask = layout.house_masks[scope.item]
    for name in names:
        size = HIDDEN[name]
        items = [(d, plane & mask) for d, plane in enumerate(board.planes) if 2 <= (plane & mask).bit_count() <= size]
        for digits, union in closed_sets(items, size):
            cells = bits(union)
            wanted = sum(1 << digit for digit in digits)
            if any(board.digits[cell] & ~wanted for cell in cells):
                yield _hidden_proof(board, name, scope.item, tuple(cells), digits)


def _hidden_proof(board: Board, name: str, house: int, cells: tuple[int, ...], digits: tuple[int, ...]) -> Proof:
    """Build the proof from its roles."""
    layout = board.layout
    roles = (Role("subset", "cells", cells), Role("digits", "digits", digits), Role("house", "houses", (house,)))
    argument = Counting(
        tuple((layout.house_constraint(house, digit), 1) for digit in digits),
        tuple((layout.cell_constraint(cell), 1) for cell in cells),
    )
    return counted(board.grid, Pattern(name, roles), argument)


def _naked_fault(grid: Grid, pattern: Pattern) -> str | None:
    layout = grid.layout
    cells, digits, houses = pattern.role("subset"), pattern.role("digits"), pattern.role("houses")
    size = NAKED[pattern.name]
    if len(set(cells)) != size or len(set(digits)) != size:
        return f"a {pattern.name} needs {size} cells and {size} digits"
    allowed = sum(layout.masks[layout.house_constraint(houses[0], digit)] for digit in digits) if houses else 0
    for cell in cells:
        if grid.live & layout.masks[cell] & ~allowed:
            return f"{layout.cell_name(cell)} has another candidate"
    if not houses or houses != _around(layout, cells):
        return "the cells do not share these houses"
    return None


def _hidden_fault(grid: Grid, pattern: Pattern) -> str | None:
    layout = grid.layout
    cells, digits, (house,) = pattern.role("subset"), pattern.role("digits"), pattern.role("house")
    size = HIDDEN[pattern.name]
    if len(set(cells)) != size or len(set(digits)) != size:
        return f"a {pattern.name} needs {size} cells and {size} digits"
    inside = sum(layout.masks[cell] for cell in cells)
    for digit in digits:
        if grid.live & layout.masks[layout.house_constraint(house, digit)] & ~inside:
            return f"{layout.symbols[digit - 1]} has another place in {layout.houses[house].name}"
    return None


def _read_naked(grid: Grid, _: Inference, shape: SumShape) -> Iterable[Pattern]:
    cells, word = shape.base_cells, SIZES.get(len(shape.base_cells))
    if word is None or shape.base_houses or shape.cover_cells:
        return
    digits = tuple(sorted({digit for _, digit in shape.cover_houses}))
    shared = set.intersection(*({*grid.layout.houses_of[cell]} for cell in cells))
    # A triple with one cover too many is a wing: what falls must lie where all of the cells do.
    if len(digits) == len(cells) and shared and {house for house, _ in shape.cover_houses} <= shared:
        roles = (Role("subset", "cells", cells), Role("digits", "digits", digits))
        yield Pattern(f"naked {word}", (*roles, Role("houses", "houses", tuple(sorted(shared)))))


def _read_hidden(_: Grid, __: Inference, shape: SumShape) -> Iterable[Pattern]:
    cells, word = shape.cover_cells, SIZES.get(len(shape.cover_cells))
    houses = {house for house, _ in shape.base_houses}
    digits = tuple(sorted(digit for _, digit in shape.base_houses))
    if word and not shape.base_cells and not shape.cover_houses and len(houses) == 1 and len(digits) == len(cells):
        roles = (Role("subset", "cells", cells), Role("digits", "digits", digits))
        yield Pattern(f"hidden {word}", (*roles, Role("house", "houses", tuple(houses))))


def _why_not_naked(grid: Grid, name: str, named: Named, _: tuple[int, ...]) -> Fault | None:
    """Look at cells of one house that should hold as many digits between them."""
    cells, digits, size = named.cells, named.digits, NAKED[name]
    if not cells:
        return None
    if len(cells) != size or (digits and len(digits) != size):
        return Fault(FaultKind.WRONG_SIZE, pattern=name, needed=size, cells=cells, digits=digits)
    if not houses_around(grid.layout, cells):
        return Fault(FaultKind.NOT_TOGETHER, pattern=name, cells=cells)
    choices = wanted_digits(grid, named, size)
    return easiest(extra_digits(grid, name, [(cell, chosen) for cell in cells]) for chosen in choices)


def _why_not_hidden(grid: Grid, name: str, named: Named, _: tuple[int, ...]) -> Fault | None:
    """Look at digits of one house that should have as many cells between them."""
    layout, cells, digits, size = grid.layout, named.cells, named.digits, HIDDEN[name]
    if (cells and len(cells) != size) or (digits and len(digits) != size):
        return Fault(FaultKind.WRONG_SIZE, pattern=name, needed=size, cells=cells, digits=digits)
    if not cells or not (digits or named.houses):
        return None
    houses = [h for h in houses_around(layout, cells) if not named.houses or h in named.houses]
    if not houses:
        return Fault(FaultKind.NOT_TOGETHER, pattern=name, cells=cells, houses=named.houses)
    inside = sum(layout.masks[cell] for cell in cells)
    return easiest(
        extra_places(grid, name, [(layout.house_constraint(house, digit), inside) for digit in chosen])
        for house, chosen in product(houses, wanted_digits(grid, named, size))
    )


FINDERS = tuple(
    Family(
        (name,),
        by_house,
        search,
        fault,
        roles={"subset": "subset", "digits": "", house: mark},
        reads=ShapeReading(read, settles=True),
        why_not=why_not,
    )
    for names, house, mark, search, fault, read, why_not in (
        (NAKED, "houses", "cover", _naked, _naked_fault, _read_naked, _why_not_naked),
        (HIDDEN, "house", "base", _hidden, _hidden_fault, _read_hidden, _why_not_hidden),
    )
    for name in names
)
