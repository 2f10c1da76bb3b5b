"""WXYZ-wing and Sue de Coq: as many cells as digits, spread over houses that cross.

Roles
-----
WXYZ-wing
    ``wing`` (cells, four), ``digits`` (digits, four), ``digit`` (digits, the one of them that falls).
Sue de Coq
    ``line``, ``region`` (houses, one each), ``crossing`` (cells of both), ``line set`` (cells of the line alone),
    ``region set`` (cells of the region alone), ``line digits``, ``region digits``, ``crossing digits`` (digits: those
    of the line set, those of the region set, and the others; the last role is left out if there are none).
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator, Sequence
from itertools import combinations

from deduce.kernel import Counting, Inference
from deduce.links.sets import houses_holding, shape_of
from deduce.patterns.board import Board, Scope, everywhere
from deduce.patterns.finder import Family, counted
from deduce.patterns.shape import ShapeReading, SumShape
from deduce.patterns.why_not import notes_of
from deduce.patterns.wings import wing_proof
from deduce.positions import bits, united
from deduce.proof import Pattern, Proof, Role
from deduce.puzzle.grid import Grid

__all__ = ["FINDERS", "SUE_DE_COQ", "WXYZ_WING"]

WXYZ_WING = "WXYZ-wing"
SUE_DE_COQ = "Sue de Coq"
_LINES = ("row", "column")
_PARTS = ("crossing", "line set", "region set")
_DIGITS = ("line digits", "region digits", "crossing digits")


def _wxyz_wings(board: Board, _: Scope, __: Collection[str]) -> Iterator[Proof]:
    """Yield four cells that hold four digits between them, three of which have their places there in one house each.

    These three can go into one cell each, so one of the four cells has the fourth digit z, whose places do not lie in
    one house: what sees all of them loses z.
    """
    around = [sum(1 << h for h in houses) for houses in board.layout.houses_of]
    items = [(cell, bits(d), d) for cell, d in enumerate(board.digits) if 2 <= d.bit_count() <= 4]

    def extend(
        start: int, cells: tuple[int, ...], union: int, free: int, houses: dict[int, int]
    ) -> Iterator[tuple[tuple[int, ...], int]]:
        """Add cells as long as no two digits are spread over several houses; `houses` are those that hold a digit."""
        for i in range(start, len(items) - 3 + len(cells)):
            cell, digits, mask = items[i]
            if (union | mask).bit_count() > 4:
                continue
            loose, left = free, dict(houses)
            for digit in digits:
                left[digit] = left.get(digit, -1) & around[cell]
                if not left[digit] and digit != loose:
                    if loose:
                        break
                    loose = digit
            else:
                if len(cells) < 3:
                    yield from extend(i + 1, (*cells, cell), union | mask, loose, left)
                elif loose and (union | mask).bit_count() == 4:
                    yield (*cells, cell), loose

    for cells, z in extend(0, (), 0, 0, {}):
        spots = [cell for cell in cells if board.planes[z] >> cell & 1]
        if board.planes[z] & board.seeing(*spots):
            roles = _wing_roles(cells, bits(_union(board, cells)), z)
            yield wing_proof(board, WXYZ_WING, roles, cells, z)


def _wing_roles(cells: tuple[int, ...], digits: Iterable[int], z: int) -> tuple[Role, ...]:
    four = Role("digits", "digits", tuple(digits))
    return Role("wing", "cells", cells), four, Role("digit", "digits", (z,))


def _wxyz_fault(grid: Grid, pattern: Pattern) -> str | None:
    layout, shape = grid.layout, shape_of(grid.layout)
    cells, digits, (z,) = pattern.role("wing"), pattern.role("digits"), pattern.role("digit")
    held = {cell: notes_of(grid, cell) for cell in cells}
    if len(held) != 4 or len(cells) != 4 or tuple(sorted(set().union(*held.values()))) != digits or len(digits) != 4:
        return "four cells do not hold these four digits"
    if any(len(here) < 2 for here in held.values()):
        return "a cell does not have two candidates or more"
    for digit in digits:
        inside = sum(1 << cell for cell, here in held.items() if digit in here)
        if bool(houses_holding(shape, inside)) == (digit == z):
            return f"the places of {layout.symbols[digit - 1]} should {'not ' * (digit == z)}lie in one house"
    return None if z in digits else "the digit that falls is not one of the four"


def _sue_de_coq(board: Board, _: Scope, __: Collection[str]) -> Iterator[Proof]:
    """Yield two or three open cells where a line crosses a region, that have two digits or more too many.

    Beside them one to three cells of the line alone and one to three of the region alone, without a common digit, such
    that all these cells together hold as many digits as there are cells, and neither of the two sets is enough without
    the other.  No digit can go there twice: the digits of the line set lie in the line, those of the region set in the
    region, the others in the crossing.  So each goes there once, and falls from the rest of its line, its region, or
    both.  Fewer cells come first; one that eliminates nothing new is left out.
    """
    layout = board.layout
    found = []
    for line in (h for h, house in enumerate(layout.houses) if house.kind in _LINES):
        for region in (h for h, house in enumerate(layout.houses) if house.kind not in _LINES):
            masks = layout.house_masks[line], layout.house_masks[region]
            crossing = _open(board, masks[0] & masks[1])
            if len(crossing) < 2:
                continue
            beside = [list(_parts(board, mask & ~(masks[0] & masks[1]))) for mask in masks]
            for size in (2, 3):
                for middle in combinations(crossing, size):
                    held = _union(board, middle)
                    extra = held.bit_count() - size
                    # Each of the two sets makes up for one digit at least, and for no more than it has cells.
                    if not 2 <= extra <= 6:
                        continue
                    for own, other in _beside(held, extra, *beside):
                        found.append((size + len(own) + len(other), line, region, middle, own, other))
    done: set[int] = set()
    for _cells, line, region, middle, own, other in sorted(found):
        proof = _sue_proof(board, line, region, (middle, own, other))
        gone = {c for inference in proof.inferences for c in inference.false}
        if gone - done:
            done |= gone
            yield proof


def _open(board: Board, mask: int) -> list[int]:
    """Return the open cells of a bitset."""
    return [cell for cell in bits(mask) if board.digits[cell]]


def _union(board: Board, cells: Sequence[int]) -> int:
    """Return the digits that cells hold between them."""
    return united(board.digits[cell] for cell in cells)


def _parts(board: Board, mask: int) -> Iterator[tuple[tuple[int, ...], int]]:
    """Yield one to three open cells of a bitset with the digits that they hold."""
    cells = _open(board, mask)
    for size in (1, 2, 3):
        for chosen in combinations(cells, size):
            yield chosen, _union(board, chosen)


def _beside(
    held: int, extra: int, line: Sequence[tuple[tuple[int, ...], int]], region: Sequence[tuple[tuple[int, ...], int]]
) -> Iterator[tuple[tuple[int, ...], tuple[int, ...]]]:
    """Yield sets of the line and of the region that make up for the extra digits of the crossing only together."""
    gaining: dict[int, list[tuple[tuple[int, ...], int]]] = {}
    for other, theirs in region:
        gaining.setdefault(len(other) - (theirs & ~held).bit_count(), []).append((other, theirs))
    for own, digits in line:
        gain = len(own) - (digits & ~held).bit_count()
        if 1 <= gain < extra:
            yield from ((own, other) for other, theirs in gaining.get(extra - gain, ()) if not digits & theirs)


def _sue_proof(board: Board, line: int, region: int, parts: tuple[tuple[int, ...], ...]) -> Proof:
    """Build the proof from its roles: the cells are bases, covers are the digits in the line or in the region.

    A digit of the crossing alone is covered wherever it falls, by halves if that is in both.
    """
    layout = board.layout
    middle, own, other = parts
    digits = [bits(_union(board, own)), bits(_union(board, other))]
    rest = [d for d in bits(_union(board, middle)) if d not in digits[0] and d not in digits[1]]
    everything = sum(1 << cell for part in parts for cell in part)
    shares = [[layout.house_constraint(line, digit)] for digit in digits[0]]
    shares += [[layout.house_constraint(region, digit)] for digit in digits[1]]
    for digit in rest:
        both = [house for house in (line, region) if board.planes[digit] & layout.house_masks[house] & ~everything]
        shares.append([layout.house_constraint(house, digit) for house in both or [line]])
    scale = max(map(len, shares))
    covers = {number: scale // len(share) for share in shares for number in share}
    bases = tuple((cell, scale) for cell in bits(everything))
    roles = _sue_roles(line, region, parts, (*digits, rest))
    return counted(board.grid, Pattern(SUE_DE_COQ, roles), Counting(bases, tuple(sorted(covers.items()))))


def _sue_roles(
    line: int, region: int, parts: Sequence[tuple[int, ...]], digits: Iterable[Collection[int]]
) -> tuple[Role, ...]:
    return (
        Role("line", "houses", (line,)),
        Role("region", "houses", (region,)),
        *(Role(name, "cells", cells) for name, cells in zip(_PARTS, parts, strict=True)),
        *(Role(name, "digits", tuple(sorted(held))) for name, held in zip(_DIGITS, digits, strict=True) if held),
    )


def _sue_fault(grid: Grid, pattern: Pattern) -> str | None:
    layout = grid.layout
    (line,), (region,) = pattern.role("line"), pattern.role("region")
    if layout.houses[line].kind not in _LINES or layout.houses[region].kind in _LINES:
        return "the line is no row or column, or the region is one"
    parts = [pattern.role(name) for name in _PARTS]
    cells = [cell for part in parts for cell in part]
    if not 2 <= len(parts[0]) <= 3 or not all(1 <= len(part) <= 3 for part in parts) or len(set(cells)) != len(cells):
        return "the sets do not have as many different cells as they may"
    for part, where in zip(parts, ((line, region), (line,), (region,)), strict=True):
        for house in (line, region):
            inside = {cell in layout.houses[house].cells for cell in part}
            if inside != {house in where}:
                return f"a set lies on the wrong side of {layout.houses[house].name}"
    held = [{d for cell in part for d in notes_of(grid, cell)} for part in parts]
    told = [pattern.role(name) for name in (_DIGITS[2], *_DIGITS[:2])]
    if told != [tuple(sorted(digits)) for digits in (held[0] - held[1] - held[2], held[1], held[2])]:
        return "the sets do not hold these digits"
    gains = [len(part) - len(digits - held[0]) for part, digits in zip(parts[1:], held[1:], strict=True)]
    extra = len(held[0]) - len(parts[0])
    if any(grid.true & layout.masks[cell] for cell in cells) or held[1] & held[2] or extra < 2:
        return "a cell is placed, a digit stands in both sets, or the crossing has too few digits"
    return None if min(gains) >= 1 and sum(gains) == extra else "there are not as many digits as cells"


def _read_wing(grid: Grid, inference: Inference, shape: SumShape) -> Iterable[Pattern]:
    cells = shape.base_cells
    if shape.base_houses or shape.cover_cells or len(cells) != 4:
        return
    digits = sorted(set().union(*(notes_of(grid, cell) for cell in cells)))
    falling = {c // grid.layout.cells + 1 for c in inference.false}
    if len(digits) == 4 and len(falling) == 1:
        yield Pattern(WXYZ_WING, _wing_roles(cells, digits, *falling))


def _read_sue(grid: Grid, inference: Inference, shape: SumShape) -> Iterable[Pattern]:
    if shape.base_houses or shape.cover_cells or len(shape.base_cells) < 3 or not inference.false:
        return
    layout = grid.layout
    held = {cell: notes_of(grid, cell) for cell in shape.base_cells}
    houses = sorted({house for house, _ in shape.cover_houses})
    lines = [h for h in houses if layout.houses[h].kind in _LINES]
    for line in lines:
        for region in (h for h in houses if h not in lines):
            one, two = set(layout.houses[line].cells), set(layout.houses[region].cells)
            crossing = tuple(cell for cell in held if cell in one & two)
            alone = tuple(cell for cell in held if cell in one - two)
            other = tuple(cell for cell in held if cell in two - one)
            if not crossing or not alone or not other or len(crossing) + len(alone) + len(other) < len(held):
                continue
            first = set.union(*(held[cell] for cell in alone))
            second = set.union(*(held[cell] for cell in other))
            rest = set.union(*held.values()) - first - second
            parts = crossing, alone, other
            yield Pattern(SUE_DE_COQ, _sue_roles(line, region, parts, (first, second, rest)))


FINDERS = (
    Family(
        (WXYZ_WING,),
        everywhere,
        _wxyz_wings,
        _wxyz_fault,
        roles={"wing": "cell", "digits": "", "digit": ""},
        reads=ShapeReading(_read_wing),
    ),
    Family(
        (SUE_DE_COQ,),
        everywhere,
        _sue_de_coq,
        _sue_fault,
        roles={"line": "base", "region": "cover", "crossing": "cell"}
        | dict.fromkeys(_PARTS[1:], "set")
        | dict.fromkeys(_DIGITS, ""),
        reads=ShapeReading(_read_sue),
    ),
)
