"""Dull twins for nodes of several candidates, almost locked sets, and the patterns made of them.

Everything is written out as loops over the plain board of `reference`.  A *node* is a frozenset of candidates, true
when one of them is; links are sets of frozensets of two nodes.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator
from itertools import combinations, product
from typing import NamedTuple

from pysat.solvers import Solver
from reference import Board, Cand

Node = frozenset[Cand]
Pair = frozenset[Node]
Fallen = frozenset[Cand]
Size = int | tuple[bool, int]


class Net(NamedTuple):
    """Nodes with their links, as pairs and by node; `plain` strong links need no set of two or more cells."""

    nodes: set[Node]
    plain: set[Pair]
    strong: set[Pair]
    weak: set[Pair]
    partners: dict[Node, set[Node]]
    foes: dict[Node, set[Node]]


class Set(NamedTuple):
    """An almost locked set: its cells, and for each of its digits the places, the houses that hold them all, and what
    conflicts with them all.
    """

    cells: frozenset[int]
    places: dict[int, Node]
    homes: dict[int, set[int]]
    sees: dict[int, Fallen]


LINES = ("row", "column")


# Nodes and links


def subsets(items: Collection[Cand], least: int = 1) -> Iterator[Node]:
    for size in range(least, len(items) + 1):
        yield from map(frozenset, combinations(sorted(items), size))


def groups(board: Board) -> set[Node]:
    """Two or more candidates of one digit that two houses have in common."""
    found: set[Node] = set()
    for (one, other), digit in product(combinations(range(len(board.houses)), 2), board.digits()):
        both = [(digit, cell) for cell in board.places(digit, one) if cell in board.houses[other][1]]
        found |= set(subsets(both, 2))
    return found


def almost_locked(board: Board, sizes: Iterable[int] = (1, 2, 3, 4)) -> list[Set]:
    """Cells of a house that have candidates, one digit more than there are cells, each choice of cells once."""
    found: dict[frozenset[int], Set] = {}
    held = rules(board)
    for (_, house), size in product(board.houses, sizes):
        for cells in combinations([cell for cell in house if board.notes.get(cell)], size):
            digits = set().union(*(board.notes[cell] for cell in cells))
            if len(digits) == size + 1:
                places = {d: frozenset((d, cell) for cell in cells if d in board.notes[cell]) for d in digits}
                if frozenset(cells) not in found:
                    found[frozenset(cells)] = _set(board, held, cells, places)
    return list(found.values())


def _set(board: Board, held: list[Node], cells: tuple[int, ...], places: dict[int, Node]) -> Set:
    homes = {}
    for digit, node in places.items():
        homes[digit] = {h for h, (_, house) in enumerate(board.houses) if all(cell in house for _, cell in node)}
    sees = {digit: frozenset(z for rule in held if node <= rule for z in rule - node) for digit, node in places.items()}
    return Set(frozenset(cells), places, homes, sees)


def rules(board: Board) -> list[Node]:
    """What holds exactly one true candidate each."""
    return [frozenset(group) for group in board.groups()]


def net(board: Board, *, group: bool = False, sets: bool = False, digit: int | None = None, largest: int = 4) -> Net:
    """All nodes and links; with a digit only those of its places in houses."""
    cells = {frozenset((d, cell) for d in digits) for cell, digits in board.notes.items()}
    held = [rule for rule in rules(board) if digit is None or (rule not in cells and {d for d, _ in rule} == {digit})]
    singles = {frozenset([c]) for c in board.candidates() if digit in (None, c[0])}
    possible = singles | (groups(board) if group else set())
    plain = set()
    for rule in held:
        if len(rule) == 2:
            plain.add(frozenset(frozenset([c]) for c in rule))
        if rule not in cells:
            plain |= {frozenset((x, rule - x)) for x in subsets(rule) if x in possible and rule - x in possible}
    strong = set(plain)
    for one in almost_locked(board, range(2, largest + 1)) if sets else ():
        strong |= {frozenset(pair) for pair in combinations(one.places.values(), 2)}
    nodes = singles | {node for pair in strong for node in pair}
    weak = set()
    for rule in held:
        inside = [node for node in nodes if node <= rule]
        weak |= {frozenset((x, y)) for x, y in combinations(inside, 2) if not x & y}
    return Net(nodes, plain, strong, weak, neighbours(strong), neighbours(weak))


def entailed(links: Net) -> tuple[set[Cand], set[Cand]] | None:
    """The candidates that the clauses of the links make false, and those that they make true; None if they clash.

    One variable a node; one clause a link; and a node is true if a node inside it is.
    """
    variable = {node: number for number, node in enumerate(sorted(links.nodes, key=sorted), 1)}
    singles = [node for node in links.nodes if len(node) == 1]
    with Solver(name="m22") as solver:
        for pairs, sign in ((links.strong, 1), (links.weak, -1)):
            for one, other in map(tuple, pairs):
                solver.add_clause([sign * variable[one], sign * variable[other]])
        for inner, outer in product(links.nodes, links.nodes):
            if inner < outer:
                solver.add_clause([-variable[inner], variable[outer]])
        if not solver.solve():
            return None
        false = {c for node in singles if not solver.solve(assumptions=[variable[node]]) for c in node}
        true = {c for node in singles if not solver.solve(assumptions=[-variable[node]]) for c in node}
    return false, true


def neighbours(pairs: set[Pair]) -> dict[Node, set[Node]]:
    found: dict[Node, set[Node]] = {}
    for one, other in map(tuple, pairs):
        found.setdefault(one, set()).add(other)
        found.setdefault(other, set()).add(one)
    return found


# Chains


def fewest_links(links: Net, starts: Iterable[Node]) -> dict[Node, int]:
    """What becomes true once no start is, each with the fewest links to it."""
    strong, weak = links.partners, links.foes
    false, true, size = dict.fromkeys(starts, 0), {}, 0
    edge = list(false)
    while edge:
        turned = []
        for node in edge:
            for other in strong.get(node, ()):
                if other not in true:
                    true[other] = size + 1
                    turned.append(other)
        size += 2
        edge = []
        for node in turned:
            for other in weak.get(node, ()):
                if other not in false:
                    false[other] = size
                    edge.append(other)
    return true


def settled_in(links: Net) -> dict[Cand, int]:
    """For each candidate that a chain eliminates or places, the fewest links of such a chain."""
    found = {}
    for single in (node for node in links.nodes if len(node) == 1):
        (candidate,) = single
        lengths = []
        sees = links.foes.get(single, set())
        for ends in (sees, {single}):
            reached = fewest_links(links, ends)
            lengths += [reached[end] for end in ends if end in reached]
        if lengths:
            found[candidate] = min(lengths)
    return found


def chains(links: Net, starts: set[Node], targets: set[Node], longest: int) -> list[tuple[Node, ...]]:
    """Every chain from a start to a target, of at most so many links; no node false twice, none true twice."""
    strong, weak = links.partners, links.foes
    found: list[tuple[Node, ...]] = []

    def extend(way: tuple[Node, ...]) -> None:
        for other in strong.get(way[-1], ()):
            if other in way[1::2]:
                continue
            longer = (*way, other)
            if other in targets:
                found.append(longer)
            if len(longer) + 1 <= longest:
                for turn in weak.get(other, ()):
                    if turn not in way[::2]:
                        extend((*longer, turn))

    for start in starts:
        extend((start,))
    return found


def rank(links: Net, way: tuple[Node, ...]) -> tuple[int, int, int, int]:
    """Almost locked sets, nodes of several candidates, digits, minus the cells of two candidates."""
    pairs = [frozenset(pair) for pair in zip(way[::2], way[1::2], strict=True)]
    bivalue = [pair for pair in pairs if pair in links.plain and len({cell for node in pair for _, cell in node}) == 1]
    # A plain link inside one cell joins two digits; places of one digit never stand in one cell.
    return (
        sum(pair not in links.plain for pair in pairs),
        sum(len(node) > 1 for node in way),
        len({digit for node in way for digit, _ in node}),
        -len(bivalue),
    )


# Patterns on one digit


def together(board: Board, *nodes: Node) -> Fallen:
    """What one house or cell holds together with each of these nodes, though not the same one for all."""
    fallen = [{z for rule in rules(board) if node <= rule for z in rule - node} for node in nodes]
    return frozenset(set.intersection(*fallen) - set().union(*nodes))


def empty_rectangles(board: Board) -> set[tuple[int, int, tuple[int, int], frozenset[int], Fallen]]:
    """(digit, region, arms, places in the line, eliminated)."""
    found = set()
    for region, digit in product(board.regions(), board.digits()):
        inside = board.places(digit, region)
        if len(inside) < 3:
            continue
        for first, second in product(board.of_kind(*LINES), repeat=2):
            row, column = set(board.houses[first][1]), set(board.houses[second][1])
            near = [cell for cell in inside if cell in row]
            far = [cell for cell in inside if cell in column and cell not in row]
            if board.houses[first][0] == board.houses[second][0] or len(near) + len(far) < len(inside):
                continue
            if not far or all(cell in column for cell in near):
                continue
            for line in board.of_kind(*LINES):
                ends = board.places(digit, line)
                if len(ends) != 2 or line in (first, second):
                    continue
                for foot, end in (ends, ends[::-1]):
                    if foot not in column or foot in board.houses[region][1]:
                        continue
                    if end in row or end in column or end in inside:
                        continue
                    gone = together(board, frozenset((digit, c) for c in near), frozenset([(digit, end)]))
                    if gone:
                        found.add((digit, region, (first, second), frozenset(ends), gone))
    return found


def finned_fish(board: Board, size: int) -> set[tuple[str, int, frozenset[int], frozenset[int], int, Fallen]]:
    """(kind, digit, base lines, cover lines, region of the fins, eliminated)."""
    found = set()
    for (kind, cross), digit in product((LINES, LINES[::-1]), board.digits()):
        lines = [h for h in board.of_kind(kind) if len(board.places(digit, h)) >= 2]
        for bases, region in product(combinations(lines, size), board.regions()):
            corner = set(board.houses[region][1])
            places = [board.places(digit, h) for h in bases]
            outside = {cell for row in places for cell in row if cell not in corner}
            covers = [h for h in board.of_kind(cross) if outside & set(board.houses[h][1])]
            if len(covers) != size:
                continue
            covered = {cell for h in covers for cell in board.houses[h][1]}
            fins = {cell for row in places for cell in row} - covered
            kept = [len(covered & set(row)) for row in places]
            held = {cell for h in bases for cell in board.houses[h][1]}
            gone = frozenset((digit, c) for c in board.places(digit, region) if c in covered and c not in held)
            if fins and min(kept) >= 1 and gone:
                what = "sashimi" if min(kept) == 1 else "finned"
                found.add((what, digit, frozenset(bases), frozenset(covers), region, gone))
    return found


def remote_pairs(board: Board) -> dict[tuple[frozenset[int], Fallen], int]:
    """(ends, eliminated) and the fewest cells of such a row between these ends."""
    found = {}
    pairs = {cell: digits for cell, digits in board.notes.items() if len(digits) == 2}
    for start, digits in pairs.items():
        steps, edge = {start: 0}, [start]
        for cell in edge:
            for other in pairs:
                if other not in steps and pairs[other] == digits and board.share(cell, other):
                    steps[other] = steps[cell] + 1
                    edge.append(other)
        for end, count in steps.items():
            gone = frozenset(z for d in digits for z in board.falls((d, start), (d, end)))
            if count >= 3 and count % 2 and gone:
                found[frozenset((start, end)), gone] = count + 1
    return found


# Almost locked sets that restrict one another


def needs_all(board: Board, one: Set, *digits: int) -> bool:
    """Whether no cell of a larger set has just these two digits: then that cell would be the set."""
    return len(one.cells) == 1 or all(board.notes[cell] != set(digits) for cell in one.cells)


def restricted(one: Set, other: Set) -> list[int]:
    """The digits that only one of two sets without a common cell can have."""
    if one.cells & other.cells:
        return []
    return [d for d in sorted(one.places.keys() & other.places.keys()) if one.homes[d] & other.homes[d]]


def cheapest(facts: Iterable[tuple[Size, Fallen]]) -> dict[Cand, Size]:
    """For each candidate that falls the fewest cells with which it does."""
    found: dict[Cand, Size] = {}
    for cells, gone in facts:
        for candidate in gone:
            found[candidate] = min(cells, found.get(candidate, cells))
    return found


def size_of_two(one: Set, other: Set) -> tuple[bool, int]:
    """Whether one of the sets has five cells, and how many cells there are together."""
    return max(len(one.cells), len(other.cells)) > 4, len(one.cells) + len(other.cells)


def als_xz(board: Board) -> Iterator[tuple[Size, Fallen]]:
    """(size, eliminated)."""
    for one, other in combinations(almost_locked(board, (1, 2, 3, 4, 5)), 2):
        cells = size_of_two(one, other)
        for x, z in product(restricted(one, other), one.places.keys() & other.places.keys()):
            if x != z and cells[1] > 2 and needs_all(board, one, x, z) and needs_all(board, other, x, z):
                yield cells, one.sees[z] & other.sees[z]


def doubly_linked(board: Board) -> Iterator[tuple[Size, Fallen]]:
    """(size, eliminated): x and y locked into both sets, every other digit into its own."""
    for one, other in combinations(almost_locked(board, (1, 2, 3, 4, 5)), 2):
        cells = size_of_two(one, other)
        for x, y in combinations(restricted(one, other), 2):
            if cells[1] < 3 or not needs_all(board, one, x, y) or not needs_all(board, other, x, y):
                continue
            locked = [one.places[d] | other.places[d] for d in (x, y)]
            fallen = [part.sees[d] for part in (one, other) for d in part.places if d not in (x, y)]
            yield cells, frozenset().union(*fallen, *(together(board, node) for node in locked))


def als_xy_wings(board: Board) -> Iterator[tuple[int, Fallen]]:
    """(cells together, eliminated)."""
    sets = almost_locked(board)
    near = {i: [(j, d) for j, other in enumerate(sets) for d in restricted(one, other)] for i, one in enumerate(sets)}
    for i, pivot in enumerate(sets):
        for (j, x), (k, y) in combinations(near[i], 2):
            one, other = sets[j], sets[k]
            cells = len(pivot.cells | one.cells | other.cells)
            if x == y or one.cells & other.cells or cells == 3 or not needs_all(board, pivot, x, y):
                continue
            for z in one.places.keys() & other.places.keys() - {x, y}:
                if needs_all(board, one, x, z) and needs_all(board, other, y, z):
                    yield cells, one.sees[z] & other.sees[z]


def death_blossoms(board: Board) -> dict[Cand, Size]:
    """For each candidate that a blossom eliminates whether petals share a cell, and their fewest cells together."""
    found: dict[Cand, Size] = {}
    sets = almost_locked(board)
    for stem, digits in board.notes.items():
        for victim in board.candidates() if len(digits) > 2 else ():
            z = victim[0]
            if z in digits:
                continue
            petals = []
            for digit in digits:
                fit = [
                    one.cells
                    for one in sets
                    if {digit, z} <= one.sees.keys() and (digit, stem) in one.sees[digit] and victim in one.sees[z]
                ]
                # A larger set around another one is never needed.
                petals.append([cells for cells in fit if not any(other < cells for other in fit)])
            if all(petals):
                apart = fewest_apart(sorted(petals, key=len), frozenset())
                together = sum(min(map(len, fit)) for fit in petals)
                found[victim] = min((apart is None, apart or together), found.get(victim, (True, 1000)))
    return found


def fewest_apart(petals: list[list[frozenset[int]]], used: frozenset[int]) -> int | None:
    """How many cells one set of each list has at least, without a common cell; None if they all have one."""
    if not petals:
        return 0
    sizes = []
    for cells in petals[0]:
        rest = None if cells & used else fewest_apart(petals[1:], used | cells)
        if rest is not None:
            sizes.append(len(cells) + rest)
    return min(sizes, default=None)


# As many cells as digits, where houses cross


def in_one_house(board: Board, cells: Collection[int]) -> bool:
    return any(set(cells) <= set(house) for _, house in board.houses)


def wxyz_wings(board: Board) -> set[tuple[frozenset[int], int, Fallen]]:
    """(cells, the digit that falls, eliminated)."""
    found = set()
    small = [cell for cell, digits in board.notes.items() if 2 <= len(digits) <= 4]
    for digits in combinations(board.digits(), 4):
        for cells in combinations([cell for cell in small if board.notes[cell] <= set(digits)], 4):
            places = {d: [cell for cell in cells if d in board.notes[cell]] for d in digits}
            loose = [d for d in digits if not in_one_house(board, places[d])]
            if all(places.values()) and len(loose) == 1:
                (z,) = loose
                gone = board.falls(*((z, cell) for cell in places[z]))
                if gone:
                    found.add((frozenset(cells), z, gone))
    return found


def sue_de_coq(board: Board) -> Iterator[tuple[int, Fallen]]:
    """(cells together, eliminated)."""

    def digits(cells: Iterable[int]) -> set[int]:
        return set().union(*(board.notes[cell] for cell in cells))

    for line, region in product(board.of_kind(*LINES), board.regions()):
        row, block = ([c for c in board.houses[h][1] if c in board.notes] for h in (line, region))
        own = [part for n in (1, 2, 3) for part in combinations([c for c in row if c not in block], n)]
        others = [part for n in (1, 2, 3) for part in combinations([c for c in block if c not in row], n)]
        shared = [c for c in row if c in block]
        for middle in [part for n in (2, 3) for part in combinations(shared, n)]:
            if len(digits(middle)) < len(middle) + 2:
                continue
            for one, other in product(own, others):
                cells = {*middle, *one, *other}
                if digits(one) & digits(other) or len(digits(cells)) != len(cells):
                    continue
                # Neither set is enough without the other, nor useless.
                if any(len(digits((*middle, *part))) <= len(middle) + len(part) for part in (one, other)):
                    continue
                gone = set()
                for house, kept in ((row, digits(one)), (block, digits(other))):
                    for digit in kept | (digits(middle) - digits(one) - digits(other)):
                        gone |= {(digit, c) for c in house if c not in cells and digit in board.notes[c]}
                yield len(cells), frozenset(gone)
