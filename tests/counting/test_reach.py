"""Everything that counting reaches: against scipy's interior point method, brute force, and the finders."""

import subprocess
import sys

import pytest
from counting.positions import PLAIN, caged, fillings, judge, place_of, relaxed, stuck
from hypothesis import given, settings, strategies as st

import deduce
from deduce import counting
from deduce.counting.exact import CountingError, exact_duals, read_off, whole_weights
from deduce.counting.program import Program
from deduce.counting.reach import counting_reach
from deduce.counting.system import System
from deduce.kernel import Constraint, Model, Position, check, place
from deduce.patterns.catalogue import find
from deduce.positions import bits
from deduce.puzzle.layout import Layout


def assert_complete(model, position):
    """Every open candidate is settled exactly if fractions cannot contradict it, and every inference holds."""
    found = counting_reach(model, position)
    for inference in found.inferences:
        judge(model, position, inference)
    if found.contradiction:
        assert not any(relaxed(model, position, c, 0) or relaxed(model, position, c, 1) for c in bits(position.live))
        return found
    for c in bits(position.live & ~position.true):
        assert bool(found.false >> c & 1) == (not relaxed(model, position, c, 1)), model.names[c]
        assert bool(found.true >> c & 1) == (not relaxed(model, position, c, 0)), model.names[c]
    return found


@pytest.mark.parametrize("seed", range(8))
@pytest.mark.parametrize("order", [4, 6])
def test_nothing_is_missed_and_nothing_is_too_much(order, seed):
    grid = stuck(seed, order, PLAIN[:1])
    start = stuck(seed, order, ("naked quad",))
    for position in (grid, start):
        assert_complete(position.model, place_of(position))


@pytest.mark.thorough
@pytest.mark.parametrize("seed", range(1, 9))
def test_nothing_is_missed_on_9x9(seed):
    grid = stuck(seed)
    if not grid.solved:
        assert_complete(grid.model, place_of(grid))


def test_one_9x9_position_against_the_second_solver():
    grid = stuck(6)
    assert not grid.solved
    found = assert_complete(grid.model, place_of(grid))
    assert found.false.bit_count() > 10


@given(seed=st.integers(0, 99), gone=st.integers(0, 2**16))
@settings(max_examples=25)
def test_what_counting_concludes_is_true_in_every_solution(seed, gone):
    grid = stuck(seed, 4, ("naked quad",))
    solution = next(deduce.solutions(grid, 1)).true
    wrong = [c for i, c in enumerate(bits(grid.live & ~solution)) if gone >> i % 16 & 1]
    grid = grid.without(grid.candidate(c) for c in wrong[::3])
    every = [solved.true for solved in deduce.solutions(grid, None)]
    found = counting_reach(grid.model, place_of(grid))
    assert not found.contradiction
    for true in every:
        assert not true & found.false
        assert found.true & ~true == 0


@pytest.mark.parametrize("seed", [6, 13, 17])
def test_what_the_finders_see_is_among_it(seed):
    grid = stuck(seed)
    found = counting_reach(grid.model, place_of(grid))
    seen = 0
    for proof in find(grid):
        for inference in proof.inferences[:1]:
            assert not sum(1 << c for c in inference.false) & ~found.false
            assert not sum(1 << c for c in inference.true) & ~found.true
            seen += 1
    assert seen


def test_a_contradictory_position_yields_its_contradiction_as_an_argument():
    grid = deduce.Grid.parse("12.. 3... .... ...1")
    # 1, 2 and 3 are left to the three open cells of row 4, but each of two cells has room for the same one only.
    layout = grid.layout
    gone = [f"{d}r{r}c{c}" for r, c, d in ((2, 3, 2), (2, 3, 4), (2, 4, 4), (2, 2, 4), (1, 3, 3))]
    dead = grid.without([name for name in gone if grid.live >> layout.parse_candidate(name) & 1])
    found = counting.eliminations(dead)
    assert found.false == found.true == ()
    (proof,) = found.proofs
    assert proof.contradiction
    assert check(dead, proof).contradiction
    assert not list(deduce.solutions(dead))


def test_two_placed_digits_that_clash_are_a_contradiction():
    (proof,) = counting.eliminations(deduce.Grid.parse("11..............")).proofs
    assert proof.contradiction


def test_cages_with_sums():
    # Row 1 of a 4x4 grid in two cages: 3 = 1 + 2, so 3 and 4 fall there, and 1 and 2 from the rest of the row.
    model = caged({(0, 1): 3, (2, 3, 7): 8})
    position = Position((1 << 64) - 1, 0)
    found = assert_complete(model, position)
    names = {model.names[c] for c in bits(found.false)}
    assert {"3r1c1", "4r1c1", "3r1c2", "4r1c2", "1r1c3", "2r1c3", "1r1c4", "2r1c4"} <= names
    position = place(model, position, 0)
    after = assert_complete(model, position)
    assert after.true >> 16 + 1 & 1, "2r1c2 fills the cage"


