"""The swap rule: accepted only where a puzzle with one solution must have an exit true."""

from itertools import product

import pytest
from hypothesis import given, strategies as st
from test_kernel import exactly, judge, models

import deduce
from deduce.kernel import MAX_PATTERN, Constraint, Counting, Inference, Model, Swap


def rectangle(grid, rows, columns, digits, leave_out=()):
    """The swap over two digits in four cells: every other candidate of the cells is an exit."""
    layout = grid.layout
    cells = [layout.parse_cell(f"r{r}c{c}") for r in rows for c in columns]
    pattern = [layout.number(d, cell) for cell in cells for d in digits]
    live = [c for cell in cells for c in range(cell, layout.order * layout.cells, layout.cells) if grid.live >> c & 1]
    exits = [c for c in live if c not in pattern and str(layout.candidate(c)) not in leave_out]
    return Swap(tuple(pattern), tuple(exits))


def verdict(grid, swap):
    """Let the kernel judge the swap alone: with all exits but one ruled out, that one is true."""
    kept = swap.exits[0]
    gone = sum(1 << c for c in swap.exits[1:])
    position = deduce.Grid(grid.layout, grid.live & ~gone, grid.true, grid.givens)
    argument = Counting((), (), ((swap, 1),))
    proof = type("P", (), {"inferences": (Inference(argument, (), (kept,)),)})
    return deduce.check(position, proof)


def test_a_rectangle_over_two_boxes_has_an_exit():
    grid = deduce.Grid.empty()
    checked = verdict(grid, rectangle(grid, (1, 2), (1, 4), (1, 2)))
    assert checked.after.true


def test_a_rectangle_over_four_boxes_proves_nothing():
    grid = deduce.Grid.empty()
    with pytest.raises(deduce.ProofError, match="another filling for each one"):
        verdict(grid, rectangle(grid, (1, 4), (1, 4), (1, 2)))


def test_every_exit_must_be_named():
    grid = deduce.Grid.empty()
    with pytest.raises(deduce.ProofError, match="another filling for each one"):
        verdict(grid, rectangle(grid, (1, 2), (1, 4), (1, 2), leave_out=["7r2c4"]))


def test_a_given_cannot_be_exchanged_but_a_placed_digit_can():
    layout = deduce.Layout.standard()
    given_ = deduce.Grid.of(["1r1c1"])
    entered = deduce.Grid.from_numbers(layout, [], [layout.parse_candidate("1r1c1")])
    with pytest.raises(deduce.ProofError, match="not given"):
        verdict(given_, rectangle(given_, (1, 2), (1, 4), (1, 2)))
    assert verdict(entered, rectangle(entered, (1, 2), (1, 4), (1, 2))).after.true


def test_an_extra_region_is_honoured():
    """With a region that holds only one cell of the rectangle, exchanging the digits would be noticed there."""
    order, boxes = 4, [(0, 1, 4, 5), (2, 3, 6, 7), (8, 9, 12, 13), (10, 11, 14, 15)]
    plain = deduce.Grid.empty(deduce.Layout(order, boxes))
    diagonal = deduce.Grid.empty(deduce.Layout(order, [*boxes, (0, 5, 10, 15)]))
    assert verdict(plain, rectangle(plain, (1, 2), (1, 3), (1, 2))).after.true
    with pytest.raises(deduce.ProofError, match="another filling for each one"):
        verdict(diagonal, rectangle(diagonal, (1, 2), (1, 3), (1, 2)))


def test_a_swap_without_exits_is_a_contradiction():
    grid = deduce.Grid.empty()
    swap = rectangle(grid, (1, 2), (1, 4), (1, 2))
    bare = deduce.Grid(grid.layout, grid.live & ~sum(1 << c for c in swap.exits), 0, 0)
    proof = type("P", (), {"inferences": (Inference(Swap(swap.pattern, ())),)})
    assert deduce.check(bare, proof).contradiction


