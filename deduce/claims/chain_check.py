"""A written chain against a position: link by link, and what it proves if every link holds."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from functools import partial

from deduce.claims.claim import WrittenChain
from deduce.claims.named import matching
from deduce.claims.verdict import Fault, FaultKind
from deduce.errors import ProofError
from deduce.kernel import check
from deduce.links import almost_locked_sets, argue_chain, build_chain
from deduce.patterns import NAMES, fault, find
from deduce.patterns.chain_fault import set_cells
from deduce.patterns.naming import fitting
from deduce.positions import bits
from deduce.proof import Chain, Link, Pattern, Proof, Role
from deduce.puzzle.grid import Grid

__all__ = ["ChainReading", "chain_reading", "fits", "link_fault", "prove_chain", "same_chain"]


@dataclass(frozen=True, slots=True)
class ChainReading:
    """How a written chain is to be read.

    Parameters
    ----------
    first, last : int
        The links, by index, that make up the chain proper: all of them, or without a weak one at each end.
    loop : bool
        Whether it closes with a weak link.
    victim : int or None
        The candidate at both ends of a chain that begins and ends with a weak link: supposed true, it would make
        itself false.
    """

    first: int
    last: int
    loop: bool = False
    victim: int | None = None


def chain_reading(written: WrittenChain) -> ChainReading | Fault:
    """Say how a chain is to be read, or what about the order of its links makes it no chain."""
    strong, nodes = written.strong, written.nodes
    count = len(strong)
    closed = nodes[0] == nodes[-1]
    amiss = [i for i, is_strong in enumerate(strong) if is_strong != (i % 2 == 0)]
    # Weak links first and last suit a chain that returns to a candidate and refutes it; since a slip in another chain
    # does not make it one, it is read so only if fewer links are then amiss.
    victim = closed and count > 2 and count % 2 == 1 and len(nodes[0]) == 1 and 2 * len(amiss) > count
    if victim:
        amiss = [i for i in range(count) if i not in amiss]
    if amiss:
        i = amiss[0]
        return Fault(FaultKind.ALTERNATION, i + 1, written.spans[i], nodes[i : i + 2])
    if victim:
        return ChainReading(1, count - 2, victim=nodes[0][0])
    if count % 2 == 0:
        if not closed or len(nodes) < 3:
            return Fault(FaultKind.ENDS, count, written.spans[-1], nodes[-2:])
        return ChainReading(0, count - 1, loop=True)
    return ChainReading(0, count - 1)


def link_fault(grid: Grid, written: WrittenChain, number: int) -> Fault | Link:
    """Say why a link (by index) does not hold in a position, or with which constraints it does."""
    layout = grid.layout
    near, far = written.nodes[number : number + 2]
    both = sum(1 << c for c in {*near, *far})
    wrong = partial(Fault, link=number + 1, span=written.spans[number], nodes=(near, far))
    held = grid.true & sum({layout.masks[layout.cell_constraint(c % layout.cells)] for c in (*near, *far)})
    if held:
        return wrong(FaultKind.PLACED, extras=tuple(bits(held)))
    for node in (near, far):
        if not any(grid.live >> c & 1 for c in node):
            return wrong(FaultKind.NOT_NOTED, extras=node, restores=tuple(c for c in node if grid.assumed >> c & 1))
    masks = layout.model.masks
    sides = layout.at_least_one if written.strong[number] else layout.at_most_one
    shared = [k for k in sides[near[0]] if not both & ~masks[k]]
    if written.strong[number]:
        joined = [(grid.live & masks[k] & ~both, k) for k in shared]
        if near == far:
            return wrong(FaultKind.NOT_JOINED)
        good = tuple(k for extras, k in joined if not extras)
        if good:
            return Link(True, good)
        through = _through_a_set(grid, near, far)
        if through is not None:
            return through
        if not joined:
            return wrong(FaultKind.NOT_JOINED)
        extras, k = min(joined, key=lambda item: (item[0].bit_count(), item[1]))
        found = tuple(bits(extras))
        return wrong(FaultKind.NOT_STRONG, constraint=k, extras=found, blockers=found)
    if not shared or set(near) & set(far):
        return wrong(FaultKind.NOT_WEAK)
    return Link(False, tuple(shared))


def _through_a_set(grid: Grid, near: tuple[int, ...], far: tuple[int, ...]) -> Link | None:
    """Return the strong link through an almost locked set of which two nodes are all places of a digit each."""
    open_ = grid.live & ~grid.true
    nodes = [tuple(c for c in node if open_ >> c & 1) for node in (near, far)]
    link = build_chain(grid.layout, grid.live, nodes, almost=almost_locked_sets(grid.layout, open_)).links[0]
    return link if link.constraints else None


def prove_chain(grid: Grid, written: WrittenChain) -> Fault | tuple[Proof, ...]:
    """Check a written chain in a position; return its proof, or the first fault in the order of the links.

    Several proofs are returned if the chain was given a name under which more than one deduction has its nodes.

    Parameters
    ----------
    grid : Grid
        The position.
    written : WrittenChain
        The chain.

    Notes
    -----
    The proof has passed the kernel.  It is named as the reason was if that name fits, else by the first name of the
    catalogue that does.
    """
    called = _as_called(grid, written)
    if called:
        return called
    form = chain_reading(written)
    order = form if isinstance(form, Fault) else None
    links = []
    for number in range(len(written.strong)):
        if order is not None and order.link == number + 1 and order.kind is FaultKind.ALTERNATION:
            return order
        link = link_fault(grid, written, number)
        if isinstance(link, Fault):
            return link
        links.append(link)
    if isinstance(form, Fault):
        return form
    nodes = tuple(tuple(c for c in node if grid.live >> c & 1) for node in written.nodes)
    inner = nodes[form.first : form.last + (1 if form.loop else 2)]
    chain = Chain(inner, tuple(links[form.first : form.last + 1]), form.loop)
    inferences = argue_chain(grid, grid.layout, chain)
    if not inferences:
        return Fault(FaultKind.NOTHING_FALLS)
    proof = Proof(grid, inferences, Pattern("chain", (), chain))
    try:
        check(grid, proof)
    except ProofError:
        return Fault(FaultKind.NOTHING_FALLS)
    wanted = written.named.names if written.named else ()
    return (Proof(grid, inferences, _pattern(grid, proof, chain, wanted)),)


def _as_called(grid: Grid, written: WrittenChain) -> tuple[Proof, ...]:
    """Return the deductions on the board that have the name, the parts and the nodes that were given.

    They know which almost locked sets their links go through, which the nodes alone do not tell.
    """
    if written.named is None or not _alternates(written.strong):
        return ()
    loop = len(written.strong) % 2 == 0
    nodes = written.nodes[:-1] if loop else written.nodes
    plain = Pattern("", (), Chain(nodes, (), loop))
    return tuple(proof for proof in matching(grid, written.named) if same_chain(proof.pattern, plain))


def _alternates(strong: tuple[bool, ...]) -> bool:
    """Whether links are strong and weak by turns, strong first."""
    return all(one == (i % 2 == 0) for i, one in enumerate(strong))


def same_chain(one: Pattern, other: Pattern) -> bool:
    """Whether two patterns are the same chain, read in either direction and, for loops, from any strong link."""
    if one.chain is None or other.chain is None or one.chain.loop != other.chain.loop:
        return False
    return _turned(one.chain) == _turned(other.chain)


def fits(grid: Grid, proof: Proof, names: Iterable[str]) -> bool:
    """Whether one of these names is that of a chain, or another one that it has as well."""
    return not {proof.pattern.name, *fitting(grid, proof)}.isdisjoint(names)


def _pattern(grid: Grid, proof: Proof, chain: Chain, wanted: tuple[str, ...]) -> Pattern:
    """Name a chain: as it was called if that fits, else by the first name of the catalogue that does."""
    names = fitting(grid, proof)
    for name in (*(name for name in wanted if name in names), *(name for name in NAMES if name in names)):
        for pattern in _readings(grid, chain, name):
            if fault(Proof(grid, (), pattern)) is None:
                return pattern
        # A name whose roles the nodes do not tell: its finder knows them.
        for known in find(grid, [name]):
            if same_chain(known.pattern, proof.pattern):
                return Pattern(name, known.pattern.roles, chain)
    return proof.pattern


def _readings(grid: Grid, chain: Chain, name: str) -> Iterator[Pattern]:
    """Yield a chain under a name, without roles and with those that can be read off its nodes."""
    ends = (chain.nodes[0][0] // grid.layout.cells + 1,)
    yield Pattern(name, (), chain)
    yield Pattern(name, (Role("digit", "digits", ends),), chain)
    if set_cells(chain):
        yield Pattern(name, (Role("set cells", "cells", set_cells(chain)),), chain)


def _turned(chain: Chain) -> tuple[tuple[int, ...], ...]:
    """Return the nodes in the direction that sorts first, a loop begun at any of its strong links."""
    nodes = chain.nodes
    if not chain.loop:
        return min(nodes, nodes[::-1])
    turns = [nodes[i:] + nodes[:i] for i in range(0, len(nodes), 2)]
    return min(turns + [turn[::-1] for turn in turns])
