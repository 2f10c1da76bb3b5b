"""Stuck points: what there is to see where simple steps run dry, what it unlocks, and what nobody gets around."""

from __future__ import annotations

import time
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace

from deduce.deadline import Cancel, in_time, within
from deduce.errors import OutOfTime
from deduce.kernel import Position
from deduce.patterns.catalogue import NAMES, find, usual
from deduce.patterns.chains import CHAIN_NAMES
from deduce.patterns.vocabulary import meant
from deduce.planning.allowlist import choose_patterns
from deduce.planning.bound import Rounds, moved, one_round
from deduce.planning.terrain import AdvancedStep, Terrain
from deduce.positions import bits, bitset
from deduce.proof import Candidate, Proof
from deduce.puzzle.grid import Grid
from deduce.suppositions.one_candidate import proofs_by_counting
from deduce.walks.effort import SIMPLE
from deduce.walks.prune import prune
from deduce.walks.walk import Walk, walk

__all__ = ["Bottleneck", "Deduction", "StuckPoint", "bottlenecks", "stuck_point", "stuck_points"]


@dataclass(frozen=True, slots=True)
class Deduction:
    """One thing that can be concluded at a stuck point.

    Parameters
    ----------
    proof : Proof
        Of all arguments by this pattern with this conclusion the one of least effort.
    arguments : int
        How many there are.
    effort : int
        The effort of the proof.
    placed, gone : int
        How many cells are filled, and how many candidates ruled out, once the simple steps that follow are taken.
    solves : bool
        Whether those lead to the solution.
    bottleneck : bool
        Whether all other deductions, made as they come, fail to lead to the solution, so that a plan makes a part of
        this conclusion by an advanced step, here or later.
    """

    proof: Proof
    arguments: int
    effort: int
    placed: int
    gone: int
    solves: bool
    bottleneck: bool


@dataclass(frozen=True, slots=True)
class Bottleneck:
    """A conclusion that no plan does without.

    Parameters
    ----------
    candidate : Candidate
        Every plan rules it out, or places it, by an advanced step.
    places : bool
        Whether it is placed.
    proved : bool
        False if another order of steps might get around it: all other deductions, made as they come, do not lead to
        the solution, but with what the allowed patterns can shrink to they would, or that is not known.
    """

    candidate: Candidate
    places: bool
    proved: bool


@dataclass(frozen=True, slots=True)
class StuckPoint:
    """A position in which simple steps are used up.

    Parameters
    ----------
    grid : Grid
        The position.
    deductions : tuple of Deduction
        All that the allowed patterns conclude, one for each pattern and conclusion, in the order of the catalogue.
    alternatives : tuple of tuple of int
        Which of the deductions unlock exactly the same: groups of their indices, those that unlock most first.
    opens : bool
        Whether the allowed patterns, taken as they come, lead from here to the solution.
    bottlenecks : tuple of Bottleneck
        What every plan from here on must conclude by an advanced step, at some time; empty if there is no plan.
    beyond : tuple of Proof
        What counting can still do where the allowed patterns conclude nothing: an argument of the fewest constraints on
        the whole board, and the shortest supposition that was found to break down, as far as there are any.
    cut : bool
        Whether time ran out: there may then be more to see, and what opens the puzzle, and every bottleneck, was not
        asked to the end.
    """

    grid: Grid
    deductions: tuple[Deduction, ...]
    alternatives: tuple[tuple[int, ...], ...]
    opens: bool
    bottlenecks: tuple[Bottleneck, ...]
    beyond: tuple[Proof, ...] = ()
    cut: bool = False

    @property
    def by_pattern(self) -> dict[str, tuple[Deduction, ...]]:
        """The deductions grouped by pattern, in the order of the catalogue."""
        found: dict[str, list[Deduction]] = {}
        for deduction in self.deductions:
            found.setdefault(deduction.proof.pattern.name, []).append(deduction)
        return {name: tuple(found[name]) for name in sorted(found, key=_place)}

    def passes(self, bottleneck: Bottleneck) -> tuple[Deduction, ...]:
        """Return the deductions here that conclude a bottleneck: if it is only one, nobody gets around that step."""
        return tuple(
            deduction
            for deduction in self.deductions
            if bottleneck.candidate in (deduction.proof.places if bottleneck.places else deduction.proof.eliminates)
        )


