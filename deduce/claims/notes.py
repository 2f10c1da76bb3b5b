"""A person's notes: what is wrong with a candidate grid, and which notes a walk needs, step by step."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from typing import Any

from deduce.envelope import enveloped
from deduce.kernel import Counting, Inference, Supposition, Swap
from deduce.positions import bits, united
from deduce.proof import Proof
from deduce.puzzle.grid import Grid, grid_of
from deduce.puzzle.layout import Layout
from deduce.puzzle.text import read
from deduce.solving.truth import NODES, Count, SolutionFacts, facts_of
from deduce.walks.replay import rests_on
from deduce.walks.walk import Walk
from deduce.window import ShownNotes

__all__ = ["NotesNeeded", "NotesReport", "Premises", "compare_knowing", "compare_notes", "holder", "notes_needed"]
__all__ += ["premises_of"]


@dataclass(frozen=True, slots=True)
class NotesReport(ShownNotes):
    """A person's candidate grid against a position and the solution.

    Parameters
    ----------
    grid : Grid
        The position that the notes are of.
    count : Count
        How many solutions the puzzle has.
    forbidden : tuple of (int, int)
        Candidates that are noted although a placed digit rules them out, each with a cell that holds that digit.
    stale : tuple of int
        Candidates that are noted although the position has ruled them out in another way.
    missing : tuple of int
        Candidates that the position leaves and the solution does not need, but the notes lack: eliminated by the
        person, or forgotten.
    lost : tuple of int
        Candidates that the notes lack although they are the answer.
    wrong : tuple of int
        Digits entered that are not those of the solution.
    unfilled : tuple of int
        Open cells without notes; nothing is held against them.
    """

    grid: Grid
    count: Count
    forbidden: tuple[tuple[int, int], ...] = ()
    stale: tuple[int, ...] = ()
    missing: tuple[int, ...] = ()
    lost: tuple[int, ...] = ()
    wrong: tuple[int, ...] = ()
    unfilled: tuple[int, ...] = ()

    @property
    def clean(self) -> bool:
        """Whether nothing noted is impossible and nothing needed is missing."""
        return not (self.forbidden or self.stale or self.missing or self.lost or self.wrong)

    def to_dict(self) -> dict[str, Any]:
        """Return the findings as plain data."""
        names, layout = self.grid.model.names, self.grid.layout
        return {
            "solutions": self.count.value,
            "clean": self.clean,
            "forbidden": [{"candidate": names[c], "because_of": layout.cell_name(cell)} for c, cell in self.forbidden],
            "stale": [names[c] for c in self.stale],
            "missing": [names[c] for c in self.missing],
            "lost": [names[c] for c in self.lost],
            "wrong": [names[c] for c in self.wrong],
            "unfilled": [layout.cell_name(cell) for cell in self.unfilled],
        }

    def to_json(self) -> str:
        """Return the findings as JSON text."""
        return enveloped("notes", self.to_dict())


def compare_notes(grid: Grid, notes: str | Grid, *, budget: int = NODES) -> NotesReport:
    """Compare a person's candidate grid with a position and with the solution of its puzzle.

    Parameters
    ----------
    grid : Grid
        The position that the notes are of: the puzzle, or where a solve has come to.
    notes : str or Grid
        The candidate grid.  As text it may note what is impossible; a `Grid` has had that cleared.
    budget : int
        How many positions the search for solutions may branch on.

    Returns
    -------
    NotesReport
        What is noted and cannot be, what is missing, and what is missing although it is the answer.

    Raises
    ------
    GridError
        For text that is no candidate grid of this layout.

    Notes
    -----
    A cell written as ``.`` or with every digit counts as not filled in.  If the puzzle has several solutions, a
    candidate is an answer if one of the two that are looked for needs it.

    Examples
    --------
    >>> grid = Grid.parse("..24......1..2..")
    >>> report = compare_notes(grid, "13 {3} 2 4  24 14 {3} .  34 34 1 23  . 2 134 13")
    >>> [grid.model.names[c] for c in report.lost], [grid.model.names[c] for c, _ in report.forbidden]
    (['1r1c2'], ['1r4c3', '1r4c4'])
    """
    return compare_knowing(grid, notes, facts_of(grid, budget))


def compare_knowing(grid: Grid, notes: str | Grid, facts: SolutionFacts) -> NotesReport:
    """Compare notes where the solutions of the puzzle are known already; see :func:`compare_notes`."""
    layout = grid.layout
    if isinstance(notes, Grid):
        noted, placed, bare = notes.live, notes.true, False
    else:
        reading = read(notes, layout)
        placed = sum(1 << c for c in {*reading.givens, *reading.entered})
        # A text with digits alone has no notes to compare.
        bare = reading.notes is None
        noted = placed if reading.notes is None else reading.notes
    answers = united(solution.true for solution in facts.solutions)
    taken = grid.true | placed
    open_cells = [cell for cell in range(layout.cells) if not taken & layout.masks[cell]]
    noted_here = {cell: noted & layout.masks[cell] for cell in open_cells}
    unfilled = [cell for cell, here in noted_here.items() if here == layout.masks[cell] or (not here and bare)]
    filled = united(layout.masks[cell] for cell in open_cells if cell not in unfilled)
    gone = {c: holder(layout, grid.true, c) for c in bits(noted & filled & ~grid.live)}
    absent = grid.live & filled & ~noted
    return NotesReport(
        grid,
        facts.count,
        forbidden=tuple((c, cell) for c, cell in gone.items() if cell is not None),
        stale=tuple(c for c, cell in gone.items() if cell is None),
        missing=tuple(bits(absent & ~answers)),
        lost=tuple(bits(absent & answers)),
        wrong=tuple(bits(placed & ~answers)) if facts.solutions and facts.count is not Count.UNKNOWN else (),
        unfilled=tuple(unfilled),
    )


def holder(layout: Layout, true: int, candidate: int) -> int | None:
    """Return the first cell that holds the candidate's digit and shares a house with it."""
    seen = true & layout.same_digit_peers[candidate]
    return (seen & -seen).bit_length() - 1 - candidate // layout.cells * layout.cells if seen else None


