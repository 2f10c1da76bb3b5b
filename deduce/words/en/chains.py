"""The prose of chains: what follows from what, link by link."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from deduce.positions import bitset
from deduce.proof import Chain, Link, Proof
from deduce.puzzle.grid import Grid, grid_of
from deduce.puzzle.layout import House
from deduce.words.en.names import Names, in_words, losses, series

__all__ = ["close_loop", "false", "joined", "round_loop", "tell_chain", "there", "through_set", "true", "two_cases"]


def joined(chain: Chain) -> Iterator[tuple[Link, tuple[int, ...], tuple[int, ...]]]:
    """Yield the links of a chain with the nodes that they join."""
    yield from zip(chain.links, chain.nodes, (*chain.nodes[1:], chain.nodes[0]), strict=False)


def tell_chain(proof: Proof, chain: Chain) -> str:
    """Tell any chain: from one end being false to the other being true, and what this costs."""
    names = Names(grid_of(proof).layout)
    if chain.loop:
        return close_loop(proof, chain, links=True)
    first, last = chain.nodes[0], chain.nodes[-1]
    if len(chain.nodes) == 2:
        return f"{_one_link(names, grid_of(proof), chain)}{_end(proof, names, chain)}"
    called = "this alternating inference chain" if "chain with" in proof.pattern.name else "the chain"
    story = f"Suppose that {false(names, first)}. {_follow(names, grid_of(proof), chain)}"
    if first == last:
        told = (
            f"Look at {there(names, first)}. {story}, against the supposition. The denial of this {names.nouns.digit}"
        )
        told += f" brings it back, so {true(names, first)}"
        if not proof.eliminates or proof.places:
            return f"{told}."
        whom = names.who_sees(names.split(first[0])[0], "both" if len(first) == 2 else "all of these")
        return f"{told}, and {whom} falls: {losses(proof.eliminates)}."
    return (
        f"Look at both ends of {called}, {there(names, first)} and {there(names, last)}. {story}. "
        f"So {_end(proof, names, chain)}"
    )


def _one_link(names: Names, grid: Grid, chain: Chain) -> str:
    """Tell a strong link by itself: its two places or digits, up to the end."""
    link = chain.links[0]
    held, house = through_set(names, link), _house(names, link)
    if held:
        return f"{_held(names, grid, held, 'hold')}, of which only one can be missing there, so "
    if house is not None:
        cells, digit = _apart(names, [*chain.nodes[0], *chain.nodes[1]])
        return f"{names.sentence(names.has(house.name, digit, names.cells(cells, 'or')))}, so "
    return f"{names.sentence(names.rule(link.constraints[0]))}, so " if _ruled(names, link) else ""


def _end(proof: Proof, names: Names, chain: Chain) -> str:
    """Say which ends are true between them, and what falls by that."""
    first, last = chain.nodes[0], chain.nodes[-1]
    lost = losses(proof.eliminates)
    cells, digit = _apart(names, [*first, *last])
    number = names.split(first[0])[0]
    if digit == names.digit(number):
        ends = names.cells(cells)
        who = f"both {ends}" if len(cells) == 2 else "all of these"
        return f"at least one of {ends} is {digit}, and {names.who_sees(number, who)} falls: {lost}."
    ends = f"{true(names, first)} or {true(names, last)}, if not both"
    if len(cells) == 1:
        ends = f"{names.cells(cells)} is {digit}"
        if {names.cell(cells[0])} == {candidate.cell for candidate in proof.eliminates}:
            return f"{ends} and nothing else: {lost}."
    gone = [*map(grid_of(proof).number, proof.eliminates)]
    cases = [f"if {true(names, node)}, {_clash(names, node, gone[0])}" for node in (first, last)] if gone else []
    rest = "; the rest falls likewise" if len(gone) > 1 else ""
    return f"{ends}. {names.sentence('; '.join(cases))}{rest}: {lost}."


def _clash(names: Names, node: Sequence[int], candidate: int) -> str:
    """Say why a candidate cannot be true beside a node."""
    digit, cell = names.split(candidate)
    layout, symbol = names.layout, names.digit(digit)
    reason = next((n for n in layout.at_most_one[candidate] if all(layout.model.masks[n] >> c & 1 for c in node)), -1)
    if 0 <= reason < layout.cells:
        return f"{'it' if len(node) == 1 else names.cell(cell)} is not {symbol}"
    if layout.house_of(reason):
        return f"{names.cell(cell)} {'must differ' if names.problem else 'sees that'} and is not {symbol}"
    return f"{names.cell(cell)} is not {symbol}{f', since {names.rule(reason)}' * (reason >= layout.exact)}"


def there(names: Names, node: Sequence[int]) -> str:
    """Name a node: its digit and where it may go."""
    cells, digit = _apart(names, node)
    return names.spot(names.cells(cells, "or"), digit)


def true(names: Names, node: Sequence[int]) -> str:
    """Say that a node is true."""
    cells, digit = _apart(names, node)
    if len(cells) == 1 or (len(cells) == 2 and not names.problem):
        return f"{names.cells(cells, 'or')} is {digit}"
    return f"one of {names.cells(cells)} is {digit}"


def false(names: Names, node: Sequence[int]) -> str:
    """Say that a node is false."""
    cells, digit = _apart(names, node)
    if len(cells) == 1:
        return f"{names.cells(cells)} is not {digit}"
    if len(cells) == 2:
        return f"neither {names.cells(cells, 'nor')} is {digit}"
    return f"none of {names.cells(cells)} is {digit}"


def _follow(names: Names, grid: Grid, chain: Chain) -> str:
    """Tell the links in order, given that the first node is false; without the full stop.

    Every link names both its ends: the cell that is forced, and the cell, house or rule that forces it.
    """
    nodes, links = chain.nodes, chain.links
    told = f"Then {_forced(names, grid, links[0], nodes[1])}"
    for index in range(1, len(links) - 1, 2):
        off, on = nodes[index + 1], nodes[(index + 2) % len(nodes)]
        told += _next(names, grid, links[index - 1 : index + 2], nodes[index], off, on)
    return told


def _forced(names: Names, grid: Grid, link: Link, node: Sequence[int]) -> str:
    """Say what a strong link makes true."""
    house, held = _house(names, link), through_set(names, link)
    cells, digit = _apart(names, node)
    if held:
        return f"{_held(names, grid, held, 'which hold')}, have {names.spot(names.cells(cells, 'or'), digit)}"
    if house is not None:
        return names.has(house.name, digit, names.cells(cells, "or"))
    return f"{true(names, node)}{f', since {names.rule(link.constraints[0])}' * _ruled(names, link)}"


def _held(names: Names, grid: Grid, cells: Sequence[int], verb: str) -> str:
    """Name the cells of an almost locked set with their digits."""
    digits = {digit for cell in cells for digit in names.notes(grid, cell)}
    told = f"the {in_words(len(digits))} {names.nouns.digit}s {names.digits(digits)}"
    return f"{names.cells(cells)}{', ' if ' ' in verb else ' '}{verb} {told}"


def _next(
    names: Names, grid: Grid, links: Sequence[Link], near: Sequence[int], off: Sequence[int], on: Sequence[int]
) -> str:
    """Say what falls by a weak link, and what the strong link behind it then makes true; the one before it was told."""
    before, weak, strong = links
    house = _house(names, weak)
    (cells, digit), (seen, _) = _apart(names, off), _apart(names, near)
    within = not through_set(names, strong) and _house(names, strong) is None and not _ruled(names, strong)
    then = f" but {_apart(names, on)[1]}" if within and len(cells) == 1 else f", and {_forced(names, grid, strong, on)}"
    if _ruled(names, weak):
        return f"; {names.rule(weak.constraints[0])}, so {false(names, off)}{then}"
    if house is None:
        start = ", which" if _house(names, before) is not None else f"; {names.cell(seen[0])}"
        return f"{start} is then not {digit}, so {_forced(names, grid, strong, on)}"
    none = ("it is not", "neither is", "none of them is")[min(len(cells), 3) - 1]
    return f"; {names.see(cells, seen, house.name)}, so {none} {digit}{then}"


def _ruled(names: Names, link: Link) -> bool:
    """Whether a link is due to a rule, not to a cell or a house."""
    return link.constraints[0] >= names.layout.exact


def through_set(names: Names, link: Link) -> list[int]:
    """Return the cells of the almost locked set that a strong link runs through; empty if it runs through none."""
    cells = sorted(number for number in link.constraints if number < names.layout.cells)
    return cells if link.strong and len(cells) > 1 else []


def _house(names: Names, link: Link) -> House | None:
    """Return the house whose constraint justifies a link; None if it is that of a cell or of another rule."""
    place = names.layout.house_of(link.constraints[0])
    return None if place is None else names.layout.houses[place[0]]


def close_loop(proof: Proof, chain: Chain, *, links: bool = False) -> str:
    """Tell a continuous loop: its links if wanted, two cases, and what each weak link then has no room for."""
    grid, names, taken = grid_of(proof), Names(grid_of(proof).layout), list[str]()
    gone, masks, lost = bitset(map(grid.number, proof.eliminates)), grid.model.masks, losses(proof.eliminates)
    for link, near, far in joined(chain):
        if link.strong:
            # The other digits of an almost locked set in a loop stay inside it.
            taken += [_within(names, n, through_set(names, link)) for n in link.covers if gone & masks[n]]
        else:
            taken += [_either(names, n, near, far) for n in link.constraints if gone & masks[n]]
    room = f"{series(taken)}, and nothing else has room there: {lost}."
    if links and len(chain.nodes) == 2:
        return f"{_one_link(names, grid, chain).removesuffix(', so ')}. So {room}"
    if not taken:
        room = f"what clashes with both sides of a link, or with all places of a digit that a set keeps, falls: {lost}."
    told = round_loop(names, grid, chain) if links else ""
    return f"{told}{two_cases(names, chain)}{',' * names.problem} {room}"


def two_cases(names: Names, chain: Chain) -> str:
    """Say what is true by turns in a loop, up to what holds in both cases."""
    one, two = (series(true(names, node) for node in chain.nodes[i::2]) for i in (0, 1))
    return (
        "Read round the loop, its candidates are true and false by turns, so one of two cases holds: either "
        f"{one}; or {two}. In both cases"
    )


def round_loop(names: Names, grid: Grid, chain: Chain) -> str:
    """Tell the links of a loop, from its first node being false back to it."""
    first, weak = chain.nodes[0], chain.links[-1]
    house, (seen, _), (cells, _) = _house(names, weak), _apart(names, chain.nodes[-1]), _apart(names, first)
    if house is not None:
        why = names.see(cells, seen, house.name)
    else:
        ruled = _ruled(names, weak)
        why = names.rule(weak.constraints[0]) if ruled else f"{names.cells(cells)} holds one {names.nouns.digit}"
    return f"Suppose that {false(names, first)}. {_follow(names, grid, chain)}; {why}, and the loop is closed. "


def _within(names: Names, constraint: int, cells: Sequence[int]) -> str:
    """Say that a digit of a house has its place in an almost locked set."""
    house, digit = divmod(constraint - names.layout.cells, names.layout.order)
    return names.has(names.layout.houses[house].name, names.digit(digit + 1), names.cells(cells), "among")


def _either(names: Names, constraint: int, near: Sequence[int], far: Sequence[int]) -> str:
    """Say that one of the two sides of a weak link uses up its constraint."""
    if constraint < names.layout.cells:
        digits = {names.split(candidate)[0] for candidate in (*near, *far)}
        return f"{names.cell(constraint)} is {names.digits(digits, 'or')}"
    place = names.layout.house_of(constraint)
    if place is None:
        return f"either {true(names, near)} or {true(names, far)}, since {names.rule(constraint)}"
    cells = {names.split(candidate)[1] for candidate in (*near, *far)}
    digit = names.digit(names.split(near[0])[0])
    return names.has(names.layout.houses[place[0]].name, digit, names.cells(cells, "or"))


def _apart(names: Names, node: Sequence[int]) -> tuple[list[int], str]:
    """Return the cells of a node and its digits as words."""
    pairs = [names.split(candidate) for candidate in node]
    return sorted({cell for _, cell in pairs}), names.digits({digit for digit, _ in pairs}, "or")
