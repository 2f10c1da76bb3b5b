"""Chains and loops of single candidates, of groups, and through almost locked sets.

Roles
-----
X-chain, XY-chain, grouped X-chain
    ``digit`` (digits): that of both ends.
chain through almost locked sets, loop through almost locked sets
    ``set cells`` (cells): those of all the sets together.
all others
    None: the chain tells all.
"""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterable, Iterator, Sequence
from functools import partial

from deduce.links.argue import argue_chain, build_chain
from deduce.links.linkset import Links, all_links, cell_links, set_links
from deduce.links.sets import AlmostLocked
from deduce.patterns.board import SETS, Board, Scope, by_digit, everywhere
from deduce.patterns.chain_fault import chain_family, node_digits, set_cells
from deduce.patterns.chain_search import found_chains, found_loops
from deduce.proof import Chain, Pattern, Proof, Role
from deduce.puzzle.grid import Grid

__all__ = ["CHAIN_NAMES", "FINDERS", "LOOP", "SET_CHAIN", "SET_LOOP", "XY_CHAIN", "X_CHAIN", "chain_proof"]

X_CHAIN = "X-chain"
XY_CHAIN = "XY-chain"
ONE_DIGIT = "chain with both ends on one digit"
LINKED_ENDS = "chain with linked ends on different digits"
RETURNS = "chain that returns to its start"
LOOP = "continuous loop"
GROUPED_X_CHAIN = "grouped X-chain"
GROUPED_CHAIN = "grouped chain"
GROUPED_LOOP = "grouped loop"
SET_CHAIN = "chain through almost locked sets"
SET_LOOP = "loop through almost locked sets"

CHAIN_NAMES = (ONE_DIGIT, LINKED_ENDS, RETURNS)

_CALLED = ("chain", "aic", "alternating inference chain")
"""What people call a chain of any kind."""


def chain_proof(
    grid: Grid,
    name: str,
    nodes: Sequence[int | tuple[int, ...]],
    roles: tuple[Role, ...] = (),
    *,
    loop: bool = False,
    almost: Iterable[AlmostLocked] = (),
) -> Proof:
    """Return the proof of a chain through these nodes, candidates or tuples of them, with everything it concludes."""
    members = [(node,) if isinstance(node, int) else node for node in nodes]
    chain = build_chain(grid.layout, grid.live, members, loop=loop, almost=almost)
    return Proof(grid, argue_chain(grid, grid.layout, chain), Pattern(name, roles, chain))


_Build = Callable[..., Links]
_GROUPS = partial(set_links, groups=True)


def _chains(build: _Build, needs: str, board: Board, scope: Scope, names: Collection[str]) -> Iterator[Proof]:
    """Yield the shortest chain over some links for each candidate that they settle, under the names that are wanted.

    Both ends on one digit: what sees both loses it.  Linked ends on different digits: whatever conflicts with both
    falls.  Returning to a single candidate: the start is true.  The strong links of an X-chain are houses with two
    places left, those of an XY-chain cells with two candidates; a grouped chain has a group among its nodes, a chain
    through sets an almost locked set of two or more cells behind a link.  A candidate that a chain with less settles
    over no more links is left to that.  A chain whose sum nothing can meet, as the position has no solution, is left
    out.
    """
    links, reach = board.linked(build, scope.item)
    if needs and not getattr(links, needs):
        return
    for nodes in found_chains(board, links, reach):
        if needs != "sets" or max(nodes) >= links.singles:
            for proof in _told(board.grid, links, nodes, names):
                if proof.inferences:
                    yield proof


def _loops(build: _Build, needs: str, board: Board, scope: Scope, names: Collection[str]) -> Iterator[Proof]:
    """Yield continuous loops that eliminate something, shortest first, one for each set of eliminations.

    A loop is a chain whose ends conflict.  Each of its weak links is then exclusive: one side is true, so the rest of
    every constraint that holds both sides falls.  One of the two digits by which a loop passes through an almost locked
    set has no place there, so each other digit of the set has: candidates outside that conflict with all its places in
    the set fall.
    """
    links, reach = board.linked(build, scope.item)
    seen = set()
    for nodes, through in found_loops(board, links, reach) if not needs or getattr(links, needs) else ():
        for proof in _told(board.grid, links, nodes, names, loop=True, first=through):
            if proof.inferences and proof.conclusion() not in seen:
                seen.add(proof.conclusion())
                yield proof


def _told(
    grid: Grid,
    links: Links,
    nodes: Iterable[int],
    names: Collection[str],
    *,
    loop: bool = False,
    first: tuple[AlmostLocked, ...] = (),
) -> Iterator[Proof]:
    """Yield the proof of a chain under the one of the names that it has, if it has any of them."""
    members = [links.members(node) for node in nodes]
    chain = build_chain(grid.layout, grid.live, members, loop=loop, almost=(*first, *links.almost))
    for pattern in _of_chain(grid, chain):
        if pattern.name in names:
            yield Proof(grid, argue_chain(grid, grid.layout, chain), pattern)


def _of_chain(grid: Grid, chain: Chain) -> Iterator[Pattern]:
    cells, digits = grid.layout.cells, node_digits(grid, chain)
    first = (Role("digit", "digits", (digits[0],)),)
    if through := set_cells(chain):
        yield Pattern(SET_LOOP if chain.loop else SET_CHAIN, (Role("set cells", "cells", through),), chain)
    elif any(len(node) > 1 for node in chain.nodes):
        yield Pattern(GROUPED_LOOP if chain.loop else GROUPED_CHAIN, (), chain)
        if not chain.loop and len({*digits}) == 1:
            yield Pattern(GROUPED_X_CHAIN, first, chain)
    elif chain.loop:
        yield Pattern(LOOP, (), chain)
    else:
        returns = chain.nodes[0] == chain.nodes[-1]
        same = digits[0] == digits[-1]
        yield Pattern(RETURNS if returns else ONE_DIGIT if same else LINKED_ENDS, (), chain)
        if len({*digits}) == 1:
            yield Pattern(X_CHAIN, first, chain)
        if same and all(link.strong == (min(link.constraints) < cells) for link in chain.links):
            yield Pattern(XY_CHAIN, first, chain)


FINDERS = tuple(
    chain_family(names, scopes, partial(search, build, needs), _of_chain, {role: ""} if role else {}, aliases=aliases)
    for names, scopes, search, build, needs, role, aliases in (
        ((X_CHAIN,), by_digit, _chains, all_links, "", "digit", _CALLED),
        ((XY_CHAIN,), everywhere, _chains, cell_links, "", "digit", _CALLED),
        ((LOOP,), everywhere, _loops, all_links, "", "", ("loop",)),
        (CHAIN_NAMES, everywhere, _chains, all_links, "", "", _CALLED),
        ((GROUPED_X_CHAIN,), by_digit, _chains, _GROUPS, "sets", "digit", _CALLED),
        ((GROUPED_CHAIN,), everywhere, _chains, _GROUPS, "sets", "", _CALLED),
        ((GROUPED_LOOP,), everywhere, _loops, _GROUPS, "sets", "", ()),
        ((SET_CHAIN,), everywhere, _chains, SETS, "almost", "set cells", _CALLED),
        ((SET_LOOP,), everywhere, _loops, SETS, "almost", "set cells", ()),
    )
)
