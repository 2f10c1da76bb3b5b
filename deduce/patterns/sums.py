"""Sums: what the total of some cells leaves room for, and totals of what a house has left beside its cages.

Every house totals the sum of all digits.  Taking whole cages away from houses leaves few cells with a known total, or
whole houses away from cages; some of the cells may also count the other way.

Roles
-----
sum bound
    ``cells`` (cells, those whose digits are added), ``rules`` (constraints, one: the total).
leftover sum
    ``cells`` (cells left that are added), ``outside`` (cells that stand out of the houses, and are subtracted),
    ``houses`` (houses), ``rules`` (constraints: the totals).
"""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from functools import lru_cache, partial
from itertools import combinations

from deduce.kernel import Counting, Inference, Position
from deduce.patterns.assignment import cheapest
from deduce.patterns.board import Board, Scope
from deduce.patterns.finder import Family
from deduce.patterns.shape import ShapeReading, SumShape
from deduce.positions import bits, conclusions, united
from deduce.proof import Pattern, Proof, Role, conclude
from deduce.puzzle.grid import Grid
from deduce.puzzle.layout import Layout

__all__ = ["BOUND", "FINDERS", "LEFTOVER", "Form", "form_of", "forms", "least_beside"]

BOUND = "sum bound"
LEFTOVER = "leftover sum"

MOST_LEFT = 4
"""The most cells that may be left over."""

MOST_HOUSES = 3
"""The most houses that are taken together."""

MOST_FORMS = 4000
"""How many sums are looked at on one layout, the ones with fewest cells first."""


@dataclass(frozen=True, slots=True)
class Form:
    """A sum of cells, some of which count the other way, with its total.

    Parameters
    ----------
    cells : tuple of (int, int)
        Each cell with its sign or multiple.
    total : int
        What they come to.
    houses, rules : tuple of int
        Where that comes from: houses, and constraints of rules.
    parts : tuple of (int, int)
        Constraints of the model and multiples, whose sum is the form.
    apart : bool
        Whether no two of the cells can hold the same digit.
    """

    cells: tuple[tuple[int, int], ...]
    total: int
    houses: tuple[int, ...]
    rules: tuple[int, ...]
    parts: tuple[tuple[int, int], ...]
    apart: bool


def _combined(layout: Layout, houses: Sequence[int], rules: Sequence[int], sign: int) -> Form | None:
    """Add up houses and take rules away (sign 1), or the other way; None unless cells remain as plain sums."""
    parts = {layout.house_constraint(h, d): sign * d for h in houses for d in range(1, layout.order + 1)}
    parts |= dict.fromkeys(rules, -sign if houses else sign)
    weights: dict[int, int] = {}
    total = 0
    for number, multiple in parts.items():
        constraint = layout.model.constraints[number]
        total += multiple * (constraint.lower or 0)
        for candidate, a in constraint.terms:
            weights[candidate] = weights.get(candidate, 0) + multiple * a
    first = {cell: weights.get(cell, 0) for cell in {candidate % layout.cells for candidate in weights}}
    # Every digit of a cell has to count: "1 stands exactly once in a cage" is no sum of its cells.
    every = ((cell, digit) for cell in first for digit in range(1, layout.order + 1))
    if any(weights.get(layout.number(digit, cell), 0) != first[cell] * digit for cell, digit in every):
        return None
    cells = tuple(sorted((cell, multiple) for cell, multiple in first.items() if multiple))
    names = [cell for cell, _ in cells]
    apart = all(layout.shared(one, other) for one, other in combinations(names, 2))
    return Form(cells, total, tuple(houses), tuple(rules), tuple(sorted(parts.items())), apart)


def _totals(layout: Layout) -> list[Form]:
    """List the rules that are sums of cells with one total."""
    bounds = [(number, layout.model.constraints[number]) for number in layout.linear]
    fixed = (number for number, one in bounds if one.lower == one.upper is not None)
    return [form for number in fixed for form in [_combined(layout, (), (number,), 1)] if form is not None]


