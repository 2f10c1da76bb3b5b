"""Sentences with gaps: templates in which the roles of a pattern stand by name and are spelled by their kind.

A gap holds the name of a role, with a capital at the head of a sentence, or ``node 2`` for a node of the chain; names
joined by ``+`` are told as one, and ``falls`` is what is eliminated.  Behind a colon stands how it is told: see
`Spoken`.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import Any

from deduce.proof import Proof
from deduce.puzzle.grid import grid_of
from deduce.words.en.names import Names, capital, in_words, losses, series

__all__ = ["Spoken", "fill"]


class Spoken:
    """Things of one kind in a sentence.

    A gap lists them with "and", or with the joint behind the colon (``or``).  A number picks one; ``in order`` does not
    sort them; ``count`` tells how many there are, and ``is|are`` picks the word that goes with one or with several;
    ``digit`` and ``a`` are the first digit, alone and with its article; ``kind`` is the kind of a house; ``notes`` and
    ``notes or`` are the digits that cells hold, ``holds`` says so of an almost locked set, and ``with digit`` are
    those of the cells that hold the digit of the pattern.

    Parameters
    ----------
    proof : Proof
        The position, and the pattern.
    names : Names
        Of its layout.
    kind : str
        ``"cells"``, ``"candidates"``, ``"houses"`` or ``"digits"``, as in a role.
    items : iterable of int
        The things.
    """

    def __init__(self, proof: Proof, names: Names, kind: str, items: Iterable[int]) -> None:
        self.proof, self.names, self.kind, self.items = proof, names, kind, tuple(items)

    def __format__(self, how: str) -> str:
        if "|" in how:
            return how.split("|")[len(self.items) != 1]
        if how.lstrip("-").isdigit():
            return self._listed([self.items[int(how)]])
        names = self.names
        match how:
            case "count":
                return in_words(len(self.items))
            case "digit" | "a":
                digit = names.split(self.items[0])[0] if self.kind == "candidates" else self.items[0]
                return names.a(digit) if how == "a" else names.digit(digit)
            case "kind":
                return names.layout.houses[self.items[0]].kind
            case "in order":
                return series(map(names.cell, self.items))
            case "notes" | "notes or":
                return names.digits(self.held, how[6:] or "and")
            case "holds":
                return self._holds()
            case "with digit":
                digit = self.proof.pattern.role("digit")[0]
                return self._listed([c for c in self.items if digit in names.notes(grid_of(self.proof), c)])
            case _:
                return self._listed(self.items, how or "and")

    def __str__(self) -> str:
        return format(self, "")

    @property
    def held(self) -> list[int]:
        """The digits that the cells hold between them."""
        grid = grid_of(self.proof)
        return sorted({digit for cell in self.items for digit in self.names.notes(grid, cell)})

    def _listed(self, items: Sequence[int], joint: str = "and") -> str:
        if self.kind == "digits":
            return self.names.digits(items, joint)
        if self.kind == "houses":
            return self.names.houses(items, joint)
        return self.names.cells({item % self.names.layout.cells for item in items}, joint)

    def _holds(self) -> str:
        """Say what an almost locked set holds."""
        count, nouns = len(self.items), self.names.nouns
        if count == 1:
            return f"{self} is {self:notes or}"
        where = f"{in_words(count)} {nouns.cell}s of {self.names.meeting(self.items)}"
        return f"{self}, {where}, hold the {in_words(count + 1)} {nouns.digit}s {self:notes}"


class _Capital:
    """A part at the head of a sentence."""

    def __init__(self, part: Spoken | str, names: Names) -> None:
        self.part, self.names = part, names

    def __format__(self, how: str) -> str:
        return self.names.sentence(format(self.part, how)) if self.names.problem else capital(format(self.part, how))


class _Gaps(dict[str, Any]):
    """What may stand in the gaps of a template."""

    def __init__(self, proof: Proof, names: Names, more: dict[str, Spoken | str]) -> None:
        self.proof, self.names = proof, names
        super().__init__({role.name: Spoken(proof, names, role.kind, role.items) for role in proof.pattern.roles})
        self.update(more, falls=losses(proof.eliminates))

    def __missing__(self, key: str) -> Spoken | _Capital:
        if key[0].isupper():
            return _Capital(self[key[0].lower() + key[1:]], self.names)
        if "+" in key:
            parts = [self[name] for name in key.split("+")]
            return Spoken(self.proof, self.names, parts[0].kind, (item for part in parts for item in part.items))
        kind, _, number = key.partition(" ")
        if kind != "node" or self.proof.pattern.chain is None:
            raise KeyError(key)
        return Spoken(self.proof, self.names, "candidates", self.proof.pattern.chain.nodes[int(number)])


def fill(proof: Proof, names: Names, template: str, **more: Spoken | str) -> str:
    """Fill the gaps of a template with the roles of a proof's pattern, and with what else there is."""
    return names.worded(template).format_map(_Gaps(proof, names, more))
