"""Why there is no such pattern: the set, line or wing that was named, and what stands in its way."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from itertools import combinations, permutations, product

from deduce.claims.claim import Claim, Named
from deduce.claims.verdict import Fault, FaultKind
from deduce.kernel import bits
from deduce.positions import united
from deduce.puzzle.grid import Grid
from deduce.puzzle.layout import Layout

__all__ = ["named_fault"]

_SIZES = {"pair": 2, "triple": 3, "quad": 4}
_FISH = {"X-wing": 2, "swordfish": 3, "jellyfish": 4}
_CROSS = {"row": "column", "column": "row"}
_LINES = tuple(_CROSS)


def named_fault(grid: Grid, named: Named, claim: Claim) -> Fault:
    """Say what keeps a named pattern from being there.

    Parameters
    ----------
    grid : Grid
        The position.
    named : Named
        The reason; no proof on the board fits it.
    claim : Claim
        What it is given for; a single is known by what it places.

    Returns
    -------
    Fault
        With every candidate that would have to fall for the pattern to be there; where several readings are possible,
        that with the fewest.  `NOT_THERE` if too little was mentioned to say more.
    """
    found = [_one(grid, name, named, claim) for name in named.names]
    return min(found, key=lambda fault: (fault.kind is FaultKind.NOT_THERE, len(fault.blockers)))


def _one(grid: Grid, name: str, named: Named, claim: Claim) -> Fault:
    """Say what is wrong with one reading of the name."""
    kind, _, what = name.partition(" ")
    fault: Fault | None = None
    if kind == "naked" and what in _SIZES:
        fault = _naked(grid, name, _SIZES[what], named)
    elif kind == "hidden" and what in _SIZES:
        fault = _hidden(grid, name, _SIZES[what], named)
    elif what == "single":
        fault = _single(grid, name, named, claim)
    elif name in _FISH:
        fault = _fish(grid, name, _FISH[name], named)
    elif name.startswith("locked candidates"):
        fault = _locked(grid, name, named)
    elif name in ("skyscraper", "two-string kite"):
        fault = _two_lines(grid, name, named)
    elif name in _WINGS:
        fault = _wing(grid, name, named)
    return fault or Fault(
        FaultKind.NOT_THERE, pattern=name, cells=named.cells, digits=named.digits, houses=named.houses
    )


def _extra_digits(grid: Grid, name: str, wanted: Sequence[tuple[int, Iterable[int]]]) -> Fault:
    """Return the fault of cells that hold more than their digits: the first such cell, and all that is in the way."""
    layout = grid.layout
    blockers: list[int] = []
    first: tuple[int, tuple[int, ...]] | None = None
    for cell, digits in wanted:
        if grid.true & layout.masks[cell]:
            return Fault(FaultKind.PLACED, pattern=name, extras=tuple(bits(grid.true & layout.masks[cell])))
        allowed = sum(1 << layout.number(digit, cell) for digit in digits)
        extras = tuple(bits(grid.live & layout.masks[cell] & ~allowed))
        if extras and first is None:
            first = (layout.cell_constraint(cell), extras)
        blockers += extras
    if first is None:
        return Fault(FaultKind.NOTHING_FALLS, pattern=name)
    return Fault(FaultKind.EXTRA_DIGITS, pattern=name, constraint=first[0], extras=first[1], blockers=tuple(blockers))


def _extra_places(grid: Grid, name: str, wanted: Sequence[tuple[int, int]]) -> Fault:
    """Return the fault of constraints with more candidates than they should have, each given with those allowed."""
    for number, allowed in wanted:
        mask = grid.layout.masks[number]
        if grid.true & mask:
            return Fault(FaultKind.PLACED, pattern=name, constraint=number, extras=tuple(bits(grid.true & mask)))
        if not grid.live & mask & allowed:
            return Fault(FaultKind.NOT_NOTED, pattern=name, constraint=number, extras=tuple(bits(mask & allowed)))
    found = [(number, tuple(bits(grid.live & grid.layout.masks[number] & ~allowed))) for number, allowed in wanted]
    blockers = tuple(sorted({c for _, extras in found for c in extras}))
    for number, extras in found:
        if extras:
            return Fault(FaultKind.EXTRA_PLACES, pattern=name, constraint=number, extras=extras, blockers=blockers)
    return Fault(FaultKind.NOTHING_FALLS, pattern=name)


def _easiest(faults: Iterable[Fault]) -> Fault | None:
    """Return the fault that the fewest eliminations would mend."""
    hopeless = (FaultKind.PLACED, FaultKind.NOT_NOTED, FaultKind.TOO_FEW, FaultKind.NOT_TOGETHER)
    return min(faults, key=lambda one: (one.kind in hopeless, len(one.blockers), one.blockers), default=None)


def _notes(grid: Grid, cell: int) -> set[int]:
    """Return the live digits of a cell."""
    return {c // grid.layout.cells + 1 for c in bits(grid.live & grid.layout.masks[cell])}


def _around(layout: Layout, cells: Iterable[int]) -> list[int]:
    """Return the houses that hold all these cells."""
    inside = sum(1 << cell for cell in cells)
    return [h for h, mask in enumerate(layout.house_masks) if not inside & ~mask]


def _naked(grid: Grid, name: str, size: int, named: Named) -> Fault | None:
    """Look at cells of one house that should hold as many digits between them."""
    cells, digits = named.cells, named.digits
    if not cells:
        return None
    if len(cells) != size or (digits and len(digits) != size):
        return Fault(FaultKind.WRONG_SIZE, pattern=name, needed=size, cells=cells, digits=digits)
    if not _around(grid.layout, cells):
        return Fault(FaultKind.NOT_TOGETHER, pattern=name, cells=cells)
    held = sorted(set().union(*(_notes(grid, cell) for cell in cells)))
    choices: Iterable[Sequence[int]] = [digits] if digits else combinations(held, min(size, len(held)))
    return _easiest(_extra_digits(grid, name, [(cell, chosen) for cell in cells]) for chosen in choices)


def _hidden(grid: Grid, name: str, size: int, named: Named) -> Fault | None:
    """Look at digits of one house that should have as many cells between them."""
    layout, cells, digits = grid.layout, named.cells, named.digits
    if (cells and len(cells) != size) or (digits and len(digits) != size):
        return Fault(FaultKind.WRONG_SIZE, pattern=name, needed=size, cells=cells, digits=digits)
    if not cells or not (digits or named.houses):
        return None
    houses = [h for h in _around(layout, cells) if not named.houses or h in named.houses]
    if not houses:
        return Fault(FaultKind.NOT_TOGETHER, pattern=name, cells=cells, houses=named.houses)
    held = sorted(set().union(*(_notes(grid, cell) for cell in cells)))
    choices: Iterable[Sequence[int]] = [digits] if digits else combinations(held, min(size, len(held)))
    inside = sum(layout.masks[cell] for cell in cells)
    return _easiest(
        _extra_places(grid, name, [(layout.house_constraint(house, digit), inside) for digit in chosen])
        for house, chosen in product(houses, choices)
    )


def _single(grid: Grid, name: str, named: Named, claim: Claim) -> Fault | None:
    """Look at a candidate that should be alone in its cell or in a house."""
    layout = grid.layout
    placed = claim.places or tuple(layout.number(d, cell) for d in named.digits for cell in named.cells)
    if len(placed) != 1:
        return None
    (candidate,) = placed
    if not grid.live >> candidate & 1:
        return Fault(FaultKind.NOT_NOTED, pattern=name, extras=placed, restores=_restorable(grid, placed))
    digit, cell = divmod(candidate, layout.cells)
    if name == "naked single":
        return _extra_digits(grid, name, [(cell, [digit + 1])])
    houses = [h for h in layout.houses_of[cell] if not named.houses or h in named.houses]
    if not houses:
        return Fault(FaultKind.NOT_TOGETHER, pattern=name, cells=(cell,), houses=named.houses)
    only = 1 << candidate
    return _easiest(_extra_places(grid, name, [(layout.house_constraint(h, digit + 1), only)]) for h in houses)


def _restorable(grid: Grid, candidates: Iterable[int]) -> tuple[int, ...]:
    """Return those candidates that only a person's notes rule out."""
    return tuple(c for c in candidates if grid.assumed >> c & 1)


