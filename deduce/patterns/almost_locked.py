"""ALS-XZ, singly and doubly linked, and ALS-XY-wing: two or three almost locked sets that restrict one another.

An almost locked set is some cells of a house that hold one digit more than there are cells, here one to four; one of
five is taken where two sets are enough and smaller ones have nothing left, so that the simplest name is found first.  A
*restricted common digit* of two sets without a common cell is one whose places in both together all lie in one house,
so that only one of the sets can have it.  Where the two digits by which a chain passes through a larger set are all
that one of its cells has, that cell is the set.

Roles
-----
ALS-XZ
    ``first set``, ``second set`` (cells), ``common digit`` (digits), ``digit`` (digits, the one that falls).  The chain
    leads from the places of the digit in the first set to those in the second.
doubly linked ALS-XZ
    ``first set``, ``second set`` (cells), ``common digits`` (digits, two).  The chain is a loop.
ALS-XY-wing
    ``first set``, ``pivot set``, ``second set`` (cells), ``common digits`` (digits: of first set and pivot, of pivot
    and second set), ``digit`` (digits, the one that falls).  The chain leads from the first set to the second.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator, Sequence
from functools import partial
from itertools import combinations, product
from typing import NamedTuple

from deduce.links.restricted import restricted_commons
from deduce.links.sets import LARGEST, AlmostLocked, almost_locked_sets
from deduce.patterns.board import Board, Scope, everywhere
from deduce.patterns.chain_fault import both_ways, chain_family, node_digits
from deduce.patterns.chains import chain_proof
from deduce.patterns.why_not import notes_of
from deduce.positions import apart, bits, bitset, united
from deduce.proof import Chain, Link, Pattern, Proof, Role
from deduce.puzzle.grid import Grid

__all__ = ["ALS_XY_WING", "ALS_XZ", "DOUBLY_LINKED", "FINDERS", "LARGEST_OF_TWO", "places_of", "through_sets"]

ALS_XZ = "ALS-XZ"
DOUBLY_LINKED = "doubly linked ALS-XZ"
ALS_XY_WING = "ALS-XY-wing"

LARGEST_OF_TWO = 5
"""The most cells of a set where there are two."""

LARGEST_ORDER = 9
"""Boards of more digits have too many sets of five cells for a search that a walk may ask for at every step."""


_Sized = dict[int, list[int]]


def places_of(one: AlmostLocked, digit: int) -> int:
    """Return the bitset of a digit's candidates in a set; 0 if the set does not have it."""
    return one.places[one.digits.index(digit)] if digit in one.digits else 0


class _Stage(NamedTuple):
    """Sets that are looked at together; the later one of each pair is numbered from `first` on, and has `commons`."""

    sets: tuple[AlmostLocked, ...]
    commons: list[dict[int, int]]
    doomed: int
    first: int = 0


def _stages(board: Board) -> Iterator[_Stage]:
    """Yield the sets of up to four cells with what chains through them eliminate, then those of five with them."""
    if board.set_reach.false:
        yield _Stage(board.almost_locked, board.restricted, board.set_reach.false)
    if board.layout.order <= LARGEST_ORDER:
        yield board.remember(("sets of five cells",), partial(_with_larger, board))


def _with_larger(board: Board) -> _Stage:
    sets = almost_locked_sets(board.layout, board.open, LARGEST_OF_TWO)
    first = len(board.almost_locked)
    return _Stage(sets, restricted_commons(board.layout, sets, first), board.open, first)


def _alone(board: Board, sets: Iterable[AlmostLocked]) -> list[frozenset[int]]:
    """Return for each set of several cells the digits (a bitset) of those of its cells that have just two.

    A strong link between two such digits does not need the set.
    """
    pairs = ((one, (board.digits[cell] for cell in one.cells)) for one in sets)
    return [frozenset(d for d in held if d.bit_count() == 2 and len(one.cells) > 1) for one, held in pairs]


def _xz(board: Board, _: Scope, __: Collection[str]) -> Iterator[Proof]:
    """Yield two almost locked sets, not both of one cell, with a restricted common digit x and another digit z in both.

    Only one of the sets can have x, so the other has z: what sees all places of z in both loses z.  Sets with fewer
    cells together come first, those of five cells last; one that eliminates nothing new is left out.
    """
    done = 0
    for sets, restricted, doomed, first in _stages(board):
        left = doomed & ~done
        sees, having = _seen(board, sets, left)
        hopeful = []
        for j, commons in enumerate(restricted, first):
            earlier = (1 << j) - 1
            for z, here in sees[j].items():
                for x, near in commons.items():
                    for i in bits(near & having[z] & earlier) if x != z else ():
                        gone = here & sees[i][z]
                        if gone:
                            hopeful.append((len(sets[i].cells) + len(sets[j].cells), i, j, z, x, gone))
        alone = _alone(board, sets)
        for cells, i, j, z, x, gone in sorted(hopeful):
            if cells > 2 and gone & ~done and 1 << x | 1 << z not in alone[i] | alone[j]:
                done |= gone
                yield _wing(board, ALS_XZ, (sets[i], sets[j]), (z, x, z))


