"""Random layouts with rules against brute force: nothing that is deduced contradicts a solution, and none is missed."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import permutations

from hypothesis import HealthCheck, given, settings, strategies as st

import deduce
from deduce import Grid, Layout
from deduce.counting import eliminations
from deduce.patterns import fault


def latin_squares() -> list[tuple[int, ...]]:
    """Build every Latin square of order 4 row by row, without the library."""
    rows = list(permutations(range(1, 5)))
    found: list[list[tuple[int, ...]]] = [[]]
    for _ in range(4):
        found = [
            [*square, row] for square in found for row in rows if all(map(differs, zip(*square, row, strict=True)))
        ]
    return [tuple(digit for row in square for digit in row) for square in found]


def differs(column: tuple[int, ...]) -> bool:
    return len(set(column)) == len(column)


SQUARES = latin_squares()
CELLS = [f"r{row}c{column}" for row in range(1, 5) for column in range(1, 5)]


@st.composite
def rules(draw: st.DrawFn, answer: tuple[int, ...]) -> list[tuple[str, object]]:
    """Draw lines of the text form that a square obeys, each with a test of a square written out by hand."""
    found = []
    for _ in range(draw(st.integers(1, 7))):
        kind = draw(
            st.sampled_from(["cage", "total", "equal", "less", "difference", "ratio", "parity", "only", "pair"])
        )
        size = draw(st.integers(2, 4))
        cells = draw(st.permutations(range(16)))[:size]
        names = " ".join(CELLS[cell] for cell in cells)
        values = [answer[cell] for cell in cells]
        a, b = cells[:2]
        total, gap = sum(values), abs(answer[a] - answer[b])
        least = max(gap, 1)
        if kind == "cage" and len(set(values)) == size:
            found.append(
                (
                    f"cage {names} = {total}",
                    lambda s, cells=cells, total=total: (
                        sum(s[c] for c in cells) == total and len({s[c] for c in cells}) == len(cells)
                    ),
                )
            )
        elif kind == "total":
            found.append((f"total {names} <= {total}", lambda s, cells=cells, t=total: sum(s[c] for c in cells) <= t))
        elif kind == "equal":
            first = next((c for c in cells[1:] if answer[c] == answer[cells[0]]), None)
            if first is not None:
                line = f"equal {CELLS[cells[0]]} {CELLS[cells[1]]} = {CELLS[first]} {CELLS[cells[1]]}"
                found.append((line, lambda s, x=cells[0], y=first: s[x] == s[y]))
            elif answer[cells[0]] == sum(values[1:]):
                line = f"equal {CELLS[cells[0]]} = {' '.join(CELLS[c] for c in cells[1:])}"
                found.append((line, lambda s, cells=cells: s[cells[0]] == sum(s[c] for c in cells[1:])))
        elif kind == "less" and answer[a] < answer[b]:
            found.append((f"{CELLS[a]} < {CELLS[b]}", lambda s, a=a, b=b: s[a] < s[b]))
        elif kind == "difference":
            found.append(
                (f"difference {CELLS[a]} {CELLS[b]} >= {least}", lambda s, a=a, b=b, n=least: abs(s[a] - s[b]) >= n)
                if gap
                else (f"difference {CELLS[a]} {CELLS[b]} <= 1", lambda s, a=a, b=b: abs(s[a] - s[b]) <= 1)
            )
        elif kind == "ratio" and max(answer[a], answer[b]) == 2 * min(answer[a], answer[b]):
            found.append(
                (f"ratio {CELLS[a]} {CELLS[b]} = 2", lambda s, a=a, b=b: max(s[a], s[b]) == 2 * min(s[a], s[b]))
            )
        elif kind == "parity":
            word = "odd" if answer[a] % 2 else "even"
            found.append((f"{word} {CELLS[a]}", lambda s, a=a, odd=answer[a] % 2: s[a] % 2 == odd))
        elif kind == "only":
            digits = "".join(map(str, sorted({answer[a], answer[b]})))
            found.append((f"only {digits} {CELLS[a]}", lambda s, a=a, digits=digits: str(s[a]) in digits))
        elif kind == "pair" and gap:
            found.append(
                (f"difference {CELLS[a]} {CELLS[b]} = {gap}", lambda s, a=a, b=b, n=gap: abs(s[a] - s[b]) == n)
            )
    return found


@st.composite
def puzzles(draw: st.DrawFn) -> tuple[Layout, list[tuple[int, ...]]]:
    """Draw a 4x4 layout without boxes that has a solution, with all its solutions."""
    answer = draw(st.sampled_from(SQUARES))
    found = draw(rules(answer))
    text = "\n".join(["grid 4 without boxes", *dict.fromkeys(line for line, _ in found)])
    return Layout.parse(text), [square for square in SQUARES if all(test(square) for _, test in found)]


def masks(layout: Layout, squares: list[tuple[int, ...]]) -> Iterator[int]:
    for square in squares:
        yield sum(1 << layout.number(digit, cell) for cell, digit in enumerate(square))


# A tenth of what the profile asks for: each example is a puzzle that is solved.
MANY = settings(max_examples=settings().max_examples, suppress_health_check=[*HealthCheck])
SLOW = settings(MANY, max_examples=max(4, settings().max_examples // 10))


@MANY
@given(puzzles())
def test_solutions_are_those_of_brute_force(case: tuple[Layout, list[tuple[int, ...]]]) -> None:
    layout, squares = case
    found = [solved.line() for solved in deduce.solutions(Grid.empty(layout), None)]
    assert sorted(found) == sorted("".join(map(str, square)) for square in squares)
    assert all(solved.solved for solved in deduce.solutions(Grid.empty(layout), 5))
    assert Layout.parse(layout.text()) == layout
    assert Layout.from_json(layout.to_json()) == layout


@SLOW
@given(puzzles())
def test_a_wrong_square_is_not_solved(case: tuple[Layout, list[tuple[int, ...]]]) -> None:
    layout, squares = case
    wrong = next((square for square in SQUARES if square not in squares), None)
    if wrong is not None:
        numbers = [layout.number(digit, cell) for cell, digit in enumerate(wrong)]
        grid = Grid.from_numbers(layout, numbers)
        assert not grid.solved
        assert grid.status()
        assert list(deduce.solutions(grid)) == []


@SLOW
@given(puzzles())
def test_no_deduction_contradicts_a_solution(case: tuple[Layout, list[tuple[int, ...]]]) -> None:
    layout, squares = case
    answers = list(masks(layout, squares))
    grid = Grid.empty(layout)
    assert all(not answer & ~grid.live for answer in answers)
    possible = 0
    for answer in answers:
        possible |= answer
    for proof in (*deduce.find(grid), *[p for p in [deduce.simplest(grid)] if p]):
        after = deduce.check(grid, proof).after
        assert all(not answer & ~after.live for answer in answers), f"{proof} on\n{layout.text()}"
        assert proof.words().endswith(".")
        if proof.pattern.name != "counting argument":
            assert fault(proof) is None, proof
    walk = deduce.walk(grid)
    for step in walk.steps:
        assert not any(answer & ~step.after.live for answer in answers)
        assert not possible & ~step.after.live
    if len(squares) == 1:
        assert walk.grid.true == answers[0], f"{walk} on\n{layout.text()}"
    walk.check()


@SLOW
@given(puzzles())
def test_sums_keep_every_solution(case: tuple[Layout, list[tuple[int, ...]]]) -> None:
    layout, squares = case
    grid = Grid.empty(layout)
    answers = list(masks(layout, squares))
    for proof in eliminations(grid).proofs:
        after = deduce.check(grid, proof).after
        assert all(not answer & ~after.live for answer in answers)