def stuck_point(
    grid: Grid,
    allowed: Iterable[str] | None = None,
    *,
    simple: Iterable[str] = SIMPLE,
    assume_unique: bool = False,
    seconds: float | None = None,
    cancel: Cancel | None = None,
) -> StuckPoint:
    """Look around where simple steps run dry.

    Parameters
    ----------
    grid : Grid
        A position; its simple steps are taken first.
    allowed : iterable of str, optional
        Names of the patterns to look for; by default all that may be used.
    simple : iterable of str
        Names of the simple steps.
    assume_unique : bool
        Whether patterns may be used that hold only in a puzzle with one solution, as for :func:`deduce.walk`.
    seconds : float, optional
        How long it may take by the clock.
    cancel : callable, optional
        Asked now and then; the search ends once it returns True.

    Returns
    -------
    StuckPoint
        Without deductions if simple steps solve the puzzle, show that it has no solution, or if nothing is to be seen.

    Raises
    ------
    PatternError
        For an unknown name.
    """
    terrain = _terrain(grid, allowed, simple, assume_unique=assume_unique)
    with within(seconds, cancel):
        return _look_around(grid, terrain)


def _look_around(grid: Grid, terrain: Terrain) -> StuckPoint:
    position = terrain.after_simple_steps(Position(grid.live, grid.true))
    if position is None or terrain.solved(position):
        # In an impossible position the walk, unlike the settling, stops at the constraint that cannot be met.
        fluent = walk(grid, terrain.simple, assume_unique=terrain.assume_unique)
        return StuckPoint(fluent.grid, (), (), fluent.solved, ())
    here = terrain.grid(position)
    if grid.presumed or grid.resting or terrain.assume_unique:
        # The simple steps may rest on the assumption or on notes, and so may what is seen after them.
        here = walk(grid, terrain.simple, assume_unique=terrain.assume_unique).grid
    offers: dict[object, list[AdvancedStep]] = {}
    held: dict[int, bool] = {}
    opens = cut = False
    needed: tuple[Bottleneck, ...] = ()
    beyond: tuple[Proof, ...] = ()
    try:
        for offer in terrain.offered(position):
            offers.setdefault((offer.name, offer.proof.eliminates, offer.proof.places), []).append(offer)
        narrow = _Narrow(terrain, position)
        in_time()
        opens = narrow.opens
        for number, same in enumerate(offers.values()):
            held[number] = narrow.holds(same[0].proof)
        needed = narrow.bottlenecks()
        beyond = () if offers else proofs_by_counting(here)
    except OutOfTime:
        cut = True
    deductions = []
    groups: dict[Position | None, list[int]] = {}
    for number, same in enumerate(offers.values()):
        best = min(same, key=lambda offer: offer.effort)
        proof = replace(best.proof, grid=here)
        after = best.after or position
        placed, gone = (after.true & ~position.true).bit_count(), (position.live & ~after.live).bit_count()
        solves = terrain.solved(after)
        deductions.append(Deduction(proof, len(same), best.effort, placed, gone, solves, held.get(number, False)))
        groups.setdefault(best.after, []).append(number)
    alternatives = sorted(map(tuple, groups.values()), key=lambda group: (-deductions[group[0]].gone, group))
    return StuckPoint(here, tuple(deductions), tuple(alternatives), opens, needed, beyond, cut)


def stuck_points(
    walked: Walk,
    allowed: Iterable[str] | None = None,
    *,
    simple: Iterable[str] = SIMPLE,
    assume_unique: bool = False,
    seconds: float | None = None,
    cancel: Cancel | None = None,
) -> Iterator[tuple[int, StuckPoint]]:
    """Yield the stuck points of a walk, each with the index of the advanced step that the walk took there.

    Parameters
    ----------
    walked : Walk
        A walk; of a run of advanced steps only the first stands at a stuck point.  If the walk itself got stuck, the
        last point is its end, with the number of its steps as index.
    allowed, simple, assume_unique
        As for :func:`stuck_point`.
    seconds, cancel
        For all of them together; a point in which time ran out says so in `cut`, and is the last.
    """
    names, fluent = None if allowed is None else tuple(allowed), tuple(simple)
    places = [
        (number, step.before)
        for number, step in enumerate(walked.steps)
        if step.proof.pattern.name not in fluent
        and not step.proof.contradiction
        and (number == 0 or walked.steps[number - 1].proof.pattern.name in fluent)
    ]
    if walked.outcome == "stuck":
        places.append((len(walked.steps), walked.grid))
    until = None if seconds is None else time.monotonic() + seconds
    for number, grid in places:
        left = None if until is None else max(0.0, until - time.monotonic())
        point = stuck_point(grid, names, simple=fluent, assume_unique=assume_unique, seconds=left, cancel=cancel)
        yield number, point
        if point.cut:
            return


