"""Least arguments: against scipy's milp, against all small sums, and as proofs from which nothing can be taken."""

from itertools import combinations_with_replacement

import pytest
from counting.positions import BEYOND_PATTERNS, PLAIN, caged, least_cost, place_of, stuck
from ortools.sat.python import cp_model
from sat import can_be

import deduce
from deduce import counting
from deduce.counting import ask
from deduce.counting.costs import COSTS, COVER, DIGIT, SCAN, Cost, cost_named
from deduce.counting.least import Least, Searcher, least_on_board
from deduce.counting.program import Program
from deduce.counting.system import System
from deduce.kernel import Counting, Inference, Position, Supposition, check
from deduce.patterns.catalogue import PLAIN as NAMES
from deduce.positions import bits, conclusions
from deduce.puzzle.layout import Layout
from deduce.solving.generate import minimal_puzzle
from deduce.suppositions.trail import size_of

UNIT = Cost([1] * 400, [1] * 400)


def argument_of(proof):
    (inference,) = proof.inferences
    return inference.argument


@pytest.mark.parametrize(("order", "seed"), [(4, 3), (4, 8), (6, 0), (6, 2), (6, 5)])
def test_least_for_every_candidate_as_scipy_says(order, seed):
    grid = stuck(seed, order, ("naked quad",))
    system = System(grid.model, place_of(grid))
    searcher = Searcher(system, UNIT)
    for column, c in enumerate(system.open):
        for sign in (1, -1):
            found = searcher.least({column: sign})
            expected = least_cost(grid.model, place_of(grid), c, sign)
            assert (found and found.cost) == expected, (grid.model.names[c], sign)
            assert found is None or found.proved


@pytest.mark.parametrize("seed", [6, 9])
def test_least_on_9x9_as_scipy_says(seed):
    grid = stuck(seed)
    position = place_of(grid)
    found = counting.eliminations(grid)
    proof = counting.simplest(grid)
    costs = [least_cost(grid.model, position, grid.number(c), 1) for c in found.false]
    assert proof.proved_smallest
    assert size_of(argument_of(proof)) == min(costs)
    for c, cost in list(zip(found.false, costs, strict=True))[::7]:
        assert size_of(argument_of(counting.smallest(grid, c))) == cost


@pytest.mark.parametrize("seed", range(12))
def test_least_by_trying_every_small_sum(seed):
    """On a stuck 4x4 position all sums of up to three constraints are tried, the dull way."""
    grid = stuck(seed, 4, ("naked quad",))
    position = place_of(grid)
    open_ = position.live & ~position.true
    sides = [(side, k) for k, mask in enumerate(grid.model.masks) if mask & open_ for side in (0, 1)]
    best = None
    for count in (1, 2, 3):
        for chosen in combinations_with_replacement(sides, count):
            parts = [{}, {}]
            for side, k in chosen:
                parts[side][k] = parts[side].get(k, 0) + 1
            argument = Counting(tuple(sorted(parts[0].items())), tuple(sorted(parts[1].items())))
            if conclusions(grid.model, position, argument):
                best = count
                break
        if best:
            break
    found = least_on_board(System(grid.model, position), UNIT)
    if best is None:
        assert found is None or found.cost > 3
    else:
        assert found.cost == best


@pytest.mark.parametrize("seed", [6, 169, 10])
@pytest.mark.parametrize("cost", COSTS)
def test_no_part_of_a_least_argument_can_be_taken_away(seed, cost):
    grid = stuck(seed)
    proof = counting.simplest(grid, cost=cost)
    assert proof.proved_smallest
    argument = argument_of(proof)
    kept = {*proof.inferences[0].false, *proof.inferences[0].true}
    for side in ("bases", "covers"):
        held = getattr(argument, side)
        for i, (k, weight) in enumerate(held):
            less = held[:i] + (((k, weight - 1),) if weight > 1 else ()) + held[i + 1 :]
            parts = {"bases": argument.bases, "covers": argument.covers, side: less}
            smaller = Counting(**parts)
            if not smaller.bases and not smaller.covers:
                continue
            rest = conclusions(grid.model, place_of(grid), smaller)
            assert rest is None or not kept & {*rest.false, *rest.true}
            refused = deduce.Proof(grid, (Inference(smaller, *_one(proof)),), proof.pattern)
            with pytest.raises(deduce.ProofError):
                check(grid, refused)


def _one(proof):
    (inference,) = proof.inferences
    return ((inference.false[0],), ()) if inference.false else ((), (inference.true[0],))


