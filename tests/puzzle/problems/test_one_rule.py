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
