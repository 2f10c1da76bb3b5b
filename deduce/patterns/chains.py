"""Chains of single candidates: X-chain, XY-chain, alternating inference chain, continuous loop."""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterator, Sequence
from itertools import groupby

from deduce.kernel import bits
from deduce.links import Layers, Links, Reach, argue_chain, build_chain, closure, layers, shortest
from deduce.patterns.board import Board, Scope, by_digit, everywhere
from deduce.patterns.finder import Finder
from deduce.proof import Pattern, Proof, Role
from deduce.puzzle.grid import Grid

__all__ = [
    "CHAIN_NAMES",
    "FINDERS",
    "LINKED_ENDS",
    "LOOP",
    "ONE_DIGIT",
    "RETURNS",
    "XY_CHAIN",
    "X_CHAIN",
    "chain_fault",
    "chain_proof",
]

X_CHAIN = "X-chain"
XY_CHAIN = "XY-chain"
ONE_DIGIT = "chain with both ends on one digit"
LINKED_ENDS = "chain with linked ends on different digits"
RETURNS = "chain that returns to its start"
LOOP = "continuous loop"
CHAIN_NAMES = (ONE_DIGIT, LINKED_ENDS, RETURNS)


def chain_proof(
    grid: Grid, name: str, nodes: Sequence[int], roles: tuple[Role, ...] = (), *, loop: bool = False
) -> Proof:
    """Return the proof of a chain through these candidates, with everything that it concludes."""
    chain = build_chain(grid.layout, grid.live, nodes, loop=loop)
    return Proof(grid, argue_chain(grid, grid.layout, chain), Pattern(name, roles, chain))


def chain_fault(grid: Grid, pattern: Pattern) -> str | None:
    """Say which link of a chain does not hold in a position, or None."""
    chain, layout = pattern.chain, grid.layout
    if chain is None:
        return "there is no chain"
    nodes = [*chain.nodes, chain.nodes[0]] if chain.loop else [*chain.nodes]
    if len(chain.links) != len(nodes) - 1 or len(chain.links) < 1 or len(chain.links) % 2 == chain.loop:
        return "the links do not fit the nodes"
    for i, (link, here, there) in enumerate(zip(chain.links, nodes, nodes[1:], strict=False)):
        names = " and ".join("".join(layout.model.names[c] for c in node) for node in (here, there))
        both = sum(1 << c for c in {*here, *there})
        if link.strong != (i % 2 == 0):
            return f"the link between {names} breaks the alternation"
        if not link.constraints or both & ~grid.live:
            return f"nothing joins {names}"
        for number in link.constraints:
            if both & ~layout.masks[number]:
                return f"{names} are not both in {layout.model.constraints[number].name}"
            if link.strong and grid.live & layout.masks[number] & ~both:
                return f"{names} are not alone in {layout.model.constraints[number].name}"
    return None


def _goals(links: Links, reach: Reach) -> list[tuple[Layers, int, bool]]:
    """Search for each candidate that chains settle, nearest first: the layers, the candidate, whether it is placed."""
    found = []
    for z in bits(reach.false):
        sees = links.weak[z] & links.live
        way = layers(links, sees, sees)
        if way:
            found.append((way, z, False))
    for a in bits(reach.true):
        way = layers(links, 1 << a, 1 << a)
        if way:
            found.append((way, a, True))
    return sorted(found, key=lambda goal: (goal[0].links, goal[1]))


def _chains(board: Board, links: Links, reach: Reach) -> Iterator[tuple[int, ...]]:
    """Yield the shortest chain for each candidate that chains settle, shortest first, no chain twice.

    Of equally short chains the one over the fewest digits is taken.  A candidate that only falls because a chain
    returns to its start has no chain of its own: that chain places its start, and clearing does the rest.
    """
    for _, goals in groupby(_goals(links, reach), key=lambda goal: goal[0].links):
        found = set()
        for way, _, placed in goals:
            nodes = shortest(links, way, lambda nodes: (nodes[0] == nodes[-1], _variety(board, nodes)))
            if placed or nodes[0] != nodes[-1]:
                found.add(min(nodes, nodes[::-1]))
        yield from sorted(found, key=lambda nodes: (_variety(board, nodes), nodes))


