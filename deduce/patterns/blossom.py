"""Death blossom: a cell each of whose digits would turn another almost locked set into a source of one digit.

Roles
-----
death blossom
    ``stem`` (cells, one), ``petal for D`` for each digit D of the stem (cells), ``digit`` (digits, the one that falls).
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Collection, Iterable, Iterator, Sequence
from functools import reduce
from math import gcd
from operator import and_

from deduce.kernel import Counting, Inference
from deduce.links.argue import cover_digit, holding
from deduce.links.sets import LARGEST, AlmostLocked, almost_locked, almost_locked_sets
from deduce.patterns.almost_locked import places_of
from deduce.patterns.board import Board, Scope, everywhere
from deduce.patterns.finder import Family
from deduce.patterns.shape import ShapeReading, SumShape
from deduce.positions import apart, bits, bitset, united
from deduce.proof import Pattern, Proof, Role
from deduce.puzzle.grid import Grid
from deduce.puzzle.layout import Layout

__all__ = ["DEATH_BLOSSOM", "FINDERS", "petal_role", "petals_of"]

DEATH_BLOSSOM = "death blossom"
_PETAL = "petal for "

MOST_CELLS = 32
"""Sums over more cells are not read as blossoms: there would be too many ways to part them."""

MOST_STEPS = 2_000
"""How many petals are tried for one stem before a sum is left without the name."""


def petal_role(layout: Layout, digit: int) -> str:
    """Return the name of the role that the petal for a digit of the stem plays."""
    return f"{_PETAL}{layout.symbols[digit - 1]}"


def petals_of(pattern: Pattern) -> list[tuple[int, ...]]:
    """Return the cells of the petals, in the order of the digits of the stem."""
    return [role.items for role in pattern.roles if role.name.startswith(_PETAL)]


_Petals = dict[int, dict[int, list[tuple[AlmostLocked, int]]]]


def _search(board: Board, _: Scope, __: Collection[str]) -> Iterator[Proof]:
    """Yield a cell with three digits or more, the stem, and for each of them an almost locked set, its petal.

    All places of the digit in its petal see the stem, and every petal also has another digit z, the same for all, that
    the stem does not have.  Whatever the stem is, the petal for that digit loses it and has z: what sees all places of
    z in every petal loses z.  Petals have one to four cells.  For each stem, z and candidate that falls, the petals
    with the fewest cells are taken, of those without a common cell if there are such.  Blossoms whose petals have cells
    in common come last; they hold as well, since the stem asks for one petal only.  Those with fewer cells together
    come first, and one that eliminates nothing new is left out.
    """
    found = []
    for stem, digits in enumerate(board.digits):
        if digits.bit_count() < 3:
            continue
        petals = _petals(board, stem, bits(digits))
        shared = set.intersection(*({*by_z} for by_z in petals.values())) if petals else set()
        for z in sorted(shared):
            gone = board.shift(z, board.planes[z])
            for by_z in petals.values():
                reached = 0
                for _petal, sees in by_z[z]:
                    reached |= sees
                gone &= reached
            chosen: dict[tuple[AlmostLocked, ...], int] = {}
            for victim in bits(gone):
                best = _fewest([[one for one, sees in by_z[z] if sees >> victim & 1] for by_z in petals.values()])
                chosen[best] = chosen.get(best, 0) | 1 << victim
            found += [(_shared(best), sum(len(petal.cells) for petal in best), stem, z, best) for best in chosen]
    done = 0
    for _common, _cells, stem, z, best in sorted(found):
        gone = board.shift(z, board.planes[z])
        for petal in best:
            gone &= board.conflicts(places_of(petal, z))
        if gone & ~done:
            done |= gone
            yield _proof(board, stem, dict(zip(bits(board.digits[stem]), best, strict=True)), z, gone)


def _shared(petals: Iterable[AlmostLocked]) -> bool:
    """Whether two petals have a cell in common."""
    return not apart(bitset(petal.cells) for petal in petals)


def _fewest(choices: Sequence[Sequence[AlmostLocked]]) -> tuple[AlmostLocked, ...]:
    """Return one petal of each list, which has the smallest first: the fewest cells, none of them twice if possible.

    Where `MOST_STEPS` petals do not show any without a common cell, the smallest ones are taken.
    """
    best = tuple(petals[0] for petals in choices)
    if not _shared(best):
        return best
    least = [sum(len(petals[0].cells) for petals in choices[i:]) for i in range(len(choices) + 1)]
    room, steps = len(choices) * LARGEST + 1, iter(range(MOST_STEPS))

    def extend(chosen: tuple[AlmostLocked, ...], used: int, cells: int) -> None:
        nonlocal best, room
        if len(chosen) == len(choices):
            best, room = chosen, cells
            return
        for petal in choices[len(chosen)]:
            total, inside = cells + len(petal.cells), bitset(petal.cells)
            if total + least[len(chosen) + 1] >= room or next(steps, None) is None:
                return
            if not inside & used:
                extend((*chosen, petal), used | inside, total)

    extend((), 0, 0)
    return best


def _petals(board: Board, stem: int, digits: Sequence[int]) -> _Petals:
    """Return for each digit of a stem, for each other digit z, the sets that can be its petal, the smallest first.

    Empty if one of the digits has none.  With each set comes what sees all its places of z.
    """
    found: _Petals = {}
    for digit in digits:
        by_z: dict[int, list[tuple[AlmostLocked, int]]] = {}
        for one in board.sets_seeing(board.layout.number(digit, stem)):
            for z in one.digits:
                sees = board.conflicts(places_of(one, z))
                if z not in digits and sees:
                    by_z.setdefault(z, []).append((one, sees))
        if not by_z:
            return {}
        found[digit] = by_z
    return found


def _proof(board: Board, stem: int, petals: dict[int, AlmostLocked], z: int, gone: int) -> Proof:
    """Build the proof from its roles.

    The stem and the cells of the petals are bases; covers are each digit of the stem where its petal meets it, the
    other digits of the petals, and z in houses that join victims to the petals.  That leaves minus the places of z in
    all petals at most minus one, and a victim weighs as much as there are petals.
    """
    layout = board.layout
    bases: Counter[int] = Counter([layout.cell_constraint(stem)])
    covers: Counter[int] = Counter()
    for digit, petal in petals.items():
        bases.update(petal.cells)
        joint = holding(layout, (layout.number(digit, stem), *bits(places_of(petal, digit))))
        covers[joint[0]] += 1
        for other, places in zip(petal.digits, petal.places, strict=True):
            if other not in (digit, z):
                covers[cover_digit(layout, places, petal.cells)] += 1
    inferences = []
    spots = [places_of(petal, z) for petal in petals.values()]
    while gone:
        victim = gone.bit_length() - 1
        ends = [holding(layout, (victim, *bits(places)))[0] for places in spots]
        fallen = gone
        for number in ends:
            fallen &= layout.model.masks[number]
        total = covers + Counter(ends)
        argument = Counting(tuple(sorted(bases.items())), tuple(sorted(total.items())))
        inferences.append(Inference(argument, tuple(bits(fallen))))
        gone &= ~fallen
    parts = [Role(petal_role(layout, digit), "cells", petal.cells) for digit, petal in petals.items()]
    roles = (Role("stem", "cells", (stem,)), *parts, Role("digit", "digits", (z,)))
    return Proof(board.grid, tuple(inferences), Pattern(DEATH_BLOSSOM, roles))


def _fault(grid: Grid, pattern: Pattern) -> str | None:
    layout = grid.layout
    (stem,), (z,) = pattern.role("stem"), pattern.role("digit")
    open_ = grid.live & ~grid.true
    held = bits(open_ & layout.masks[stem])
    if len(held) < 3 or len(pattern.roles) != len(held) + 2:
        return "the stem does not have three digits or more, each with its petal"
    for candidate in held:
        digit = candidate // layout.cells + 1
        cells = pattern.role(petal_role(layout, digit))
        petal = almost_locked(layout, open_, cells)
        if petal is None or len(cells) > LARGEST:
            return f"the petal for {layout.symbols[digit - 1]} is not almost locked"
        if not {digit, z} <= {*petal.digits} or digit == z or z in {c // layout.cells + 1 for c in held}:
            return f"the petal for {layout.symbols[digit - 1]} lacks a digit, or the stem has too many"
        if candidate % layout.cells in cells or not holding(layout, (candidate, *bits(places_of(petal, digit)))):
            return f"the petal for {layout.symbols[digit - 1]} does not see the stem"
    return None


def _read(grid: Grid, inference: Inference, _: SumShape) -> Iterable[Pattern]:
    """Read cells, some of them perhaps counted several times, as a stem and a petal for each of its digits."""
    argument, size = inference.argument, grid.layout.cells
    if not isinstance(argument, Counting) or len({c // size for c in inference.false}) != 1:
        return
    if any(number >= size for number, _ in argument.bases):
        return
    # The weights may be multiples of what it takes.
    for scale in sorted({gcd(*(weight for _, weight in argument.bases)), 1}, reverse=True):
        cells = [number for number, weight in argument.bases for _ in range(min(weight // scale, MOST_CELLS + 1))]
        if 4 <= len(cells) <= MOST_CELLS:
            yield from _blossoms(grid, inference, cells)


def _blossoms(grid: Grid, inference: Inference, cells: list[int]) -> Iterator[Pattern]:
    layout = grid.layout
    digit = inference.false[0] // layout.cells + 1
    open_ = grid.live & ~grid.true & united(layout.masks[cell] for cell in cells)
    sets = sorted(almost_locked_sets(layout, open_), key=lambda one: (one.cells[0], len(one.cells), one.cells))
    for stem in sorted({*cells}):
        held = bits(grid.live & layout.masks[stem])
        others = cells[:]
        others.remove(stem)
        if len(held) < 3 or not len(held) <= len(others) <= len(held) * LARGEST:
            continue
        near = [one for one in sets if {*one.cells} <= {*others}]
        choices = [_petal_sets(grid, candidate, digit, inference.false, near) for candidate in held]
        for petals in _assigned(choices, others, iter(range(MOST_STEPS))):
            parts = [
                Role(petal_role(layout, candidate // layout.cells + 1), "cells", petal)
                for candidate, petal in zip(held, petals, strict=True)
            ]
            roles = (Role("stem", "cells", (stem,)), *parts, Role("digit", "digits", (digit,)))
            yield Pattern(DEATH_BLOSSOM, roles)


def _petal_sets(
    grid: Grid, stem: int, digit: int, victims: tuple[int, ...], sets: list[AlmostLocked]
) -> list[tuple[int, ...]]:
    """List the sets that lose one candidate of a stem and then have a digit, all of it seen by the victims."""
    peers, size = grid.layout.peers, grid.layout.cells
    see_all = reduce(and_, (peers[victim] for victim in victims))
    found = []
    for one in sets:
        places = dict(zip(one.digits, one.places, strict=True))
        lost, kept = places.get(stem // size + 1), places.get(digit)
        if lost and kept and not lost & ~peers[stem] and not kept & ~see_all:
            found.append(one.cells)
    return found


def _assigned(
    choices: list[list[tuple[int, ...]]], cells: list[int], steps: Iterator[int]
) -> Iterator[list[tuple[int, ...]]]:
    """Yield a set of each list so that together they are just the cells, each as often as it comes."""
    if not choices:
        if not cells:
            yield []
        return
    for chosen in choices[0]:
        if next(steps, None) is None:
            return
        left = cells[:]
        try:
            for cell in chosen:
                left.remove(cell)
        except ValueError:
            continue
        if len(choices) - 1 <= len(left) <= (len(choices) - 1) * LARGEST:
            for rest in _assigned(choices[1:], left, steps):
                yield [chosen, *rest]


FINDERS = (
    Family(
        (DEATH_BLOSSOM,),
        everywhere,
        _search,
        _fault,
        roles={"stem": "pivot", _PETAL: "set", "digit": ""},
        reads=ShapeReading(_read, beyond=None),
    ),
)
