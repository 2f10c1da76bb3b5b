"""The prose of patterns that assume a unique solution: what could change places, what prevents it, and what follows.

The sentences are written from the roles of a pattern and the notes of its grid, as those of `explain` are.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence

from deduce.patterns.unique_names import AVOIDABLE, BIVALUE_GRID, EXTENDED, RECTANGLES, SWAPS, UNIQUE, ways_of
from deduce.positions import bits, bitset
from deduce.proof import Pattern, Proof
from deduce.puzzle.grid import Grid, grid_of
from deduce.words.en.names import Names, losses, series
from deduce.words.en.speech import Spoken, fill

__all__ = ["TELLERS", "assumed"]

_ONE_TOO_MANY = 3
"""Where every digit has two places in a house, so often one stands there that must not be left out."""


def assumed(proof: Proof) -> str:
    """Return the sentence on the assumption of one solution, for a proof that does not tell it; empty if there is none.

    A step that makes a swap under another name is one from a document or a person.
    """
    if not proof.assumes_unique or proof.pattern.name in UNIQUE:
        return ""
    if proof.swaps:
        return " This assumes that the puzzle has only one solution."
    return " This rests on earlier steps that assume that the puzzle has only one solution."


_STRAYS = (
    "Every open cell but {strays} has two candidates. If it were so there too, without {listed}, every digit would "
    "have two places or none in every house. Then exchanging both digits in every cell would turn each solution into "
    "another one, so the puzzle would have none or two.{check}"
)
_LINES = (
    "If {cells} held no digits but {digits}, {lines} would have the same {digits:count} digits there and could "
    "exchange them cell by cell: {houses} would keep theirs, so no {watcher} would notice, and the puzzle would have "
    "two solutions."
)
_PLACES = (
    "If {cells}{entered} held no digits but {digits}, these could change places there: {houses} would keep both, so no "
    "{watcher} would notice, and the puzzle would have two solutions."
)


def _unique(proof: Proof, names: Names, pattern: Pattern) -> str:
    """Tell what could change places if there were no exits, that one of them is true, and what follows."""
    placed = [cell for cell in pattern.role("cells") if grid_of(proof).true & names.layout.masks[cell]]
    entered = f" ({names.cells(placed)} {'is' if len(placed) == 1 else 'are'} filled, but not given)" if placed else ""
    told = fill(
        proof,
        names,
        {BIVALUE_GRID: _STRAYS, EXTENDED: _LINES}.get(pattern.name, _PLACES),
        strays=names.cells({names.split(c)[1] for c in pattern.role("exits")}),
        listed=_listed(names, pattern),
        check=_check(proof, names, pattern),
        lines=_lines(names, pattern.role("cells")),
        houses=series(
            names.by_kind(dict.fromkeys(h for c in pattern.role("cells") for h in names.layout.houses_of[c]))
        ),
        watcher="rule" if names.layout.rules else "house",
        entered=entered,
    )
    return f"{told} {_exits(names, pattern)}{_so(proof, names, pattern)}."


def _check(proof: Proof, names: Names, pattern: Pattern) -> str:
    """Say where the only exit stands too often, as one sees it on the board."""
    exits = [names.split(c) for c in pattern.role("exits")]
    if len(exits) != 1:
        return ""
    ((digit, cell),) = exits
    houses = [h for h in names.layout.houses_of[cell] if len(names.places(grid_of(proof), h, digit)) == _ONE_TOO_MANY]
    return (
        f" (The check: {names.digit(digit)} stands three times in {series(names.by_kind(houses))}.)" if houses else ""
    )


def _lines(names: Names, cells: Sequence[int]) -> str:
    """Name the two parallel lines of an extended rectangle."""
    layout = names.layout
    for kind in ("row", "column"):
        found = sorted({h for cell in cells for h in layout.houses_of[cell] if layout.houses[h].kind == kind})
        if len(found) == 2:
            return names.houses(found)
    return "the two lines"


def _listed(names: Names, pattern: Pattern, joint: str = "and") -> str:
    """List the exits, those in one cell together."""
    by_cell: dict[int, list[int]] = {}
    for candidate in pattern.role("exits"):
        digit, cell = names.split(candidate)
        by_cell.setdefault(cell, []).append(digit)
    return series((f"{names.digits(by_cell[cell], joint)} in {names.cell(cell)}" for cell in sorted(by_cell)), joint)


def _exits(names: Names, pattern: Pattern) -> str:
    """Say what must be true instead."""
    exits = [names.split(c) for c in pattern.role("exits")]
    cells, digits = {cell for _, cell in exits}, {digit for digit, _ in exits}
    if len(cells) == 1 or len(digits) == 1:
        return f"It has one, so {names.cells(cells, 'or')} is {names.digits(digits, 'or')}"
    return f"It has one, so one of the exits is true: {_listed(names, pattern, 'or')}"


def _so(proof: Proof, names: Names, pattern: Pattern) -> str:
    """Say what follows from the exits."""
    exits = pattern.role("exits")
    lost = losses(proof.eliminates)
    ways = ways_of(pattern)
    if pattern.role("strong links"):
        return f". {_broken(proof, names, pattern)}. So {lost}"
    if pattern.role("locked set"):
        return f". {_locked(proof, names)}: {lost}"
    if ways:
        alike: dict[tuple[int, ...], list[int]] = {}
        for exit_, *tail in ways:
            alike.setdefault(tuple(tail), []).append(exit_)
        known: set[tuple[int, ...]] = set()
        ways_told = "; ".join(_way(names, found, tail, known) for tail, found in alike.items())
        return f". All of them lead to the same: {ways_told}; so {lost}"
    if len(exits) == 1:
        return ""
    if len({names.split(c)[1] for c in exits}) == 1:
        return f", which leaves no room for anything else: {lost}"
    digit = names.a(names.split(exits[0])[0])
    return f", and {digit} that sees {'both' if len(exits) == 2 else 'all of these'} falls: {lost}"


def _broken(proof: Proof, names: Names, pattern: Pattern) -> str:
    """Tell what would happen if a victim were true: strong links force digits into place until no exit is left."""
    victims = [*map(grid_of(proof).number, proof.eliminates)]
    forced = _forced(grid_of(proof), names, pattern, victims[0])
    stands = "the rectangle" if "rectangle" in pattern.name else "the pattern"
    steps = ", ".join([*forced, f"no exit is left, and {stands} stands"])
    told = f"Put {_spot(names, victims[0])}: {steps}"
    if len(victims) == 1:
        return told
    return f"{told}; the same goes for {series(_spot(names, victim) for victim in victims[1:])}"


def _forced(grid: Grid, names: Names, pattern: Pattern, victim: int) -> list[str]:
    """Say where digits of strong links would have to go, one after the other, if a candidate were true."""
    layout, told, true = names.layout, list[str](), {victim}
    barred, exits = layout.peers[victim], bitset(pattern.role("exits"))
    places = {number: grid.live & layout.masks[number] for number in pattern.role("strong links")}
    while exits & ~barred:
        number = next((n for n, mask in places.items() if (mask & ~barred).bit_count() == 1), None)
        if number is None:
            break
        (placed,) = bits(places.pop(number) & ~barred)
        if placed not in true:
            house, digit = layout.house_of(number) or (0, 0)
            cell = names.cell(placed % layout.cells)
            told.append(f"{names.houses([house])}'s {names.digit(digit)} goes to {cell}")
            true.add(placed)
            barred |= layout.peers[placed]
    return told


def _locked(proof: Proof, names: Names) -> str:
    """Tell a conclusion with a locked set."""
    told = (
        "{locked set} {locked set:holds|between them hold} {locked set:notes}, and the true exit takes one of "
        "{locked set:its|their} digits from there, so {locked set} {locked set:needs|need} {locked set:the other|all "
        "the others}. So {falling} must stand there or at an exit, and {falling:falls|fall} from what sees all of "
        "these places"
    )
    return fill(proof, names, told, falling=Spoken(proof, names, "digits", sorted({c.digit for c in proof.eliminates})))


def _way(names: Names, exits: Sequence[int], tail: tuple[int, ...], known: set[tuple[int, ...]]) -> str:
    """Tell the way that some exits share, as far as it does not go on like one that was told; `known` is added to."""
    told = f"{series((_spot(names, c) for c in exits), 'or')} bars {_spot(names, tail[0])}"
    for at in range(0, len(tail) - 1, 2):
        if tail[at:] in known:
            return f"{told}, and so on as before"
        known.add(tail[at:])
        told += f", which leaves {_spot(names, tail[at + 1])}, which bars {_spot(names, tail[at + 2])}"
    return told


def _spot(names: Names, candidate: int) -> str:
    digit, cell = names.split(candidate)
    return f"{names.digit(digit)} in {names.cell(cell)}"


TELLERS: dict[str, Callable[[Proof, Names, Pattern], str]] = dict.fromkeys(
    (*RECTANGLES, AVOIDABLE, EXTENDED, *SWAPS, BIVALUE_GRID), _unique
)
"""For each pattern the function that tells its proof; the other names are told elsewhere in this room."""
