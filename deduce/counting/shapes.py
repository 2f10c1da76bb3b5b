"""Names for arguments: what the trade would call a sum, told from its bases and covers alone."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass, replace

from deduce.counting.chain_shape import chain_patterns
from deduce.counting.names import COUNTING, SUPPOSITION
from deduce.kernel import Counting, Inference, Position, Supposition, bits, place
from deduce.patterns import crossing_sets, dead_end, finned_fish, fish, locked, one_rule, singles, subsets, sums, wings
from deduce.patterns.catalogue import NAMES, fault
from deduce.positions import after, united
from deduce.proof import Pattern, Proof, Role
from deduce.puzzle.grid import Grid

__all__ = ["Shape", "argument_fault", "argument_of", "is_base", "name_argument"]

_BASE_CELLS, _COVER_CELLS = "cells to fill", "cells with room"
_BASE_DIGIT, _COVER_DIGIT = "houses that need ", "houses with room for "
_BASE_RULES, _COVER_RULES = "rules to meet", "rules not to exceed"
_COUNTED = ", counted "
_SUPPOSED = "supposed"


@dataclass(frozen=True, slots=True)
class Shape:
    """The parts of a counting argument, by kind.

    Parameters
    ----------
    base_cells, cover_cells : tuple of int
        Cells used as bases and as covers.
    base_houses, cover_houses : tuple of (int, int)
        House and digit (from 1) of the others.
    further : bool
        Whether there are also constraints of rules beyond houses; then only sums and chains have names.
    """

    base_cells: tuple[int, ...]
    base_houses: tuple[tuple[int, int], ...]
    cover_cells: tuple[int, ...]
    cover_houses: tuple[tuple[int, int], ...]
    further: bool

    @classmethod
    def of(cls, grid: Grid, argument: Counting) -> Shape:
        """Return the shape of an argument, weights left aside."""
        cells, layout = grid.layout.cells, grid.layout

        def split(side: Iterable[tuple[int, int]]) -> tuple[tuple[int, ...], tuple[tuple[int, int], ...]]:
            numbers = [number for number, _ in side]
            houses = tuple(place for place in map(layout.house_of, numbers) if place is not None)
            return tuple(n for n in numbers if n < cells), houses

        further = any(number >= layout.exact for side in (argument.bases, argument.covers) for number, _ in side)
        return cls(*split(argument.bases), *split(argument.covers), further)


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
    The names are found by structure: singles, locked candidates, naked and hidden subsets, fish with and without fins,
    wings, Sue de Coq, death blossoms, and chains and loops through single candidates, groups and almost locked sets.

    Examples
    --------
    >>> grid = Grid.parse("12.. 3... .... ...1")
    >>> name_argument(grid, Counting(((5, 1),), ())).name
    'naked single'
    """
    if isinstance(inference, Counting):
        from deduce.kernel import conclusions

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
    shape = Shape.of(grid, argument)
    if inference.contradiction:
        if len(argument.bases) + len(argument.covers) == 1:
            yield Pattern(dead_end.CONTRADICTION)
        return
    found: dict[str, Pattern] = {}
    for read in (_sums, _one_rule, _chains) if shape.further else _READERS:
        for pattern in read(grid, inference, shape):
            if pattern.name not in found and fault(Proof(grid, (inference,), pattern)) is None:
                found[pattern.name] = pattern
            if read is _chains and len(found) > _ENOUGH:
                break
        if found and read in _PLAIN:
            break
    yield from sorted(found.values(), key=lambda pattern: NAMES.index(pattern.name))


def _singles(_: Grid, inference: Inference, shape: Shape) -> Iterator[Pattern]:
    if shape.cover_cells or shape.cover_houses or len(inference.true) != 1:
        return
    placed = Role("placed", "candidates", inference.true)
    if len(shape.base_houses) == 1 and not shape.base_cells:
        yield Pattern(singles.HIDDEN, (placed, Role("house", "houses", (shape.base_houses[0][0],))))
    if len(shape.base_cells) == 1 and not shape.base_houses:
        yield Pattern(singles.NAKED, (placed,))