def _fish(grid: Grid, name: str, size: int, named: Named) -> Fault | None:
    """Look at parallel lines whose places for a digit should lie in as many cross lines."""
    layout = grid.layout
    if len(named.digits) != 1:
        return None
    (digit,) = named.digits
    readings = []
    for kind, cross in _CROSS.items():
        lines = [h for h in named.houses if layout.houses[h].kind == kind]
        given = [h for h in named.houses if layout.houses[h].kind == cross]
        if not lines:
            continue
        if len(lines) != size:
            readings.append(Fault(FaultKind.WRONG_SIZE, pattern=name, needed=size, houses=tuple(lines)))
            continue
        across = [h for h, house in enumerate(layout.houses) if house.kind == cross]
        choices: Iterable[Sequence[int]] = [given] if len(given) == size else combinations(across, size)
        constraints = [layout.house_constraint(h, digit) for h in lines]
        for covers in choices:
            allowed = united(layout.masks[layout.house_constraint(h, digit)] for h in covers)
            readings.append(_extra_places(grid, name, [(number, allowed) for number in constraints]))
    right = [fault for fault in readings if fault.kind is not FaultKind.WRONG_SIZE]
    return _easiest(right or readings)


def _locked(grid: Grid, name: str, named: Named) -> Fault | None:
    """Look at a house whose places for a digit should lie in another one."""
    layout = grid.layout
    if len(named.digits) != 1 or not named.houses:
        return None
    (digit,) = named.digits
    pointing = name.endswith("pointing")
    readings = []
    for base, cover in permutations(range(len(layout.houses)), 2):
        kinds = layout.houses[base].kind in _LINES, layout.houses[cover].kind in _LINES
        named_ones = {*named.houses} <= {base, cover} and (len(named.houses) == 2 or base in named.houses)
        if not named_ones or (kinds == (False, True)) != pointing:
            continue
        places = grid.live & layout.masks[layout.house_constraint(base, digit)]
        allowed = layout.masks[layout.house_constraint(cover, digit)]
        if (places & allowed).bit_count() > 1:
            readings.append(_extra_places(grid, name, [(layout.house_constraint(base, digit), allowed)]))
    return _easiest(readings)


