"""Where a swappable would be noticed there is no swap: extra houses, cages, givens; and puzzles with two solutions."""

from __future__ import annotations

from itertools import combinations, product
from random import Random

import pytest
from hypothesis import given, strategies as st
from pysat.card import CardEnc, EncType
from pysat.formula import IDPool
from pysat.solvers import Solver
from strategies import minimal, solution

import deduce
from deduce.errors import ProofError
from deduce.kernel import Constraint, Counting, Inference, Model, Swap, check
from deduce.links.swaps import Swappable, exchangeable, rectangle_corners, rectangles, swappable_over
from deduce.patterns import UNIQUE
from deduce.patterns.catalogue import find_unasked
from deduce.positions import bits
from deduce.proof import Pattern, Proof

NINE = deduce.Layout.standard()
BOXES = [house.cells for house in NINE.houses[18:]]
WINDOWS = deduce.Layout(
    9, BOXES + [[r * 9 + c for r in range(t, t + 3) for c in range(s, s + 3)] for t in (1, 5) for s in (1, 5)]
)
DIAGONALS = deduce.Layout(9, [*BOXES, [10 * i for i in range(9)], [8 * i + 8 for i in range(9)]])


def accepts(grid, swap):
    """Whether the kernel accepts a swap: with all exits but one ruled out, that one is true."""
    kept = swap.exits[0]
    gone = sum(1 << c for c in swap.exits[1:])
    there = deduce.Grid(grid.layout, grid.live & ~gone, grid.true, grid.givens)
    try:
        check(there, Proof(there, (Inference(Counting((), (), ((swap, 1),)), (), (kept,)),), Pattern("swap")))
    except ProofError as error:
        if "another filling for each one" in str(error):
            return False
        raise
    return True


def thin(layout, corners, digits, extra):
    """An empty grid in which four corners hold two digits, and one of them one more."""
    keep = {layout.number(d, cell) for d in digits for cell in corners} | {layout.number(extra, corners[0])}
    gone = sum(1 << c for cell in corners for c in bits(layout.masks[cell]) if c not in keep)
    return deduce.Grid(layout, layout.every & ~gone, 0, 0)


@pytest.mark.parametrize("layout", [WINDOWS, DIAGONALS], ids=["windows", "diagonals"])
def test_a_rectangle_that_an_extra_house_notices_is_refused(layout):
    """Of all rectangles of the plain layout some are noticed by the extra houses; kernel and finders agree on which."""
    refused = kept = 0
    for top, bottom in combinations(range(9), 2):
        for left, right in combinations(range(9), 2):
            corners = tuple(r * 9 + c for r in (top, bottom) for c in (left, right))
            if corners not in rectangle_corners(NINE) or (top + left + right) % 3:
                continue
            plain, special = thin(NINE, corners, (1, 2), 3), thin(layout, corners, (1, 2), 3)
            swap = swappable_over(plain, corners, (1, 2)).swap
            assert accepts(plain, swap)
            ours = [one for one in rectangles(special) if one.cells == corners]
            told = list(find_unasked(special, UNIQUE))
            if corners in rectangle_corners(layout):
                kept += 1
                assert accepts(special, swap)
                assert [one.digits for one in ours] == [(1, 2)]
                continue
            assert not ours
            assert not told
            # Where opposite corners share an extra house, the two digits cannot fill the corners at all, and the
            # kernel has nothing to object to.
            crossing = any(layout.neighbours[a] >> b & 1 for a, b in (corners[::3], corners[1:3]))
            assert accepts(special, swap) == crossing
            refused += not crossing
            assert [one.cells for one in rectangles(plain) if one.cells == corners]
    assert refused > 10
    assert kept > 10


