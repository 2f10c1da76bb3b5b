"""The trusted kernel: candidates, constraints, the three arguments, and ``check``.

Everything that this library believes passes through :func:`check`.  The file uses the standard library only and knows
nothing of rows, boxes, digits, graphs or drawing.  A *model* is a numbered list of candidates (0-1 variables) and of
linear constraints over them, a *position* says which candidates are still live and which are known to be true, and an
*argument* is one of

counting
    add up some constraints for their at-least side (bases) and some for their at-most side (covers);
supposition
    one candidate, supposed true, leads through a list of inferences to a contradiction;
swap
    a filling that could be exchanged for another without any rule noticing, in a puzzle with one solution.

The counting rule.  Over the live candidates the chosen constraints add up to::

    sum over c of a_c * x_c  <=  slack        a_c   = weight of c in the covers - weight of c in the bases
                                              slack = sum of cover bounds       - sum of base bounds

A candidate known to be true counts as 1.  With ``m`` the least value that the left side can take, a candidate with
``a_c > 0`` and ``m + a_c > slack`` is false, one with ``a_c < 0`` and ``m - a_c > slack`` is true, and ``m > slack`` is
a contradiction.

The swap rule.  Let the puzzle have exactly one solution, and take a pattern of candidates, none of them given, and some
exits.  If no exit were true, the solution would fill the pattern in one of a few ways.  When for each of these another
filling of the pattern gives every constraint the same total, exchanging one for the other would make a second solution.
So at least one exit is true, and that serves as a base in sums.

What it costs.  Sums and suppositions name all that they need, so nothing is searched for: the cost is linear in the
terms of the constraints that they name and of those that stand at a placed candidate.  A swap names only its pattern;
the kernel lists the fillings itself, by depth-first search, and gives up after `MAX_TRIALS` partial fillings, each of
which costs one look at the constraints of the pattern.

What is believed of others.  Model, position and proof are read once, into plain tuples and kernel objects of exactly
the types named here, and what was read is what is verified; later changes of the originals change nothing.  (A sum
that is frozen and plain already is kept as it is.)  That guards against mistakes and against objects that answer
differently when they are asked twice.  It cannot guard against a program that changes this module, writes into frozen
objects or builds them behind its back: who distrusts the process asks :meth:`Checked.belongs_to`, or checks again, in
one of his own.

The clearing rule.  When a candidate becomes true, every candidate for which one of its constraints has no room left
falls.  That is the counting rule with this one constraint as the only cover, so it is applied at once and needs no
words.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from functools import lru_cache
from hashlib import sha256
from itertools import accumulate
from operator import itemgetter
from typing import Any, NamedTuple, Protocol, Self

from deduce.errors import ProofError

__all__ = ["MAX_DEPTH", "MAX_PATTERN", "MAX_TRIALS", "MAX_WEIGHT", "Argument", "Checked", "Constraint", "Counting"]
__all__ += ["Inference", "Model", "Position", "Supposition", "Swap"]
__all__ += ["check", "coefficients", "place"]

MAX_DEPTH = 32
"""How deep suppositions may nest; deeper ones are refused."""

MAX_WEIGHT = 2**31 - 1
"""The largest weight that a base, cover or swap may be given."""

MAX_PATTERN = 64
"""How many candidates the pattern of a swap may have."""

MAX_TRIALS = 100_000
"""How many partial fillings may be tried to verify a swap; a swap that needs more is refused."""


@dataclass(frozen=True, slots=True)
class Constraint:
    """A linear constraint ``lower <= sum of coefficient * candidate <= upper``.

    Parameters
    ----------
    name : str
        The printable origin, such as ``"cell r4c7"`` or ``"7 in box 2"``.
    terms : tuple of (int, int)
        Candidate and coefficient; no candidate twice, no coefficient zero.
    lower, upper : int or None
        The bounds; ``None`` where that side is open.
    """

    name: str
    terms: tuple[tuple[int, int], ...]
    lower: int | None
    upper: int | None


_Rule = tuple[str, tuple[tuple[int, int], ...], int | None, int | None]
"""A constraint as the kernel keeps it for itself: name, terms, lower and upper bound, plain through and through."""

_Ints = tuple[int, ...]
"""A filling; or a step: which inference, counted from 1, and one more number for each supposition it stands under."""

_Row = tuple[list[int], int | None, int | None]
"""What a constraint says of the candidates of a pattern: coefficients, lower and upper bound."""


def _item(number: int) -> Any:
    """Return a property that reads one item of a tuple and cannot be set."""
    return property(itemgetter(number))


class Model(tuple[Any, ...]):
    """Numbered candidates with printable names, and constraints over them.

    Parameters
    ----------
    names : iterable of str
        One printable name for each candidate, all different.
    constraints : iterable of Constraint
        The rules; their names are all different.

    Attributes
    ----------
    names : tuple of str
        As given.
    constraints, rules : tuple of Constraint, tuple of tuple
        As given, copied; the kernel itself reads the plain tuples of `rules`.
    masks : tuple of int
        For each constraint the bitset of its candidates, worked out here from its terms.
    touching : tuple of tuple of int
        For each candidate the constraints that it stands in, in order.
    exclusive : tuple of bool
        For each constraint whether it says "at most one of these".

    Raises
    ------
    ValueError
        If a name is no string or used twice, a constraint lacks a part, a term names a candidate that does not exist or
        names it twice, a coefficient is zero, a number is not whole, or a lower bound exceeds its upper bound.

    Notes
    -----
    The arguments are read once, and a model does not change: it is a tuple underneath, without a place to write to.
    Models are equal only to themselves.  There are no subclasses.
    """

    __slots__ = ()

    names: tuple[str, ...] = _item(0)
    constraints: tuple[Constraint, ...] = _item(1)
    masks: tuple[int, ...] = _item(2)
    touching: tuple[tuple[int, ...], ...] = _item(3)
    exclusive: tuple[bool, ...] = _item(4)
    rules: tuple[_Rule, ...] = _item(5)

    def __new__(cls, names: Iterable[str], constraints: Iterable[Constraint]) -> Self:  # noqa: D102 - see the class
        names = tuple(names)
        try:
            rules = tuple([(c.name, _pairs(c.terms), c.lower, c.upper) for c in constraints])
        except (AttributeError, TypeError, ValueError) as error:
            raise ValueError("a constraint of a model has a name, terms of two numbers each, and two bounds") from error
        called = tuple([name for name, *_ in rules])
        if not {*map(type, names + called)} <= {str}:
            raise ValueError("a name in a model is no string")
        if len(set(names)) != len(names):
            raise ValueError("two candidates of a model have the same name")
        if len(set(called)) != len(called):
            raise ValueError("two constraints of a model have the same name")
        touching: list[list[int]] = [[] for _ in names]
        masks = []
        for number, (name, terms, low, high) in enumerate(rules):
            mask = 0
            for candidate, coefficient in terms:
                if not _whole(candidate) or not 0 <= candidate < len(names):
                    raise ValueError(f"constraint {name!r} names candidate {candidate!r}, which the model lacks")
                if not _whole(coefficient) or not coefficient or mask >> candidate & 1:
                    raise ValueError(f"constraint {name!r} has a bad term for {names[candidate]}")
                mask |= 1 << candidate
                touching[candidate].append(number)
            if not all(bound is None or _whole(bound) for bound in (low, high)):
                raise ValueError(f"constraint {name!r} has a bound that is no whole number")
            if low is not None and high is not None and low > high:
                raise ValueError(f"constraint {name!r} asks for at least {low} and at most {high}")
            masks.append(mask)
        exclusive = tuple([high == 1 and all(a == 1 for _, a in terms) for _, terms, _, high in rules])
        copies = tuple([Constraint(*rule) for rule in rules])
        return tuple.__new__(cls, (names, copies, tuple(masks), tuple(map(tuple, touching)), exclusive, rules))

    __eq__, __ne__, __hash__ = object.__eq__, object.__ne__, object.__hash__

    def __init_subclass__(cls) -> None:
        raise TypeError("Model has no subclasses")

    def __reduce__(self) -> tuple[object, ...]:
        return Model, (self.names, self.constraints)

    def __repr__(self) -> str:
        return f"<Model of {len(self.names)} candidates under {len(self.constraints)} constraints>"


def _pairs(side: Iterable[tuple[Any, Any]]) -> tuple[tuple[Any, Any], ...]:
    """Read pairs once, into plain tuples."""
    return tuple([(first, second) for first, second in side])


class Position(NamedTuple):
    """What is known of a model: two bitsets over its candidates.

    Parameters
    ----------
    live : int
        Bit c is set while candidate c has not been ruled out.
    true : int
        Bit c is set once candidate c is known to be true; a subset of `live`.
    """

    live: int
    true: int


@dataclass(frozen=True, slots=True)
class Counting:
    """The argument that adds up constraints.

    Parameters
    ----------
    bases : tuple of (int, int)
        Constraint number and weight (at least 1), taken for the at-least side.
    covers : tuple of (int, int)
        Constraint number and weight (at least 1), taken for the at-most side.
    swaps : tuple of (Swap, int)
        Swap and weight (at least 1): "at least one of its exits is true", taken as one more base.
    """

    bases: tuple[tuple[int, int], ...]
    covers: tuple[tuple[int, int], ...]
    swaps: tuple[tuple[Swap, int], ...] = ()


@dataclass(frozen=True, slots=True)
class Supposition:
    """The argument that supposes one candidate true and reaches a contradiction.

    Parameters
    ----------
    candidate : int
        The candidate supposed true.
    inferences : tuple of Inference
        Read in order, each in the position that the earlier ones left; the last concludes a contradiction.
    """

    candidate: int
    inferences: tuple[Inference, ...]


@dataclass(frozen=True, slots=True)
class Swap:
    """The argument from a unique solution: the pattern cannot be all there is, so one exit is true.

    Parameters
    ----------
    pattern : tuple of int
        The candidates whose fillings could be exchanged, at most `MAX_PATTERN`; none of them is given, but they may be
        placed or dead.
    exits : tuple of int
        The candidates outside the pattern, one of which must be true.

    Notes
    -----
    By itself a swap concludes its exit if there is just one, or a contradiction if there is none.
    """

    pattern: tuple[int, ...]
    exits: tuple[int, ...]


Argument = Counting | Supposition | Swap


@dataclass(frozen=True, slots=True)
class Inference:
    """An argument with what it concludes; nothing false and nothing true means a contradiction.

    Parameters
    ----------
    argument : Counting, Supposition or Swap
        Everything that the kernel needs to verify the conclusion.
    false, true : tuple of int
        The candidates concluded to be false, and those concluded to be true.
    """

    argument: Argument
    false: tuple[int, ...] = ()
    true: tuple[int, ...] = ()

    @property
    def contradiction(self) -> bool:
        """Whether the conclusion is that the position cannot be."""
        return not self.false and not self.true


class _Grid(Protocol):
    """What :func:`check` reads of a grid."""

    @property
    def model(self) -> Model: ...
    @property
    def live(self) -> int: ...
    @property
    def true(self) -> int: ...
    @property
    def givens(self) -> int: ...


class _Proof(Protocol):
    """What :func:`check` reads of a proof: neither its pattern nor its roles."""

    @property
    def inferences(self) -> tuple[Inference, ...]: ...


class _Asked(NamedTuple):
    """Grid and proof in one, as they were read and verified."""

    model: Model
    live: int
    true: int
    givens: int
    inferences: tuple[Inference, ...]


class Checked(tuple[Any, ...]):
    """The kernel's word that a proof holds, as :func:`check` gives it.

    Attributes
    ----------
    before, after : Position
        The position that the proof starts from, and the one it leads to with placements cleared.
    contradiction : bool
        Whether the proof shows that `before` has no solution.

    Notes
    -----
    It is a tuple underneath, without a place to write to; it has no constructor and no subclasses, and what is copied
    or unpickled is checked again.  That is no seal: Python lets a program that wants to make one without
    :func:`check`.  Whoever was handed a `Checked` asks :meth:`belongs_to`, which does not take its word for anything.
    Two are equal if they say the same of the same model, position and proof.
    """

    __slots__ = ()

    before: Position = _item(0)
    after: Position = _item(1)
    contradiction: bool = _item(2)
    _asked: _Asked = _item(3)

    def __new__(cls, *_: object, **__: object) -> Self:  # noqa: D102 - see the class
        raise TypeError("only deduce.check makes Checked objects")

    def __init_subclass__(cls) -> None:
        raise TypeError("Checked has no subclasses")

    @property
    def digest(self) -> str:
        """What was checked: a SHA-256 in hexadecimal of the model, the bitsets of the grid, and the inferences."""
        model, live, true, givens, inferences = self._asked
        told = f"{_digest(model)} {live:x} {true:x} {givens:x} {inferences!r}"
        return sha256(told.encode()).hexdigest()

    def belongs_to(self, grid: _Grid, proof: _Proof) -> bool:
        """Whether this is what :func:`check` says of this proof in this grid; it is checked again to find out."""
        try:
            return check(grid, proof) == self
        except ProofError:
            return False

    def __eq__(self, other: object) -> bool:
        if not isinstance(other, Checked):
            return NotImplemented
        return self[:3] == other[:3] and self.digest == other.digest

    __ne__ = object.__ne__

    def __hash__(self) -> int:
        return hash(self[:3])

    def __reduce__(self) -> tuple[object, ...]:
        return check, (self._asked, self._asked)

    def __repr__(self) -> str:
        if self.contradiction:
            return "<Checked: the position has no solution>"
        gone = (self.before.live & ~self.after.live).bit_count()
        placed = (self.after.true & ~self.before.true).bit_count()
        return f"<Checked: {placed} placed, {gone} eliminated or cleared>"


@lru_cache(maxsize=8)
def _digest(model: Model) -> str:
    """Return a SHA-256 of a model; its numbers are hexadecimal, which Python prints at any length."""
    told = [
        (name, [(c, hex(a)) for c, a in terms], *[bound if bound is None else hex(bound) for bound in bounds])
        for name, terms, *bounds in model.rules
    ]
    return sha256(ascii((model.names, told)).encode()).hexdigest()


def check(grid: _Grid, proof: _Proof) -> Checked:
    """Verify a proof in a position.

    Parameters
    ----------
    grid : Grid
        Anything with a `model` and the bitsets `live`, `true` and `givens` (the candidates that the puzzle itself
        places; only swaps ask for them).
    proof : Proof
        Anything with a tuple of `inferences`; they are read in order, each in the position that the earlier ones left.

    Returns
    -------
    Checked
        What the proof leads to.

    Raises
    ------
    ProofError
        With the inference that fails, what it needed and what it got.

    Notes
    -----
    Each attribute of grid and proof is read once.  The cost is linear in the size of the proof and of the constraints
    that it uses, except for swaps: the fillings of a swap are searched for, in at most `MAX_TRIALS` trials for each
    swap.  Pattern and roles of the proof are not looked at.
    """
    try:
        asked = _Asked(grid.model, grid.live, grid.true, grid.givens, _read(proof.inferences))
    except (AttributeError, TypeError, ValueError) as error:
        raise ProofError((), "a grid and a proof with the parts that the kernel describes", str(error)) from error
    model, live, true, givens, inferences = asked
    if type(model) is not Model:
        raise ProofError((), "a model of the kernel", type(model).__name__)
    # A negative number is no bitset either: shifted, it stays below zero.
    count = len(model.names)
    if type(live) is not int or type(true) is not int or live >> count or true & ~live:
        raise ProofError((), "live candidates of the model, the true ones among them", "a position that is neither")
    if type(givens) is not int or givens >> count:
        raise ProofError((), "givens that are candidates of the model", "others")
    if not inferences:
        raise ProofError((), "at least one inference", "none")
    before = Position(live, true)
    after, contradiction = _advance(asked, before, inferences, ())
    return tuple.__new__(Checked, (before, after, contradiction, asked))


def _read(inferences: Iterable[Inference], depth: int = 1) -> tuple[Inference, ...]:
    """Read inferences once, into kernel objects and plain tuples of exact types; what is in them is verified later."""
    read = []
    for inference in inferences:
        argument = inference.argument
        if type(inference) is Inference and type(argument) is Counting and _plain(inference, argument):
            read.append(inference)
            continue
        if isinstance(argument, Counting):
            swaps = [(Swap(tuple(swap.pattern), tuple(swap.exits)), weight) for swap, weight in argument.swaps]
            argument = Counting(_pairs(argument.bases), _pairs(argument.covers), tuple(swaps))
        elif isinstance(argument, Swap):
            argument = Swap(tuple(argument.pattern), tuple(argument.exits))
        elif isinstance(argument, Supposition):
            # One that is too deep is refused when it is verified; nothing below it is read.
            below = _read(argument.inferences, depth + 1) if depth <= MAX_DEPTH else ()
            argument = Supposition(argument.candidate, below)
        read.append(Inference(argument, tuple(inference.false), tuple(inference.true)))
    return tuple(read)


def _plain(inference: Inference, argument: Counting) -> bool:
    """Whether a sum without swaps is made of plain tuples and pairs, so that it is its own copy."""
    bases, covers = argument.bases, argument.covers
    kinds = type(bases), type(covers), type(argument.swaps), type(inference.false), type(inference.true)
    if kinds != (tuple, tuple, tuple, tuple, tuple) or argument.swaps:
        return False
    return all([type(pair) is tuple and len(pair) == 2 for pair in bases + covers])  # noqa: C419 - a list is quicker


def _advance(asked: _Asked, position: Position, inferences: Sequence[Inference], path: _Ints) -> tuple[Position, bool]:
    """Follow inferences from a position; say where they lead and whether they end in a contradiction."""
    for number, inference in enumerate(inferences, 1):
        step = (*path, number)
        _verify(asked, position, inference, step)
        if inference.contradiction:
            if number < len(inferences):
                raise ProofError(step, "the contradiction to be the last inference", f"{len(inferences)} inferences")
            return position, True
        if inference.false:
            gone = sum([1 << candidate for candidate in inference.false])
            position = Position(position.live & ~gone, position.true)
        for candidate in inference.true:
            position = place(asked.model, position, candidate)
    return position, False


def _verify(asked: _Asked, position: Position, inference: Inference, step: _Ints) -> None:
    """Raise ProofError unless `inference` holds in `position`."""
    model = asked.model
    concluded = inference.false + inference.true
    live, true = position
    for candidate in concluded:
        if type(candidate) is not int or not 0 <= candidate < len(model.names):
            raise ProofError(step, "a candidate of the model", repr(candidate))
        if not live >> candidate & 1:
            raise ProofError(step, f"{model.names[candidate]} still live", "a candidate that is already gone")
        if true >> candidate & 1:
            raise ProofError(step, f"{model.names[candidate]} still open", "a candidate that is already placed")
    if len(concluded) > 1 and len({*concluded}) != len(concluded):
        raise ProofError(step, "each candidate concluded once", "one concluded twice")
    argument = inference.argument
    if isinstance(argument, Counting):
        _verify_counting(asked, position, inference, argument, step)
    elif isinstance(argument, Swap):
        _verify_counting(asked, position, inference, Counting((), (), ((argument, 1),)), step)
    elif isinstance(argument, Supposition):
        _verify_case(asked, position, inference, argument, step)
    else:
        raise ProofError(step, "a counting argument, a supposition or a swap", type(argument).__name__)


def _verify_counting(asked: _Asked, position: Position, inference: Inference, argument: Counting, step: _Ints) -> None:
    """Refuse unless the sum of bases, covers and swaps yields every conclusion."""
    model = asked.model
    weights, slack = coefficients(model, argument, step)
    for swap, _ in argument.swaps:
        _verify_swap(asked, position, swap, step)
    least = _least(position, weights)
    if least <= slack and inference.contradiction:
        raise ProofError(step, f"a sum that cannot stay within {slack}", f"a sum that can be {least}")
    for concluded, sign, needed in ((inference.false, 1, "no room for"), (inference.true, -1, "no way without")):
        for candidate in concluded:
            weight = weights.get(candidate, 0)
            if sign * weight <= 0 or least + sign * weight <= slack:
                got = f"a sum of at least {least}, in which it weighs {weight}, with room for {slack}"
                raise ProofError(step, f"{needed} {model.names[candidate]}", got)


def _verify_case(asked: _Asked, position: Position, inference: Inference, argument: Supposition, step: _Ints) -> None:
    """Refuse unless supposing the candidate leads to a contradiction, and only its falsehood is concluded."""
    model = asked.model
    if len(step) > MAX_DEPTH:
        raise ProofError(step, f"suppositions nested at most {MAX_DEPTH} deep", "a deeper one")
    candidate = argument.candidate
    _known(model, candidate, step)
    if inference.true or inference.false != (candidate,):
        raise ProofError(step, f"the conclusion that {model.names[candidate]} is false", "another conclusion")
    if not _advance(asked, place(model, position, candidate), argument.inferences, step)[1]:
        raise ProofError(step, f"a contradiction from {model.names[candidate]}", "inferences that end without one")


def _verify_swap(asked: _Asked, position: Position, swap: Swap, step: _Ints) -> None:
    """Refuse unless every filling that the pattern can have without an exit can be exchanged for another one."""
    model = asked.model
    named = (*swap.pattern, *swap.exits)
    for candidate in named:
        _known(model, candidate, step)
    if len(set(named)) != len(named):
        raise ProofError(step, "each candidate of a swap named once", "one named twice")
    if len(swap.pattern) > MAX_PATTERN:
        raise ProofError(step, f"a swap over at most {MAX_PATTERN} candidates", str(len(swap.pattern)))
    for candidate in swap.pattern:
        if asked.givens >> candidate & 1:
            raise ProofError(step, "a swap over candidates that are not given", model.names[candidate])
    # Candidates of one constraint stand together, so that a filling that breaks it is dropped early.
    pattern = sorted(swap.pattern, key=lambda c: (model.touching[c], c))
    rows: list[_Row] = []
    for number in sorted({number for c in pattern for number in model.touching[c]}):
        _, terms, low, high = model.rules[number]
        outside = [(c, a) for c, a in terms if c not in named and position.live >> c & 1]
        fixed = sum(a for c, a in outside if position.true >> c & 1)
        loose = [a for c, a in outside if not position.true >> c & 1]
        low = None if low is None else low - fixed - sum(a for a in loose if a > 0)
        high = None if high is None else high - fixed - sum(a for a in loose if a < 0)
        inside = dict(terms)
        rows.append(([inside.get(c, 0) for c in pattern], low, high))
    possible = [(1,) if position.true >> c & 1 else (0, 1) if position.live >> c & 1 else (0,) for c in pattern]
    trials = [MAX_TRIALS]
    for filling in _fillings(rows, possible, trials, step):
        totals = [sum(a for a, value in zip(row, filling, strict=True) if value) for row, _, _ in rows]
        same: list[_Row] = [(row, total, total) for (row, _, _), total in zip(rows, totals, strict=True)]
        if all(other == filling for other in _fillings(same, [(0, 1)] * len(pattern), trials, step)):
            chosen = " ".join(model.names[c] for c, value in zip(pattern, filling, strict=True) if value)
            raise ProofError(step, "another filling for each one without an exit", f"{chosen or 'none'} alone")


def _fillings(rows: list[_Row], possible: Sequence[_Ints], trials: list[int], step: _Ints) -> Iterator[_Ints]:
    """Yield each choice of 0 or 1 for the pattern's candidates that keeps every row within such bounds as it has."""
    size = len(possible)
    # What the candidates from each place on can still add, at least and at most.
    least = [[*accumulate((min(a, 0) for a in reversed(row)), initial=0)][::-1] for row, _, _ in rows]
    most = [[*accumulate((max(a, 0) for a in reversed(row)), initial=0)][::-1] for row, _, _ in rows]

    def extend(chosen: _Ints, sums: list[int]) -> Iterator[_Ints]:
        trials[0] -= 1
        if trials[0] < 0:
            raise ProofError(step, f"a swap that {MAX_TRIALS} trials settle", "a larger one")
        at = len(chosen)
        for (_, low, high), total, down, up in zip(rows, sums, least, most, strict=True):
            if (high is not None and total + down[at] > high) or (low is not None and total + up[at] < low):
                return
        if at == size:
            yield chosen
            return
        for value in possible[at]:
            yield from extend((*chosen, value), [t + value * row[at] for (row, *_), t in zip(rows, sums, strict=True)])

    yield from extend((), [0] * len(rows))


