"""A proof: what is concluded, why, under which name, and from what.

A :class:`Proof` carries the kernel's inferences (the certificate) beside the pattern that the trade would call it (the
story).  The kernel reads only the first, words and pictures read mostly the second; each pattern module builds the one
from the other in a single function, so the two cannot disagree.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Any, NamedTuple, Protocol

from deduce.effort import inferred_effort
from deduce.errors import ProofError
from deduce.kernel import Argument, Counting, Inference, Model, Position, Supposition, Swap
from deduce.positions import Needs, after, bits, conclusions, needs
from deduce.window import ShownProof

__all__ = ["Candidate", "Chain", "Link", "Pattern", "Premise", "Proof", "Role", "Starting", "conclude"]


class Candidate(NamedTuple):
    """A digit that a cell may still hold; rows and columns count from 1.

    Parameters
    ----------
    digit : int
        From 1 to the order of the layout.
    row, column : int
        From 1.
    symbol : str, optional
        How the layout writes the digit where that is not the plain number.
    variable : str, optional
        What the cell is called where it is a variable of a problem; the digit is then one of its values.

    Examples
    --------
    >>> str(Candidate(5, 4, 7)), str(Candidate(2, 1, 1, "red", "WA"))
    ('5r4c7', 'WA = red')
    """

    digit: int
    row: int
    column: int
    symbol: str = ""
    variable: str = ""

    @property
    def written(self) -> str:
        """How the digit is written."""
        return self.symbol or str(self.digit)

    @property
    def cell(self) -> str:
        """What the cell is called."""
        return self.variable or f"r{self.row}c{self.column}"

    def __str__(self) -> str:
        return f"{self.variable} = {self.written}" if self.variable else f"{self.written}{self.cell}"


class Premise(str):
    """What had to be read: a text that says so, such as ``"7 in box 2"``, with the same as data.

    Attributes
    ----------
    house : str
        The house that was scanned for a digit; empty where it was a cell, or where a rule is the premise.
    digit : int
        The digit that it was scanned for, from 1; 0 where it was a cell, or where a rule counts several.
    cells : tuple of str
        The cells that were looked at.
    """

    __slots__ = ("cells", "digit", "house")

    house: str
    digit: int
    cells: tuple[str, ...]

    @classmethod
    def of(cls, grid: Starting, number: int) -> Premise:
        """Return a constraint of a position's model as a premise."""
        constraint = grid.model.constraints[number]
        candidates = [grid.candidate(candidate) for candidate, _ in constraint.terms]
        digits = {candidate.digit for candidate in candidates}
        made = cls(constraint.name)
        made.cells = tuple(dict.fromkeys(candidate.cell for candidate in candidates))
        made.digit = digits.pop() if len(digits) == 1 else 0
        # A position on a bare model has constraints, but no houses.
        layout: Any = getattr(grid, "layout", None)
        house = layout and layout.house_of(number)
        made.house = layout.houses[house[0]].name if house else ""
        return made


class Starting(Protocol):
    """What a proof needs of the grid that it starts from."""

    @property
    def model(self) -> Model:
        """The candidates and the rules."""

    @property
    def live(self) -> int:
        """Bitset of the candidates not ruled out."""

    @property
    def true(self) -> int:
        """Bitset of the candidates known to be true."""

    @property
    def resting(self) -> tuple[tuple[int, int], ...]:
        """For each note of a person that something rests on, the bitset of what does."""

    @property
    def presumed(self) -> int:
        """Bitset of the candidates that were settled assuming a unique solution."""

    def candidate(self, number: int) -> Candidate:
        """Return a candidate by its number in the model."""


@dataclass(frozen=True, slots=True)
class Role:
    """One part that some things play in a pattern.

    Parameters
    ----------
    name : str
        The part, such as ``"pivot"`` or ``"base lines"``.
    kind : str
        What the numbers in `items` are: ``"cells"``, ``"candidates"``, ``"houses"`` or ``"digits"``.
    items : tuple of int
        Cells and houses are numbers of the layout, candidates numbers of the model, digits count from 1.
    """

    name: str
    kind: str
    items: tuple[int, ...]


