"""Shortest chains between given ends, and all chains up to a length.

Breadth-first layers of bitsets find how long a chain must be, the best of that length is picked by going back through
the layers, and networkx lists all of them.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from typing import TYPE_CHECKING

from deduce.links.linkset import Links
from deduce.positions import bits

if TYPE_CHECKING:
    import networkx as nx

__all__ = ["Layers", "best", "every", "layers", "preference", "spread"]

_SOURCE, _TARGET = -1, -2


@dataclass(frozen=True, slots=True)
class Layers:
    """Breadth-first layers from a set of starts to the first layer that holds a target.

    Parameters
    ----------
    false, true : list of int
        ``false[i]`` falls i weak links after the start, ``true[i]`` follows from it over one strong link.
    targets : int
        The bitset that the last layer meets.
    """

    false: list[int]
    true: list[int]
    targets: int

    @property
    def links(self) -> int:
        """The number of links of the chains found."""
        return 2 * len(self.true) - 1


def spread(links: Links, starts: int) -> Iterator[tuple[int, int]]:
    """Yield breadth-first what falls if no start is true, and what is then true, one strong link further each time.

    Parameters
    ----------
    links : Links
        The links that chains may use.
    starts : int
        Bitset of the nodes supposed false.

    Yields
    ------
    (int, int)
        The nodes that fall for the first time after so many links, and those that then become true for the first time;
        until nothing new falls.
    """
    strong, weak, active = links.strong, links.weak, links.active
    fall = starts & active
    all_false, all_true = fall, 0
    while fall:
        rise, left = 0, fall
        while left:
            low = left & -left
            left ^= low
            rise |= strong[low.bit_length() - 1]
        rise &= ~all_true
        all_true |= rise
        yield fall, rise
        fall, left = 0, rise
        while left:
            low = left & -left
            left ^= low
            fall |= weak[low.bit_length() - 1]
        fall &= active & ~all_false
        all_false |= fall


def layers(links: Links, starts: int, targets: int, longest: int | None = None) -> Layers | None:
    """Search breadth-first for the shortest chains that show "if no start is true, a target is".

    Parameters
    ----------
    links : Links
        The links that chains may use.
    starts, targets : int
        Bitsets: a chain begins at a start, supposed false, and ends at a target, which is then true.
    longest : int, optional
        The most links that a chain may have.

    Returns
    -------
    Layers or None
        None if there is no such chain.
    """
    found = Layers([], [], targets)
    for fall, rise in spread(links, starts):
        found.false.append(fall)
        found.true.append(rise)
        if longest is not None and found.links > longest:
            return None
        if rise & targets:
            return found
    return None


def preference(links: Links, cells: int) -> Callable[[tuple[int, ...]], tuple[int, int, int, int, tuple[int, ...]]]:
    """Return the key that ranks chains of one length, the best first.

    Parameters
    ----------
    links : Links
        The links of the chains.
    cells : int
        How many cells the layout has.

    Returns
    -------
    callable
        From the nodes of a chain to: how many strong links need an almost locked set of two or more cells; how many
        nodes have several candidates; how many digits the nodes have; minus how many strong links are cells with two
        candidates; and the nodes themselves, so that no two chains rank the same.
    """

    def rank(nodes: tuple[int, ...]) -> tuple[int, int, int, int, tuple[int, ...]]:
        pairs = list(zip(nodes[::2], nodes[1::2], strict=True))
        almost = sum(not links.plain[a] >> b & 1 if a in links.plain else True for a, b in pairs)
        several = sum(node >= links.singles for node in nodes)
        digits = {links.members(node)[0] // cells for node in nodes}
        bivalue = sum(_bivalue(links, cells, a, b) for a, b in pairs)
        return almost, several, len(digits), -bivalue, nodes

    return rank


def _bivalue(links: Links, cells: int, a: int, b: int) -> bool:
    """Whether a strong link is a cell with two candidates."""
    return max(a, b) < links.singles and (a - b) % cells == 0 and bool(links.plain.get(a, 0) >> b & 1)


_States = dict[tuple[int, int], tuple[int, int, int, tuple[int, ...]]]
"""For the last node and the set of digits: sets needed, nodes of several, minus bivalue cells, the way to the end."""


def best(links: Links, found: Layers, cells: int) -> tuple[int, ...]:
    """Return the best of the chains that a breadth-first search found.

    Parameters
    ----------
    links : Links
        The links that were searched.
    found : Layers
        What :func:`layers` returned.
    cells : int
        How many cells the layout has.

    Returns
    -------
    tuple of int
        The nodes in order, joined by links that are strong, weak, strong and so on.  Of all shortest chains the one
        that :func:`preference` ranks first among those that do not return to their start, if there are any.

    Notes
    -----
    Exact, though there may be very many shortest chains: going back from the targets, all that matters of the rest of
    a chain is where it ends and which digits it has, and of those that agree in this only the best is kept.
    """
    several = links.singles

    def digit(node: int) -> int:
        return 1 << (node if node < several else links.sets[node - several].bit_length() - 1) // cells

    true: dict[int, _States] = {}
    for t in bits(found.true[-1] & found.targets):
        true[t] = {(t, digit(t)): (0, int(t >= several), 0, (t,))}
    false: dict[int, _States] = {}
    for depth in range(len(found.true) - 1, -1, -1):
        false = {}
        for t, states in true.items():
            for f in bits(links.strong[t] & found.false[depth]):
                almost = int(not links.plain.get(f, 0) >> t & 1)
                bivalue = int(not almost and max(f, t) < several and (f - t) % cells == 0)
                _extend(false.setdefault(f, {}), states, f, digit(f), almost, int(f >= several), bivalue)
        if depth:
            true = {}
            for f, states in false.items():
                for t in bits(links.weak[f] & found.true[depth - 1]):
                    _extend(true.setdefault(t, {}), states, t, digit(t), 0, int(t >= several), 0)
    return min(
        (first == last, almost, count, digits.bit_count(), bivalue, nodes)
        for first, states in false.items()
        for (last, digits), (almost, count, bivalue, nodes) in states.items()
    )[-1]


def _extend(into: _States, states: _States, node: int, digit: int, almost: int, several: int, bivalue: int) -> None:
    """Put a node before the ways to the end, keeping the best for each end and set of digits."""
    for (last, digits), (sets, count, cells, way) in states.items():
        key = last, digits | digit
        new = sets + almost, count + several, cells - bivalue, (node, *way)
        if key not in into or new < into[key]:
            into[key] = new


def every(links: Links, starts: int, targets: int, longest: int | None = None) -> Iterator[tuple[int, ...]]:
    """Yield chains that show "if no start is true, a target is", shortest first, in a fixed order, one by one.

    Parameters
    ----------
    links : Links
        The links that chains may use.
    starts, targets : int
        As for :func:`layers`.
    longest : int, optional
        The most links that a chain may have; by default as many as the shortest has.

    Yields
    ------
    tuple of int
        The nodes in order.  No node is supposed false twice or becomes true twice.  A chain that can be read from
        either end is yielded once.

    Notes
    -----
    For each length networkx lists the paths of a graph whose nodes are a node of the links and its place in the chain,
    cut down to what lies on a way of exactly this length; so every path that it follows leads to the end.
    """
    import networkx as nx

    found = layers(links, starts, targets, longest)
    if found is None:
        return
    for pairs in range(len(found.true), (found.links if longest is None else longest) // 2 + 2):
        graph = _unrolled(links, starts, targets, pairs)
        width = len(links.weak)
        for path in nx.all_simple_paths(graph, _SOURCE, _TARGET):
            nodes = tuple(place % width for place in path[1:-1])
            twice = len({*nodes[::2]}) < pairs or len({*nodes[1::2]}) < pairs
            if not twice and (nodes <= nodes[::-1] or not _turns(nodes, starts, targets)):
                yield nodes


def _turns(nodes: tuple[int, ...], starts: int, targets: int) -> bool:
    """Whether a chain may also be read from its other end."""
    return bool(starts >> nodes[-1] & 1 and targets >> nodes[0] & 1)


def _unrolled(links: Links, starts: int, targets: int, pairs: int) -> nx.DiGraph[int]:
    """Return the graph of all ways from starts to targets over so many strong links.

    The node in place i of a chain has the number ``i * len(links.weak)`` plus its own.
    """
    import networkx as nx

    strong, weak, active, width = links.strong, links.weak, links.active, len(links.weak)
    ahead = [starts & active]
    for place in range(1, 2 * pairs):
        reached = 0
        for node in bits(ahead[-1]):
            reached |= strong[node] if place % 2 else weak[node]
        ahead.append(reached & active)
    graph: nx.DiGraph[int] = nx.DiGraph([(_SOURCE, a) for a in bits(ahead[0])])
    wanted = ahead[-1] & targets
    graph.add_edges_from(((2 * pairs - 1) * width + a, _TARGET) for a in bits(wanted))
    for place in range(2 * pairs - 2, -1, -1):
        before = 0
        for node in bits(ahead[place]):
            after = (weak[node] if place % 2 else strong[node]) & wanted
            if after:
                before |= 1 << node
                graph.add_edges_from((place * width + node, (place + 1) * width + b) for b in bits(after))
        wanted = before
    return graph