def _locked(grid: Grid, _: Inference, shape: Shape) -> Iterator[Pattern]:
    if shape.base_cells or shape.cover_cells or len(shape.base_houses) != 1 or len(shape.cover_houses) != 1:
        return
    ((base, digit),), ((cover, other),) = shape.base_houses, shape.cover_houses
    if digit == other:
        here = grid.live & grid.layout.masks[grid.layout.house_constraint(base, digit)]
        roles = (
            Role("digit", "digits", (digit,)),
            Role("base", "houses", (base,)),
            Role("cover", "houses", (cover,)),
            Role("locked", "candidates", tuple(bits(here))),
        )
        yield Pattern(locked.POINTING, roles)
        yield Pattern(locked.CLAIMING, roles)


def _subsets(grid: Grid, _: Inference, shape: Shape) -> Iterator[Pattern]:
    size = len(shape.base_cells) or len(shape.cover_cells)
    word = subsets.SIZES.get(size)
    if word is None:
        return
    if not shape.base_houses and not shape.cover_cells:
        digits = tuple(sorted({digit for _, digit in shape.cover_houses}))
        shared = set.intersection(*({*grid.layout.houses_of[cell]} for cell in shape.base_cells))
        houses = tuple(sorted(shared))
        # A triple with one cover too many is a wing: what falls must lie where all of the cells do.
        if len(digits) == size and houses and {house for house, _ in shape.cover_houses} <= shared:
            roles = (Role("subset", "cells", shape.base_cells), Role("digits", "digits", digits))
            yield Pattern(f"naked {word}", (*roles, Role("houses", "houses", houses)))
    if not shape.base_cells and not shape.cover_houses and len({house for house, _ in shape.base_houses}) == 1:
        digits = tuple(sorted(digit for _, digit in shape.base_houses))
        if len(digits) == size:
            roles = (Role("subset", "cells", shape.cover_cells), Role("digits", "digits", digits))
            yield Pattern(f"hidden {word}", (*roles, Role("house", "houses", (shape.base_houses[0][0],))))


def _fish(grid: Grid, _: Inference, shape: Shape) -> Iterator[Pattern]:
    digits = {digit for _, digit in (*shape.base_houses, *shape.cover_houses)}
    if shape.base_cells or shape.cover_cells or len(digits) != 1:
        return
    (digit,) = digits
    layout = grid.layout
    houses = layout.houses
    lines = tuple(house for house, _ in shape.base_houses)
    regions = tuple(h for h, _ in shape.cover_houses if houses[h].kind not in ("row", "column"))
    across = tuple(house for house, _ in shape.cover_houses if house not in regions)
    if len(lines) != len(across) or len(regions) > 1:
        return
    plane = grid.live & ~grid.true
    inside = united(layout.masks[layout.house_constraint(h, digit)] for h in across)
    places = [c for h in lines for c in bits(plane & layout.masks[layout.house_constraint(h, digit)])]
    roles = (
        Role("digit", "digits", (digit,)),
        Role("base lines", "houses", lines),
        Role("cover lines", "houses", across),
    )
    corners = Role("corners", "candidates", tuple(sorted(c for c in places if inside >> c & 1)))
    if not regions:
        for name, size in fish.SIZES.items():
            if size == len(lines):
                yield Pattern(name, (*roles, corners))
        return
    fins = Role("fins", "candidates", tuple(sorted(c for c in places if not inside >> c & 1)))
    for name, (_kind, size) in finned_fish.KINDS.items():
        if size == len(lines):
            yield Pattern(name, (*roles, Role("region", "houses", regions), corners, fins))


