"""The prose of proofs on problems, whose cells are variables and whose digits are values.

No sentence here speaks of rows, boxes, cells or digits.  What a constraint says is told by its printable name, which is
a statement, so that it can stand after "that" or by itself.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence

from deduce.counting.shapes import argument_of
from deduce.kernel import Counting, Position, Supposition, bits, coefficients, place
from deduce.positions import after
from deduce.proof import Candidate, Chain, Link, Pattern, Proof
from deduce.puzzle.grid import Grid, grid_of
from deduce.words.en.names import capital, in_words, series
from deduce.words.en.reasons import unmet

__all__ = [
    "count_open",
    "excluded",
    "problem_headline",
    "problem_line",
    "problem_lines",
    "problem_notation",
    "tell_problem",
]

_MOST_VALUES = 6
"""A longer list of values is told by its length."""

_MOST_LOST = 12
"""If a variable loses more values, or runs of them, than this, they are not told one by one."""

_MOST_READ = 4
"""If more variables than this are to be read for one rule, they are not told one by one."""


def problem_headline(proof: Proof) -> str:
    """Return one line with the pattern's name and what it concludes."""
    name = capital(proof.pattern.name).replace("digit", "value")
    return f"{name}: {_nothing_left(proof) if proof.contradiction else _fate(proof)}"


def excluded(candidates: Iterable[Candidate]) -> str:
    """Say which variables cannot have which values, those that lose the same together.

    Examples
    --------
    >>> excluded([Candidate(1, 1, 1, "red", "WA"), Candidate(2, 1, 1, "blue", "WA"), Candidate(1, 3, 1, "red", "T")])
    'WA cannot be red or blue; T cannot be red'
    """
    lost: dict[str, list[str]] = {}
    for candidate in sorted(candidates, key=lambda c: (c.row, c.digit)):
        lost.setdefault(candidate.cell, []).append(candidate.written)
    together: dict[tuple[str, ...], list[str]] = {}
    for name, values in lost.items():
        together.setdefault(tuple(values), []).append(name)
    parts = []
    for taken, names in together.items():
        who = f"{names[0]} cannot" if len(names) == 1 else f"neither {series(names, 'nor')} can"
        parts.append(f"{who} be {_alternatives(taken)}")
    return "; ".join(parts)


def _alternatives(values: Sequence[str]) -> str:
    """Write values as alternatives, runs of whole numbers by their ends; of a list too long to read only the ends.

    Examples
    --------
    >>> _alternatives(["1", "2"]), _alternatives(["-1", "0", "1", "5"]), _alternatives([f"v{i}" for i in range(20)])
    ('1 or 2', '-1 to 1 or 5', 'any of the 20 values v0, v1, ... v19')
    """
    runs: list[list[str]] = []
    for value in values:
        if runs and _whole(value) and _whole(runs[-1][-1]) and int(value) == int(runs[-1][-1]) + 1:
            runs[-1].append(value)
        else:
            runs.append([value])
    parts = [part for run in runs for part in ([f"{run[0]} to {run[-1]}"] if len(run) > 2 else run)]
    if len(parts) > _MOST_LOST:
        return f"any of the {len(values)} values {values[0]}, {values[1]}, ... {values[-1]}"
    return series(parts, "or")


def _whole(name: str) -> bool:
    """Whether a value's name is that of a whole number."""
    return name.isascii() and name.removeprefix("-").isdigit()


def problem_line(grid: Grid) -> str:
    """Return one sentence on a problem: how many variables, values and open ones there are."""
    layout, placed = grid.layout, grid.true.bit_count()
    values = "1 value" if layout.order == 1 else f"{layout.order} values"
    return f"A problem of {layout.cells} variables and {values}; {count_open(grid)} open, {placed} placed."


def count_open(grid: Grid) -> str:
    """Say how many variables are open."""
    open_ = grid.layout.cells - grid.true.bit_count()
    return "1 variable is" if open_ == 1 else f"{open_} variables are"


def tell_problem(proof: Proof) -> str:
    """Return the reasoning of a proof in a paragraph."""
    if proof.contradiction and not proof.pattern.roles:
        return f"{_sentence(grid_of(proof), _nothing_left(proof))}, so this position has no solution."
    teller = _TELLERS.get(proof.pattern.name)
    if teller is not None:
        return teller(proof, proof.pattern)
    if proof.pattern.chain is not None:
        return _chain(proof, proof.pattern.chain)
    return _added_up(proof)


