"""Which other names fit a deduction: a chain read as each of the patterns that are chains."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from itertools import chain as joined
from itertools import combinations, product

from deduce.kernel import bits
from deduce.links import almost_locked_sets, argue_chain, build_chain
from deduce.patterns import almost_locked, chains, crossing_sets, empty_rectangle, remote_pairs, set_chains, two_lines
from deduce.patterns import wings as wing_patterns
from deduce.patterns.chain_fault import set_cells
from deduce.patterns.finder import Finder
from deduce.proof import Chain, Link, Pattern, Proof, Role
from deduce.puzzle.grid import Grid

__all__ = ["fitting", "readings"]

_CHAINED: dict[str, Finder] = {
    name: finder
    for module in (almost_locked, chains, empty_rectangle, remote_pairs, set_chains, two_lines, wing_patterns)
    for finder in module.FINDERS.values()
    for name in finder.names
}
_SPREAD = (wing_patterns.XYZ_WING, crossing_sets.WXYZ_WING)


def fitting(grid: Grid, proof: Proof) -> set[str]:
    """Return the names that the deduction of a proof fits, besides its own.

    A chain fits a name if, read from one end or the other, it is what the name says.  An XYZ-wing or WXYZ-wing fits
    ALS-XZ if its cells are two almost locked sets from which the same candidates fall.
    """
    pattern = proof.pattern
    if pattern.chain:
        return {*readings(grid, pattern.chain)} - {pattern.name}
    if pattern.name in _SPREAD:
        return {*_true(grid, _as_two_sets(grid, proof))}
    return set()


def readings(grid: Grid, chain: Chain) -> dict[str, Pattern]:
    """Return the names that a chain fits, each with the pattern that it then is."""
    return _true(grid, _readings(grid, chain))


def _true(grid: Grid, patterns: Iterable[Pattern]) -> dict[str, Pattern]:
    """Return the patterns that are what their names say, the first of each name."""
    found: dict[str, Pattern] = {}
    for pattern in patterns:
        if pattern.name not in found and _CHAINED[pattern.name].fault(grid, pattern) is None:
            found[pattern.name] = pattern
    return found


def _readings(grid: Grid, chain: Chain) -> Iterator[Pattern]:
    """Yield what a chain could be called, with the roles that it would then have; not all of it is true."""
    cells = grid.layout.cells
    digits = [node[0] // cells + 1 for node in chain.nodes]
    first = Role("digit", "digits", (digits[0],))
    broad = set_chains.set_chain_name(grid, chain)
    if broad is None:
        if chain.loop:
            yield Pattern(chains.LOOP, (), chain)
        else:
            returns = chain.nodes[0] == chain.nodes[-1]
            yield Pattern(chains.named_by_ends(digits[0], digits[-1], returns=returns), (), chain)
            if len(set(digits)) == 1:
                yield Pattern(chains.X_CHAIN, (first,), chain)
            if all(link.constraints[0] < cells for link in chain.links[::2]):
                yield Pattern(chains.XY_CHAIN, (first,), chain)
    else:
        roles = () if not set_cells(chain) else (Role("set cells", "cells", set_cells(chain)),)
        if broad == set_chains.GROUPED_X_CHAIN:
            roles = (first,)
            yield Pattern(set_chains.GROUPED_CHAIN, (), chain)
        yield Pattern(broad, roles, chain)
    ways = [chain] if chain.loop else [chain, Chain(chain.nodes[::-1], chain.links[::-1])]
    for way in ways:
        if not chain.loop and len(chain.nodes) == 4 and len(set(digits)) == 1:
            yield from _on_one_digit(grid, way, first)
        if len(chain.nodes) in (4, 6):
            yield from _through_sets(way, [node[0] // cells + 1 for node in way.nodes], cells)
    if not chain.loop and broad is None:
        yield from _through_cells(grid, chain, digits)


def _houses(grid: Grid, link: Link) -> list[int]:
    """Return the houses in which a link lies."""
    layout = grid.layout
    found = map(layout.house_of, link.constraints)
    return [place[0] for place in found if place is not None]


def _on_one_digit(grid: Grid, chain: Chain, digit: Role) -> Iterator[Pattern]:
    """Read a chain of four nodes as a skyscraper, a kite or an empty rectangle."""
    layout = grid.layout
    one, joint, other = (_houses(grid, link) for link in chain.links)
    arms = [h for h in layout.houses_of[chain.nodes[0][0] % layout.cells] if layout.houses[h].kind in ("row", "column")]
    single = all(len(node) == 1 for node in chain.nodes)
    for line, middle, second in product(one, joint, other):
        if single:
            lines = Role("lines", "houses", (line, second))
            yield Pattern(two_lines.SKYSCRAPER, (digit, lines, Role("cross line", "houses", (middle,))), chain)
            yield Pattern(two_lines.KITE, (digit, lines, Role("region", "houses", (middle,))), chain)
        for arm in () if single else arms:
            roles = (
                digit,
                Role("region", "houses", (line,)),
                Role("arms", "houses", (arm, middle)),
                Role("line", "houses", (second,)),
            )
            yield Pattern(empty_rectangle.EMPTY_RECTANGLE, roles, chain)


def _through_cells(grid: Grid, chain: Chain, digits: Sequence[int]) -> Iterator[Pattern]:
    """Read a chain of single candidates as an XY-wing, a W-wing or remote pairs."""
    layout = grid.layout
    cells = [node[0] % layout.cells for node in chain.nodes]
    digit = Role("digit", "digits", (digits[0],))
    if len(cells) == 6 and cells[0] == cells[1] and cells[4] == cells[5]:
        pincers = Role("pincers", "cells", (cells[0], cells[-1]))
        yield Pattern(wing_patterns.XY_WING, (Role("pivot", "cells", (cells[2],)), pincers, digit), chain)
        for house in _houses(grid, chain.links[2]):
            yield Pattern(wing_patterns.W_WING, (pincers, Role("bridge", "houses", (house,)), digit), chain)
    if len(cells) >= 8 and len(set(digits)) == 2:
        roles = (Role("digits", "digits", tuple(sorted(set(digits)))), Role("cells", "cells", tuple(cells[::2])))
        yield Pattern(remote_pairs.REMOTE_PAIRS, roles, chain)


def _through_sets(chain: Chain, digits: Sequence[int], cells: int) -> Iterator[Pattern]:
    """Read a chain of four or six nodes as one through almost locked sets, of which some may be single cells."""
    if any(not link.covers and min(link.constraints) >= cells for link in chain.links[::2]):
        return
    sets = [link.constraints if link.covers else link.constraints[:1] for link in chain.links[::2]]
    ends = Role("digit", "digits", (digits[0],))
    if len(sets) == 2:
        parts = (Role("first set", "cells", sets[0]), Role("second set", "cells", sets[1]))
        if chain.loop:
            both = Role("common digits", "digits", (digits[1], digits[0]))
            yield Pattern(almost_locked.DOUBLY_LINKED, (*parts, both), chain)
        else:
            yield Pattern(almost_locked.ALS_XZ, (*parts, Role("common digit", "digits", (digits[1],)), ends), chain)
    elif not chain.loop:
        names = ("first set", "pivot set", "second set")
        parts3 = tuple(Role(name, "cells", held) for name, held in zip(names, sets, strict=True))
        commons = Role("common digits", "digits", (digits[1], digits[3]))
        yield Pattern(almost_locked.ALS_XY_WING, (*parts3, commons, ends), chain)


def _as_two_sets(grid: Grid, proof: Proof) -> Iterator[Pattern]:
    """Read a wing of three or four cells as two almost locked sets."""
    pattern, layout = proof.pattern, grid.layout
    wing = sorted((*pattern.role("pivot"), *pattern.role("pincers"), *pattern.role("wing")))
    (z,) = pattern.role("digit")
    open_ = grid.live & ~grid.true & sum(layout.masks[cell] for cell in wing)
    known = {one.cells: one for one in almost_locked_sets(layout, open_)}
    gone = {c for inference in proof.inferences for c in inference.false}
    splits = joined.from_iterable(combinations(wing, size) for size in range(1, len(wing) // 2 + 1))
    for part in splits:
        one, other = known.get(part), known.get(tuple(cell for cell in wing if cell not in part))
        if one is None or other is None or z not in one.digits or z not in other.digits:
            continue
        for x in one.digits:
            if x == z or x not in other.digits:
                continue
            sides = ((one, z), (one, x), (other, x), (other, z))
            nodes = [tuple(bits(almost_locked.places_of(*side))) for side in sides]
            chain = build_chain(layout, grid.live, nodes, almost=(one, other))
            if all(link.constraints for link in chain.links) and gone == _falls(grid, chain):
                yield from _through_sets(chain, [z, x, x, z], layout.cells)
                yield Pattern(set_chains.SET_CHAIN, (Role("set cells", "cells", set_cells(chain)),), chain)


def _falls(grid: Grid, chain: Chain) -> set[int]:
    """Return what a chain eliminates."""
    return {c for inference in argue_chain(grid, grid.layout, chain) for c in inference.false}
