"""A scene: what a picture of a grid or of a proof shows, as marks with roles.

A scene has no colours and no pixels; `svg` and `text` print it, and tests read it.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from itertools import pairwise
from typing import TYPE_CHECKING, Any, Literal

from deduce.counting.names import COUNTING, SUPPOSITION
from deduce.counting.shapes import is_base
from deduce.kernel import Argument, Counting, Supposition, Swap
from deduce.patterns.families import mark_of
from deduce.patterns.singles import SINGLES
from deduce.patterns.sums import BOUND
from deduce.patterns.unique_names import ways_of
from deduce.pictures.rule_marks import RuleMark, rule_marks
from deduce.pictures.tally import SumTable, tally_of
from deduce.positions import bits
from deduce.proof import Chain, Link, Pattern, Proof, Role
from deduce.puzzle.grid import Grid, grid_of
from deduce.puzzle.layout import Layout
from deduce.words.en import explain as words, suppositions as lines
from deduce.words.en.names import Names
from deduce.words.en.reasons import barred, witnesses

if TYPE_CHECKING:
    from deduce.walks.walk import Step

__all__ = ["NOTES", "Area", "AreaRole", "Digit", "Note", "NoteRole", "Scene", "Tie", "area_of", "consequences"]
__all__ += ["of_grid", "of_proof", "sights", "stages", "turning_points"]

NoteRole = Literal["note", "pattern", "fin", "even", "odd", "exit", "opened", "eliminated", "placed"]
"""A plain note; one that defines the pattern; one that spoils a fish; a chain's candidate at an even or odd place (from
0); one of which at least one is true in a puzzle with one solution; one that has just become possible to place; one
that falls; one that is placed."""

_Part = Literal["base", "cover", "rule", "set", "pivot", "pincer", "subset", "cell", "swappable"]
_Sum = Literal["sum", "added", "taken"]
_Outcome = Literal["target", "lost", "bar", "trouble", "follows", "look"]
AreaRole = Literal[_Part, _Sum, _Outcome]
"""Why a house or a cell is marked; the cells of a `sum` have a total; a `cell` is part of a pattern that has no other
word for it; between the cells of a `swappable` digits could change places; what is left of sums is `added`, or `taken`
away; a `set` is almost locked, a digit `follows` from what was supposed, a `bar` holds a placed digit that keeps others
out, a cell that has `lost` something loses a note, and `look` says no more than where to look."""

NOTES = ("all", "needed", "none")
"""Which plain notes a picture shows: every live candidate, those that the step rests on, or none."""


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
    """A candidate of an open cell, with its role.

    Parameters
    ----------
    cell, digit : int
        The cell from 0, the digit from 1.
    role : str
        Its part in the step.
    needed : bool
        Whether the step rests on seeing it.
    """

    cell: int
    digit: int
    role: NoteRole
    needed: bool = False


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
    order : tuple of tuple of (int, int)
        What has a running number, from 1: the nodes of a chain, each by its members, or what follows in turn.
    ends : tuple of (int, int)
        The members of the two nodes that do the work, those of one for a chain that returns; or what is supposed.
    hits : tuple of Tie
        From both ends of a chain to what they bar between them.
    told : tuple of (str, str)
        What marks mean in this scene, where that says more than the key of all scenes: the role, and the meaning.
    course : Scene, optional
        The scene in which the links take their course, where this one shows only some of them: so a link stays where
        it is while a chain grows.
    tally : SumTable, optional
        The table of a sum.
    """

    layout: Layout
    title: str
    digits: tuple[Digit, ...]
    notes: tuple[Note, ...]
    areas: tuple[Area, ...] = ()
    ties: tuple[Tie, ...] = ()
    order: tuple[tuple[tuple[int, int], ...], ...] = ()
    ends: tuple[tuple[int, int], ...] = ()
    hits: tuple[Tie, ...] = ()
    told: tuple[tuple[str, str], ...] = ()
    course: Scene | None = None
    tally: SumTable | None = None

    @property
    def description(self) -> str:
        """What the picture shows, in words for those who do not see it."""
        return words.describe(self)

    @property
    def rules(self) -> tuple[RuleMark, ...]:
        """The marks of the rules beyond houses, the same in every picture of the layout."""
        return rule_marks(self.layout)

    def area(self, role: AreaRole) -> tuple[Area, ...]:
        """Return the areas of one role."""
        return tuple(area for area in self.areas if area.role == role)

    def noted(self, role: NoteRole) -> tuple[Note, ...]:
        """Return the notes of one role."""
        return tuple(note for note in self.notes if note.role == role)

    def with_notes(self, which: str) -> Scene:
        """Return the scene with fewer plain notes; those with a role of their own stay.

        Raises
        ------
        ValueError
            For an unknown choice.
        """
        if which not in NOTES:
            raise ValueError(f"notes is {which!r}; give one of {', '.join(map(repr, NOTES))}")
        if which == "all":
            return self
        kept = (note for note in self.notes if note.role != "note" or (note.needed and which == "needed"))
        return replace(self, notes=tuple(kept))


