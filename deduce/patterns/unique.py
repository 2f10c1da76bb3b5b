"""Patterns that assume a unique solution: cells whose digits could change places, were it not for some exits.

A finder here first finds a swappable (`deduce.links.swaps`), then what its exits entail (`deduce.patterns.exits`).  The
rectangles on two digits have a name for each way in which their exits conclude something; the other swappables have one
name each.  None of them is used unless the caller says that the puzzle has just one solution.

Roles
-----
all but bivalue grid
    ``cells`` (cells), ``digits`` (digits) that could change places between them.
bivalue grid
    ``pattern`` (candidates): two of each open cell.
all of them
    ``exits`` (candidates): the other candidates of the cells, one of which is true.  Beyond that, where it takes more
    than the exits: ``strong links`` (constraints) of two corners each; ``locked set`` (cells); or for each exit ``way
    of E`` (candidates), from the exit by weak and strong links in turn to what falls.
"""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterable, Iterator, Sequence
from functools import partial

from deduce.errors import ProofError
from deduce.kernel import Inference, check
from deduce.links.closure import closure
from deduce.links.linkset import Links
from deduce.links.sets import AlmostLocked
from deduce.links.swaps import Swappable, bivalue_grids, extended_rectangles, rectangles, two_digit_swaps
from deduce.patterns import exits as consequences, unique_names as kinds
from deduce.patterns.board import Board, Scope, everywhere
from deduce.patterns.finder import NO_SWAPS, Family
from deduce.patterns.unique_fault import fault
from deduce.positions import bits
from deduce.proof import Pattern, Proof, Role
from deduce.puzzle.grid import Grid

__all__ = ["FINDERS"]


def _rectangles(board: Board) -> tuple[Swappable, ...]:
    """Return the rectangles of four open cells."""
    return tuple(one for one in _all_rectangles(board) if not _placed(board.grid, one))


def _avoidable(board: Board) -> tuple[Swappable, ...]:
    """Return the rectangles with a corner that holds a digit which was placed, not given."""
    return tuple(one for one in _all_rectangles(board) if _placed(board.grid, one))


def _all_rectangles(board: Board) -> tuple[Swappable, ...]:
    return board.remember(("rectangles",), lambda: tuple(rectangles(board.grid)))


def _placed(grid: Grid, swappable: Swappable) -> bool:
    return any(grid.true >> c & 1 for c in swappable.pattern)


def _open_corner(board: Board, _: Scope, __: Collection[str]) -> Iterator[Proof]:
    """Yield four open cells in two rows, two columns and two regions, three of which hold none but the same two digits.

    Without the other candidates of the fourth corner the two digits could change places.  So one of these candidates
    is true: a single one is placed, several leave no room for the two digits there.
    """
    for one in _rectangles(board):
        if len(_cells(board, one.exits)) == 1:
            yield from _told(board, kinds.OPEN_CORNER, one, consequences.direct(board, one))


