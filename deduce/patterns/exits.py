"""What follows from "one of these exits is true", whatever the swappable behind it.

There are three ways to a conclusion.  Directly: a single exit is true, and what clashes with every exit falls.  With a
locked set: the exits stand in for one more cell of an almost locked set.  By chains: each exit, were it true, leads
link by link to the fall of the same candidate.  All three are counting arguments in which the swap is one base.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from functools import reduce
from operator import and_

from deduce.kernel import Counting, Inference
from deduce.links.argue import cover_digit, holding
from deduce.links.closure import Closure
from deduce.links.linkset import Links
from deduce.links.search import best, layers
from deduce.links.sets import AlmostLocked
from deduce.links.swaps import Swappable
from deduce.patterns.board import Board
from deduce.positions import bits

__all__ = ["Way", "direct", "grouped", "linked", "locked", "strong_link", "ways_to"]

Way = tuple[int, ...]
"""An exit, then candidates in turn false and true as links lead on from it, and last the one that falls.

With nothing between, the exit clashes with what falls.  Otherwise ``(e, a, b, z)`` says: if e is true, a is false, so b
is true, so z is false.
"""


def direct(board: Board, swappable: Swappable) -> tuple[Inference, ...]:
    """Return what follows at once: a single exit is true, and what clashes with every exit falls."""
    exits = swappable.exits
    if len(exits) == 1:
        return (Inference(Counting((), (), ((swappable.swap, 1),)), (), exits),)
    victims = bits(board.open & reduce(and_, (board.layout.peers[c] for c in exits)))
    return grouped(board, swappable, {z: tuple((e, z) for e in exits) for z in victims})


def grouped(board: Board, swappable: Swappable, victims: dict[int, tuple[Way, ...]]) -> tuple[Inference, ...]:
    """Return the arguments by which candidates fall, given for each a way from every exit; those alike are one."""
    found: dict[Counting, list[int]] = {}
    for victim, ways in victims.items():
        found.setdefault(_sum(board, swappable, ways), []).append(victim)
    return tuple(Inference(argument, tuple(falling)) for argument, falling in found.items())


def _sum(board: Board, swappable: Swappable, ways: Sequence[Way]) -> Counting:
    """Return the sum of a swap and of ways from all its exits to a victim.

    A way adds a base for each strong link and a cover for each weak one, which leaves its exit and the victim against
    one.  An exit that clashes with the same candidate through the same cover shares the way of another one.  With n
    ways the sum is n times the victim against n - 1, since the swap takes one exit away.
    """
    layout = board.layout
    bases: Counter[int] = Counter()
    covers: Counter[int] = Counter()
    left = list(ways)
    while left:
        choices = {(cover, way[1:]) for way in left for cover in holding(layout, way[:2])}
        served = {
            choice: [way for way in left if layout.model.masks[choice[0]] >> way[0] & 1 and way[0] != choice[1][0]]
            for choice in choices
        }
        cover, tail = min(choices, key=lambda choice: (-len(served[choice]), len(choice[1]), choice))
        left = [way for way in left if way not in served[cover, tail]]
        covers[cover] += 1
        for a, b in zip(tail[:-1:2], tail[1::2], strict=True):
            bases[strong_link(board, a, b)[0]] += 1
        for b, a in zip(tail[1::2], tail[2::2], strict=True):
            covers[holding(layout, (b, a))[0]] += 1
    return Counting(tuple(sorted(bases.items())), tuple(sorted(covers.items())), ((swappable.swap, 1),))


def strong_link(board: Board, a: int, b: int) -> tuple[int, ...]:
    """Return the constraints "at least one of these" that have no live candidates but these two."""
    both, masks = 1 << a | 1 << b, board.layout.model.masks
    return tuple(n for n in board.layout.at_least_one[a] if board.grid.live & masks[n] == both)


def linked(board: Board, swappable: Swappable, links: Links, reach: Closure) -> Iterator[tuple[int, int]]:
    """Yield the candidates to whose fall every exit leads by chains, each after the number of links that it takes.

    Parameters
    ----------
    board : Board
        The position.
    swappable : Swappable
        The exits.
    links : Links
        The links between single candidates that chains may use.
    reach : Closure
        What chains over these links conclude; a candidate that they settle without the exits is left out.
    """
    falling = board.open & ~reach.false & ~reach.true
    for exit_ in swappable.exits:
        near = links.weak[exit_]
        falls = near
        for a in bits(near & links.active):
            falls |= reach.falls[a]
        falling &= falls & ~(1 << exit_)
        if not falling:
            return
    for victim in bits(falling):
        yield sum(_length(links, exit_, victim) for exit_ in swappable.exits), victim


def _length(links: Links, exit_: int, victim: int) -> int:
    """Return how many links lead from an exit to a victim."""
    if links.weak[exit_] >> victim & 1:
        return 1
    found = layers(links, links.weak[exit_], links.weak[victim])
    return 0 if found is None else found.links + 2


def ways_to(board: Board, swappable: Swappable, links: Links, victim: int) -> tuple[Way, ...]:
    """Return the shortest way from each exit to a candidate, the best of those as for any chain."""
    ways = []
    for exit_ in swappable.exits:
        between: tuple[int, ...] = ()
        if not links.weak[exit_] >> victim & 1:
            found = layers(links, links.weak[exit_], links.weak[victim])
            if found is None:
                raise ValueError(f"candidate {exit_} does not lead to {victim}")
            between = best(links, found, board.layout.cells)
        ways.append((exit_, *between, victim))
    return tuple(ways)


def locked(board: Board, swappable: Swappable, one: AlmostLocked) -> tuple[Inference, ...]:
    """Return what follows if the exits and an almost locked set that has all their digits make up a locked set.

    One exit is true, and its digit then has no place in the set, which so needs all its other digits.  That is as if
    the exits were one more cell of the set: all digits of the set have their places there or at the exits, and fall
    from what clashes with all of these.  The digits may not have room in both: for each of them, but for the one that
    falls, the exits and the places in the set clash with one another.
    """
    layout = board.layout
    nodes: list[tuple[int, ...]] = []
    loose = []
    size = layout.cells
    outside: dict[int, list[int]] = {}
    for exit_ in swappable.exits:
        outside.setdefault(exit_ // size + 1, []).append(exit_)
    if not outside.keys() <= {*one.digits} or {e % size for e in swappable.exits} & {*one.cells}:
        return ()
    for place, (digit, places) in enumerate(zip(one.digits, one.places, strict=True)):
        nodes.append((*outside.get(digit, ()), *bits(places)))
        if digit in outside and not holding(layout, nodes[-1]):
            loose.append(place)
    if len(loose) > 1:
        return ()
    found: dict[Counting, list[int]] = {}
    for place, (digit, places) in enumerate(zip(one.digits, one.places, strict=True)):
        if loose and place not in loose:
            continue
        others = [
            holding(layout, node)[0] if one.digits[i] in outside else cover_digit(layout, one.places[i], one.cells)
            for i, node in enumerate(nodes)
            if i != place
        ]
        parts = [part for part in (outside.get(digit, []), bits(places)) if part]
        plane = board.plane_of(places)
        victims = board.open & plane & reduce(and_, (layout.peers[c] for c in nodes[place]))
        for victim in bits(victims):
            ends = holding(layout, (victim, *nodes[place]))[:1]
            if not ends:
                ends = tuple(next(iter(holding(layout, (victim, *part))), -1) for part in parts)
            if -1 in ends:
                continue
            covers = tuple(sorted(Counter([*others, *ends]).items()))
            argument = Counting(tuple((cell, 1) for cell in one.cells), covers, ((swappable.swap, 1),))
            found.setdefault(argument, []).append(victim)
    return tuple(Inference(argument, tuple(falling)) for argument, falling in found.items())
