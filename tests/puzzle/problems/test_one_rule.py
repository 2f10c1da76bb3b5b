"""One rule alone against a brute-force twin, on problems and on grids with rules."""

from __future__ import annotations

from itertools import product

import constraint
from hypothesis import given, strategies as st
from puzzle.problems.made_up import Spec, build, specs

import deduce
from deduce.kernel import Position
from deduce.patterns.catalogue import fault
from deduce.positions import bits
from deduce.puzzle.layout import Layout
from deduce.puzzle.rules import Cage, Pair


def gone(grid: deduce.Grid, number: int) -> int | None:
    """What one constraint leaves no room for on either side, by trying every choice of its cells; None if it breaks."""
    layout, rule = grid.layout, grid.model.constraints[number]
    cells = sorted({c % layout.cells for c, _ in rule.terms})
    weights = dict(rule.terms)
    choices = [bits(grid.live & layout.masks[cell]) for cell in cells]
    fallen = 0
    for keeps in (
        lambda total: rule.lower is None or total >= rule.lower,
        lambda t: rule.upper is None or t <= rule.upper,
    ):
        possible, met = 0, False
        for chosen in product(*choices):
            if keeps(sum(weights.get(c, 0) for c in chosen)):
                possible |= sum(1 << c for c in chosen)
                met = True
        if not met:
            return None
        fallen |= sum(1 << c for choice in choices for c in choice) & ~possible
    return fallen


def compare(grid: deduce.Grid) -> None:
    if grid.status():
        return
    found: dict[int, int] = {}
    broken = set()
    for proof in deduce.find(grid, ["one rule alone"]):
        (number,) = proof.pattern.role("rule")
        after = deduce.check(grid, proof)
        assert fault(proof) is None
        if after.contradiction:
            broken.add(number)
        else:
            found[number] = found.get(number, 0) | grid.live & ~after.after.live
    for number in range(grid.layout.exact, len(grid.model.constraints)):
        wanted = gone(grid, number)
        if wanted is None:
            assert number in broken
        else:
            assert number not in broken
            # A placement clears by other rules, too.
            assert not wanted & ~found.get(number, 0)
            if not any(c.pattern.role("rule") == (number,) and c.places for c in deduce.find(grid, ["one rule alone"])):
                assert found.get(number, 0) == wanted


@given(specs(), st.randoms())
def test_problems(spec: Spec, chance: object) -> None:
    grid = deduce.Grid.from_problem(build(spec, constraint))
    compare(grid)
    some = grid.live
    for candidate in bits(grid.live):
        cell = grid.layout.masks[candidate % grid.layout.cells]
        if chance.random() < 0.4 and (some & cell).bit_count() > 1:
            some &= ~(1 << candidate)
    compare(grid.moved(Position(some, grid.true)))


def test_grids_with_rules() -> None:
    layout = Layout.standard(4).with_rules(Cage((0, 5), 3), Pair((2, 3), "less"))
    grid = deduce.Grid.empty(layout)
    compare(grid)
    walk = deduce.walk(grid, ["one rule alone"])
    assert walk.steps
    for step in walk.steps:
        compare(step.before)
        rule = layout.model.constraints[step.proof.pattern.role("rule")[0]].name
        assert step.proof.words().lower().startswith(rule.lower())


def test_what_a_rule_says_comes_at_once() -> None:
    """A cell that has to be more than 3 loses all up to 3 in one step, not digit by digit; so along a whole line."""
    layout = Layout.standard(6).with_rules(Pair((0, 1), "less"), Pair((1, 8), "less"), Pair((8, 15), "less"))
    grid = deduce.Grid.empty(layout).without("1r1c1", "2r1c1")
    walk = deduce.walk(grid, ["one rule alone"])
    said = [(step.proof.eliminates[0].cell, [c.digit for c in step.proof.eliminates]) for step in walk.steps]
    low = [("r1c2", [2, 3]), ("r2c3", [2, 3, 4]), ("r3c4", [2, 3, 4, 5])]
    assert [one for one in said if one in low] == low
    assert [one for one in said if one not in low] == [("r1c1", [5]), ("r1c2", [5]), ("r1c1", [4])]
    for rule in layout.rules:
        told = [p for p in deduce.find(grid, ["one rule alone"]) if layout.rule_of(p.pattern.role("rule")[0]) == rule]
        sizes = [len(proof.eliminates) for proof in told]
        assert sizes == sorted(sizes, reverse=True)