def of_grid(grid: Grid, title: str = "") -> Scene:
    """Return the scene of a position."""
    return Scene(grid.layout, title or words.puzzle_line(grid), _digits(grid), _notes(grid, {}, 0))


def of_proof(proof: Proof) -> Scene:
    """Return the scene of a proof on the grid that it starts from."""
    grid = grid_of(proof)
    chain, names = proof.pattern.chain, Names(grid.layout)
    nodes = chain.nodes if chain else [(candidate,) for candidate in _followed(proof)]
    order = tuple(_spots(names, node) for node in nodes)
    supposed = proof.pattern.role("supposed")
    return Scene(
        grid.layout,
        words.headline(proof),
        _digits(grid),
        _notes(grid, _roles(proof, grid), _needed(proof)),
        tuple(dict.fromkeys(_areas(proof, grid))),
        _ties(chain, order) if chain else _way_ties(names, proof.pattern),
        order,
        tuple(dict.fromkeys((*order[0], *order[-1]) if chain and not chain.loop else _spots(names, supposed))),
        tuple(_hits(grid.layout, order, proof)) if chain and not chain.loop else (),
        tuple(_told(proof, grid.layout)),
        tally=tally_of(proof),
    )


def _told(proof: Proof, layout: Layout) -> Iterable[tuple[str, str]]:
    """Name the one digit that houses need or have room for, and what cannot be met."""
    pattern = proof.pattern
    sums = [inference.argument for inference in proof.inferences if isinstance(inference.argument, Counting)]
    sides = (number for each in sums for number, _ in (*each.bases, *each.covers))
    read = [place for place in map(layout.house_of, sides) if place is not None]
    digits: dict[str, set[int]] = {}
    for role in pattern.roles if pattern.name != COUNTING else ():
        here = digits.setdefault(_mark(pattern, role), set())
        if role.kind == "houses":
            here.update(digit for house, digit in read if house in role.items)
        elif role.kind == "constraints":
            here.update(place[1] for number in role.items for place in [layout.house_of(number)] if place)
    for mark, found in digits.items():
        if mark in ("base", "cover") and found:
            yield mark, words.wants([layout.symbols[digit - 1] for digit in sorted(found)], needs=mark == "base")
    if pattern.name == SUPPOSITION:
        yield from words.SUPPOSED.items()
    for last in _last(proof):
        if len(last.bases) == 1 and not last.covers:
            place = layout.house_of(last.bases[0][0])
            digit = layout.symbols[place[1] - 1] if place else ""
            yield "trouble", words.no_way(area_of(layout, "trouble", last.bases[0][0]).name, digit)


def _last(proof: Proof) -> Iterable[Counting]:
    """Yield the argument that ends in a contradiction."""
    for inference in proof.inferences:
        argument = inference.argument
        if isinstance(argument, Supposition):
            argument = argument.inferences[-1].argument
        elif not inference.contradiction:
            continue
        if isinstance(argument, Counting):
            yield argument


