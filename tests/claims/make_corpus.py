"""Make `corpus.json`: claims with the verdict that their making calls for, not the one that the judge gives.

Run from the root: ``PYTHONPATH=tests python tests/claims/make_corpus.py``.
"""

import json
from pathlib import Path
from random import Random

from claims.oracle import first_fault
from reference import FISH, SUBSETS, Board, fish, hidden_subsets, naked_subsets

import deduce
from deduce.claims.printing import chain_text, claim_of
from deduce.positions import bits
from deduce.puzzle.layout import Layout
from deduce.solving.generate import minimal_puzzle

SEEDS = (4, 6, 33, 909, 12, 21, 57)


def main():
    rng = Random(7)
    entries = []
    for seed in SEEDS:
        puzzle = minimal_puzzle(seed)
        (solution,) = deduce.solutions(puzzle)
        walk = deduce.walk(puzzle)
        entries += plain(rng, puzzle, solution)
        told = set()
        for step in walk.steps:
            name = step.proof.pattern.name
            if name in told:
                continue
            told.add(name)
            entries.append(entry(step.before, claim_of(step.proof), "proved"))
            entries += damaged(rng, step, solution)
        entries += beyond_one_step(rng, puzzle, solution)
    entries += small(rng)
    entries += unreadable()
    path = Path(__file__).with_name("corpus.json")
    path.write_text(json.dumps(entries, ensure_ascii=False, indent=0) + "\n")
    print(len(entries), {kind: sum(e["verdict"] == kind for e in entries) for kind in {e["verdict"] for e in entries}})


def entry(grid, claim, verdict, **more):
    order = grid.layout.order
    return {"order": order, "position": grid.pencil(), "claim": claim, "verdict": verdict, **more}


def plain(rng, puzzle, solution):
    """Claims without a reason, in the forms in which people write them."""
    wrong = [c for c in puzzle.candidates() if not solution.true >> puzzle.number(c) & 1]
    right = [c for c in puzzle.candidates() if solution.true >> puzzle.number(c) & 1]
    forms = (
        "-{d}r{r}c{c}",
        "r{r}c{c} <> {d}",
        "r{r}c{c} is not {d}",
        "no {d} in r{r}c{c}",
        "eliminate {d} from r{r}c{c}",
    )
    placing = ("+{d}r{r}c{c}", "r{r}c{c} = {d}", "r{r}c{c} is {d}", "{d} in r{r}c{c}")
    found = []
    for candidate, verdict, shapes in (
        (rng.choice(wrong), "proved", forms),
        (rng.choice(right), "refuted", forms),
        (rng.choice(right), "proved", placing),
        (rng.choice(wrong), "refuted", placing),
    ):
        text = rng.choice(shapes).format(d=candidate.digit, r=candidate.row, c=candidate.column)
        found.append(entry(puzzle, text, verdict))
    return found


