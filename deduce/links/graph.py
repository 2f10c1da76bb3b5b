"""The candidate graph for everyone: networkx, with the constraint behind each edge."""

from __future__ import annotations

from typing import TYPE_CHECKING

from deduce.links.argue import build_chain, holding
from deduce.links.linkset import all_links, set_links
from deduce.positions import bits
from deduce.proof import Link
from deduce.puzzle.grid import Grid

if TYPE_CHECKING:
    import networkx as nx

__all__ = ["link_graph"]


def link_graph(grid: Grid, *, groups: bool = False, almost_locked_sets: bool = False) -> nx.MultiGraph[int]:
    """Return the graph of candidates with strong and weak links.

    Parameters
    ----------
    grid : Grid
        The position.
    groups : bool
        Whether two or more candidates of one digit in the crossing of two houses may be a node.  Strong links then also
        join two nodes that share out the places of a digit in a house.
    almost_locked_sets : bool
        Whether strong links also join the places of two digits of an almost locked set: two to four cells of a house
        that hold one digit more than there are cells.  (One cell with two digits is a strong link anyway.)

    Returns
    -------
    networkx.MultiGraph
        Nodes are the numbers of the live candidates of open cells, then those of the nodes of several candidates, which
        are true when one of their candidates is; they are numbered from the number of the layout's candidates on, in
        the order of their bitsets.  Each has the attributes ``candidates`` (a tuple of `Candidate`), ``candidate`` (the
        only one, or None) and ``name``.  Edges have the key and attribute ``kind`` ``"strong"`` (at least one of the
        two is true) or ``"weak"`` (at most one is), and ``constraints`` and ``origins``: the numbers and the names of
        the constraints that justify them, one of which is enough.  A strong edge through an almost locked set has
        ``covers`` besides (empty on every other edge): then all of its constraints, the cells of the smallest such set,
        are needed, and these say that the digits on neither side have room there once each.

    Notes
    -----
    Two nodes that share out a constraint are joined twice: a strong link may serve as a weak one, never the reverse.
    A weak link joins any two nodes without a common candidate that one constraint holds.

    Examples
    --------
    >>> from deduce.puzzle.layout import Layout
    >>> graph = link_graph(Grid.empty(Layout.standard(4)))
    >>> graph.number_of_nodes(), graph.number_of_edges()
    (64, 320)
    """
    import networkx as nx

    layout = grid.layout
    links = all_links(grid)
    if groups or almost_locked_sets:
        links = set_links(grid, groups=groups, almost_locked_sets=almost_locked_sets, idle=True)
    graph: nx.MultiGraph[int] = nx.MultiGraph()
    for number in bits(links.live):
        members = links.members(number)
        candidates = tuple(map(layout.candidate, members))
        name = "/".join(layout.model.names[c] for c in members)
        graph.add_node(number, candidates=candidates, candidate=candidates[0] if len(members) == 1 else None, name=name)
    edges: list[tuple[int, int, str, Link]] = []
    for a in bits(links.live):
        for b in bits(links.strong.get(a, 0) >> a << a):
            pair = links.members(a), links.members(b)
            edges.append((a, b, "strong", build_chain(layout, grid.live, pair, almost=links.almost).links[0]))
        for b in bits((links.weak[a] & links.live) >> a << a):
            together = (*links.members(a), *links.members(b))
            edges.append((a, b, "weak", Link(False, holding(layout, together))))
    for a, b, kind, link in sorted(edges, key=lambda edge: (edge[2], edge[0], edge[1])):
        origins = tuple(layout.model.constraints[number].name for number in link.constraints)
        graph.add_edge(a, b, key=kind, kind=kind, constraints=link.constraints, origins=origins, covers=link.covers)
    return graph
