"""Whether the links of a chain hold in a position, each by its definition."""

from __future__ import annotations

from collections.abc import Sequence

from deduce.links import houses_holding, shape_of
from deduce.positions import bits
from deduce.proof import Chain, Link, Pattern
from deduce.puzzle.grid import Grid
from deduce.puzzle.layout import Layout

__all__ = [
    "both_ways",
    "chain_fault",
    "houses_of_link",
    "is_group",
    "needs_sets",
    "set_cells",
    "single_chain_fault",
]


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
        if not link.constraints or not here or not there or both & ~(grid.live & ~grid.true):
            return f"nothing joins {names}"
        if {*here} & {*there}:
            return f"{names} have a candidate in common"
        if link.covers:
            fault = _almost_fault(grid, link, here, there)
            if fault:
                return f"{names} are not joined by an almost locked set: {fault}"
            continue
        if link.strong and not all(len(node) == 1 or is_group(layout, node) for node in (here, there)):
            return f"{names} are not single candidates or groups in the crossing of two houses"
        for number in link.constraints:
            if number not in (layout.at_least_one if link.strong else layout.at_most_one)[here[0]]:
                return f"{names} are not both in {layout.model.constraints[number].name}"
            if both & ~layout.model.masks[number]:
                return f"{names} are not both in {layout.model.constraints[number].name}"
            if link.strong and grid.live & layout.model.masks[number] & ~both:
                return f"{names} are not alone in {layout.model.constraints[number].name}"
    return None


def single_chain_fault(grid: Grid, pattern: Pattern) -> str | None:
    """Say which link of a chain of single candidates does not hold in a position, or None."""
    chain = pattern.chain
    if chain is not None and (needs_sets(chain) or any(len(node) != 1 for node in chain.nodes)):
        return "it has groups or almost locked sets"
    return chain_fault(grid, pattern)


def is_group(layout: Layout, node: Sequence[int]) -> bool:
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
    if not houses_holding(shape_of(layout), sum(1 << cell for cell in cells)):
        return "its cells share no house"
    places: dict[int, set[int]] = {}
    for cell in cells:
        for candidate in bits(grid.live & layout.masks[cell]):
            places.setdefault(candidate // layout.cells, set()).add(candidate)
    if len(places) != len(cells) + 1:
        return f"{len(cells)} cells with {len(places)} digits"
    one, other = here[0] // layout.cells, there[0] // layout.cells
    if one == other or places.pop(one, None) != {*here} or places.pop(other, None) != {*there}:
        return "a node is not all places of a digit in it"
    if len(link.covers) != len(places):
        return "its other digits are not all covered once"
    for number in link.covers:
        covered = [digit for digit, held in places.items() if not sum(1 << c for c in held) & ~layout.masks[number]]
        if len(covered) != 1:
            return f"{layout.model.constraints[number].name} does not hold a digit of it"
        del places[covered[0]]
    return None


def needs_sets(chain: Chain) -> bool:
    """Whether a strong link of a chain goes through an almost locked set of two or more cells."""
    return any(link.covers for link in chain.links)


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
