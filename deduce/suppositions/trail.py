"""Inferences drawn from a position in order of how much has to be read to reach them."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from copy import copy
from dataclasses import dataclass
from heapq import heappop, heappush
from math import inf

from deduce.deadline import in_time
from deduce.kernel import Argument, Counting, Inference, Position, Supposition, coefficients, place
from deduce.links.implications import chained
from deduce.links.statements import Statements
from deduce.positions import bits, conclusions

__all__ = ["Drawn", "Source", "Trail", "singly", "size_of"]

Source = Callable[[Position, float], Iterable[Argument]]
"""Further arguments that hold in a position, up to some size; asked when everything simpler has been drawn."""


@dataclass(frozen=True, slots=True)
class Drawn:
    """An inference of the trail.

    Parameters
    ----------
    inference : Inference
        The argument with everything that it concluded when it was drawn.
    roots : int
        The inferences that it rests on, itself included, as a bitset over their places in the trail.
    size : int
        Its own size (see :func:`size_of`).
    """

    inference: Inference
    roots: int
    size: int


class Trail:
    """What follows in a position.

    Parameters
    ----------
    statements : Statements
        The model.
    start : Position
        Where it begins.
    limit : float
        Inferences that are larger, with all they rest on, are not drawn.
    sources : sequence of Source
        Asked in order, the next one only when everything before it is exhausted.
    touched : iterable of int, optional
        The constraints to look at first; by default all of them.
    together : bool
        Whether the first source is asked together with chains.

    Notes
    -----
    Inferences wait in a queue and are drawn by the size of all that is to be read to reach them, each inference
    counted once.  What an inference needs is what earlier ones ruled out in its bases, so the size of the first
    contradiction drawn is least among those that rule each candidate out in the cheapest way found for it.
    """

    def __init__(
        self,
        statements: Statements,
        start: Position,
        limit: float = inf,
        sources: Sequence[Source] = (),
        touched: Iterable[int] | None = None,
        *,
        together: bool = False,
    ) -> None:
        self.statements = statements
        self.start = start
        self.drawn: list[Drawn] = []
        self.limit = limit
        self._model = statements.model
        self._live, self._true = start
        self._sources = tuple(sources)
        self._together = self._sources[:1] if together else ()
        self._why: dict[int, int] = {}
        self._placed: dict[int, int] = {}
        # What else a candidate rests on that a sum had no room for any more, beside the inference that took the room.
        self._beside: dict[int, int] = {}
        self._queue: list[tuple[int, int, Argument]] = []
        self._seen: set[Argument] = set()
        self._order = 0
        self._sizes: dict[int, int] = {0: 0}
        for number in range(len(statements.masks)) if touched is None else touched:
            self._examine(number)

    @classmethod
    def supposing(
        cls,
        statements: Statements,
        position: Position,
        candidate: int,
        limit: float = inf,
        sources: Sequence[Source] = (),
        *,
        together: bool = False,
    ) -> Trail:
        """Return the trail that begins when an open candidate is supposed true."""
        start = place(statements.model, position, candidate)
        gone = position.live & ~start.live
        touched = sorted({k for c in (*bits(gone), candidate) for k in statements.touching[c]})
        return cls(statements, start, limit, sources, touched, together=together)

    def copy(self) -> Trail:
        """Return a trail that goes on from here by itself."""
        other = copy(self)
        for name in ("drawn", "_why", "_placed", "_beside", "_queue", "_seen", "_sizes"):
            setattr(other, name, getattr(self, name).copy())
        return other

    @property
    def position(self) -> Position:
        """What has been reached."""
        return Position(self._live, self._true)

    def run(self) -> bool:
        """Draw all there is, up to a contradiction; say whether one was drawn (as the last inference)."""
        stage = 0
        while True:
            if self._exhaust():
                return True
            stage = self._ask(stage)
            if stage < 0:
                return False

    def refutation(self) -> tuple[Inference, ...] | None:
        """Run; return the inferences that the contradiction rests on, or None if there is none."""
        if not self.run():
            return None
        return tuple(self.drawn[number].inference for number in bits(self.drawn[-1].roots))

    def roots_of(self, candidates: int) -> int:
        """Return the inferences that these candidates, settled on the trail, rest on."""
        roots = 0
        for candidate in bits(candidates):
            number = self._placed.get(candidate)
            roots |= self._loss(candidate) if number is None else self.drawn[number].roots
        return roots

    def offer(self, argument: Argument) -> bool:
        """Queue an argument unless it was there before or is too large; say whether it went in."""
        if argument in self._seen:
            return False
        size = self._size(self._roots(argument)) + size_of(argument)
        if size > self.limit:
            return False
        self._seen.add(argument)
        self._push(size, argument)
        return True

    def _push(self, size: int, argument: Argument) -> None:
        self._order += 1
        heappush(self._queue, (size, self._order, argument))

    def _ask(self, stage: int) -> int:
        """Ask chains, then the sources, for anything new; return the next stage, or -1 if there is nothing."""
        while stage <= len(self._sources):
            in_time()
            new = False
            if stage == 0:
                for found in chained(self.statements, self._live, self._true, self._price, self.limit):
                    new |= self.offer(found)
                for source in self._together:
                    for argument in source(self.position, self.limit):
                        new |= self.offer(argument)
            else:
                for argument in self._sources[stage - 1](self.position, self.limit):
                    new |= self.offer(argument)
            if new:
                return 0
            stage += 1
        return -1

    def _price(self, number: int) -> int:
        """Return the size of using a constraint as a base, with what has to be read to see what it has left."""
        return 1 + self._size(self._roots_of_gone(self.statements.masks[number]))

    def _exhaust(self) -> bool:
        """Draw what is in the queue; say whether this ended in a contradiction."""
        queue = self._queue
        while queue:
            in_time()
            _, _, argument = heappop(queue)
            inference = singly(self.statements, self.position, argument)
            if inference is None:
                continue
            number = len(self.drawn)
            self.drawn.append(Drawn(inference, self._roots(argument) | 1 << number, size_of(argument)))
            if inference.contradiction:
                return True
            self._follow(inference, number)
        return False

    def _follow(self, inference: Inference, number: int) -> None:
        """Take over what an inference concludes, and look at every constraint that this touches."""
        before = self._live
        for candidate in inference.false:
            self._live &= ~(1 << candidate)
        for candidate in inference.true:
            reached = self.position
            self._placed[candidate] = number
            self._live, self._true = place(self._model, reached, candidate)
            self._note_room(candidate, reached)
        touched: set[int] = set()
        for candidate in bits(before & ~self._live):
            self._why[candidate] = number
            touched.update(self.statements.touching[candidate])
        for candidate in inference.true:
            touched.update(k for k in self.statements.touching[candidate] if not self.statements.plain[k])
        for constraint in sorted(touched):
            self._examine(constraint)

    def _note_room(self, candidate: int, before: Position) -> None:
        """Where a placement made a sum too full for others, remember what took the rest of its room."""
        model = self._model
        numbers = [k for k in model.touching[candidate] if not model.exclusive[k]]
        fallen = before.live & ~self._live if numbers else 0
        for number in numbers:
            if fallen & model.masks[number]:
                roots = 0
                for other, weight in model.constraints[number].terms:
                    if weight > 0 and before.true >> other & 1 and other in self._placed:
                        roots |= self.drawn[self._placed[other]].roots
                    elif weight < 0 and not before.live >> other & 1:
                        roots |= self._loss(other)
                for loser in bits(fallen & model.masks[number]) if roots else ():
                    self._beside[loser] = self._beside.get(loser, 0) | roots

    def _loss(self, candidate: int) -> int:
        """Return the inferences that a candidate was ruled out by, with all that those rest on; 0 if none was."""
        number = self._why.get(candidate)
        return 0 if number is None else self.drawn[number].roots | self._beside.get(candidate, 0)

    def _settled(self, candidate: int, weight: int) -> int:
        """Return what it rests on that a candidate is settled in the way that a sum with this weight of it reads."""
        if weight < 0:
            return self._loss(candidate)
        number = self._placed.get(candidate) if weight else None
        return 0 if number is None else self.drawn[number].roots

    def _examine(self, number: int) -> None:
        """Queue what one constraint says by itself, and with one other that holds all it has left."""
        statements = self.statements
        here = statements.masks[number] & self._live
        if not statements.plain[number]:
            # What a sum says changes with every candidate, so such a constraint may be drawn on again and again.
            for argument in statements.alone[number]:
                if conclusions(self._model, self.position, argument) is not None:
                    self._push(self._size(self._roots(argument)) + 1, argument)
            return
        if not statements.some[number] or here & self._true:
            return
        if not here & (here - 1):
            self.offer(statements.alone[number][0])
            return
        for other, outside in statements.overlaps[number]:
            if not here & outside and statements.masks[other] & self._live & ~here:
                self.offer(Counting(((number, 1),), ((other, 1),)))

    def _roots(self, argument: Argument) -> int:
        """Return the inferences that an argument rests on, with all that those rest on."""
        if isinstance(argument, Supposition):
            roots = 0
            for inference in argument.inferences:
                roots |= self._roots(inference.argument)
            return roots
        if not isinstance(argument, Counting):
            return 0
        if not argument.covers and len(argument.bases) == 1 and self.statements.plain[argument.bases[0][0]]:
            return self._roots_of_gone(self.statements.masks[argument.bases[0][0]])
        settled = self.start.live & ~self._live | self._true & ~self.start.true
        bases, covers = self._held(argument.bases), self._held(argument.covers)
        roots = 0
        if bases is None or covers is None:
            weights, _ = coefficients(self._model, argument)
            for candidate, weight in weights.items():
                roots |= self._settled(candidate, weight)
            return roots
        # The same by bitsets, where every rule is a plain one: most candidates stand on one side only.
        for candidate in bits((bases | covers) & settled):
            balance = 1 if covers >> candidate & 1 else -1
            if bases >> candidate & covers >> candidate & 1:
                balance = self._balance(argument, candidate)
            roots |= self._settled(candidate, balance)
        return roots

    def _held(self, side: Iterable[tuple[int, int]]) -> int | None:
        """Return the candidates of all these constraints, or None if one of them is not plain."""
        masks, plain = self.statements.masks, self.statements.plain
        held = 0
        for number, _ in side:
            if not plain[number]:
                return None
            held |= masks[number]
        return held

    def _balance(self, argument: Counting, candidate: int) -> int:
        """Return how much more often a candidate is covered than it is in a base."""
        masks = self.statements.masks
        covered = sum(weight for number, weight in argument.covers if masks[number] >> candidate & 1)
        return covered - sum(weight for number, weight in argument.bases if masks[number] >> candidate & 1)

    def _roots_of_gone(self, mask: int) -> int:
        """Return the inferences that ruled out candidates of a set, with all that those rest on."""
        roots = 0
        for candidate in bits(mask & self.start.live & ~self._live):
            roots |= self._loss(candidate)
        return roots

    def _size(self, roots: int) -> int:
        """Return the size of a set of inferences."""
        known = self._sizes.get(roots)
        if known is None:
            known = self._sizes[roots] = sum(self.drawn[number].size for number in bits(roots))
        return known


def singly(statements: Statements, position: Position, argument: Argument) -> Inference | None:
    """Return all that one argument concludes in a position, or None; a supposition is taken at its word."""
    if isinstance(argument, Counting):
        return conclusions(statements.model, position, argument)
    if isinstance(argument, Supposition) and (position.live & ~position.true) >> argument.candidate & 1:
        return Inference(argument, (argument.candidate,))
    return None


def size_of(argument: Argument) -> int:
    """Return how many constraints an argument adds up, those under a supposition counted twice.

    This is its size, about in proportion to the words that tell it and quick to find; `Proof.effort` is another number.
    """
    if isinstance(argument, Counting):
        return sum(weight for side in (argument.bases, argument.covers) for _, weight in side)
    if isinstance(argument, Supposition):
        return 1 + 2 * sum(size_of(inference.argument) for inference in argument.inferences)
    return len(argument.pattern)
