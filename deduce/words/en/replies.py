"""The prose of answers: what may stand where, and what speaks against the rest."""

from __future__ import annotations

from deduce.claims.notes import premises_of
from deduce.claims.reply import Reply
from deduce.proof import Proof
from deduce.words.en.names import Names, capital, series
from deduce.words.en.verdicts import an, listed, read_as

__all__ = ["explain_reply"]

_MOST = 3
"""How many easier steps are named."""


def explain_reply(reply: Reply) -> str:
    """Return an answer: how the question was read, then the plain answer first."""
    tellers = {"cell": _cells, "house": _house, "easiest": _easiest, "needs": _needs}
    return "\n".join(filter(None, (read_as(reply.grid, reply.question), tellers[reply.question.kind](reply))))


def _cells(reply: Reply) -> str:
    layout = reply.grid.layout
    told = []
    for cell in reply.question.cells:
        here = [c for c in reply.open if c % layout.cells == cell]
        told.append(_open(reply, here, cell))
        told += _against(
            reply, [c for c in reply.gone if c % layout.cells == cell and reply.gone[c] != cell], cells=False
        )
    return " ".join(told)


def _open(reply: Reply, here: list[int], cell: int) -> str:
    """Say what is left of a cell; a question about some digits is answered first."""
    layout, names = reply.grid.layout, Names(reply.grid.layout)
    digits = names.digits([c // layout.cells + 1 for c in here], "or")
    asked = reply.question.digits
    name = layout.cell_name(cell)
    if any(reply.grid.true >> c & 1 for c in here):
        return f"{name} holds {digits}."
    possible = [digit for digit in asked if layout.number(digit, cell) in here]
    if not asked:
        plain = ""
    elif len(asked) == 1 or not possible:
        plain = "Yes: " if possible else "No: "
    else:
        plain = "Both can: " if len(possible) == len(asked) == 2 else f"{names.digits(possible, 'or')} can: "
    if not here:
        return f"{plain}nothing can stand in {name}."
    told = f"{'only ' if len(here) == 1 else ''}{digits} can stand in {name}."
    return plain + told if plain else capital(told)


def _house(reply: Reply) -> str:
    grid, (house,), (digit,) = reply.grid, reply.question.houses, reply.question.digits
    names = Names(grid.layout)
    where = f"{names.digit(digit)} can go in"
    cells = [c % grid.layout.cells for c in reply.open]
    if any(grid.true >> c & 1 for c in reply.open):
        return f"{names.digit(digit)} stands in {names.cells(cells)} already."
    if len(cells) == 1:
        told = f"In {names.cells(cells)} only: {names.digit(digit)} is forced there in {names.houses([house])}."
    else:
        places = names.cells(cells, "or") if cells else "no cell"
        told = f"{where} {places} of {names.houses([house])}."
    left = [c for c in reply.gone if reply.gone[c] != c % grid.layout.cells]
    return " ".join([told, *_against(reply, left, cells=True)])


def _against(reply: Reply, gone: list[int], *, cells: bool) -> list[str]:
    """Say why candidates are no longer possible: a digit placed, or eliminated before."""
    grid = reply.grid
    layout, names = grid.layout, Names(grid.layout)
    ruled: dict[int, list[int]] = {}
    before = [c for c in gone if reply.gone[c] is None]
    for c in gone:
        seen = reply.gone[c]
        if seen is not None:
            ruled.setdefault(seen, []).append(c)

    def told(some: list[int]) -> str:
        if cells:
            return names.cells([c % layout.cells for c in some])
        return names.digits([c // layout.cells + 1 for c in some])

    parts: list[str] = []
    for cell, some in ruled.items():
        verb = "" if parts else " are ruled out" if len(some) > 1 else " is ruled out"
        parts.append(f"{told(some)}{verb} by {layout.cell_name(cell)}")
    said = [capital(series(parts)) + "."] if parts else []
    if before:
        said.append(f"{capital(told(before))} {'was' if len(before) == 1 else 'were'} eliminated before.")
    return said


def _easiest(reply: Reply) -> str:
    name = _name(reply.step)
    if not reply.easier:
        return f"Yes: nothing that comes before {an(name)} is on the board."
    shown = listed((f"{an(_name(proof))} ({proof.conclusion()})" for proof in reply.easier), _MOST)
    return f"No: {shown} can be had more easily than {an(name)}."


def _needs(reply: Reply) -> str:
    if reply.step is None:
        return ""
    names, needs = Names(reply.grid.layout), premises_of(reply.step)
    parts = [f"all notes of {names.cells(needs.cells)}"] if needs.cells else []
    parts += [f"where {names.digit(digit)} can go in {names.houses([house])}" for house, digit in needs.scans]
    return f"The {_name(reply.step)} needs {series(parts) or 'nothing but the rules'}."


def _name(proof: Proof | None) -> str:
    return proof.pattern.name if proof is not None else "step"
