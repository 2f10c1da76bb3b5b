"""Walks of one puzzle under many sets of patterns, sharing every position and every search.

A walk takes the first deduction of the catalogue, so two sets of patterns go through the same positions until one of
them uses a pattern that the other lacks, and often meet again.  An :class:`Explorer` remembers for each position what
each finder saw there; the walk of a further set asks only what no earlier one has asked.  The result is exactly that of
:func:`deduce.walk`, step by step (the tests compare them), whatever was walked before.

Counting arguments and suppositions are planned ahead, so what comes next depends on the position and on what is left of
the plan; both together are remembered.
"""

from __future__ import annotations

from dataclasses import dataclass

from deduce.deadline import in_time
from deduce.kernel import Argument, check
from deduce.patterns.board import Board
from deduce.patterns.catalogue import contradictions
from deduce.patterns.finder import Finder
from deduce.patterns.singles import SINGLES
from deduce.proof import Proof
from deduce.puzzle.grid import Grid
from deduce.surveys.choice import Choice
from deduce.walks.walk import Outcome, dead_end

__all__ = ["CountedWalk", "Explorer", "Move", "SeenPosition"]


@dataclass(slots=True)
class Move:
    """One step as far as a survey counts it.

    Parameters
    ----------
    pattern : str
        The name.
    effort, depth : int
        Of the proof.
    after : SeenPosition
        Where it leads; the position itself for a contradiction.
    """

    pattern: str
    effort: int
    depth: int
    after: SeenPosition


Waiting = tuple[Argument, ...]
"""What is left of a plan of counting arguments and suppositions."""


class SeenPosition:
    """A position with what the finders have seen in it.

    Parameters
    ----------
    grid : Grid
        The position.
    dead : Proof or None
        A proof that a rule can no longer be met.
    """

    __slots__ = ("beyond", "board", "dead", "grid", "seen")

    def __init__(self, grid: Grid, dead: Proof | None) -> None:
        self.grid = grid
        self.dead = dead
        self.board = Board(grid)
        self.seen: dict[tuple[int, frozenset[str]], Move | None] = {}
        self.beyond: dict[tuple[tuple[str, ...], Waiting], tuple[Move | None, Waiting]] = {}


@dataclass(frozen=True, slots=True)
class CountedWalk:
    """A walk as far as a survey counts it.

    Parameters
    ----------
    outcome : Outcome
        As in `deduce.walk`.
    moves : tuple of Move
        The steps in order.
    end : SeenPosition
        Where it ended.
    """

    outcome: Outcome
    moves: tuple[Move, ...]
    end: SeenPosition


class Explorer:
    """All walks of one puzzle.

    Parameters
    ----------
    grid : Grid
        The puzzle.
    """

    def __init__(self, grid: Grid) -> None:
        self.start = SeenPosition(grid, next(contradictions(Board(grid)), None))
        self.searches = 0
        self._positions = {(grid.live, grid.true): self.start}
        self._barren: set[tuple[int, frozenset[str], int, int]] = set()

    def walk(self, level: Choice, budget: int | None = None) -> CountedWalk:
        """Walk the puzzle with a set of patterns.

        Parameters
        ----------
        level : Choice
            What the walk may use.
        budget : int, optional
            How many steps the walk may take.

        Raises
        ------
        OutOfTime
            If the deadline of a call that is under way has passed.
        """
        moves: list[Move] = []
        waiting: Waiting = ()
        here = self.start
        cells = here.grid.layout.cells
        while True:
            move = None if here.dead is None else self._follow(here, here.dead)
            if move is None:
                if here.grid.true.bit_count() == cells:
                    return CountedWalk(Outcome.SOLVED, tuple(moves), here)
                move = self.seen_by_finders(here, level, planned=bool(waiting))
                if move is None and level.beyond:
                    move, waiting = self._beyond(here, level.beyond, waiting)
                if move is None:
                    return CountedWalk(Outcome.STUCK, tuple(moves), here)
            if len(moves) == budget:
                return CountedWalk(Outcome.BUDGET_SPENT, tuple(moves), here)
            moves.append(move)
            if move.after is here:
                return CountedWalk(Outcome.IMPOSSIBLE, tuple(moves), here)
            here = move.after

    def next(self, here: SeenPosition, level: Choice) -> Move | None:
        """Return the first deduction that a set of patterns has in a position, or None."""
        move = self.seen_by_finders(here, level)
        if move is None and level.beyond:
            move, _ = self._beyond(here, level.beyond, ())
        return move

    def seen_by_finders(self, here: SeenPosition, level: Choice, *, planned: bool = False) -> Move | None:
        """Return the first deduction that the finders of a set of patterns see in a position, or None.

        Along a way that was planned only singles are looked for.
        """
        seen = here.seen
        for number, finder, names in level.finders:
            if planned and not names <= {*SINGLES}:
                continue
            key = (number, names)
            if key in seen:
                move = seen[key]
            else:
                move = seen[key] = self._search(here, number, finder, names)
            if move is not None:
                return move
        return None

    def close(self) -> None:
        """Let go of all positions; they refer to each other, so memory would wait for the garbage collector."""
        for position in self._positions.values():
            position.seen.clear()
            position.beyond.clear()
        self._positions.clear()
        self._barren.clear()

    def _beyond(self, here: SeenPosition, names: tuple[str, ...], waiting: Waiting) -> tuple[Move | None, Waiting]:
        """Return the next counting argument or supposition, and what is then left of the plan."""
        key = names, waiting
        if key not in here.beyond:
            # HiGHS is loaded here, where the first one is sought.
            from deduce.suppositions.step import next_proof

            self._begin()
            left = [*waiting]
            proof, _ = next_proof(here.grid, names=names, memory=left)
            here.beyond[key] = None if proof is None else self._follow(here, proof), tuple(left)
        return here.beyond[key]

    def _begin(self) -> None:
        """Give up once the deadline has passed, and count the search that begins otherwise."""
        in_time()
        self.searches += 1

    def _search(self, here: SeenPosition, number: int, finder: Finder, names: frozenset[str]) -> Move | None:
        """Ask one finder, passing over scopes that held the same candidates when it saw nothing there."""
        self._begin()
        board, barren = here.board, self._barren
        for scope in finder.scopes(board.layout):
            key = (number, names, scope.item, board.open & scope.mask)
            if key in barren:
                continue
            in_time()
            for proof in finder.search(board, scope, names):
                return self._follow(here, proof)
            barren.add(key)
        return None

    def _follow(self, here: SeenPosition, proof: Proof) -> Move:
        """Verify a proof and go where it leads."""
        checked = check(here.grid, proof)
        if checked.contradiction:
            return Move(proof.pattern.name, proof.effort, proof.depth, here)
        key = checked.after.live, checked.after.true
        after = self._positions.get(key)
        if after is None:
            grid = here.grid.moved(checked.after)
            after = self._positions[key] = SeenPosition(grid, dead_end(here.grid, grid))
        return Move(proof.pattern.name, proof.effort, proof.depth, after)
