"""The closure of all chains: against general graph libraries, by what the nodes may be, and as the order grows.

    python benchmarks/closure.py [FILE ...]

Each position is one where singles, locked candidates and subsets are used up.  networkx and rustworkx get the
implication graph of the same links (one node for each literal, one arc for each implication); rustworkx is left out
if it is not installed.  For groups and almost locked sets the time is that of finding them, linking them and closing
the links: cold, with nothing remembered of any house, and as in a walk, with the last position remembered.

Positions of order 9, 16 and 25 are made by placing some digits of a filled grid and ruling out some wrong candidates
at random, the same share in each order.
"""

import statistics
from random import Random

import networkx as nx
from tables import SIMPLE, asked_for, milliseconds, table

from deduce.kernel import Position
from deduce.links import Links, all_links, closure, forget, set_links
from deduce.positions import bits
from deduce.puzzle.grid import Grid
from deduce.puzzle.layout import Layout
from deduce.walks import Outcome, walk

try:
    import rustworkx as rx
except ImportError:
    rx = None

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


KINDS = {
    "single candidates": {},
    "with groups": {"groups": True},
    "with almost locked sets": {"almost_locked_sets": True},
    "with groups and almost locked sets": {"groups": True, "almost_locked_sets": True},
}


def reach(grid: Grid, kind: dict[str, bool], *, cold: bool = False) -> None:
    """Find the links of a position and close them."""
    if cold:
        forget()
    closure(set_links(grid, **kind) if kind else all_links(grid))


def by_nodes(title: str, positions: list[Grid]) -> None:
    """Print what each kind of node costs and brings."""
    rows = []
    for name, kind in KINDS.items():
        cold = [milliseconds(lambda grid=grid, kind=kind: reach(grid, kind, cold=True), repeat=3) for grid in positions]
        warm = [milliseconds(lambda grid=grid, kind=kind: reach(grid, kind), repeat=3) for grid in positions]
        links = [set_links(grid, **kind) for grid in positions]
        nodes = statistics.median(len(bits(found.live)) for found in links)
        falls = sum(closure(found).false.bit_count() for found in links) / len(positions)
        rows.append((name, nodes, falls, statistics.median(cold), statistics.median(warm), max(cold)))
    table(title, ("nodes", "how many", "eliminates", "median ms, cold", "in a walk", "largest ms"), rows)


def random_positions(order: int, count: int) -> list[Grid]:
    """Return positions of one order with a third of the digits placed and two thirds of the other notes ruled out."""
    layout, box = Layout.standard(order), round(order**0.5)
    found = []
    for seed in range(count):
        rng = Random(f"{order} {seed}")
        digits = rng.sample(range(1, order + 1), order)
        filled = [
            layout.number(digits[(box * (row % box) + row // box + column) % order], row * order + column)
            for row in range(order)
            for column in range(order)
        ]
        grid = Grid.from_numbers(layout, [number for number in filled if rng.random() < 0.33])
        right = sum(1 << number for number in filled)
        gone = sum(1 << number for number in bits(grid.live & ~right) if rng.random() < 0.66)
        found.append(grid.moved(Position(grid.live & ~gone, grid.true)))
    return found


def main() -> None:
    """Print medians over the positions, and ratios."""
    positions = []
    for _, grids in asked_for(__doc__):
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
    by_nodes(f"Closure by nodes, over the same {len(positions)} positions", positions)
    for order in (9, 16, 25):
        by_nodes(f"Closure by nodes, random positions of order {order}", random_positions(order, 5))


if __name__ == "__main__":
    main()