def problem_lines(proof: Proof) -> list[str]:
    """Return the reasoning line by line: each link of a chain, or each constraint that is used, then the paragraph."""
    chain = proof.pattern.chain
    grid = grid_of(proof)
    if chain is None:
        used: dict[int, None] = {}
        for inference in proof.inferences:
            if isinstance(inference.argument, Counting):
                both = (*inference.argument.bases, *inference.argument.covers)
                used.update(dict.fromkeys(number for number, _ in both))
        return [*(f"{_sentence(grid, _said(grid, number))}." for number in used), tell_problem(proof)]
    lines = []
    for link, near, far in _linked(chain):
        ends = _node(grid, near), _node(grid, far)
        told = (
            f"If {ends[0]} is false, {ends[1]} is true"
            if link.strong
            else f"{ends[0]} and {ends[1]} exclude each other"
        )
        lines.append(f"{told}: {_reason(grid, link)}.")
    return [*lines, tell_problem(proof)]


def problem_notation(proof: Proof) -> str:
    """Write a chain with its candidates in brackets; empty if the pattern has none."""
    chain = proof.pattern.chain
    if chain is None:
        return ""
    grid = grid_of(proof)
    written = f"[{_node(grid, chain.nodes[0])}]"
    for link, _, far in _linked(chain):
        written += f" {'=' if link.strong else '-'} [{_node(grid, far)}]"
    return f"{written} => {proof.conclusion()}"


def _linked(chain: Chain) -> list[tuple[Link, tuple[int, ...], tuple[int, ...]]]:
    """List the links of a chain with the nodes that they join."""
    following = (*chain.nodes[1:], chain.nodes[0]) if chain.loop else chain.nodes[1:]
    return [*zip(chain.links, chain.nodes, following, strict=False)]


