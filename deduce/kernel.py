"""The trusted kernel: candidates, constraints, the three arguments, and ``check``.

Everything that this library believes passes through :func:`check`.  The file uses the standard library only, searches
for nothing, and knows nothing of rows, boxes, digits, graphs or drawing.  A *model* is a numbered list of candidates
(0-1 variables) and of linear constraints over them, a *position* says which candidates are still live and which are
known to be true, and an *argument* is one of

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

The clearing rule.  When a candidate becomes true, every candidate for which one of its constraints has no room left
falls.  That is the counting rule with this one constraint as the only cover, so it is applied at once and needs no
words.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from typing import NamedTuple, Protocol

from deduce.errors import ProofError

__all__ = [
    "MAX_DEPTH",
    "MAX_PATTERN",
    "MAX_TRIALS",
    "MAX_WEIGHT",
    "Argument",
    "Checked",
    "Constraint",
    "Counting",
    "Inference",
    "Model",
    "Position",
    "Supposition",
    "Swap",
    "bits",
    "check",
    "coefficients",
    "conclusions",
    "place",
]

MAX_DEPTH = 32
"""How deep suppositions may nest; deeper ones are refused."""

MAX_WEIGHT = 2**31 - 1
"""The largest weight that a base, cover or swap may be given."""

MAX_PATTERN = 64
"""How many candidates the pattern of a swap may have."""

MAX_TRIALS = 100_000
"""How many partial fillings may be tried to verify a swap; a swap that needs more is refused."""


def bits(mask: int) -> list[int]:
    """List the numbers of the set bits of `mask`, lowest first."""
    found = []
    while mask:
        low = mask & -mask
        found.append(low.bit_length() - 1)
        mask ^= low
    return found


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


class Model:
    """Numbered candidates with printable names, and constraints over them.

    Parameters
    ----------
    names : sequence of str
        One printable name for each candidate, all different.
    constraints : sequence of Constraint
        The rules; their names are all different.

    Attributes
    ----------
    masks : tuple of int
        For each constraint the bitset of its candidates, worked out here from its terms.
    touching : tuple of tuple of int
        For each candidate the constraints that it stands in, in order.
    exclusive : tuple of bool
        For each constraint whether it says "at most one of these".

    Raises
    ------
    ValueError
        If a name is used twice, a term names a candidate that does not exist or names it twice, a coefficient is zero,
        or a lower bound exceeds its upper bound.
    """

    __slots__ = ("constraints", "exclusive", "masks", "names", "touching")

    def __init__(self, names: Sequence[str], constraints: Sequence[Constraint]) -> None:
        self.names = tuple(names)
        self.constraints = tuple(constraints)
        if len(set(self.names)) != len(self.names):
            raise ValueError("two candidates of a model have the same name")
        if len({constraint.name for constraint in self.constraints}) != len(self.constraints):
            raise ValueError("two constraints of a model have the same name")
        touching: list[list[int]] = [[] for _ in self.names]
        masks = []
        for number, (name, terms, low, high) in enumerate((c.name, c.terms, c.lower, c.upper) for c in constraints):
            mask = 0
            for candidate, coefficient in terms:
                if not _whole(candidate) or not 0 <= candidate < len(self.names):
                    raise ValueError(f"constraint {name!r} names candidate {candidate!r}, which the model lacks")
                if not _whole(coefficient) or not coefficient or mask >> candidate & 1:
                    raise ValueError(f"constraint {name!r} has a bad term for {self.names[candidate]}")
                mask |= 1 << candidate
                touching[candidate].append(number)
            if not all(bound is None or _whole(bound) for bound in (low, high)):
                raise ValueError(f"constraint {name!r} has a bound that is no whole number")
            if low is not None and high is not None and low > high:
                raise ValueError(f"constraint {name!r} asks for at least {low} and at most {high}")
            masks.append(mask)
        self.masks = tuple(masks)
        self.touching = tuple(map(tuple, touching))
        self.exclusive = tuple(all(a == 1 for _, a in c.terms) and c.upper == 1 for c in self.constraints)

    def __repr__(self) -> str:
        return f"<Model of {len(self.names)} candidates under {len(self.constraints)} constraints>"


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


class Checked:
    """The kernel's word that a proof holds; only :func:`check` makes one.

    Attributes
    ----------
    before, after : Position
        The position that the proof starts from, and the one it leads to with placements cleared.
    contradiction : bool
        Whether the proof shows that `before` has no solution.
    """

    __slots__ = ("after", "before", "contradiction")

    def __init__(self, key: object, before: Position, after: Position, contradiction: bool) -> None:
        if key is not _KEY:
            raise TypeError("only deduce.check makes Checked objects")
        self.before = before
        self.after = after
        self.contradiction = contradiction

    def __eq__(self, other: object) -> bool:
        if not isinstance(other, Checked):
            return NotImplemented
        mine = (self.before, self.after, self.contradiction)
        return mine == (other.before, other.after, other.contradiction)

    def __hash__(self) -> int:
        return hash((self.before, self.after, self.contradiction))

    def __repr__(self) -> str:
        if self.contradiction:
            return "<Checked: the position has no solution>"
        gone = (self.before.live & ~self.after.live).bit_count()
        placed = (self.after.true & ~self.before.true).bit_count()
        return f"<Checked: {placed} placed, {gone} eliminated or cleared>"


_KEY = object()


def check(grid: _Grid, proof: _Proof) -> Checked:
    """Verify a proof in a position, searching for nothing.

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
    The cost is linear in the size of the proof; pattern and roles of the proof are not looked at.
    """
    before = Position(grid.live, grid.true)
    every = (1 << len(grid.model.names)) - 1
    if not _whole(before.live) or not _whole(before.true) or before.live & ~every or before.true & ~before.live:
        raise ProofError((), "live candidates of the model, the true ones among them", "a position that is neither")
    if not proof.inferences:
        raise ProofError((), "at least one inference", "none")
    after, contradiction = _advance(grid, before, proof.inferences, ())
    return Checked(_KEY, before, after, contradiction)


def _advance(
    grid: _Grid, position: Position, inferences: Sequence[Inference], path: tuple[int, ...]
) -> tuple[Position, bool]:
    """Follow inferences from a position; say where they lead and whether they end in a contradiction."""
    for number, inference in enumerate(inferences, 1):
        step = (*path, number)
        _verify(grid, position, inference, step)
        if inference.contradiction:
            if number < len(inferences):
                raise ProofError(step, "the contradiction to be the last inference", f"{len(inferences)} inferences")
            return position, True
        live = position.live
        for candidate in inference.false:
            live &= ~(1 << candidate)
        position = Position(live, position.true)
        for candidate in inference.true:
            position = place(grid.model, position, candidate)
    return position, False


def _verify(grid: _Grid, position: Position, inference: Inference, step: tuple[int, ...]) -> None:
    """Raise ProofError unless `inference` holds in `position`."""
    model = grid.model
    concluded = (*inference.false, *inference.true)
    for candidate in concluded:
        _known(model, candidate, step)
    if len(set(concluded)) != len(concluded):
        raise ProofError(step, "each candidate concluded once", "one concluded twice")
    for candidate in concluded:
        if not position.live >> candidate & 1:
            raise ProofError(step, f"{model.names[candidate]} still live", "a candidate that is already gone")
        if position.true >> candidate & 1:
            raise ProofError(step, f"{model.names[candidate]} still open", "a candidate that is already placed")
    argument = inference.argument
    if isinstance(argument, Swap):
        argument = Counting((), (), ((argument, 1),))
    if isinstance(argument, Counting):
        _verify_counting(grid, position, inference, argument, step)
    elif isinstance(argument, Supposition):
        _verify_supposition(grid, position, inference, argument, step)
    else:
        raise ProofError(step, "a counting argument, a supposition or a swap", type(argument).__name__)


def _verify_counting(
    grid: _Grid, position: Position, inference: Inference, argument: Counting, step: tuple[int, ...]
) -> None:
    """Refuse unless the sum of bases, covers and swaps yields every conclusion."""
    model = grid.model
    weights, slack = coefficients(model, argument, step)
    for swap, _ in argument.swaps:
        _verify_swap(grid, position, swap, step)
    least = _least(position, weights)
    if inference.contradiction and least <= slack:
        raise ProofError(step, f"a sum that cannot stay within {slack}", f"a sum that can be {least}")
    for candidate in inference.false:
        weight = weights.get(candidate, 0)
        if weight <= 0 or least + weight <= slack:
            got = f"a sum of at least {least}, in which it weighs {weight}, with room for {slack}"
            raise ProofError(step, f"no room for {model.names[candidate]}", got)
    for candidate in inference.true:
        weight = weights.get(candidate, 0)
        if weight >= 0 or least - weight <= slack:
            got = f"a sum of at least {least}, in which it weighs {weight}, with room for {slack}"
            raise ProofError(step, f"no way without {model.names[candidate]}", got)


def _verify_supposition(
    grid: _Grid, position: Position, inference: Inference, argument: Supposition, step: tuple[int, ...]
) -> None:
    """Refuse unless supposing the candidate leads to a contradiction, and only its falsehood is concluded."""
    model = grid.model
    if len(step) > MAX_DEPTH:
        raise ProofError(step, f"suppositions nested at most {MAX_DEPTH} deep", "a deeper one")
    candidate = argument.candidate
    _known(model, candidate, step)
    if inference.true or inference.false != (candidate,):
        raise ProofError(step, f"the conclusion that {model.names[candidate]} is false", "another conclusion")
    _, contradiction = _advance(grid, place(model, position, candidate), argument.inferences, step)
    if not contradiction:
        raise ProofError(step, f"a contradiction from {model.names[candidate]}", "inferences that end without one")


def _verify_swap(grid: _Grid, position: Position, swap: Swap, step: tuple[int, ...]) -> None:
    """Refuse unless every filling that the pattern can have without an exit can be exchanged for another one."""
    model = grid.model
    named = (*swap.pattern, *swap.exits)
    for candidate in named:
        _known(model, candidate, step)
    if len(set(named)) != len(named):
        raise ProofError(step, "each candidate of a swap named once", "one named twice")
    if len(swap.pattern) > MAX_PATTERN:
        raise ProofError(step, f"a swap over at most {MAX_PATTERN} candidates", str(len(swap.pattern)))
    for candidate in swap.pattern:
        if grid.givens >> candidate & 1:
            raise ProofError(step, "a swap over candidates that are not given", model.names[candidate])
    # Candidates of one constraint stand together, so that a filling that breaks it is dropped early.
    pattern = sorted(swap.pattern, key=lambda c: (model.touching[c], c))
    rows = []
    for number in sorted({number for c in pattern for number in model.touching[c]}):
        constraint = model.constraints[number]
        terms = dict(constraint.terms)
        outside = [(c, a) for c, a in constraint.terms if c not in named and position.live >> c & 1]
        fixed = sum(a for c, a in outside if position.true >> c & 1)
        loose = [a for c, a in outside if not position.true >> c & 1]
        low = -_ENDLESS if constraint.lower is None else constraint.lower - fixed - sum(a for a in loose if a > 0)
        high = _ENDLESS if constraint.upper is None else constraint.upper - fixed - sum(a for a in loose if a < 0)
        rows.append(([terms.get(c, 0) for c in pattern], low, high))
    possible = [(1,) if position.true >> c & 1 else (0, 1) if position.live >> c & 1 else (0,) for c in pattern]
    trials = [MAX_TRIALS]
    for filling in _fillings(rows, possible, trials, step):
        totals = [sum(a for a, value in zip(row, filling, strict=True) if value) for row, _, _ in rows]
        same = [(row, total, total) for (row, _, _), total in zip(rows, totals, strict=True)]
        if all(other == filling for other in _fillings(same, [(0, 1)] * len(pattern), trials, step)):
            chosen = " ".join(model.names[c] for c, value in zip(pattern, filling, strict=True) if value)
            raise ProofError(step, "another filling for each one without an exit", f"{chosen or 'none'} alone")


_ENDLESS = 2**63


def _fillings(
    rows: list[tuple[list[int], int, int]],
    possible: Sequence[tuple[int, ...]],
    trials: list[int],
    step: tuple[int, ...],
) -> Iterator[tuple[int, ...]]:
    """Yield each choice of 0 or 1 for the pattern's candidates that keeps every row within its bounds."""
    size = len(possible)
    least = [[sum(a for a in row[i:] if a < 0) for i in range(size + 1)] for row, _, _ in rows]
    most = [[sum(a for a in row[i:] if a > 0) for i in range(size + 1)] for row, _, _ in rows]

    def extend(chosen: tuple[int, ...], sums: list[int]) -> Iterator[tuple[int, ...]]:
        trials[0] -= 1
        if trials[0] < 0:
            raise ProofError(step, f"a swap that {MAX_TRIALS} trials settle", "a larger one")
        at = len(chosen)
        for (_, low, high), total, down, up in zip(rows, sums, least, most, strict=True):
            if total + down[at] > high or total + up[at] < low:
                return
        if at == size:
            yield chosen
            return
        for value in possible[at]:
            further = [total + value * row[at] for (row, _, _), total in zip(rows, sums, strict=True)]
            yield from extend((*chosen, value), further)

    yield from extend((), [0] * len(rows))


