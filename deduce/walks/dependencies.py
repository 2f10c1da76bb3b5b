"""What each step of a walk rests on: the steps that ruled out or placed what its argument uses."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING, NamedTuple

from deduce.kernel import Counting, Inference, Model, Position, Supposition, Swap, bits, coefficients, place
from deduce.positions import after, clearing
from deduce.proof import Proof, settled_in_swap
from deduce.walks.walk import Step, Walk

if TYPE_CHECKING:
    from networkx import DiGraph

__all__ = ["Needs", "dependency_graph", "needs", "steps_behind"]


class Needs(NamedTuple):
    """Facts that an argument uses, as bitsets over the candidates.

    Parameters
    ----------
    gone : int
        Candidates that must be ruled out.
    true : int
        Candidates that must be known to be true.
    """

    gone: int
    true: int


def needs(proof: Proof) -> Needs:
    """Return the facts that a proof rests on, those that it concludes itself left out.

    Notes
    -----
    In any position in which these facts hold and what the proof concludes is still open, the kernel accepts it: a sum
    gets no smaller than it was where the proof was found.  The converse fails now and then, since a sum may have slack
    to spare; who wants to know whether a fact can be done without asks the kernel.

    Facts are candidates that weigh negatively and are ruled out, and candidates that weigh positively and are true;
    around a swap, what its fillings rest on and all that is true (next to sums with signs of both kinds, all that was
    settled); and, for a placement that clears by a rule other than "at most one of these", what that rule had used up.
    """
    grid = proof.grid
    gone, true = _used(grid.model, Position(grid.live, grid.true), proof.inferences)
    return Needs(gone & ~grid.live, true & grid.true)


def _used(model: Model, position: Position, inferences: Sequence[Inference]) -> tuple[int, int]:
    """Return the candidates used as ruled out and those used as true, whoever settled them."""
    gone = true = 0
    for inference in inferences:
        argument = inference.argument
        if isinstance(argument, Counting):
            weights, _ = coefficients(model, argument)
            for candidate, weight in weights.items():
                if weight < 0 and not position.live >> candidate & 1:
                    gone |= 1 << candidate
                elif weight > 0 and position.true >> candidate & 1:
                    true |= 1 << candidate
            for swap, _ in argument.swaps:
                more = _used_in_swap(model, position, swap)
                gone, true = gone | more[0], true | more[1]
        elif isinstance(argument, Supposition):
            supposed = place(model, position, argument.candidate)
            more = _used(model, supposed, argument.inferences)
            cleared = clearing(model, position, argument.candidate)
            gone, true = gone | more[0] | cleared[0], true | more[1] | cleared[1]
        else:
            more = _used_in_swap(model, position, argument)
            gone, true = gone | more[0], true | more[1]
        for candidate in inference.true:
            cleared = clearing(model, position, candidate)
            gone, true = gone | cleared[0], true | cleared[1]
        position = after(model, position, inference)
    return gone, true


def _used_in_swap(model: Model, position: Position, swap: Swap) -> tuple[int, int]:
    """Return what a swap uses as ruled out, and all that is true around its pattern: more than it can rest on."""
    around = 0
    numbers = {number for candidate in swap.pattern for number in model.touching[candidate]}
    for number in numbers:
        around |= model.masks[number]
    # A candidate that counts negatively eases a rule's upper side, which `settled_in_swap` does not look at.
    if any(a < 0 for number in numbers for _, a in model.constraints[number].terms):
        return around & ~position.live, around & position.true
    return settled_in_swap(model, position, swap), around & position.true


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
    settled = [_settled_by(step) for step in steps]
    for j, step in enumerate(steps):
        graph.add_node(j, proof=step.proof)
        for i, common in _suppliers(needs(step.proof), settled[:j]):
            graph.add_edge(i, j, candidates=tuple(bits(common)))
    return graph


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
            needed.update(i for i, _ in _suppliers(needs(steps[j].proof), settled[:j]))
    return tuple(sorted(needed))


def _settled_by(step: Step) -> Needs:
    """Return the facts that a step adds."""
    return Needs(step.before.live & ~step.after.live, step.after.true & ~step.before.true)


def _suppliers(facts: Needs, settled: Sequence[Needs]) -> Iterator[tuple[int, int]]:
    """Yield the number of each step that settled some of these facts, and the bitset of their candidates."""
    for i, fact in enumerate(settled):
        common = facts.gone & fact.gone | facts.true & fact.true
        if common:
            yield i, common