def coefficients(model: Model, argument: Counting, step: _Ints = ()) -> tuple[dict[int, int], int]:
    """Add up the bases and covers of a counting argument.

    Returns
    -------
    dict of int to int
        The coefficient of each candidate that takes part, dead ones included, zeros left in.
    int
        The slack.

    Raises
    ------
    ProofError
        Refused when a constraint or an exit is not in the model, when a constraint is listed twice on one side, lacks
        the side it is used for, or has a weight that is not a whole number from 1 to `MAX_WEIGHT`; and when there is
        nothing to add up.
    """
    if not argument.bases and not argument.covers and not argument.swaps:
        raise ProofError(step, "at least one base or cover", "an empty sum")
    rules = model.rules
    weights: dict[int, int] = {}
    slack = 0
    for role, sign, side in (("base", -1, argument.bases), ("cover", 1, argument.covers)):
        seen = set()
        for number, weight in side:
            if type(number) is not int or not 0 <= number < len(rules):
                raise ProofError(step, f"a {role} among the constraints of the model", f"constraint {number!r}")
            name, terms, low, high = rules[number]
            if number in seen:
                raise ProofError(step, f"each {role} listed once", f"{name!r} twice")
            seen.add(number)
            if type(weight) is not int or not 1 <= weight <= MAX_WEIGHT:
                raise ProofError(step, f"a whole weight from 1 to {MAX_WEIGHT} for {name!r}", repr(weight))
            bound = low if sign < 0 else high
            if bound is None:
                raise ProofError(step, f"a {role} with a bound on that side", f"{name!r}, which has none")
            signed = sign * weight
            slack += signed * bound
            if not weights:
                weights = {candidate: signed * coefficient for candidate, coefficient in terms}
                continue
            for candidate, coefficient in terms:
                weights[candidate] = weights.get(candidate, 0) + signed * coefficient
    for swap, weight in argument.swaps:
        if not _whole(weight) or not 1 <= weight <= MAX_WEIGHT:
            raise ProofError(step, f"a whole weight from 1 to {MAX_WEIGHT} for a swap", repr(weight))
        slack -= weight
        for candidate in swap.exits:
            _known(model, candidate, step)
            weights[candidate] = weights.get(candidate, 0) - weight
    return weights, slack


