"""Plain English for proofs and walks: which words each pattern has, and those of the plainest patterns.

Every sentence is written from the roles of a pattern and the notes of its grid, never from the argument, so that it
tells what to look at, why, and what falls.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from itertools import chain
from typing import TYPE_CHECKING

from deduce.kernel import Counting, Position
from deduce.patterns.locked import EARLIER, LOCKED
from deduce.positions import after
from deduce.proof import Candidate, Pattern, Proof
from deduce.puzzle.grid import Grid, grid_of
from deduce.puzzle.layout import Layout
from deduce.words.en.chains import tell_chain
from deduce.words.en.links import read_links, read_premises
from deduce.words.en.names import Names, capital, digit_of, in_words, losses, named, series
from deduce.words.en.notation import notation
from deduce.words.en.problems import count_open, problem_headline, problem_line, problem_lines, tell_problem
from deduce.words.en.reasons import barred, unmet, witnesses
from deduce.words.en.rules import TELLERS as RULE_TELLERS
from deduce.words.en.sets import TELLERS as SET_TELLERS
from deduce.words.en.sums import TELLERS as SUM_TELLERS
from deduce.words.en.suppositions import HEADLINES, LONGER
from deduce.words.en.suppositions import TELLERS as COUNTING_TELLERS
from deduce.words.en.tallies import tell_argument
from deduce.words.en.unique import TELLERS as UNIQUE_TELLERS
from deduce.words.en.unique import assumed as assumed_unique
from deduce.words.en.where import tell_where

if TYPE_CHECKING:
    from deduce.pictures.scene import Scene
    from deduce.walks.walk import Walk

_Tellers = dict[str, Callable[[Proof, Names, Pattern], str]]

__all__ = [
    "LEVELS",
    "SUPPOSED",
    "TABLES",
    "TELLERS",
    "canvas",
    "cell_list",
    "describe",
    "explain",
    "headline",
    "key_of",
    "no_way",
    "notation",
    "outcome",
    "puzzle_line",
    "stage_title",
    "tell",
    "wants",
]

_KEY = {
    "base": "needs one",
    "cover": "has room for one",
    "rule": "rule",
    "sum": "adds up",
    "pivot": "pivot",
    "pincer": "pincer",
    "subset": "subset",
    "cell": "cell of the pattern",
    "swappable": "{digit}s could change places",
    "added": "is added",
    "taken": "is taken away",
    "set": "almost locked set",
    "follows": "placed by what was supposed",
    "bar": "bars a {digit}",
    "trouble": "cannot be met",
    "pattern": "pattern",
    "fin": "fin",
    "exit": "exit, one of these is true",
    "even": "false in turn",
    "odd": "true in turn",
    "strong": "strong link",
    "weak": "weak link",
    "end": "end of the chain",
    "hit": "bars what falls",
    "eliminated": "falls",
    "lost": "loses a {note}",
    "target": "gets its {digit}",
    "placed": "placed",
    "opened": "can be placed now",
    "look": "look here",
}
"""What the marks of a picture mean, in the order of its key."""


SUPPOSED = {"even": "gone, in order", "odd": "placed, in order", "end": "supposed"}
"""What the marks of a supposition mean."""


def wants(symbols: Iterable[str], *, needs: bool) -> str:
    """Say that a house needs digits, or has room for one of each."""
    said = [f"{'one' if not needs else 'an' if symbol in '8AEFHILMNORSX' else 'a'} {symbol}" for symbol in symbols]
    return f"{'needs' if needs else 'has room for'} {series(said)}"


def no_way(name: str, symbol: str) -> str:
    """Say that a house has no place for a digit, or a cell no digit."""
    return f"{name} has no place for {symbol}" if symbol else f"{name} has no digit left"


def key_of(layout: Layout) -> dict[str, str]:
    """Return what the marks of a picture mean on a layout."""
    return {role: meaning.format_map(layout.nouns._asdict()) for role, meaning in _KEY.items()}


LEVELS = ("where", "name", "line", "paragraph", "full")
"""How much is said: where to look; the name; both with what is concluded; a paragraph that a newcomer can follow; every
link or premise by itself."""


def explain(proof: Proof, level: str = "paragraph") -> str:
    """Return the reasoning of a proof in words.

    Parameters
    ----------
    proof : Proof
        A proof on a `Grid`.
    level : str
        ``"where"``: which houses to look at, without giving anything away.  ``"name"``: what the pattern is called.
        ``"line"``: what is concluded and by which pattern.  ``"paragraph"``: what to look at, why, and what falls.
        ``"full"``: numbered lines, one for each link of the chain or for each thing to be read, then what follows.

    Returns
    -------
    str
        Whole sentences, except for the name and the line.  The last ones of a paragraph or more say whether the proof
        assumes a unique solution, and name the person's notes that it rests on, if there are any.

    Raises
    ------
    ValueError
        For an unknown level.
    """
    if level not in LEVELS:
        raise ValueError(f"level is {level!r}; give one of {', '.join(map(repr, LEVELS))}")
    if level == "where":
        return tell_where(proof)
    if level == "name":
        return _title(proof)
    if level == "line":
        return headline(proof)
    told = _told(proof) if level == "paragraph" else "\n".join(_numbered(proof))
    told += assumed_unique(proof)
    return told + rests_on_notes(proof.assumes, most=None if level == "full" else MOST_NOTES)


MOST_NOTES = 6
"""How many of a person's notes a sentence names; `Proof.assumes` and the fullest words have them all."""


