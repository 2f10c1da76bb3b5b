"""The prose of sums: where a total comes from, and what the least or the most that the other cells hold leaves."""

from __future__ import annotations

from collections.abc import Callable
from itertools import combinations

from deduce.patterns.sums import BOUND, LEFTOVER, Form, form_of, least_beside
from deduce.proof import Pattern, Proof
from deduce.puzzle.grid import Grid, grid_of
from deduce.words.en.names import Names, capital, in_words, losses, series

__all__ = ["TELLERS"]

_MOST_COMBINATIONS = 3
"""If more sets of digits make up a total, they are not listed."""


def _bound(proof: Proof, names: Names, pattern: Pattern) -> str:
    """Tell what a rule by itself leaves room for."""
    form = form_of(names.layout, pattern)
    (rule,) = form.rules
    what = _what_falls(proof, names, form)
    return f"{names.sentence(names.rule(rule))}{f'. {what}' if what else f', so {_placed(proof)}.'}"


def _leftover(proof: Proof, names: Names, pattern: Pattern) -> str:
    """Tell what houses leave when whole cages are taken away, and then what that leaves room for."""
    layout = names.layout
    form = form_of(layout, pattern)
    sum_of_house = layout.order * (layout.order + 1) // 2
    count = len(form.houses)
    verb = "totals" if count == 1 else "together total"
    whole = f"{capital(names.houses(form.houses))} {verb} {count * sum_of_house}"
    inside = [cell for cell, sign in form.cells if sign > 0]
    outside = [cell for cell, sign in form.cells if sign < 0]
    rules = series(names.rule(number) for number in form.rules)
    many = "it" if count == 1 else "them"
    if not outside:
        left = f"{_sum(names, inside)} {form.total}, the rest of {many}"
    elif not inside:
        left = f"{_sum(names, outside)} {-form.total}, which is what stands out of {many}"
    else:
        more = f"{abs(form.total)} {'more' if form.total >= 0 else 'less'} than"
        more = "as much as" if form.total == 0 else more
        one, other = names.cells(inside), f"{'the sum of ' * (len(outside) > 1)}{names.cells(outside)}"
        left = f"{one}, left over in {many}, {'is' if len(inside) == 1 else 'come to'} {more} {other} outside"
    return f"{whole}, and {rules}. So {left}. {_what_falls(proof, names, form)}".rstrip()


def _sum(names: Names, cells: list[int]) -> str:
    return f"{names.cells(cells)} {'is' if len(cells) == 1 else 'total'}"


def _what_falls(proof: Proof, names: Names, form: Form) -> str:
    """Tell what the total makes of its cells: what it places, its combinations, or one candidate that it rules out."""
    grid = grid_of(proof)
    if proof.places and len(form.cells) == 1:
        return ""
    concluded = [_placed(proof)] * bool(proof.places)
    end = series([*concluded, losses(proof.eliminates)]) if proof.eliminates else series(concluded)
    if len(form.cells) == 1:
        return f"Therefore {end}."
    told = _combinations(proof, names, form)
    if told:
        return f"{told}: {end}."
    for candidate in map(grid.number, proof.eliminates):
        digit, cell = names.split(candidate)
        reason = _ruled_out(grid, names, form, cell, digit) if cell in dict(form.cells) else ""
        if reason:
            return f"{reason}.{' By the same count: ' if len(proof.eliminates) > 1 else ' So '}{end}."
    return f"What the other {names.nouns.cell}s can hold leaves no other way: {end}."


def _placed(proof: Proof) -> str:
    """Say which cells hold which digits now."""
    return series(f"{c.cell} is {c.written}" for c in proof.places)


def _combinations(proof: Proof, names: Names, form: Form) -> str:
    """Say which digits make up a total, where they are few and what falls is in none of them."""
    total, signs, size = abs(form.total), {sign for _, sign in form.cells}, len(form.cells)
    if not form.apart or signs not in ({1}, {-1}) or proof.places:
        return ""
    found = [held for held in combinations(range(1, names.layout.order + 1), size) if sum(held) == total]
    lost = {candidate.digit for candidate in proof.eliminates}
    if not 0 < len(found) <= _MOST_COMBINATIONS or lost & {digit for held in found for digit in held}:
        return ""
    joint = "+" if names.layout.order > 9 else ""
    told = series((joint.join(map(names.digit, held)) for held in found), "or")
    return f"In {in_words(size)} {names.nouns.cell}s {total} is {told}"


def _ruled_out(grid: Grid, names: Names, form: Form, cell: int, digit: int) -> str:
    """Say why a digit in one of the cells would be too much or too little; empty if it is neither by itself."""
    sign = dict(form.cells)[cell]
    if len({s > 0 for _, s in form.cells}) == 1:
        for upper in (True, False):
            beside = least_beside(grid, form, cell, digit, upper=upper)
            if beside is None:
                spot = names.spot(names.cell(cell), names.digit(digit))
                return f"With {spot} the other {names.nouns.cell}s cannot all differ"
            high, whole = upper == (sign > 0), abs(beside) + digit * abs(sign)
            if whole > abs(form.total) if high else whole < abs(form.total):
                others = f"{names.nouns.cell}{'' if len(form.cells) == 2 else 's'}"
                come = f"the other {others} would come to {abs(beside)} at {'least' if high else 'most'}"
                wrong = f"{whole} in all, which is too {'much' if high else 'little'}"
                return f"If {names.cell(cell)} were {names.digit(digit)}, {come}, {wrong}"
        return ""
    # Some cells count the other way: what is on this side says what the others would have to come to.
    mine = [(c, abs(s)) for c, s in form.cells if s * sign > 0 and c != cell]
    theirs = [(c, abs(s)) for c, s in form.cells if s * sign < 0]
    for least, most, one, other in ((min, max, "least", "most"), (max, min, "most", "least")):
        needed = digit * abs(sign) + sum(s * least(names.notes(grid, c)) for c, s in mine)
        needed -= form.total if sign > 0 else -form.total
        bound = sum(s * most(names.notes(grid, c)) for c, s in theirs)
        if needed > bound if one == "least" else needed < bound:
            many = len(theirs) > 1
            who = f"{names.cells(c for c, _ in theirs)} would have to {'come to' if many else 'be'} {needed}"
            at, they = f" at {one}" if mine else "", "they come to" if many else "it is"
            return f"If {names.cell(cell)} were {names.digit(digit)}, {who}{at}, but {they} {bound} at {other}"
    return ""


TELLERS: dict[str, Callable[[Proof, Names, Pattern], str]] = {BOUND: _bound, LEFTOVER: _leftover}
"""For each pattern the function that tells it."""