def test_large_swaps_are_refused_by_name():
    wide = Model([f"x{i}" for i in range(MAX_PATTERN + 2)], [exactly("all", *range(MAX_PATTERN + 2))])
    with pytest.raises(deduce.ProofError, match=f"at most {MAX_PATTERN} candidates"):
        judge(wide, [Inference(Swap(tuple(range(MAX_PATTERN + 1)), (MAX_PATTERN + 1,)), (), (MAX_PATTERN + 1,))])
    size = 40
    loose = Model([f"x{i}" for i in range(size + 1)], [Constraint("half", tuple((i, 1) for i in range(size)), 20, 20)])
    with pytest.raises(deduce.ProofError, match="trials settle"):
        judge(loose, [Inference(Swap(tuple(range(size)), (size,)), (), (size,))])


@st.composite
def puzzles(draw):
    """A small random model with givens, the position around one of its solutions, and a random swap."""
    size = draw(st.integers(3, 7))
    rules = []
    for number in range(draw(st.integers(1, 5))):
        chosen = draw(st.lists(st.integers(0, size - 1), min_size=2, max_size=4, unique=True))
        terms = tuple((c, draw(st.sampled_from([1, 1, 1, 1, 2, -1]))) for c in chosen)
        lower, upper = draw(st.sampled_from([(1, 1), (1, 1), (0, 1), (1, None), (None, 1), (2, 2)]))
        rules.append(Constraint(f"rule {number}", terms, lower, upper))
    givens = draw(st.integers(0, (1 << size) - 1)) & draw(st.integers(0, (1 << size) - 1))
    roles = draw(st.lists(st.sampled_from("ppe."), min_size=size, max_size=size))
    pattern = tuple(c for c in range(size) if roles[c] == "p" and not givens >> c & 1)
    exits = tuple(c for c in range(size) if roles[c] == "e")
    return Model([f"x{i}" for i in range(size)], rules), givens, Swap(pattern, exits)


@given(puzzles(), st.integers(0, 127), st.integers(0, 127))
def test_whatever_swap_the_kernel_accepts_has_an_exit_in_every_unique_solution(case, kept, known):
    model, givens, swap = case
    every = (1 << len(model.names)) - 1
    found = [s for s in models(model, every, 0) if not givens & ~s]
    if len(found) != 1:
        return
    (solution,) = found
    live, true = (solution | kept) & every, (solution & known) | givens
    inference = Inference(Counting((), (), ((swap, 1),)), (), swap.exits[:1] if len(swap.exits) == 1 else ())
    if len(swap.exits) > 1:
        # All exits but the first ruled out, so that the sum concludes something; sound only if they are false.
        gone = sum(1 << c for c in swap.exits[1:])
        if solution & gone:
            return
        live &= ~gone
        inference = Inference(Counting((), (), ((swap, 1),)), (), swap.exits[:1])
    if inference.true and (true >> swap.exits[0] & 1 or not live >> swap.exits[0] & 1):
        return
    try:
        judge(model, [inference], live, true, givens)
    except deduce.ProofError:
        return
    assert any(solution >> c & 1 for c in swap.exits)


def test_the_random_swaps_are_often_accepted():
    """The property above would hold of a kernel that refuses everything; this counts what is accepted."""
    accepted = 0
    pairs = Model("abcdefx", [exactly("r1", 0, 1, 6), exactly("r2", 2, 3), exactly("c1", 0, 2), exactly("c2", 1, 3)])
    for pattern in product((0, 1), repeat=4):
        chosen = tuple(c for c, on in enumerate(pattern) if on)
        try:
            judge(pairs, [Inference(Swap(chosen, (6,)), (), (6,))])
        except deduce.ProofError:
            continue
        accepted += 1
    assert accepted == 1


HEAVY = Constraint("heavy", ((0, 2**64), (1, 2**64)), 1, None)


def test_no_number_stands_for_an_open_side():
    """Of a and b one is true, and c would notice an exchange; "a or b" said in large numbers changes nothing."""
    exact = [exactly("ab", 0, 1), exactly("ac", 0, 2)]
    for rules in ([HEAVY, *exact], [Constraint("deep", ((0, -(2**64)), (1, -(2**64))), None, -1), *exact]):
        model = Model("abcz", rules)
        for inference in (Inference(Swap((0, 1), (3,)), (), (3,)), Inference(Swap((0, 1), ()))):
            with pytest.raises(deduce.ProofError, match="another filling for each one"):
                judge(model, [inference])
    assert judge(Model("abz", [HEAVY, exactly("ab", 0, 1)]), [Inference(Swap((0, 1), (2,)), (), (2,))]).after.true