def rests_on_notes(notes: Sequence[Candidate], *, most: int | None = MOST_NOTES) -> str:
    """Return a sentence that names a person's notes, with a blank in front; nothing where there is none.

    Where there are more than `most`, their number and the first few are told.
    """
    if not notes:
        return ""
    first = notes if most is None or len(notes) <= most else notes[: most - 1]
    named = series(
        f"that {c.cell} is not {c.written}" if c.variable else f"that {c.written} is not in {c.cell}" for c in first
    )
    if len(first) < len(notes):
        return f" This rests on {len(notes)} of your notes, among them {named}."
    return f" This rests on your note{'s' * (len(notes) > 1)} {named}."


def _numbered(proof: Proof) -> list[str]:
    """Return the reasoning as numbered lines."""
    if _on_problem(proof):
        return [f"{number}. {line}" for number, line in enumerate(problem_lines(proof), 1)]
    chain, longer = proof.pattern.chain, LONGER.get(proof.pattern.name)
    if longer is not None:
        lines = longer(proof, Names(grid_of(proof).layout), proof.pattern)
    else:
        lines = [*read_premises(proof), *_counts(proof)] if chain is None else read_links(proof, chain)
    return [f"{number}. {line}" for number, line in enumerate(lines, 1)]


def _counts(proof: Proof) -> list[str]:
    """Tell what the premises of a proof come to, sum by sum; as the paragraph does where something is exchanged."""
    grid, told = grid_of(proof), list[str]()
    position = Position(grid.live, grid.true)
    for inference in proof.inferences:
        argument = inference.argument
        if not isinstance(argument, Counting) or argument.swaps or proof.contradiction:
            return [_told(proof)]
        step = Proof(grid.moved(position), (inference,), proof.pattern)
        told.append(tell_argument(step, Names(grid.layout), argument))
        position = after(grid.model, position, inference)
    return told


def headline(proof: Proof) -> str:
    """Return one line with the pattern's name and what it concludes; more than eight cells at once are only counted.

    Examples
    --------
    >>> from deduce.kernel import Counting, Inference
    >>> six = Inference(Counting(((0, 1),), ()), (), (5 * 81,))
    >>> headline(Proof(Grid.empty(), (six,), Pattern("naked single")))
    'Naked single: 6 in r1c1'
    """
    if _on_problem(proof):
        return problem_headline(proof)
    shown = HEADLINES.get(proof.pattern.name)
    if proof.contradiction:
        reason = _nothing_left(proof)
    elif shown is not None:
        reason = shown(proof, Names(grid_of(proof).layout))
    else:
        placed = [f"{c.symbol or c.digit} in r{c.row}c{c.column}" for c in proof.places]
        filled = {c.cell for c in proof.places}
        gone = [c for c in proof.eliminates if c.cell not in filled]
        reason = "; ".join([series(placed)] * bool(placed) + [losses(gone, 8)] * bool(gone))
    return f"{_title(proof)}: {reason}"


def _title(proof: Proof) -> str:
    """Return the name of a pattern with a capital."""
    return capital(proof.pattern.name.replace("digit", "value") if _on_problem(proof) else proof.pattern.name)


def _on_problem(proof: Proof) -> bool:
    """Whether the cells of a proof are variables of a problem."""
    return grid_of(proof).layout.problem is not None