def damaged(rng, step, solution):
    """Claims whose reason has been spoilt at a known place, or whose conclusion is turned round."""
    grid, proof = step.before, step.proof
    names = grid.model.names
    found = []
    if proof.eliminates:
        gone = proof.eliminates[0]
        cell = f"r{gone.row}c{gone.column}"
        found.append(entry(grid, f"{claim_of(proof).split(' => ')[0]} => {cell} = {gone.digit}", "refuted"))
    chain = proof.pattern.chain
    if chain is None:
        return found + misplaced(rng, grid, proof)
    text = chain_text(grid.layout, chain)
    nodes = [
        [(c // 81 + 1, c % 81) for c in node] for node in (*chain.nodes, *([chain.nodes[0]] if chain.loop else []))
    ]
    strong = [link.strong for link in chain.links]
    number = rng.randrange(len(strong))
    parts = text.split(" ")
    parts[2 * number + 1] = "-" if strong[number] else "="
    conclusion = claim_of(proof).split(" => ")[1]
    found.append(entry(grid, f"{' '.join(parts)} => {conclusion}", "broken", link=number + 1, fault="alternation"))
    # Another candidate in the place of a node; the dull twin says which link it breaks first.
    place = rng.randrange(len(chain.nodes))
    live = [c for c in bits(grid.live & ~grid.true) if c not in {x for node in chain.nodes for x in node}]
    other = rng.choice(live)
    changed = [*nodes]
    changed[place] = [(other // 81 + 1, other % 81)]
    if chain.loop and place == 0:
        changed[-1] = changed[0]
    at = first_fault(grid, changed, strong)
    if at is not None:
        parts = text.split(" ")
        parts[2 * place] = f"({names[other][0]}){names[other][1:]}"
        if chain.loop and place == 0:
            parts[-1] = parts[0]
        found.append(entry(grid, f"{' '.join(parts)} => {conclusion}", "broken", link=at))
    return found


def misplaced(rng, grid, proof):
    """A set or a fish of which one cell or line has been exchanged; the dull twins say that there is no such thing."""
    name, pattern, board = proof.pattern.name, proof.pattern, Board.of(grid)
    conclusion = claim_of(proof).split(" => ")[1]
    symbols = grid.layout.symbols
    size = next((size for size, word in SUBSETS.items() if name.endswith(word)), None)
    if size and name.split()[0] in ("naked", "hidden"):
        cells = list(pattern.role("subset"))
        others = [c for c in board.notes if c not in cells and any(board.share(c, cell) for cell in cells[1:])]
        cells[0] = rng.choice(others)
        digits = frozenset(pattern.role("digits"))
        sets = naked_subsets(board, size) if name.startswith("naked") else hidden_subsets(board, size)
        if any(frozenset(cells) in one and digits in one for one in sets):
            return []
        said = "".join(symbols[d - 1] for d in sorted(digits))
        where = " ".join(grid.layout.cell_name(cell) for cell in cells)
        return [entry(grid, f"{name} {said} {where} => {conclusion}", "broken", link=0)]
    if name in FISH.values():
        size = next(size for size, word in FISH.items() if word == name)
        (digit,), lines = pattern.role("digit"), list(pattern.role("base lines"))
        kind = grid.layout.houses[lines[0]].kind
        lines[0] = rng.choice([h for h in board.of_kind(kind) if h not in lines])
        if any(d == digit and frozenset(lines) == bases for d, bases, *_ in fish(board, size)):
            return []
        numbers = " and ".join(str(grid.layout.houses[h].number) for h in lines)
        return [entry(grid, f"{name} on {symbols[digit - 1]} in {kind}s {numbers} => {conclusion}", "broken", link=0)]
    if name == "hidden single" and len(grid.notes(proof.places[0].row, proof.places[0].column)) > 1:
        return [entry(grid, f"{conclusion}: naked single", "broken", link=0)]
    return []


def beyond_one_step(rng, grid, solution):
    """A true claim that no deduction on the board concludes: unproved where no walk is allowed."""
    shown = {c for proof in deduce.find(grid) for c in (*proof.eliminates, *proof.places)}
    after = {c for proof in deduce.find(grid) for c in bits(grid.live & ~deduce.check(grid, proof).after.live)}
    left = [c for c in grid.candidates() if c not in shown and grid.number(c) not in after]
    wrong = [c for c in left if not solution.true >> grid.number(c) & 1]
    return [entry(grid, f"-{rng.choice(wrong)}", "unproved", steps=0)] if wrong else []


MALFORMED = (
    ("r8c3", 5),
    ("r8c3 <>", 8),
    ("r8c3 <> 0", 9),
    ("r8c3 <> x", 9),
    ("r8c0 <> 6", 4),
    ("r8d3 <> 6", 3),
    ("r8c33 <> 6", 1),
    ("r8c3 <> 66", 10),
    ("r8c3 = 67", 8),
    ("6r8c3", 1),
    ("r8c3 <> 6,", 11),
    ("r8c3 <> 6 bcoz it naked pair 47 r2c8 r9c8", 11),
    ("skyclamber on 8", 1),
    ("naked pair 47 r2c8 r9c8 nonsense", 25),
    ("naked pair 47 r2c8 r9c8 => ", 28),
    ("(8)r3c1 = ", 11),
    ("(8)r3c1", 8),
    ("(8 r3c1 = (8)r3c9", 4),
    ("(8)r3c1 = (8)r3c9 => r1c1", 26),
    ("X-wing on 8 in row 37", 21),
    ("X-wing on 8 in rows 3 and 0", 27),
    ("", 1),
    ("r8c3 <> \u00b2", 9),
)
"""Claims that cannot be read, and the column where that is seen."""


def unreadable():
    empty = deduce.Grid.parse("." * 81)
    return [entry(empty, text, "malformed", column=column) for text, column in MALFORMED]


def small(rng):
    """Puzzles of order 4 and 6, one of them with several solutions and one with none."""
    found = []
    for order, seed in ((4, 3), (6, 5), (6, 8)):
        layout = Layout.standard(order)
        puzzle = minimal_puzzle(seed, layout)
        (solution,) = deduce.solutions(puzzle)
        found += plain(rng, puzzle, solution)
        for step in deduce.walk(puzzle).steps[:2]:
            found.append(entry(step.before, claim_of(step.proof), "proved"))
        clues = bits(puzzle.givens)
        looser = deduce.Grid.from_numbers(layout, clues[1:])
        spread = {c for s in deduce.solutions(looser, None) for c in bits(s.true)}
        fixed = [c for c in bits(solution.true) if all(s.true >> c & 1 for s in deduce.solutions(looser, None))]
        open_ = [c for c in sorted(spread) if not all(s.true >> c & 1 for s in deduce.solutions(looser, None))]
        names = layout.model.names
        found.append(entry(looser, f"+{names[rng.choice(open_)]}", "refuted"))
        found.append(entry(looser, f"-{names[rng.choice(open_)]}", "refuted"))
        inferred = [c for c in fixed if c not in clues]
        if inferred:
            found.append(entry(looser, f"-{names[rng.choice(inferred)]}", "refuted"))
    return found


if __name__ == "__main__":
    main()