@dataclass(frozen=True, slots=True)
class Premises:
    """What has to be read for a proof.

    Parameters
    ----------
    cells : tuple of int
        Cells whose notes must be complete, in the order in which the proof uses them.
    scans : tuple of (int, int)
        House and digit: where in the house the digit can still go must be known.
    """

    cells: tuple[int, ...]
    scans: tuple[tuple[int, int], ...]


@dataclass(frozen=True, slots=True)
class NotesNeeded:
    """The pencil work that one step of a walk adds to what the steps before it needed.

    Parameters
    ----------
    step : int
        Which step, counted from 1.
    fill : tuple of int
        Cells to be filled in completely before it, in ascending order.
    scan : tuple of (int, int)
        House and digit: the places of the digit in the house are to be found before it.
    recall : tuple of (int, int)
        Candidates whose absence the step uses and that neither a placed digit nor the notes made so far show to be
        gone, each with the step that removed it; 0 if the notes at the start lacked it.
    """

    step: int
    fill: tuple[int, ...] = ()
    scan: tuple[tuple[int, int], ...] = ()
    recall: tuple[tuple[int, int], ...] = ()

    def to_dict(self, grid: Grid) -> dict[str, Any]:
        """Return it as plain data, with the names of the layout of a grid."""
        names, layout = grid.model.names, grid.layout
        return {
            "step": self.step,
            "fill": [layout.cell_name(cell) for cell in self.fill],
            "scan": [{"house": layout.houses[h].name, "digit": layout.symbols[d - 1]} for h, d in self.scan],
            "remember": [{"candidate": names[c], "step": step} for c, step in self.recall],
        }


def premises_of(proof: Proof) -> Premises:
    """Return what has to be read for a proof, as cells and as digits in houses; see also `Proof.premises`.

    For a swap these are the notes of its open cells as well.

    Examples
    --------
    >>> from deduce.patterns import find
    >>> premises_of(next(find(Grid.parse("12.. 3... .... ...1"))))
    Premises(cells=(), scans=((8, 4),))
    """
    layout = grid_of(proof).layout
    found = _premises(layout, proof.bases)
    return Premises((*found.cells, *(cell for cell in _exchanged(proof) if cell not in found.cells)), found.scans)


