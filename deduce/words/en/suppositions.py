"""The prose of suppositions, and which functions tell what lies beyond the named patterns.

What follows from a supposition is told in numbered lines.  What leads straight from one thing to the next is one line,
in a few words each; a line that rests on others says on which, and the last one names what has no place left.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace

from deduce.kernel import Position, Supposition, place
from deduce.patterns import NAMES
from deduce.patterns.dead_end import CONTRADICTION
from deduce.patterns.locked import LOCKED
from deduce.patterns.singles import SINGLES
from deduce.patterns.vocabulary import FAMILIES
from deduce.positions import after
from deduce.proof import Chain, Link, Pattern, Proof
from deduce.puzzle.grid import grid_of
from deduce.walks.dependencies import told_needs
from deduce.words.en.chains import false, through_set, true
from deduce.words.en.names import Names, losses, series
from deduce.words.en.tallies import read_sum, tell_sum

__all__ = ["HEADLINES", "LONGER", "TELLERS", "Consequence", "consequences", "inner_proofs"]


MOST_LISTED = 8
"""A headline counts what falls if it is more than this."""

MOST_IN_LINE = 6
"""So many inferences at most are told in one line, so that a picture can show them."""


@dataclass(frozen=True, slots=True)
class Consequence:
    """A line under a supposition.

    Parameters
    ----------
    words : str
        What is said.
    proofs : tuple of Proof
        What is told in it, in order.
    """

    words: str
    proofs: tuple[Proof, ...]


def inner_proofs(proof: Proof) -> Iterator[Proof]:
    """Yield the inferences under a supposition as proofs, each in the position that the ones before it left."""
    grid = grid_of(proof)
    supposed = proof.inferences[0].argument
    if not isinstance(supposed, Supposition):
        return
    patterns = proof.pattern.inner
    if len(patterns) != len(supposed.inferences):
        from deduce.counting.shapes import name_argument

        patterns = name_argument(grid, proof.inferences[0]).inner
    position = place(grid.model, Position(grid.live, grid.true), supposed.candidate)
    for inference, pattern in zip(supposed.inferences, patterns, strict=True):
        yield Proof(grid.moved(position), (inference,), pattern)
        position = after(grid.model, position, inference)


def _told_once(proof: Proof) -> list[Proof]:
    """Return what is told under a supposition: what one pattern rules out in several inferences together.

    The pattern is there as its roles tell it when it is first used, so all of that falls at once.
    """
    found: dict[object, Proof] = {}
    for number, inner in enumerate(inner_proofs(proof)):
        key = inner.pattern if inner.pattern.name in NAMES else number
        earlier = found.get(key)
        found[key] = inner if earlier is None else replace(earlier, inferences=(*earlier.inferences, *inner.inferences))
    return [*found.values()]


def consequences(proof: Proof) -> list[Consequence]:
    """Return what follows from a supposition, line by line, up to what cannot be met.

    Parameters
    ----------
    proof : Proof
        A supposition.

    Returns
    -------
    list of Consequence
        An inference that rests on what its line has said or rested on before is told in the same line; the lines that
        the others rest on are named by their numbers, from 1.
    """
    names = Names(grid_of(proof).layout)
    lines: list[list[Proof]] = []
    cited: list[set[int]] = []
    joined: list[list[bool]] = []
    settled: list[tuple[int, int]] = []  # the line, and the candidates that an inference told there settles
    for inner in _told_once(proof):
        needed = told_needs(inner)
        used = needed.gone | needed.true
        on = {line for line, facts in settled if facts & used}
        here = len(lines) - 1
        if lines and len(lines[here]) < MOST_IN_LINE and on - {here} <= cited[here]:
            joined[here].append(bool(settled[-1][1] & used))
            lines[here].append(inner)
        else:
            lines.append([inner])
            cited.append(on)
            joined.append([])
        before = Position(inner.grid.live, inner.grid.true)
        then = before
        for inference in inner.inferences:
            then = after(inner.grid.model, then, inference)
        settled.append((len(lines) - 1, before.live & ~then.live | then.true & ~before.true))
    return [
        Consequence(_line(names, told, sorted(on), ties), tuple(told))
        for told, on, ties in zip(lines, cited, joined, strict=True)
    ]


def _line(names: Names, told: Sequence[Proof], on: Sequence[int], ties: Sequence[bool]) -> str:
    """Return one line: on which others it rests, and what follows from what."""
    parts = [_briefly(inner, names) for inner in told]
    text = parts[0] + "".join(f"{', so ' if tied else '; '}{part}" for tied, part in zip(ties, parts[1:], strict=True))
    return f"By {series(str(line + 1) for line in on)}, {text}." if on else f"Then {text}."


def _briefly(proof: Proof, names: Names) -> str:
    """Tell an inference under a supposition in a few words."""
    from deduce.words.en.explain import explain, headline

    pattern = proof.pattern
    lost = losses(proof.eliminates)
    if pattern.name == CONTRADICTION:
        return headline(proof).partition(": ")[2]
    if pattern.name in SINGLES:
        digit, cell = names.split(pattern.role("placed")[0])
        house = pattern.role("house")
        if house:
            return f"{_needy(names, house[0])} {names.digit(digit)} in {names.cell(cell)}"
        return f"{names.cell(cell)} can only be {names.digit(digit)}"
    if pattern.chain is not None:
        placed = [f"{c.cell} is {c.written}" for c in proof.places]
        closed = ", and the loop is closed" if pattern.chain.loop else ""
        return f"{_follow(names, pattern.chain)}{closed}; either way {series([*placed, *[lost] * bool(lost)])}"
    if pattern.name in LOCKED:
        cells = sorted({names.split(candidate)[1] for candidate in pattern.role("locked")})
        symbol = names.digit(pattern.role("digit")[0])
        return f"{_needy(names, pattern.role('base')[0])} {symbol} in {names.cells(cells, 'or')}, so {lost}"
    if pattern.name in FAMILIES["subsets"]:
        digits = names.digits(pattern.role("digits"))
        return f"the {pattern.name} {digits} in {names.cells(pattern.role('subset'))} means that {lost}"
    if pattern.role("base lines"):
        symbol = names.digit(pattern.role("digit")[0])
        return f"by the {pattern.name} of {symbol} in {names.houses(pattern.role('base lines'))} {lost}"
    told = " ".join(explain(proof).splitlines()).removesuffix(" So this position has no solution.").removesuffix(".")
    return f"there is a {pattern.name}. {told}" if pattern.name in NAMES else told[:1].lower() + told[1:]


def _follow(names: Names, chain: Chain) -> str:
    """Tell a chain from its first node being false to its last one being true."""
    ends = zip(chain.links[::2], chain.nodes[1::2], strict=True)
    return f"if {false(names, chain.nodes[0])}, {', so '.join(_made(names, link, node) for link, node in ends)}"


def _made(names: Names, link: Link, node: Sequence[int]) -> str:
    """Say what a strong link makes true."""
    held = through_set(names, link)
    if held:
        return f"{names.cells(held)} keep {_there(names, node)}"
    where = names.layout.house_of(link.constraints[0])
    if where is None:
        return true(names, node)
    return f"{_needy(names, where[0])} {_there(names, node)}"


def _needy(names: Names, house: int) -> str:
    """Begin to say where a house has a digit; what a problem asks for is a list of its variables."""
    return f"{names.houses([house])} {'have their' if names.layout.problem else 'has its'}"


def _there(names: Names, node: Sequence[int]) -> str:
    pairs = [names.split(candidate) for candidate in node]
    return f"{names.digits({digit for digit, _ in pairs}, 'or')} in {names.cells({cell for _, cell in pairs}, 'or')}"


def _supposition(proof: Proof, names: Names, pattern: Pattern) -> str:
    """Tell a supposition: what is supposed, each line of what follows with its number, and that it broke down."""
    first, *inner, last = _lines(proof, names, pattern)
    return "\n".join([first, *(f"{number}. {line}" for number, line in enumerate(inner, 1)), last])


def _lines(proof: Proof, names: Names, pattern: Pattern) -> list[str]:
    """Return what is supposed, each line of what follows, and that it cannot be."""
    digit, cell = names.split(pattern.role("supposed")[0])
    told = [consequence.words for consequence in consequences(proof)]
    return [f"Suppose that {names.cell(cell)} is {names.digit(digit)}.", *told, f"So {losses(proof.eliminates)}."]


def _broken(proof: Proof, names: Names) -> str:
    """Return the headline of a supposition."""
    digit, cell = names.split(proof.pattern.role("supposed")[0])
    count = len(_told_once(proof))
    steps = "at once" if count == 1 else f"in {count} steps"
    return f"{losses(proof.eliminates)}, since {names.digit(digit)} in {names.cell(cell)} breaks down {steps}"


def _fallen(proof: Proof, _: Names) -> str:
    """Return the headline of a counting argument; where much falls at once it is only counted."""
    placed = [f"{c.symbol or c.digit} in r{c.row}c{c.column}" for c in proof.places]
    false = proof.eliminates
    lost = [losses(false)] * bool(false)
    if len(false) > MOST_LISTED:
        lost = [f"{len(false)} notes fall in {len({(c.row, c.column) for c in false})} cells"]
    return "; ".join([series(placed)] * bool(placed) + lost)


TELLERS: dict[str, Callable[[Proof, Names, Pattern], str]] = {
    "counting argument": tell_sum,
    "supposition": _supposition,
}
"""For each pattern the function that tells it."""

LONGER: dict[str, Callable[[Proof, Names, Pattern], list[str]]] = {
    "counting argument": lambda proof, names, pattern: [
        *read_sum(proof, names, pattern),
        tell_sum(proof, names, pattern),
    ],
    "supposition": _lines,
}
"""For each pattern the function that tells it at the longest level, line by line."""

HEADLINES: dict[str, Callable[[Proof, Names], str]] = {"counting argument": _fallen, "supposition": _broken}
"""What is concluded, where one line says more than that."""
