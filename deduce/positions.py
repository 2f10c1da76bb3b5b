"""What every room needs beside the kernel: bitsets, what a sum concludes, and where inferences lead and rest on."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import NamedTuple

from deduce.errors import ProofError
from deduce.kernel import Counting, Inference, Model, Position, Supposition, Swap, check, coefficients, place

__all__ = ["Needs", "Setting", "accepted", "after", "apart", "bits", "bitset", "clearing", "conclusions", "counting"]
__all__ += ["needs", "united"]


def bits(mask: int) -> list[int]:
    """List the numbers of the set bits of `mask`, lowest first."""
    found = []
    while mask:
        low = mask & -mask
        found.append(low.bit_length() - 1)
        mask ^= low
    return found


def bitset(numbers: Iterable[int]) -> int:
    """Return the bitset of these numbers; the inverse of :func:`bits`.

    Examples
    --------
    >>> bitset([0, 3, 3])
    9
    """
    mask = 0
    for number in numbers:
        mask |= 1 << number
    return mask


def united(masks: Iterable[int]) -> int:
    """Return the union of bitsets, which may overlap.

    Examples
    --------
    >>> united([0b0011, 0b0110])
    7
    """
    union = 0
    for mask in masks:
        union |= mask
    return union


def apart(masks: Iterable[int]) -> bool:
    """Whether no two of these bitsets have a bit in common.

    Examples
    --------
    >>> apart([0b0011, 0b0100]), apart([0b0011, 0b0110])
    (True, False)
    """
    union = 0
    for mask in masks:
        if mask & union:
            return False
        union |= mask
    return True


def conclusions(model: Model, position: Position, argument: Counting) -> Inference | None:
    """Return the strongest inference that a counting argument supports in a position, or None if it proves nothing.

    Examples
    --------
    Two strong links and a weak one, ``a = b - c = d``, with ``z`` in conflict with both ends:

    >>> from deduce.kernel import Constraint
    >>> def at_least(name, *cs): return Constraint(name, tuple((c, 1) for c in cs), 1, None)
    >>> def at_most(name, *cs): return Constraint(name, tuple((c, 1) for c in cs), None, 1)
    >>> strong = [at_least("ab", 0, 1), at_least("cd", 2, 3)]
    >>> weak = [at_most("bc", 1, 2), at_most("za", 4, 0), at_most("zd", 4, 3)]
    >>> model = Model("abcdz", strong + weak)
    >>> argument = Counting(((0, 1), (1, 1)), ((2, 1), (3, 1), (4, 1)))
    >>> conclusions(model, Position(0b11111, 0), argument).false
    (4,)
    """
    weights, slack = coefficients(model, argument)
    live, true = position
    spare = slack - sum([weight for c, weight in weights.items() if (true if weight > 0 else live) >> c & 1])
    if spare < 0:
        return Inference(argument)
    open_ = live & ~true
    falls = sorted(c for c, weight in weights.items() if weight > spare and open_ >> c & 1)
    holds = sorted(c for c, weight in weights.items() if -weight > spare and open_ >> c & 1)
    return Inference(argument, tuple(falls), tuple(holds)) if falls or holds else None


def clearing(model: Model, position: Position, candidate: int, fell: int = -1) -> tuple[int, int]:
    """Return what the clearing of a placed candidate uses beside that candidate; nothing where rules are exclusive.

    Parameters
    ----------
    model : Model
        The candidates and the rules.
    position : Position
        Where it is placed.
    candidate : int
        What is placed.
    fell : int, optional
        Bitset of what is to have been cleared by it; by default anything may have been.

    Returns
    -------
    gone, true : int
        Bitsets of what has to be ruled out and what has to be true; they may be more than is needed.
    """
    gone = true = 0
    for number in model.touching[candidate]:
        if not model.exclusive[number] and model.masks[number] & fell:
            gone |= model.masks[number] & ~position.live
            true |= model.masks[number] & position.true
    return gone, true


def after(model: Model, position: Position, inference: Inference) -> Position:
    """Return the position that an inference leaves; what :func:`deduce.check` does once it has verified it.

    Parameters
    ----------
    model : Model
        The candidates and the rules.
    position : Position
        Where the inference is made.
    inference : Inference
        Taken at its word: nothing is verified here.
    """
    position = Position(position.live & ~bitset(inference.false), position.true)
    for candidate in inference.true:
        position = place(model, position, candidate)
    return position


def counting(bases: Iterable[tuple[int, int]], covers: Iterable[tuple[int, int]]) -> Counting:
    """Return a counting argument with constraints in order and zeros left out."""
    return Counting(
        tuple(sorted((number, weight) for number, weight in bases if weight)),
        tuple(sorted((number, weight) for number, weight in covers if weight)),
    )


class Needs(NamedTuple):
    """Facts that inferences use, as bitsets over the candidates.

    Parameters
    ----------
    gone : int
        Candidates that must be ruled out.
    true : int
        Candidates that must be known to be true.
    """

    gone: int
    true: int

    def also(self, other: tuple[int, int]) -> Needs:
        """Return these facts and others."""
        return Needs(self.gone | other[0], self.true | other[1])


def needs(model: Model, position: Position, inferences: Iterable[Inference]) -> Needs:
    """Return the facts of a position that inferences made in it rest on, those left out that they conclude themselves.

    Parameters
    ----------
    model : Model
        The candidates and the rules.
    position : Position
        Where the first inference is made; each further one stands in the position that the earlier ones left.
    inferences : iterable of Inference
        Taken at their word.

    Raises
    ------
    ProofError
        For a sum that cannot be added up.

    Notes
    -----
    This is the only place that says what an argument rests on; all marks of assumption are made of it.

    In any position in which these facts hold and what the inferences conclude is still open, the kernel accepts them: a
    sum gets no smaller than it was where it was found.  The converse fails now and then, since a sum may have slack to
    spare; who wants to know whether a fact can be done without asks the kernel.

    Facts are candidates that weigh negatively and are ruled out, and candidates that weigh positively and are true;
    around a swap, what its fillings rest on and all that is true (next to sums with signs of both kinds, all that was
    settled); and, for a placement that clears by a rule other than "at most one of these", what that rule had used up.
    """
    used = _used(model, position, inferences)
    return Needs(used.gone & ~position.live, used.true & position.true)


def _used(model: Model, position: Position, inferences: Iterable[Inference]) -> Needs:
    """Return the candidates used as ruled out and those used as true, whoever settled them."""
    used = Needs(0, 0)
    for inference in inferences:
        argument = inference.argument
        if isinstance(argument, Counting):
            gone = true = 0
            weights, _ = coefficients(model, argument)
            for candidate, weight in weights.items():
                if weight < 0 and not position.live >> candidate & 1:
                    gone |= 1 << candidate
                elif weight > 0 and position.true >> candidate & 1:
                    true |= 1 << candidate
            used = used.also((gone, true))
            for swap, _ in argument.swaps:
                used = used.also(_used_in_swap(model, position, swap))
        elif isinstance(argument, Supposition):
            used = used.also(_used(model, place(model, position, argument.candidate), argument.inferences))
            used = used.also(clearing(model, position, argument.candidate))
        else:
            used = used.also(_used_in_swap(model, position, argument))
        for candidate in inference.true:
            used = used.also(clearing(model, position, candidate))
        position = after(model, position, inference)
    return used


def _used_in_swap(model: Model, position: Position, swap: Swap) -> tuple[int, int]:
    """Return what a swap uses as ruled out, and all that is true around its pattern: more than it can rest on."""
    around = 0
    numbers = {number for candidate in swap.pattern for number in model.touching[candidate]}
    for number in numbers:
        around |= model.masks[number]
    # A candidate that counts negatively eases a rule's upper side, which `_gone_in_swap` does not look at.
    if any(a < 0 for number in numbers for _, a in model.constraints[number].terms):
        return around & ~position.live, around & position.true
    return _gone_in_swap(model, position, swap), around & position.true


def _gone_in_swap(model: Model, position: Position, swap: Swap) -> int:
    """Return the candidates whose absence a swap uses: dead ones of the pattern, and those that would ease a rule.

    A rule whose at-least side already has room outside pattern and exits asks nothing of the pattern, so it is not
    eased by one candidate more.  Of the other rules the kernel mostly needs only some: from the last one on, those are
    left out without which it still accepts the swap.  A large swap, which takes it long to verify, is left as it is.
    """
    inside = bitset(swap.pattern) & ~position.live
    named = {*swap.pattern, *swap.exits}
    easing: dict[int, int] = {}
    for number in sorted({number for c in swap.pattern for number in model.touching[c]}):
        constraint = model.constraints[number]
        outside = [(c, a) for c, a in constraint.terms if c not in named and a > 0]
        room = sum(a for c, a in outside if position.live >> c & 1)
        if constraint.lower is not None and constraint.lower > room:
            easing[number] = sum(1 << c for c, _ in outside if not position.live >> c & 1)
    every = united(easing.values())
    for number in sorted(easing, reverse=True) if len(swap.pattern) <= _SMALL else ():
        rest = united(mask for other, mask in easing.items() if other != number)
        if _still_accepted(model, Position(position.live | every & ~rest, position.true), swap):
            del easing[number]
    return united(easing.values()) | inside


_SMALL = 16
"""Up to so many candidates in its pattern, a swap is verified again and again to see what it rests on."""


def _still_accepted(model: Model, position: Position, swap: Swap) -> bool:
    """Whether the kernel accepts a swap that it has accepted where more was ruled out."""
    if not swap.exits:
        return False
    # With one exit left, it is true; other exits take no part in verifying the swap.
    gone, last = bitset(swap.exits), 1 << swap.exits[0]
    there = Setting(model, position.live & ~gone | last, position.true & ~gone)
    return accepted(there, (Inference(swap, (), swap.exits[:1]),))


@dataclass(frozen=True, slots=True)
class Setting:
    """As much of a grid as the kernel reads.

    Parameters
    ----------
    model : Model
        The candidates and the rules.
    live, true, givens : int
        Bitsets of what is not ruled out, what is known to be true, and what the puzzle itself places; only swaps ask
        for the last.
    """

    model: Model
    live: int
    true: int
    givens: int = 0


@dataclass(frozen=True, slots=True)
class _Stated:
    """As much of a proof as the kernel reads."""

    inferences: tuple[Inference, ...]


def accepted(setting: Setting, inferences: tuple[Inference, ...]) -> bool:
    """Whether the kernel accepts inferences made in order in a position."""
    try:
        check(setting, _Stated(inferences))
    except ProofError:
        return False
    return True
