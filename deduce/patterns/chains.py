"""Chains of single candidates: X-chain, XY-chain, alternating inference chain, continuous loop."""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterable, Iterator, Sequence
from functools import wraps
from itertools import combinations, groupby, islice
from typing import TypeVar

from deduce.links import (
    AlmostLocked,
    Closure,
    Layers,
    Links,
    argue_chain,
    best,
    build_chain,
    closure,
    every,
    holding,
    preference,
    spread,
)
from deduce.patterns.board import Board, Scope, by_digit, everywhere
from deduce.patterns.chain_fault import needs_sets, single_chain_fault
from deduce.patterns.finder import BY_CHAIN, Family
from deduce.positions import apart, bits
from deduce.proof import Chain, Pattern, Proof, Role
from deduce.puzzle.grid import Grid

__all__ = [
    "CALLED",
    "CHAIN_NAMES",
    "FINDERS",
    "LINKED_ENDS",
    "LOOP",
    "ONE_DIGIT",
    "RETURNS",
    "XY_CHAIN",
    "X_CHAIN",
    "chain_proof",
    "found_chains",
    "found_loops",
    "named_by_ends",
    "telling",
]

X_CHAIN = "X-chain"
XY_CHAIN = "XY-chain"
ONE_DIGIT = "chain with both ends on one digit"
LINKED_ENDS = "chain with linked ends on different digits"
RETURNS = "chain that returns to its start"
LOOP = "continuous loop"
WAYS = 200
"""How many of the shortest loops over a link are looked at for one whose nodes have no candidate in common."""

CALLED = ("chain", "aic", "alternating inference chain")
"""What people call a chain of any kind."""

CHAIN_NAMES = (ONE_DIGIT, LINKED_ENDS, RETURNS)


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


_Search = Callable[[Board, Scope, Collection[str]], Iterator[Proof]]


def telling(search: _Search) -> _Search:
    """Leave out the chains that a search finds whose sum nothing can meet, as the position has no solution."""

    @wraps(search)
    def told(board: Board, scope: Scope, names: Collection[str]) -> Iterator[Proof]:
        return (proof for proof in search(board, scope, names) if proof.inferences)

    return told


_Goal = TypeVar("_Goal")
_Around = tuple[tuple[int, ...], tuple[AlmostLocked, ...]]


def _nearest(
    links: Links, jobs: Iterable[tuple[int, int, _Goal]], later: Iterable[tuple[int, int, _Goal]] = ()
) -> Iterator[tuple[Layers, _Goal]]:
    """Yield the searches from starts to targets that succeed, nearest first, each with its label.

    All searches go forward together, link by link, so that whoever wants only the nearest does not wait for the others;
    those from the same starts are one search.  Those that are to start `later` are two links behind.
    """
    spreading: dict[int, Iterator[tuple[int, int]]] = {}
    reached: dict[int, list[tuple[int, int]]] = {}
    running = [(0, *job) for job in jobs]
    waiting = [(0, *job) for job in later]
    while running or waiting:
        for depth, starts, targets, label in running:
            if starts not in reached:
                spreading[starts], reached[starts] = spread(links, starts), []
            known = reached[starts]
            if depth == len(known):
                known.extend(islice(spreading[starts], 1))
            if depth < len(known):
                if known[depth][1] & targets:
                    false, true = zip(*known[: depth + 1], strict=True)
                    yield Layers([*false], [*true], targets), label
                else:
                    waiting.append((depth + 1, starts, targets, label))
        running, waiting = waiting, []


def found_chains(board: Board, links: Links, reach: Closure) -> Iterator[tuple[int, ...]]:
    """Yield the shortest chain for each candidate that chains settle, shortest first, no chain twice.

    Of equally short chains the one that :func:`deduce.links.preference` ranks first is taken.  A candidate that only
    falls because a chain returns to its start has no chain of its own: that chain places its start, and clearing does
    the rest.
    """
    cells = board.layout.cells
    rank = preference(links, cells)
    jobs = [(sees, sees, False) for z in bits(reach.false) for sees in [links.weak[z] & links.live]]
    jobs += [(1 << a, 1 << a, True) for a in bits(reach.true)]
    for _, goals in groupby(_nearest(links, jobs), key=lambda goal: goal[0].links):
        found = set()
        for way, placed in goals:
            nodes = best(links, way, cells)
            if placed or nodes[0] != nodes[-1] or nodes[0] >= links.singles:
                found.add(min(nodes, nodes[::-1]))
        yield from sorted(found, key=rank)


