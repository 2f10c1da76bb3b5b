"""The dull twin of planning: every position that simple steps and free choices can reach, by walk, find and check."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, field
from heapq import heappop, heappush
from itertools import count

import deduce
from deduce.kernel import Position
from deduce.proof import Proof
from deduce.walks import effort


@dataclass
class Map:
    """Positions with the advanced steps between them.

    Parameters
    ----------
    start : Position
        Simple steps used up.
    edges : dict
        For each position its advanced steps: proof, effort, where it leads.
    solved : set of Position
        Those in which every cell is filled.
    """

    start: Position
    edges: dict[Position, list[tuple[Proof, int, Position]]] = field(default_factory=dict)
    solved: set[Position] = field(default_factory=set)


def settle(grid: deduce.Grid, simple: Sequence[str]) -> deduce.Grid:
    """Take simple steps until there are none."""
    return deduce.walk(grid, simple).grid


def explore(grid: deduce.Grid, simple: Sequence[str], advanced: Sequence[str], most: int = 400) -> Map | None:
    """Return the whole map, or None if it has more positions than that."""
    start = settle(grid, simple)
    found = Map(Position(start.live, start.true))
    todo = [found.start]
    while todo:
        position = todo.pop()
        if position in found.edges:
            continue
        if len(found.edges) == most:
            return None
        here = grid.moved(position)
        found.edges[position] = []
        if position.true.bit_count() == grid.layout.cells:
            found.solved.add(position)
            continue
        for proof in deduce.find(here, advanced):
            after = settle(here.moved(deduce.check(here, proof).after), simple)
            onward = Position(after.live, after.true)
            found.edges[position].append((proof, effort(proof).total, onward))
            todo.append(onward)
    return found


def least(
    found: Map, start: object, grow: Callable[[object, Proof, int], object], done: Callable[[object], object]
) -> object | None:
    """Return the least cost to a solution, where `grow` adds a step to a state and `done` turns a state into a cost.

    States are compared by `done`; two ways to one position with the same state are one.
    """
    order = count()
    heap = [(done(start), next(order), found.start, start)]
    seen = set()
    while heap:
        cost, _, position, state = heappop(heap)
        if (position, state) in seen:
            continue
        seen.add((position, state))
        if position in found.solved:
            return cost
        for proof, weight, onward in found.edges[position]:
            grown = grow(state, proof, weight)
            heappush(heap, (done(grown), next(order), onward, grown))
    return None


def distances(found: Map) -> dict[Position, int]:
    """Return for each position from which the solution can be reached how many advanced steps that takes at least."""
    back: dict[Position, set[Position]] = {}
    for position, edges in found.edges.items():
        for _, _, onward in edges:
            back.setdefault(onward, set()).add(position)
    far = dict.fromkeys(found.solved, 0)
    edge = list(found.solved)
    while edge:
        following = []
        for position in edge:
            for before in back.get(position, ()):
                if before not in far:
                    far[before] = far[position] + 1
                    following.append(before)
        edge = following
    return far


def routes(found: Map, longest: int) -> Iterator[list[Proof]]:
    """Yield every sequence of at most so many advanced steps from the start to a solution."""

    def extend(position: Position, taken: list[Proof]) -> Iterator[list[Proof]]:
        if position in found.solved:
            yield taken
        elif len(taken) < longest:
            for proof, _, onward in found.edges[position]:
                yield from extend(onward, [*taken, proof])

    yield from extend(found.start, [])