def _least(position: Position, weights: dict[int, int]) -> int:
    """Return the least value that a weighted sum of the live candidates can take."""
    live, true = position
    return sum([weight for candidate, weight in weights.items() if (true if weight > 0 else live) >> candidate & 1])


def place(model: Model, position: Position, candidate: int) -> Position:
    """Make a candidate true and clear what its constraints then have no room for (the clearing rule).

    What is true stays live, also where another placement leaves it no room: that is a contradiction yet to be told.
    """
    live, true = position.live | 1 << candidate, position.true | 1 << candidate
    falls = 0
    for number in model.touching[candidate]:
        if model.exclusive[number]:
            falls |= model.masks[number]
        else:
            falls |= _no_room(model.rules[number], live, true)
    return Position(live & ~falls | true, true)


def _no_room(rule: _Rule, live: int, true: int) -> int:
    """Return the open candidates that a constraint alone rules out by its upper bound."""
    _, terms, _, high = rule
    if high is None:
        return 0
    spare = high - _least(Position(live, true), dict(terms))
    return sum(1 << c for c, a in terms if a > max(0, spare) and not true >> c & 1)


def _whole(value: object) -> bool:
    """Whether a value is a plain int (bool is not)."""
    return type(value) is int


def _known(model: Model, candidate: object, step: _Ints) -> None:
    """Refuse a candidate that the model lacks."""
    if type(candidate) is not int or not 0 <= candidate < len(model.names):
        raise ProofError(step, "a candidate of the model", repr(candidate))