@lru_cache(maxsize=16)
def forms(layout: Layout) -> tuple[tuple[Form, ...], tuple[Form, ...]]:
    """Return the sums of single rules, and those left over by houses and rules; fewer cells first."""
    single = _totals(layout)
    if not single:
        return (), ()
    plain = [(form.rules[0], {c for c, _ in form.cells}) for form in single if {a for _, a in form.cells} == {1}]
    left: dict[tuple[tuple[int, int], ...], Form] = {}
    for houses in _unions(layout):
        inside = {cell for h in houses for cell in layout.houses[h].cells}
        whole: list[int] = []
        taken: set[int] = set()
        crossing = []
        for number, held in plain:
            if held <= inside and not held & taken:
                whole.append(number)
                taken |= held
            elif held & inside and not held <= inside:
                crossing.append((number, held))
        # A cage that sticks out by few cells comes along, and these count the other way.
        near = [(number, held) for number, held in crossing if len(held - inside) < len(held & inside)]
        for extra in ([], near):
            used = [*whole]
            seen = set(taken)
            for number, held in extra:
                if not held & seen:
                    used.append(number)
                    seen |= held
            if not used or len(inside ^ seen) > MOST_LEFT or not inside ^ seen:
                continue
            form = _combined(layout, houses, used, 1)
            if form is not None and form.cells not in left:
                left[form.cells] = form
    ordered = sorted(left.values(), key=lambda form: (len(form.cells), len(form.parts), form.cells))
    return tuple(single), tuple(ordered[:MOST_FORMS])


def _unions(layout: Layout) -> Iterator[tuple[int, ...]]:
    """Yield one to three houses of one kind that lie next to each other in the order of the layout, without overlap."""
    for size in range(1, MOST_HOUSES + 1):
        for first in range(len(layout.houses) - size + 1):
            chosen = range(first, first + size)
            kinds = {(layout.houses[h].kind, layout.houses[h].grid) for h in chosen}
            masks = [layout.house_masks[h] for h in chosen]
            if len(kinds) == 1 and sum(mask.bit_count() for mask in masks) == united(masks).bit_count():
                yield tuple(chosen)


def _scopes(which: int) -> Callable[[Layout], tuple[Scope, ...]]:
    """Return the scopes of a finder: for each form the candidates of its cells."""

    @lru_cache(maxsize=16)
    def scopes(layout: Layout) -> tuple[Scope, ...]:
        found = enumerate(forms(layout)[which])
        return tuple(Scope(i, united(layout.masks[cell] for cell, _ in form.cells)) for i, form in found)

    return scopes


def _search(which: int, board: Board, scope: Scope, names: Collection[str]) -> Iterator[Proof]:
    """Yield what the least and the greatest that the other cells can come to leave to each cell."""
    form = forms(board.layout)[which][scope.item]
    found = _proofs(board.grid, form, *names)
    yield from _placed(board.grid, form, [*found]) if len(form.cells) == 1 else found


