"""A proof as a claim: its conclusions behind its reason, in the form that `parse_claim` reads back."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace

from deduce.claims.claim import Claim, Named, Question, WrittenChain
from deduce.claims.hearing import called
from deduce.claims.reader import plural
from deduce.claims.text import LABELS
from deduce.proof import Candidate, Chain, Pattern, Proof
from deduce.puzzle.grid import grid_of
from deduce.puzzle.layout import Layout

__all__ = ["chain_text", "claim_of", "conclusions_text", "node_text", "reading"]


def claim_of(proof: Proof) -> str:
    """Write a proof as a claim with its reason.

    Parameters
    ----------
    proof : Proof
        A proof on a grid that concludes something.

    Returns
    -------
    str
        A chain that no roles tell apart is written out; every other pattern is named, with its digits, cells and
        houses.

    Examples
    --------
    >>> from deduce.patterns import find
    >>> from deduce.puzzle.grid import Grid, grid_of
    >>> claim_of(next(find(Grid.parse("12.. 3... .... ...1"))))
    'last open cell 4 r2c2 in box 1 => r2c2 = 4'
    """
    pattern, layout = proof.pattern, grid_of(proof).layout
    if layout.problem:
        return proof.conclusion()  # claims about problems take no reasons
    named = _named(layout, pattern)
    if pattern.chain is None or any(role.kind != "digits" and role.name != "set cells" for role in pattern.roles):
        return f"{_reason(layout, named)} => {conclusions_text(proof)}"
    # The nodes do not tell through which almost locked sets the links go; name and cells do.
    called = f"{_reason(layout, replace(named, digits=()))}: " if named.cells else ""
    return f"{called}{chain_text(layout, pattern.chain)} => {conclusions_text(proof)}"


def _named(layout: Layout, pattern: Pattern) -> Named:
    """Return a pattern as a reason by name, with its digits, cells and houses."""
    size = layout.cells
    digits = {digit for role in pattern.roles if role.kind == "digits" for digit in role.items}
    # Where the digit is told, houses and cells are enough; candidates matter where they are all there is.
    kinds = ("cells",) if digits else ("cells", "candidates")
    digits |= {c // size + 1 for role in pattern.roles if role.kind == "candidates" in kinds for c in role.items}
    parts = [(role.name, sorted({item % size for item in role.items})) for role in pattern.roles if role.kind in kinds]
    labels = tuple((name, tuple(cells)) for name, cells in parts if name in LABELS)
    cells = sorted({cell for _, cells in parts for cell in cells})
    houses = sorted({house for role in pattern.roles if role.kind == "houses" for house in role.items})
    return Named((pattern.name,), tuple(sorted(digits)), tuple(cells), tuple(houses), labels)


def conclusions_text(proof: Proof) -> str:
    """Write what a proof concludes, such as ``r1c1 <> 7, r2c2 <> 7`` or ``r1c1 = 7``."""
    if proof.contradiction:
        return "contradiction"
    placed = [_says(c, "=") for c in proof.places]
    lost = sorted(proof.eliminates, key=lambda c: (c.row, c.column, c.digit))
    return ", ".join(placed + [_says(c, "<>") for c in lost])


def reading(layout: Layout, said: Claim | Question) -> str:
    """Write how a claim or a question was read, in words that are read the same way again.

    Examples
    --------
    >>> from deduce.claims.text import parse_speech
    >>> nine = Layout.standard()
    >>> reading(nine, parse_speech(nine, "r4c3 cant be 8 bc of the skyscraper in columns 2 and 7"))
    'r4c3 <> 8 because skyscraper in columns 2 and 7'
    """
    if isinstance(said, Question):
        cells = " and ".join(map(layout.cell_name, said.cells))
        digits = "".join(layout.symbols[digit - 1] for digit in said.digits)
        return {
            "cell": f"what can stand in {cells}?",
            "house": f"where can {digits} go in {_houses(layout, said.houses)}?",
            "easiest": "is this the easiest?",
            "needs": "what did this step need?",
        }[said.kind]
    if layout.problem:
        return said.text.strip()
    signs = [(c, "=") for c in said.places] + [(c, "<>") for c in said.eliminates]
    split = sorted((c % layout.cells, sign, c // layout.cells) for c, sign in signs)
    told = ", ".join(f"{layout.cell_name(cell)} {sign} {layout.symbols[digit]}" for cell, sign, digit in split)
    if said.reason is None:
        return told
    return f"{told} because {_reason(layout, said.reason)}" if told else _reason(layout, said.reason)


def _reason(layout: Layout, reason: Named | WrittenChain) -> str:
    """Write a reason as it was read."""
    if isinstance(reason, WrittenChain):
        written = _chain(layout, reason.nodes, reason.strong)
        return f"{_reason(layout, reason.named)}: {written}" if reason.named else written
    said = [called(reason.names), "".join(layout.symbols[digit - 1] for digit in reason.digits)]
    parts = {cell for _, cells in reason.labels for cell in cells}
    said += [layout.cell_name(cell) for cell in reason.cells if cell not in parts]
    said += [" ".join([label, *map(layout.cell_name, cells)]) for label, cells in reason.labels]
    said += [f"in {_houses(layout, reason.houses)}"] if reason.houses else []
    return " ".join(filter(None, said))


def chain_text(layout: Layout, chain: Chain) -> str:
    """Write a chain, such as ``(7)r1c9 = (7)r1c3 - (8)r1c3``; a loop ends at its first node once more."""
    nodes = (*chain.nodes, chain.nodes[0]) if chain.loop else chain.nodes
    return _chain(layout, nodes, [link.strong for link in chain.links])


def _chain(layout: Layout, nodes: Sequence[Iterable[int]], strong: Iterable[bool]) -> str:
    links = (f" {'=' if one else '-'} {node_text(layout, node)}" for one, node in zip(strong, nodes[1:], strict=True))
    return node_text(layout, nodes[0]) + "".join(links)


def node_text(layout: Layout, node: Iterable[int]) -> str:
    """Write a node: the digit in brackets, then its cells, shared rows and columns drawn together where that fits."""
    pairs = [divmod(candidate, layout.cells) for candidate in sorted(node)]
    digits = sorted({digit for digit, _ in pairs})
    if len(digits) != 1:
        return "/".join(f"({layout.symbols[digit]}){layout.cell_name(cell)}" for digit, cell in pairs)
    rows = sorted({layout.places[cell][0] + 1 for _, cell in pairs})
    columns = sorted({layout.places[cell][1] + 1 for _, cell in pairs})
    if len(rows) * len(columns) == len(pairs):
        joint = "/" if layout.broad else ""
        cells = f"r{joint.join(map(str, rows))}c{joint.join(map(str, columns))}"
    else:
        cells = "/".join(layout.cell_name(cell) for _, cell in pairs)
    return f"({layout.symbols[digits[0]]}){cells}"


def _houses(layout: Layout, houses: Iterable[int]) -> str:
    """Write houses, those of one kind under one plural."""
    kinds: dict[tuple[str, int], list[str]] = {}
    for h in houses:
        kinds.setdefault((layout.houses[h].kind, layout.houses[h].grid), []).append(str(layout.houses[h].number))
    return ", ".join(
        f"{kind if len(numbers) == 1 else plural(kind)} {' and '.join(numbers)}{f' of grid {grid}' if grid else ''}"
        for (kind, grid), numbers in kinds.items()
    )


def _says(candidate: Candidate, sign: str) -> str:
    return f"r{candidate.row}c{candidate.column} {sign} {candidate.symbol or candidate.digit}"