def outcome(walk: Walk) -> str:
    """Return a sentence on how a walk ended, and one each on steps that rest on notes or assume a unique solution."""
    return " ".join(filter(None, (_ending(walk), _untried(walk), assumption(walk))))


def _untried(walk: Walk) -> str:
    """Say what could not be tried, if anything."""
    if not walk.untried:
        return ""
    what = capital(" and ".join(f"{name}s" for name in walk.untried))
    return f"{what} could not be tried: they need the package highspy, which cannot be loaded here."


def assumption(walk: Walk) -> str:
    """Return how many steps rest on a person's notes, and how many on a unique solution; empty if none does."""
    told = []
    notes = [step.proof.noted for step in walk.steps if step.proof.noted]
    if notes:
        steps = "1 step rests" if len(notes) == 1 else f"{len(notes)} steps rest"
        several = len({*chain(*notes)})
        told.append(f"{steps} on {'one' if several == 1 else several} of your notes.")
    resting = sum(step.proof.assumes_unique for step in walk.steps)
    if resting:
        steps = "1 step assumes" if resting == 1 else f"{resting} steps assume"
        known = "it has" if walk.one_solution else "whether it has is not known"
        told.append(f"{steps} that the puzzle has only one solution; {known}.")
    return " ".join(told)


def _ending(walk: Walk) -> str:
    done = len(walk.steps)
    steps = f"{done} step" if done == 1 else f"{done} steps"
    grid = walk.grid
    open_ = grid.layout.cells - grid.true.bit_count()
    cells = "1 cell is" if open_ == 1 else f"{open_} cells are"
    if grid.layout.problem:
        cells = count_open(grid)
    ended = walk.outcome.value
    if ended == "solved":
        return f"Solved in {steps}."
    if ended == "goal reached":
        return f"What was asked for is settled after {steps}; {cells} still open."
    if ended == "impossible":
        why = headline(walk.steps[-1].proof).partition(": ")[2]
        if done == 1:
            return f"The position has no solution: {why}."
        return f"Step {done} shows that the position has no solution: {why}."
    if ended == "budget spent":
        return f"The search stopped after {steps} because its budget was spent; {cells} still open."
    return f"No pattern that was tried finds anything after {steps}; {cells} still open."


def tell(walk: Walk) -> str:
    """Return a walk as text: for each step its headline, the reasoning and the written chain, then how it ended."""
    told = [puzzle_line(walk.start)]
    for number, step in enumerate(walk.steps, 1):
        chain = notation(step.proof)
        lines = [f"{number}. {headline(step.proof)}", f"   {explain(step.proof)}"]
        told.append("\n".join([*lines, f"   {chain}"] if chain else lines))
    return "\n\n".join([*told, outcome(walk)])


def describe(scene: Scene) -> str:
    """Return what a scene shows, for those who do not see it."""
    names = Names(scene.layout)
    placed = len(scene.digits)
    held = "1 digit placed" if placed == 1 else f"{placed} digits placed"
    said = [f"{capital(canvas(scene.layout))} with {held}{' and notes in the open cells' * bool(scene.notes)}"]
    problem = scene.layout.problem
    if problem:
        said = [f"{capital(canvas(scene.layout))}, {placed} placed"]
    for role, meaning in key_of(scene.layout).items():
        areas = [area.name for area in scene.areas if area.role == role]
        if areas:
            said.append(f"{capital(meaning)}: {series(areas)}")
        pairs = [(names.digit(note.digit), names.cell(note.cell)) for note in scene.notes if note.role == role]
        notes = [f"{cell} = {digit}" if problem else f"{digit}{cell}" for digit, cell in pairs]
        if notes:
            said.append(f"{capital(meaning)}: {series(notes)}")
    return ". ".join(said) + "."


def stage_title(stage: str, proof: Proof) -> str:
    """Return the title of a picture of the position before a step or after it."""
    if stage == "before":
        return "Before the step"
    return f"After the step: {headline(proof)}"


def cell_list(layout: Layout, cells: Iterable[int]) -> str:
    """Return a list of cells."""
    return Names(layout).cells(cells)


def puzzle_line(grid: Grid) -> str:
    """Return one sentence on what is given: size, givens, and how many cells are open."""
    if grid.layout.problem:
        return problem_line(grid)
    givens, placed = grid.givens.bit_count(), grid.true.bit_count()
    sentence = f"{capital(canvas(grid.layout))} with {givens} given{'' if givens == 1 else 's'}"
    if placed > givens:
        sentence += f", {placed - givens} more placed"
    open_ = grid.layout.cells - placed
    return f"{sentence} and {open_} open cell{'' if open_ == 1 else 's'}."