def stages(step: Step) -> tuple[Scene, Scene, Scene]:
    """Return three scenes of a step of a walk: the position before it, its pattern, and what it leads to.

    The last shows what the step has changed, and what can be placed now that could not be placed before.
    """
    pattern = of_proof(step.proof)
    plain = tuple(replace(note, role="note") for note in pattern.notes)
    before = Scene(pattern.layout, words.stage_title("before", step.proof), pattern.digits, plain)
    return before, pattern, _result(step)


def consequences(proof: Proof) -> tuple[Scene, ...]:
    """Return a scene for each line under a supposition: its last inference, with what has been placed since marked."""
    start, found = grid_of(proof), []
    for line in lines.consequences(proof):
        inner = line.proofs[-1]
        scene, since = of_proof(inner), grid_of(inner).true & ~start.true
        follows = tuple(_cell_area(scene.layout, "follows", c % scene.layout.cells) for c in bits(since))
        found.append(replace(scene, areas=(*follows, *scene.areas)))
    return tuple(found)


def turning_points(proof: Proof) -> tuple[Scene, ...]:
    """Return the scenes in which a supposition turns: it itself, what follows by more than a single, and what breaks.

    Of any other proof that is its one scene.
    """
    inner = [*zip(lines.consequences(proof), consequences(proof), strict=True)]
    turns = [scene for line, scene in inner[:-1] if not {one.pattern.name for one in line.proofs} <= {*SINGLES}]
    return (of_proof(proof), *turns, *(scene for _, scene in inner[-1:]))


def sights(proof: Proof) -> tuple[Area, ...]:
    """Return where to look for a step: the cells and houses that its argument reads, and for a supposition its cell."""
    layout = grid_of(proof).layout
    found: dict[Area, None] = {}
    for argument in (inference.argument for inference in proof.inferences):
        if isinstance(argument, Counting):
            read = (number for number, _ in argument.bases or argument.covers)
            found.update((area_of(layout, "look", number), None) for number in read)
        elif isinstance(argument, Supposition):
            found[_cell_area(layout, "look", argument.candidate % layout.cells)] = None
    for swap in _swaps(proof):
        found.update((_cell_area(layout, "look", c % layout.cells), None) for c in (*swap.pattern, *swap.exits))
    return tuple(sorted(found, key=lambda area: -len(area.cells)))


def _result(step: Step) -> Scene:
    """Return the scene of the position after a step."""
    proof, before, after = step.proof, step.before, step.after
    layout = after.layout
    opened: dict[int, NoteRole] = dict.fromkeys(bits(_singles(after) & ~_singles(before)), "opened")
    gone = bits(before.live & ~after.live & ~after.true)
    placed = {number % layout.cells for number in bits(after.true & ~before.true)}
    lost = sorted({number % layout.cells for number in gone} - placed)
    areas = [_cell_area(layout, "target", cell) for cell in sorted(placed)]
    areas += [_cell_area(layout, "lost", cell) for cell in lost if not after.true & layout.masks[cell]]
    title = words.stage_title("result", proof)
    return Scene(layout, title, _digits(after), _notes(after, opened, _needed(proof)), tuple(areas))


def _singles(grid: Grid) -> int:
    """Return the open candidates that are alone in a cell or in a house, as a bitset."""
    found = 0
    for mask in grid.layout.masks:
        here = grid.live & mask
        if here and not here & (here - 1):
            found |= here
    return found & ~grid.true


_DEFAULT = {"houses": "base", "constraints": "base", "cells": "cell", "candidates": "pattern"}
"""The marks of roles of which no family says anything, by kind."""


def _mark(pattern: Pattern, role: Role) -> Any:
    """Return the mark of a role, an `AreaRole` or `NoteRole`; empty for none."""
    if pattern.name == COUNTING:
        return "base" if is_base(role) else "cover"
    mark = mark_of(pattern.name, role.name)
    return _DEFAULT.get(role.kind, "") if mark is None else mark


_MOST_AREAS = 6


