"""What is told of chains is read back, on layouts of every kind: each link, its two ends, and the reason between."""

from __future__ import annotations

import re
from collections.abc import Iterator
from functools import cache
from itertools import islice, pairwise

import pytest

import deduce
from deduce import Grid, Layout, Proof
from deduce.patterns.chains import chain_proof
from deduce.puzzle.grid import grid_of
from deduce.solving.generate import minimal_puzzle

LAYOUTS = {
    "plain": "grid 6\n",
    "diagonal": "grid 6\ndiagonals\n",
    "king": "grid 6\nking\n",
    "knight": "grid 6\nknight\n",
    "cages": "grid 6\ncage r1c1 r1c2 r2c2 = 9\n",
    "irregular": "regions\naaabbb\naabbbc\naddccc\nddeecc\ndeeeff\ndeffff\n",
}
CHAINS = (
    *(
        "X-chain",
        "XY-chain",
        "grouped X-chain",
        "continuous loop",
        "chain with both ends on one digit",
        "grouped chain",
    ),
    *("chain with linked ends on different digits", "chain that returns to its start", "grouped loop"),
    "chain through almost locked sets",
)
CELL = r"r\d+c\d+"
CELLS = rf"{CELL}(?:(?:, {CELL})*(?: and| or) {CELL})?"

Node = tuple[int, frozenset[str]]


def cells_of(text: str) -> frozenset[str]:
    return frozenset(re.findall(CELL, text))


def read_back(told: str, layout: Layout) -> Iterator[tuple[bool, Node]]:
    """Yield what a story supposes false, then what it says to be true and false by turns; check who sees whom."""
    start = re.search(rf"Suppose that (?:({CELL}) is not (\d)|(?:neither|none of) ([^.]*?) is (\d))\. Then ", told)
    assert start, told
    last: Node = (int(start[2] or start[4]), cells_of(start[1] or start[3]))
    yield False, last
    story = told[start.end() :]
    story = re.split(r"\. So |\. Read round|, against the supposition|; [^;]* and the loop is closed", story)[0]
    for number, part in enumerate(re.split(r"; |, which (?=is then not)", story)):
        if number:
            see = re.match(
                rf"({CELLS}) sees? ({CELLS}) in ([^,]+), so (?:it|neither|none of them) is (?:not )?(\d)", part
            )
            same = re.match(rf"({CELL} )?is then not (\d)", part)
            if see:
                off, near = cells_of(see[1]), cells_of(see[2])
                house = next(house for house in layout.houses if house.name == see[3])
                assert near == last[1], told
                assert off | near <= {layout.cell_name(cell) for cell in house.cells}, told
                last = (int(see[4]), off)
            elif same:
                assert cells_of(same[1] or "") <= last[1], told
                last = (int(same[2]), last[1])
            else:
                rule, _, rest = part.partition(", so ")
                assert re.match(r"\d stands at most once in .*, a (king|knight)'s move apart$", rule), f"{told}\n{part}"
                gone = re.match(rf"(?:({CELL}) is not (\d)|(?:neither|none of) (.*?) is (\d))", rest)
                assert gone, part
                off = cells_of(gone[1] or gone[3])
                assert off | last[1] <= cells_of(rule), told
                last = (int(gone[2] or gone[4]), off)
            yield False, last
        but = re.search(r" but (\d)$", part)
        placed = re.search(
            rf"(?:has its|have) (\d) in ({CELLS})$|(?:^|, and |, so )(?:one of )?({CELLS}) is (\d)$", part
        )
        assert but or placed, f"{told}\n{part}"
        if placed:
            last = (int(placed[1] or placed[4]), cells_of(placed[2] or placed[3]))
        elif but:
            last = (int(but[1]), last[1])
        yield True, last


@cache
def told_chains(kind: str) -> tuple[Proof, ...]:
    """Return chains of walks on a layout, those of a few puzzles."""
    layout, found = Layout.parse(LAYOUTS[kind]), []
    for seed in range(2, 6):
        found += islice(deduce.find(minimal_puzzle(seed, layout), CHAINS), 15)
    return tuple(proof for proof in found if proof.pattern.chain and len(proof.pattern.chain.nodes) > 2)


@pytest.mark.parametrize("kind", LAYOUTS)
def test_every_link_is_told_with_both_its_ends(kind: str) -> None:
    proofs = told_chains(kind)
    assert len(proofs) > 3
    for proof in proofs:
        chain, layout = proof.pattern.chain, grid_of(proof).layout
        assert chain is not None
        nodes = [
            (c[0] // layout.cells + 1, frozenset(layout.cell_name(x % layout.cells) for x in c)) for c in chain.nodes
        ]
        told = list(read_back(proof.words(), layout))
        assert [true for true, _ in told] == [bool(i % 2) for i in range(len(told))]
        assert [node for _, node in told] == nodes, proof.words()


@pytest.mark.parametrize("kind", LAYOUTS)
def test_nothing_is_said_to_be_and_not_to_be(kind: str) -> None:
    for proof in told_chains(kind):
        said = list(read_back(proof.words(), grid_of(proof).layout))
        # Far apart a chain may deny what it found, since what it supposed is false; from word to word it may not.
        for (_, (digit, cells)), (_, (other, others)) in pairwise(said):
            assert digit != other or not cells & others, proof.words()


def test_a_move_of_a_king_is_told_as_such() -> None:
    layout = Layout.parse("grid 9\nking\n")
    grid = Grid.empty(layout).without(
        [f"{d}r{r}c{c}" for (r, c), kept in {(7, 3): "95", (6, 4): "57"}.items() for d in "123456789" if d not in kept]
    )
    nodes = [grid.number(name) for name in ("9r7c3", "5r7c3", "5r6c4", "7r6c4")]
    told = chain_proof(grid, "XY-chain", nodes, ()).words()
    assert "5 stands at most once in" in told
    assert "a king's move apart, so r6c4 is not 5 but 7" in told
