"""The search for one solve's sums and suppositions, which remembers from position to position."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from functools import partial
from math import inf

from deduce.counting.costs import unit_cost
from deduce.counting.fillings import Fillings
from deduce.counting.least import least_on_board
from deduce.counting.meter import Meter
from deduce.counting.system import System
from deduce.kernel import Argument, Counting, Position, Supposition
from deduce.links.statements import Statements
from deduce.positions import bits
from deduce.puzzle.layout import Layout
from deduce.solving.propagation import where_chains_lead, witness
from deduce.solving.samples import true_in_solutions
from deduce.suppositions.choices import Settled, level_of, refutations, sums, supposition
from deduce.suppositions.refit import refitted
from deduce.suppositions.screen import Screen
from deduce.suppositions.set_chains import SetChains
from deduce.suppositions.trail import Source, size_of

__all__ = ["EASY", "Search", "easiest", "order"]

DEEP = 3
"""How many more hard suppositions are followed after the first that breaks down, in search of an easier one."""

EASY = 90
"""From deductions of more than this size on, chains over groups and almost locked sets are drawn as well."""

FOLLOWED = 16
"""How many of the suppositions that break down are followed with their reasons; the others only wait."""

INNER_LEVELS = (20, 60, 180)
"""The sizes up to which sums are looked for under a hard supposition."""


RESTED = 12
"""How many candidates must have gone before a supposition that did not break down is followed again."""


class Search:
    """Looks for arguments in one position after the other of one solve, and remembers what holds on.

    Parameters
    ----------
    statements : Statements
        The model.
    position : Position
        Where it begins.
    meter : Meter
        Stops it.
    layout : Layout or None
        Where the candidates of a puzzle stand; None for a bare model.

    Attributes
    ----------
    solution : int
        Bitset of candidates that are true in some solution, if any is known; they are not worth supposing.
    quick, by_set_chains : Screen or None
        What follows from suppositions by singles, locked candidates and chains of single candidates; and by chains over
        groups and almost locked sets as well.  None where rules say more than "one of these".
    chains : tuple of Source
        The arguments behind `by_set_chains`.
    broken : dict of int to Supposition
        Suppositions that broke down by sums in an earlier position; they still do.
    unbroken : dict of int to int
        Suppositions that did not, with the number of candidates that were open then.
    fillings : Fillings
        Fillings by which linear programs have answered questions.
    settled : Settled
        What sums of any size conclude.
    """

    def __init__(self, statements: Statements, position: Position, meter: Meter, layout: Layout | None) -> None:
        self.statements = statements
        self.meter = meter
        self.solution = witness(statements, position) if layout is None else true_in_solutions(layout, position)
        self.quick: Screen | None = None
        self.by_set_chains: Screen | None = None
        self.chains: tuple[Source, ...] = ()
        if all(statements.plain):
            self.quick = Screen(statements, partial(where_chains_lead, statements), meter)
            if layout is not None:
                by_set_chains = SetChains(statements, layout)
                self.by_set_chains = Screen(statements, by_set_chains.followed, meter)
                self.chains = (by_set_chains.arguments,)
        self.broken: dict[int, Supposition] = {}
        self.unbroken: dict[int, int] = {}
        self.fillings = Fillings()
        self.settled = Settled()

    def open(self, position: Position) -> list[int]:
        """List the open candidates that may be false."""
        return bits(position.live & ~position.true & ~self.solution)

    def refuted(self, position: Position) -> list[Supposition]:
        """Return the easiest of the suppositions that break down by singles, locked candidates and chains."""
        return self._followed(position, self.quick, (), inf)

    def refuted_by_set_chains(self, position: Position, limit: float) -> list[Supposition]:
        """Return the easiest of those that break down by chains over groups and almost locked sets as well."""
        return self._followed(position, self.by_set_chains, self.chains, limit) if self.by_set_chains else []

    def _followed(
        self, position: Position, screen: Screen | None, sources: Sequence[Source], limit: float
    ) -> list[Supposition]:
        """Return those of the most promising suppositions that are about as easy as the easiest, none above a limit."""
        candidates = self.open(position)
        if screen is not None:
            candidates = [candidate for _, candidate in screen.broken(position, candidates)[:FOLLOWED]]
        return [*refutations(self.statements, position, candidates, self.meter, sources, limit)]

    def sums(self, position: Position, limit: float) -> Iterator[Counting]:
        """Yield the sums up to a level of size; without a limit, those of the lowest level at which there are any."""
        if self.meter.spent:
            return
        if limit < inf:
            model = self.statements.model
            yield from sums(model, position, limit, self.meter, self.solution, self.fillings, self.settled)
        else:
            yield from self.simplest_sums(position, inf, self.solution)

    def simplest_sums(self, position: Position, most: float, solution: int = 0) -> Iterator[Counting]:
        """Yield the sums of the lowest level of size at which there are any."""
        model = self.statements.model
        top = min(most, INNER_LEVELS[-1])
        for level in (*(level for level in INNER_LEVELS if level < top), top):
            found = [*sums(model, position, level, self.meter, solution, self.fillings)]
            if found:
                yield from found
                return
        if top < most and not self.meter.spent:
            least = least_on_board(System(model, position), unit_cost(model), below=most + 1, solution=solution)
            if least is not None and least.argument is not None:
                yield least.argument

    def hard(self, position: Position, limit: float) -> list[Argument]:
        """Return the easiest of a few suppositions that break down only with sums inside, and what is about as easy.

        Those that settle most by themselves are tried first: they leave the least to read.  If none breaks down, after
        every candidate has been tried at depth one, suppositions are made under the supposition.
        """
        statements, meter = self.statements, self.meter
        found: list[Argument] = []
        for candidate in sorted(self.broken):
            fitted = refitted(statements, position, self.broken[candidate])
            if fitted is not None and size_of(fitted.argument) <= limit:
                found.append(fitted.argument)
                limit = min(limit, level_of(size_of(fitted.argument)))
        candidates = [c for c in self._by_what_is_left(position) if c not in self.broken]
        size = len(bits(position.live & ~position.true))
        shallow: tuple[Source, ...] = (*self.chains, self.simplest_sums)
        deep: tuple[Source, ...] = (
            *shallow,
            lambda here, _: refutations(statements, here, bits(here.live & ~here.true), meter),
        )
        for sources in (shallow, deep):
            more = DEEP
            for candidate in candidates:
                if limit < inf and self.unbroken.get(candidate, inf) < size + RESTED:
                    continue
                if not more or not meter.take():
                    break
                more -= limit < inf
                supposed = supposition(statements, position, candidate, sources, limit)
                if supposed is None:
                    self.unbroken[candidate] = size
                    continue
                self.broken[candidate] = supposed
                found.append(supposed)
                limit = size_of(supposed)
            if limit < inf or meter.spent:
                break
        limit = easiest(found)
        return [argument for argument in found if size_of(argument) <= limit]

    def _by_what_is_left(self, position: Position) -> list[int]:
        """Return the open candidates, those first whose truth leaves least open after what follows cheaply."""
        screen, candidates = self.by_set_chains or self.quick, self.open(position)
        if screen is None:
            return candidates
        broken = {candidate for _, candidate in screen.broken(position, candidates)}
        return sorted(candidates, key=lambda c: (0 if c in broken else screen.left(c), c))


def order(argument: Argument) -> tuple[int, str]:
    """Return the key by which arguments are compared: their size, then anything that is the same on every run."""
    return size_of(argument), repr(argument)


def easiest(found: Iterable[Argument]) -> float:
    """Return the lowest level of size that holds any of these arguments."""
    return level_of(min(map(size_of, found), default=inf))