@pytest.mark.parametrize("seed", [6, 11, 13])
def test_the_named_constraints_alone_forbid_what_is_eliminated(seed):
    """python-sat and OR-tools get the argument's own constraints over live candidates, nothing else of the puzzle."""
    grid = stuck(seed)
    found = counting.eliminations(grid)
    proofs = [counting.smallest(grid, c) for c in found.false[::9]] + [*found.proofs[::12]]
    for proof in proofs:
        (inference,) = proof.inferences
        for c, value in [*((c, True) for c in inference.false), *((c, False) for c in inference.true)]:
            assert not can_be(grid, _rules(grid, inference.argument), c, value)
            assert not _by_cp(grid, inference.argument, c, value)
        # The same judges find a way once the most used side of the argument is left out.
        bare = Counting((), inference.argument.covers)
        if inference.false and inference.argument.bases and inference.argument.covers:
            assert can_be(grid, _rules(grid, bare), inference.false[0], True)
            assert _by_cp(grid, bare, inference.false[0], True)


def _rules(grid, argument):
    for side, numbers in (("lower", argument.bases), ("upper", argument.covers)):
        for k, _ in numbers:
            yield side, bits(grid.live & grid.model.masks[k])


def _by_cp(grid, argument, candidate, value):
    model = cp_model.CpModel()
    names = {c: model.new_bool_var(str(c)) for c in bits(grid.live)}
    for side, here in _rules(grid, argument):
        total = sum(names[c] for c in here)
        model.add(total >= 1) if side == "lower" else model.add(total <= 1)
    model.add(names[candidate] == value)
    for c in bits(grid.true):
        model.add(names[c] == 1)
    solver = cp_model.CpSolver()
    solver.parameters.num_workers = 1
    return solver.solve(model) in (cp_model.OPTIMAL, cp_model.FEASIBLE)


@pytest.mark.parametrize(("order", "seed"), [(4, 3), (6, 2)])
def test_the_cost_of_people_is_least_as_scipy_says(order, seed):
    grid = stuck(seed, order, ("naked quad",))
    position = place_of(grid)
    measure = cost_named("people", grid.model, grid.layout)
    system = System(grid.model, position)
    searcher = Searcher(system, measure)
    seen = 0
    for column in range(0, len(system.open), 1 if order == 4 else 5):
        found = searcher.least({column: 1})
        prices = (measure.bases, measure.covers)
        expected = least_cost(grid.model, position, system.open[column], 1, prices, (measure.digits, DIGIT))
        assert (found and found.cost) == expected, grid.model.names[system.open[column]]
        if found is not None:
            seen += 1
            assert found.proved
            assert found.cost == measure.of(found.argument)
    assert seen


def test_the_cost_of_people_on_9x9_as_scipy_says():
    grid = stuck(9)
    position = place_of(grid)
    measure = cost_named("people", grid.model, grid.layout)
    prices = (measure.bases, measure.covers)
    found = counting.eliminations(grid).false
    best = counting.simplest(grid, cost="people")
    assert best.proved_smallest
    for c in found[::6]:
        expected = least_cost(grid.model, position, grid.number(c), 1, prices, (measure.digits, DIGIT))
        proof = counting.smallest(grid, c, cost="people")
        assert proof.proved_smallest
        assert measure.of(argument_of(proof)) == expected
        assert measure.of(argument_of(best)) <= expected


def test_what_people_count():
    layout = Layout.standard(9)
    measure = cost_named("people", layout.model, layout)
    row = layout.house_constraint(0, 5)
    box = layout.house_constraint(18, 5)
    assert measure.of(Counting(((row, 1),), ((box, 1),))) == SCAN + COVER + DIGIT
    assert measure.of(Counting(((0, 2),), ())) == 4
    with pytest.raises(ValueError, match="no cost is called 'weight'"):
        cost_named("weight", layout.model, layout)
    with pytest.raises(ValueError, match="this model has none"):
        cost_named("people", layout.model, None)


def test_a_spent_budget_is_said_and_still_gives_an_argument():
    grid = stuck(6)
    position = place_of(grid)
    system = System(grid.model, position)
    for column in range(len(system.open)):
        whole = Searcher(system, UNIT, 400).least({column: 1})
        short = Searcher(system, UNIT, 1, hand_over=False).least({column: 1})
        assert (whole is None) == (short is None)
        if short is not None and not short.proved:
            assert short.argument is None or short.cost >= whole.cost
            assert short.bound <= whole.cost
            break
    else:
        pytest.fail("every least argument of this position came out whole at once; take another position")


