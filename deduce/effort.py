"""Effort: how much there is to read and to hold in mind, in one step.

The measure counts what a person's attention has to visit, each thing once, and nothing has a weight of its own:

cells
    the cells whose notes are read, or that are seen to take one digit only;
houses
    the houses that are looked through for a digit (any other rule over several cells counts as one);
links
    the covers: each time that "if this is true, those are false" is followed within one rule;
digits
    the different digits among which the bases leave a choice, and which are therefore held in mind together;
bars
    the fewest placed digits that, where a digit is placed, keep every rival out of the cells still open (a rival that
    none of them keeps out counts by itself);
suppositions
    the candidates that are only supposed true.

The effort of a step is the sum of these counts, where everything under a supposition counts twice, since it is read
with a digit in mind that is not there.

Why so.  A person who looks for one digit in a few lines can let every other digit go out of sight, so a pattern on
one digit must come out lighter than one of the same shape over several: hence `digits`.  Two houses or cells that lie
far apart have to be found and kept in view one by one, while three digits in one house need one look: hence `cells`
and `houses` count places, not constraints.  What is followed from place to place is what gets lost on the way: hence
`links`.  Where a total is added up, the digits are not held in mind one by one, so they do not count.  A digit is
placed by looking round the board and not at notes, so a last open cell, whose house has nothing else to look at, is
lighter than a digit that two others bar from its house, that one lighter than where four bar it, and a cell that is
checked against eight digits is heavier still: hence `bars`.  Several arguments of one proof are read together, so
their places and links are joined and not added up; of those with the same bases (one chain, whose ends are seen
through different houses) only the heaviest counts, since a pattern is no harder for having more victims.  The
inferences under a supposition are made one after the other, each in a changed position, so they are added up.

What follows from it.  The parts of an argument are sizes of sets that only grow when a base or a cover is added, so a
longer argument never has less effort (a total that joins it apart), and one with a new link always has more.  No part
depends on which row, column or digit is meant, so a grid that is turned, reflected or renumbered has steps of the same
effort (an XYZ-wing apart, where a row and a box may serve alike).  Both are tested.  The numbers
have no unit and compare steps and walks of this library only; they say nothing
of how long somebody takes.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable
from dataclasses import dataclass
from typing import TYPE_CHECKING

from deduce.kernel import Counting, Inference, Supposition, Swap
from deduce.positions import bits, united

if TYPE_CHECKING:
    from deduce.proof import Starting

__all__ = ["Effort", "inferred_effort"]


@dataclass(frozen=True, slots=True)
class Effort:
    """The effort of a step, part by part.

    Parameters
    ----------
    cells, houses, links, digits, suppositions : int
        As the module says; what stands under suppositions is not in them.
    supposed : int
        Twice the effort of what stands under suppositions.
    bars : int
        As the module says.
    """

    cells: int = 0
    houses: int = 0
    links: int = 0
    digits: int = 0
    suppositions: int = 0
    supposed: int = 0
    bars: int = 0

    @property
    def total(self) -> int:
        """The sum of the parts."""
        visited = self.cells + self.houses + self.links + self.digits + self.bars
        return visited + self.suppositions + self.supposed

    def __str__(self) -> str:
        parts = [(self.cells, "cell"), (self.houses, "house"), (self.links, "link"), (self.digits, "digit")]
        parts += [(self.bars, "bar"), (self.suppositions, "supposition")]
        told = [f"{count} {name}{'' if count == 1 else 's'}" for count, name in parts if count]
        if self.supposed:
            told.append(f"{self.supposed} under suppositions")
        return f"{self.total} ({', '.join(told)})"


def inferred_effort(grid: Starting, inferences: Iterable[Inference]) -> Effort:
    """Return the effort of inferences made in a position.

    Parameters
    ----------
    grid : Grid
        The position; of its candidates it says digit and cell, which is all that is read of the layout.
    inferences : iterable of Inference
        Read together as one step.

    Notes
    -----
    The cost is linear in the size of the arguments, but for the fewest bars, which are sought among few.  Under a
    supposition notes are read, so nothing is barred there.
    """
    return _effort(grid, inferences, bars=True)


def _effort(grid: Starting, inferences: Iterable[Inference], *, bars: bool) -> Effort:
    seen: set[_Visited] = set()
    alike: dict[object, list[set[_Visited]]] = {}
    rivals = 0
    suppositions = supposed = 0
    for inference in inferences:
        argument = inference.argument
        if isinstance(argument, Counting):
            alike.setdefault((argument.bases, argument.swaps), []).append(_look(grid, argument))
            if bars and inference.true:
                rivals |= united(grid.model.masks[number] for number, _ in argument.bases) & ~grid.live
        elif isinstance(argument, Supposition):
            suppositions += 1
            supposed += 2 * sum(_effort(grid, [inner], bars=False).total for inner in argument.inferences)
        else:
            seen |= _exchange(grid, argument)
    for group in alike.values():
        seen |= max(group, key=len)
    kinds = [kind for kind, _ in seen]
    cells, houses, links, digits = map(kinds.count, ("cell", "house", "link", "digit"))
    return Effort(cells, houses, links, digits, suppositions, supposed, _bars(grid, rivals) if rivals else 0)


def _bars(grid: Starting, rivals: int) -> int:
    """Count the fewest placed digits that bar these candidates, and those of them that none bars, in open cells."""
    model = grid.model
    barred: dict[int, int] = {}
    alone = 0
    for rival in bits(rivals):
        cell = _cell(grid, rival)
        seen = united(model.masks[number] for number in model.touching[rival] if model.exclusive[number])
        holders = bits(seen & grid.true)
        if any(_cell(grid, holder) == cell for holder in holders):
            continue
        alone += not holders
        for holder in holders:
            barred[holder] = barred.get(holder, 0) | 1 << rival
    return alone + _fewest({*barred.values()}, united(barred.values()))


def _cell(grid: Starting, candidate: int) -> tuple[int, int]:
    there = grid.candidate(candidate)
    return there.row, there.column


def _fewest(sets: Collection[int], wanted: int) -> int:
    """Return how many of these bitsets are needed to hold all that is wanted."""
    if not wanted:
        return 0
    left = {one & wanted for one in sets} - {0}
    largest = [one for one in left if not any(one & ~other == 0 and one != other for other in left)]
    hardest = min(bits(wanted), key=lambda item: sum(one >> item & 1 for one in largest))
    return 1 + min(_fewest(largest, wanted & ~one) for one in largest if one >> hardest & 1)


_Visited = tuple[str, object]
"""What attention has visited: of which kind, and which one."""


def _look(grid: Starting, argument: Counting) -> set[_Visited]:
    """Return what a counting argument adds up."""
    constraints = grid.model.constraints
    total = any(len({weight for _, weight in constraints[n].terms}) > 1 for n, _ in (*argument.bases, *argument.covers))
    seen = {_place(grid, number) for number, _ in (*argument.bases, *argument.covers)}
    seen.update(("link", number) for number, _ in argument.covers)
    for number, _ in () if total else argument.bases:
        # The digits that a base leaves a choice of.
        choice = bits(grid.live & grid.model.masks[number])
        seen.update(("digit", grid.candidate(candidate).digit) for candidate in choice)
    for swap, _ in argument.swaps:
        seen |= _exchange(grid, swap)
    return seen


def _exchange(grid: Starting, swap: Swap) -> set[_Visited]:
    """Return the cells and digits of a swap: what could be exchanged, and the exits."""
    named = (*swap.pattern, *swap.exits)
    return {("cell", _cell(grid, c)) for c in named} | {("digit", grid.candidate(c).digit) for c in named}


def _place(grid: Starting, number: int) -> _Visited:
    """Return the place of one constraint: its cell, or its cells as a house."""
    cells = frozenset(_cell(grid, candidate) for candidate, _ in grid.model.constraints[number].terms)
    return ("house", cells) if len(cells) > 1 else ("cell", next(iter(cells), None))
