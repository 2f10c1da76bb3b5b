"""A written chain against a position: link by link, and what it proves if every link holds."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from functools import partial

from deduce.claims.claim import WrittenChain
from deduce.claims.named import matching
from deduce.claims.verdict import Fault, FaultKind
from deduce.errors import ProofError
from deduce.kernel import check
from deduce.links import almost_locked_sets, argue_chain, build_chain
from deduce.patterns import NAMES
from deduce.patterns.naming import fitting, readings
from deduce.positions import bits
from deduce.proof import Chain, Link, Pattern, Proof
from deduce.puzzle.grid import Grid

__all__ = ["fits", "link_fault", "prove_chain", "same_chain"]


def _reading(written: WrittenChain) -> tuple[int, int, bool] | Fault:
    """Say which links, by index, are the first and last of the chain proper, and whether it closes with a weak link.

    Where its links can be read in no order, say what about it makes it no chain.  A chain that begins and ends with a
    weak link at one candidate refutes it, which supposed true would make itself false; its outer links are left out.
    """
    strong, nodes = written.strong, written.nodes
    count = len(strong)
    closed = nodes[0] == nodes[-1]
    amiss = [i for i, is_strong in enumerate(strong) if is_strong != (i % 2 == 0)]
    # Since a slip in another chain does not make it one that refutes, it is read so only if fewer links are then amiss.
    refutes = closed and count > 2 and count % 2 == 1 and len(nodes[0]) == 1 and 2 * len(amiss) > count
    if refutes:
        amiss = [i for i in range(count) if i not in amiss]
    if amiss:
        i = amiss[0]
        return Fault(FaultKind.ALTERNATION, i + 1, written.spans[i], nodes[i : i + 2])
    loop = count % 2 == 0
    if loop and (not closed or len(nodes) < 3):
        return Fault(FaultKind.ENDS, count, written.spans[-1], nodes[-2:])
    return (1, count - 2, False) if refutes else (0, count - 1, loop)


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
    form = _reading(written)
    order = form if isinstance(form, Fault) and form.kind is FaultKind.ALTERNATION else None
    links = []
    for number in range(len(written.strong)):
        if order is not None and order.link == number + 1:
            return order
        link = link_fault(grid, written, number)
        if isinstance(link, Fault):
            return link
        links.append(link)
    if isinstance(form, Fault):
        return form
    nodes = tuple(tuple(c for c in node if grid.live >> c & 1) for node in written.nodes)
    first, last, loop = form
    chain = Chain(nodes[first : last + (1 if loop else 2)], tuple(links[first : last + 1]), loop)
    inferences = argue_chain(grid, grid.layout, chain)
    proof = Proof(grid, inferences, Pattern("chain", (), chain))
    try:
        check(grid, proof)
    except ProofError:  # nothing is concluded, or nothing that has not been before
        return Fault(FaultKind.NOTHING_FALLS)
    known = readings(grid, chain)
    wanted = written.named.names if written.named else ()
    pattern = next((known[name] for name in (*wanted, *NAMES) if name in known), proof.pattern)
    return (Proof(grid, inferences, replace(pattern, chain=chain)),)


def _as_called(grid: Grid, written: WrittenChain) -> tuple[Proof, ...]:
    """Return the deductions on the board that have the name, the parts and the nodes that were given.

    They know which almost locked sets their links go through, which the nodes alone do not tell.
    """
    if written.named is None or any(strong != (i % 2 == 0) for i, strong in enumerate(written.strong)):
        return ()
    loop = len(written.strong) % 2 == 0
    plain = Pattern("", (), Chain(written.nodes[:-1] if loop else written.nodes, (), loop))
    return tuple(proof for proof in matching(grid, written.named) if same_chain(proof.pattern, plain))


def same_chain(one: Pattern, other: Pattern) -> bool:
    """Whether two patterns are the same chain, read in either direction and, for loops, from any strong link."""
    if one.chain is None or other.chain is None or one.chain.loop != other.chain.loop:
        return False
    return _turned(one.chain) == _turned(other.chain)


def fits(grid: Grid, proof: Proof, names: Iterable[str]) -> bool:
    """Whether one of these names is that of a chain, or another one that it has as well."""
    return not {proof.pattern.name, *fitting(grid, proof)}.isdisjoint(names)


def _turned(chain: Chain) -> tuple[tuple[int, ...], ...]:
    """Return the nodes in the direction that sorts first, a loop begun at any of its strong links."""
    nodes = chain.nodes
    if not chain.loop:
        return min(nodes, nodes[::-1])
    turns = [nodes[i:] + nodes[:i] for i in range(0, len(nodes), 2)]
    return min(turns + [turn[::-1] for turn in turns])
