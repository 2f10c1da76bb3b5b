"""Plain English for proofs and walks: which words each pattern has, and what is said of a whole solve.

Every sentence is written from the roles of a pattern and the notes of its grid, never from the argument, so that it
tells what to look at, why, and what falls.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from itertools import chain
from typing import TYPE_CHECKING

from deduce.kernel import Counting, Position
from deduce.positions import after
from deduce.proof import Candidate, Pattern, Proof
from deduce.puzzle.grid import Grid, grid_of
from deduce.puzzle.layout import Layout
from deduce.words.en.links import read_links, read_premises
from deduce.words.en.names import Names, article, capital, entry, losses, many, series
from deduce.words.en.notation import notation
from deduce.words.en.plain import TELLERS as PLAIN_TELLERS, Teller, tell_chained
from deduce.words.en.problems import TELLERS as PROBLEM_TELLERS
from deduce.words.en.reasons import unmet
from deduce.words.en.rules import TELLERS as RULE_TELLERS
from deduce.words.en.sums import TELLERS as SUM_TELLERS
from deduce.words.en.suppositions import HEADLINES, LONGER, TELLERS as COUNTING_TELLERS
from deduce.words.en.tallies import tell_argument
from deduce.words.en.unique import TELLERS as UNIQUE_TELLERS, assumed as assumed_unique
from deduce.words.en.where import tell_where

if TYPE_CHECKING:
    from deduce.pictures.scene import Scene
    from deduce.walks.walk import Walk

__all__ = ["LEVELS", "SUPPOSED", "TABLES", "TELLERS", "canvas", "cell_list", "describe", "explain", "headline"]
__all__ += ["key_of", "no_way", "notation", "outcome", "puzzle_line", "stage_title", "tell", "wants"]

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
    said = [article(symbol) if needs else f"one {symbol}" for symbol in symbols]
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
    short = {"where": tell_where, "name": _title, "line": headline}.get(level)
    if short is not None:
        return short(proof)
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
    shown = None if grid_of(proof).layout.problem else HEADLINES.get(proof.pattern.name)
    if proof.contradiction:
        reason = _nothing_left(proof)
    elif shown is not None:
        reason = shown(proof, Names(grid_of(proof).layout))
    else:
        placed = [*map(entry, proof.places)]
        filled = {c.cell for c in proof.places}
        gone = [c for c in proof.eliminates if c.cell not in filled]
        reason = "; ".join([series(placed)] * bool(placed) + [losses(gone, 8)] * bool(gone))
    return f"{_title(proof)}: {reason}"


def _title(proof: Proof) -> str:
    """Return the name of a pattern with a capital: of a problem cells are variables, and digits are values."""
    return capital(Names(grid_of(proof).layout).worded(proof.pattern.name))


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
    grid, steps = walk.grid, many(len(walk), "step", str)
    still = f"{_open(grid.layout, grid.layout.cells - grid.true.bit_count())} still open."
    if walk.outcome.value == "impossible":
        shown = "The position has" if len(walk) == 1 else f"Step {len(walk)} shows that the position has"
        return f"{shown} no solution: {headline(walk.steps[-1].proof).partition(': ')[2]}."
    return {
        "solved": f"Solved in {steps}.",
        "goal reached": f"What was asked for is settled after {steps}; {still}",
        "budget spent": f"The search stopped after {steps} because its budget was spent; {still}",
    }.get(walk.outcome.value, f"No pattern that was tried finds anything after {steps}; {still}")


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
    layout, placed = scene.layout, len(scene.digits)
    held = f" with {many(placed, 'digit', str)} placed{' and notes in the open cells' * bool(scene.notes)}"
    said = [f"{capital(canvas(layout))}{f', {placed} placed' if layout.problem else held}"]
    for role, meaning in key_of(layout).items():
        areas = [area.name for area in scene.areas if area.role == role]
        if areas:
            said.append(f"{capital(meaning)}: {series(areas)}")
        notes = [layout.candidate(layout.number(note.digit, note.cell)) for note in scene.notes if note.role == role]
        if notes:
            said.append(f"{capital(meaning)}: {series(map(str, notes))}")
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
    givens, placed, layout = grid.givens.bit_count(), grid.true.bit_count(), grid.layout
    if layout.problem:
        values, still = many(layout.order, "value", str), _open(layout, layout.cells - placed)
        return f"A problem of {layout.cells} variables and {values}; {still} open, {placed} placed."
    sentence = f"{capital(canvas(layout))} with {many(givens, 'given', str)}"
    if placed > givens:
        sentence += f", {placed - givens} more placed"
    return f"{sentence} and {many(layout.cells - placed, 'open cell', str)}."


def _open(layout: Layout, count: int) -> str:
    """Say how many cells are ... open."""
    return f"{many(count, layout.nouns.cell, str)} {'is' if count == 1 else 'are'}"


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
    names, pattern = Names(grid_of(proof).layout), proof.pattern
    if proof.contradiction and not pattern.roles:
        return _contradiction(proof, names, pattern)
    tellers: Mapping[str, Teller] = TELLERS | PROBLEM_TELLERS if names.problem else TELLERS
    return tellers.get(pattern.name, tell_chained)(proof, names, pattern)


def _contradiction(proof: Proof, names: Names, _: Pattern) -> str:
    return f"{names.sentence(_nothing_left(proof))}, so this position has no solution."


def _nothing_left(proof: Proof) -> str:
    """Name the constraint that cannot be met, as the person meets it on the grid."""
    grid = grid_of(proof)
    names = [grid.model.constraints[number].name for number in unmet(proof)]
    found = (finding.sentence for name in names for finding in grid.status() if finding.constraint == name)
    return next(found, "the rules cannot all be met")


TABLES: tuple[Mapping[str, Teller], ...] = (
    PLAIN_TELLERS,
    {"contradiction": _contradiction},
    COUNTING_TELLERS,
    RULE_TELLERS,
    SUM_TELLERS,
    UNIQUE_TELLERS,
)

TELLERS: dict[str, Teller] = {name: teller for table in TABLES for name, teller in table.items()}
"""For each pattern the one function that tells it."""