def cage_model(pairs, total):
    """Four cells with the digits 1 to 4 in two rows and two columns, and a cage over some of them, built by hand."""
    cells, digits = range(4), range(4)
    names = [f"{d + 1}{'ABCD'[cell]}" for d in digits for cell in cells]
    number = {(d, cell): d * 4 + cell for d in digits for cell in cells}
    rules = [Constraint(f"cell {cell}", tuple((number[d, cell], 1) for d in digits), 1, 1) for cell in cells]
    for house in ((0, 1), (2, 3), (0, 2), (1, 3)):
        rules += [Constraint(f"{d} in {house}", tuple((number[d, cell], 1) for cell in house), 0, 1) for d in digits]
    terms = tuple((number[d, cell], d + 1) for cell in pairs for d in digits)
    rules.append(Constraint("cage", terms, total, total))
    return Model(names, rules), number


@pytest.mark.parametrize(("cage", "total", "kept"), [((0, 1), 3, True), ((0, 3), 4, False), ((0,), 1, False)])
def test_a_cage_is_honoured(cage, total, kept):
    """Two digits may change places if the cage keeps its sum, and not if it notices."""
    model, number = cage_model(cage, total)
    pattern = tuple(number[d, cell] for d in (0, 1) for cell in range(4))
    exits = tuple(number[d, 2] for d in (2, 3))
    live = sum(1 << c for c in (*pattern, exits[0]))
    grid = type("G", (), {"model": model, "live": live, "true": 0, "givens": 0})
    proof = type("P", (), {"inferences": (Inference(Swap(pattern, exits), (), exits[:1]),)})
    if kept:
        # One exit is dead, so the other is true.
        grid.live = live
        inference = Inference(Counting((), (), ((Swap(pattern, exits[:1]), 1),)), (), exits[:1])
        proof.inferences = (inference,)
        assert check(grid, proof).after.true >> exits[0] & 1
        return
    with pytest.raises(ProofError, match="another filling for each one"):
        check(grid, proof)


@pytest.mark.parametrize(
    ("rule", "noticed"),
    [
        ("cage r1c1-r1c4 = 13", False),
        ("cage r1c1 r1c4 = 3", False),
        ("total r1c1 r2c4 = 2", True),
        ("cage r1c1 r1c2 = 7", True),
        ("cage r5c5 r5c6 = 7", False),
        ("r1c1 < r1c2", True),
        ("knight", True),
        ("diagonals", True),
    ],
)
def test_a_rule_of_the_layout_is_honoured(rule, noticed):
    layout = deduce.Layout.parse(f"grid 9\n{rule}")
    corners = tuple(layout.parse_cell(name) for name in ("r1c1", "r1c4", "r2c1", "r2c4"))
    grid = thin(layout, corners, (1, 2), 3)
    found = [one for one in rectangles(grid) if one.cells == corners]
    assert bool(found) != noticed
    assert bool(list(find_unasked(grid, UNIQUE))) != noticed
    swap = swappable_over(grid, corners, (1, 2)).swap
    assert accepts(grid, swap) != noticed


def test_a_given_corner_spoils_a_rectangle_and_a_placed_one_does_not():
    corners = (0, 3, 9, 12)
    grid = thin(NINE, corners, (1, 2), 3)
    at = NINE.number(1, 12)
    placed = deduce.Grid.from_numbers(NINE, [], [at], grid.live)
    as_given = deduce.Grid.from_numbers(NINE, [at], [], grid.live)
    assert [one for one in rectangles(placed) if one.cells == corners]
    assert not [one for one in rectangles(as_given) if one.cells == corners]
    assert [p.pattern.name for p in find_unasked(placed, ["avoidable rectangle"])] == ["avoidable rectangle"]
    assert list(find_unasked(as_given, UNIQUE)) == []


