"""Whether the links of a chain hold in a position, each by its definition."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence

from deduce.links.sets import almost_locked, houses_holding, shape_of
from deduce.patterns.board import Scope
from deduce.patterns.finder import BY_CHAIN, NOT_THERE, Family, Search
from deduce.patterns.why_not import WhyNot
from deduce.positions import bitset
from deduce.proof import Chain, Link, Pattern
from deduce.puzzle.grid import Grid
from deduce.puzzle.layout import Layout

__all__ = ["both_ways", "chain_family", "chain_fault", "houses_of_link", "node_digits", "set_cells"]


def chain_family(
    names: tuple[str, ...],
    scopes: Callable[[Layout], tuple[Scope, ...]],
    search: Search,
    of_chain: Callable[[Grid, Chain], Iterable[Pattern]],
    roles: Mapping[str, str],
    *,
    why_not: WhyNot | str = NOT_THERE,
    aliases: tuple[str, ...] = (),
) -> Family:
    """Return a family of patterns that are chains.

    Parameters
    ----------
    names, scopes, search, roles, why_not, aliases
        As for :class:`deduce.patterns.finder.Family`.
    of_chain : callable
        From a grid and a chain whose links hold to every pattern of the family that the chain is: the definition.
    """

    def fault(grid: Grid, pattern: Pattern) -> str | None:
        wrong = chain_fault(grid, pattern.chain)
        if wrong or pattern.chain is None:
            return wrong
        found = [*of_chain(grid, pattern.chain)]
        alike = [one for one in found if one.name == pattern.name]
        if not alike:
            return f"the chain is {'a ' + found[0].name if found else 'something else'}"
        told = [(one.roles, one.chain) for one in alike]
        return None if (pattern.roles, pattern.chain) in told else "the roles are not those of the chain"

    return Family(
        names, scopes, search, fault, roles=roles, reads=BY_CHAIN, of_chain=of_chain, why_not=why_not, aliases=aliases
    )


def chain_fault(grid: Grid, chain: Chain | None) -> str | None:
    """Say which link of a chain does not hold in a position, or None."""
    layout = grid.layout
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
        if not link.constraints or not here or not there or both & ~(grid.live & ~grid.true):
            return f"nothing joins {names}"
        if {*here} & {*there}:
            return f"{names} have a candidate in common"
        if link.covers:
            fault = _almost_fault(grid, link, here, there)
            if fault:
                return f"{names} are not joined by an almost locked set: {fault}"
            continue
        if link.strong and not all(len(node) == 1 or _is_group(layout, node) for node in (here, there)):
            return f"{names} are not single candidates or groups in the crossing of two houses"
        for number in link.constraints:
            if number not in (layout.at_least_one if link.strong else layout.at_most_one)[here[0]]:
                return f"{names} are not both in {layout.model.constraints[number].name}"
            if both & ~layout.model.masks[number]:
                return f"{names} are not both in {layout.model.constraints[number].name}"
            if link.strong and grid.live & layout.model.masks[number] & ~both:
                return f"{names} are not alone in {layout.model.constraints[number].name}"
    return None


def _is_group(layout: Layout, node: Sequence[int]) -> bool:
    """Whether a node has two or more candidates of one digit in the crossing of two houses."""
    digits = {c // layout.cells for c in node}
    if len(node) < 2 or len(digits) > 1:
        return False
    return len(houses_holding(shape_of(layout), sum(1 << c % layout.cells for c in node))) > 1


def _almost_fault(grid: Grid, link: Link, here: tuple[int, ...], there: tuple[int, ...]) -> str | None:
    """Say why a strong link is not one through an almost locked set that has its two nodes as places of two digits."""
    layout, cells = grid.layout, link.constraints
    if not link.strong or len(set(cells)) != len(cells) or any(cell >= layout.cells for cell in cells):
        return "a set is made of cells"
    one = almost_locked(layout, grid.live & ~grid.true, cells)
    if one is None:
        return "its cells do not share a house or do not hold one digit more than there are cells"
    if bitset(here) == bitset(there) or not {bitset(here), bitset(there)} <= {*one.places}:
        return "a node is not all places of a digit in it"
    rest = [places for places in one.places if places not in (bitset(here), bitset(there))]
    if len(link.covers) != len(rest):
        return "its other digits are not all covered once"
    for number in link.covers:
        covered = [places for places in rest if not places & ~layout.masks[number]]
        if len(covered) != 1:
            return f"{layout.model.constraints[number].name} does not hold a digit of it"
        rest.remove(covered[0])
    return None


def node_digits(grid: Grid, chain: Chain) -> list[int]:
    """Return the digit of each node of a chain."""
    return [node[0] // grid.layout.cells + 1 for node in chain.nodes]


def set_cells(chain: Chain) -> tuple[int, ...]:
    """Return the cells of all almost locked sets of two or more cells in a chain, ascending."""
    return tuple(sorted({cell for link in chain.links if link.covers for cell in link.constraints}))


def both_ways(chain: Chain) -> tuple[Chain, ...]:
    """Return a chain as it stands and read from its other end; a loop as it stands."""
    return (chain,) if chain.loop else (chain, Chain(chain.nodes[::-1], chain.links[::-1]))


def houses_of_link(grid: Grid, link: Link) -> list[int]:
    """Return the houses in which a link lies."""
    found = map(grid.layout.house_of, link.constraints)
    return [place[0] for place in found if place is not None]
