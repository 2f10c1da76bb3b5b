"""What follows from a layout alone, worked out once: its model, and bitsets of candidates and cells for searches."""

from __future__ import annotations

from collections.abc import Iterable
from functools import cached_property
from typing import Any, Literal, NamedTuple

from deduce.errors import LayoutError
from deduce.kernel import Constraint, Counting, Model, Position
from deduce.positions import conclusions, united
from deduce.puzzle.description import Description
from deduce.puzzle.rules import Rule

__all__ = ["Facts", "Origin"]


class Origin(NamedTuple):
    """Where a constraint of a model comes from.

    Parameters
    ----------
    kind : str
        ``"cell"`` for one digit in a cell, ``"house"`` for one digit in a house, ``"rule"`` for what a rule says.
    number : int
        Of the cell, the house or the rule, from 0.
    digit : int
        For a house which digit, from 1; otherwise 0.
    """

    kind: Literal["cell", "house", "rule"]
    number: int
    digit: int = 0


class Facts(Description):
    """The compiled model of a description, which constraint stands where in it, and who sees whom."""

    @cached_property
    def _model(self) -> tuple[Model, tuple[int, ...]]:
        """The model, and for each constraint after the exact ones the number of its rule."""
        names = [str(self.candidate(number)) for number in range(self.order * self.cells)]
        found = [self._exactly_one(self.origin(number)) for number in range(self.exact)]
        if not self.rules:
            return self._first(Model(names, found), ())
        exact = Model(names, found)
        sources: list[int] = []
        known: dict[str, Constraint] = {}
        for number, rule in enumerate(self.rules):
            for constraint in rule.constraints(self):
                if constraint.name in known:
                    if known[constraint.name] != constraint:
                        problem = f"two rules say {constraint.name!r} and mean different things"
                        raise LayoutError(problem, "leave one of them out")
                    continue
                known[constraint.name] = constraint
                if not _said(exact, constraint):
                    found.append(constraint)
                    sources.append(number)
        return self._first(Model(names, found), tuple(sources))

    def _first(self, *made: Any) -> tuple[Model, tuple[int, ...]]:
        """Return the model that was made first: threads that make it at once go on with the same one."""
        first: tuple[Model, tuple[int, ...]] = vars(self).setdefault("_made", made)
        return first

    def _exactly_one(self, origin: Origin) -> Constraint:
        """Return the constraint of a cell or a house; its printed name is made here, and nowhere read again."""
        if origin.kind == "cell":
            name = f"cell {self.cell_name(origin.number)}"
            held = [self.number(digit, origin.number) for digit in range(1, self.order + 1)]
        else:
            house = self.houses[origin.number]
            name = f"{self.symbols[origin.digit - 1]} in {house.name}"
            held = [self.number(origin.digit, cell) for cell in house.cells]
        return Constraint(name, tuple((candidate, 1) for candidate in held), 1, 1)

    @cached_property
    def model(self) -> Model:
        """The kernel's model: one digit in each cell, each digit once in each house, then what the rules say.

        A constraint of a rule that a cell or a house says as well is left out.
        """
        return self._model[0]

    @cached_property
    def exact(self) -> int:
        """How many constraints say "exactly one of these" about cells and houses; those of rules come after."""
        return self.cells + len(self.houses) * self.order

    @cached_property
    def masks(self) -> tuple[int, ...]:
        """For each exact constraint the bitset of its candidates: cells, then houses by digits; no rules."""
        return self.model.masks[: self.exact]

    @cached_property
    def touching(self) -> tuple[tuple[int, ...], ...]:
        """For each candidate the exact constraints that it stands in: its cell first, then its houses; no rules."""
        exact = self.exact
        return tuple(tuple(number for number in numbers if number < exact) for numbers in self.model.touching)

    @cached_property
    def at_most_one(self) -> tuple[tuple[int, ...], ...]:
        """For each candidate the constraints that say "at most one" of it and others, those of rules included."""
        exclusive = self.model.exclusive
        return tuple(tuple(number for number in numbers if exclusive[number]) for numbers in self.model.touching)

    @cached_property
    def at_least_one(self) -> tuple[tuple[int, ...], ...]:
        """For each candidate the constraints that say "at least one" of it and others, those of rules included."""
        some = {*range(self.exact), *self._some}
        return tuple(tuple(number for number in numbers if number in some) for numbers in self.model.touching)

    @cached_property
    def _some(self) -> tuple[int, ...]:
        """The constraints of rules that say "at least one of these"."""
        further = enumerate(self.model.constraints[self.exact :], self.exact)
        return tuple(number for number, said in further if said.lower == 1 and all(a == 1 for _, a in said.terms))

    @cached_property
    def rule_choices(self) -> tuple[int, ...]:
        """The bitsets of the constraints of rules that say "at least one of these"."""
        return tuple(self.model.masks[number] for number in self._some)

    @cached_property
    def wide_masks(self) -> tuple[int, ...]:
        """The bitsets of the constraints of rules that say "at most one" of three candidates or more."""
        exclusive, masks = self.model.exclusive, self.model.masks
        further = range(self.exact, len(masks))
        return tuple(masks[number] for number in further if exclusive[number] and masks[number].bit_count() > 2)

    @cached_property
    def linear(self) -> tuple[int, ...]:
        """The constraints of rules that say more than "at most one of these"."""
        further = enumerate(self.model.constraints[self.exact :], self.exact)
        return tuple(n for n, said in further if not self.model.exclusive[n] or said.lower is not None)

    @cached_property
    def start(self) -> int:
        """The bitset of the candidates that no rule by itself leaves without room."""
        live = self.every
        for number in range(self.exact, len(self.model.constraints)):
            if self.model.constraints[number].upper is not None:
                ruled = conclusions(self.model, Position(self.every, 0), Counting((), ((number, 1),)))
                live &= ~sum(1 << candidate for candidate in (ruled.false if ruled else ()))
        return live

    @cached_property
    def every(self) -> int:
        """The bitset of all candidates."""
        return (1 << self.order * self.cells) - 1

    @cached_property
    def peers(self) -> tuple[int, ...]:
        """For each candidate the bitset of those that cannot be true together with it by an "at most one"."""
        return self._seen(self.at_most_one)

    @cached_property
    def house_peers(self) -> tuple[int, ...]:
        """For each candidate the bitset of those in its cell and those of its digit in its houses; no rules."""
        return self._seen(self.touching) if self.rules else self.peers

    def _seen(self, touching: Iterable[Iterable[int]]) -> tuple[int, ...]:
        """For each candidate the union of some constraints, without itself."""
        masks = self.model.masks
        seen = (united(masks[number] for number in numbers) for numbers in touching)
        return tuple(mask & ~(1 << candidate) for candidate, mask in enumerate(seen))

    @cached_property
    def same_digit_peers(self) -> tuple[int, ...]:
        """For each candidate the bitset of the candidates of its digit that it sees."""
        plane = (1 << self.cells) - 1
        return tuple(mask & plane << c // self.cells * self.cells for c, mask in enumerate(self.peers))

    @cached_property
    def house_masks(self) -> tuple[int, ...]:
        """For each house the bitset of its cells (not candidates)."""
        return tuple(sum(1 << cell for cell in house.cells) for house in self.houses)

    @cached_property
    def houses_of(self) -> tuple[tuple[int, ...], ...]:
        """For each cell the numbers of the houses that hold it."""
        return tuple(
            tuple(h for h, house in enumerate(self.houses) if cell in house.cells) for cell in range(self.cells)
        )

    @cached_property
    def neighbours(self) -> tuple[int, ...]:
        """For each cell the bitset of the other cells that share a house with it."""
        masks = self.house_masks
        return tuple(united(masks[h] for h in houses) & ~(1 << cell) for cell, houses in enumerate(self.houses_of))

    def cell_constraint(self, cell: int) -> int:
        """Return the number of the constraint "exactly one digit in this cell"."""
        return cell

    def house_constraint(self, house: int, digit: int) -> int:
        """Return the number of the constraint "this digit (from 1) exactly once in this house"."""
        return self.cells + house * self.order + digit - 1

    def origin(self, constraint: int) -> Origin:
        """Return where a constraint of the model comes from.

        Examples
        --------
        >>> from deduce.puzzle.layout import Layout
        >>> Layout.standard().origin(80), Layout.standard().origin(81 + 9 * 18 + 6)
        (Origin(kind='cell', number=80, digit=0), Origin(kind='house', number=18, digit=7))
        """
        if constraint < self.cells:
            return Origin("cell", constraint)
        if constraint >= self.exact:
            return Origin("rule", self._model[1][constraint - self.exact])
        house, digit = divmod(constraint - self.cells, self.order)
        return Origin("house", house, digit + 1)

    def house_of(self, constraint: int) -> tuple[int, int] | None:
        """Return house and digit (from 1) of a constraint of the model, or None if it is that of a cell or a rule."""
        kind, house, digit = self.origin(constraint)
        return (house, digit) if kind == "house" else None

    def rule_of(self, constraint: int) -> Rule | None:
        """Return the rule that a constraint of the model comes from, or None if it is that of a cell or a house."""
        kind, rule, _ = self.origin(constraint)
        return self.rules[rule] if kind == "rule" else None

    def shared(self, first: int, second: int) -> tuple[int, ...]:
        """Return the constraints by which at most one of two candidates is true, in order."""
        theirs = self.at_most_one[second]
        return tuple(number for number in self.at_most_one[first] if number in theirs)


def _said(exact: Model, constraint: Constraint) -> bool:
    """Whether a cell or a house says at least as much as an "at most one" or "exactly one" of a rule."""
    terms = constraint.terms
    if constraint.upper != 1 or not terms or any(a != 1 for _, a in terms):
        return False
    mask = sum(1 << candidate for candidate, _ in terms)
    around = (exact.masks[number] for number in exact.touching[terms[0][0]])
    if constraint.lower is None:
        return any(not mask & ~other for other in around)
    return mask in around