def _two_lines(grid: Grid, name: str, named: Named) -> Fault | None:
    """Look at two lines with two places each, one of each in a common cross line or region."""
    layout = grid.layout
    lines = [h for h in named.houses if layout.houses[h].kind in _LINES]
    if len(named.digits) != 1 or len(lines) < 2:
        return None
    kite = name == "two-string kite"
    pairs = [
        pair for pair in combinations(lines, 2) if (layout.houses[pair[0]].kind == layout.houses[pair[1]].kind) != kite
    ]
    if not pairs:
        return Fault(FaultKind.WRONG_SIZE, pattern=name, needed=2, houses=tuple(lines))
    return _easiest(_one_pair(grid, name, pair, named.digits[0], kite=kite) for pair in pairs)


def _one_pair(grid: Grid, name: str, lines: tuple[int, int], digit: int, *, kite: bool) -> Fault:
    """Say what is wrong with two lines that should have two places each for a digit."""
    layout = grid.layout
    numbers = [layout.house_constraint(h, digit) for h in lines]
    places = [bits(grid.live & layout.masks[number]) for number in numbers]
    for number, found in zip(numbers, places, strict=True):
        if len(found) < 2:
            return Fault(FaultKind.TOO_FEW, pattern=name, constraint=number, extras=tuple(found))
    readings = []
    for pair, other in product(combinations(places[0], 2), combinations(places[1], 2)):
        if {*pair} & {*other}:
            continue
        if any(_joined(layout, near, far, region=kite) for near, far in product(pair, other)):
            allowed = [sum(1 << c for c in two) for two in (pair, other)]
            readings.append(_extra_places(grid, name, list(zip(numbers, allowed, strict=True))))
    best = _easiest(readings)
    return best or Fault(FaultKind.NOT_TOGETHER, pattern=name, houses=lines, digits=(digit,))


