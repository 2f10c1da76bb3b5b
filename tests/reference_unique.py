"""Dull twins for what assumes a unique solution: rectangles, and what follows from their exits.

As in `reference`, everything is written out as loops over a plain board.  Which cells hold givens the board does not
say, so it is handed over.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Collection, Iterator
from itertools import combinations, product
from typing import NamedTuple

from reference import Board, Cand, Links, entailed, links_of

MOST_EXITS = 8


class Rectangle(NamedTuple):
    """Four corners, the two digits that could change places, the other candidates, and whether a corner is placed."""

    corners: tuple[int, int, int, int]
    digits: tuple[int, int]
    exits: frozenset[Cand]
    placed: bool


def rectangles(board: Board, givens: Collection[int]) -> Iterator[Rectangle]:
    """Every rectangle, by its definition: no given, all houses balanced, a clean corner, a filling that is left."""
    for top, bottom in combinations(range(board.order), 2):
        for left, right in combinations(range(board.order), 2):
            corners = tuple(row * board.order + column for row in (top, bottom) for column in (left, right))
            if any(cell in givens for cell in corners) or not balanced(board, corners):
                continue
            held = [board.notes.get(cell, {board.placed.get(cell)}) for cell in corners]
            for x, y in combinations(board.digits(), 2):
                fillings = [(x, y, y, x), (y, x, x, y)]
                possible = [all(d in here for d, here in zip(f, held, strict=True)) for f in fillings]
                exits = frozenset((d, cell) for cell in corners for d in board.notes.get(cell, ()) if d not in (x, y))
                clean = any(here <= {x, y} for here in held)
                if any(possible) and clean and 0 < len(exits) <= MOST_EXITS:
                    yield Rectangle(corners, (x, y), exits, any(cell in board.placed for cell in corners))


def balanced(board: Board, corners: tuple[int, ...]) -> bool:
    """Whether every house holds as many of the first and last corner as of the other two, and no house both of them."""
    a, b, c, d = corners
    return all((a in cells) + (d in cells) == (b in cells) + (c in cells) < 2 for _, cells in board.houses)


def direct(board: Board, exits: Collection[Cand]) -> frozenset[Cand]:
    """What clashes with every exit."""
    return board.falls(*exits)


def led_to(board: Board, exits: Collection[Cand], strong: Links, weak: Links, settled: set[Cand]) -> set[Cand]:
    """What falls with each exit over some links, one exit at a time; without what these links settle by themselves."""
    common = set(board.candidates()) - settled
    for exit_ in exits:
        true, false = {exit_}, set()
        while True:
            fallen = {z for t in true for z in weak.get(t, ())} - false
            risen = {b for f in fallen | false for b in strong.get(f, ())} - true
            if not fallen and not risen:
                break
            false |= fallen
            true |= risen
        common &= false
    return common - set(exits)


def corner_links(board: Board, rectangle: Rectangle) -> Links:
    """Strong links of one of the two digits between two corners that are its only places in a house."""
    found: Links = {}
    for digit, house in product(rectangle.digits, range(len(board.houses))):
        places = board.places(digit, house)
        if len(places) == 2 and set(places) <= set(rectangle.corners):
            for one, other in (places, places[::-1]):
                found.setdefault((digit, one), set()).add((digit, other))
    return found


def by_corners(board: Board, rectangle: Rectangle) -> set[Cand]:
    """What falls over strong links between corners and not at once."""
    strong = corner_links(board, rectangle)
    if not strong:
        return set()
    _, weak = links_of(board, "chain")
    return led_to(board, rectangle.exits, strong, weak, settled(board, strong, weak)) - direct(board, rectangle.exits)


def settled(board: Board, strong: Links, weak: Links) -> set[Cand]:
    """What links settle without any exit."""
    judged = entailed(board, strong, weak)
    assert judged is not None
    return judged[0] | judged[1]


def by_chains(board: Board, rectangles: Collection[Rectangle]) -> set[Cand]:
    """What falls by chains of single candidates and in no simpler way, for all of some rectangles."""
    found: set[Cand] = set()
    links = links_of(board, "chain")
    without = settled(board, *links) if rectangles else set()
    for one in rectangles:
        if len(one.exits) > 1:
            falls = led_to(board, one.exits, *links, without)
            found |= falls - direct(board, one.exits) - by_corners(board, one)
    return found


def by_sets(board: Board, rectangles: Collection[Rectangle], largest: int = 4) -> set[Cand]:
    """What falls with an almost locked set outside that has all digits of two exits or more."""
    return set().union(*(_by_set(board, one, largest) for one in rectangles))


def _by_set(board: Board, rectangle: Rectangle, largest: int) -> set[Cand]:
    found: set[Cand] = set()
    exits = rectangle.exits
    if len(exits) < 2:
        return found
    wanted = {digit for digit, _ in exits}
    seen = set()
    for _, cells in board.houses:
        free = [cell for cell in cells if cell in board.notes and cell not in rectangle.corners]
        for size in range(1, largest + 1):
            for chosen in combinations(free, size):
                digits = set().union(*(board.notes[cell] for cell in chosen))
                if chosen in seen or len(digits) != size + 1 or not wanted <= digits:
                    continue
                seen.add(chosen)
                found |= _locked(board, exits, chosen, digits)
    return found


def _locked(board: Board, exits: Collection[Cand], chosen: tuple[int, ...], digits: set[int]) -> set[Cand]:
    spots = {d: [cell for cell in chosen if d in board.notes[cell]] for d in digits}
    outside = {d: [cell for digit, cell in exits if digit == d] for d in digits}

    def together(cells: Collection[int]) -> bool:
        return any(set(cells) <= set(house) for _, house in board.houses)

    apart = [d for d in digits if outside[d] and not together([*spots[d], *outside[d]])]
    found: set[Cand] = set()
    for d in digits if not apart else apart if len(apart) == 1 else ():
        for cell in board.notes:
            if d in board.notes[cell] and cell not in (*spots[d], *outside[d]):
                parts = [part for part in (spots[d], outside[d]) if part]
                if all(together([cell, *part]) for part in parts):
                    found.add((d, cell))
    return found


def totals(board: Board, filling: Collection[Cand]) -> Counter[object]:
    """How often a filling counts in each rule: cells, and digits in houses."""
    found: Counter[object] = Counter()
    for digit, cell in filling:
        found[cell] += 1
        for house, (_, cells) in enumerate(board.houses):
            found[house, digit] += cell in cells
    return found
