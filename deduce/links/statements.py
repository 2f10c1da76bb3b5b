"""What the search for suppositions reads of a model, worked out once."""

from __future__ import annotations

from functools import lru_cache

from deduce.kernel import Counting, Model

__all__ = ["Statements", "statements_of"]


class Statements:
    """A model's constraints sorted by what they say.

    Parameters
    ----------
    model : Model
        The candidates and the rules.

    Attributes
    ----------
    model : Model
        The same.
    masks : tuple of int
        For each constraint the bitset of its candidates.
    touching : tuple of tuple of int
        For each candidate the constraints that it stands in.
    some : tuple of bool
        For each constraint whether it says "at least one of these".
    choices : dict of int to list of int
        By their bitset, the constraints that say "at least one of these".
    plain : tuple of bool
        For each constraint whether it says no more than "at least one", "at most one" or both.
    alone : tuple of tuple of Counting
        For each constraint the arguments that use it alone: as a base, as a cover.
    weak : tuple of int
        For each candidate the bitset of those that cannot be true together with it by a constraint "at most one".
    overlaps : tuple of tuple of (int, int)
        For each constraint that says "at least one": every other one that says "at most one" and shares two or more
        candidates with it, and the bitset of those that it does not share.
    widest : int
        How many candidates two such constraints share at most.
    """

    def __init__(self, model: Model) -> None:
        self.model = model
        self.masks = model.masks
        self.touching = model.touching
        units = [all(a == 1 for _, a in constraint.terms) for constraint in model.constraints]
        lowers = [constraint.lower for constraint in model.constraints]
        exclusive = model.exclusive
        self.some = tuple(unit and lower == 1 for unit, lower in zip(units, lowers, strict=True))
        self.plain = tuple(
            unit and (only or constraint.upper is None or constraint.upper >= len(constraint.terms))
            and (constraint.lower is None or constraint.lower <= 1)
            for unit, only, constraint in zip(units, exclusive, model.constraints, strict=True)
        )  # fmt: skip
        weak = []
        for candidate, numbers in enumerate(self.touching):
            mask = 0
            for number in numbers:
                if exclusive[number]:
                    mask |= self.masks[number]
            weak.append(mask & ~(1 << candidate))
        self.weak = tuple(weak)
        self.choices: dict[int, list[int]] = {}
        for number, some in enumerate(self.some):
            if some:
                self.choices.setdefault(self.masks[number], []).append(number)
        self.alone = tuple(
            tuple(
                argument
                for argument, bound in (
                    (Counting(((number, 1),), ()), constraint.lower),
                    (Counting((), ((number, 1),)), constraint.upper),
                )
                if bound is not None
            )
            for number, constraint in enumerate(model.constraints)
        )
        self.overlaps = tuple(tuple(self._sharing(number)) if some else () for number, some in enumerate(self.some))
        self.widest = max(
            (
                self.masks[number].bit_count() - outside.bit_count()
                for number, others in enumerate(self.overlaps)
                for _, outside in others
            ),
            default=0,
        )

    def _sharing(self, number: int) -> list[tuple[int, int]]:
        """List the exclusive constraints that share two or more candidates with a constraint."""
        mask = self.masks[number]
        counts: dict[int, int] = {}
        for candidate, _ in self.model.constraints[number].terms:
            for other in self.touching[candidate]:
                if other != number and self.model.exclusive[other]:
                    counts[other] = counts.get(other, 0) + 1
        return [(other, mask & ~self.masks[other]) for other, count in sorted(counts.items()) if count > 1]

    def shared(self, one: int, other: int) -> int:
        """Return the first exclusive constraint that holds both candidates."""
        theirs = self.touching[other]
        return next(k for k in self.touching[one] if k in theirs and self.model.exclusive[k])


@lru_cache(maxsize=8)
def statements_of(model: Model) -> Statements:
    """Return the constraints of a model sorted by what they say; worked out once for each model."""
    return Statements(model)
