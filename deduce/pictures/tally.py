"""The table of a sum: what it needs against the places that are left for that, and the places that are missing."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from deduce.counting.names import COUNTING
from deduce.counting.shapes import argument_of
from deduce.kernel import coefficients
from deduce.positions import bits, united
from deduce.proof import Proof
from deduce.puzzle.grid import grid_of
from deduce.words.en.shows import TALLY

__all__ = ["SumTable", "tally_of"]


@dataclass(frozen=True, slots=True)
class SumTable:
    """Needs as rows and places as columns, once the opposite of the conclusion is supposed.

    Parameters
    ----------
    supposed : str
        What is supposed; empty if nothing is.
    numbers : tuple of int
        The constraints that are needs.
    needs, places : tuple of str
        What the rows and the columns are called.
    meets : tuple of (int, int)
        The row and the column wherever something that meets the need takes the place.
    idle : tuple of int
        The rows of needs that something meets without taking a place.
    taken : tuple of int
        The columns of the places that what is supposed takes.
    missing : int
        How many places there are too few.
    """

    supposed: str
    numbers: tuple[int, ...]
    needs: tuple[str, ...]
    places: tuple[str, ...]
    meets: tuple[tuple[int, int], ...]
    idle: tuple[int, ...]
    taken: tuple[int, ...]
    missing: int


def tally_of(proof: Proof) -> SumTable | None:
    """Return the table of a counting argument; None for other proofs, and for sums that are told in amounts.

    Those have rules that allow more than one of something or need other than one, such as totals.
    """
    grid = grid_of(proof)
    if proof.pattern.name != COUNTING:
        return None
    argument, model, masks = argument_of(grid, proof.pattern), grid.model, grid.model.masks
    sides = (*argument.bases, *argument.covers)
    rules = [model.constraints[number] for number, _ in argument.bases]
    settled = grid.true & united(masks[number] for number, _ in sides)
    if settled or not all(model.exclusive[n] for n, _ in sides) or any(rule.lower != 1 for rule in rules):
        return None
    (inference,) = proof.inferences
    false = 0 if inference.true else sum(1 << candidate for candidate in inference.false[:1])
    true = sum(1 << candidate for candidate in inference.true[:1])
    open_ = grid.live & ~united(masks[number] for number, _ in sides if masks[number] & false) & ~true
    needs = [side for side in argument.bases if not masks[side[0]] & false]
    taken = tuple(at for at, (number, _) in enumerate(argument.covers) if masks[number] & false)
    free = [(at, number, weight) for at, (number, weight) in enumerate(argument.covers) if at not in taken]
    held = united(masks[number] for _, number, _ in free)
    gains = sum(-w for c, w in coefficients(model, argument)[0].items() if w < 0 and open_ >> c & 1)

    def named(listed: Sequence[tuple[int, int]]) -> tuple[str, ...]:
        said = {number: model.constraints[number].name for number, _ in listed}
        return tuple(TALLY["once" if often == 1 else "often"].format(said[number], often) for number, often in listed)

    opposite = [TALLY["false" if true else "true"].format(grid.candidate(c)) for c in bits(false | true)]
    return SumTable(
        "".join(opposite),
        tuple(number for number, _ in needs),
        named(needs),
        named(argument.covers),
        tuple((row, at) for row, (n, _) in enumerate(needs) for at, m, _ in free if masks[n] & masks[m] & open_),
        tuple(row for row, (number, _) in enumerate(needs) if masks[number] & open_ & ~held),
        taken,
        sum(weight for _, weight in needs) - sum(weight for *_, weight in free) - gains,
    )
