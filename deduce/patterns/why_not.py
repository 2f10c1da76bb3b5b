"""Why there is no such pattern: what somebody says of one, and what stands in its way."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from enum import StrEnum
from itertools import combinations

from deduce.positions import bits
from deduce.proof import Proof
from deduce.puzzle.grid import Grid
from deduce.puzzle.layout import Layout

__all__ = ["Fault", "FaultKind", "Mend", "Named", "Remedy", "Span", "WhyNot", "easiest", "extra_digits", "extra_places"]
__all__ += ["houses_around", "notes_of", "restorable", "sees", "wanted_digits"]

Span = tuple[int, int]
"""Where something stands in a text: first character and the one behind the last, counted from 0."""


@dataclass(frozen=True, slots=True)
class Named:
    """A reason by the name of a pattern, with what was said about where it lies.

    Parameters
    ----------
    names : tuple of str
        The names in the catalogue that the words may mean; more than one for words such as "chain".
    digits, cells, houses : tuple of int
        What was mentioned, in ascending order: digits from 1, numbers of cells and houses of the layout.
    labels : tuple of (str, tuple of int)
        Cells that were given a part, such as ``("pivot", (4,))``.
    """

    names: tuple[str, ...]
    digits: tuple[int, ...] = ()
    cells: tuple[int, ...] = ()
    houses: tuple[int, ...] = ()
    labels: tuple[tuple[str, tuple[int, ...]], ...] = ()


class FaultKind(StrEnum):
    """What is wrong with a reason."""

    ALTERNATION = "alternation"
    """A strong link stands where a weak one should, or the reverse."""
    ENDS = "ends"
    """The chain ends with a weak link and does not close."""
    NOT_NOTED = "not noted"
    """A node or a cell is without the candidate that the reason needs there."""
    PLACED = "placed"
    """A cell already holds a digit."""
    NOT_STRONG = "not strong"
    """Another candidate can make a strong link's constraint true."""
    NOT_JOINED = "not joined"
    """No constraint holds both sides of a strong link."""
    NOT_WEAK = "not weak"
    """Both sides of a weak link can be true together."""
    EXTRA_DIGITS = "extra digits"
    """A cell of the pattern can hold other digits."""
    EXTRA_PLACES = "extra places"
    """A digit of the pattern can go elsewhere in its house."""
    TOO_FEW = "too few places"
    """A house of the pattern has fewer places for its digit than the pattern needs."""
    WRONG_SIZE = "wrong size"
    """The pattern needs another number of cells, digits or lines."""
    OPEN_CELLS = "open cells"
    """A house of the pattern has several open cells."""
    NOT_TOGETHER = "not together"
    """The cells or lines do not lie as the pattern needs them."""
    NOT_THERE = "not there"
    """There is no such pattern with what was mentioned."""
    NOT_CONCLUDED = "not concluded"
    """The reason holds but says nothing about some of what is claimed."""
    NOTHING_FALLS = "nothing falls"
    """The reason holds but nothing is left for it to conclude."""
    NOT_UNIQUE = "not unique"
    """The reason needs the puzzle to have one solution only, and that is not so or not known."""
    RESTS_ON_ERROR = "rests on an error"
    """The reason rests on a candidate being ruled out that is in the solution."""


class Remedy(StrEnum):
    """How a candidate that breaks a reason could be eliminated first."""

    NOW = "now"
    """By one deduction from this position."""
    LATER = "later"
    """By several steps of a walk from this position."""
    NEVER = "never"
    """It is in the solution."""
    NOT_FOUND = "not found"
    """Neither was found."""


@dataclass(frozen=True, slots=True)
class Mend:
    """An elimination that a broken reason needs.

    Parameters
    ----------
    candidate : int
        What would have to fall first.
    remedy : Remedy
        Whether that can be proved from the position.
    proofs : tuple of Proof
        The proof: one for `NOW`, several to be read in order for `LATER`.
    """

    candidate: int
    remedy: Remedy
    proofs: tuple[Proof, ...] = ()