@dataclass(frozen=True, slots=True)
class Link:
    """A link between two neighbours of a chain, with the constraints that justify it.

    Parameters
    ----------
    strong : bool
        Strong: at least one side is true.  Weak: at most one side is.
    constraints : tuple of int
        Numbers of constraints of the model; for a strong link one of them is used, a weak link of a continuous loop
        makes every one of them exclusive.
    covers : tuple of int, optional
        For a strong link through an almost locked set: then all of `constraints`, its cells, are bases, and these,
        its other digits, are covers.
    """

    strong: bool
    constraints: tuple[int, ...]
    covers: tuple[int, ...] = ()


@dataclass(frozen=True, slots=True)
class Chain:
    """Nodes in order, joined by links that alternate strong and weak, strong first.

    Parameters
    ----------
    nodes : tuple of tuple of int
        Each node is one candidate or a group of candidates, of which one is meant to be true.
    links : tuple of Link
        The link behind each node; the last one of a loop leads back to the first node.
    loop : bool
        Whether the chain closes.
    """

    nodes: tuple[tuple[int, ...], ...]
    links: tuple[Link, ...]
    loop: bool = False


@dataclass(frozen=True, slots=True)
class Pattern:
    """The trade's name for a deduction, with who plays which part.

    Parameters
    ----------
    name : str
        As in the catalogue.
    roles : tuple of Role
        The parts, in the order in which the pattern's definition names them.
    chain : Chain, optional
        The chain, where the pattern is one.
    also : tuple of str, optional
        The other names of the catalogue that the same chain fits, the simplest first.
    inner : tuple of Pattern, optional
        For a supposition the pattern of each inference under it.
    """

    name: str
    roles: tuple[Role, ...] = ()
    chain: Chain | None = None
    also: tuple[str, ...] = ()
    inner: tuple[Pattern, ...] = ()

    def role(self, name: str) -> tuple[int, ...]:
        """Return the items of one role; empty if the pattern has no such role.

        Examples
        --------
        >>> Pattern("naked pair", (Role("subset", "cells", (0, 3)),)).role("subset")
        (0, 3)
        """
        return next((role.items for role in self.roles if role.name == name), ())


