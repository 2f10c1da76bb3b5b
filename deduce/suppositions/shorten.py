"""A planned way made shorter: what it can do without, and what put before the rest saves more than it takes."""

from __future__ import annotations

from collections.abc import Sequence
from functools import partial

from deduce.kernel import Argument, Position, Supposition
from deduce.positions import bits
from deduce.solving.propagation import where_chains_lead
from deduce.suppositions.choices import supposition
from deduce.suppositions.refit import refitted
from deduce.suppositions.screen import Screen
from deduce.suppositions.search import Search
from deduce.suppositions.trail import Trail, size_of

__all__ = ["Way", "shortened", "told"]

FOLLOWED = 80_000
"""How many other ways are followed to their ends, divided by the number of candidates: 109 at order 9."""

SMALL = 10
"""What is no larger than this is drawn wherever it serves; leaving it out saves nothing."""

LONG = 250
"""An argument of more words than this is too long to be listened to: those beyond it count three times."""

SOON = 16
"""How many of the suppositions that break down soonest are looked at before each step of a way."""

PUT_IN = 2
"""How many of them are put in by way of trial: those without which least stays open."""


def told(argument: Argument, *, inside: bool = False) -> float:
    """Return about how many words tell an argument, by itself or inside a supposition; what is too long counts more."""
    if isinstance(argument, Supposition):
        words = 12 + sum(told(inference.argument, inside=True) for inference in argument.inferences)
        return words if inside else words + 2 * max(0, words - LONG)
    size = size_of(argument)
    return 5 + 4 * size if inside else min(10 * size, 60 + 2 * size)


def shortened(search: Search, start: Position, arguments: Sequence[Argument]) -> tuple[Argument, ...]:
    """Return a way to the solution that is no longer than another one.

    Parameters
    ----------
    search : Search
        What has planned the other way; its meter stops this search too.
    start : Position
        Where both begin.
    arguments : sequence of Argument
        The other way, which leads to the solution.

    Returns
    -------
    tuple of Argument
        Each holds once the ones before it have been taken.

    Notes
    -----
    Changes are tried one by one, and kept if they make the whole way cheaper.  First suppositions are put in that break
    down soon, each before a step of the way: what it opens may make much of what follows needless.  Then arguments are
    left out, the largest first; what rested on one is fitted to the poorer position or refuted anew.  Two changes at
    once might still save something.
    """
    way = Way(search, start, arguments)
    if way.arguments:
        way.put_in()
        way.leave_out()
    better = way.arguments and way.cost < sum(map(told, arguments))
    return way.arguments if better else tuple(arguments)


class Way:
    """A way to the solution, with singles, locked candidates and chains drawn freely between its steps.

    Attributes
    ----------
    arguments : tuple of Argument
        All that the solution rests on, in order; empty if the way leads nowhere.
    cost : float
        What they cost to listen to.
    steps : list of (Argument, Trail)
        Those that are not drawn freely, each with all that was drawn before it.
    """

    def __init__(self, search: Search, start: Position, arguments: Sequence[Argument]) -> None:
        self._search = search
        self._start = start
        self._left = FOLLOWED // len(search.statements.model.names)
        self._take(arguments)

    def _take(self, arguments: Sequence[Argument]) -> None:
        """Make these arguments the way."""
        trail = Trail(self._search.statements, self._start)
        trail.run()
        self.steps: list[tuple[Argument, Trail]] = []
        for argument in arguments:
            before = trail.copy()
            fitted = self._drawn(trail, argument)
            if fitted is not None:
                self.steps.append((fitted, before))
        self.arguments = self._needed(trail)
        self.cost = sum(map(told, self.arguments))

    def _drawn(self, trail: Trail, argument: Argument) -> Argument | None:
        """Draw an argument as it holds now, and what follows freely; return it, or None if it adds nothing."""
        statements, here = self._search.statements, trail.position
        found = refitted(statements, here, argument)
        fitted = None if found is None else found.argument
        if found is None and isinstance(argument, Supposition):
            candidate = argument.candidate
            if not (here.live & ~here.true) >> candidate & 1 or not self._search.meter.take():
                return None
            fitted = supposition(statements, here, candidate) or supposition(
                statements, here, candidate, self._search.chains, together=True
            )
        if fitted is None or not trail.offer(fitted):
            return None
        trail.run()
        return fitted

    def _needed(self, trail: Trail) -> tuple[Argument, ...]:
        """Return what the solution rests on; nothing if the trail does not lead to it."""
        here = trail.position
        if here.live != here.true:
            return ()
        roots = trail.roots_of(here.true & ~self._start.true)
        return tuple(trail.drawn[number].inference.argument for number in bits(roots))

    def _better(self, number: int, instead: Sequence[Argument]) -> bool:
        """Follow other arguments from before a step on; make that the way, and say so, if it is cheaper."""
        self._left -= 1
        trail = self.steps[number][1].copy()
        for argument in instead:
            self._drawn(trail, argument)
        needed = self._needed(trail)
        if not needed or sum(map(told, needed)) >= self.cost:
            return False
        self._take(needed)
        return True

    def leave_out(self) -> None:
        """Leave out one step after the other for as long as that saves something."""
        tried: set[object] = set()
        while self._left > 0:
            large = [
                (-size_of(step), number)
                for number, (step, _) in enumerate(self.steps)
                if size_of(step) > SMALL and _name(step) not in tried
            ]
            if not large:
                return
            number = min(large)[1]
            tried.add(_name(self.steps[number][0]))
            self._better(number, [step for step, _ in self.steps[number + 1 :]])

    def put_in(self) -> None:
        """Put in suppositions that break down soon, before each step, for as long as that saves something."""
        search = self._search
        if search.quick is None:
            return
        screen = Screen(search.statements, partial(where_chains_lead, search.statements), search.meter)
        tried: set[object] = set()
        number = 0
        while number < len(self.steps):
            here = self.steps[number][1].position
            tried.update(_name(step) for step, _ in self.steps)
            soon = [c for _, c in screen.broken(here, search.open(here)) if c not in tried][:SOON]
            for candidate in sorted(soon, key=lambda c: self._left_open(here, c))[:PUT_IN]:
                if self._left <= 0:
                    return
                tried.add(candidate)
                found = supposition(search.statements, here, candidate)
                if found is not None and self._better(number, [found, *(step for step, _ in self.steps[number:])]):
                    # From the start again.  The screen remembers later positions then, and may name a supposition that
                    # does not break down yet: whether it does is found out when it is made.
                    number = -1
                    break
            number += 1

    def _left_open(self, here: Position, candidate: int) -> int:
        """Return how many candidates are left open where a position leads without one of them."""
        end, _ = where_chains_lead(self._search.statements, here.live & ~(1 << candidate), here.true)
        return 0 if end is None else (end.live & ~end.true).bit_count()


def _name(argument: Argument) -> object:
    """Return what makes an argument the same one in another position."""
    return argument.candidate if isinstance(argument, Supposition) else argument