def _digits(grid: Grid) -> tuple[Digit, ...]:
    names = Names(grid.layout)
    placed = sorted((cell, digit, number) for number in bits(grid.true) for digit, cell in [names.split(number)])
    return tuple(Digit(cell, digit, bool(grid.givens >> number & 1)) for cell, digit, number in placed)


def _notes(grid: Grid, roles: dict[int, NoteRole], needed: int) -> tuple[Note, ...]:
    """List the live candidates of open cells."""
    layout, names = grid.layout, Names(grid.layout)
    found: list[Note] = []
    for cell in range(layout.cells):
        if not grid.true & layout.masks[cell]:
            for digit in names.notes(grid, cell):
                number = layout.number(digit, cell)
                role = roles.get(number, "note")
                found.append(Note(cell, digit, role, bool(needed >> number & 1) or role != "note"))
    return tuple(found)


def _needed(proof: Proof) -> int:
    """Return the candidates that a step rests on seeing, as a bitset: what its bases hold, and its swaps."""
    masks = proof.grid.model.masks
    held = 0
    for argument in _arguments(inference.argument for inference in proof.inferences):
        if isinstance(argument, Counting):
            for constraint, _ in argument.bases or argument.covers:
                held |= masks[constraint]
    for swap in _swaps(proof):
        for candidate in (*swap.pattern, *swap.exits):
            held |= 1 << candidate
    return held


def _swaps(proof: Proof) -> list[Swap]:
    """List the swaps that a proof rests on, each once."""
    found: dict[Swap, None] = {}
    for argument in _arguments(inference.argument for inference in proof.inferences):
        if isinstance(argument, Swap):
            found[argument] = None
        elif isinstance(argument, Counting):
            found.update((swap, None) for swap, _ in argument.swaps)
    return list(found)


def _arguments(arguments: Iterable[Argument]) -> Iterable[Argument]:
    """Yield arguments, and those under suppositions."""
    for argument in arguments:
        yield argument
        if isinstance(argument, Supposition):
            yield from _arguments(inner.argument for inner in argument.inferences)


def _roles(proof: Proof, grid: Grid) -> dict[int, NoteRole]:
    """Give each candidate that matters its role; what is concluded overrules what it is concluded from."""
    pattern, layout = proof.pattern, grid.layout
    roles: dict[int, NoteRole] = {}
    if pattern.chain is not None:
        for index, node in enumerate(pattern.chain.nodes):
            roles.update(dict.fromkeys(node, "odd" if index % 2 else "even"))
    for role in pattern.roles:
        if role.kind == "candidates" and (pattern.chain is None or _mark(pattern, role) != "pattern"):
            roles.update(dict.fromkeys(role.items, _mark(pattern, role)))
    if pattern.name == COUNTING:
        roles.update(dict.fromkeys(bits(_needed(proof)), "pattern"))
    elif pattern.chain is None:
        wanted = pattern.role("digits") or range(1, layout.order + 1)
        for role in pattern.roles:
            if role.kind == "cells":
                cells = role.items
                roles.update({layout.number(digit, cell): "pattern" for cell in cells for digit in wanted})
        if not pattern.roles and not proof.contradiction:
            roles.update(dict.fromkeys(bits(_needed(proof)), "pattern"))
    if pattern.name == SUPPOSITION:
        roles.update(_followed(proof))
    for way in ways_of(pattern):
        for index, candidate in enumerate(way):
            roles[candidate] = "odd" if index % 2 == 0 else "even"
    for swap in _swaps(proof):
        roles.update({candidate: "pattern" for candidate in swap.pattern if candidate not in roles})
        roles.update(dict.fromkeys(swap.exits, "exit"))
    roles.update(dict.fromkeys(map(grid.number, proof.eliminates), "eliminated"))
    roles.update(dict.fromkeys(map(grid.number, proof.places), "placed"))
    return roles


