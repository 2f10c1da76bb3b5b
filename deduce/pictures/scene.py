"""A scene: what a picture of a grid or of a proof shows, as marks with roles.

A scene has no colours and no pixels; `svg` and `text` print it, and tests read it.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Literal

from deduce.kernel import Counting, bits
from deduce.pictures import words
from deduce.pictures.names import Names, grid_of
from deduce.pictures.reasons import barred, witnesses
from deduce.proof import Chain, Proof
from deduce.puzzle.grid import Grid
from deduce.puzzle.layout import Layout

__all__ = ["Area", "AreaRole", "Digit", "Note", "NoteRole", "Scene", "Tie", "of_grid", "of_proof"]

NoteRole = Literal["note", "pattern", "even", "odd", "eliminated", "placed"]
"""A plain note; one that defines the pattern; a chain's candidate at an even or odd place (from 0); one that falls;
one that is placed."""

AreaRole = Literal["base", "cover", "pivot", "pincer", "subset", "target", "bar", "trouble"]
"""Why a house or a cell is marked; a `bar` holds a placed digit that keeps others out."""


@dataclass(frozen=True, slots=True)
class Digit:
    """A digit that a cell holds.

    Parameters
    ----------
    cell, digit : int
        The cell from 0, the digit from 1.
    given : bool
        Whether the puzzle gave it.
    """

    cell: int
    digit: int
    given: bool


@dataclass(frozen=True, slots=True)
class Note:
    """A candidate of an open cell, with its role."""

    cell: int
    digit: int
    role: NoteRole


@dataclass(frozen=True, slots=True)
class Area:
    """A marked cell or house.

    Parameters
    ----------
    role : str
        Why it is marked.
    name : str
        The name of the cell or house.
    cells : tuple of int
        Its cells.
    """

    role: AreaRole
    name: str
    cells: tuple[int, ...]


@dataclass(frozen=True, slots=True)
class Tie:
    """A link of a chain between two nodes, each a tuple of (cell, digit)."""

    strong: bool
    near: tuple[tuple[int, int], ...]
    far: tuple[tuple[int, int], ...]


@dataclass(frozen=True, slots=True)
class Scene:
    """Everything that a picture shows.

    Parameters
    ----------
    layout : Layout
        Cells, houses and symbols.
    title : str
        One line.
    digits : tuple of Digit
        In reading order.
    notes : tuple of Note
        In reading order, then by digit.
    areas : tuple of Area
        Houses first, then cells.
    ties : tuple of Tie
        In the order of the chain.
    """

    layout: Layout
    title: str
    digits: tuple[Digit, ...]
    notes: tuple[Note, ...]
    areas: tuple[Area, ...] = ()
    ties: tuple[Tie, ...] = ()

    @property
    def description(self) -> str:
        """What the picture shows, in words for those who do not see it."""
        return words.describe(self)

    def area(self, role: AreaRole) -> tuple[Area, ...]:
        """Return the areas of one role."""
        return tuple(area for area in self.areas if area.role == role)

    def noted(self, role: NoteRole) -> tuple[Note, ...]:
        """Return the notes of one role."""
        return tuple(note for note in self.notes if note.role == role)


def of_grid(grid: Grid, title: str = "") -> Scene:
    """Return the scene of a position."""
    return Scene(grid.layout, title or words.puzzle_line(grid), _digits(grid), _notes(grid, {}))


def of_proof(proof: Proof) -> Scene:
    """Return the scene of a proof on the grid that it starts from."""
    grid = grid_of(proof)
    chain = proof.pattern.chain
    return Scene(
        grid.layout,
        words.headline(proof),
        _digits(grid),
        _notes(grid, _roles(proof, grid)),
        tuple(_areas(proof, grid)),
        _ties(Names(grid.layout), chain) if chain else (),
    )


_HOUSE_ROLES: dict[str, AreaRole] = {
    "house": "base",
    "base": "base",
    "base lines": "base",
    "lines": "base",
    "bridge": "base",
    "cover": "cover",
    "cover lines": "cover",
    "cross line": "cover",
    "region": "cover",
    "houses": "cover",
}

_CELL_ROLES: dict[str, AreaRole] = {"pivot": "pivot", "pincers": "pincer", "subset": "subset"}


def _digits(grid: Grid) -> tuple[Digit, ...]:
    names = Names(grid.layout)
    placed = sorted((cell, digit, number) for number in bits(grid.true) for digit, cell in [names.split(number)])
    return tuple(Digit(cell, digit, bool(grid.givens >> number & 1)) for cell, digit, number in placed)


def _notes(grid: Grid, roles: dict[int, NoteRole]) -> tuple[Note, ...]:
    """List the live candidates of open cells."""
    layout, names = grid.layout, Names(grid.layout)
    found: list[Note] = []
    for cell in range(layout.cells):
        if not grid.true & layout.masks[cell]:
            digits = names.notes(grid, cell)
            found.extend(Note(cell, digit, roles.get(layout.number(digit, cell), "note")) for digit in digits)
    return tuple(found)


def _roles(proof: Proof, grid: Grid) -> dict[int, NoteRole]:
    """Give each candidate that matters its role; what is concluded overrules what it is concluded from."""
    pattern, layout = proof.pattern, grid.layout
    roles: dict[int, NoteRole] = {}
    if pattern.chain is not None:
        for index, node in enumerate(pattern.chain.nodes):
            roles.update(dict.fromkeys(node, "odd" if index % 2 else "even"))
    else:
        for candidate in (*pattern.role("locked"), *pattern.role("corners")):
            roles[candidate] = "pattern"
        wanted = pattern.role("digits") or range(1, layout.order + 1)
        for cell in (*pattern.role("subset"), *pattern.role("pivot"), *pattern.role("pincers")):
            roles.update({layout.number(digit, cell): "pattern" for digit in wanted})
    for concluded, role in ((proof.eliminates, "eliminated"), (proof.places, "placed")):
        for c in concluded:
            cell = (c.row - 1) * layout.order + c.column - 1
            roles[layout.number(c.digit, cell)] = "placed" if role == "placed" else "eliminated"
    return roles


def _areas(proof: Proof, grid: Grid) -> Iterable[Area]:
    """List the marked houses, then the marked cells."""
    pattern, layout = proof.pattern, grid.layout
    lost = {(c.row - 1) * layout.order + c.column - 1 for c in proof.eliminates}
    if proof.contradiction:
        yield from _trouble(proof, layout)
    for role in pattern.roles:
        if role.kind != "houses" or role.name not in _HOUSE_ROLES:
            continue
        for number in role.items:
            house = layout.houses[number]
            # Of the houses that hold a naked subset only those that lose something matter.
            if role.name != "houses" or lost & set(house.cells):
                yield Area(_HOUSE_ROLES[role.name], house.name, house.cells)
    for role in pattern.roles:
        if role.kind == "cells" and role.name in _CELL_ROLES:
            for cell in role.items:
                yield _cell_area(layout, _CELL_ROLES[role.name], cell)
    for candidate in pattern.role("placed"):
        digit, cell = Names(layout).split(candidate)
        houses = pattern.role("house")
        bars = barred(grid, houses[0], digit)[0] if houses else witnesses(grid, cell)[0]
        for bar in bars:
            yield _cell_area(layout, "bar", bar)
        yield _cell_area(layout, "target", cell)


def _trouble(proof: Proof, layout: Layout) -> Iterable[Area]:
    """Mark the cell or house whose constraint cannot be met."""
    for inference in proof.inferences:
        if inference.contradiction and isinstance(inference.argument, Counting):
            for constraint, _ in inference.argument.bases[:1]:
                if constraint < layout.cells:
                    yield _cell_area(layout, "trouble", constraint)
                else:
                    house = layout.houses[(constraint - layout.cells) // layout.order]
                    yield Area("trouble", house.name, house.cells)


def _cell_area(layout: Layout, role: AreaRole, cell: int) -> Area:
    return Area(role, layout.cell_name(cell), (cell,))


def _ties(names: Names, chain: Chain) -> tuple[Tie, ...]:
    """Return the links of a chain."""

    def spread(node: tuple[int, ...]) -> tuple[tuple[int, int], ...]:
        return tuple((cell, digit) for digit, cell in map(names.split, sorted(node)))

    following = (*chain.nodes[1:], chain.nodes[0]) if chain.loop else chain.nodes[1:]
    return tuple(
        Tie(link.strong, spread(near), spread(far))
        for link, near, far in zip(chain.links, chain.nodes, following, strict=False)
    )
