"""Strong and weak links of a position as bitsets."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field

from deduce.links.sets import AlmostLocked, almost_locked_sets, constraints_holding, shape_of, splits
from deduce.positions import bits
from deduce.puzzle.grid import Grid

__all__ = ["Links", "all_links", "cell_links", "set_links", "strong_links"]


@dataclass(frozen=True, slots=True)
class Links:
    """The links that a kind of chain may use.

    Nodes are numbered: those of one candidate as the model numbers it, then those of several, which are true when one
    of their candidates is.

    Parameters
    ----------
    live : int
        Bitset of the nodes that take part.
    strong : dict of int to int
        For each node that has a strong link the bitset of its partners: one of the two is true.
    weak : sequence of int
        For each node the bitset of those that cannot be true together with it (dead ones included).
    sets : tuple of int
        For each node of several candidates their bitset, ascending.
    plain : dict of int to int
        The part of `strong` that needs no almost locked set of several cells; the same object where there is none.
    almost : tuple of AlmostLocked
        The almost locked sets of two or more cells behind the other strong links, the smallest first.
    sides : tuple of tuple of int
        For each of them the nodes that it links, any two of them strongly.

    Attributes
    ----------
    active : int
        Bitset of the nodes that have a strong link.
    """

    live: int
    strong: dict[int, int]
    weak: Sequence[int]
    sets: tuple[int, ...] = ()
    plain: dict[int, int] = field(default_factory=dict)
    almost: tuple[AlmostLocked, ...] = ()
    sides: tuple[tuple[int, ...], ...] = ()
    active: int = field(init=False)

    def __post_init__(self) -> None:
        active = 0
        for node in self.strong:
            active |= 1 << node
        object.__setattr__(self, "active", active)

    @property
    def singles(self) -> int:
        """How many node numbers stand for single candidates; also the number of the first node of several."""
        return len(self.weak) - len(self.sets)

    def members(self, node: int) -> tuple[int, ...]:
        """Return the candidates of a node, ascending."""
        first = self.singles
        return (node,) if node < first else tuple(bits(self.sets[node - first]))

    def mask(self, node: int) -> int:
        """Return the candidates of a node as a bitset."""
        first = self.singles
        return 1 << node if node < first else self.sets[node - first]

    def only_singles(self, nodes: int) -> int:
        """Return the nodes of one candidate among these."""
        return nodes & ((1 << self.singles) - 1)


def strong_links(live: int, masks: Iterable[int]) -> tuple[dict[int, int], int]:
    """Return the partners of each candidate that is one of two left of a mask, and the bitset of these candidates."""
    strong: dict[int, int] = {}
    active = 0
    for mask in masks:
        here = live & mask
        rest = here & (here - 1)
        if rest and not rest & (rest - 1):
            first = here ^ rest
            a, b = first.bit_length() - 1, rest.bit_length() - 1
            strong[a] = strong.get(a, 0) | rest
            strong[b] = strong.get(b, 0) | first
            active |= here
    return strong, active


def _links(live: int, masks: Iterable[int], weak: Sequence[int]) -> Links:
    """Return the links between single candidates, the strong ones from the masks that have two live candidates."""
    strong = dict(sorted(strong_links(live, masks)[0].items()))
    return Links(live, strong, weak, (), strong)


def _choices(grid: Grid, digit: int | None = None) -> Sequence[int]:
    """Return the bitsets of the constraints "at least one of these" that may have two candidates left.

    Unlike an exact one, a constraint of a rule may be met while others of its candidates are still open; then it links
    nothing.  With a digit, only constraints that speak of no other.
    """
    layout = grid.layout
    masks = layout.masks if digit is None else layout.masks[layout.cells :]
    if not layout.rule_choices:
        return masks
    other = 0 if digit is None else layout.every & ~(((1 << layout.cells) - 1) << (digit - 1) * layout.cells)
    return (*masks, *(mask for mask in layout.rule_choices if not mask & (grid.true | other)))


def _open(grid: Grid, digit: int | None) -> int:
    """Return the live candidates of open cells, of one digit (from 1) if there is one."""
    cells = grid.layout.cells
    return grid.live & ~grid.true & (-1 if digit is None else ((1 << cells) - 1) << (digit - 1) * cells)


def all_links(grid: Grid, *, digit: int | None = None) -> Links:
    """Return every link between single candidates: two places left in a house, two digits left in a cell, conflicts.

    With a digit (from 1) only those between its candidates.
    """
    return _links(_open(grid, digit), _choices(grid, digit), grid.layout.peers)


def cell_links(grid: Grid) -> Links:
    """Return strong links inside two-candidate cells, and weak links between places of one digit."""
    layout = grid.layout
    return _links(grid.live & ~grid.true, layout.masks[: layout.cells], layout.same_digit_peers)


def set_links(
    grid: Grid, *, groups: bool = False, almost_locked_sets: bool = False, digit: int | None = None, idle: bool = False
) -> Links:
    """Return the links between single candidates and nodes of several.

    Parameters
    ----------
    grid : Grid
        The position.
    groups : bool
        Whether nodes may be groups: two or more candidates of one digit in the crossing of two houses.  A strong link
        joins two nodes, groups or single candidates, that share out the places of a digit in a house.
    almost_locked_sets : bool
        Whether strong links may join the places of two digits of an almost locked set, up to four cells of a house.
    digit : int, optional
        Only candidates of this digit, and no cells.
    idle : bool
        Whether to keep nodes of several candidates that conflict with nothing; no chain can use them.

    Returns
    -------
    Links
        Two nodes are weakly linked if they have no candidate in common and one constraint holds them both.
    """
    gathered = _Gathered(grid, _open(grid, digit), idle=idle)
    if groups:
        gathered.add_groups()
    if almost_locked_sets:
        gathered.add_almost_locked()
    return gathered.links(all_links(grid, digit=digit).strong)


class _Gathered:
    """Strong links between bitsets of candidates, before the bitsets are numbered."""

    def __init__(self, grid: Grid, open_: int, *, idle: bool) -> None:
        self.layout = grid.layout
        self.shape = shape_of(grid.layout)
        self.open = open_
        self.idle = idle
        self.pairs: list[tuple[int, int]] = []
        self.almost: list[tuple[AlmostLocked, list[int]]] = []
        self.conflicts: dict[int, int] = {}
        self.held: dict[int, tuple[int, ...]] = {}

    def useful(self, node: int) -> bool:
        """Whether a chain can use a node: whether it is a single candidate, or anything conflicts with all of it.

        Works out what conflicts with it, and which constraints hold it.
        """
        if not node & (node - 1):
            return True
        found = self.conflicts.get(node)
        if found is None:
            held = constraints_holding(self.shape, node)
            found = 0
            for number in held:
                found |= self.layout.masks[number]
            self.held[node] = held
            found &= self.open & ~node
            self.conflicts[node] = found
        return bool(found) or self.idle

    def add_groups(self) -> None:
        """Add each sharing out of a digit's places in a house that needs a group."""
        layout, shape, order = self.layout, self.shape, self.layout.order
        full = (1 << layout.cells) - 1
        for digit in range(order):
            shift = digit * layout.cells
            plane = self.open >> shift & full
            if not plane:
                continue
            for house, mask in enumerate(layout.house_masks):
                places = plane & mask
                if 3 <= places.bit_count() <= 2 * shape.widest:
                    for one, other in splits(shape, house, places):
                        pair = one << shift, other << shift
                        if self.useful(pair[0]) and self.useful(pair[1]):
                            self.pairs.append(pair)

    def add_almost_locked(self) -> None:
        """Add the almost locked sets of two or more cells; those of one cell are plain strong links."""
        for one in almost_locked_sets(self.layout, self.open):
            if len(one.cells) > 1:
                nodes = [node for node in one.places if self.useful(node)]
                if len(nodes) > 1:
                    self.almost.append((one, nodes))

    def links(self, plain: dict[int, int]) -> Links:
        """Return the links between the nodes, numbered."""
        layout = self.layout
        singles = layout.order * layout.cells
        sets = sorted(self.held.keys() & self._used())
        number = {node: singles + i for i, node in enumerate(sets)}
        for one, other in self.pairs:
            a, b = _number(number, one), _number(number, other)
            plain[a] = plain.get(a, 0) | 1 << b
            plain[b] = plain.get(b, 0) | 1 << a
        plain = dict(sorted(plain.items()))
        strong = plain
        sides = [tuple(_number(number, node) for node in nodes) for _, nodes in self.almost]
        if sides:
            strong = dict(plain)
            for ids in sides:
                together = sum(1 << n for n in ids)
                for n in ids:
                    strong[n] = strong.get(n, 0) | together ^ 1 << n
            strong = dict(sorted(strong.items()))
        weak = self._weak(singles, sets)
        live = self.open | (1 << singles + len(sets)) - (1 << singles)
        almost = tuple(one for one, _ in self.almost)
        return Links(live, strong, weak, tuple(sets), plain, almost, tuple(sides))

    def _used(self) -> set[int]:
        """Return the nodes that stand in a strong link."""
        used = {node for pair in self.pairs for node in pair}
        used.update(node for _, nodes in self.almost for node in nodes)
        return used

    def _weak(self, singles: int, sets: list[int]) -> list[int]:
        """Return the weak links of every node."""
        weak = [*self.layout.peers]
        inside: dict[int, list[tuple[int, int]]] = {}
        for i, node in enumerate(sets):
            bit = 1 << singles + i
            for constraint in self.held[node]:
                inside.setdefault(constraint, []).append((node, bit))
            conflicts = self.conflicts[node]
            left = conflicts
            while left:
                low = left & -left
                left ^= low
                weak[low.bit_length() - 1] |= bit
            weak.append(conflicts)
        for here in inside.values():
            for j, (node, bit) in enumerate(here):
                at = bit.bit_length() - 1
                for other, its in here[j + 1 :]:
                    if not node & other:
                        weak[at] |= its
                        weak[its.bit_length() - 1] |= bit
        return weak


def _number(numbers: dict[int, int], node: int) -> int:
    """Return the number of a node: that of its candidate if it has only one."""
    return numbers[node] if node & (node - 1) else node.bit_length() - 1
