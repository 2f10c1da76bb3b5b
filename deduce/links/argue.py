"""From a chain to its counting arguments: strong links are bases, weak links are covers."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Sequence
from math import lcm

from deduce.kernel import Counting, Inference, Position
from deduce.links.sets import AlmostLocked
from deduce.positions import bits, bitset, conclusions
from deduce.proof import Chain, Link, Starting, conclude
from deduce.puzzle.layout import Layout

__all__ = ["argue_chain", "build_chain", "cover_digit", "holding"]


def build_chain(
    layout: Layout,
    live: int,
    nodes: Sequence[tuple[int, ...]],
    *,
    loop: bool = False,
    almost: Iterable[AlmostLocked] = (),
) -> Chain:
    """Return the chain through these nodes, each link with the constraints that justify it.

    Parameters
    ----------
    layout : Layout
        Where the candidates stand.
    live : int
        Bitset of the live candidates; a strong link needs a constraint with no others.
    nodes : sequence of tuple of int
        The candidates of each node in order, strong link first; an even number of nodes.
    loop : bool
        Whether a weak link closes the chain.
    almost : iterable of AlmostLocked, optional
        Almost locked sets that strong links may go through where no constraint joins their nodes; the first that fits
        is taken.
    """
    following = [*nodes[1:], nodes[0]] if loop else nodes[1:]
    links = []
    for i, (a, b) in enumerate(zip(nodes, following, strict=False)):
        if i % 2:
            links.append(Link(False, holding(layout, (*a, *b))))
            continue
        pair = bitset(a) | bitset(b)
        masks = layout.model.masks
        alone = tuple(number for number in layout.at_least_one[a[0]] if live & masks[number] == pair)
        links.append(Link(True, alone) if alone else _through(layout, almost, bitset(a), bitset(b)))
    return Chain(tuple(nodes), tuple(links), loop)


def holding(layout: Layout, candidates: Sequence[int]) -> tuple[int, ...]:
    """Return the constraints by which at most one of these candidates is true, in order."""
    mask, masks = bitset(candidates), layout.model.masks
    return tuple(number for number in layout.at_most_one[candidates[0]] if not mask & ~masks[number])


def _through(layout: Layout, almost: Iterable[AlmostLocked], one: int, other: int) -> Link:
    """Return the strong link through the first set that has both nodes as the places of a digit."""
    for found in almost:
        if one in found.places and other in found.places:
            rest = (places for places in found.places if places not in (one, other))
            return Link(True, found.cells, tuple(cover_digit(layout, places, found.cells) for places in rest))
    return Link(True, ())


def cover_digit(layout: Layout, places: int, cells: Sequence[int]) -> int:
    """Return the constraint that covers the places of a digit in an almost locked set: that of its first house."""
    digit = (places.bit_length() - 1) // layout.cells + 1
    houses = set(layout.houses_of[cells[0]]).intersection(*(layout.houses_of[cell] for cell in cells[1:]))
    return layout.house_constraint(min(houses), digit)


def argue_chain(grid: Starting, layout: Layout, chain: Chain) -> tuple[Inference, ...]:
    """Return what a chain concludes in a position, as counting arguments.

    Parameters
    ----------
    grid : Grid
        The position.
    layout : Layout
        Its layout.
    chain : Chain
        The chain; in its links lies everything that the arguments use.

    Returns
    -------
    tuple of Inference
        For a loop one argument with all weak links as covers.  For a chain that returns to its start, the placement;
        if the start has several candidates, what conflicts with all of them falls.  Otherwise the candidates that
        conflict with both ends fall, one argument for each pair of constraints through which they do.  Empty if nothing
        falls, or if nothing can meet the sum: then the position has no solution, and a chain cannot tell that.  A sum
        may prove more than the chain; what the chain does not tell is left out.

    Notes
    -----
    With the strong links as bases and the weak links between them as covers, every inner candidate cancels and the
    ends are left: ``-a - d <= -1``.  A cover that holds both ends and z gives ``z <= 0``; a cover for each end gives
    ``2 z <= 1``.  A strong link through an almost locked set has its cells as bases and the digits that are on neither
    side as covers, which leaves the places of the two digits just so.
    """
    if chain.loop:
        return conclude(grid, [_loop(grid, layout, chain)])
    bases: Counter[int] = Counter()
    covers: Counter[int] = Counter()
    for link in chain.links:
        _add(link, bases, covers)
    # In order, so that a chain read from its other end is the same argument.
    first, last = sorted((chain.nodes[0], chain.nodes[-1]))
    if first == last and len(first) == 1:
        told = [Inference(_counting(bases, covers), (), first)]
    else:
        told = [
            Inference(_counting(bases, covers + ends), tuple(bits(fallen)))
            for ends, fallen in _ends(grid, layout, first, last)
        ]
    return tuple(inference for inference in told if _met(grid, layout, inference))


def _met(grid: Starting, layout: Layout, told: Inference) -> bool:
    """Whether the sum of a chain can be met.

    It cannot where covers hold the start of a chain twice besides, which takes a position without a solution.
    """
    assert isinstance(told.argument, Counting)
    proved = conclusions(layout.model, Position(grid.live, grid.true), told.argument)
    return proved is None or not proved.contradiction


def _add(link: Link, bases: Counter[int], covers: Counter[int]) -> None:
    """Add a link to the sum: a strong one as base, a weak one as cover."""
    if not link.strong:
        covers[link.constraints[0]] += 1
    elif link.covers:
        bases.update(link.constraints)
        covers.update(link.covers)
    else:
        bases[link.constraints[0]] += 1


def _loop(grid: Starting, layout: Layout, chain: Chain) -> Counting:
    """Return the sum of a loop, with a share for every constraint that holds a weak link or a digit that is locked."""
    bases: Counter[int] = Counter()
    open_ = grid.live & ~grid.true
    strong = [link for link in chain.links if link.strong]
    shares = [_useful(layout, open_, link.constraints) for link in chain.links if not link.strong]
    for link in strong:
        inside = sum(layout.masks[cell] for cell in link.constraints) if link.covers else 0
        for cover in link.covers:
            places = bits(open_ & inside & layout.model.masks[cover])
            shares.append(_useful(layout, open_, holding(layout, places)))
    scale = lcm(*map(len, shares))
    for link in strong:
        for number in link.constraints if link.covers else link.constraints[:1]:
            bases[number] += scale
    covers: Counter[int] = Counter()
    for numbers in shares:
        for number in numbers:
            covers[number] += scale // len(numbers)
    return _counting(bases, covers)


def _useful(layout: Layout, open_: int, constraints: Sequence[int]) -> tuple[int, ...]:
    """Return the constraints that hold an open candidate which not all of them hold, or the first one.

    Where they hold the same candidates one of them says it all.
    """
    held = {number: open_ & layout.model.masks[number] for number in constraints}
    common = -1
    for mask in held.values():
        common &= mask
    return tuple(number for number, mask in held.items() if mask & ~common) or tuple(constraints[:1])


def _ends(
    grid: Starting, layout: Layout, first: tuple[int, ...], last: tuple[int, ...]
) -> Iterator[tuple[Counter[int], int]]:
    """Yield covers that join what sees both ends to them, each with the candidates that it reaches, until all are."""
    one, other = holding(layout, first), holding(layout, last)
    both = [number for number in one if number in other]
    # Where the ends have a candidate in common, it has to be covered as often as it was a base.
    weight = 2 if {*first} & {*last} else 1
    choices = [Counter({number: weight}) for number in both]
    choices += [Counter([a, b]) for a in one for b in other if a not in both and b not in both]
    left = grid.live & ~grid.true & ~bitset((*first, *last))
    while left:
        best = max(choices, key=lambda choice: _reached(layout, left, choice).bit_count())
        reached = _reached(layout, left, best)
        if not reached:
            return
        left &= ~reached
        yield best, reached


def _reached(layout: Layout, victims: int, covers: Iterable[int]) -> int:
    """Return the victims that all these constraints hold."""
    for number in covers:
        victims &= layout.model.masks[number]
    return victims


def _counting(bases: Counter[int], covers: Counter[int]) -> Counting:
    """Return the argument with bases and covers in order of their numbers."""
    return Counting(tuple(sorted(bases.items())), tuple(sorted(covers.items())))