def canvas(layout: Layout) -> str:
    """Return what a layout looks like with its article, such as ``a 9 by 9 grid``."""
    if layout.problem:
        return f"a table of {layout.cells} variables and {layout.order} values"
    if layout.cells == layout.height * layout.width:
        first = layout.height
        return f"{'an' if first in (8, 11, 18) else 'a'} {first} by {layout.width} grid"
    return f"a grid of {layout.cells} cells on {layout.height} by {layout.width} places"


def _told(proof: Proof) -> str:
    """Return the reasoning without the sentence on assumed notes."""
    if _on_problem(proof):
        return tell_problem(proof)
    pattern = proof.pattern
    if proof.contradiction and not pattern.roles:
        return _contradiction(proof)
    return TELLERS.get(pattern.name, _chain)(proof, Names(grid_of(proof).layout), pattern)


def _chain(proof: Proof, _: Names, pattern: Pattern) -> str:
    """Tell a chain; what has neither chain nor teller by what is read."""
    return tell_chain(proof, pattern.chain) if pattern.chain is not None else _counted(proof)


def _last_open_cell(_: Proof, names: Names, pattern: Pattern) -> str:
    digit, cell = names.split(pattern.role("placed")[0])
    symbol, where = names.digit(digit), names.houses(pattern.role("house"))
    return f"{names.cell(cell)} is the last open cell of {where}, and {symbol} is the digit that {where} still lacks."


def _hidden_single(proof: Proof, names: Names, pattern: Pattern) -> str:
    grid = grid_of(proof)
    digit, cell = names.split(pattern.role("placed")[0])
    house = pattern.role("house")[0]
    symbol, place, where = names.digit(digit), names.cell(cell), names.houses([house])
    if len(names.open_cells(grid, house)) == 1:
        return _last_open_cell(proof, names, pattern)
    placed, others = barred(grid, house, digit)
    reasons = []
    if placed:
        reasons.append(
            f"the {symbol}{'s' * (len(placed) > 1)} in {names.cells(placed)} {_bars(len(placed), bool(others))}"
        )
    if others:
        reasons.append(f"{symbol} has been ruled out in {names.cells(others)}")
    return f"{capital(where)} needs {names.a(digit)}, and only {place} can take it: {series(reasons)}."


def _bars(count: int, more: bool) -> str:
    """Say what placed digits do to the open cells of a house."""
    verb = "bars" if count == 1 else "between them bar"
    return f"{verb} {'other open cells' if more else 'every other open cell'}"


def _naked_single(proof: Proof, names: Names, pattern: Pattern) -> str:
    grid = grid_of(proof)
    digit, cell = names.split(pattern.role("placed")[0])
    symbol, place = names.digit(digit), names.cell(cell)
    if witnesses(grid, cell)[1]:
        houses = names.houses(names.layout.houses_of[cell])
        return f"{place} sees every digit but {symbol} in {houses}, so {symbol} is all that it can hold."
    return f"Every digit but {symbol} has been ruled out in {place}, so {symbol} is all that it can hold."


def _locked(proof: Proof, names: Names, pattern: Pattern) -> str:
    number, symbol = digit_of(names, pattern)
    base, cover = names.houses(pattern.role("base")), names.houses(pattern.role("cover"))
    cells = sorted({names.split(candidate)[1] for candidate in pattern.role("locked")})
    if not cover:
        return (
            f"{capital(base)} has its {symbol} in {names.cells(cells, 'or')}. {capital(names.a(number))} that sees "
            f"{'both' if len(cells) == 2 else 'all of these'} would leave {base} without one, so it falls: "
            f"{losses(proof.eliminates)}."
        )
    return (
        f"All places that {base} has left for {symbol}, {names.cells(cells)}, lie in {cover}. "
        f"{capital(base)} puts its {symbol} in one of them, and that is also the {symbol} of {cover}, "
        f"so {symbol} falls in the rest of {cover}: {losses(proof.eliminates)}."
    )


