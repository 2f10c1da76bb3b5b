"""Judges of claims that share nothing with the library: a SAT solver for truth, loops over plain data for links."""

from functools import lru_cache
from itertools import combinations

from reference import Board
from sat import knowing

rules = lru_cache(maxsize=8)(knowing)


def clues(grid):
    """The givens as literals."""
    return [c + 1 for c in range(len(grid.model.names)) if grid.givens >> c & 1]


def entailed(grid, eliminates, places):
    """Whether the puzzle has a solution, and whether every solution has these candidates false and those true."""
    solver, given = rules(grid.layout), clues(grid)
    denials = [c + 1 for c in eliminates] + [-c - 1 for c in places]
    return solver.solve(given), not any(solver.solve([*given, denial]) for denial in denials)


def is_solution(grid, solution):
    """Whether a solved grid obeys every rule and keeps every given."""
    true = [c + 1 for c in range(len(grid.model.names)) if solution.true >> c & 1]
    return len(true) == grid.layout.cells and rules(grid.layout).solve([*clues(grid), *true])


def first_fault(grid, nodes, strong):
    """The number of the first link that does not hold or breaks the order strong, weak, strong...; None without one.

    Nodes are lists of (digit, cell); the links are read from the notes alone.
    """
    board = Board.of(grid)
    for number, (near, far, is_strong) in enumerate(zip(nodes, nodes[1:], strong, strict=False), 1):
        if is_strong != (number % 2 == 1) or not _holds(board, set(near), set(far), is_strong):
            return number
    return None


def _holds(board, near, far, strong):
    noted = set(board.candidates())
    near, far = near & noted, far & noted
    if not near or not far or near == far:
        return False
    if strong:
        return any(near | far >= set(group) and (near | far) <= set(group) for group in board.groups()) or _by_set(
            board, near, far
        )
    return not near & far and any((near | far) <= set(group) for group in _rules(board))


def _rules(board):
    yield from ([(d, cell) for d in board.digits()] for cell in range(board.order**2))
    yield from ([(d, cell) for cell in house] for _, house in board.houses for d in board.digits())


def _by_set(board, near, far):
    """Whether up to four cells of a house with one digit more than cells have their two digits in just these places."""
    (one, other) = ({d for d, _ in near}, {d for d, _ in far})
    if len(one) != 1 or len(other) != 1 or one == other:
        return False
    for _, house in board.houses:
        open_cells = [cell for cell in house if cell in board.notes]
        for size in range(1, 5):
            for cells in combinations(open_cells, size):
                digits = set().union(*(board.notes[cell] for cell in cells))
                if len(digits) == size + 1 and one | other <= digits:
                    places = [{(d, c) for c in cells if d in board.notes[c]} for d in (*one, *other)]
                    if places == [near, far]:
                        return True
    return False