def _seen(board: Board, sets: Iterable[AlmostLocked], doomed: int) -> tuple[list[dict[int, int]], dict[int, int]]:
    """Return what of `doomed` each digit of each set sees, if anything, and for each digit which sets see something."""
    sees: list[dict[int, int]] = []
    having: dict[int, int] = {}
    for i, one in enumerate(sets):
        here = {z: board.conflicts(places) & doomed for z, places in zip(one.digits, one.places, strict=True)}
        sees.append({z: seen for z, seen in here.items() if seen})
        for z in sees[-1]:
            having[z] = having.get(z, 0) | 1 << i
    return sees, having


def _wing(board: Board, name: str, sets: Sequence[AlmostLocked], digits: Sequence[int]) -> Proof:
    """Build the proof from its roles: the chain enters set i by digits[i] and leaves it by digits[i + 1]."""
    nodes = []
    for one, enter, leave in zip(sets, digits, digits[1:], strict=False):
        nodes += [tuple(bits(places_of(one, enter))), tuple(bits(places_of(one, leave)))]
    roles = _roles([one.cells for one in sets], digits[1:-1], digits[0])
    return chain_proof(board.grid, name, nodes, roles, almost=sets)


def _doubly_linked(board: Board, _: Scope, __: Collection[str]) -> Iterator[Proof]:
    """Yield two almost locked sets, not both of one cell, with two restricted common digits x and y.

    Each set has just one of the two, so every other digit of a set is locked into it, x and y into the two together:
    these digits fall wherever they see all places of the set, or of both.  The chain is a continuous loop.  Sets with
    fewer cells together come first, those of five cells last; one that eliminates nothing new is left out.
    """
    done = 0
    for sets, restricted, doomed, first in _stages(board):
        alone = _alone(board, sets)
        found = []
        for j, commons in enumerate(restricted, first):
            for (x, near), (y, nigh) in combinations(commons.items(), 2):
                both = bits(near & nigh & (1 << j) - 1)
                found += [(len(sets[i].cells) + len(sets[j].cells), i, j, x, y) for i in both]
        for cells, i, j, x, y in sorted(found):
            if cells == 2 or 1 << x | 1 << y in alone[i] or 1 << x | 1 << y in alone[j]:
                continue
            one, other = sets[i], sets[j]
            locked = [places for part in (one, other) for places in part.places]
            locked += [places_of(one, digit) | places_of(other, digit) for digit in (x, y)]
            if not any(board.conflicts(places) & doomed & ~done for places in locked):
                continue
            spots = (places_of(one, y), places_of(one, x), places_of(other, x), places_of(other, y))
            roles = _roles((one.cells, other.cells), (x, y))
            nodes = [tuple(bits(places)) for places in spots]
            proof = chain_proof(board.grid, DOUBLY_LINKED, nodes, roles, loop=True, almost=(one, other))
            gone = bitset(c for inference in proof.inferences for c in inference.false)
            if gone & doomed & ~done:
                done |= gone
                yield proof


def _xy_wings(board: Board, _: Scope, __: Collection[str]) -> Iterator[Proof]:
    """Yield three almost locked sets without common cells, not all of one cell, two of them tied to the third.

    The pivot set has a restricted common digit x with the first and another, y, with the second; both of these have a
    third digit z.  The pivot cannot lack both x and y, so one of the others does and has z: what sees all places of z
    in both loses z.  Sets with fewer cells together come first; one that eliminates nothing new is left out.
    """
    doomed = board.set_reach.false
    if not doomed:
        return
    sets = board.almost_locked
    sees, having = _seen(board, sets, doomed)
    alone = _alone(board, sets)
    sizes = [len(one.cells) for one in sets]
    # Each arm: the pivot, x, y and z, the sets that may be the first and the second, and what both kinds see.
    arms: list[tuple[tuple[int, int, int, int], _Sized, _Sized, int]] = []
    for (pivot, commons), (z, those) in product(enumerate(board.restricted), having.items()):
        near = [(x, tied & those) for x, tied in commons.items() if tied & those and x != z]
        if len(near) < 2:
            continue
        ends = [(x, [j for j in bits(tied) if 1 << x | 1 << z not in alone[j]]) for x, tied in near]
        sights = [(x, found, united(sees[j][z] for j in found)) for x, found in ends]
        for (x, some, sight), (y, others, view) in combinations(sights, 2):
            if sight & view and 1 << x | 1 << y not in alone[pivot]:
                arms.append(((pivot, x, y, z), _by_size(sizes, some), _by_size(sizes, others), sight & view))
    arms.sort(key=lambda arm: arm[0][:3])
    for total in range(4, 3 * LARGEST + 1):
        for (pivot, x, y, z), some_sized, others_sized, seen in arms:
            if not seen & doomed:
                continue
            for i, j in _two_around(board, some_sized, others_sized, total - sizes[pivot]):
                gone = sees[i][z] & sees[j][z] & doomed
                if gone:
                    doomed &= ~gone
                    yield _wing(board, ALS_XY_WING, (sets[i], sets[pivot], sets[j]), (z, x, y, z))


