"""How far the levels go, by a plain program on sets that shares nothing with the library.

Every rule is written from its definition and applied to the whole grid again and again until nothing changes, so the
order of deductions does not matter: all these rules go on holding when candidates fall.
"""

from itertools import combinations

CELLS = [(row, column) for row in range(9) for column in range(9)]
ROWS = [[(row, column) for column in range(9)] for row in range(9)]
COLUMNS = [[(row, column) for row in range(9)] for column in range(9)]
BOXES = [[(r + i, c + j) for i in range(3) for j in range(3)] for r in (0, 3, 6) for c in (0, 3, 6)]
HOUSES = ROWS + COLUMNS + BOXES
PEERS = {cell: {other for house in HOUSES if cell in house for other in house} - {cell} for cell in CELLS}


def start(line):
    """The candidates of each cell before anything has been concluded."""
    given = {cell: int(char) for cell, char in zip(CELLS, line, strict=True) if char in "123456789"}
    return {cell: {given[cell]} if cell in given else {*range(1, 10)} for cell in CELLS}


def naked_singles(grid):
    for cell in CELLS:
        if len(grid[cell]) == 1:
            yield from ((peer, digit) for digit in grid[cell] for peer in PEERS[cell])


def hidden_singles(grid):
    for house in HOUSES:
        for digit in range(1, 10):
            places = [cell for cell in house if digit in grid[cell]]
            if len(places) == 1:
                yield from ((places[0], other) for other in {*range(1, 10)} - {digit})


def locked(grid):
    for one in HOUSES:
        for digit in range(1, 10):
            places = {cell for cell in one if digit in grid[cell]}
            for other in HOUSES:
                if other is not one and places <= {*other}:
                    yield from ((cell, digit) for cell in other if cell not in places)


def subsets(grid):
    """Naked subsets of every size; hidden ones say the same of the cells that are left."""
    for house in HOUSES:
        wide = [cell for cell in house if len(grid[cell]) > 1]
        for size in range(2, len(wide)):
            for cells in combinations(wide, size):
                digits = set().union(*(grid[cell] for cell in cells))
                if len(digits) == size:
                    yield from ((cell, digit) for cell in house if cell not in cells for digit in digits)


def fish(grid):
    for lines, crossing in ((ROWS, COLUMNS), (COLUMNS, ROWS)):
        for digit in range(1, 10):
            spans = [{i for i, cell in enumerate(line) if digit in grid[cell]} for line in lines]
            wide = [i for i, span in enumerate(spans) if len(span) > 1]
            for size in range(2, len(wide)):
                for chosen in combinations(wide, size):
                    across = set().union(*(spans[i] for i in chosen))
                    if len(across) == size:
                        yield from ((crossing[j][i], digit) for j in across for i in range(9) if i not in chosen)


def fixpoint(grid, rules):
    """Apply rules until nothing changes; return whether every cell is left with a candidate, and every digit."""
    changing = True
    while changing:
        changing = False
        for rule in rules:
            for cell, digit in [*rule(grid)]:
                if digit in grid[cell]:
                    grid[cell].discard(digit)
                    changing = True
            if changing:
                break  # the easiest rule first: it is the quickest
        if not all(grid.values()):
            return False
    return all(set().union(*(grid[cell] for cell in house)) == {*range(1, 10)} for house in HOUSES)


def refuted(grid):
    """Apply singles, and strike each candidate from which they lead to a contradiction, until nothing changes."""
    changing = True
    while changing:
        changing = False
        fixpoint(grid, SINGLES)
        for cell in CELLS:
            for digit in sorted(grid[cell]) if len(grid[cell]) > 1 else ():
                supposed = {other: {*digits} for other, digits in grid.items()}
                supposed[cell] = {digit}
                if not fixpoint(supposed, SINGLES):
                    grid[cell].discard(digit)
                    changing = True
                    fixpoint(grid, SINGLES)
                    break


SINGLES = (naked_singles, hidden_singles)
LEVELS = (
    (naked_singles,),
    SINGLES,
    (*SINGLES, locked),
    (*SINGLES, subsets),
    (*SINGLES, locked, subsets),
    (*SINGLES, locked, subsets, fish),
)


def solved(line):
    """For each level whether it solves the puzzle; the last is refutation of one candidate by singles, repeated."""
    found = []
    for rules in (*LEVELS, None):
        grid = start(line)
        if rules is None:
            refuted(grid)
        else:
            fixpoint(grid, rules)
        found.append(all(len(digits) == 1 for digits in grid.values()))
    return found
