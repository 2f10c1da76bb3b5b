"""The shortest chain between given ends: bitsets cut the graph down, networkx lists the paths."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from itertools import islice

from deduce.kernel import bits
from deduce.links.linkset import Links

__all__ = ["PATHS", "Layers", "layers", "shortest"]

PATHS = 1000
"""How many of the equally short chains are compared before the best of them is taken."""

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


def layers(links: Links, starts: int, targets: int) -> Layers | None:
    """Search breadth-first for the shortest chains that show "if no start is true, a target is".

    Parameters
    ----------
    links : Links
        The links that chains may use.
    starts, targets : int
        Bitsets: a chain begins at a start, supposed false, and ends at a target, which is then true.

    Returns
    -------
    Layers or None
        None if there is no such chain.
    """
    strong, weak = links.strong, links.weak
    active = 0
    for a in strong:
        active |= 1 << a
    fall = starts & active
    all_false, all_true = fall, 0
    false_layers: list[int] = []
    true_layers: list[int] = []
    while fall:
        false_layers.append(fall)
        rise = 0
        for f in bits(fall):
            rise |= strong[f]
        rise &= ~all_true
        all_true |= rise
        true_layers.append(rise)
        if rise & targets:
            return Layers(false_layers, true_layers, targets)
        fall = 0
        for t in bits(rise):
            fall |= weak[t]
        fall &= active & ~all_false
        all_false |= fall
    return None


def shortest(links: Links, found: Layers, prefer: Callable[[tuple[int, ...]], object]) -> tuple[int, ...]:
    """Return the best of the chains that a breadth-first search found.

    Parameters
    ----------
    links : Links
        The links that were searched.
    found : Layers
        What :func:`layers` returned.
    prefer : callable
        Key that ranks chains, smallest first; ties go to the smallest candidate numbers.  Up to `PATHS` chains are
        compared.

    Returns
    -------
    tuple of int
        The candidates in order, joined by links that are strong, weak, strong and so on.

    Notes
    -----
    Going back from the targets keeps the candidates that lie on a shortest path; networkx then lists the paths of
    this small graph.
    """
    import networkx as nx

    graph: nx.DiGraph[int] = nx.DiGraph()
    wanted = bits(found.true[-1] & found.targets)
    graph.add_edges_from((2 * t, _TARGET) for t in wanted)
    for depth in range(len(found.true) - 1, -1, -1):
        before = 0
        for t in wanted:
            partners = links.strong[t] & found.false[depth]
            before |= partners
            graph.add_edges_from((2 * f + 1, 2 * t) for f in bits(partners))
        earlier = 0
        for f in bits(before):
            if depth == 0:
                graph.add_edge(_SOURCE, 2 * f + 1)
            else:
                causes = links.weak[f] & found.true[depth - 1]
                earlier |= causes
                graph.add_edges_from((2 * t, 2 * f + 1) for t in bits(causes))
        wanted = bits(earlier)
    paths = nx.all_shortest_paths(graph, _SOURCE, _TARGET)
    chains = (tuple(literal >> 1 for literal in path[1:-1]) for path in islice(paths, PATHS))
    return min(chains, key=lambda chain: (prefer(chain), chain))
