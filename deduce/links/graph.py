"""The candidate graph for everyone: networkx, with the constraint behind each edge."""

from __future__ import annotations

from typing import TYPE_CHECKING

from deduce.kernel import bits
from deduce.puzzle.grid import Grid

if TYPE_CHECKING:
    import networkx as nx

__all__ = ["link_graph"]


def link_graph(grid: Grid) -> nx.MultiGraph[int]:
    """Return the graph of candidates with strong and weak links.

    Parameters
    ----------
    grid : Grid
        The position.

    Returns
    -------
    networkx.MultiGraph
        Nodes are the numbers of the live candidates of open cells, each with attributes ``candidate`` (a `Candidate`)
        and ``name`` (its token).  Edges have the key and attribute ``kind`` ``"strong"`` (at least one of the two is
        true) or ``"weak"`` (at most one is), and ``constraints`` and ``origins``: the numbers and the names of the
        constraints that justify them.

    Notes
    -----
    Two candidates alone in a house are joined twice: a strong link may serve as a weak one, never the reverse.

    Examples
    --------
    >>> from deduce.puzzle.layout import Layout
    >>> graph = link_graph(Grid.empty(Layout.standard(4)))
    >>> graph.number_of_nodes(), graph.number_of_edges()
    (64, 320)
    """
    import networkx as nx

    layout = grid.layout
    open_ = grid.live & ~grid.true
    graph: nx.MultiGraph[int] = nx.MultiGraph()
    for number in bits(open_):
        graph.add_node(number, candidate=layout.candidate(number), name=layout.model.names[number])
    links: dict[tuple[str, int, int], list[int]] = {}
    for number, mask in enumerate(layout.masks):
        here = bits(open_ & mask)
        for i, a in enumerate(here):
            for b in here[i + 1 :]:
                links.setdefault(("weak", a, b), []).append(number)
        if len(here) == 2 and not grid.true & mask:
            links.setdefault(("strong", here[0], here[1]), []).append(number)
    for (kind, a, b), numbers in sorted(links.items()):
        origins = tuple(layout.model.constraints[number].name for number in numbers)
        graph.add_edge(a, b, key=kind, kind=kind, constraints=tuple(numbers), origins=origins)
    return graph
