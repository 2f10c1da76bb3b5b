"""Chains and loops with groups and with almost locked sets.

Roles
-----
grouped X-chain
    ``digit`` (digits).
grouped chain, grouped loop
    None: the chain tells all.
chain through almost locked sets, loop through almost locked sets
    ``set cells`` (cells): those of all the sets together.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator

from deduce.links import closure
from deduce.patterns.board import Board, Scope, by_digit, everywhere
from deduce.patterns.chain_fault import chain_fault, needs_sets, set_cells
from deduce.patterns.chains import CALLED, chain_proof, found_chains, found_loops, telling
from deduce.patterns.finder import BY_CHAIN, Family
from deduce.proof import Chain, Pattern, Proof, Role
from deduce.puzzle.grid import Grid

__all__ = ["FINDERS", "GROUPED_CHAIN", "GROUPED_LOOP", "GROUPED_X_CHAIN", "SET_CHAIN", "SET_LOOP", "set_chain_name"]

GROUPED_X_CHAIN = "grouped X-chain"
GROUPED_CHAIN = "grouped chain"
GROUPED_LOOP = "grouped loop"
SET_CHAIN = "chain through almost locked sets"
SET_LOOP = "loop through almost locked sets"


@telling
def _grouped_x_chains(board: Board, scope: Scope, _: Collection[str]) -> Iterator[Proof]:
    """Yield chains on one digit with a group among their nodes.

    Strong links are houses whose places for the digit two nodes share out, weak links join nodes in one house.  A
    candidate that a chain without groups settles over no more links is left to the X-chain.
    """
    links = board.group_digit_links(scope.item)
    if not links.sets:
        return
    roles = (Role("digit", "digits", (scope.item,)),)
    for nodes in found_chains(board, links, closure(links)):
        if max(nodes) >= links.singles:
            yield chain_proof(board.grid, GROUPED_X_CHAIN, [links.members(node) for node in nodes], roles)


@telling
def _grouped_chains(board: Board, _: Scope, __: Collection[str]) -> Iterator[Proof]:
    """Yield chains over all links between single candidates and groups, with a group among their nodes.

    What conflicts with both ends falls; a chain that returns to a single candidate places it.  A candidate that a chain
    without groups settles over no more links is left to that.
    """
    links = board.group_links
    if not links.sets:
        return
    for nodes in found_chains(board, links, board.group_reach):
        if max(nodes) >= links.singles:
            yield chain_proof(board.grid, GROUPED_CHAIN, [links.members(node) for node in nodes])


@telling
def _set_chains(board: Board, _: Scope, __: Collection[str]) -> Iterator[Proof]:
    """Yield chains over all links, at least one of them through an almost locked set of two or more cells.

    What conflicts with both ends falls; a chain that returns to a single candidate places it.  A candidate that a chain
    without such sets settles over no more links is left to that.
    """
    links = board.set_links
    if not links.almost:
        return
    for nodes in found_chains(board, links, board.set_reach):
        members = [links.members(node) for node in nodes]
        proof = chain_proof(board.grid, SET_CHAIN, members, almost=links.almost)
        if proof.pattern.chain and needs_sets(proof.pattern.chain):
            yield _with_cells(proof, proof.pattern.chain)


def _with_cells(proof: Proof, chain: Chain) -> Proof:
    """Give a chain through almost locked sets its role."""
    roles = (Role("set cells", "cells", set_cells(chain)),)
    return Proof(proof.grid, proof.inferences, Pattern(proof.pattern.name, roles, chain))


def _grouped_loops(board: Board, _: Scope, __: Collection[str]) -> Iterator[Proof]:
    """Yield continuous loops with a group among their nodes that eliminate something, one for each set of eliminations.

    Every weak link is exclusive: one side is true, so the rest of every constraint that holds both sides falls.
    """
    links, seen = board.group_links, set()
    for nodes, _set in found_loops(board, links, board.group_reach) if links.sets else ():
        proof = chain_proof(board.grid, GROUPED_LOOP, [links.members(node) for node in nodes], loop=True)
        if max(nodes) >= links.singles and proof.inferences and proof.conclusion() not in seen:
            seen.add(proof.conclusion())
            yield proof


def _set_loops(board: Board, _: Scope, __: Collection[str]) -> Iterator[Proof]:
    """Yield continuous loops through an almost locked set of two or more cells, one for each set of eliminations.

    Every weak link is exclusive: one side is true, so the rest of every constraint that holds both sides falls.  One of
    the two digits by which the loop passes through a set has no place there, so each other digit of the set has:
    candidates outside that conflict with all its places in the set fall.
    """
    links, seen = board.set_links, set()
    for nodes, through in found_loops(board, links, board.set_reach) if links.almost else ():
        members = [links.members(node) for node in nodes]
        proof = chain_proof(board.grid, SET_LOOP, members, loop=True, almost=(*through, *links.almost))
        chain = proof.pattern.chain
        if chain and needs_sets(chain) and proof.inferences and proof.conclusion() not in seen:
            seen.add(proof.conclusion())
            yield _with_cells(proof, chain)


def set_chain_name(grid: Grid, chain: Chain) -> str | None:
    """Return the broadest name of a chain with sets, or None if it has neither a group nor an almost locked set."""
    if needs_sets(chain):
        return SET_LOOP if chain.loop else SET_CHAIN
    if all(len(node) == 1 for node in chain.nodes):
        return None
    if chain.loop:
        return GROUPED_LOOP
    digits = {c // grid.layout.cells for node in chain.nodes for c in node}
    return GROUPED_X_CHAIN if len(digits) == 1 else GROUPED_CHAIN


def _fault(grid: Grid, pattern: Pattern) -> str | None:
    fault, chain = chain_fault(grid, pattern), pattern.chain
    if fault or chain is None:
        return fault
    name = set_chain_name(grid, chain)
    if name != pattern.name and (name, pattern.name) != (GROUPED_X_CHAIN, GROUPED_CHAIN):
        return f"it is a {name or 'chain of single candidates'}"
    digits = {c // grid.layout.cells + 1 for node in chain.nodes for c in node}
    if pattern.name == GROUPED_X_CHAIN and {*pattern.role("digit")} != digits:
        return "the chain leaves its digit"
    if name in (SET_CHAIN, SET_LOOP) and pattern.role("set cells") != set_cells(chain):
        return "the cells are not those of its almost locked sets"
    return None


def _of_chain(grid: Grid, chain: Chain) -> Iterable[Pattern]:
    name = set_chain_name(grid, chain)
    if name is None:
        return
    roles = (Role("set cells", "cells", set_cells(chain)),) if set_cells(chain) else ()
    if name == GROUPED_X_CHAIN:
        roles = (Role("digit", "digits", (chain.nodes[0][0] // grid.layout.cells + 1,)),)
        yield Pattern(GROUPED_CHAIN, (), chain)
    yield Pattern(name, roles, chain)


FINDERS = {
    name: Family((name,), scopes, search, _fault, roles=roles, reads=BY_CHAIN, of_chain=_of_chain, aliases=aliases)
    for name, scopes, search, roles, aliases in (
        (GROUPED_X_CHAIN, by_digit, _grouped_x_chains, {"digit": ""}, CALLED),
        (GROUPED_CHAIN, everywhere, _grouped_chains, {}, CALLED),
        (GROUPED_LOOP, everywhere, _grouped_loops, {}, ()),
        (SET_CHAIN, everywhere, _set_chains, {"set cells": ""}, CALLED),
        (SET_LOOP, everywhere, _set_loops, {"set cells": ""}, ()),
    )
}
