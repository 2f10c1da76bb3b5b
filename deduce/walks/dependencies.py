"""What each step of a walk rests on: the steps that ruled out or placed what its argument uses."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING

from deduce.kernel import bits
from deduce.positions import Needs
from deduce.walks.walk import Step, Walk

if TYPE_CHECKING:
    from networkx import DiGraph

__all__ = ["dependency_graph", "steps_behind", "supplies"]


def dependency_graph(walk: Walk | Sequence[Step]) -> DiGraph[int]:
    """Return which steps of a walk rest on which.

    Parameters
    ----------
    walk : Walk or sequence of Step
        The steps.

    Returns
    -------
    networkx.DiGraph
        Nodes are the indices of the steps (from 0) with the attribute `proof`.  An edge from i to j says that step j
        uses what step i settled; its attribute `candidates` is the tuple of those candidates, by number.

    Notes
    -----
    Each candidate is ruled out or placed by one step of a walk, so the graph says what each proof rests on in the walk
    as it was.  Were a step left out, a later one might settle the same candidate; :func:`deduce.walks.prune` looks
    into that.

    Examples
    --------
    >>> from deduce.puzzle.grid import Grid
    >>> from deduce.walks import walk
    >>> graph = dependency_graph(walk(Grid.parse("12.. 3... .... ...1")))
    >>> [(i, j, len(candidates)) for i, j, candidates in graph.edges(data="candidates")]
    [(1, 2, 1), (3, 4, 1)]
    """
    import networkx as nx

    steps = walk.steps if isinstance(walk, Walk) else tuple(walk)
    graph: DiGraph[int] = nx.DiGraph()
    for j, (step, supplied) in enumerate(zip(steps, supplies(steps), strict=True)):
        graph.add_node(j, proof=step.proof)
        for i, common in supplied:
            graph.add_edge(i, j, candidates=tuple(bits(common.gone | common.true)))
    return graph


def supplies(steps: Sequence[Step]) -> Iterator[list[tuple[int, Needs]]]:
    """Yield for each step the indices of the steps that it uses, in order, each with the facts that it has from it."""
    settled = [_settled_by(step) for step in steps]
    for j, step in enumerate(steps):
        yield list(_suppliers(step.proof.needs, settled[:j]))


def steps_behind(steps: Sequence[Step], facts: Needs, *, last: bool = False) -> tuple[int, ...]:
    """Return the indices of the steps on which some facts rest, directly or by way of others, in ascending order.

    Parameters
    ----------
    steps : sequence of Step
        The steps of a walk.
    facts : Needs
        What is wanted of them; what they did not settle is passed over.
    last : bool
        Whether what the last step concludes is wanted as well, such as a contradiction.
    """
    settled = [_settled_by(step) for step in steps]
    needed = {i for i, _ in _suppliers(facts, settled)} | ({len(steps) - 1} if last and steps else set())
    # A step rests on earlier ones only, so one pass from the end meets each before those that it rests on.
    for j in reversed(range(len(steps))):
        if j in needed:
            needed.update(i for i, _ in _suppliers(steps[j].proof.needs, settled[:j]))
    return tuple(sorted(needed))


def _settled_by(step: Step) -> Needs:
    """Return the facts that a step adds."""
    return Needs(step.before.live & ~step.after.live, step.after.true & ~step.before.true)


def _suppliers(facts: Needs, settled: Sequence[Needs]) -> Iterator[tuple[int, Needs]]:
    """Yield the number of each step that settled some of these facts, and which."""
    for i, fact in enumerate(settled):
        common = Needs(facts.gone & fact.gone, facts.true & fact.true)
        if common.gone or common.true:
            yield i, common