def _node(grid: Grid, node: Sequence[int]) -> str:
    """Write a node: its candidates as alternatives, those of one variable together."""
    cells: dict[int, list[int]] = {}
    for candidate in node:
        cells.setdefault(candidate % grid.layout.cells, []).append(candidate // grid.layout.cells)
    return series((f"{grid.layout.cell_name(c)} = {_values(grid, d)}" for c, d in sorted(cells.items())), "or")


def _values(grid: Grid, digits: Iterable[int]) -> str:
    """Write values (digits from 0) as alternatives; a longer run of whole numbers by its ends."""
    names = [grid.layout.symbols[d] for d in sorted(digits)]
    whole = [int(name) for name in names if name.lstrip("-").isascii() and name.lstrip("-").isdigit()]
    if len(whole) == len(names) > 2 and whole == [*range(whole[0], whole[0] + len(whole))]:
        return f"{names[0]} to {names[-1]}"
    return series(names, "or") if len(names) <= _MOST_VALUES else f"one of {len(names)} values"


def _left(grid: Grid, cell: int) -> list[int]:
    """List the digits (from 0) that a variable may still have."""
    return [c // grid.layout.cells for c in bits(grid.live & grid.layout.masks[cell])]


def _said(grid: Grid, number: int) -> str:
    """Return what a constraint says in a position, as a statement."""
    layout = grid.layout
    if number < layout.cells:
        left = _left(grid, number)
        return (
            f"{layout.cell_name(number)} is {_values(grid, left)}"
            if left
            else f"{layout.cell_name(number)} has no value left"
        )
    found = layout.house_of(number)
    if found is None:
        return layout.model.constraints[number].name
    house, digit = found
    return f"one of {layout.houses[house].name} is {layout.symbols[digit - 1]}"


def _reason(grid: Grid, link: Link) -> str:
    """Return why a link holds."""
    held = [number for number in link.constraints if number < grid.layout.cells]
    if link.strong and len(held) > 1:
        return series(_said(grid, number) for number in held)
    number = link.constraints[0]
    if not link.strong and number < grid.layout.cells:
        return f"{grid.layout.cell_name(number)} has one value"
    if not link.strong and grid.layout.house_of(number) is not None:
        return f"only {_said(grid, number)}"
    return _said(grid, number)


def _sentence(grid: Grid, text: str) -> str:
    """Return the text with a capital, unless it begins with the name of a variable, which is the caller's to spell."""
    named = any(text.startswith(grid.layout.cell_name(cell)) for cell in range(grid.layout.cells))
    return text if named else capital(text)


def _fate(proof: Proof) -> str:
    """Say what a proof concludes, as a clause."""
    parts = [series(map(str, proof.places))] * bool(proof.places)
    parts += [excluded(proof.eliminates)] * bool(proof.eliminates)
    return "; ".join(parts)


def _nothing_left(proof: Proof) -> str:
    """Name the constraint that cannot be met."""
    number = next(unmet(proof), None)
    return "the constraints cannot all be met" if number is None else _cannot(grid_of(proof), number)


def _cannot(grid: Grid, number: int) -> str:
    """Say that one constraint cannot be met."""
    layout = grid.layout
    if number < layout.cells:
        placed = bits(grid.true & layout.masks[number])
        if len(placed) > 1:
            return f"{layout.cell_name(number)} would be {_values(grid, [c // layout.cells for c in placed])} at once"
        return f"{layout.cell_name(number)} has no value left"
    found = layout.house_of(number)
    if found is None:
        return f"it cannot be met that {layout.model.constraints[number].name}"
    house, digit = found
    placed = bits(grid.true & layout.masks[number])
    if len(placed) > 1:
        return f"{series(layout.cell_name(c % layout.cells) for c in placed)} would all be {layout.symbols[digit - 1]}"
    return f"none of {layout.houses[house].name} can be {layout.symbols[digit - 1]}"


def _naked_single(proof: Proof, pattern: Pattern) -> str:
    candidate = grid_of(proof).candidate(pattern.role("placed")[0])
    return f"{candidate.cell} must be {candidate.written}: it is its only value left."


def _hidden_single(proof: Proof, pattern: Pattern) -> str:
    grid = grid_of(proof)
    candidate = grid.candidate(pattern.role("placed")[0])
    name = grid.layout.houses[pattern.role("house")[0]].name
    return (
        f"Every value is taken once by {name}, and only {candidate.cell} can still be {candidate.written}, "
        f"so {candidate}."
    )


def _one_rule(proof: Proof, pattern: Pattern) -> str:
    grid = grid_of(proof)
    rule = _said(grid, pattern.role("rule")[0])
    hit = {c.cell for c in (*proof.eliminates, *proof.places)}
    others = [cell for cell in pattern.role("read") if grid.layout.cell_name(cell) not in hit or len(hit) > 1]
    placed = [
        str(grid.candidate(c))
        for c, _ in grid.model.constraints[pattern.role("rule")[0]].terms
        if grid.true >> c & 1 and others
    ]
    read = series([*placed, *(_said(grid, cell) for cell in others)])
    if len(others) + len(placed) > _MOST_READ:
        read = f"the other {len(others) + len(placed)} variables leave little room"
    if proof.contradiction:
        return f"It is asked that {rule}, but {read or 'nothing is left for it'}. So this position has no solution."
    return f"It is asked that {rule}. {f'{_sentence(grid, read)}, so' if read else 'So'} {_fate(proof)}."


def _subset(proof: Proof, pattern: Pattern) -> str:
    grid = grid_of(proof)
    cells, digits = pattern.role("subset"), [digit - 1 for digit in pattern.role("digits")]
    names = series(map(grid.layout.cell_name, sorted(cells)))
    values = series(grid.layout.symbols[d] for d in sorted(digits))
    if pattern.name.startswith("naked"):
        where = series(grid.layout.houses[h].name for h in pattern.role("houses"))
        return (
            f"{names} have no values left but {values}, and no two of {where} are the same. So they use these up, and "
            f"{_fate(proof)}."
        )
    where = grid.layout.houses[pattern.role("house")[0]].name
    return (
        f"Every value is taken once by {where}, and only {names} can still be {values}. So they are needed for these, "
        f"and {_fate(proof)}."
    )


def _chain(proof: Proof, chain: Chain) -> str:
    """Tell a chain from one end being false to the other being true, or the two cases of a loop."""
    grid = grid_of(proof)
    if chain.loop:
        one = series(_node(grid, node) for node in chain.nodes[0::2])
        two = series(_node(grid, node) for node in chain.nodes[1::2])
        return (
            f"Read round the loop, its candidates are true and false by turns: either {one}, or {two}. "
            f"In both cases {_fate(proof)}."
        )
    first, last = chain.nodes[0], chain.nodes[-1]
    told = f"Suppose that {_node(grid, first)} is false."
    true = True
    for link, _, far in _linked(chain):
        end = f"{_node(grid, far)}" if true else f"not {_node(grid, far)}"
        told += f" Then {end} ({_reason(grid, link)})."
        true = not true
    if first == last:
        return f"{told} That is against the supposition, so {_fate(proof)}."
    return f"{told} So {_node(grid, first)} or {_node(grid, last)}, if not both, and either way {_fate(proof)}."


def _supposition(proof: Proof, pattern: Pattern) -> str:
    """Tell a supposition: what is supposed, each inference on a line of its own, and that it broke down."""
    grid = grid_of(proof)
    candidate = grid.candidate(pattern.role("supposed")[0])
    lines = [f"Suppose that {candidate}."]
    argument = proof.inferences[0].argument
    if isinstance(argument, Supposition):
        position = place(grid.model, Position(grid.live, grid.true), argument.candidate)
        inner = [*pattern.inner, *(Pattern("counting argument") for _ in argument.inferences[len(pattern.inner) :])]
        for number, (inference, part) in enumerate(zip(argument.inferences, inner, strict=False), 1):
            step = Proof(grid.moved(position), (inference,), part)
            told = tell_problem(step)
            lines.append(f"{number}. {told}" if step.contradiction else f"{number}. {problem_headline(step)}. {told}")
            position = after(grid.model, position, inference)
    lines.append(f"The supposition has led to what cannot be, so {candidate.cell} is not {candidate.written}.")
    return "\n".join(lines)


def _counting(proof: Proof, pattern: Pattern) -> str:
    return _sum_told(proof, argument_of(grid_of(proof), pattern))


def _added_up(proof: Proof) -> str:
    """Tell any other proof by what its sums take together."""
    sums = [i.argument for i in proof.inferences if isinstance(i.argument, Counting)]
    return " ".join(_sum_told(proof, argument) for argument in sums)


def _sum_told(proof: Proof, argument: Counting) -> str:
    """Tell a sum: as needs against room where each constraint counts candidates, else by what is added up."""
    grid = grid_of(proof)
    model = grid.model
    both = (*argument.bases, *argument.covers)
    end = "So this position has no solution." if proof.contradiction else f"So {_fate(proof)}."
    plain = all(a == 1 for number, _ in both for _, a in model.constraints[number].terms)
    bounded = all((model.constraints[n].lower or 0) >= 0 for n, _ in argument.bases)
    if not plain or not bounded:
        needed = series(f"that {_said(grid, n)}{_times(w)}" for n, w in argument.bases)
        room = series(f"that {_said(grid, n)}{_times(w)}" for n, w in argument.covers)
        parts = [f"at the least {needed}"] * bool(argument.bases) + [f"at the most {room}"] * bool(argument.covers)
        held = (
            "no filling meets the sum of all this" if proof.contradiction else "the sum of all this leaves no other way"
        )
        return f"Add up {'; and '.join(parts)}. Over the values that are left, {held}. {end}"
    false, true = [*map(grid.number, proof.eliminates)], [*map(grid.number, proof.places)]
    first = next(iter((*true, *false)), None)
    bases, covers = [*argument.bases], [*argument.covers]
    told = ""
    if first is not None:
        supposed = grid.candidate(first)
        told = f"Suppose that {supposed.cell} {'is not' if true else 'is'} {supposed.written}. Then "
        if not true:
            bases = [(n, w) for n, w in bases if not model.masks[n] >> first & 1]
            covers = [(n, w) for n, w in covers if not model.masks[n] >> first & 1]
    needs = sum((model.constraints[n].lower or 0) * w for n, w in bases)
    spare = sum((model.constraints[n].upper or 0) * w for n, w in covers)
    told += f"{_count(needs, 'need')} to be met: {series(f'{_said(grid, n)}{_times(w)}' for n, w in bases)}. "
    if covers:
        limits = series(f"{_limit(grid, n)}{_times(w)}" for n, w in covers)
        told += f"What could meet {'it' if needs == 1 else 'them'} has room for {in_words(spare)}: {limits}"
    else:
        told += "Nothing that could is left"
    weights, _ = coefficients(model, argument)
    spared = [c for c, w in weights.items() if w < 0 and c != first and (grid.live & ~grid.true) >> c & 1]
    if spared:
        told += f"; {series(str(grid.candidate(c)) for c in sorted(spared))} would meet more than one at once"
    taken = [c for c, w in weights.items() if w > 0 and grid.true >> c & 1]
    if taken:
        told += f"; of this {series(str(grid.candidate(c)) for c in sorted(taken))} already takes a part"
    return f"{_sentence(grid, told)}. That is not enough. {end}"


def _limit(grid: Grid, number: int) -> str:
    """Say how much room a constraint has."""
    layout = grid.layout
    if number < layout.cells:
        return f"{layout.cell_name(number)} has one value"
    found = layout.house_of(number)
    if found is None:
        return _said(grid, number)
    return f"only {_said(grid, number)}"


def _count(count: int, noun: str) -> str:
    return f"{in_words(count)} {noun}{' is' if count == 1 else 's are'}"


def _times(weight: int) -> str:
    """Say how often something counts if that is more than once."""
    return {1: "", 2: " (counted twice)"}.get(weight, f" (counted {in_words(weight)} times)")


_TELLERS: dict[str, Callable[[Proof, Pattern], str]] = {
    "last open cell": _hidden_single,
    "naked single": _naked_single,
    "hidden single": _hidden_single,
    "one rule alone": _one_rule,
    "naked pair": _subset,
    "naked triple": _subset,
    "naked quad": _subset,
    "hidden pair": _subset,
    "hidden triple": _subset,
    "hidden quad": _subset,
    "counting argument": _counting,
    "supposition": _supposition,
}
"""For each pattern the function that tells it."""