def _joined(layout: Layout, near: int, far: int, *, region: bool) -> bool:
    """Whether two places share a region, or a row or column."""
    cells = near % layout.cells, far % layout.cells
    return any((layout.houses[h].kind not in _LINES) == region for h in _around(layout, cells))


def _sees(layout: Layout, one: int, other: int) -> bool:
    return bool(layout.neighbours[one] >> other & 1)


_Plan = list[tuple[int, tuple[int, ...]]]


def _xy(layout: Layout, cells: tuple[int, ...], digits: tuple[int, ...], pivots: Iterable[int]) -> Iterator[_Plan]:
    """Yield what an XY-wing would have each cell hold."""
    for pivot in pivots:
        one, other = (cell for cell in cells if cell != pivot)
        if _sees(layout, pivot, one) and _sees(layout, pivot, other):
            for x, y, z in permutations(digits, 3):
                yield [(pivot, (x, y)), (one, (x, z)), (other, (y, z))]


def _xyz(layout: Layout, cells: tuple[int, ...], digits: tuple[int, ...], pivots: Iterable[int]) -> Iterator[_Plan]:
    """Yield what an XYZ-wing would have each cell hold."""
    for plan in _xy(layout, cells, digits, pivots):
        (pivot, (x, y)), (one, (_, z)), pincer = plan
        yield [(pivot, (x, y, z)), (one, (x, z)), pincer]


def _w(_: Layout, cells: tuple[int, ...], digits: tuple[int, ...], __: Iterable[int]) -> Iterator[_Plan]:
    """Yield what a W-wing would have its two pincers hold; its bridge is not looked at here."""
    for pair in combinations(digits, 2):
        yield [(cell, pair) for cell in cells]


_WINGS: dict[str, tuple[int, Callable[..., Iterator[_Plan]]]] = {
    "XY-wing": (3, _xy),
    "XYZ-wing": (3, _xyz),
    "W-wing": (2, _w),
}


def _wing(grid: Grid, name: str, named: Named) -> Fault | None:
    """Look at cells with two or three digits each that see one another in the right way."""
    layout, cells = grid.layout, named.cells
    size, plans = _WINGS[name]
    if not cells:
        return None
    if len(cells) != size:
        return Fault(FaultKind.WRONG_SIZE, pattern=name, needed=size, cells=cells)
    pivots = dict(named.labels).get("pivot", cells)
    held = sorted(set().union(*(_notes(grid, cell) for cell in cells)))
    digits = named.digits if len(named.digits) >= (2 if name == "W-wing" else 3) else tuple(held)
    readings = [
        _extra_digits(grid, name, plan)
        for plan in plans(layout, cells, digits, pivots)
        if all({*wanted} <= _notes(grid, cell) for cell, wanted in plan)
    ]
    best = _easiest(readings)
    if best is not None and not (name == "W-wing" and best.kind is FaultKind.NOTHING_FALLS):
        return best
    if name != "W-wing" and any(sum(_sees(layout, p, c) for c in cells) == 2 for p in pivots):
        return None
    return None if name == "W-wing" else Fault(FaultKind.NOT_TOGETHER, pattern=name, cells=cells)
