"""The closure of all single-candidate chains against general graph libraries, on the same links in one run.

    python benchmarks/closure.py [FILE ...]

Each position is one where singles, locked candidates and subsets are used up.  networkx and rustworkx get the
implication graph of the same links (one node for each literal, one arc for each implication); rustworkx is left out
if it is not installed.
"""

import statistics
import sys

import networkx as nx
from tables import milliseconds, read, table

from deduce.kernel import bits
from deduce.links import Links, all_links, closure
from deduce.walks import Outcome, walk

try:
    import rustworkx as rx
except ImportError:
    rx = None

SIMPLE = [
    "hidden single",
    "naked single",
    "locked candidates, pointing",
    "locked candidates, claiming",
    "naked pair",
    "hidden pair",
    "naked triple",
    "hidden triple",
    "naked quad",
    "hidden quad",
]
POSITIONS = 40


def implications(links: Links) -> list[tuple[int, int]]:
    """Return the arcs: literal 2c says that candidate c is true, 2c+1 that it is false."""
    arcs = []
    for c in bits(links.live):
        arcs += [(2 * c, 2 * d + 1) for d in bits(links.weak[c] & links.live)]
        arcs += [(2 * c + 1, 2 * d) for d in bits(links.strong.get(c, 0))]
    return arcs


def breadth_first(graph: "nx.DiGraph[int]") -> None:
    """Search from every node."""
    for node in graph:
        nx.descendants(graph, node)


def rust_distances(arcs: list[tuple[int, int]]) -> None:
    """Build the graph and its distance matrix."""
    names = {node: i for i, node in enumerate(sorted({node for arc in arcs for node in arc}))}
    graph = rx.PyDiGraph()
    graph.add_nodes_from(range(len(names)))
    graph.add_edges_from_no_data([(names[a], names[b]) for a, b in arcs])
    rx.distance_matrix(graph)


def verdicts(graph: "nx.DiGraph[int]") -> set[int]:
    """Return the candidates that the implication graph refutes, by networkx alone."""
    return {node >> 1 for node in graph if not node & 1 and node + 1 in nx.descendants(graph, node)}


def main() -> None:
    """Print medians over the positions, and ratios."""
    positions = []
    for _, grids in read(sys.argv[1:]):
        for grid in grids:
            walked = walk(grid, SIMPLE)
            if walked.outcome is Outcome.STUCK:
                positions.append(walked.grid)
    positions = positions[:POSITIONS]
    times: dict[str, list[float]] = {}
    sizes = []
    for grid in positions:
        links = all_links(grid)
        arcs = implications(links)
        graph = nx.DiGraph(arcs)
        sizes.append((graph.number_of_nodes(), graph.number_of_edges()))
        if set(bits(closure(links).false)) != verdicts(graph):
            raise SystemExit(f"the closure and networkx disagree on\n{grid.pencil()}")
        work = {
            "ours, links included": lambda grid=grid: closure(all_links(grid)),
            "ours, closure alone": lambda links=links: closure(links),
            "networkx, breadth-first from every node": lambda graph=graph: breadth_first(graph),
            "networkx.transitive_closure": lambda graph=graph: nx.transitive_closure(graph),
        }
        if rx is not None:
            work["rustworkx distance matrix, graph building included"] = lambda arcs=arcs: rust_distances(arcs)
        for name, run in work.items():
            times.setdefault(name, []).append(milliseconds(run, repeat=3))
    nodes, edges = (statistics.median(column) for column in zip(*sizes, strict=True))
    ours = statistics.median(times["ours, links included"])
    rows = [(name, statistics.median(t), statistics.median(t) / ours) for name, t in times.items()]
    title = f"Closure over {len(positions)} positions (median {nodes:.0f} literals, {edges:.0f} implications)"
    table(title, ("what", "median ms", "ratio to ours"), rows)


if __name__ == "__main__":
    main()