def _followed(proof: Proof) -> dict[int, NoteRole]:
    """Mark what becomes true and false in turn under a supposition, in order; empty for any other proof."""
    roles: dict[int, NoteRole] = {}
    if proof.pattern.name == SUPPOSITION:
        for inference in proof.inferences:
            if isinstance(inference.argument, Supposition):
                for inner in inference.argument.inferences:
                    roles |= {candidate: "even" for candidate in inner.false if candidate not in roles}
                    roles |= {candidate: "odd" for candidate in inner.true if candidate not in roles}
    return roles


def _areas(proof: Proof, grid: Grid) -> Iterable[Area]:
    """List the marked houses, then the marked cells."""
    pattern, layout = proof.pattern, grid.layout
    lost = {layout.cell_at[c.row - 1, c.column - 1] for c in proof.eliminates}
    yield from _trouble(proof, grid)
    if not (pattern.roles or pattern.chain or proof.contradiction):
        yield from _sides(proof, layout)
    counted = pattern.name == COUNTING
    # More marked houses would cover the whole board; of a sum the candidates of the bases are marked in any case.
    for role in () if counted and len(_houses(pattern)) > _MOST_AREAS else pattern.roles:
        if role.kind == "houses":
            for number in role.items:
                house = layout.houses[number]
                # Of the houses that hold a naked subset only those that lose something matter; a sum needs all its own.
                if role.name != "houses" or _mark(pattern, role) == "sum" or lost & set(house.cells):
                    yield Area(_mark(pattern, role), house.name, house.cells)
        elif role.kind == "constraints" and not counted:
            for number in role.items:
                yield area_of(layout, _mark(pattern, role), number)
    yield from _sets(proof, layout)
    for role in pattern.roles:
        part = _mark(pattern, role)
        if role.kind == "cells" and part not in ("", "set") and not _is_whole(pattern, role):
            for cell in role.items:
                yield _cell_area(layout, part, cell)
    for candidate in pattern.role("placed"):
        digit, cell = Names(layout).split(candidate)
        houses = pattern.role("house")
        bars = barred(grid, houses[0], digit)[0] if houses else witnesses(grid, cell)[0]
        for bar in bars:
            yield _cell_area(layout, "bar", bar)
        yield _cell_area(layout, "target", cell)
    for place in proof.places if counted else ():
        yield _cell_area(layout, "target", layout.cell_at[place.row - 1, place.column - 1])
    for cell in sorted(lost):
        yield _cell_area(layout, "lost", cell)


def _houses(pattern: Pattern) -> set[tuple[str, int]]:
    """Return which houses roles mark, and how."""
    return {(_mark(pattern, role), house) for role in pattern.roles if role.kind == "houses" for house in role.items}


def _is_whole(pattern: Pattern, role: Role) -> bool:
    """Whether the cells of a role are all those of a rule, which is marked as a sum already."""
    return pattern.name == BOUND and role.name == "cells" and not pattern.role("outside")


def _sets(proof: Proof, layout: Layout) -> Iterable[Area]:
    """List the almost locked sets: those that roles name, and those through which strong links of a chain run."""
    sets = (role.items for role in proof.pattern.roles if _mark(proof.pattern, role) == "set")
    found = [tuple(sorted(cells)) for cells in sets]
    chain = proof.pattern.chain
    if chain is not None:
        found += [cells for link in chain.links for cells in [_set_of(link, layout)] if cells]
    for cells in dict.fromkeys(found):
        yield Area("set", words.cell_list(layout, cells), cells)


def _set_of(link: Link, layout: Layout) -> tuple[int, ...]:
    """Return the cells of the almost locked set that a strong link runs through; empty if it runs through none."""
    cells = tuple(sorted(number for number in link.constraints if number < layout.cells))
    return cells if link.strong and len(cells) > 1 else ()


def _sides(proof: Proof, layout: Layout) -> Iterable[Area]:
    """List bases and covers of a proof without roles, as long as there are few."""
    sums = [inference.argument for inference in proof.inferences if isinstance(inference.argument, Counting)]
    found = dict.fromkeys(area_of(layout, "base", number) for each in sums for number, _ in each.bases)
    found |= dict.fromkeys(area_of(layout, "cover", number) for each in sums for number, _ in each.covers)
    if len(found) <= _MOST_AREAS:
        yield from sorted(found, key=lambda area: -len(area.cells))


