"""The prose of the longest level: a chain read link by link, any other proof premise by premise."""

from __future__ import annotations

from collections.abc import Sequence

from deduce.kernel import Counting, Swap
from deduce.proof import Chain, Link, Proof
from deduce.puzzle.grid import grid_of
from deduce.words.en.chains import close_loop, false, joined, through_set, true
from deduce.words.en.names import Names, losses

__all__ = ["read_links", "read_premises"]


def read_links(proof: Proof, chain: Chain) -> list[str]:
    """Tell each link of a chain by itself, with its reason, and then what follows from all of them.

    Returns
    -------
    list of str
        One line for each link, and one or more for the end.
    """
    names = Names(grid_of(proof).layout)
    lines = []
    for link, near, far in joined(chain):
        written = f"{names.node(near)} {'=' if link.strong else '-'} {names.node(far)}"
        told = _strong(names, proof, link, near, far) if link.strong else _weak(names, link, near, far)
        lines.append(f"{written}: {told}.")
    if chain.loop:
        return [*lines, close_loop(proof, chain)]
    first, last = chain.nodes[0], chain.nodes[-1]
    if first == last:
        end = f"The chain comes back to where it began: even if {false(names, first)}, {true(names, first)}."
        return [*lines, f"{end} So {true(names, first)} in any case."]
    back = f"The links hold in both directions: if {false(names, last)}, then {true(names, first)}"
    return [
        *lines,
        f"{back}. So at least one end is true: {true(names, first)}, or {true(names, last)}.",
        f"What clashes with both ends of the chain is false: {losses(proof.eliminates)}.",
    ]


def read_premises(proof: Proof) -> list[str]:
    """Tell what has to be read on the board for a proof, one line for each cell, and for each house and digit."""
    grid = grid_of(proof)
    names = Names(grid.layout)
    seen: dict[int, None] = {}
    exchanged: set[int] = set()
    for inference in proof.inferences:
        argument = inference.argument
        if isinstance(argument, Swap):
            argument = Counting((), (), ((argument, 1),))
        if isinstance(argument, Counting):
            seen.update(dict.fromkeys(number for number, _ in argument.bases))
            exchanged.update(c % grid.layout.cells for swap, _ in argument.swaps for c in (*swap.pattern, *swap.exits))
    # What could change places is seen in the notes of the open cells.
    seen.update(dict.fromkeys(cell for cell in sorted(exchanged) if not grid.true & grid.layout.masks[cell]))
    return [_premise(names, proof, number) for number in seen]


def _premise(names: Names, proof: Proof, number: int) -> str:
    """Say what a base holds on the board."""
    grid, layout = grid_of(proof), names.layout
    if number < layout.cells:
        digits = names.notes(grid, number)
        held = f"holds nothing but {names.digits(digits, 'or')}" if digits else "has no candidate left"
        return f"Read the {names.nouns.note}s of {names.cell(number)}: it {held}."
    place = layout.house_of(number)
    if place is None:
        return f"Bear in mind that {names.rule(number)}."
    house, digit = place
    places = names.places(grid, house, digit)
    where = names.houses([house])
    told = f"its {'only place is' if len(places) == 1 else 'places are'} {names.cells(places)}"
    told = told if places else "there is no place left"
    return f"Scan {where} for {names.digit(digit)}: {told}."


def _strong(names: Names, proof: Proof, link: Link, near: Sequence[int], far: Sequence[int]) -> str:
    """Say why at least one side of a link is true."""
    layout = names.layout
    grid = grid_of(proof)
    ends = f"if {false(names, near)}, then {true(names, far)}"
    cells = sorted(number for number in link.constraints if number < layout.cells)
    number = link.constraints[0] if link.constraints else -1
    if len(cells) == 1 and number < layout.cells:
        held = names.digits(names.notes(grid, cells[0]), "or")
        other = names.digits({names.split(candidate)[0] for candidate in far}, "or")
        one = names.digits({names.split(candidate)[0] for candidate in near}, "or")
        return f"{names.cell(cells[0])} can only be {held}, so if it is not {one}, it is {other}"
    if through_set(names, link):
        digits, nouns = {digit for cell in cells for digit in names.notes(grid, cell)}, names.nouns
        more = f"{len(digits)} {nouns.digit}s"
        if len(digits) == len(cells) + 1:
            more = f"one {nouns.digit} more than there are {nouns.cell}s"
        return f"{names.cells(cells)} between them hold only {names.digits(digits)}, {more}, so {ends}"
    if number < 0:
        return f"{true(names, near)} or {true(names, far)}"
    place = layout.house_of(number)
    if place is None:
        return f"{names.rule(number)}, so {ends}"
    house, digit = place
    places = names.cells(names.places(grid, house, digit), "or")
    return f"{names.has(names.houses([house]), names.digit(digit), places)}, so {ends}"


def _weak(names: Names, link: Link, near: Sequence[int], far: Sequence[int]) -> str:
    """Say why at most one side of a link is true."""
    ends = f"if {true(names, near)}, then {false(names, far)}"
    if not link.constraints:
        return ends
    number = link.constraints[0]
    if number < names.layout.cells:
        return f"{names.cell(number)} holds one {names.nouns.digit}, so {ends}"
    place = names.layout.house_of(number)
    if place is None:
        return f"{names.rule(number)}, so {ends}"
    house, digit = place
    return f"{names.room(names.houses([house]), names.digit(digit))}, so {ends}"