@dataclass(frozen=True, slots=True)
class Fault:
    """Where and why a reason fails.

    Parameters
    ----------
    kind : FaultKind
        What is wrong.
    link : int
        For a written chain the link at fault, counted from 1; 0 for the chain as a whole and for named patterns.
    span : (int, int), optional
        Where the link stands in the text of the claim.
    nodes : tuple of tuple of int
        The candidates on both sides of the link.
    constraint : int, optional
        The number of the constraint that has too many candidates.
    extras : tuple of int
        The candidates that are too many there.
    cells, digits, houses : tuple of int
        What else the sentence needs: cells that do not lie as they should, digits or cells that are missing.
    needed : int
        How many cells, digits or lines there should be, for `WRONG_SIZE`.
    pattern : str
        The name of the pattern, for named ones.
    missing : tuple of int
        The claimed candidates of which nothing is concluded.
    blockers : tuple of int
        Every candidate that would have to be eliminated for the reason to hold, `extras` among them.
    restores : tuple of int
        Candidates that a person's notes leave out and that would have to be noted again.
    mends : tuple of Mend
        For each blocker whether it can be eliminated.
    mended : bool
        Whether the reason would prove the claim with the blockers gone and the missing notes back.
    """

    kind: FaultKind
    link: int = 0
    span: Span | None = None
    nodes: tuple[tuple[int, ...], ...] = ()
    constraint: int | None = None
    extras: tuple[int, ...] = ()
    cells: tuple[int, ...] = ()
    digits: tuple[int, ...] = ()
    houses: tuple[int, ...] = ()
    needed: int = 0
    pattern: str = ""
    missing: tuple[int, ...] = ()
    blockers: tuple[int, ...] = ()
    restores: tuple[int, ...] = ()
    mends: tuple[Mend, ...] = ()
    mended: bool = False


WhyNot = Callable[[Grid, str, Named, tuple[int, ...]], Fault | None]
"""From a grid, a name, what was said of the pattern, and the candidates that it is to place, to what is in the way."""


def extra_digits(grid: Grid, name: str, wanted: Sequence[tuple[int, Iterable[int]]]) -> Fault:
    """Return the fault of cells that hold more than their digits: the first such cell, and all that is in the way."""
    layout = grid.layout
    blockers: list[int] = []
    first: tuple[int, tuple[int, ...]] | None = None
    for cell, digits in wanted:
        if grid.true & layout.masks[cell]:
            return Fault(FaultKind.PLACED, pattern=name, extras=tuple(bits(grid.true & layout.masks[cell])))
        allowed = sum(1 << layout.number(digit, cell) for digit in digits)
        extras = tuple(bits(grid.live & layout.masks[cell] & ~allowed))
        if extras and first is None:
            first = (layout.cell_constraint(cell), extras)
        blockers += extras
    if first is None:
        return Fault(FaultKind.NOTHING_FALLS, pattern=name)
    return Fault(FaultKind.EXTRA_DIGITS, pattern=name, constraint=first[0], extras=first[1], blockers=tuple(blockers))


def extra_places(grid: Grid, name: str, wanted: Sequence[tuple[int, int]]) -> Fault:
    """Return the fault of constraints with more candidates than they should have, each given with those allowed."""
    for number, allowed in wanted:
        mask = grid.layout.masks[number]
        if grid.true & mask:
            return Fault(FaultKind.PLACED, pattern=name, constraint=number, extras=tuple(bits(grid.true & mask)))
        if not grid.live & mask & allowed:
            return Fault(FaultKind.NOT_NOTED, pattern=name, constraint=number, extras=tuple(bits(mask & allowed)))
    found = [(number, tuple(bits(grid.live & grid.layout.masks[number] & ~allowed))) for number, allowed in wanted]
    blockers = tuple(sorted({c for _, extras in found for c in extras}))
    for number, extras in found:
        if extras:
            return Fault(FaultKind.EXTRA_PLACES, pattern=name, constraint=number, extras=extras, blockers=blockers)
    return Fault(FaultKind.NOTHING_FALLS, pattern=name)


def easiest(faults: Iterable[Fault]) -> Fault | None:
    """Return the fault that the fewest eliminations would mend."""
    hopeless = (FaultKind.PLACED, FaultKind.NOT_NOTED, FaultKind.TOO_FEW, FaultKind.NOT_TOGETHER)
    return min(faults, key=lambda one: (one.kind in hopeless, len(one.blockers), one.blockers), default=None)


def notes_of(grid: Grid, cell: int) -> set[int]:
    """Return the live digits of a cell."""
    return {c // grid.layout.cells + 1 for c in bits(grid.live & grid.layout.masks[cell])}


def houses_around(layout: Layout, cells: Iterable[int]) -> list[int]:
    """Return the houses that hold all these cells."""
    inside = sum(1 << cell for cell in cells)
    return [h for h, mask in enumerate(layout.house_masks) if not inside & ~mask]


def restorable(grid: Grid, candidates: Iterable[int]) -> tuple[int, ...]:
    """Return those candidates that only a person's notes rule out."""
    return tuple(c for c in candidates if grid.assumed >> c & 1)


def sees(layout: Layout, one: int, other: int) -> bool:
    """Whether two cells share a house."""
    return bool(layout.neighbours[one] >> other & 1)


def wanted_digits(grid: Grid, named: Named, size: int) -> Iterable[Sequence[int]]:
    """Return the sets of digits that a pattern of some cells may mean: those mentioned, else any of those noted."""
    if named.digits:
        return [named.digits]
    held = sorted(set().union(*(notes_of(grid, cell) for cell in named.cells)))
    return combinations(held, min(size, len(held)))
