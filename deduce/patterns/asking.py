"""Asking for the chain that settles one candidate, with an answer also where there is none."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from enum import StrEnum
from itertools import chain

from deduce.links.argue import build_chain
from deduce.links.closure import closure
from deduce.links.linkset import Links, all_links, set_links
from deduce.links.search import best, every, layers
from deduce.patterns.catalogue import name_chain
from deduce.proof import Candidate, Proof
from deduce.puzzle.grid import Grid

__all__ = ["ChainSearch", "Found", "chain_for", "chains_for"]


class Found(StrEnum):
    """What a search for a chain came to."""

    FOUND = "found"
    NONE_EXISTS = "none exists"
    BUDGET_SPENT = "budget spent"


@dataclass(frozen=True, slots=True)
class ChainSearch:
    """What a search for a chain came to.

    Parameters
    ----------
    outcome : Found
        `FOUND`; `NONE_EXISTS` if no chain over these nodes settles the candidate, however long; `BUDGET_SPENT` if there
        is one, but none of at most as many links as were allowed.
    proof : Proof or None
        The proof by the chain, if one was found.
    """

    outcome: Found
    proof: Proof | None = None


def chain_for(
    grid: Grid,
    candidate: Candidate | str,
    *,
    groups: bool = False,
    almost_locked_sets: bool = False,
    longest: int | None = None,
) -> ChainSearch:
    """Return the shortest chain that eliminates or places a candidate, or the certainty that there is none.

    Parameters
    ----------
    grid : Grid
        The position.
    candidate : Candidate or str
        An open candidate, or its token such as ``"5r4c7"``.
    groups, almost_locked_sets : bool
        Which nodes a chain may have besides single candidates, as for `deduce.link_graph`.
    longest : int, optional
        The most links that the chain may have.

    Returns
    -------
    ChainSearch
        Of the chains with the fewest links the one with the fewest links through almost locked sets of two or more
        cells; of those, with the fewest nodes of several candidates; then with the fewest digits among its nodes; then
        with the most cells of two candidates; then the first in order of its nodes.  Where every shortest chain returns
        to its start, its proof places a candidate that conflicts with the one asked for.

    Raises
    ------
    ValueError
        If the candidate is placed or gone.

    Notes
    -----
    Complete: in a position with a solution there is a chain if and only if the links, as clauses of two literals,
    entail that the candidate is false or that it is true; see `deduce.links.Closure`.  In a position without one, a
    chain whose sum nothing can meet is passed over.

    Examples
    --------
    >>> grid = Grid.parse("9...8..428.......5...76.....4......1....2...9.2.1..5..4......9.21..4.7.67....32..")
    >>> chain_for(grid, "1r1c3").outcome.value
    'none exists'
    >>> print(chain_for(grid, "3r4c3", groups=True).proof)
    grouped chain: -3r4c3 -3r5c3 -3r6c3
    """
    links, starts, targets = _task(grid, candidate, groups, almost_locked_sets)
    if not starts:
        return ChainSearch(Found.NONE_EXISTS)
    way = layers(links, starts, targets, longest)
    if way is None:
        return ChainSearch(Found.BUDGET_SPENT)
    first = best(links, way, grid.layout.cells)
    proof = next(_proofs(grid, links, chain([first], every(links, starts, targets, longest))), None)
    return ChainSearch(Found.FOUND if proof else Found.NONE_EXISTS, proof)


def chains_for(
    grid: Grid,
    candidate: Candidate | str,
    *,
    groups: bool = False,
    almost_locked_sets: bool = False,
    longest: int | None = None,
) -> Iterator[Proof]:
    """Yield the chains that eliminate or place a candidate, one by one, those with fewer links first.

    Parameters
    ----------
    grid, candidate, groups, almost_locked_sets
        As for :func:`chain_for`.
    longest : int, optional
        The most links that a chain may have; by default only the shortest chains are listed.

    Yields
    ------
    Proof
        Nothing if there is no such chain.  No node of a chain is supposed false twice or becomes true twice; a chain
        that can be read from either end is yielded once.

    Raises
    ------
    ValueError
        If the candidate is placed or gone.
    """
    links, starts, targets = _task(grid, candidate, groups, almost_locked_sets)
    return _proofs(grid, links, every(links, starts, targets, longest))


def _task(grid: Grid, candidate: Candidate | str, groups: bool, almost_locked_sets: bool) -> tuple[Links, int, int]:
    """Return the links, and where chains that settle a candidate may start and end; nowhere if there are none."""
    number = grid.number(candidate)
    if not (grid.live & ~grid.true) >> number & 1:
        state = "placed" if grid.true >> number & 1 else "gone"
        raise ValueError(f"{candidate} is {state}; ask for a candidate of an open cell")
    links = all_links(grid)
    if groups or almost_locked_sets:
        links = set_links(grid, groups=groups, almost_locked_sets=almost_locked_sets)
    reach = closure(links)
    if reach.false >> number & 1:
        sees = links.weak[number] & links.live
        return links, sees, sees
    ends = 1 << number if reach.true >> number & 1 else 0
    return links, ends, ends


def _proofs(grid: Grid, links: Links, chains: Iterable[tuple[int, ...]]) -> Iterator[Proof]:
    """Yield the proofs by chains, except where nothing can meet the sum of one, as the position has no solution."""
    for nodes in chains:
        members = [links.members(node) for node in min(nodes, nodes[::-1])]
        proof = name_chain(grid, build_chain(grid.layout, grid.live, members, almost=links.almost))
        if proof.inferences:
            yield proof