def _naked_subset(proof: Proof, names: Names, pattern: Pattern) -> str:
    cells, digits = pattern.role("subset"), pattern.role("digits")
    hit = {_cell_of(names, c.row, c.column) for c in proof.eliminates}
    houses = [h for h in pattern.role("houses") if hit & set(names.layout.houses[h].cells)]
    count = in_words(len(cells))
    where = names.houses(houses or pattern.role("houses"))
    return (
        f"Between them {names.cells(cells)} hold no digits but {names.digits(digits)}, and they share {where}. "
        f"{capital(count)} cells use up {count} digits, so {names.digits(digits)} fall everywhere else in {where}: "
        f"{losses(proof.eliminates)}."
    )


def _hidden_subset(proof: Proof, names: Names, pattern: Pattern) -> str:
    cells, digits = pattern.role("subset"), pattern.role("digits")
    count = in_words(len(cells))
    return (
        f"In {names.houses(pattern.role('house'))} the digits {names.digits(digits)} have no places but "
        f"{names.cells(cells)}. {capital(count)} digits fill {count} cells, so these cells have no room for anything "
        f"else: {losses(proof.eliminates)}."
    )


def _fish(proof: Proof, names: Names, pattern: Pattern) -> str:
    _, symbol = digit_of(names, pattern)
    lines, covers = pattern.role("base lines"), pattern.role("cover lines")
    count = in_words(len(lines))
    cover = names.houses(covers)
    return (
        f"{capital(names.houses(lines))} have places for {symbol} only in {cover}. The {count} of them need {count} "
        f"{symbol}s, and {cover} can give no more than one each, so none is left over for other cells of {cover}: "
        f"{losses(proof.eliminates)}."
    )


def _skyscraper(proof: Proof, names: Names, pattern: Pattern) -> str:
    first, near, far, last = _four(names, pattern)
    digit, symbol = digit_of(names, pattern)
    lines = pattern.role("lines")
    return (
        f"{capital(names.houses(lines))} have two places each for {symbol}, and {names.cell(near)} and "
        f"{names.cell(far)} both lie in {names.houses(pattern.role('cross line'))}, so one of these two is not "
        f"{symbol}. Its {names.layout.houses[lines[0]].kind} has the {symbol} at the other end, {names.cell(first)} or "
        f"{names.cell(last)}, and {names.a(digit)} that sees both ends falls: {losses(proof.eliminates)}."
    )


def _kite(proof: Proof, names: Names, pattern: Pattern) -> str:
    first, near, far, last = _four(names, pattern)
    digit, symbol = digit_of(names, pattern)
    return (
        f"{capital(names.houses(pattern.role('lines')))} have two places each for {symbol}, and one place of each, "
        f"{names.cell(near)} and {names.cell(far)}, lies in {names.houses(pattern.role('region'))}, which takes only "
        f"one {symbol}. So {names.cell(first)} or {names.cell(last)} is {symbol}, and {names.a(digit)} that sees "
        f"both falls: {losses(proof.eliminates)}."
    )


def _xy_wing(proof: Proof, names: Names, pattern: Pattern) -> str:
    grid = grid_of(proof)
    pivot, pincers = pattern.role("pivot")[0], pattern.role("pincers")
    digit, symbol = digit_of(names, pattern)
    return (
        f"{names.cell(pivot)} is {names.digits(names.notes(grid, pivot), 'or')}. "
        f"{_forced(names, grid, pattern)}. Either way one of {names.cells(pincers)} is {symbol}, "
        f"and {names.a(digit)} that sees both falls: {losses(proof.eliminates)}."
    )


def _xyz_wing(proof: Proof, names: Names, pattern: Pattern) -> str:
    grid = grid_of(proof)
    pivot, pincers = pattern.role("pivot")[0], pattern.role("pincers")
    digit, symbol = digit_of(names, pattern)
    return (
        f"{names.cell(pivot)} is {names.digits(names.notes(grid, pivot), 'or')}. {_forced(names, grid, pattern)}; "
        f"otherwise it is {symbol} itself. So one of {names.cells([pivot, *pincers])} is {symbol}, "
        f"and {names.a(digit)} that sees all three falls: {losses(proof.eliminates)}."
    )


def _forced(names: Names, grid: Grid, pattern: Pattern) -> str:
    """Say what each digit of the pivot that a pincer shares makes of that pincer."""
    pivot, digit = pattern.role("pivot")[0], pattern.role("digit")[0]
    parts = []
    for pincer in pattern.role("pincers"):
        for shared in names.notes(grid, pincer):
            if shared != digit and shared in names.notes(grid, pivot):
                held = f"which is {names.digits(names.notes(grid, pincer), 'or')}"
                sight = names.meeting([pivot, pincer])
                seen = f" and sees it in {sight}" if sight else ""
                told = f"if it is {names.digit(shared)}, {names.cell(pincer)}, {held}{seen}, is {names.digit(digit)}"
                parts.append((shared, told))
    return capital("; ".join(told for _, told in sorted(parts)))