def independent(model, grid, swap):
    """Whether every filling of a swap's pattern has another one of the same totals, by SAT over cardinality rules."""
    pattern, named = list(swap.pattern), {*swap.pattern, *swap.exits}
    rules = sorted({n for c in pattern for n in model.touching[c]})

    def clauses(pool, bounds):
        """For each rule bounds on how many of its pattern candidates are true."""
        found = []
        for number, (low, high) in bounds.items():
            here = [pool.id(c) for c, _ in model.constraints[number].terms if c in swap.pattern]
            if high < 0 or low > len(here):
                return [[pool.id("never")], [-pool.id("never")]]
            if high < len(here):
                found += CardEnc.atmost(here, high, vpool=pool, encoding=EncType.seqcounter).clauses
            if low > 0:
                found += CardEnc.atleast(here, low, vpool=pool, encoding=EncType.seqcounter).clauses
        return found

    bounds = {}
    for number in rules:
        rule = model.constraints[number]
        outside = [c for c, _ in rule.terms if c not in named and grid.live >> c & 1]
        fixed = sum(grid.true >> c & 1 for c in outside)
        low = 0 if rule.lower is None else rule.lower - len(outside)
        high = len(rule.terms) if rule.upper is None else rule.upper - fixed
        bounds[number] = (low, high)
    pool = IDPool()
    for c in pattern:
        pool.id(c)
    with Solver(name="m22") as first:
        first.append_formula(clauses(pool, bounds))
        for c in pattern:
            if not grid.live >> c & 1:
                first.add_clause([-pool.id(c)])
            elif grid.true >> c & 1:
                first.add_clause([pool.id(c)])
        while first.solve():
            true = {v for v in first.get_model() if v > 0}
            filling = {c: pool.id(c) in true for c in pattern}
            exact = {}
            for number in rules:
                total = sum(filling[c] for c, _ in model.constraints[number].terms if c in filling)
                exact[number] = (total, total)
            again = IDPool()
            for c in pattern:
                again.id(c)
            with Solver(name="m22") as second:
                second.append_formula(clauses(again, exact))
                second.add_clause([-again.id(c) if value else again.id(c) for c, value in filling.items()])
                if not second.solve():
                    return False
            first.add_clause([-pool.id(c) if value else pool.id(c) for c, value in filling.items()])
    return True


@given(st.integers(0, 10**6))
def test_the_kernel_agrees_with_an_independent_enumeration(seed):
    """Random cells and digits on small grids: accepted exactly if SAT finds another filling for each filling."""
    rng = Random(seed)
    full = solution(minimal("4x4" if rng.random() < 0.5 else "6x6", rng.randrange(40)))
    layout = full.layout
    lines = rng.choice([2, 2, 3])
    rows, columns = (sorted(rng.sample(range(layout.order), lines)) for _ in range(2))
    cells = [r * layout.order + c for r, c in product(rows, columns)]
    cells = cells[: rng.choice([len(cells), len(cells), len(cells) - 1])]
    digits = rng.sample(range(1, layout.order + 1), rng.choice([2, 2, 3]))
    pattern = tuple(layout.number(d, cell) for d in digits for cell in cells)
    shown = [c for c in bits(full.true) if c % layout.cells not in cells and rng.random() < 0.3]
    grid = deduce.Grid.from_numbers(layout, shown)
    wrong = [c for c in bits(grid.live & ~grid.true & ~full.true) if rng.random() < 0.3]
    grid = deduce.Grid(layout, grid.live & ~sum(1 << c for c in wrong), grid.true, grid.givens)
    exits = tuple(c for cell in cells for c in bits(grid.live & layout.masks[cell]) if c not in pattern)
    if rng.random() < 0.2:
        exits = exits[1:]
    if exits:
        swap = Swap(pattern, exits)
        assert accepts(grid, swap) == independent(layout.model, grid, swap), (grid.pencil(), swap)


def test_both_answers_come_up():
    """Of the rectangles on an empty grid half are swaps: the property above is not about refusals alone."""
    grid = deduce.Grid.empty(deduce.Layout.standard(4))
    seen = []
    for (a, d), (b, c) in product(combinations(range(4), 2), combinations(range(4), 2)):
        corners = (a * 4 + b, a * 4 + c, d * 4 + b, d * 4 + c)
        one: Swappable = swappable_over(grid, corners, (1, 2))
        seen.append(accepts(grid, one.swap))
        assert seen[-1] == independent(grid.model, grid, one.swap) == exchangeable(grid.layout, corners, (1, 2))
    assert 0 < sum(seen) < len(seen)
