"""From a chain to its counting arguments: strong links are bases, weak links are covers."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Sequence

from deduce.kernel import Counting, Inference, bits
from deduce.proof import Chain, Link, Starting, conclude
from deduce.puzzle.layout import Layout

__all__ = ["argue_chain", "build_chain"]


def build_chain(layout: Layout, live: int, nodes: Sequence[int], *, loop: bool = False) -> Chain:
    """Return the chain through single candidates, each link with the constraints that justify it.

    Parameters
    ----------
    layout : Layout
        Where the candidates stand.
    live : int
        Bitset of the live candidates; a strong link needs a constraint with no third one.
    nodes : sequence of int
        The candidates in order, strong link first; an even number of them.
    loop : bool
        Whether a weak link closes the chain.
    """
    following = [*nodes[1:], nodes[0]] if loop else nodes[1:]
    links = []
    for i, (a, b) in enumerate(zip(nodes, following, strict=False)):
        numbers = layout.shared(a, b)
        if i % 2 == 0:
            pair = 1 << a | 1 << b
            numbers = tuple(number for number in numbers if live & layout.masks[number] == pair)
        links.append(Link(i % 2 == 0, numbers))
    return Chain(tuple((node,) for node in nodes), tuple(links), loop)


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
        For a loop one argument with all weak links as covers.  For a chain that returns to its start, the placement.
        Otherwise the candidates that see both ends fall, one argument for each pair of houses through which they do.
        Empty if nothing falls.  A sum may prove more than that; what the chain does not tell is left out.

    Notes
    -----
    With k strong links as bases and the k - 1 weak links between them as covers, every inner candidate cancels and the
    ends a and d are left: ``-a - d <= -1``.  A cover that holds both ends and z gives ``z <= 0``; a cover for each
    end gives ``2 z <= 1``.
    """
    bases: Counter[int] = Counter()
    covers: Counter[int] = Counter()
    if chain.loop:
        scale = 1
        kept = [_useful(grid, layout, link) for link in chain.links if not link.strong]
        for numbers in kept:
            scale = scale * len(numbers) if scale % len(numbers) else scale
        for link in chain.links:
            if link.strong:
                bases[link.constraints[0]] += scale
        for numbers in kept:
            for number in numbers:
                covers[number] += scale // len(numbers)
        return conclude(grid, [_counting(bases, covers)])
    for link in chain.links:
        (bases if link.strong else covers)[link.constraints[0]] += 1
    first, last = chain.nodes[0], chain.nodes[-1]
    if first == last:
        return (Inference(_counting(bases, covers), (), first),)
    return tuple(
        Inference(_counting(bases, covers + ends), tuple(bits(fallen)))
        for ends, fallen in _ends(grid, layout, first[0], last[0])
    )


def _useful(grid: Starting, layout: Layout, link: Link) -> tuple[int, ...]:
    """Return the constraints of a weak link that hold a third open candidate, or just its first one."""
    open_ = grid.live & ~grid.true
    return tuple(n for n in link.constraints if (open_ & layout.masks[n]).bit_count() > 2) or link.constraints[:1]


def _ends(grid: Starting, layout: Layout, first: int, last: int) -> Iterator[tuple[Counter[int], int]]:
    """Yield covers that join what sees both ends to them, each with the candidates that it reaches, until all are."""
    victims = grid.live & ~grid.true & layout.peers[first] & layout.peers[last] & ~(1 << first | 1 << last)
    both = set(layout.shared(first, last))
    while victims:
        choices = [Counter([number]) for number in sorted(both)]
        choices += [
            Counter([one, other])
            for one in layout.touching[first]
            for other in layout.touching[last]
            if one not in both and other not in both
        ]
        best = max(choices, key=lambda choice: _reached(layout, victims, choice).bit_count())
        reached = _reached(layout, victims, best)
        if not reached:  # pragma: no cover - every victim shares a constraint with each end
            return
        victims &= ~reached
        yield best, reached


def _reached(layout: Layout, victims: int, covers: Iterable[int]) -> int:
    """Return the victims that all these constraints hold."""
    for number in covers:
        victims &= layout.masks[number]
    return victims


def _counting(bases: Counter[int], covers: Counter[int]) -> Counting:
    """Return the argument with bases and covers in order of their numbers."""
    return Counting(tuple(sorted(bases.items())), tuple(sorted(covers.items())))
