"""What a person claims about a position: conclusions, and the reason given for them."""

from __future__ import annotations

from dataclasses import dataclass

from deduce.patterns.why_not import Named, Span

__all__ = ["Claim", "Named", "Question", "Span", "WrittenChain"]


@dataclass(frozen=True, slots=True)
class WrittenChain:
    """A reason written out as a chain; nothing about it has been checked.

    Parameters
    ----------
    nodes : tuple of tuple of int
        The candidates of each node as written, ascending.
    strong : tuple of bool
        For each link whether it was written as a strong one; one fewer than there are nodes.
    spans : tuple of (int, int)
        For each link where it stands in the text, with the nodes on both its sides.
    named : Named, optional
        The pattern's name, if one was given as well.
    """

    nodes: tuple[tuple[int, ...], ...]
    strong: tuple[bool, ...]
    spans: tuple[Span, ...]
    named: Named | None = None


@dataclass(frozen=True, slots=True)
class Claim:
    """Eliminations and placements, with or without a reason.

    Parameters
    ----------
    text : str
        The claim as it was written.
    eliminates, places : tuple of int
        Candidates said to be false and to be true, ascending.  Both are empty if only a reason was given; then
        whatever it proves is claimed.
    reason : Named or WrittenChain, optional
        The reason given.
    heard : tuple of (str, str)
        Words that were taken for others, as spelling mistakes: what was said and what was understood.
    """

    text: str
    eliminates: tuple[int, ...] = ()
    places: tuple[int, ...] = ()
    reason: Named | WrittenChain | None = None
    heard: tuple[tuple[str, str], ...] = ()

    @property
    def candidates(self) -> tuple[int, ...]:
        """Every candidate that something is claimed of, ascending."""
        return tuple(sorted({*self.eliminates, *self.places}))

    def __str__(self) -> str:
        return self.text


@dataclass(frozen=True, slots=True)
class Question:
    """What a person asks about a position.

    Parameters
    ----------
    text : str
        The question as it was put.
    kind : str
        ``"cell"``: what may stand in the cells; ``"house"``: where the digit may go in the house; ``"easiest"``:
        whether a step is the easiest; ``"needs"``: what a step needs.
    cells, digits, houses : tuple of int
        What it is about.
    heard : tuple of (str, str)
        As for a claim.
    """

    text: str
    kind: str
    cells: tuple[int, ...] = ()
    digits: tuple[int, ...] = ()
    houses: tuple[int, ...] = ()
    heard: tuple[tuple[str, str], ...] = ()

    def __str__(self) -> str:
        return self.text