def coefficients(model: Model, argument: Counting, step: tuple[int, ...] = ()) -> tuple[dict[int, int], int]:
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
        Refused when a constraint is not in the model, is listed twice on one side, lacks the side it is used for, or
        has a weight that is not a whole number from 1 to `MAX_WEIGHT`; and when there is nothing to add up.
    """
    if not argument.bases and not argument.covers and not argument.swaps:
        raise ProofError(step, "at least one base or cover", "an empty sum")
    weights: dict[int, int] = {}
    slack = 0
    for role, sign, side in (("base", -1, argument.bases), ("cover", 1, argument.covers)):
        seen = set()
        for number, weight in side:
            if not _whole(number) or not 0 <= number < len(model.constraints):
                raise ProofError(step, f"a {role} among the constraints of the model", f"constraint {number!r}")
            constraint = model.constraints[number]
            if number in seen:
                raise ProofError(step, f"each {role} listed once", f"{constraint.name!r} twice")
            seen.add(number)
            if not _whole(weight) or not 1 <= weight <= MAX_WEIGHT:
                raise ProofError(step, f"a whole weight from 1 to {MAX_WEIGHT} for {constraint.name!r}", repr(weight))
            bound = constraint.lower if sign < 0 else constraint.upper
            if bound is None:
                raise ProofError(step, f"a {role} with a bound on that side", f"{constraint.name!r}, which has none")
            signed = sign * weight
            slack += signed * bound
            for candidate, coefficient in constraint.terms:
                weights[candidate] = weights.get(candidate, 0) + signed * coefficient
    for swap, weight in argument.swaps:
        if not _whole(weight) or not 1 <= weight <= MAX_WEIGHT:
            raise ProofError(step, f"a whole weight from 1 to {MAX_WEIGHT} for a swap", repr(weight))
        slack -= weight
        for candidate in swap.exits:
            weights[candidate] = weights.get(candidate, 0) - weight
    return weights, slack


def _least(position: Position, weights: dict[int, int]) -> int:
    """Return the least value that a weighted sum of the live candidates can take."""
    live, true = position
    least = 0
    for candidate, weight in weights.items():
        if weight < 0:
            if live >> candidate & 1:
                least += weight
        elif weight and true >> candidate & 1:
            least += weight
    return least


def conclusions(model: Model, position: Position, argument: Counting) -> Inference | None:
    """Return the strongest inference that a counting argument supports in a position, or None if it proves nothing.

    Examples
    --------
    Two strong links and a weak one, ``a = b - c = d``, with ``z`` in conflict with both ends:

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
    least = _least(position, weights)
    if least > slack:
        return Inference(argument)
    spare = slack - least
    open_ = position.live & ~position.true
    false = [c for c, weight in weights.items() if weight > spare and open_ >> c & 1]
    true = [c for c, weight in weights.items() if -weight > spare and open_ >> c & 1]
    if not false and not true:
        return None
    return Inference(argument, tuple(sorted(false)), tuple(sorted(true)))


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
            falls |= _no_room(model.constraints[number], live, true)
    return Position(live & ~falls | true, true)


def _no_room(constraint: Constraint, live: int, true: int) -> int:
    """Return the open candidates that a constraint alone rules out by its upper bound."""
    if constraint.upper is None:
        return 0
    least = sum(a for c, a in constraint.terms if (true if a > 0 else live) >> c & 1)
    spare = constraint.upper - least
    falls: Iterable[int] = (c for c, a in constraint.terms if a > 0 and a > spare and not true >> c & 1)
    return sum(1 << c for c in falls)


def _whole(value: object) -> bool:
    """Whether a value is a plain int (bool is not)."""
    return type(value) is int


def _known(model: Model, candidate: object, step: tuple[int, ...]) -> None:
    """Refuse a candidate that the model lacks."""
    if type(candidate) is not int or not 0 <= candidate < len(model.names):
        raise ProofError(step, "a candidate of the model", repr(candidate))