def test_what_is_not_proved_smallest_does_not_say_so(monkeypatch):
    """With next to no search allowed the first whole argument is given, checked but not called smallest."""
    monkeypatch.setattr("deduce.counting.least._HARD_NODES", 0)
    grid = stuck(6)
    measure = cost_named("people", grid.model, grid.layout)
    unproved = worse = 0
    for c in counting.eliminations(grid).false[::12]:
        try:
            proof = counting.smallest(grid, c, cost="people", budget=1)
        except deduce.errors.BudgetSpent:
            continue
        check(grid, proof)
        unproved += not proof.proved_smallest
        monkeypatch.undo()
        whole = counting.smallest(grid, c, cost="people")
        monkeypatch.setattr("deduce.counting.least._HARD_NODES", 0)
        assert whole.proved_smallest
        assert measure.of(argument_of(whole)) <= measure.of(argument_of(proof))
        if proof.proved_smallest:
            assert measure.of(argument_of(whole)) == measure.of(argument_of(proof))
        worse += measure.of(argument_of(whole)) < measure.of(argument_of(proof))
    assert unproved


def test_a_search_that_finds_no_argument_in_its_budget_says_so(monkeypatch):
    monkeypatch.setattr("deduce.counting.least.Searcher._whole", lambda *_: None)
    monkeypatch.setattr("deduce.counting.least._HARD_NODES", 0)
    grid = stuck(6)
    candidate = counting.eliminations(grid).false[0]
    with pytest.raises(deduce.errors.BudgetSpent, match="least argument"):
        counting.smallest(grid, candidate, budget=0)


def test_questions_that_have_no_answer():
    grid = stuck(6)
    with pytest.raises(ValueError, match="is not open"):
        counting.smallest(grid, grid.candidate(bits(grid.true)[0]))
    solution = next(deduce.solutions(grid, 1))
    open_true = bits(solution.true & ~grid.true)
    unsettled = [c for c in open_true if counting.smallest(grid, grid.candidate(c)) is None]
    assert unsettled, "on a stuck position some true candidates are not settled by one sum"
    assert counting.simplest(solution) is None


def test_beyond_every_named_pattern():
    for seed in BEYOND_PATTERNS:
        grid = deduce.walk(stuck(seed, 9, ("hidden single",)), NAMES).grid
        assert not grid.solved
        proof = counting.simplest(grid)
        if proof is not None:
            assert proof.proved_smallest
            check(grid, proof)


def test_a_cage_sum_in_a_least_argument():
    model = caged({(0, 1): 3})
    position = Position((1 << 64) - 1, 0)
    system = System(model, position)
    three = system.column[2 * 16]
    found = Searcher(system, UNIT).least({three: 1})
    assert found.cost == least_cost(model, position, 2 * 16, 1) == 2
    assert isinstance(found.argument, Counting)


def test_contradictions_have_a_least_argument():
    grid = deduce.Grid.parse("11..............")
    proof = counting.simplest(grid)
    assert proof.contradiction
    assert proof.proved_smallest
    assert size_of(argument_of(proof)) == 1
    assert size_of(Supposition(0, (Inference(Counting(((0, 2),), ())),))) == 5


def test_plain_patterns_come_out_smallest():
    grid = deduce.Grid.parse("12.. 3... .... ...1")
    assert PLAIN[0] == counting.simplest(grid).pattern.name


def _pairs(seed):
    """Return a layout whose cages are pairs of neighbours in a row, with the totals of a made puzzle's solution."""
    (solution,) = deduce.solutions(minimal_puzzle(seed))
    cages = [
        f"cage r{row}c{column} r{row}c{column + 1} = {solution.digit(row, column) + solution.digit(row, column + 1)}"
        for row in range(1, 10)
        for column in (1, 3, 5, 7)
    ]
    return Layout.parse("grid 9\n" + "\n".join(cages))


def test_a_large_board_with_cages_is_answered_without_the_search_of_highs(monkeypatch):
    def refuse(*_):
        raise AssertionError("HiGHS was asked to branch over a very large model")

    monkeypatch.setattr(Program, "whole", refuse)
    grid = deduce.Grid.empty(_pairs(1))
    proof = deduce.simplest(grid)
    assert proof is not None
    assert proof.proved_smallest
    deduce.check(grid, proof)


@pytest.mark.parametrize("seed", [6, 13])
def test_what_patterns_see_bounds_the_search_and_does_not_change_what_is_least(seed):
    grid = deduce.walk(minimal_puzzle(seed), NAMES[:2]).grid
    position = Position(grid.live, grid.true)
    measure = cost_named("constraints", grid.model, grid.layout)
    free = least_on_board(System(grid.model, position), measure)
    proof = deduce.simplest(grid)
    assert free is not None
    assert proof is not None
    assert (measure.of(proof.inferences[0].argument), proof.proved_smallest) == (free.cost, free.proved)