def _variety(board: Board, nodes: tuple[int, ...]) -> int:
    """Return the number of different digits in a chain."""
    return len({node // board.layout.cells for node in nodes})


def _x_chains(board: Board, scope: Scope, _: Collection[str]) -> Iterator[Proof]:
    """Yield chains on one digit: strong links are houses with two places left, weak links join places that conflict."""
    links = board.digit_links(scope.item)
    if links.strong:
        roles = (Role("digit", "digits", (scope.item,)),)
        for nodes in _chains(board, links, closure(links)):
            yield chain_proof(board.grid, X_CHAIN, nodes, roles)


def _xy_chains(board: Board, _: Scope, __: Collection[str]) -> Iterator[Proof]:
    """Yield chains whose strong links all lie inside cells with two candidates, and whose weak links keep the digit."""
    links = board.cell_links
    for nodes in _chains(board, links, closure(links)):
        digit = nodes[0] // board.layout.cells + 1
        yield chain_proof(board.grid, XY_CHAIN, nodes, (Role("digit", "digits", (digit,)),))


def _name(board: Board, nodes: tuple[int, ...]) -> str:
    """Name a chain by its ends."""
    if nodes[0] == nodes[-1]:
        return RETURNS
    first, last = nodes[0] // board.layout.cells, nodes[-1] // board.layout.cells
    return ONE_DIGIT if first == last else LINKED_ENDS


def _all_chains(board: Board, _: Scope, names: Collection[str]) -> Iterator[Proof]:
    """Yield chains over every link between single candidates, named by their ends.

    Both ends on one digit: what sees both loses it.  Linked ends on different digits: whatever conflicts with both
    falls.  Returning to its start: the start is true.
    """
    for nodes in _chains(board, board.links, board.reach):
        name = _name(board, nodes)
        if name in names:
            yield chain_proof(board.grid, name, nodes)


def _loops(board: Board, _: Scope, __: Collection[str]) -> Iterator[Proof]:
    """Yield continuous loops that eliminate something, shortest first, one for each set of eliminations.

    A loop is a chain whose ends conflict.  Each of its weak links is then exclusive: one side is true, so the rest of
    every constraint that holds both sides falls.
    """
    links, reach = board.links, board.reach
    ends = set()
    for mask in board.layout.masks:
        doomed = reach.false & mask
        if not doomed:
            continue
        here = [a for a in bits(links.live & mask) if a in links.strong]
        for i, a in enumerate(here):
            for b in here[i + 1 :]:
                if doomed & ~(1 << a | 1 << b) and links.strong[b] & (reach.falls[a] | 1 << a):
                    ends.add((a, b))
    ways = [layers(links, 1 << a, 1 << b) for a, b in sorted(ends)]
    seen = set()
    reached = sorted(filter(None, ways), key=lambda way: way.links)
    for _size, group in groupby(reached, key=lambda way: way.links):
        found = {_turned(shortest(links, way, lambda nodes: _variety(board, nodes))) for way in group}
        for nodes in sorted(found, key=lambda nodes: (_variety(board, nodes), nodes)):
            proof = chain_proof(board.grid, LOOP, nodes, loop=True)
            if proof.inferences and proof.conclusion() not in seen:
                seen.add(proof.conclusion())
                yield proof


def _turned(nodes: tuple[int, ...]) -> tuple[int, ...]:
    """Return the same loop begun at its smallest candidate that keeps the first link strong, in a fixed direction."""
    size = len(nodes)
    turns = [nodes[i:] + nodes[:i] for i in range(0, size, 2)]
    turns += [turn[::-1] for turn in turns]
    return min(turns)


def _ends_fault(check: Callable[[Grid, Pattern], str | None]) -> Callable[[Grid, Pattern], str | None]:
    """Return a test of the links first, then of what else the name promises."""

    def fault(grid: Grid, pattern: Pattern) -> str | None:
        return chain_fault(grid, pattern) or check(grid, pattern)

    return fault


def _digits(grid: Grid, pattern: Pattern) -> list[int]:
    """Return the digit of each node of a chain, each of whose nodes has one digit."""
    chain = pattern.chain
    return [node[0] // grid.layout.cells + 1 for node in chain.nodes] if chain else []


def _x_fault(grid: Grid, pattern: Pattern) -> str | None:
    return None if {*_digits(grid, pattern)} == {*pattern.role("digit")} else "the chain leaves its digit"


def _xy_fault(grid: Grid, pattern: Pattern) -> str | None:
    digits, chain = _digits(grid, pattern), pattern.chain
    if (digits[0],) != pattern.role("digit") or digits[-1] != digits[0]:
        return "the ends are not on the digit"
    for link in chain.links if chain else ():
        if link.strong != any(number < grid.layout.cells for number in link.constraints):
            return "a strong link leaves its cell, or a weak one stays in it"
    return None


def _named_fault(grid: Grid, pattern: Pattern) -> str | None:
    chain, digits = pattern.chain, _digits(grid, pattern)
    loop, returns = bool(chain and chain.loop), bool(chain and chain.nodes[0] == chain.nodes[-1])
    one_digit = digits[0] == digits[-1]
    actual = LOOP if loop else RETURNS if returns else ONE_DIGIT if one_digit else LINKED_ENDS
    return None if actual == pattern.name else f"it is a {actual}"


FINDERS = {
    X_CHAIN: Finder((X_CHAIN,), by_digit, _x_chains, _ends_fault(_x_fault)),
    XY_CHAIN: Finder((XY_CHAIN,), everywhere, _xy_chains, _ends_fault(_xy_fault)),
    LOOP: Finder((LOOP,), everywhere, _loops, _ends_fault(_named_fault)),
    ONE_DIGIT: Finder(CHAIN_NAMES, everywhere, _all_chains, _ends_fault(_named_fault)),
}