def bottlenecks(
    grid: Grid, allowed: Iterable[str] | None = None, *, simple: Iterable[str] = SIMPLE, assume_unique: bool = False
) -> tuple[Bottleneck, ...]:
    """Return what every plan from a position must conclude by an advanced step.

    Parameters
    ----------
    grid, allowed, simple, assume_unique
        As for :func:`stuck_point`.

    Returns
    -------
    tuple of Bottleneck
        By digit, then in reading order.  Empty if simple steps do, or if there is no plan.

    Notes
    -----
    What is no bottleneck is left out by some plan, so only the advanced conclusions of one plan, narrowed to what it
    needs, have to be looked at.  Each is withheld in turn, and everything else is concluded as long as there is
    anything: if that fails to solve the puzzle, no plan does without.
    """
    terrain = _terrain(grid, allowed, simple, assume_unique=assume_unique)
    position = terrain.after_simple_steps(Position(grid.live, grid.true))
    return () if position is None or terrain.solved(position) else _Narrow(terrain, position).bottlenecks()


def _terrain(grid: Grid, allowed: Iterable[str] | None, simple: Iterable[str], *, assume_unique: bool) -> Terrain:
    fluent = meant(simple, assume_unique=assume_unique)
    choose_patterns(fluent, assume_unique=assume_unique)
    names = usual(assume_unique=assume_unique) if allowed is None else allowed
    return Terrain(grid, fluent, names, assume_unique=assume_unique)


def _place(name: str) -> int:
    return NAMES.index(name) if name in NAMES else -1


class _Narrow:
    """What plans from a position cannot do without."""

    def __init__(self, terrain: Terrain, position: Position) -> None:
        self.position = position
        rounds = Rounds(terrain)
        self.terrain = terrain
        self.free = rounds.free if rounds.known else None
        self.layout = terrain.start.layout
        # For each plan seen the candidates that its advanced steps rule out, and those that they place.
        self.plans: list[tuple[int, int]] = []
        walked = walk(terrain.grid(position), (*terrain.simple, *terrain.advanced), assume_unique=terrain.assume_unique)
        self.opens = walked.solved
        if walked.solved:
            steps = prune(walked, narrow=True).steps
            self.plans.append(_concluded(step.proof for step in steps if step.proof.pattern.name not in terrain.simple))

    def bottlenecks(self) -> tuple[Bottleneck, ...]:
        """List the conclusions that every plan makes."""
        false, true = self.plans[0] if self.plans else (0, 0)
        withheld = [(c, 1 << c, 0) for c in bits(false)] + [(c, 0, 1 << c) for c in bits(true)]
        found = []
        for candidate, spared, unplaced in sorted(withheld, key=lambda one: (one[0], one[2])):
            if not self._solved_without(self.terrain, spared, unplaced):
                proved = self.free is not None and not self._solved_without(self.free, spared, unplaced)
                found.append(Bottleneck(self.layout.candidate(candidate), bool(unplaced), proved))
        return tuple(found)

    def holds(self, proof: Proof) -> bool:
        """Whether every plan makes a part of what a proof concludes."""
        return self.opens and not self._solved_without(self.terrain, *_concluded([proof]))

    def _solved_without(self, terrain: Terrain, spared: int, unplaced: int) -> bool:
        """Whether all conclusions of advanced steps but some lead to the solution.

        One plan that does without them tells; only where none comes up is everything concluded, round by round.
        """
        if any(not false & spared and not true & unplaced for false, true in self.plans):
            return True
        return self._plan_without(terrain, spared, unplaced) or self._rounds_without(terrain, spared, unplaced)

    def _plan_without(self, terrain: Terrain, spared: int, unplaced: int) -> bool:
        """Whether taking the first deduction that concludes something else each time solves the puzzle."""
        here = terrain.after_simple_steps(self.position)
        chains = CHAIN_NAMES if set(CHAIN_NAMES) <= set(terrain.advanced) else ()
        false = true = 0
        while here is not None and not terrain.solved(here):
            after = one_round(terrain.grid(here), chains, spared, unplaced)
            if after == here:
                for proof in find(terrain.grid(here), terrain.advanced, assume_unique=terrain.assume_unique):
                    gone, put = _concluded([proof])
                    after = moved(terrain.start.model, here, gone & ~spared, put & ~unplaced)
                    if after != here:
                        break
                else:
                    return False
            if after is not None:
                false, true = false | here.live & ~after.live, true | after.true & ~here.true
            here = None if after is None else terrain.after_simple_steps(after)
        self.plans.append((false, true))
        return True

    def _rounds_without(self, terrain: Terrain, spared: int, unplaced: int) -> bool:
        here = terrain.after_simple_steps(self.position)
        while here is not None and not terrain.solved(here):
            after = one_round(
                terrain.grid(here), terrain.advanced, spared, unplaced, assume_unique=terrain.assume_unique
            )
            if after is None or after == here:
                return after is None
            here = terrain.after_simple_steps(after)
        return True


def _concluded(proofs: Iterable[Proof]) -> tuple[int, int]:
    """Return what proofs rule out and what they place, as bitsets."""
    inferences = [inference for proof in proofs for inference in proof.inferences]
    return bitset(c for one in inferences for c in one.false), bitset(c for one in inferences for c in one.true)