def test_the_least_contradiction_is_found_whatever_it_costs():
    """12.. ..3.: a 3 without a place costs people 5, which two totals that clash in one cell undercut."""
    lines = "grid 4\ntotal r4c1 r4c2 >= 7\ntotal r4c1 r4c2 <= 6"
    for text, costs in (
        ("12.. ..3. .... ....", (1, 5)),
        ("1... .1.. .... ....", (1, 3)),
        ("123. ...4 .... ....", (1, 2)),
    ):
        grid = deduce.Grid.parse(text)
        for cost, price in zip(COSTS, costs, strict=True):
            proof = counting.simplest(grid, cost=cost)
            assert proof.contradiction
            assert proof.proved_smallest
            assert cost_named(cost, grid.model, grid.layout).of(argument_of(proof)) == price
            check(grid, proof)
    clash = deduce.Grid.parse("12.. ..3. .... ....", Layout.parse(lines))
    proof = counting.simplest(clash, cost="people")
    assert (proof.contradiction, proof.proved_smallest) == (True, True)
    assert cost_named("people", clash.model, clash.layout).of(argument_of(proof)) == 3


def test_a_candidate_of_an_impossible_position_is_settled_by_the_contradiction():
    """The candidate has no smaller sum of its own, and a digit that stands twice settles everything."""
    grid = deduce.Grid.parse("1... .1.. .... ....")
    proof = counting.smallest(grid, "4r4c4")
    assert proof.contradiction
    assert proof.proved_smallest
    assert size_of(argument_of(proof)) == 1


def test_what_the_patterns_see_is_not_lost_when_the_search_is_cut_off(monkeypatch):
    grid = stuck(6)
    seen = next(deduce.find(grid))

    def cut_off(*_, below=0.0, **__):
        return Least(None, int(min(below, 99)), proved=False, bound=2)

    monkeypatch.setattr(ask, "least_on_board", cut_off)
    proof = counting.simplest(grid, budget=0)
    check(grid, proof)
    assert not proof.proved_smallest
    assert size_of(argument_of(proof)) <= size_of(seen.inferences[0].argument)


def test_a_cut_off_search_for_one_side_leaves_the_other_unproved(monkeypatch):
    """In a contradictory position both sides have sums; what is not known of the first bounds what is claimed."""
    grid = deduce.Grid.parse("12.. 3... .... ...1")
    least = Searcher.least

    def first_side_cut_off(self, wanted, below=float("inf")):
        if 1 in wanted.values():
            return Least(None, 99, proved=False, bound=1)
        return least(self, wanted, below)

    assert counting.smallest(grid, "1r3c2").proved_smallest
    monkeypatch.setattr(Searcher, "least", first_side_cut_off)
    proof = counting.smallest(grid, "1r3c2")
    # A cost of 1 is least, whatever the other side would cost.
    assert (proof.places, proof.proved_smallest) == ((deduce.Candidate(1, 3, 2),), True)
    # A cost of 3 is not known to be, and nothing is known where the second side has no sum.
    monkeypatch.undo()
    assert counting.smallest(grid, "2r2c4").proved_smallest
    monkeypatch.setattr(Searcher, "least", first_side_cut_off)
    proof = counting.smallest(grid, "2r2c4")
    assert size_of(argument_of(proof)) == 3
    assert not proof.proved_smallest
    with pytest.raises(deduce.BudgetSpent):
        counting.smallest(grid, "2r2c3")


@pytest.mark.parametrize(
    "lines",
    ["cage r1c1 r1c2 r1c3 = 6\ncage r4c3 r4c4 = 5", "total r1c1 r1c2 r2c1 r3c3 >= 12\ntotal r2c2 r3c2 r3c4 <= 5"],
)
@pytest.mark.parametrize("cost", COSTS)
def test_the_least_on_a_board_with_totals_as_scipy_says(lines, cost):
    grid = deduce.Grid.parse("1... .... .... ....", Layout.parse(f"grid 4\n{lines}"))
    position = place_of(grid)
    measure = cost_named(cost, grid.model, grid.layout)
    digits = (measure.digits, measure.each_digit) if measure.each_digit else None
    proof = counting.simplest(grid, cost=cost)
    assert proof.proved_smallest
    (inference,) = proof.inferences
    price = measure.of(inference.argument)
    asked = [(c, 1) for c in inference.false] + [(c, -1) for c in inference.true]
    assert price in [least_cost(grid.model, position, *side, (measure.bases, measure.covers), digits) for side in asked]
    for c in bits(grid.live & ~grid.true)[::5]:
        found = least_cost(grid.model, position, c, 1, (measure.bases, measure.covers), digits)
        assert found is None or found >= price