def _w_wing(proof: Proof, names: Names, pattern: Pattern) -> str:
    grid = grid_of(proof)
    pincers = pattern.role("pincers")
    digit, symbol = digit_of(names, pattern)
    notes = names.notes(grid, pincers[0])
    other = next((d for d in notes if d != digit), digit)
    bridge = pattern.role("bridge")[0]
    if pattern.chain is None:
        return _counted(proof)
    first, near, far, last = (names.split(pattern.chain.nodes[i][0])[1] for i in (0, 2, 3, 5))
    one, two = names.cell(near), names.cell(far)
    return (
        f"{names.cells(pincers)} each hold {names.digits(notes, 'or')}. {capital(names.houses([bridge]))} has its "
        f"{names.digit(other)} in {one} or {two}: if in {one}, {names.cell(first)} sees it and is {symbol}; "
        f"if in {two}, {names.cell(last)} sees it and is {symbol}. "
        f"Either way {names.a(digit)} that sees both {names.cells(pincers)} falls: {losses(proof.eliminates)}."
    )


def _contradiction(proof: Proof) -> str:
    return f"{capital(_nothing_left(proof))}, so this position has no solution."


def _nothing_left(proof: Proof) -> str:
    """Name the constraint that cannot be met, as the person meets it on the grid."""
    grid = grid_of(proof)
    names = [grid.model.constraints[number].name for number in unmet(proof)]
    found = (finding.sentence for name in names for finding in grid.status() if finding.constraint == name)
    return next(found, "the rules cannot all be met")


def _counted(proof: Proof) -> str:
    """Tell a proof whose pattern has no sentence of its own: what is read, and what has no room."""
    read, layout = [], grid_of(proof).layout
    for number in proof.bases:
        scan, name = layout.house_of(number) is not None, named(layout, number)
        read.append(f"the places for {name}" if scan else f"the digits of {name}")
    parts = [f"{capital(series(read))} leave no other way"] * bool(read)
    concluded = [f"r{c.row}c{c.column} is {c.symbol or c.digit}" for c in proof.places]
    if proof.eliminates:
        concluded.append(losses(proof.eliminates))
    return f"{': '.join([*parts, series(concluded)])}."


def _four(names: Names, pattern: Pattern) -> tuple[int, int, int, int]:
    """Return the cells of a chain of four single candidates, in order."""
    nodes = pattern.chain.nodes if pattern.chain else ()
    a, b, c, d = (names.split(node[0])[1] for node in nodes)
    return a, b, c, d


def _cell_of(names: Names, row: int, column: int) -> int:
    return names.layout.cell_at[row - 1, column - 1]


_OWN: _Tellers = {
    "last open cell": _last_open_cell,
    "hidden single": _hidden_single,
    "naked single": _naked_single,
    **dict.fromkeys((*LOCKED, *EARLIER), _locked),
    "naked pair": _naked_subset,
    "naked triple": _naked_subset,
    "naked quad": _naked_subset,
    "hidden pair": _hidden_subset,
    "hidden triple": _hidden_subset,
    "hidden quad": _hidden_subset,
    "X-wing": _fish,
    "swordfish": _fish,
    "jellyfish": _fish,
    "skyscraper": _skyscraper,
    "two-string kite": _kite,
    "XY-wing": _xy_wing,
    "XYZ-wing": _xyz_wing,
    "W-wing": _w_wing,
    "X-chain": _chain,
    "XY-chain": _chain,
    "chain with both ends on one digit": _chain,
    "chain with linked ends on different digits": _chain,
    "chain that returns to its start": _chain,
    "continuous loop": _chain,
    "grouped loop": _chain,
    "contradiction": lambda proof, _, __: _contradiction(proof),
}

TABLES = (_OWN, COUNTING_TELLERS, RULE_TELLERS, SET_TELLERS, SUM_TELLERS, UNIQUE_TELLERS)

TELLERS: _Tellers = {name: teller for table in TABLES for name, teller in table.items()}
"""For each pattern the one function that tells it."""