def _one_digit(board: Board, _: Scope, __: Collection[str]) -> Iterator[Proof]:
    """Yield such four cells where two or three corners also hold a third digit, the same in each, and nothing else.

    One of these is true, so the third digit falls from what sees all of them.
    """
    size = board.layout.cells
    for one in _rectangles(board):
        if len(_cells(board, one.exits)) > 1 and len({c // size for c in one.exits}) == 1:
            yield from _told(board, kinds.ONE_DIGIT, one, consequences.direct(board, one))


def _strong(board: Board, _: Scope, __: Collection[str]) -> Iterator[Proof]:
    """Yield such four cells, one corner without other candidates, where a house has a digit of the two only in corners.

    What falls would fall with every exit: at once, or over such a strong link between two corners or several.  Where a
    digit of the two must go into either of two corners, for instance, the other digit falls from both.
    """
    for one in _rectangles(board):
        yield from _by_corners(board, kinds.STRONG, one)


def _locked(board: Board, _: Scope, __: Collection[str]) -> Iterator[Proof]:
    """Yield such four cells whose exits make up a locked set with some cells outside.

    The cells outside are an almost locked set that has the digits of all exits.  One exit is true and takes its digit
    from the set, so digits of the set fall from what sees all their places in the set and at the exits.  Sets with
    fewer cells come first; one that eliminates nothing new is left out.
    """
    yield from _by_sets(board, kinds.LOCKED, _rectangles(board))


def _chains(board: Board, _: Scope, __: Collection[str]) -> Iterator[Proof]:
    """Yield such four cells each of whose exits leads by a chain of single candidates to the fall of the same one.

    A candidate that chains settle without the exits is left to them, one that strong links between the corners settle
    is left to these.  Those over fewer links come first; one that
    eliminates nothing new is left out.
    """
    yield from _by_chains(board, kinds.CHAINS, _rectangles(board))


def _every_way(
    board: Board, _: Scope, __: Collection[str], *, name: str, swappables: Callable[[Board], Sequence[Swappable]]
) -> Iterator[Proof]:
    """Yield what swappables of one kind entail: directly, over strong links inside, with locked sets, by chains."""
    found = swappables(board)
    for one in found:
        yield from _told(board, name, one, consequences.direct(board, one))
    for one in found:
        yield from _by_corners(board, name, one)
    yield from _by_sets(board, name, found)
    yield from _by_chains(board, name, found)


def _cells(board: Board, candidates: Iterable[int]) -> set[int]:
    return {c % board.layout.cells for c in candidates}


def _told(
    board: Board, name: str, swappable: Swappable, inferences: tuple[Inference, ...], *more: Role
) -> Iterator[Proof]:
    """Yield the proof if there is anything to tell and the kernel accepts the swap, which may be too large for it."""
    if not inferences:
        return
    if name == kinds.BIVALUE_GRID:
        parts: tuple[Role, ...] = (Role("pattern", "candidates", swappable.pattern),)
    else:
        parts = (Role("cells", "cells", swappable.cells), Role("digits", "digits", swappable.digits))
    pattern = Pattern(name, (*parts, Role("exits", "candidates", swappable.exits), *more))
    proof = Proof(board.grid, inferences, pattern)
    try:
        check(board.grid, proof)
    except ProofError:
        return
    yield proof


def _corner_links(board: Board, swappable: Swappable) -> Links:
    """Return the strong links of one digit between two cells of a swappable, and all weak ones."""
    inside = sum(1 << c for c in swappable.pattern)
    strong = {
        a: same
        for a, partners in board.links.strong.items()
        if inside >> a & 1
        for same in [sum(1 << b for b in bits(partners & inside & board.plane_of(1 << a)) if _in_a_house(board, a, b))]
        if same
    }
    return Links(board.links.live, strong, board.links.weak, (), strong)


def _in_a_house(board: Board, a: int, b: int) -> bool:
    """Whether two candidates are the last ones of their digit in a house."""
    return any(number < board.layout.exact for number in consequences.strong_link(board, a, b))


def _corner_victims(board: Board, swappable: Swappable) -> tuple[int, ...]:
    """Return what every exit leads to over strong links between cells of the swappable, at least one of them used."""

    def work() -> tuple[int, ...]:
        links = _corner_links(board, swappable)
        found = consequences.linked(board, swappable, links, closure(links)) if links.strong else ()
        return tuple(victim for length, victim in found if length > len(swappable.exits))

    return board.remember(("corners", swappable), work)


def _by_corners(board: Board, name: str, swappable: Swappable) -> Iterator[Proof]:
    """Yield what every exit leads to over strong links between cells of the swappable, in one proof."""
    links = _corner_links(board, swappable)
    victims = {z: consequences.ways_to(board, swappable, links, z) for z in _corner_victims(board, swappable)}
    used = {
        consequences.strong_link(board, a, b)[0]
        for ways in victims.values()
        for way in ways
        for a, b in zip(way[1:-1:2], way[2:-1:2], strict=True)
    }
    role = Role("strong links", "constraints", tuple(sorted(used)))
    yield from _told(board, name, swappable, consequences.grouped(board, swappable, victims), role)


def _by_sets(board: Board, name: str, swappables: Sequence[Swappable]) -> Iterator[Proof]:
    """Yield what exits conclude together with an almost locked set."""
    done = 0
    wanted = [(one, _digits(board, one.exits)) for one in swappables if len(one.exits) > 1]
    for known in board.almost_locked if wanted else ():
        for one, digits in wanted:
            if digits <= {*known.digits} and not {*one.cells} & {*known.cells}:
                inferences = consequences.locked(board, one, known)
                gone = _gone(inferences)
                if gone & ~done:
                    done |= gone
                    yield from _told(board, name, one, inferences, _set_role(known))


def _set_role(one: AlmostLocked) -> Role:
    return Role("locked set", "cells", one.cells)


def _digits(board: Board, candidates: Iterable[int]) -> set[int]:
    return {c // board.layout.cells + 1 for c in candidates}


def _gone(inferences: Iterable[Inference]) -> int:
    return sum(1 << c for c in {c for inference in inferences for c in inference.false})


def _by_chains(board: Board, name: str, swappables: Sequence[Swappable]) -> Iterator[Proof]:
    """Yield what chains of single candidates conclude from the exits."""
    done = 0
    links = board.links
    hopeful = [
        (length, number, victim)
        for number, one in enumerate(swappables)
        if len(one.exits) > 1
        for length, victim in consequences.linked(board, one, links, board.reach)
        if length > len(one.exits) and victim not in _corner_victims(board, one)
    ]
    for _length, number, victim in sorted(hopeful):
        if not done >> victim & 1:
            done |= 1 << victim
            one = swappables[number]
            ways = consequences.ways_to(board, one, links, victim)
            roles = [Role(kinds.way_role(board.layout, way[0]), "candidates", way) for way in ways]
            yield from _told(board, name, one, consequences.grouped(board, one, {victim: ways}), *roles)


def _remembered(name: str, search: Callable[[Grid], Iterator[Swappable]], board: Board) -> tuple[Swappable, ...]:
    return board.remember((name,), lambda: tuple(search(board.grid)))


def _family(name: str, search: Callable[[Board, Scope, Collection[str]], Iterator[Proof]], *further: str) -> Family:
    """Return a family of one name, with the roles that its patterns have beyond the cells, their digits and exits."""
    marks = {"strong links": "base", "locked set": "set", kinds.WAY: "pattern"}
    where = {"pattern": "pattern"} if name == kinds.BIVALUE_GRID else {"cells": "swappable", "digits": ""}
    return Family(
        (name,),
        everywhere,
        search,
        fault,
        roles={**where, "exits": "exit", **{role: marks[role] for role in further}},
        reads=NO_SWAPS,
        aliases=("unique rectangle",) if name in kinds.RECTANGLES else ("swap",) if name in kinds.SWAPS else (),
    )


def _whole(name: str, swappables: Callable[[Board], Sequence[Swappable]]) -> Family:
    """Return the family of a kind of swappable that has one name, whichever way its exits come to a conclusion."""
    return _family(name, partial(_every_way, name=name, swappables=swappables), "strong links", "locked set", kinds.WAY)


def _of_size(size: int, board: Board) -> tuple[Swappable, ...]:
    every = board.remember(("two-digit swaps",), lambda: tuple(two_digit_swaps(board.grid)))
    return tuple(one for one in every if len(one.cells) == size)


FINDERS = (
    _family(kinds.OPEN_CORNER, _open_corner),
    _family(kinds.ONE_DIGIT, _one_digit),
    _family(kinds.STRONG, _strong, "strong links"),
    _family(kinds.LOCKED, _locked, "locked set"),
    _family(kinds.CHAINS, _chains, kinds.WAY),
    _whole(kinds.AVOIDABLE, _avoidable),
    _whole(kinds.EXTENDED, partial(_remembered, kinds.EXTENDED, extended_rectangles)),
    _whole(kinds.BIVALUE_GRID, partial(_remembered, kinds.BIVALUE_GRID, bivalue_grids)),
    *(_whole(name, partial(_of_size, size)) for name, size in kinds.SWAPS.items()),
)
