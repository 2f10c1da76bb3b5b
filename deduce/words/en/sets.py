"""The prose of patterns with groups, fins and almost locked sets: what to look at, why, and what falls.

The sentences are written from the roles of a pattern and the notes of its grid, as those of `explain` are.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence

from deduce.proof import Pattern, Proof
from deduce.puzzle.grid import grid_of
from deduce.words.en.chains import round_loop, tell_chain, there, through_set, true
from deduce.words.en.names import Names, capital, digit_of, in_words, losses, series

__all__ = ["TELLERS"]


def _empty_rectangle(proof: Proof, names: Names, pattern: Pattern) -> str:
    digit, symbol = digit_of(names, pattern)
    region = names.houses(pattern.role("region"))
    near, far = (names.houses([arm]) for arm in pattern.role("arms"))
    line = names.houses(pattern.role("line"))
    foot, end = (_cells(names, node) for node in (pattern.chain.nodes[2:] if pattern.chain else ((), ())))
    spots = pattern.chain.nodes[2] + pattern.chain.nodes[3] if pattern.chain else ()
    return (
        f"{capital(region)} has places for {symbol} only in {near} and {far}. If its {symbol} is not in {near}, it is "
        f"in {far} and bars {foot}. Then {line}, whose places for {symbol} are {_cells(names, spots, 'and')} alone, "
        f"puts it in {end}. Either way {names.a(digit)} that sees both {end} and the places of {region} in {near} "
        f"falls: {losses(proof.eliminates)}."
    )


def _remote_pairs(proof: Proof, names: Names, pattern: Pattern) -> str:
    cells, digits = pattern.role("cells"), pattern.role("digits")
    row = series(map(names.cell, cells))
    return (
        f"{row} all hold {names.digits(digits, 'or')}, and each sees the next, so the two digits alternate from "
        f"cell to cell. {capital(in_words(len(cells)))} cells are an even number: {names.cell(cells[0])} and "
        f"{names.cell(cells[-1])} differ, one of them is {names.digits(digits[:1])} and the other "
        f"{names.digits(digits[1:])}, and both digits fall from what sees the two: {losses(proof.eliminates)}."
    )


def _finned_fish(proof: Proof, names: Names, pattern: Pattern) -> str:
    digit, symbol = digit_of(names, pattern)
    lines = pattern.role("base lines")
    covers, region = names.houses(pattern.role("cover lines")), names.houses(pattern.role("region"))
    fins = _cells(names, pattern.role("fins"), "and")
    one = len(pattern.role("fins")) == 1
    kept = {h: [c for c in _split(names, pattern.role("corners")) if c in _house(names, h)] for h in lines}
    single = [h for h, corners in kept.items() if len(corners) == 1]
    told = (
        f"But for {fins} in {region}, {names.houses(lines)} have places for {symbol} only in {covers}. If {fins} "
        f"{'is' if one else 'are'} not {symbol}, the {in_words(len(lines))} of them use up the {symbol}s of {covers}; "
        f"if {'it' if one else 'one of them'} is, it is the {symbol} of {region}."
    )
    if single:
        left = series(f"{names.houses([h])} is then left with {names.cells(kept[h])}" for h in single)
        told = f"{told} (Without {'the fin' if one else 'the fins'} {left}.)"
    return (
        f"{told} Either way {names.a(digit)} falls where {covers} run through {region}, beside {names.houses(lines)}: "
        f"{losses(proof.eliminates)}."
    )


def _wxyz_wing(proof: Proof, names: Names, pattern: Pattern) -> str:
    cells, digits, digit = pattern.role("wing"), pattern.role("digits"), pattern.role("digit")[0]
    others = [d for d in digits if d != digit]
    spots = _places(proof, names, cells, digit)
    return (
        f"Between them {names.cells(cells)} hold no digits but {names.digits(digits)}. Of these {names.digits(others)} "
        f"have their places here in one house each, so each goes into one of the cells at most, and a cell is left for "
        f"{names.digit(digit)}. So one of {names.cells(spots)} is {names.digit(digit)}, and {names.a(digit)} that sees "
        f"all of them falls: {losses(proof.eliminates)}."
    )


def _als_xz(proof: Proof, names: Names, pattern: Pattern) -> str:
    one, other = pattern.role("first set"), pattern.role("second set")
    common, digit = names.digit(pattern.role("common digit")[0]), pattern.role("digit")[0]
    return (
        f"{_holds(proof, names, one)}; {_holds(proof, names, other)}. The places of {common} in both sets see one "
        f"another, so one of the sets lacks {common} and needs all its other digits, {names.digit(digit)} among them. "
        f"{_ends(proof, names, (one, other), digit)}"
    )


def _doubly_linked(proof: Proof, names: Names, pattern: Pattern) -> str:
    one, other = pattern.role("first set"), pattern.role("second set")
    commons = pattern.role("common digits")
    kept = []
    for cells in (one, other):
        rest = [d for d in _digits(proof, names, cells) if d not in commons]
        if rest:
            kept.append(f"{names.cells(cells)} {'keeps' if len(cells) == 1 else 'keep'} {names.digits(rest)}")
    both = names.digits(commons)
    return (
        f"{_holds(proof, names, one)}; {_holds(proof, names, other)}. For each of {both} the places in both sets see "
        f"one another, so only one of the sets can have it, and neither set can do without both. So each set has just "
        f"one of {both}: these stay in the two sets together{''.join(f', and {part}' for part in kept)}. Each of these "
        f"digits falls from what sees all places that it has there: {losses(proof.eliminates)}."
    )


def _als_xy_wing(proof: Proof, names: Names, pattern: Pattern) -> str:
    one, pivot, other = (pattern.role(part) for part in ("first set", "pivot set", "second set"))
    first, second = (names.digit(d) for d in pattern.role("common digits"))
    digit = pattern.role("digit")[0]
    return (
        f"{_holds(proof, names, pivot)}, so {first} or {second} stands there. {_holds(proof, names, one)}; "
        f"{_holds(proof, names, other)}. If {names.cells(pivot)} {_has(pivot)} {first}, {names.cells(one)} "
        f"{_has(one, 'lacks', 'lack')} it and {_has(one)} {names.digit(digit)}; if {second}, {names.cells(other)} "
        f"{_has(other, 'lacks', 'lack')} that and {_has(other)} {names.digit(digit)}. "
        f"{_ends(proof, names, (one, other), digit)}"
    )


def _death_blossom(proof: Proof, names: Names, pattern: Pattern) -> str:
    grid, stem = grid_of(proof), pattern.role("stem")[0]
    digit, symbol = digit_of(names, pattern)
    cases, petals = [], []
    for held in names.notes(grid, stem):
        petal = pattern.role(f"petal for {names.digit(held)}")
        petals.append(petal)
        inside = names.digits(_digits(proof, names, petal), "or" if len(petal) == 1 else "and")
        hold = f"which {_has(petal, 'is', 'hold')} {inside}"
        lacking = f"{_has(petal, 'sees', 'see')} that and {_has(petal)} {symbol}"
        cases.append(f"if it is {names.digit(held)}, {names.cells(petal)}, {hold}, {lacking}")
    digits = names.digits(names.notes(grid, stem), "or")
    return (
        f"{names.cell(stem)} is {digits}. {capital('; '.join(cases))}. For each of these sets has one digit more than "
        f"cells, so the one that lacks a digit has all its others. "
        f"{_ends(proof, names, petals, digit)}"
    )


def _sue_de_coq(proof: Proof, names: Names, pattern: Pattern) -> str:
    line, region = names.houses(pattern.role("line")), names.houses(pattern.role("region"))
    middle, own, other = (pattern.role(part) for part in ("crossing", "line set", "region set"))
    digits = _digits(proof, names, (*middle, *own, *other))
    parts = [
        f"{names.digits(pattern.role('line digits'))} from the rest of {line}",
        f"{names.digits(pattern.role('region digits'))} from the rest of {region}",
    ]
    rest = pattern.role("crossing digits")
    if rest:
        parts.append(f"{names.digits(rest)} from the rest of both")
    count = in_words(len(middle) + len(own) + len(other))
    return (
        f"{names.cells(middle)}, where {line} crosses {region}, {names.cells(own)} in {line} and {names.cells(other)} "
        f"in {region} are {count} cells with as many digits, {names.digits(digits)}. None of these can go there twice: "
        f"each has its places in {line} or in {region} or in both. So each goes there once, and falls, "
        f"{series(parts)}: {losses(proof.eliminates)}."
    )


def _chain(proof: Proof, names: Names, pattern: Pattern) -> str:
    """Tell a chain with groups or sets; one that comes back to a group is told here, any other as every chain is."""
    chain = pattern.chain
    if chain is None or len(chain.nodes[0]) == 1 or chain.nodes[0] != chain.nodes[-1]:
        return tell_chain(proof, chain) if chain else ""
    start = chain.nodes[0]
    digit = names.split(start[0])[0]
    return (
        f"Look at {there(names, start)}. Suppose that it is not there: followed link by link, the chain leads back to "
        f"it being there. So {true(names, start)}, and {names.a(digit)} that sees all of these falls: "
        f"{losses(proof.eliminates)}."
    )


def _set_loop(proof: Proof, names: Names, pattern: Pattern) -> str:
    chain = pattern.chain
    if chain is None:
        return ""
    one, two = (series(true(names, node) for node in chain.nodes[i::2]) for i in (0, 1))
    told = round_loop(names, grid_of(proof), chain) if len(chain.nodes) > 2 else ""
    kept = []
    for link, near, far in zip(chain.links, chain.nodes, (*chain.nodes[1:], chain.nodes[0]), strict=True):
        held = through_set(names, link)
        passing = {names.split(c)[0] for c in (*near, *far)}
        rest = [d for d in _digits(proof, names, held) if d not in passing] if held else []
        if rest:
            kept.append(f"{names.cells(held)} keep {names.digits(rest)}")
        if held and len(chain.nodes) == 2:
            told = f"{_holds(proof, names, held)}. "
    return (
        f"{told}Read round the loop, its candidates are true and false by turns, so one of two cases holds: either "
        f"{one}; or {two}. In both cases one side of each weak link is true, and each set lacks one of the two digits "
        f"by which the loop passes through it, so that it has the others: {series(kept)}. What clashes with both "
        f"sides of a weak link, or with all places of a digit that a set keeps, falls: {losses(proof.eliminates)}."
    )


def _holds(proof: Proof, names: Names, cells: Sequence[int]) -> str:
    """Say what an almost locked set holds."""
    digits = names.digits(_digits(proof, names, cells), "and" if len(cells) > 1 else "or")
    if len(cells) == 1:
        return f"{names.cells(cells)} is {digits}"
    count, more = in_words(len(cells)), in_words(len(cells) + 1)
    return f"{names.cells(cells)}, {count} cells of {_shared(names, cells)}, hold the {more} digits {digits}"


def _ends(proof: Proof, names: Names, sets: Sequence[Sequence[int]], digit: int) -> str:
    """Say that one of several sets has a digit, and what this costs."""
    spots = {cell for cells in sets for cell in _places(proof, names, cells, digit)}
    return (
        f"So one of {names.cells(spots)} is {names.digit(digit)}, and {names.a(digit)} that sees all of them falls: "
        f"{losses(proof.eliminates)}."
    )


def _has(cells: Sequence[int], one: str = "has", several: str = "have") -> str:
    """Return the verb that goes with so many cells."""
    return one if len(cells) == 1 else several


def _shared(names: Names, cells: Sequence[int]) -> str:
    """Name the first house that holds all of some cells."""
    return names.meeting(cells)


def _digits(proof: Proof, names: Names, cells: Sequence[int]) -> list[int]:
    """List the digits that cells hold between them."""
    return sorted({digit for cell in cells for digit in names.notes(grid_of(proof), cell)})


def _places(proof: Proof, names: Names, cells: Sequence[int], digit: int) -> list[int]:
    """List the cells among these that may hold a digit."""
    return [cell for cell in cells if digit in names.notes(grid_of(proof), cell)]


def _split(names: Names, candidates: Sequence[int]) -> list[int]:
    """List the cells of candidates."""
    return [names.split(candidate)[1] for candidate in candidates]


def _cells(names: Names, candidates: Sequence[int], joint: str = "or") -> str:
    """Name the cells of candidates."""
    return names.cells(_split(names, candidates), joint)


def _house(names: Names, house: int) -> tuple[int, ...]:
    """Return the cells of a house."""
    return names.layout.houses[house].cells


TELLERS: dict[str, Callable[[Proof, Names, Pattern], str]] = {
    "empty rectangle": _empty_rectangle,
    "remote pairs": _remote_pairs,
    **{
        f"{kind} {fish}": _finned_fish
        for kind in ("finned", "sashimi")
        for fish in ("X-wing", "swordfish", "jellyfish")
    },
    "WXYZ-wing": _wxyz_wing,
    "ALS-XZ": _als_xz,
    "doubly linked ALS-XZ": _doubly_linked,
    "ALS-XY-wing": _als_xy_wing,
    "death blossom": _death_blossom,
    "Sue de Coq": _sue_de_coq,
    "grouped X-chain": _chain,
    "grouped chain": _chain,
    "chain through almost locked sets": _chain,
    "loop through almost locked sets": _set_loop,
}
"""For each pattern the function that tells its proof; the other names are told elsewhere in this room."""