@telling
def _x_chains(board: Board, scope: Scope, _: Collection[str]) -> Iterator[Proof]:
    """Yield chains on one digit: strong links are houses with two places left, weak links join places that conflict."""
    links = board.digit_links(scope.item)
    if links.strong:
        roles = (Role("digit", "digits", (scope.item,)),)
        for nodes in found_chains(board, links, closure(links)):
            yield chain_proof(board.grid, X_CHAIN, nodes, roles)


@telling
def _xy_chains(board: Board, _: Scope, __: Collection[str]) -> Iterator[Proof]:
    """Yield chains whose strong links all lie inside cells with two candidates, and whose weak links keep the digit."""
    links = board.cell_links
    for nodes in found_chains(board, links, closure(links)):
        digit = nodes[0] // board.layout.cells + 1
        yield chain_proof(board.grid, XY_CHAIN, nodes, (Role("digit", "digits", (digit,)),))


@telling
def _all_chains(board: Board, _: Scope, names: Collection[str]) -> Iterator[Proof]:
    """Yield chains over every link between single candidates, named by their ends.

    Both ends on one digit: what sees both loses it.  Linked ends on different digits: whatever conflicts with both
    falls.  Returning to its start: the start is true.
    """
    cells = board.layout.cells
    for nodes in found_chains(board, board.links, board.reach):
        name = named_by_ends(nodes[0] // cells, nodes[-1] // cells, returns=nodes[0] == nodes[-1])
        if name in names:
            yield chain_proof(board.grid, name, nodes)


def named_by_ends(first: int, last: int, *, returns: bool) -> str:
    """Name a chain by the digits of its ends and whether they are the same node."""
    if returns:
        return RETURNS
    return ONE_DIGIT if first == last else LINKED_ENDS


def _loops(board: Board, _: Scope, __: Collection[str]) -> Iterator[Proof]:
    """Yield continuous loops that eliminate something, shortest first, one for each set of eliminations.

    A loop is a chain whose ends conflict.  Each of its weak links is then exclusive: one side is true, so the rest of
    every constraint that holds both sides falls.
    """
    seen = set()
    for nodes, _set in found_loops(board, board.links, board.reach):
        proof = chain_proof(board.grid, LOOP, nodes, loop=True)
        if proof.inferences and proof.conclusion() not in seen:
            seen.add(proof.conclusion())
            yield proof


def found_loops(
    board: Board, links: Links, reach: Closure
) -> Iterator[tuple[tuple[int, ...], tuple[AlmostLocked, ...]]]:
    """Yield loops, shortest first, each with the almost locked set that it was sought for, if it was.

    For each weak link beside which something may fall the best loop over it, and for each strong link through an almost
    locked set, another digit of which may fall outside, the best loop over that.  A weak link lies on a loop if the one
    side being false leads to the other being true; a strong link, if the one being true leads to the other being false.
    No two nodes of a loop have a candidate in common: where those of the best one do, another of the shortest is taken,
    if it is among the first `WAYS`.
    """
    jobs: set[tuple[int, int, _Around]] = set()
    for mask in (*board.layout.masks, *board.layout.wide_masks):
        doomed = reach.false & mask
        if not doomed:
            continue
        here = bits(links.active & mask)
        here += [links.singles + i for i, members in enumerate(links.sets) if not members & ~mask]
        for i, a in enumerate(here):
            for b in here[i + 1 :]:
                aside = doomed & ~(links.mask(a) | links.mask(b))
                if aside and links.weak[a] >> b & 1 and links.strong[b] & (reach.falls[a] | 1 << a):
                    jobs.add((1 << a, 1 << b, ((), ())))
    later: list[tuple[int, int, _Around]] = []
    for one, sides in zip(links.almost, links.sides, strict=True):
        for a, b in combinations(sides, 2):
            if not links.plain.get(a, 0) >> b & 1 and _locks(board, one, (links.mask(a), links.mask(b)), reach.false):
                later.append((links.weak[b] & links.live, links.weak[a] & links.live, ((a, b), (one,))))
    rank = preference(links, board.layout.cells)
    ways = _nearest(links, sorted(jobs), later)
    for _size, group in groupby(ways, key=lambda way: way[0].links + len(way[1][0])):
        found = set()
        for way, (pair, through) in group:
            chosen = best(links, way, board.layout.cells)
            if not _apart(links, (*pair, *chosen)):
                others = islice(every(links, way.false[0], way.targets), WAYS)
                chosen = next((nodes for nodes in others if _apart(links, (*pair, *nodes))), ())
            if chosen:
                found.add((_turned((*pair, *chosen)), through))
        yield from sorted(found, key=lambda loop: (rank(loop[0]), loop[1]))


def _apart(links: Links, nodes: tuple[int, ...]) -> bool:
    """Whether no two nodes have a candidate in common."""
    return apart(links.mask(node) for node in nodes)


def _locks(board: Board, one: AlmostLocked, sides: tuple[int, int], false: int) -> bool:
    """Whether a candidate that falls conflicts with all places of a digit of a set other than those of a link."""
    layout = board.layout
    for places in one.places:
        if places not in sides:
            for number in holding(layout, bits(places)):
                if false & layout.model.masks[number] & ~places:
                    return True
    return False


def _turned(nodes: tuple[int, ...]) -> tuple[int, ...]:
    """Return the same loop begun at its smallest candidate that keeps the first link strong, in a fixed direction."""
    size = len(nodes)
    turns = [nodes[i:] + nodes[:i] for i in range(0, size, 2)]
    turns += [turn[::-1] for turn in turns]
    return min(turns)


def _linked(check: Callable[[Grid, Pattern], str | None]) -> Callable[[Grid, Pattern], str | None]:
    """Return a test of the links first, then of what else the name promises."""

    def fault(grid: Grid, pattern: Pattern) -> str | None:
        return single_chain_fault(grid, pattern) or check(grid, pattern)

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
    returns = bool(chain and chain.nodes[0] == chain.nodes[-1])
    actual = LOOP if chain and chain.loop else named_by_ends(digits[0], digits[-1], returns=returns)
    return None if actual == pattern.name else f"it is a {actual}"


def _of_chain(grid: Grid, chain: Chain) -> Iterable[Pattern]:
    if needs_sets(chain) or any(len(node) > 1 for node in chain.nodes):
        return
    if chain.loop:
        yield Pattern(LOOP, (), chain)
        return
    cells = grid.layout.cells
    digits = [node[0] // cells + 1 for node in chain.nodes]
    first = (Role("digit", "digits", (digits[0],)),)
    yield Pattern(named_by_ends(digits[0], digits[-1], returns=chain.nodes[0] == chain.nodes[-1]), (), chain)
    if len(set(digits)) == 1:
        yield Pattern(X_CHAIN, first, chain)
    if all(link.constraints[0] < cells for link in chain.links[::2]):
        yield Pattern(XY_CHAIN, first, chain)


FINDERS = {
    names[0]: Family(
        names,
        scopes,
        search,
        _linked(fault),
        roles=roles,
        reads=BY_CHAIN,
        of_chain=_of_chain,
        aliases=aliases,
    )
    for names, scopes, search, fault, roles, aliases in (
        ((X_CHAIN,), by_digit, _x_chains, _x_fault, {"digit": ""}, CALLED),
        ((XY_CHAIN,), everywhere, _xy_chains, _xy_fault, {"digit": ""}, CALLED),
        ((LOOP,), everywhere, _loops, _named_fault, {}, ("loop",)),
        (CHAIN_NAMES, everywhere, _all_chains, _named_fault, {}, CALLED),
    )
}