def notes_needed(walk: Walk) -> tuple[NotesNeeded, ...]:
    """Return for each step of a walk the least pencil work that it adds.

    Parameters
    ----------
    walk : Walk
        The walk.

    Returns
    -------
    tuple of NotesNeeded
        One for each step.  What has been filled in or scanned once is kept up to date by the steps that follow, so it
        is not asked for again; nor is a scan of a house in which every open cell is filled in.

    Notes
    -----
    Where a step can be read in several ways (a strong link or a single that several rules justify), a rule that needs
    nothing new is taken first.

    Examples
    --------
    >>> from deduce.walks.walk import walk
    >>> needed = notes_needed(walk(Grid.parse("..24......1..2.."), patterns=["hidden single"]))
    >>> needed[0]
    NotesNeeded(step=1, fill=(), scan=((9, 1),), recall=())
    """
    layout = walk.start.layout
    filled: set[int] = set()
    scanned: set[tuple[int, int]] = set()
    removed = dict.fromkeys(bits(walk.start.assumed), 0)
    needed = []
    for number, step in enumerate(walk.steps, 1):
        grid = step.before
        chosen = [_cheapest(grid, options, filled, scanned) for options in _options(grid, step.proof)]
        wanted = _premises(layout, dict.fromkeys(chosen))
        fill = tuple(sorted({*wanted.cells, *_exchanged(step.proof)} - filled))
        scan = tuple(sorted(pair for pair in wanted.scans if not _scanned(grid, pair, filled | {*fill}, scanned)))
        absent = bits(rests_on(step.proof))
        recall = tuple((c, removed[c]) for c in absent if c in removed and not _stands(grid, c, filled, scanned))
        needed.append(NotesNeeded(number, fill, scan, recall))
        filled.update(fill)
        scanned.update(scan)
        for candidate in bits(grid.live & ~step.after.live):
            removed.setdefault(candidate, number)
    return tuple(needed)


def _options(grid: Grid, proof: Proof) -> Iterator[tuple[int, ...]]:
    """Yield for each base of a proof the constraints that would serve as well, the base itself first."""
    chain = proof.pattern.chain
    strong = {link.constraints[0]: link.constraints for link in (chain.links if chain else ()) if link.strong}
    masks, touching = grid.layout.masks, grid.layout.touching
    for inference, argument in ((one, counting) for one in proof.inferences for counting in countings([one])):
        single = inference.true if len(argument.bases) == 1 and not argument.covers else ()
        for base, _ in argument.bases:
            if single:
                only = 1 << single[0]
                yield base, *(n for n in touching[single[0]] if grid.live & masks[n] == only and n != base)
            else:
                yield strong.get(base, (base,))


def _cheapest(grid: Grid, options: tuple[int, ...], filled: set[int], scanned: set[tuple[int, int]]) -> int:
    """Return the first constraint that needs no new note, else the first."""
    for number in options:
        wanted = _premises(grid.layout, [number])
        if filled.issuperset(wanted.cells) and all(_scanned(grid, pair, filled, scanned) for pair in wanted.scans):
            return number
    return options[0]


def _scanned(grid: Grid, pair: tuple[int, int], filled: set[int], scanned: set[tuple[int, int]]) -> bool:
    """Whether the places of a digit in a house are known already."""
    if pair in scanned:
        return True
    layout = grid.layout
    open_cells = [cell for cell in layout.houses[pair[0]].cells if not grid.true & layout.masks[cell]]
    return all(cell in filled for cell in open_cells)


def _stands(grid: Grid, candidate: int, filled: set[int], scanned: set[tuple[int, int]]) -> bool:
    """Whether the notes made so far, or the digits placed, show that a candidate has gone."""
    layout = grid.layout
    digit, cell = divmod(candidate, layout.cells)
    if grid.true & layout.masks[layout.cell_constraint(cell)] or holder(layout, grid.true, candidate) is not None:
        return True
    return cell in filled or any((house, digit + 1) in scanned for house in layout.houses_of[cell])


def _premises(layout: Layout, constraints: Iterable[int]) -> Premises:
    """Sort constraints into cells and scans."""
    cells, scans = [], []
    for number in constraints:
        house = layout.house_of(number)
        if number < layout.cells:
            cells.append(number)
        elif house is not None:
            scans.append(house)
        else:
            # What a rule of its own needs is the notes of its cells.
            cells += sorted({candidate % layout.cells for candidate, _ in layout.model.constraints[number].terms})
    return Premises(tuple(cells), tuple(scans))


def _exchanged(proof: Proof) -> tuple[int, ...]:
    """Return the open cells of the swaps of a proof, whose notes show what could change places and what prevents it."""
    grid = grid_of(proof)
    masks = grid.layout.masks
    swaps = [swap for argument in countings(proof.inferences) for swap, _ in argument.swaps]
    swaps += [inference.argument for inference in proof.inferences if isinstance(inference.argument, Swap)]
    cells = {c % grid.layout.cells for swap in swaps for c in (*swap.pattern, *swap.exits)}
    return tuple(sorted(cell for cell in cells if not grid.true & masks[cell]))


def countings(inferences: Iterable[Inference]) -> Iterator[Counting]:
    """Yield every counting argument, those under suppositions too."""
    for inference in inferences:
        if isinstance(inference.argument, Counting):
            yield inference.argument
        elif isinstance(inference.argument, Supposition):
            yield from countings(inference.argument.inferences)
