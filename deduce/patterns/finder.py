"""What a pattern family is: everything that there is to know of it, but for its sentence."""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterable, Iterator, Mapping
from dataclasses import dataclass

from deduce.kernel import Counting
from deduce.patterns.board import Board, Scope
from deduce.patterns.shape import ShapeReading
from deduce.patterns.why_not import WhyNot
from deduce.proof import Chain, Pattern, Proof, conclude
from deduce.puzzle.grid import Grid
from deduce.puzzle.layout import Layout

__all__ = ["BY_CHAIN", "KEPT", "NOT_THERE", "NO_SWAPS", "Family", "Finder", "Search", "counted"]

Search = Callable[[Board, Scope, Collection[str]], Iterator[Proof]]
"""From a board, a scope and the wanted names to proofs, the easiest first, always in the same order."""

BY_CHAIN = "sums are read as chains first (chain_shape), and each chain by of_chain"
"""Why a family of chains does not read sums itself."""

NO_SWAPS = "sums with swaps have no names by shape"
"""Why the patterns that assume a unique solution do not read sums."""

NOT_THERE = "what people mention of it leaves open which of its parts is missing"
"""Why a family tells no more than that there is no such pattern."""

KEPT = "name and roles stay: they tell what is seen, and a leaner sum concludes the same"
"""How the story survives when bases or covers turn out to be spare."""


@dataclass(frozen=True, slots=True)
class Finder:
    """A search for one or several related patterns.

    Parameters
    ----------
    names : tuple of str
        The patterns it can yield.
    scopes : callable
        From a layout to the parts of the board that are searched one by one, in order.
    search : Search
        The search in one scope.
    fault : callable
        From a grid and a pattern with one of these names to what is not as the name says, or None; it reads the roles
        and the position, never the argument.
    """

    names: tuple[str, ...]
    scopes: Callable[[Layout], tuple[Scope, ...]]
    search: Search
    fault: Callable[[Grid, Pattern], str | None]


@dataclass(frozen=True, slots=True, kw_only=True)
class Family(Finder):
    """A finder with all else that the rooms above ask about its patterns.

    Where a family has nothing to say, a sentence in that place says why.

    Parameters
    ----------
    roles : mapping from str to str
        Every role that its patterns can have, with the mark that it gets in a picture (`pictures.scene`), empty for
        none.  A name that ends with a blank stands for all that begin with it.
    reads : ShapeReading or str
        How a sum is read as one of its patterns.
    of_chain : callable, optional
        From a grid and a chain to the patterns of this family that the chain could be.
    why_not : WhyNot or str
        What keeps it from being there; None if too little was said.
    aliases : tuple of str
        What else people call it, in lower case; an alias may mean several families.
    shrinks : str
        What becomes of the story where its argument is made leaner (`suppositions.shrink`).
    """

    roles: Mapping[str, str]
    reads: ShapeReading | str
    of_chain: Callable[[Grid, Chain], Iterable[Pattern]] | None = None
    why_not: WhyNot | str = NOT_THERE
    aliases: tuple[str, ...] = ()
    shrinks: str = KEPT


def counted(grid: Grid, pattern: Pattern, *arguments: Counting) -> Proof:
    """Return the proof of a pattern from its counting arguments, with everything that they conclude."""
    return Proof(grid, conclude(grid, arguments), pattern)
