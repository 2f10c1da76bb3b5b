"""The prose of counting arguments without a name of the trade.

A sum is told as needs and places: bases are needs, covers are places with room for one each.  If there are as many
needs as places, what takes a place without meeting a need falls; otherwise the opposite of the conclusion is supposed,
and more needs are left than places.  A sum with rules of other kinds, such as totals, is told in amounts.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass

from deduce.counting.shapes import argument_of
from deduce.kernel import Counting, coefficients
from deduce.positions import bits, united
from deduce.proof import Pattern, Proof
from deduce.puzzle.grid import Grid, grid_of
from deduce.words.en.names import Names, in_words, losses, series

__all__ = ["read_sum", "tell_argument", "tell_sum"]

Side = Sequence[tuple[int, int]]
"""Constraints and how often each counts."""


@dataclass(frozen=True, slots=True)
class _Sum:
    """A counting argument with the numbers that its words need.

    Parameters
    ----------
    weights : dict of int to int
        For each open candidate how many places it takes less how many needs it meets.
    bases, covers : Side
        The argument.
    needs, room : int
        What the bases ask for and the covers allow.
    settled : int
        How much of the room the placed candidates take, less what they meet.
    plain : bool
        Whether all covers say "at most one of these" and all bases "exactly one"; then nothing placed stands in them.
    """

    weights: dict[int, int]
    bases: Side
    covers: Side
    needs: int
    room: int
    settled: int
    plain: bool

    @property
    def gains(self) -> dict[int, int]:
        """The candidates that meet more than they take, and by how much."""
        return {c: -w for c, w in sorted(self.weights.items()) if w < 0}


def _sum(grid: Grid, argument: Counting) -> _Sum:
    model, rules = grid.model, grid.model.constraints
    weights, _ = coefficients(grid.model, argument)
    open_ = grid.live & ~grid.true
    bases, covers = argument.bases, argument.covers
    used = [number for number, _ in (*bases, *covers)]
    plain = all(model.exclusive[n] for n in used) and all(rules[number].lower == 1 for number, _ in bases)
    if plain:
        # A need that something placed has met is none any more, nor is its place one.
        bases, covers = (tuple((n, w) for n, w in side if not grid.true & model.masks[n]) for side in (bases, covers))
    return _Sum(
        {c: w for c, w in weights.items() if w and open_ >> c & 1},
        bases,
        covers,
        sum((rules[number].lower or 0) * weight for number, weight in bases),
        sum((rules[number].upper or 0) * weight for number, weight in covers),
        sum(w for c, w in weights.items() if grid.true >> c & 1),
        plain,
    )


def tell_sum(proof: Proof, names: Names, pattern: Pattern) -> str:
    """Tell a counting argument from the roles of its pattern."""
    return tell_argument(proof, names, argument_of(grid_of(proof), pattern))


def tell_argument(proof: Proof, names: Names, argument: Counting) -> str:
    """Tell the only inference of a proof by its sum."""
    total = _sum(grid_of(proof), argument)
    if not total.plain:
        return _amounts(proof, names, total)
    if proof.eliminates and not proof.places and not total.gains and total.needs == total.room:
        return _balance(proof, names, total)
    return _shortage(proof, names, total)


def read_sum(proof: Proof, names: Names, pattern: Pattern) -> list[str]:
    """Tell for each need of a counting argument what could meet it, and which place each of that takes."""
    grid = grid_of(proof)
    total = _sum(grid, argument_of(grid, pattern))
    if not total.plain:
        return []
    supposed = None
    if not (proof.eliminates and not proof.places and not total.gains and total.needs == total.room):
        supposed = _supposed(proof)
    bases, covers, dead = _left(grid, total, supposed)
    lines = []
    for number, _ in bases:
        told = []
        for c in bits(grid.live & grid.model.masks[number]):
            digit, cell = names.split(c)
            what = names.cell(cell) if number >= names.layout.cells else names.digit(digit)
            held = (cover for cover, _ in covers if grid.model.masks[cover] >> c & 1)
            taken = [
                f"the {names.nouns.cell} itself" if cover == cell else next(_grouped(names, [cover], needs=False))
                for cover in held
            ]
            if dead >> c & 1 and supposed is not None:
                told.append(f"{what} is barred by {_candidate(names, supposed)}")
            elif taken:
                told.append(f"{what} takes {series(taken)}")
            else:
                told.append(f"{what} takes nothing")
        lines.append(f"{_need(names, number)}: {'; '.join(told) if told else 'nothing is left for it'}.")
    return lines


def _supposed(proof: Proof) -> int | None:
    """Return the candidate whose truth is supposed; None where a falsehood is supposed, or nothing."""
    inference = proof.inferences[0]
    return None if inference.true or not inference.false else inference.false[0]


def _left(grid: Grid, total: _Sum, supposed: int | None) -> tuple[Side, Side, int]:
    """Return needs and places that a candidate supposed true leaves, and the candidates that it bars."""
    if supposed is None:
        return total.bases, total.covers, 0
    masks = grid.model.masks
    bases = [(k, w) for k, w in total.bases if not masks[k] >> supposed & 1]
    covers = [(k, w) for k, w in total.covers if not masks[k] >> supposed & 1]
    dead = united(masks[k] for k, _ in (*total.bases, *total.covers) if masks[k] >> supposed & 1)
    return bases, covers, dead


def _balance(proof: Proof, names: Names, total: _Sum) -> str:
    """As many places as needs: whatever else takes one of the places falls."""
    masks = grid_of(proof).model.masks
    fallen = proof.inferences[0].false
    idle = not any(masks[number] >> c & 1 for number, _ in total.bases for c in fallen)
    count, bases, covers = in_words(total.needs), _sides(names, total.bases, needs=True), _sides(names, total.covers)
    if total.needs == 1:
        return (
            f"There is one need: {bases}. Whatever meets it takes the one place with room for one: {covers}. So the "
            f"need takes up the place, and a candidate that {'takes it otherwise' if idle else 'takes more of it'} "
            f"falls: {losses(proof.eliminates)}."
        )
    who = "takes one of them without meeting a need" if idle else "takes more of them than it meets needs"
    return (
        f"There are {count} needs: {bases}. They take up all of {count} places with room for one each: {covers}. "
        f"So a candidate that {who} falls: {losses(proof.eliminates)}."
    )


def _shortage(proof: Proof, names: Names, total: _Sum) -> str:
    """Suppose the opposite of the conclusion: more needs are left than places."""
    supposed, true = _supposed(proof), proof.inferences[0].true
    bases, covers, dead = _left(grid_of(proof), total, supposed)
    needs, room = sum(w for _, w in bases), sum(w for _, w in covers)
    gains = {c: gain for c, gain in total.gains.items() if not dead >> c & 1 and c not in true[:1]}
    told = f"With {_candidate(names, supposed)}, " if supposed is not None else ""
    told += f"Without {_candidate(names, true[0])}, " if true else ""
    sides = _sides(names, bases, needs=True)
    if covers or needs > 1:
        told += f"{'t' if told else 'T'}here {'is' if needs == 1 else 'are'} {_many(needs, 'need')}: {sides}; "
    if covers:
        told += f"but only {_many(room, 'place')} with room for one{' each' * (room > 1)}: {_sides(names, covers)}. "
        if gains:
            most, more = sum(gains.values()), series(_candidate(names, c) for c in gains)
            told += f"Only {_many(most, 'need')} can do without a place, by {more}. "
    else:
        told += "and no place for any. " if needs > 1 else f"{'n' if told else 'N'}othing is left for {sides}. "
    if proof.contradiction:
        return f"{told}So this position has no solution."
    return told + _concluded(proof)


def _amounts(proof: Proof, names: Names, total: _Sum) -> str:
    """Weigh what a candidate takes against what can be spared; for rules with totals."""
    grid = grid_of(proof)
    gains = total.gains
    first = next(iter((*proof.inferences[0].true, *proof.inferences[0].false)), None)
    placed = bool(proof.inferences[0].true)
    if placed and first is not None:
        gains = {c: gain for c, gain in gains.items() if c != first}
    told = []
    if total.covers:
        told.append(
            f"Add up what is allowed: {_amount(names, grid, total.covers, needs=False)}; at most {total.room} in all."
        )
    else:
        told.append("Nothing more is allowed than what stands there.")
    if total.bases:
        told.append(
            f"Add up what is needed: {_amount(names, grid, total.bases, needs=True)}; at least {total.needs} in all."
        )
    spare = total.room - total.needs - total.settled
    if total.settled:
        verb = "take" if total.settled > 0 else "bring"
        told.append(f"The {names.nouns.digit}s placed in these {verb} {abs(total.settled)} already.")
    if gains:
        whose = ((gain, *names.split(c)) for c, gain in gains.items())
        more = series(f"{gain} if {names.cell(cell)} is {names.digit(digit)}" for gain, digit, cell in whose)
        told.append(f"At most {sum(gains.values())} can be gained: {more}.")
    spare += sum(gains.values())
    if proof.contradiction or first is None:
        return " ".join([*told, f"That falls short by {-spare}, so this position has no solution."])
    who = _candidate(names, first)
    if placed:
        told.append(f"Without {who} that falls short by {-spare}.")
    else:
        told.append(f"That leaves {spare} to spare, and {who} would take {total.weights[first]}.")
    return " ".join([*told, _concluded(proof)])


def _concluded(proof: Proof) -> str:
    """Say what follows; the other notes of a cell that is placed go without saying."""
    placed = [f"{c.cell} is {c.written}" for c in proof.places]
    full = {(c.row, c.column) for c in proof.places}
    false = [c for c in proof.eliminates if (c.row, c.column) not in full]
    lost = [losses(false)] if false else []
    many = len(placed) + len(false) > 1
    return f"{'By the same count each of these holds: ' if many else 'So '}{series([*placed, *lost])}."


def _sides(names: Names, side: Side, *, needs: bool = False) -> str:
    """Tell needs or places, what counts once first."""
    by_weight: dict[int, list[int]] = {}
    for number, weight in side:
        by_weight.setdefault(weight, []).append(number)
    parts = []
    for weight, numbers in sorted(by_weight.items()):
        often = "" if len(by_weight) == 1 and weight == 1 else f"counted {_times(weight)}, "
        parts.append(often + "; ".join(_grouped(names, numbers, needs=needs)))
    return "; and ".join(parts)


def _grouped(names: Names, numbers: Sequence[int], *, needs: bool) -> Iterator[str]:
    """Tell cells together, and digits in houses by whichever of digits and houses makes fewer groups."""
    layout = names.layout
    cells = [number for number in numbers if number < layout.cells]
    if cells:
        who = _cells(names, cells)
        yield (
            f"a {names.nouns.digit} {'for' if names.problem else 'in'} {'' if len(cells) == 1 else 'each of '}{who}"
            if needs
            else who
        )
    pairs = [place for place in map(layout.house_of, numbers) if place is not None]
    for digits, houses in min(_by_digit(pairs), _by_house(pairs), key=len):
        where = series(names.houses(found) for found in _kinds(names, houses))
        if needs:
            each = "each of " if len(houses) > 1 else ""
            yield f"{series(map(names.a, digits))} in {each}{where}"
        else:
            yield f"the {names.digits(digits)} of {where}"
    yield from (f"one, since {names.rule(number)}" for number in numbers if number >= layout.exact)


_Groups = list[tuple[tuple[int, ...], tuple[int, ...]]]


def _by_digit(pairs: Iterable[tuple[int, int]]) -> _Groups:
    """Group (house, digit) into digits that share their houses."""
    houses: dict[int, list[int]] = {}
    for house, digit in sorted(pairs):
        houses.setdefault(digit, []).append(house)
    alike: dict[tuple[int, ...], list[int]] = {}
    for digit, found in sorted(houses.items()):
        alike.setdefault(tuple(found), []).append(digit)
    return [(tuple(digits), found) for found, digits in alike.items()]


def _by_house(pairs: Iterable[tuple[int, int]]) -> _Groups:
    """Group (house, digit) into houses that share their digits."""
    return [(digits, houses) for houses, digits in _by_digit((digit, house) for house, digit in pairs)]


def _kinds(names: Names, houses: Iterable[int]) -> list[list[int]]:
    """Part houses by their kind and, where grids overlap, by their grid."""
    kinds: dict[tuple[str, int], list[int]] = {}
    for house in sorted(houses):
        kinds.setdefault((names.layout.houses[house].kind, names.layout.houses[house].grid), []).append(house)
    return list(kinds.values())


def _cells(names: Names, cells: Sequence[int]) -> str:
    """Name cells: as a crossing of rows and columns if they fill one, else row by row."""
    places = [names.layout.candidate(cell) for cell in sorted(cells)]
    rows = sorted({place.row for place in places})
    columns = sorted({place.column for place in places})
    if len(cells) == 1 or names.problem:
        return names.cells(cells)
    count = f"the {in_words(len(cells))} cells"
    if len(rows) > 1 and len(columns) > 1 and len(rows) * len(columns) == len(cells):
        return f"{count} where rows {series(map(str, rows))} cross columns {series(map(str, columns))}"
    # Above 9 the figures run into one another, so they are kept apart.
    joint = "/" if names.layout.broad else ""
    by_row = {row: [str(place.column) for place in places if place.row == row] for row in rows}
    return f"{count} {series(f'r{row}c{joint.join(found)}' for row, found in by_row.items())}"


def _need(names: Names, number: int) -> str:
    """Name one need at the head of a line."""
    told = next(_grouped(names, [number], needs=True))
    return told[:1].upper() + told[1:]


def _amount(names: Names, grid: Grid, side: Side, *, needs: bool) -> str:
    """Tell one side of a sum of amounts: whole houses as totals, then the rest by its printable names."""
    layout = names.layout
    left = dict(side)
    told = []
    for house in range(len(layout.houses)):
        numbers = {d: layout.house_constraint(house, d) for d in range(1, layout.order + 1)}
        open_ = [d for d, number in numbers.items() if not grid.true & layout.masks[number]]
        weights = {left.get(numbers[d], 0) / d for d in open_}
        if len(open_) > 1 and len(weights) == 1 and (often := weights.pop()) == int(often) > 0:
            who = "" if len(open_) == layout.order else "the open cells of "
            verb = "totals" if not who else "total"
            told.append(f"{who}{names.houses([house])} {verb} {sum(open_)}{_counted(int(often))}")
            for d in open_:
                del left[numbers[d]]
    plain = [(number, weight) for number, weight in left.items() if number < layout.exact]
    if plain:
        told.append(_sides(names, plain, needs=needs))
    told += [f"{names.rule(number)}{_counted(weight)}" for number, weight in left.items() if number >= layout.exact]
    return "; ".join(told)


def _candidate(names: Names, candidate: int) -> str:
    digit, cell = names.split(candidate)
    return f"{names.digit(digit)} in {names.cell(cell)}"


def _counted(weight: int) -> str:
    return "" if weight == 1 else f", counted {_times(weight)}"


def _times(weight: int) -> str:
    """Say how often."""
    return {1: "once", 2: "twice"}.get(weight, f"{in_words(weight)} times")


def _many(count: int, noun: str) -> str:
    return f"{in_words(count)} {noun}{'' if count == 1 else 's'}"
