"""Dull twins of the finders: every definition written out as loops over plain data.

Nothing here comes from the library's own searches.  A `Board` is read from a grid through its public face; a
*candidate* is a pair ``(digit, cell)``, digits from 1 and cells from 0 in reading order; a house is its index in
``layout.houses``.  Each twin returns a set of facts that a test compares with what the finder of that name yields.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from itertools import combinations, permutations, product

from pysat.solvers import Solver

from deduce import Grid

Cand = tuple[int, int]
Links = dict[Cand, set[Cand]]

SUBSETS = {2: "pair", 3: "triple", 4: "quad"}
FISH = {2: "X-wing", 3: "swordfish", 4: "jellyfish"}
CHAINS = (
    "chain with both ends on one digit",
    "chain with linked ends on different digits",
    "chain that returns to its start",
)


@dataclass(frozen=True)
class Board:
    """A position as plain data.

    `houses` is a list of (kind, cells); `notes` maps each open cell to its live digits, `placed` each other cell to
    its digit.
    """

    order: int
    houses: list[tuple[str, tuple[int, ...]]]
    notes: dict[int, set[int]]
    placed: dict[int, int]

    @classmethod
    def of(cls, grid: Grid) -> Board:
        order = grid.layout.order
        notes: dict[int, set[int]] = {}
        placed: dict[int, int] = {}
        for cell in range(order * order):
            row, column = cell // order + 1, cell % order + 1
            digit = grid.digit(row, column)
            if digit is None:
                notes[cell] = set(grid.notes(row, column))
            else:
                placed[cell] = digit
        return cls(order, [(house.kind, house.cells) for house in grid.layout.houses], notes, placed)

    def places(self, digit: int, house: int) -> list[int]:
        """The open cells of a house that may still hold a digit."""
        return [cell for cell in self.houses[house][1] if digit in self.notes.get(cell, ())]

    def candidates(self) -> list[Cand]:
        return [(digit, cell) for cell, digits in sorted(self.notes.items()) for digit in sorted(digits)]

    def digits(self) -> range:
        return range(1, self.order + 1)

    def of_kind(self, *kinds: str) -> list[int]:
        return [h for h, (kind, _) in enumerate(self.houses) if kind in kinds]

    def regions(self) -> list[int]:
        return [h for h, (kind, _) in enumerate(self.houses) if kind not in ("row", "column")]

    def share(self, first: int, second: int) -> bool:
        """Whether two different cells stand in a common house."""
        return first != second and any(first in cells and second in cells for _, cells in self.houses)

    def sees(self, first: Cand, second: Cand) -> bool:
        """Whether two different candidates cannot both be true."""
        if first == second:
            return False
        return first[1] == second[1] or (first[0] == second[0] and self.share(first[1], second[1]))

    def falls(self, *ends: Cand) -> frozenset[Cand]:
        """The candidates that see every one of these."""
        return frozenset(z for z in self.candidates() if all(self.sees(z, end) for end in ends))

    def groups(self) -> Iterator[list[Cand]]:
        """What holds exactly one true candidate each: the open cells, and the unplaced digits of each house."""
        for cell, digits in sorted(self.notes.items()):
            yield [(digit, cell) for digit in sorted(digits)]
        for house, (_, cells) in enumerate(self.houses):
            for digit in self.digits():
                if digit not in [self.placed.get(cell) for cell in cells]:
                    yield [(digit, cell) for cell in self.places(digit, house)]

    def hurt(self) -> list[str]:
        """Open cells without a candidate and unplaced digits without a place, by the names of their constraints."""
        bare = [f"cell r{c // self.order + 1}c{c % self.order + 1}" for c, d in sorted(self.notes.items()) if not d]
        homeless = []
        for house, (kind, cells) in enumerate(self.houses):
            number = self.of_kind(kind).index(house) + 1
            unplaced = set(self.digits()) - {self.placed.get(cell) for cell in cells}
            homeless += [f"{d} in {kind} {number}" for d in sorted(unplaced) if not self.places(d, house)]
        return bare + homeless


# Singles


def last_open_cells(board: Board) -> set[tuple[Cand, int]]:
    """(candidate, house): all cells of the house but one are placed, and the digit is the one that they lack."""
    found = set()
    for house, (_, cells) in enumerate(board.houses):
        open_ = [cell for cell in cells if cell not in board.placed]
        if len(open_) == 1:
            (digit,) = {*board.digits()} - {board.placed[cell] for cell in cells if cell not in open_}
            found.add(((digit, open_[0]), house))
    return found


def hidden_singles(board: Board) -> set[tuple[Cand, int]]:
    """(candidate, house): the digit is not placed in the house and has one live place there."""
    found = set()
    for house, (_, cells) in enumerate(board.houses):
        for digit in board.digits():
            places = board.places(digit, house)
            if digit not in [board.placed.get(cell) for cell in cells] and len(places) == 1:
                found.add(((digit, places[0]), house))
    return found


def naked_singles(board: Board) -> set[Cand]:
    """The only candidate of an open cell."""
    return {(min(digits), cell) for cell, digits in board.notes.items() if len(digits) == 1}


# Sets of cells and digits


def locked(board: Board) -> set[tuple[str, int, int, int, frozenset[Cand]]]:
    """(name, digit, base, cover, eliminated): two or more places of a digit in the base, all inside the cover."""
    found = set()
    for base, cover in permutations(range(len(board.houses)), 2):
        lines = ("row", "column")
        pointing = board.houses[base][0] not in lines and board.houses[cover][0] in lines
        for digit in board.digits():
            inside, around = board.places(digit, base), board.places(digit, cover)
            gone = frozenset((digit, cell) for cell in around if cell not in board.houses[base][1])
            if len(inside) >= 2 and set(inside) <= set(board.houses[cover][1]) and gone:
                name = "locked candidates, " + ("pointing" if pointing else "claiming")
                found.add((name, digit, base, cover, gone))
    return found


def naked_subsets(board: Board, size: int) -> set[tuple[frozenset[int], frozenset[int], frozenset[Cand]]]:
    """(cells, digits, eliminated): cells of one house, each with two or more of the digits, as many digits as cells."""
    found = set()
    for _, house in board.houses:
        for cells in combinations([cell for cell in house if len(board.notes.get(cell, ())) >= 2], size):
            digits = set().union(*(board.notes[cell] for cell in cells))
            if len(digits) != size:
                continue
            around = {cell for _, other in board.houses if set(cells) <= set(other) for cell in other} - set(cells)
            gone = frozenset((d, cell) for cell in around for d in digits if d in board.notes.get(cell, ()))
            if gone:
                found.add((frozenset(cells), frozenset(digits), gone))
    return found


def hidden_subsets(board: Board, size: int) -> set[tuple[int, frozenset[int], frozenset[int], frozenset[Cand]]]:
    """(house, digits, cells, eliminated): digits with two or more places each, as many places together as digits."""
    found = set()
    for house in range(len(board.houses)):
        for digits in combinations([d for d in board.digits() if len(board.places(d, house)) >= 2], size):
            cells = {cell for digit in digits for cell in board.places(digit, house)}
            gone = frozenset((d, cell) for cell in cells for d in board.notes[cell] if d not in digits)
            if len(cells) == size and gone:
                found.add((house, frozenset(digits), frozenset(cells), gone))
    return found


def fish(board: Board, size: int) -> set[tuple[int, frozenset[int], frozenset[int], frozenset[Cand]]]:
    """(digit, base lines, cover lines, eliminated): as many cross lines as base lines hold every place."""
    found = set()
    for kind, cross in (("row", "column"), ("column", "row")):
        for digit in board.digits():
            for bases in combinations([h for h in board.of_kind(kind) if len(board.places(digit, h)) >= 2], size):
                corners = {cell for base in bases for cell in board.places(digit, base)}
                covers = [h for h in board.of_kind(cross) if corners & set(board.houses[h][1])]
                around = {cell for cover in covers for cell in board.places(digit, cover)} - corners
                if len(covers) == size and around:
                    gone = frozenset((digit, cell) for cell in around)
                    found.add((digit, frozenset(bases), frozenset(covers), gone))
    return found


# Two links of one digit


def skyscrapers(board: Board) -> set[tuple[int, frozenset[int], int, frozenset[Cand]]]:
    """(digit, lines, cross line, eliminated)."""
    found = set()
    for kind, cross in (("row", "column"), ("column", "row")):
        for digit, (first, second) in product(board.digits(), combinations(board.of_kind(kind), 2)):
            here, there = board.places(digit, first), board.places(digit, second)
            if len(here) != 2 or len(there) != 2:
                continue
            for (foot, end), (other_foot, other_end) in product(permutations(here), permutations(there)):
                between = [h for h in board.of_kind(cross) if {foot, other_foot} <= set(board.houses[h][1])]
                level = any({end, other_end} <= set(board.houses[h][1]) for h in board.of_kind(cross))
                gone = board.falls((digit, end), (digit, other_end))
                if between and not level and gone:
                    found.add((digit, frozenset((first, second)), between[0], gone))
    return found


def kites(board: Board) -> set[tuple[int, int, int, int, tuple[int, int], frozenset[Cand]]]:
    """(digit, row, column, region, free ends in row and column, eliminated)."""
    found = set()
    lines = product(board.digits(), board.of_kind("row"), board.of_kind("column"))
    for digit, row, column in lines:
        along, down = board.places(digit, row), board.places(digit, column)
        if len(along) != 2 or len(down) != 2 or len({*along, *down}) != 4:
            continue
        for (foot, end), (other_foot, other_end) in product(permutations(along), permutations(down)):
            gone = board.falls((digit, end), (digit, other_end))
            for region in board.regions():
                if {foot, other_foot} <= set(board.houses[region][1]) and gone:
                    found.add((digit, row, column, region, (end, other_end), gone))
    return found


# Wings


def xy_wings(board: Board) -> set[tuple[int, frozenset[int], int, frozenset[Cand]]]:
    """(pivot, pincers, digit, eliminated): pivot {x, y}, pincers {x, z} and {y, z}."""
    found = set()
    pairs = [cell for cell, digits in board.notes.items() if len(digits) == 2]
    for pivot in pairs:
        near = [cell for cell in pairs if board.share(cell, pivot)]
        for first, second in combinations(near, 2):
            for z in board.digits():
                x_and_y = [board.notes[pincer] - {z} for pincer in (first, second)]
                if not all(z in board.notes[pincer] for pincer in (first, second)) or z in board.notes[pivot]:
                    continue
                gone = board.falls((z, first), (z, second))
                if x_and_y[0] != x_and_y[1] and x_and_y[0] | x_and_y[1] == board.notes[pivot] and gone:
                    found.add((pivot, frozenset((first, second)), z, gone))
    return found


def xyz_wings(board: Board) -> set[tuple[int, frozenset[int], int, frozenset[Cand]]]:
    """(pivot, pincers, digit, eliminated): pivot {x, y, z}, pincers {x, z} and {y, z}."""
    found = set()
    for pivot in [cell for cell, digits in board.notes.items() if len(digits) == 3]:
        near = [cell for cell, digits in board.notes.items() if len(digits) == 2 and board.share(cell, pivot)]
        for first, second in combinations(near, 2):
            for z in board.notes[pivot]:
                x, y = sorted(board.notes[pivot] - {z})
                gone = board.falls((z, pivot), (z, first), (z, second))
                if [board.notes[first], board.notes[second]] in ([{x, z}, {y, z}], [{y, z}, {x, z}]) and gone:
                    found.add((pivot, frozenset((first, second)), z, gone))
    return found


def w_wings(board: Board) -> dict[tuple[tuple[int, int], frozenset[int], int, frozenset[Cand]], set[int]]:
    """(pincers, feet, digit, eliminated) and every bridge with these feet.

    Two cells {z, w} that share no house, and a house (the bridge) with two places of w (the feet) that see one each.
    Feet that both see both cells can be told either way round; that is one wing.
    """
    found: dict[tuple[tuple[int, int], frozenset[int], int, frozenset[Cand]], set[int]] = {}
    pairs = [cell for cell, digits in sorted(board.notes.items()) if len(digits) == 2]
    for first, second in combinations(pairs, 2):
        if board.notes[first] != board.notes[second] or board.share(first, second):
            continue
        for z, w in permutations(board.notes[first]):
            gone = board.falls((z, first), (z, second))
            for bridge in range(len(board.houses)):
                places = board.places(w, bridge)
                if len(places) != 2 or {first, second} & set(places) or not gone:
                    continue
                for p, q in permutations(places):
                    if board.share(p, first) and board.share(q, second):
                        found.setdefault(((first, second), frozenset((p, q)), z, gone), set()).add(bridge)
    return found


# Links and chains


def _both_ways(pairs: Iterable[tuple[Cand, Cand]]) -> Links:
    links: Links = {}
    for a, b in pairs:
        links.setdefault(a, set()).add(b)
        links.setdefault(b, set()).add(a)
    return links


def strong_links(board: Board, *, cells: bool = True, houses: bool = True) -> Links:
    """At least one of two is true: the candidates of a two-candidate cell, the two places of a digit in a house."""
    pairs = []
    for cell, digits in board.notes.items():
        if cells and len(digits) == 2:
            pairs.append(tuple((digit, cell) for digit in sorted(digits)))
    for house, digit in product(range(len(board.houses)), board.digits()):
        places = board.places(digit, house)
        if houses and len(places) == 2:
            pairs.append(tuple((digit, cell) for cell in places))
    return _both_ways(pairs)


def weak_links(board: Board, *, across: bool = True) -> Links:
    """At most one of two is true; without `across` only links between candidates of one digit."""
    pairs = combinations(board.candidates(), 2)
    return _both_ways((a, b) for a, b in pairs if board.sees(a, b) and (across or a[0] == b[0]))


def links_of(board: Board, kind: str) -> tuple[Links, Links]:
    """The strong and the weak links that a kind of chain may use: "X-chain", "XY-chain" or "chain"."""
    if kind == "X-chain":
        return strong_links(board, cells=False), weak_links(board, across=False)
    if kind == "XY-chain":
        return strong_links(board, houses=False), weak_links(board, across=False)
    return strong_links(board), weak_links(board)


def entailed(board: Board, strong: Links, weak: Links) -> tuple[set[Cand], set[Cand]] | None:
    """The candidates that the links alone make false, and those that they make true; None if they cannot all hold."""
    every = board.candidates()
    variable = {candidate: number for number, candidate in enumerate(every, 1)}
    with Solver(name="m22") as solver:
        for links, sign in ((strong, 1), (weak, -1)):
            for a, others in links.items():
                for b in others:
                    solver.add_clause([sign * variable[a], sign * variable[b]])
        if not solver.solve():
            return None
        false = {c for c in every if not solver.solve(assumptions=[variable[c]])}
        true = {c for c in every if not solver.solve(assumptions=[-variable[c]])}
    return false, true


def forced(strong: Links, weak: Links, starts: Iterable[Cand]) -> dict[Cand, int]:
    """What becomes true once one of `starts` is false, each with the fewest links to it (strong, weak, ..., strong)."""
    false, true = dict.fromkeys(starts, 0), {}
    edge, links = list(false), 0
    while edge:
        links += 1
        turned = []
        for candidate in edge:
            for other in strong.get(candidate, ()):
                if other not in true:
                    true[other] = links
                    turned.append(other)
        links += 1
        edge = []
        for candidate in turned:
            for other in weak.get(candidate, ()):
                if other not in false:
                    false[other] = links
                    edge.append(other)
    return true


def shortest_chains(board: Board, strong: Links, weak: Links) -> dict[Cand, int]:
    """For each candidate that a chain makes false, the fewest links of a chain whose two ends both conflict with it."""
    found = {}
    for z in board.candidates():
        ends = [end for end in board.candidates() if board.sees(z, end)]
        reached = forced(strong, weak, ends)
        lengths = [reached[end] for end in ends if end in reached]
        if lengths:
            found[z] = min(lengths)
    return found


def shortest_returns(board: Board, strong: Links, weak: Links) -> dict[Cand, int]:
    """For each candidate that a chain from itself to itself makes true, the fewest links of such a chain."""
    reached = {c: forced(strong, weak, [c]) for c in board.candidates()}
    return {c: others[c] for c, others in reached.items() if c in others}


def loop_eliminations(board: Board) -> set[Cand]:
    """What falls beside a weak link a-b of a loop: the rest of a cell or house of a and b, if a false makes b true."""
    strong, weak = links_of(board, "chain")
    reached = {c: forced(strong, weak, [c]) for c in board.candidates()}
    found: set[Cand] = set()
    for group in board.groups():
        for a, b in permutations(group, 2):
            if b in reached[a]:
                found |= set(group) - {a, b}
    return found


# Solutions


def sat_solutions(board: Board, limit: int) -> set[tuple[int, ...]]:
    """Up to `limit` solutions, each as the digits of all cells, by a SAT solver that knows only cells and houses."""
    cells = range(board.order**2)
    variable = {cand: n for n, cand in enumerate(product(board.digits(), cells), 1)}
    found: set[tuple[int, ...]] = set()
    with Solver(name="cadical153") as solver:
        for cell in cells:
            allowed = [board.placed[cell]] if cell in board.placed else board.notes[cell]
            solver.add_clause([variable[digit, cell] for digit in sorted(allowed)])
            for a, b in combinations(board.digits(), 2):
                solver.add_clause([-variable[a, cell], -variable[b, cell]])
        for (_, house), digit in product(board.houses, board.digits()):
            for a, b in combinations(house, 2):
                solver.add_clause([-variable[digit, a], -variable[digit, b]])
        while len(found) < limit and solver.solve():
            chosen = {n for n in solver.get_model() if n > 0}
            filling = tuple(next(d for d in board.digits() if variable[d, cell] in chosen) for cell in cells)
            found.add(filling)
            solver.add_clause([-variable[digit, cell] for cell, digit in enumerate(filling)])
    return found