def _proofs(grid: Grid, form: Form, name: str) -> Iterator[Proof]:
    """Yield the proofs of one form, those that settle most first; each says something that those before it do not."""
    layout = grid.layout
    open_ = grid.live & ~grid.true
    domains = tuple(sum(1 << c // layout.cells for c in bits(grid.live & layout.masks[cell])) for cell, _ in form.cells)
    if not all(domains):
        return
    signs = tuple(sign for _, sign in form.cells)
    position = Position(grid.live, grid.true)
    found: list[tuple[int, int, int, Inference]] = []
    for upper in (True, False):
        for weights, covers in _duals(signs, domains, form.total, upper, _different(form)):
            argument = _argument(layout, form, weights, covers, upper)
            inference = conclusions(layout.model, position, argument)
            if inference is not None and not inference.contradiction:
                gone = sum(1 << c for c in (*inference.false, *inference.true)) & open_
                found.append((-gone.bit_count(), len(found), gone, inference))
    done = 0
    for _, _, gone, inference in sorted(found, key=lambda item: item[:2]):
        if gone & ~done:
            done |= gone
            yield Proof(grid, (inference,), _pattern(form, name))


def _placed(grid: Grid, form: Form, found: Sequence[Proof]) -> Iterator[Proof]:
    """Yield the one proof that places the only cell of a form, from those that rule out its other digits."""
    ((cell, _),) = form.cells
    if not found:
        return
    sides = [inference.argument for proof in found for inference in proof.inferences]
    inferences = conclude(grid, [side for side in (*sides, Counting(((cell, 1),), ())) if isinstance(side, Counting)])
    yield replace(found[0], inferences=inferences) if inferences[-1].true else found[0]


def _read(grid: Grid, inference: Inference, _: SumShape) -> Iterable[Pattern]:
    """Yield the sums that conclude at least what an inference with the same rules, on the same side, concludes."""
    argument = inference.argument
    if not isinstance(argument, Counting):
        return
    exact = grid.layout.exact
    used = {(side, number) for side, part in _sided(argument) for number, _ in part if number >= exact}
    wanted = {*inference.false, *inference.true}
    for name, found in zip((BOUND, LEFTOVER), forms(grid.layout), strict=True):
        for form in found:
            if not {*form.rules} <= {number for _, number in used}:
                continue
            for proof in _proofs(grid, form, name):
                (own,) = proof.inferences
                if wanted <= {*own.false, *own.true} and isinstance(own.argument, Counting):
                    sides = {(side, n) for side, part in _sided(own.argument) for n, _ in part if n >= exact}
                    if sides == used:
                        yield proof.pattern
                        break


def _sided(argument: Counting) -> tuple[tuple[bool, tuple[tuple[int, int], ...]], ...]:
    return (True, argument.bases), (False, argument.covers)


def form_of(layout: Layout, pattern: Pattern) -> Form:
    """Return the sum that the roles of a pattern tell.

    Raises
    ------
    ValueError
        If they do not leave a sum of cells.
    """
    form = _combined(layout, pattern.role("houses"), pattern.role("rules"), 1)
    if form is None:
        raise ValueError("houses and rules do not leave a sum of cells")
    return form


def least_beside(grid: Grid, form: Form, cell: int, digit: int, *, upper: bool) -> int | None:
    """Return the least (with `upper`, else the most) that the other cells come to beside a digit in one of them.

    None if they cannot all have digits of their own, where they have to.
    """
    layout = grid.layout
    turn = 1 if upper else -1
    rows = []
    for other, sign in form.cells:
        if other != cell:
            held = [c // layout.cells for c in bits(grid.live & layout.masks[other])]
            rows.append({d: turn * sign * (d + 1) for d in held})
    if not _different(form):
        return turn * sum(min(row.values()) for row in rows)
    answer = cheapest([{d: cost for d, cost in row.items() if d != digit - 1} for row in rows])
    return None if answer is None else turn * answer[0]


def _different(form: Form) -> bool:
    """Whether the cells of a sum hold different digits that all count alike."""
    signs = {sign for _, sign in form.cells}
    return form.apart and len(form.cells) > 1 and signs in ({1}, {-1})


def _pattern(form: Form, name: str) -> Pattern:
    """Return the pattern with its roles."""
    inside = tuple(cell for cell, sign in form.cells if sign > 0)
    outside = tuple(cell for cell, sign in form.cells if sign < 0)
    roles = [Role("cells", "cells", inside)] if inside else []
    roles += [Role("outside", "cells", outside)] if outside else []
    roles += [Role("houses", "houses", form.houses)] if form.houses else []
    return Pattern(name, (*roles, Role("rules", "constraints", form.rules)))


_Dual = tuple[tuple[int, ...], tuple[tuple[int, int], ...]]


@lru_cache(maxsize=1 << 14)
def _duals(
    signs: tuple[int, ...], domains: tuple[int, ...], total: int, upper: bool, different: bool
) -> tuple[_Dual, ...]:
    """Return the weights of cells and of digits with which a sum leaves some candidate no room.

    With `upper` the sum is taken for its at-most side: a candidate falls if it and the least that the others come to
    are too much.  Otherwise everything is turned round.  Where all digits differ and count once each, the least is that
    of an assignment of different digits, whose prices become the weights.
    """
    turn = 1 if upper else -1
    costs = [[turn * sign * (d + 1) for d in bits(domain)] for sign, domain in zip(signs, domains, strict=True)]
    goal = turn * total
    found: dict[_Dual, None] = {}
    lows = [min(cost) for cost in costs]
    if any(max(cost) - low > goal - sum(lows) for cost, low in zip(costs, lows, strict=True)):
        found[tuple(lows), ()] = None
    if not different:
        return tuple(found)
    table = [{d: turn * signs[i] * (d + 1) for d in bits(domain)} for i, domain in enumerate(domains)]
    for i, row in enumerate(table):
        others = [other for j, other in enumerate(table) if j != i]
        for digit in sorted(row, key=row.__getitem__, reverse=True):
            rest = [{e: cost for e, cost in other.items() if e != digit} for other in others]
            answer = cheapest(rest)
            if answer is None or row[digit] + answer[0] <= goal:
                continue
            _, prices, charges = answer
            charge = {e: -value for e, value in charges.items() if value}
            own = min(cost - charges.get(e, 0) for e, cost in row.items() if e != digit) if len(row) > 1 else row[digit]
            lowest = min(
                0, *(cost[digit] - price for cost, price in zip(others, prices, strict=True) if digit in cost), 0
            )
            if lowest:
                charge[digit] = -lowest
            own = min(own, row[digit] + charge.get(digit, 0))
            weights = [*prices[:i], own, *prices[i:]]
            found[tuple(weights), tuple(sorted((e, w) for e, w in charge.items() if w > 0))] = None
    return tuple(found)


def _argument(
    layout: Layout, form: Form, weights: Sequence[int], covers: Sequence[tuple[int, int]], upper: bool
) -> Counting:
    """Return the sum of the form's constraints, its cells with their weights, and digits that stand there once."""
    turn = 1 if upper else -1
    sides: dict[int, int] = {number: turn * multiple for number, multiple in form.parts}
    for (cell, _), weight in zip(form.cells, weights, strict=True):
        sides[cell] = sides.get(cell, 0) - weight
    for digit, weight in covers:
        candidates = [layout.number(digit + 1, cell) for cell, _ in form.cells]
        for number in _once(layout, tuple(candidates)):
            sides[number] = sides.get(number, 0) + weight
    bases = tuple(sorted((number, -weight) for number, weight in sides.items() if weight < 0))
    return Counting(bases, tuple(sorted((number, weight) for number, weight in sides.items() if weight > 0)))


@lru_cache(maxsize=1 << 12)
def _once(layout: Layout, candidates: tuple[int, ...]) -> tuple[int, ...]:
    """Return a constraint by which at most one of these candidates is true; nothing if no single one says so."""
    mask = sum(1 << c for c in candidates)
    masks = layout.model.masks
    return tuple(n for n in layout.at_most_one[candidates[0]] if not mask & ~masks[n])[:1]


def _fault(grid: Grid, pattern: Pattern) -> str | None:
    layout, alone = grid.layout, pattern.name == BOUND
    houses, rules = pattern.role("houses"), pattern.role("rules")
    if bool(houses) == alone or not rules or any(number < layout.exact for number in rules):
        return "a sum bound has one rule, a leftover sum houses and rules"
    form = _combined(layout, houses, rules, 1)
    if form is None or (alone and len(rules) != 1):
        return "houses and rules do not leave a sum of cells"
    told = dict.fromkeys(pattern.role("cells"), 1) | dict.fromkeys(pattern.role("outside"), -1)
    if told != {cell: 1 if sign > 0 else -1 for cell, sign in form.cells}:
        return "the cells are not those that houses and rules leave"
    return None if next(_proofs(grid, form, pattern.name), None) else "the sum leaves every candidate room"


FINDERS = tuple(
    Family(
        (name,),
        _scopes(which),
        partial(_search, which),
        _fault,
        roles={"cells": "added", "outside": "taken", "houses": "sum", "rules": "sum"},
        reads=ShapeReading(_read, beyond=True),
    )
    for which, name in enumerate((BOUND, LEFTOVER))
)