def area_of(layout: Layout, role: AreaRole, constraint: int) -> Area:
    """Return the cell or the house of a constraint."""
    if constraint < layout.cells:
        return _cell_area(layout, role, constraint)
    place = layout.house_of(constraint)
    if place is None:
        cells = tuple(sorted({candidate % layout.cells for candidate, _ in layout.model.constraints[constraint].terms}))
        return Area(role, words.cell_list(layout, cells), cells)
    house = layout.houses[place[0]]
    return Area(role, house.name, house.cells)


def _trouble(proof: Proof, grid: Grid) -> Iterable[Area]:
    """Mark the cell or house whose constraint cannot be met, and the digits that break it between them."""
    layout = grid.layout
    for last in _last(proof):
        sides = [number for number, _ in last.bases or last.covers]
        if proof.contradiction or len(last.bases) + len(last.covers) == 1:
            yield area_of(layout, "trouble", sides[0])
            broken = 0 if last.bases else grid.true & layout.model.masks[sides[0]]
            yield from (_cell_area(layout, "bar", candidate % layout.cells) for candidate in bits(broken))


def _cell_area(layout: Layout, role: AreaRole, cell: int) -> Area:
    return Area(role, layout.cell_name(cell), (cell,))


def _spots(names: Names, candidates: Iterable[int]) -> tuple[tuple[int, int], ...]:
    """Return the cell and the digit of candidates."""
    return tuple((cell, digit) for digit, cell in map(names.split, sorted(candidates)))


def _ties(chain: Chain, nodes: tuple[tuple[tuple[int, int], ...], ...]) -> tuple[Tie, ...]:
    """Return the links of a chain."""
    following = (*nodes[1:], nodes[0]) if chain.loop else nodes[1:]
    return tuple(Tie(link.strong, near, far) for link, near, far in zip(chain.links, nodes, following, strict=False))


_MOST_TIED = 4
"""So many of the notes that fall are tied to both ends of a chain, the nearest ones; more would hide the chain."""


def _hits(layout: Layout, nodes: tuple[tuple[tuple[int, int], ...], ...], proof: Proof) -> Iterable[Tie]:
    """Tie what falls to both ends of a chain, or to the node beside an end where that is what bars it."""
    found: list[tuple[int, Tie, Tie]] = []
    for fallen in proof.eliminates:
        victim = (layout.cell_at[fallen.row - 1, fallen.column - 1], fallen.digit)
        row, column = layout.places[victim[0]]
        both = []
        for side in (nodes[:2], nodes[:-3:-1]):
            barring = (node for node in side if any(_bars(layout, spot, victim) for spot in node))
            both += [Tie(False, node, (victim,)) for node in barring][:1]
        if len(both) == 2:
            places = [layout.places[tie.near[0][0]] for tie in both]
            found.append((sum(abs(r - row) + abs(c - column) for r, c in places), both[0], both[1]))
    for _, first, second in sorted(found, key=lambda each: each[0])[:_MOST_TIED]:
        yield from (first, second)


def _bars(layout: Layout, one: tuple[int, int], other: tuple[int, int]) -> bool:
    """Whether two candidates are alike in cell or in digit, so that houses let only one of them be true."""
    (cell, digit), (place, wanted) = one, other
    return (cell == place and digit != wanted) or (digit == wanted and bool(layout.neighbours[cell] >> place & 1))


def _way_ties(names: Names, pattern: Pattern) -> tuple[Tie, ...]:
    """Return the links of the ways from exits to what all of them bar."""
    found: dict[Tie, None] = {}
    for way in ways_of(pattern):
        notes = [(cell, digit) for digit, cell in map(names.split, way)]
        for index, (near, far) in enumerate(pairwise(notes)):
            found[Tie(index % 2 == 1, (near,), (far,))] = None
    return tuple(found)
