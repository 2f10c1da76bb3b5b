"""The search for chains and loops: the shortest for each candidate that they settle, the nearest first."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from itertools import combinations, groupby, islice
from typing import TypeVar

from deduce.links.argue import holding
from deduce.links.closure import Closure
from deduce.links.linkset import Links
from deduce.links.search import Layers, best, every, preference, spread
from deduce.links.sets import AlmostLocked
from deduce.patterns.board import Board
from deduce.positions import apart, bits

__all__ = ["found_chains", "found_loops"]

WAYS = 200
"""How many of the shortest loops over a link are looked at for one whose nodes have no candidate in common."""

_Goal = TypeVar("_Goal")
_Around = tuple[tuple[int, ...], tuple[AlmostLocked, ...]]
"""Nodes that a search goes round, and the almost locked set that it is for, if it is."""


def _nearest(
    links: Links, jobs: Iterable[tuple[int, int, _Goal]], later: Iterable[tuple[int, int, _Goal]] = ()
) -> Iterator[tuple[Layers, _Goal]]:
    """Yield the searches from starts to targets that succeed, nearest first, each with its label.

    All searches go forward together, link by link, so that whoever wants only the nearest does not wait for the others;
    those from the same starts are one search.  Those that are to start `later` are two links behind.
    """
    spreading: dict[int, Iterator[tuple[int, int]]] = {}
    reached: dict[int, list[tuple[int, int]]] = {}
    running = [(0, *job) for job in jobs]
    waiting = [(0, *job) for job in later]
    while running or waiting:
        for depth, starts, targets, label in running:
            if starts not in reached:
                spreading[starts], reached[starts] = spread(links, starts), []
            known = reached[starts]
            if depth == len(known):
                known.extend(islice(spreading[starts], 1))
            if depth < len(known):
                if known[depth][1] & targets:
                    false, true = zip(*known[: depth + 1], strict=True)
                    yield Layers([*false], [*true], targets), label
                else:
                    waiting.append((depth + 1, starts, targets, label))
        running, waiting = waiting, []


def found_chains(board: Board, links: Links, reach: Closure) -> Iterator[tuple[int, ...]]:
    """Yield the shortest chain for each candidate that chains settle, shortest first, no chain twice.

    Of equally short chains the one that :func:`deduce.links.preference` ranks first is taken.  A candidate that only
    falls because a chain returns to its start has no chain of its own: that chain places its start, and clearing does
    the rest.
    """
    cells = board.layout.cells
    rank = preference(links, cells)
    jobs = [(sees, sees, False) for z in bits(reach.false) for sees in [links.weak[z] & links.live]]
    jobs += [(1 << a, 1 << a, True) for a in bits(reach.true)]
    for _, goals in groupby(_nearest(links, jobs), key=lambda goal: goal[0].links):
        found = set()
        for way, placed in goals:
            nodes = best(links, way, cells)
            if placed or nodes[0] != nodes[-1] or nodes[0] >= links.singles:
                found.add(min(nodes, nodes[::-1]))
        yield from sorted(found, key=rank)


def found_loops(board: Board, links: Links, reach: Closure) -> Iterator[_Around]:
    """Yield loops, shortest first, each with the almost locked set that it was sought for, if it was.

    For each weak link beside which something may fall the best loop over it, and for each strong link through an almost
    locked set, another digit of which may fall outside, the best loop over that.  A weak link lies on a loop if the one
    side being false leads to the other being true; a strong link, if the one being true leads to the other being false.
    No two nodes of a loop have a candidate in common: where those of the best one do, another of the shortest is taken,
    if it is among the first `WAYS`.
    """
    jobs: set[tuple[int, int, _Around]] = set()
    for mask in (*board.layout.masks, *board.layout.wide_masks):
        doomed = reach.false & mask
        if not doomed:
            continue
        here = bits(links.active & mask)
        here += [links.singles + i for i, members in enumerate(links.sets) if not members & ~mask]
        for i, a in enumerate(here):
            for b in here[i + 1 :]:
                aside = doomed & ~(links.mask(a) | links.mask(b))
                if aside and links.weak[a] >> b & 1 and links.strong[b] & (reach.falls[a] | 1 << a):
                    jobs.add((1 << a, 1 << b, ((), ())))
    later: list[tuple[int, int, _Around]] = []
    for one, sides in zip(links.almost, links.sides, strict=True):
        for a, b in combinations(sides, 2):
            if not links.plain.get(a, 0) >> b & 1 and _locks(board, one, (links.mask(a), links.mask(b)), reach.false):
                later.append((links.weak[b] & links.live, links.weak[a] & links.live, ((a, b), (one,))))
    rank = preference(links, board.layout.cells)
    ways = _nearest(links, sorted(jobs), later)
    for _size, group in groupby(ways, key=lambda way: way[0].links + len(way[1][0])):
        found = set()
        for way, (pair, through) in group:
            chosen = best(links, way, board.layout.cells)
            if not _apart(links, (*pair, *chosen)):
                others = islice(every(links, way.false[0], way.targets), WAYS)
                chosen = next((nodes for nodes in others if _apart(links, (*pair, *nodes))), ())
            if chosen:
                found.add((_turned((*pair, *chosen)), through))
        yield from sorted(found, key=lambda loop: (rank(loop[0]), loop[1]))


def _apart(links: Links, nodes: tuple[int, ...]) -> bool:
    """Whether no two nodes have a candidate in common."""
    return apart(links.mask(node) for node in nodes)


def _locks(board: Board, one: AlmostLocked, sides: tuple[int, int], false: int) -> bool:
    """Whether a candidate that falls conflicts with all places of a digit of a set other than those of a link."""
    layout = board.layout
    for places in one.places:
        if places not in sides:
            for number in holding(layout, bits(places)):
                if false & layout.model.masks[number] & ~places:
                    return True
    return False


def _turned(nodes: tuple[int, ...]) -> tuple[int, ...]:
    """Return the same loop begun at its smallest candidate that keeps the first link strong, in a fixed direction."""
    size = len(nodes)
    turns = [nodes[i:] + nodes[:i] for i in range(0, size, 2)]
    turns += [turn[::-1] for turn in turns]
    return min(turns)
