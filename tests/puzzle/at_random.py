"""Random grids of order 4 with rules, each rule as a line of the text form and as a test of a square by hand."""

from __future__ import annotations

import random
from collections.abc import Callable, Sequence
from itertools import combinations

from walks.test_layout_oracle import CELLS, SQUARES

Square = Sequence[int]
Rule = tuple[str, Callable[[Square], bool]]

BOXES = [tuple(4 * (r + i) + c + j for i in (0, 1) for j in (0, 1)) for r in (0, 2) for c in (0, 2)]
DIAGONALS = [(0, 5, 10, 15), (3, 6, 9, 12)]
STEPS = {"knight": [(1, 2), (2, 1)], "king": [(1, 1), (0, 1), (1, 0)], "beside": [(0, 1), (1, 0)]}


def names(cells: Sequence[int]) -> str:
    return " ".join(CELLS[cell] for cell in cells)


def compared(value: int, sign: str, bound: int) -> bool:
    return {"=": value == bound, "<=": value <= bound, ">=": value >= bound}[sign]


def rule(dice: random.Random, answer: Square) -> Rule:
    """Return a rule, often one that a square obeys."""
    kind = dice.choice(["cage", "cage", "differ", "total", "total", "between", "equal", "less", "difference"])
    if dice.random() < 0.35:
        kind = dice.choice(["ratio", "even", "odd", "only", "knight", "king", "beside"])
    cells = dice.sample(range(16), dice.randint(2, 4))
    a, b = cells[:2]
    sign = dice.choice(["=", "<=", ">="])
    if kind in ("total", "between", "equal") and dice.random() < 0.4:
        cells.append(dice.choice(cells))
    goal = sum(answer[cell] for cell in cells) if dice.random() < 0.85 else dice.randint(0, 22)
    if kind == "differ":
        return f"cage {names(cells)}", lambda s: len({s[c] for c in cells}) == len(cells)
    if kind == "cage":
        size = len(cells)
        goal = max(size * (size + 1) // 2, min(goal, size * (9 - size) // 2))
        line = f"cage {names(cells)} = {goal}"
        return line, lambda s: sum(s[c] for c in cells) == goal and len({s[c] for c in cells}) == size
    if kind == "total":
        return f"total {names(cells)} {sign} {goal}", lambda s: compared(sum(s[c] for c in cells), sign, goal)
    if kind == "between":
        least, most = max(0, goal - dice.randint(0, 2)), goal + dice.randint(0, 2)
        return f"total {names(cells)} >= {least} <= {most}", lambda s: least <= sum(s[c] for c in cells) <= most
    if kind == "equal":
        one, other = cells[: len(cells) // 2], cells[len(cells) // 2 :]
        return f"equal {names(one)} = {names(other)}", lambda s: sum(s[c] for c in one) == sum(s[c] for c in other)
    if kind == "less":
        return f"{CELLS[a]} < {CELLS[b]}", lambda s: s[a] < s[b]
    if kind == "difference":
        gap = max(1, abs(answer[a] - answer[b]))
        return f"difference {names((a, b))} {sign} {gap}", lambda s: compared(abs(s[a] - s[b]), sign, gap)
    if kind == "ratio":
        times = dice.choice([2, 2, 3, 5])
        return f"ratio {names((a, b))} = {times}", lambda s: max(s[a], s[b]) == times * min(s[a], s[b])
    if kind in ("even", "odd"):
        return f"{kind} {names((a, b))}", lambda s: all(s[c] % 2 == (kind == "odd") for c in (a, b))
    if kind == "only":
        kept = sorted({*dice.sample(range(1, 5), dice.randint(1, 2)), answer[a], answer[b]})
        return f"only {''.join(map(str, kept))} {names((a, b))}", lambda s: all(s[c] in kept for c in (a, b))
    where = dice.sample(range(16), dice.randint(2, 9)) if dice.random() < 0.7 else [*range(16)]
    gap = dice.choice([1, 2]) if kind == "beside" else 1
    steps = [(p, q) for p, q in combinations(sorted(where), 2) if (q // 4 - p // 4, abs(q % 4 - p % 4)) in STEPS[kind]]
    line = f"neighbours differ by {gap}" if kind == "beside" else kind
    told = line if len(where) == 16 else f"{line} {names(where)}"
    return told, lambda s: all(abs(s[p] - s[q]) >= gap for p, q in steps)


def at_random(seed: int) -> tuple[str, list[str], list[Square]]:
    """Return a layout as text, givens in random order, and every square that obeys all of them."""
    dice = random.Random(seed)
    lines, houses = (["grid 4"], [*BOXES]) if dice.random() < 0.4 else (["grid 4 without boxes"], [])
    if dice.random() < 0.15:
        lines, houses = [*lines, "diagonals"], [*houses, *DIAGONALS]
    allowed = [s for s in SQUARES if all(len({s[c] for c in house}) == 4 for house in houses)]
    answer = dice.choice(allowed or SQUARES)
    rules = [rule(dice, answer) for _ in range(dice.randint(1, 9))]
    if dice.random() < 0.7:
        rules = [one for one in rules if one[1](answer)]
    rules = [*dict(rules).items()]
    placed = {c: answer[c] if dice.random() < 0.95 else dice.randint(1, 4) for c in dice.sample(range(16), 4)}
    givens = dict([*placed.items()][: dice.choice([0, 0, 1, 2, 4])])
    left = [s for s in allowed if all(test(s) for _, test in rules) and all(s[c] == d for c, d in givens.items())]
    return "\n".join([*lines, *(line for line, _ in rules)]), [f"{d}{CELLS[c]}" for c, d in givens.items()], left
