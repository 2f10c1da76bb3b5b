"""The prose of chains: what follows from what, link by link."""

from __future__ import annotations

from collections.abc import Sequence

from deduce.proof import Chain, Link, Proof
from deduce.puzzle.grid import grid_of
from deduce.puzzle.layout import House
from deduce.words.en.names import Names, losses, series

__all__ = ["close_loop", "false", "follow", "tell_chain", "there", "through_set", "true"]


def tell_chain(proof: Proof, chain: Chain) -> str:
    """Tell any chain: from one end being false to the other being true, and what this costs."""
    names = Names(grid_of(proof).layout)
    if chain.loop:
        return close_loop(proof, chain)
    first, last = chain.nodes[0], chain.nodes[-1]
    story = f"Suppose that {false(names, first)}. {follow(names, chain)}"
    if first == last:
        story = f"Look at {there(names, first)}. {story}, against the supposition"
        return f"{story}. The denial of this digit brings it back, so {true(names, first)}."
    digits = {names.split(candidate)[0] for candidate in (*first, *last)}
    lost = losses(proof.eliminates)
    story = f"Look at both ends of the chain, {there(names, first)} and {there(names, last)}. {story}"
    if len(digits) == 1:
        number = digits.pop()
        digit = names.digit(number)
        ends = names.cells({names.split(candidate)[1] for candidate in (*first, *last)})
        return (
            f"{story}. So at least one of {ends} is {digit}, "
            f"and {names.a(number)} that sees both ends of the chain falls: {lost}."
        )
    return (
        f"{story}. So {true(names, first)} or {true(names, last)}, if not both, "
        f"and what clashes with both ends of the chain falls: {lost}."
    )


def there(names: Names, node: Sequence[int]) -> str:
    """Name a node: its digit and where it may go."""
    cells, digit = _apart(names, node)
    return f"{digit} in {names.cells(cells, 'or')}"


def true(names: Names, node: Sequence[int]) -> str:
    """Say that a node is true."""
    cells, digit = _apart(names, node)
    if len(cells) < 3:
        return f"{names.cells(cells, 'or')} is {digit}"
    return f"one of {names.cells(cells)} is {digit}"


def false(names: Names, node: Sequence[int]) -> str:
    """Say that a node is false."""
    cells, digit = _apart(names, node)
    if len(cells) == 1:
        return f"{names.cell(cells[0])} is not {digit}"
    if len(cells) == 2:
        return f"neither {names.cell(cells[0])} nor {names.cell(cells[1])} is {digit}"
    return f"none of {names.cells(cells)} is {digit}"


def follow(names: Names, chain: Chain) -> str:
    """Tell the links in order, given that the first node is false; without the full stop."""
    nodes, links = chain.nodes, chain.links
    told = f"Then {_forced(names, links[0], nodes[1])}"
    for index in range(1, len(nodes) - 1, 2):
        weak, strong = links[index], links[index + 1]
        told += _next(names, weak, strong, nodes[index + 1], nodes[index + 2])
    return told


def _forced(names: Names, link: Link, node: Sequence[int]) -> str:
    """Say what a strong link makes true."""
    house = _house(names, link)
    cells, digit = _apart(names, node)
    if through_set(names, link):
        held = names.cells(through_set(names, link))
        return f"{held}, which have one digit more than cells, hold {digit} in {names.cells(cells, 'or')}"
    return f"it is {digit}" if house is None else f"{house.name} has its {digit} in {names.cells(cells, 'or')}"


def _next(names: Names, weak: Link, strong: Link, off: Sequence[int], on: Sequence[int]) -> str:
    """Say what falls by a weak link, and what the strong link behind it then makes true."""
    house = _house(names, weak)
    cells, digit = _apart(names, off)
    if through_set(names, strong):
        return f"; {false(names, off)}{f' ({house.name})' if house else ''}, so {_forced(names, strong, on)}"
    if house is None:
        return f", which is then not {digit}, so {_forced(names, strong, on)}"
    if len(cells) > 1:
        return f"; {false(names, off)} ({house.name}), so {_forced(names, strong, on)}"
    start = f"; {names.cell(cells[0])}, in the same {house.kind}, is not {digit}"
    if _house(names, strong) is None:
        return f"{start} but {_apart(names, on)[1]}"
    return f"{start}, so {_forced(names, strong, on)}"


def through_set(names: Names, link: Link) -> list[int]:
    """Return the cells of the almost locked set that a strong link runs through; empty if it runs through none."""
    cells = sorted(number for number in link.constraints if number < names.layout.cells)
    return cells if link.strong and len(cells) > 1 else []


def _house(names: Names, link: Link) -> House | None:
    """Return the house whose constraint justifies a link; None if it is that of a cell or of another rule."""
    place = names.layout.house_of(link.constraints[0])
    return None if place is None else names.layout.houses[place[0]]


def close_loop(proof: Proof, chain: Chain) -> str:
    """Tell a continuous loop: two cases, and what each weak link then has no room for."""
    names = Names(grid_of(proof).layout)
    one = series(true(names, node) for node in chain.nodes[0::2])
    two = series(true(names, node) for node in chain.nodes[1::2])
    gone = {*map(grid_of(proof).number, proof.eliminates)}
    taken = []
    for link, near, far in zip(chain.links, chain.nodes, (*chain.nodes[1:], chain.nodes[0]), strict=True):
        if link.strong:
            # The other digits of an almost locked set in a loop stay inside it.
            held = through_set(names, link)
            taken += [_within(names, number, held) for number in link.covers if _takes(names, number, gone)]
        else:
            taken += [_either(names, number, near, far) for number in link.constraints if _takes(names, number, gone)]
    return (
        f"Read round the loop, its candidates are true and false by turns, so one of two cases holds: either {one}; "
        f"or {two}. In both cases {series(taken)}, and nothing else has room there: {losses(proof.eliminates)}."
    )


def _takes(names: Names, constraint: int, gone: set[int]) -> bool:
    """Whether a constraint holds some of the candidates that fall."""
    return not gone.isdisjoint(candidate for candidate, _ in names.layout.model.constraints[constraint].terms)


def _within(names: Names, constraint: int, cells: Sequence[int]) -> str:
    """Say that a digit of a house has its place in an almost locked set."""
    house, digit = divmod(constraint - names.layout.cells, names.layout.order)
    where = names.layout.houses[house].name
    return f"{where} has its {names.digit(digit + 1)} among {names.cells(cells)}"


def _either(names: Names, constraint: int, near: Sequence[int], far: Sequence[int]) -> str:
    """Say that one of the two sides of a weak link uses up its constraint."""
    if constraint < names.layout.cells:
        digits = {names.split(candidate)[0] for candidate in (*near, *far)}
        return f"{names.cell(constraint)} is {names.digits(digits, 'or')}"
    place = names.layout.house_of(constraint)
    if place is None:
        return f"either {true(names, near)} or {true(names, far)}, since {names.rule(constraint)}"
    house = names.layout.houses[place[0]].name
    cells = {names.split(candidate)[1] for candidate in (*near, *far)}
    digit = names.digit(names.split(near[0])[0])
    return f"{house} has its {digit} in {names.cells(cells, 'or')}"


def _apart(names: Names, node: Sequence[int]) -> tuple[list[int], str]:
    """Return the cells of a node and its digits as words."""
    pairs = [names.split(candidate) for candidate in node]
    return sorted({cell for _, cell in pairs}), names.digits({digit for digit, _ in pairs}, "or")