def _by_size(sizes: list[int], numbers: list[int]) -> _Sized:
    """Sort sets by how many cells they have."""
    found: _Sized = {}
    for i in numbers:
        found.setdefault(sizes[i], []).append(i)
    return found


def _two_around(board: Board, some: _Sized, others: _Sized, cells: int) -> Iterator[tuple[int, int]]:
    """Yield two sets without a common cell, one of each kind, of so many cells together, smaller first ones first."""
    sets = board.almost_locked
    for size, first in sorted(some.items()):
        for i, j in product(first, others.get(cells - size, ())):
            if not {*sets[i].cells} & {*sets[j].cells}:
                yield i, j


def through_sets(grid: Grid, chain: Chain) -> Iterator[Pattern]:
    """Read a chain of two or three strong links as one through almost locked sets, not all of one cell."""
    layout = grid.layout
    for way in both_ways(chain) if len(chain.nodes) in (4, 6) else ():
        sets = [link.constraints for link in way.links[::2]]
        digits = node_digits(grid, way)
        if any(len({c // layout.cells for c in node}) > 1 for node in way.nodes):
            continue
        if not all(_is_passed(grid, link, pair) for link, pair in zip(way.links[::2], _in_twos(digits), strict=True)):
            continue
        largest = LARGEST_OF_TWO if len(sets) == 2 else LARGEST
        if not 1 < max(map(len, sets)) <= largest or not apart(map(bitset, sets)):
            continue
        commons, alike = digits[1:-1:2], digits[1:-1] == [x for x in digits[1:-1:2] for _ in range(2)]
        if not alike or digits[0] != digits[-1] or len({digits[0], *commons}) != len(sets):
            continue
        if way.loop and len(sets) == 2:
            yield Pattern(DOUBLY_LINKED, _roles(sets, (commons[0], digits[0])), way)
        elif not way.loop:
            yield Pattern(ALS_XZ if len(sets) == 2 else ALS_XY_WING, _roles(sets, commons, digits[0]), way)


def _in_twos(digits: Sequence[int]) -> Iterator[tuple[int, int]]:
    """Return the digits by which a chain enters and leaves each set."""
    return zip(digits[::2], digits[1::2], strict=True)


def _is_passed(grid: Grid, link: Link, pair: tuple[int, int]) -> bool:
    """Whether a strong link goes through its cells as a set: no cell that has just these two digits is the set."""
    cells = link.constraints
    if max(cells) >= grid.layout.cells:
        return False
    return len(cells) == 1 or all(notes_of(grid, cell) != {*pair} for cell in cells)


def _roles(sets: Sequence[tuple[int, ...]], commons: Sequence[int], digit: int | None = None) -> tuple[Role, ...]:
    parts = ("first set", "second set") if len(sets) == 2 else ("first set", "pivot set", "second set")
    roles = [Role(part, "cells", cells) for part, cells in zip(parts, sets, strict=True)]
    roles.append(Role("common digits" if len(commons) > 1 else "common digit", "digits", tuple(commons)))
    return (*roles, *([Role("digit", "digits", (digit,))] if digit else []))


FINDERS = tuple(
    chain_family((name,), everywhere, search, through_sets, {**dict.fromkeys(sets, "set"), **dict.fromkeys(digits, "")})
    for name, search, sets, digits in (
        (ALS_XZ, _xz, ("first set", "second set"), ("common digit", "digit")),
        (DOUBLY_LINKED, _doubly_linked, ("first set", "second set"), ("common digits",)),
        (ALS_XY_WING, _xy_wings, ("first set", "pivot set", "second set"), ("common digits", "digit")),
    )
)
