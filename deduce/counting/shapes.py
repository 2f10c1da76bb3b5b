"""Names for arguments: what the trade would call a sum, told from its bases and covers alone."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from deduce.counting.names import COUNTING, SUPPOSITION
from deduce.kernel import Counting, Inference, Position, Supposition, place
from deduce.patterns.catalogue import fault
from deduce.patterns.chain_shape import chain_patterns
from deduce.patterns.families import CATALOGUE, CONTRADICTION, NAMES
from deduce.patterns.shape import ShapeReading, SumShape
from deduce.positions import after
from deduce.proof import Pattern, Proof, Role
from deduce.puzzle.grid import Grid

__all__ = ["argument_fault", "argument_of", "is_base", "name_argument"]

_BASE_CELLS, _COVER_CELLS = "cells to fill", "cells with room"
_BASE_DIGIT, _COVER_DIGIT = "houses that need ", "houses with room for "
_BASE_RULES, _COVER_RULES = "rules to meet", "rules not to exceed"
_COUNTED = ", counted "
_SUPPOSED = "supposed"


def name_argument(grid: Grid, inference: Inference | Counting) -> Pattern:
    """Return what the trade would call an argument, with the roles of its cells, houses, digits and candidates.

    Parameters
    ----------
    grid : Grid
        The position.
    inference : Inference or Counting
        The argument; from a counting argument alone everything that it concludes is taken.

    Returns
    -------
    Pattern
        Under the first name of the catalogue that fits, and whose definition holds in the position; else
        ``"counting argument"``, with roles that tell its bases and covers; or ``"supposition"``, with the patterns of
        the inferences under it in `inner`.

    Notes
    -----
    The names are found by structure: each family of the catalogue reads the bases and covers as its patterns, and what
    can be ordered as a chain or loop is read as each of the patterns that are chains.

    Examples
    --------
    >>> grid = Grid.parse("12.. 3... .... ...1")
    >>> name_argument(grid, Counting(((5, 1),), ())).name
    'naked single'
    """
    if isinstance(inference, Counting):
        from deduce.positions import conclusions

        concluded = conclusions(grid.model, Position(grid.live, grid.true), inference)
        inference = concluded or Inference(inference)
    argument = inference.argument
    if isinstance(argument, Supposition):
        return _supposition(grid, argument)
    if not isinstance(argument, Counting) or argument.swaps:
        kind = "a counting argument with swaps" if isinstance(argument, Counting) else f"a {type(argument).__name__}"
        raise TypeError(f"only sums of rules and suppositions have names by shape, not {kind}")
    for pattern in _readings(grid, inference, argument):
        return pattern
    return Pattern(COUNTING, tuple(_roles(grid, argument)))


def _supposition(grid: Grid, argument: Supposition) -> Pattern:
    """Name what stands under a supposition, each inference in the position that the ones before it left."""
    position = place(grid.model, Position(grid.live, grid.true), argument.candidate)
    inner = []
    for inference in argument.inferences:
        inner.append(name_argument(grid.moved(position), inference))
        position = after(grid.model, position, inference)
    return Pattern(SUPPOSITION, (Role(_SUPPOSED, "candidates", (argument.candidate,)),), inner=tuple(inner))


def _readings(grid: Grid, inference: Inference, argument: Counting) -> Iterator[Pattern]:
    """Yield the patterns that an argument is, those of the simplest names first."""
    if inference.contradiction:
        if len(argument.bases) + len(argument.covers) == 1:
            yield Pattern(CONTRADICTION.names[0])
        return
    shape = SumShape.of(grid, argument)
    found: dict[str, Pattern] = {}

    def keep(pattern: Pattern) -> None:
        if pattern.name not in found and fault(Proof(grid, (inference,), pattern)) is None:
            found[pattern.name] = pattern

    for reading in _READINGS:
        if reading.beyond in (None, shape.further):
            for pattern in reading.read(grid, inference, shape):
                keep(pattern)
            if found and reading.settles:
                break
    else:
        for pattern in chain_patterns(grid, inference, argument):
            keep(pattern)
            if len(found) > _ENOUGH:
                break
    yield from sorted(found.values(), key=lambda pattern: NAMES.index(pattern.name))


_ENOUGH = 8
"""So many different names are compared before the simplest of them is taken."""

_READINGS = tuple(dict.fromkeys(family.reads for family in CATALOGUE if isinstance(family.reads, ShapeReading)))
"""How sums are read, in the order of the catalogue; chains, which take longest, come behind."""


def _roles(grid: Grid, argument: Counting) -> Iterator[Role]:
    """Tell bases and covers as roles: cells, houses by digit, and further rules; what counts more often says so."""
    layout = grid.layout
    cells, symbols = layout.cells, layout.symbols
    for side, cell_role, digit_role, rule_role in (
        (argument.bases, _BASE_CELLS, _BASE_DIGIT, _BASE_RULES),
        (argument.covers, _COVER_CELLS, _COVER_DIGIT, _COVER_RULES),
    ):
        for times in sorted({weight for _, weight in side}):
            numbers = [number for number, weight in side if weight == times]
            often = "" if times == 1 else f"{_COUNTED}{times}"
            inside = tuple(number for number in numbers if number < cells)
            if inside:
                yield Role(f"{cell_role}{often}", "cells", inside)
            places = [place for place in map(layout.house_of, numbers) if place is not None]
            for digit in range(1, layout.order + 1):
                houses = tuple(house for house, its in places if its == digit)
                if houses:
                    yield Role(f"{digit_role}{symbols[digit - 1]}{often}", "houses", houses)
            rules = tuple(number for number in numbers if number >= layout.exact)
            if rules:
                yield Role(f"{rule_role}{often}", "constraints", rules)


def argument_of(grid: Grid, pattern: Pattern) -> Counting:
    """Return the counting argument that the roles of a `counting argument` tell.

    Raises
    ------
    ValueError
        If a role is none that such a pattern has.
    """
    layout = grid.layout
    sides: dict[bool, dict[int, int]] = {True: {}, False: {}}
    for role in pattern.roles:
        name, _, often = role.name.partition(_COUNTED)
        if often and not (often.isascii() and often.isdigit()):
            raise ValueError(f"a counting argument has no role {role.name!r}")
        weight = int(often or 1)
        base = name in (_BASE_CELLS, _BASE_RULES) or name.startswith(_BASE_DIGIT)
        if name in (_BASE_CELLS, _COVER_CELLS):
            numbers = [layout.cell_constraint(cell) for cell in role.items]
        elif name in (_BASE_RULES, _COVER_RULES):
            numbers = [*role.items]
        elif name.startswith((_BASE_DIGIT, _COVER_DIGIT)):
            symbol = name.removeprefix(_BASE_DIGIT).removeprefix(_COVER_DIGIT)
            digit = layout.symbols.index(symbol) + 1
            numbers = [layout.house_constraint(house, digit) for house in role.items]
        else:
            raise ValueError(f"a counting argument has no role {role.name!r}")
        for number in numbers:
            sides[base][number] = sides[base].get(number, 0) + weight
    return Counting(tuple(sorted(sides[True].items())), tuple(sorted(sides[False].items())))


def is_base(role: Role) -> bool | None:
    """Whether a role of a `counting argument` tells bases; None if it tells neither bases nor covers.

    Examples
    --------
    >>> is_base(Role("cells to fill", "cells", (1,))), is_base(Role("houses with room for 5, counted 2", "houses", ()))
    (True, False)
    """
    if role.name.startswith((_BASE_CELLS, _BASE_DIGIT, _BASE_RULES)):
        return True
    return False if role.name.startswith((_COVER_CELLS, _COVER_DIGIT, _COVER_RULES)) else None


def argument_fault(grid: Grid, pattern: Pattern) -> str | None:
    """Say what about a `counting argument` or a `supposition` is not as its name says, or None.

    Parameters
    ----------
    grid : Grid
        The position.
    pattern : Pattern
        Its roles are read, and for a supposition whether its candidate is open.
    """
    if pattern.name == SUPPOSITION:
        (candidate,) = pattern.role(_SUPPOSED)
        if not (grid.live & ~grid.true) >> candidate & 1:
            return f"{grid.model.names[candidate]} is not open"
        return None
    from deduce.positions import conclusions

    try:
        argument = argument_of(grid, pattern)
    except ValueError as error:
        return str(error)
    if conclusions(grid.model, Position(grid.live, grid.true), argument) is None:
        return "the sum of its parts concludes nothing"
    return None


def proof_of(grid: Grid, inference: Inference, *, proved_smallest: bool = False) -> Proof:
    """Return the proof of one inference, named by its shape."""
    proof = Proof(grid, (inference,), name_argument(grid, inference))
    if proved_smallest and isinstance(inference.argument, Counting):
        return replace(proof, proved_smallest=True)
    return proof