@given(st.data())
@settings(max_examples=30)
def test_general_linear_constraints_against_brute_force(data):
    size = data.draw(st.integers(2, 5))
    rules = []
    for i in range(data.draw(st.integers(1, 4))):
        terms = tuple((c, a) for c in range(size) if (a := data.draw(st.integers(-3, 3), label=f"coefficient {i} {c}")))
        low = data.draw(st.none() | st.integers(-3, 3))
        high = data.draw(st.none() | st.integers(-3 if low is None else low, 5))
        rules.append(Constraint(f"rule {i}", terms, low, high))
    model = Model([f"x{c}" for c in range(size)], rules)
    position = Position((1 << size) - 1, 0)
    found = assert_complete(model, position)
    every = fillings(model, position)
    assert not (found.contradiction and every)
    for true in every:
        assert not true & found.false
        assert found.true & ~true == 0


@pytest.mark.parametrize("order", [8, 12, 16])
def test_larger_orders(order):
    layout = Layout.standard(order)
    grid = deduce.Grid.of(["1r1c1", "2r1c2", f"1r2c{layout.order}"], layout=layout)
    plane = layout.house_masks[0]
    # All but two places of digit 3 in row 1 are ruled out, and all but the same two of digit 4.
    kept = (2, 3)
    gone = [layout.number(d, c) for d in (3, 4) for c in bits(plane) if c not in kept]
    grid = grid.without(map(layout.candidate, (c for c in gone if grid.live >> c & 1)))
    proof = counting.smallest(grid, layout.candidate(layout.number(5, 2)))
    assert proof.pattern.name == "hidden pair"
    assert proof.effort <= 8


def test_multipliers_are_read_as_fractions():
    assert read_off([1 / 3, -1 / 4, 0.0, 1e-12, 2 / 7]) == {0: 28, 1: -21, 4: 24}
    assert read_off([0.25, -0.5]) == {0: 1, 1: -2}
    assert read_off([3.14159265358979, 2.718281828459045]) is None


def test_exact_multipliers_stand_in_where_fractions_cannot_be_read(monkeypatch):
    grid = stuck(6)
    position = place_of(grid)
    whole = counting_reach(grid.model, position)
    monkeypatch.setattr("deduce.counting.exact.read_off", lambda _: None)
    again = counting_reach(grid.model, position)
    assert (again.false, again.true) == (whole.false, whole.true)


def test_an_argument_that_the_kernel_refuses_is_an_error_not_silence(monkeypatch):
    grid = stuck(6)
    monkeypatch.setattr("deduce.counting.exact.read_off", lambda _: {0: 1})
    monkeypatch.setattr("deduce.counting.exact.exact_duals", lambda *_: {})
    with pytest.raises(CountingError, match="no room for"):
        counting_reach(grid.model, place_of(grid))


def test_exact_duals_of_a_small_program():
    # a or b, b or c, at most one of a and c, at most one of a, b: b's own bound follows with multipliers of a half.
    rules = [
        Constraint("ab", ((0, 1), (1, 1)), 1, None),
        Constraint("bc", ((1, 1), (2, 1)), 1, None),
        Constraint("ac", ((0, 1), (2, 1)), None, 1),
        Constraint("bz", ((1, 1), (3, 1)), None, 1),
    ]
    model = Model("abcz", rules)
    system = System(model, Position(0b1111, 0))
    program = Program(
        [(0.0, 1.0, 0.0)] * 3 + [(0.0, 1.0, -1.0)],
        [(row.terms, row.lower or 0, row.upper if row.upper is not None else 9) for row in system.rows],
        primal=True,
    )
    assert program.solve() == pytest.approx(-0.5)
    exact = exact_duals(system, program, {3: 1})
    assert {row: float(value) for row, value in exact.items()} == {0: -0.5, 1: -0.5, 2: 0.5, 3: 1.0}
    _, inference = whole_weights(system, [-y for y in program.duals()], program, {3: 1})
    assert inference.false == (3,)


def test_threads_that_somebody_else_has_started_do_no_harm():
    """HiGHS shares its threads over the whole process, and refuses to run on fewer than there are."""
    program = """
import highspy
other = highspy.Highs()
other.setOptionValue("output_flag", False)
other.setOptionValue("threads", 2)
pick = [other.addBinary(obj=-1.0 - i / 7) for i in range(12)]
other.addConstr(sum((3 + i % 5) * x for i, x in enumerate(pick)) <= 23)
other.run()
import deduce
from deduce.counting.program import Program
Program([(0.0, 1.0, -1.0)], [([(0, 2.0)], 0.0, 1.0)], primal=True).solve()
plain = Program([(0.0, 1.0, -1.0)], [([(0, 2.0)], 0.0, 1.0)], primal=True)
print(plain.solve(), *map(abs, plain.whole(1, 10, 5.0)[0]))
"""
    done = subprocess.run([sys.executable, "-c", program], capture_output=True, text=True, check=True)
    assert done.stdout.splitlines()[-1] == "-0.5 0.0"


def test_a_spent_budget_is_said_and_what_was_found_holds():
    grid = stuck(6)
    whole = counting.eliminations(grid)
    assert whole.complete
    part = counting.eliminations(grid, budget=9)
    assert not part.complete
    assert {*part.false} <= {*whole.false}
    assert {*part.true} <= {*whole.true}
    for proof in part.proofs:
        check(grid, proof)
    nothing = counting.eliminations(grid, budget=0)
    assert (nothing.proofs, nothing.complete) == ((), False)
