"""The positions between which a plan chooses: simple steps used up, and what advanced steps then lead on to."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator, Sequence
from dataclasses import dataclass, replace

from deduce.kernel import Position, check
from deduce.patterns.catalogue import find
from deduce.patterns.singles import are_singles
from deduce.patterns.vocabulary import meant
from deduce.planning.allowlist import choose_patterns
from deduce.proof import Proof
from deduce.puzzle.grid import Grid
from deduce.puzzle.layout import Layout
from deduce.solving.singles import place_singles
from deduce.solving.uniqueness import one_solution
from deduce.walks.effort import effort
from deduce.walks.replay import as_walk
from deduce.walks.walk import Outcome, Walk, walk

__all__ = ["AdvancedStep", "Terrain", "singles_placed"]


@dataclass(frozen=True, slots=True)
class AdvancedStep:
    """An advanced step that a position offers.

    Parameters
    ----------
    proof : Proof
        The deduction.
    effort : int
        Its effort.
    after : Position or None
        Where it leads once simple steps are used up again; None if that shows that the puzzle has no solution.
    """

    proof: Proof
    effort: int
    after: Position | None

    @property
    def name(self) -> str:
        """The name of its pattern."""
        return self.proof.pattern.name


class Terrain:
    """The positions that can be reached from a grid by simple steps, taken at once, and advanced ones, by choice.

    Parameters
    ----------
    start : Grid
        Where plans begin.
    simple, advanced : iterable of str
        Names of patterns; what is simple is not advanced as well.
    singled_out : collection of str
        Names whose steps are on offer even where the same argument goes by an earlier name as well.
    assume_unique : bool
        Whether the patterns may be such as hold only in a puzzle with one solution; see :func:`deduce.walk`.

    Notes
    -----
    After each advanced step the simple ones are used up before the next choice, always in the order of the catalogue.
    With the two singles that order makes no difference; with other simple patterns it may, and is then the one that
    `walk` takes.
    """

    def __init__(
        self,
        start: Grid,
        simple: Iterable[str],
        advanced: Iterable[str],
        singled_out: Collection[str] = (),
        *,
        assume_unique: bool = False,
    ) -> None:
        self.start = start
        self.singled_out = tuple(singled_out)
        self.simple = meant(simple, assume_unique=assume_unique)
        self.advanced = tuple(name for name in meant(advanced, assume_unique=assume_unique) if name not in self.simple)
        self.assume_unique = assume_unique
        choose_patterns((*self.simple, *self.advanced), assume_unique=assume_unique)
        self._offers: dict[Position, tuple[AdvancedStep, ...]] = {}
        self._settled: dict[Position, Position | None] = {}

    @property
    def looked(self) -> int:
        """How many positions had all their advanced steps looked at."""
        return len(self._offers)

    def known(self, position: Position) -> bool:
        """Whether a position has been looked at."""
        return position in self._offers

    def grid(self, position: Position) -> Grid:
        """Return the grid of a position."""
        return self.start.moved(position)

    def solved(self, position: Position) -> bool:
        """Whether every cell holds its digit."""
        return position.true.bit_count() == self.start.layout.cells

    def after_simple_steps(self, position: Position) -> Position | None:
        """Return where simple steps lead, or None if they show that there is no solution."""
        if position not in self._settled:
            self._settled[position] = self._simple_steps(position)
        return self._settled[position]

    def _simple_steps(self, position: Position) -> Position | None:
        if are_singles(self.simple):
            return singles_placed(self.start.layout, position)
        walked = walk(self.grid(position), self.simple, assume_unique=self.assume_unique)
        if walked.outcome is Outcome.IMPOSSIBLE:
            return None
        return Position(walked.grid.live, walked.grid.true)

    def offers(self, position: Position) -> tuple[AdvancedStep, ...]:
        """Return the advanced steps of a position in which simple ones are used up, in the order of the catalogue."""
        if position not in self._offers:
            self._offers[position] = tuple(self.offered(position))
        return self._offers[position]

    def offered(self, position: Position) -> Iterator[AdvancedStep]:
        """Yield the advanced steps of a position as they are found."""
        grid = self.grid(position)
        seen = set()
        for names in (self.advanced, *((name,) for name in self.singled_out)):
            for proof in find(grid, names, assume_unique=self.assume_unique) if names else ():
                if (proof.pattern.name, proof.inferences) not in seen:
                    seen.add((proof.pattern.name, proof.inferences))
                    checked = check(grid, proof)
                    after = None if checked.contradiction else self.after_simple_steps(checked.after)
                    yield AdvancedStep(proof, effort(proof).total, after)

    def route(self, proofs: Sequence[Proof], allowed: Iterable[str]) -> Walk:
        """Return the walk that takes these advanced steps in order, with simple ones used up before each and at last.

        Parameters
        ----------
        proofs : sequence of Proof
            Each stands in the position that the ones before it lead to.
        allowed : iterable of str
            What the walk says that it might have used.
        """
        taken: list[Proof] = []
        grid = self.start
        for proof in (*proofs, None):
            fluent = walk(grid, self.simple, assume_unique=self.assume_unique)
            taken += [step.proof for step in fluent.steps]
            grid = fluent.grid
            if proof is not None:
                taken.append(Proof(grid, proof.inferences, proof.pattern))
                grid = grid.moved(check(grid, taken[-1]).after, taken[-1])
        known = one_solution(self.start) if self.assume_unique else None
        return replace(as_walk(self.start, taken), patterns=tuple(allowed), one_solution=known)


def singles_placed(layout: Layout, position: Position) -> Position | None:
    """Return the position in which no single is left, or None if a rule can then no longer be met."""
    live, true, unmet = place_singles(layout.peers, *position, layout.masks)
    return None if unmet is None else Position(live, true)