@dataclass(frozen=True, slots=True)
class Proof(ShownProof):
    """A deduction in one position, with everything needed to check, name and draw it.

    Parameters
    ----------
    grid : Grid
        The position in which it was found.
    inferences : tuple of Inference
        The certificate, read in order by :func:`deduce.check`.
    pattern : Pattern
        The story.
    proved_smallest : bool, optional
        Whether a solver has shown that no counting argument of less cost concludes anything (or, where one candidate
        was asked about, concludes this).
    """

    grid: Starting
    inferences: tuple[Inference, ...]
    pattern: Pattern
    proved_smallest: bool = False

    @property
    def eliminates(self) -> tuple[Candidate, ...]:
        """The candidates shown to be false, by digit and then in reading order."""
        return tuple(map(self.grid.candidate, sorted({c for one in self.inferences for c in one.false})))

    @property
    def places(self) -> tuple[Candidate, ...]:
        """The candidates shown to be true; placing them clears their peers as part of the step."""
        return tuple(map(self.grid.candidate, sorted({c for one in self.inferences for c in one.true})))

    @property
    def contradiction(self) -> bool:
        """Whether the proof shows that its position has no solution."""
        return any(inference.contradiction for inference in self.inferences)

    @property
    def depth(self) -> int:
        """How deep suppositions nest: 0 for counting alone."""
        return max((_depth(inference.argument) for inference in self.inferences), default=0)

    @property
    def assumes_unique(self) -> bool:
        """Whether the proof rests on the puzzle having one solution only.

        That is so if it makes a swap, or uses something that an earlier step settled under this assumption: a
        candidate that is gone, or one that is placed.
        """
        return self.swaps or bool(self.grid.presumed and self.grid.presumed & self._used)

    @property
    def _used(self) -> int:
        """The bitset of what the proof rests on; of everything for a sum that cannot be added up."""
        try:
            used = self.needs
        except ProofError:
            return -1
        return used.gone | used.true

    @property
    def swaps(self) -> bool:
        """Whether the proof itself makes a swap."""
        return any(isinstance(a, Swap) or getattr(a, "swaps", ()) for a in _all_arguments(self.inferences))

    @property
    def also(self) -> tuple[str, ...]:
        """The other names that the same deduction could be given, the simplest first."""
        return self.pattern.also

    @property
    def premises(self) -> tuple[Premise, ...]:
        """What had to be read: a cell whose notes must be complete, or a house scanned for a digit.

        These are the names of the bases, each once, in the order in which the argument uses them; each also tells its
        `house`, `digit` and `cells`.  The cells of a swap have to be read as well; `deduce.walks.premises_of` lists
        them too.
        """
        return tuple(Premise.of(self.grid, number) for number in self.bases)

    @property
    def bases(self) -> tuple[int, ...]:
        """The numbers of the bases, each once, in the order in which the argument uses them."""
        used = (b for a in _all_arguments(self.inferences) if isinstance(a, Counting) for b, _ in a.bases)
        return tuple(dict.fromkeys(used))

    @property
    def rests_on(self) -> tuple[Candidate, ...]:
        """The candidates already ruled out that must stay ruled out for the proof to hold, in order."""
        return tuple(map(self.grid.candidate, bits(self.needs.gone)))

    @property
    def assumes(self) -> tuple[Candidate, ...]:
        """The eliminations that a person's own notes brought in and that this proof rests on.

        That is so for a note that the argument uses, and for one on which something rests that it uses and that an
        earlier step settled.  The givens do not account for these notes: if one of them is wrong, the proof says
        nothing about the puzzle.
        """
        return tuple(map(self.grid.candidate, self.noted))

    @property
    def noted(self) -> tuple[int, ...]:
        """The same, as numbers of the model; all of the notes for a sum that cannot be added up."""
        settled = self._used if self.grid.resting else 0
        return tuple(note for note, mask in self.grid.resting if mask & settled)

    @property
    def needs(self) -> Needs:
        """The facts of its position that the proof rests on; see :func:`deduce.positions.needs`."""
        return needs(self.grid.model, Position(self.grid.live, self.grid.true), self.inferences)

    @property
    def effort(self) -> int:
        """How much there is to read and to hold in mind, by the measure of :mod:`deduce.effort`."""
        return inferred_effort(self.grid, self.inferences).total

    def __str__(self) -> str:
        return f"{self.pattern.name}: {self.conclusion()}"

    def __repr__(self) -> str:
        return f"<Proof {self}>"

    def conclusion(self) -> str:
        """Return what is concluded, as candidate tokens.

        ``+5r4c7`` is placed, ``-5r4c7`` is eliminated, ``contradiction`` stands for neither.  Of the variables of a
        problem ``WA = red`` is placed and ``WA <> red`` is eliminated.
        """
        if self.contradiction:
            return "contradiction"
        if any(c.variable for c in (*self.places, *self.eliminates)):
            return ", ".join([*map(str, self.places), *(f"{c.cell} <> {c.written}" for c in self.eliminates)])
        return " ".join([f"+{c}" for c in self.places] + [f"-{c}" for c in self.eliminates])


def conclude(grid: Starting, arguments: Iterable[Counting]) -> tuple[Inference, ...]:
    """Return what counting arguments conclude, read in order; those that add nothing are left out.

    Parameters
    ----------
    grid : Grid
        The position of the first argument; each further one sees what the earlier ones concluded.
    arguments : iterable of Counting
        The arguments.  One that yields a contradiction ends the list.
    """
    found = []
    position = Position(grid.live, grid.true)
    for argument in arguments:
        inference = conclusions(grid.model, position, argument)
        if inference is None:
            continue
        found.append(inference)
        if inference.contradiction:
            break
        position = after(grid.model, position, inference)
    return tuple(found)


def _all_arguments(inferences: Sequence[Inference]) -> list[Argument]:
    """List every argument, those under suppositions after the supposition itself."""
    found: list[Argument] = []
    for inference in inferences:
        found.append(inference.argument)
        if isinstance(inference.argument, Supposition):
            found.extend(_all_arguments(inference.argument.inferences))
    return found


def _depth(argument: Argument) -> int:
    """Return how deep suppositions nest in an argument."""
    if not isinstance(argument, Supposition):
        return 0
    return 1 + max((_depth(inner.argument) for inner in argument.inferences), default=0)