def _wings(grid: Grid, inference: Inference, shape: Shape) -> Iterator[Pattern]:
    """Read cells against the digits in houses as an XYZ-wing, a WXYZ-wing or a Sue de Coq."""
    cells = shape.base_cells
    if shape.base_houses or shape.cover_cells or not len(cells) >= 3 or not inference.false:
        return
    size = grid.layout.cells
    held = {cell: {c // size + 1 for c in bits(grid.live & grid.layout.masks[cell])} for cell in cells}
    digits = sorted(set.union(*held.values()))
    falling = {c // size + 1 for c in inference.false}
    if len(cells) in (3, 4) and len(digits) == len(cells) and len(falling) == 1:
        digit = Role("digit", "digits", tuple(falling))
        if len(cells) == 3:
            for pivot in cells:
                pincers = Role("pincers", "cells", tuple(cell for cell in cells if cell != pivot))
                yield Pattern(wings.XYZ_WING, (Role("pivot", "cells", (pivot,)), pincers, digit))
        else:
            yield Pattern(
                crossing_sets.WXYZ_WING, (Role("wing", "cells", cells), Role("digits", "digits", tuple(digits)), digit)
            )
    yield from _sue_de_coq(grid, shape, held)


def _sue_de_coq(grid: Grid, shape: Shape, held: dict[int, set[int]]) -> Iterator[Pattern]:
    layout = grid.layout
    houses = sorted({house for house, _ in shape.cover_houses})
    lines = [h for h in houses if layout.houses[h].kind in ("row", "column")]
    for line in lines:
        for region in (h for h in houses if h not in lines):
            one, two = set(layout.houses[line].cells), set(layout.houses[region].cells)
            crossing = tuple(cell for cell in shape.base_cells if cell in one & two)
            alone = tuple(cell for cell in shape.base_cells if cell in one - two)
            other = tuple(cell for cell in shape.base_cells if cell in two - one)
            if not crossing or not alone or not other or len(crossing) + len(alone) + len(other) < len(held):
                continue
            first = set.union(*(held[cell] for cell in alone))
            second = set.union(*(held[cell] for cell in other))
            rest = set.union(*held.values()) - first - second
            roles = (
                Role("line", "houses", (line,)),
                Role("region", "houses", (region,)),
                Role("crossing", "cells", crossing),
                Role("line set", "cells", alone),
                Role("region set", "cells", other),
                Role("line digits", "digits", tuple(sorted(first))),
                Role("region digits", "digits", tuple(sorted(second))),
            )
            spare = (Role("crossing digits", "digits", tuple(sorted(rest))),) if rest else ()
            yield Pattern(crossing_sets.SUE_DE_COQ, (*roles, *spare))


def _sums(grid: Grid, inference: Inference, _: Shape) -> Iterator[Pattern]:
    yield from sums.read_sum(grid, inference)


def _one_rule(grid: Grid, inference: Inference, shape: Shape) -> Iterator[Pattern]:
    """Read one constraint of a rule, with what its cells add anyway, as what this rule alone leaves possible."""
    argument = inference.argument
    if not shape.further or not isinstance(argument, Counting):
        return
    rules = [number for number, _ in (*argument.bases, *argument.covers) if number >= grid.layout.exact]
    if len(rules) != 1:
        return
    number = rules[0]
    for upper in (True, False):
        whole, read = one_rule.side_of(grid, number, upper=upper)
        alone = Counting((), ((number, 1),)) if upper else Counting(((number, 1),), ())
        for made, cells in ((alone, ()), (whole, read)):
            if made == argument:
                yield Pattern(one_rule.ONE_RULE, (Role("rule", "constraints", (number,)), Role("read", "cells", cells)))


def _chains(grid: Grid, inference: Inference, _: Shape) -> Iterator[Pattern]:
    argument = inference.argument
    if isinstance(argument, Counting):
        yield from chain_patterns(grid, inference, argument)


_ENOUGH = 8
"""So many different names of chains are compared before the simplest of them is taken."""

_PLAIN = (_singles, _locked, _subsets)
"""Readers of families whose names come first; where one of them reads something, the others are not asked."""

_READERS: tuple[Callable[[Grid, Inference, Shape], Iterable[Pattern]], ...] = (
    *_PLAIN,
    _fish,
    _wings,
    _chains,
)
"""Each reads a shape as the patterns of some families."""


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
    from deduce.kernel import conclusions

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
