"""The prose of verdicts: what holds, what fails where, and what would mend it."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from deduce.claims.claim import Claim, Question, WrittenChain
from deduce.claims.printing import node_text, reading
from deduce.claims.verdict import Attempt, Fault, FaultKind, Kind, Mend, Remedy, Verdict, concluded
from deduce.proof import Proof
from deduce.puzzle.grid import Grid
from deduce.solving.truth import Count
from deduce.words.en.explain import explain, headline, rests_on_notes
from deduce.words.en.names import Names, capital, in_words, named, series

__all__ = ["an", "counted", "explain_fault", "explain_verdict", "is_in", "listed", "note_in", "pointed", "read_as"]
__all__ += ["short"]


def explain_verdict(verdict: Verdict, *, spoil: bool = False) -> str:
    """Return a verdict as a few paragraphs: how the claim was read, the plain answer, and what shows it."""
    told = [verdict.claim.text.strip(), read_as(verdict.grid, verdict.claim), _TELLERS[verdict.kind](verdict)]
    if spoil and verdict.counter is not None:
        told.append(str(verdict.counter))
    if verdict.lost:
        names = Names(verdict.grid.layout)
        where = listed((names.cell(c) for c in sorted({names.split(c)[1] for c in verdict.lost})), 4)
        answers = f", in which {listed((is_in(verdict.grid, c) for c in verdict.lost), 4)}" if spoil else ""
        told.append(f"Beware: the position has lost the solution{answers}; look at {where} again.")
    if verdict.count is Count.NONE:
        told.append("Beware: the puzzle has no solution, so anything can be proved of it.")
    return "\n".join(part for part in told if part)


def short(verdict: Verdict) -> str:
    """Return a verdict as one sentence, with another one on the notes that a proof rests on."""
    kind = verdict.kind
    if kind is Kind.REFUTED:
        return f"Refuted: {_against(verdict)}."
    if kind is Kind.BROKEN and verdict.fault:
        link = f" at link {verdict.fault.link}" if verdict.fault.link else ""
        return f"Broken{link}: {explain_fault(verdict.grid, verdict.fault)}."
    if kind is Kind.UNPROVED:
        return f"Unproved: {_tried(verdict.tried)} did not prove it."
    if not verdict.proofs:
        return "Settled already."
    rests = rests_on_notes(sorted({note for proof in verdict.proofs for note in proof.assumes}))
    if len(verdict.proofs) == 1:
        return f"Proved: {verdict.proofs[0].pattern.name}.{rests}"
    return f"Proved in {counted(len(verdict.proofs), 'step')}.{rests}"


def pointed(verdict: Verdict) -> str:
    """Return the text of a claim with the link at fault underlined; empty if no link is."""
    span = verdict.fault.span if verdict.fault else None
    if span is None or "\n" in verdict.claim.text:
        return ""
    return f"  {verdict.claim.text}\n  {' ' * span[0]}{'^' * (span[1] - span[0])}"


def read_as(grid: Grid, said: Claim | Question) -> str:
    """Show how something was read, if it was not put that way, and what was taken for something else."""
    read = reading(grid.layout, said)
    heard = series(f"{word!r} as {meant!r}" for word, meant in said.heard)
    if read == " ".join(said.text.split()):
        return ""
    return f"Read as: {read}{f' (taking {heard})' if heard else ''}"


def _proved(verdict: Verdict) -> str:
    if not verdict.proofs:
        return f"Yes: {_claimed(verdict)}; that is settled already."
    names = verdict.proofs[0].pattern.name
    if verdict.reason_holds:
        said = verdict.claim.reason
        yours = "chain" if isinstance(said, WrittenChain) and (said.named is None or verdict.misnamed) else names
        misnamed = f"; its name is another one, though: it is {an(names)}" if verdict.misnamed else ""
        told = [f"Yes: {_claimed(verdict)}, and your {yours} shows it{misnamed}.", _steps(verdict.proofs)]
        if verdict.also:
            _, placed = concluded(*verdict.proofs)
            also = series(is_in(verdict.grid, c, "is" if c in placed else "is not") for c in verdict.also)
            told.append(f"The same reason also shows that {also}.")
        told += [f"There is a simpler one. {_told(proof)}" for proof in verdict.others]
    else:
        steps = len(verdict.proofs)
        how = f"by {an(names)}" if steps == 1 else f"as {counted(steps, 'step')} from here show"
        told = [f"Yes: {_claimed(verdict)}, {how}.", _steps(verdict.proofs)]
    if any(proof.assumes_unique for proof in verdict.proofs):
        told.append("The proof assumes that the puzzle has only one solution, which it has.")
    return "\n".join(told)


def _broken(verdict: Verdict) -> str:
    fault = verdict.fault
    if fault is None:
        return "No."
    plain = "No"
    if verdict.claim.candidates:
        plain = "True, but not for that reason" if verdict.true or verdict.others else "Not shown by that reason"
    told = [f"{plain}{_where(fault)}: {explain_fault(verdict.grid, fault)}."]
    if fault.span:
        told.append(pointed(verdict))
    told += _mending(verdict.grid, fault)
    if len(verdict.others) == 1:
        told.append(f"It can be proved in another way. {_told(verdict.others[0])}")
    elif verdict.others:
        told.append(f"It can be proved in {counted(len(verdict.others), 'step')} from here.")
    elif verdict.claim.candidates and verdict.true:
        told.append(f"{capital(_tried(verdict.tried))} did not prove it in another way.")
    elif verdict.claim.candidates:
        told.append(f"Whether the claim is true is not known; {_tried(verdict.tried)} did not prove it.")
    return "\n".join(told)


def _where(fault: Fault) -> str:
    return f" (link {fault.link})" if fault.link else ""


def _refuted(verdict: Verdict) -> str:
    told = [f"No: {_against(verdict)}."]
    if verdict.fault is not None:
        told.append(f"Its reason fails{_where(verdict.fault)}: {explain_fault(verdict.grid, verdict.fault)}.")
        told += _mending(verdict.grid, verdict.fault)
    return "\n".join(told)


def _against(verdict: Verdict) -> str:
    """Say which part of a claim fails; what else stands in the cells is not given away."""
    one = verdict.count is Count.ONE
    where = "the solution" if one else "one of the puzzle's solutions"
    parts = []
    for c in verdict.false:
        kept = c in verdict.claim.eliminates
        parts.append(f"{where} {'has' if kept else 'does not have'} {note_in(verdict.grid, c)}")
    return series(parts) or "a solution is against it"


def _unproved(verdict: Verdict) -> str:
    if verdict.true is None:
        return f"Not known: {_tried(verdict.tried)} did not prove it, and no solution was found against it."
    return f"True, but {_tried(verdict.tried)} did not prove it."


_TELLERS = {Kind.PROVED: _proved, Kind.BROKEN: _broken, Kind.REFUTED: _refuted, Kind.UNPROVED: _unproved}


def _tried(tried: Sequence[Attempt]) -> str:
    """Say how proofs were sought."""
    parts = []
    for one in tried:
        cut = "" if one.exhausted else ", cut off by its budget,"
        if one.method == "one step":
            parts.append(f"the {counted(one.looked_at, 'deduction')} on the board" if one.looked_at else "no deduction")
        elif one.method == "walk":
            parts.append(f"a walk of {counted(one.looked_at, 'step')}{cut}")
        else:
            parts.append(f"{one.method}{cut}")
    return series(parts) or "what was tried"


def _mending(grid: Grid, fault: Fault) -> list[str]:
    """Say what would have to fall, or be noted again, for a reason to hold."""
    told = []
    if fault.restores:
        back = series(note_in(grid, c) for c in fault.restores)
        told.append(f"The notes leave out {back}{'; with it the reason holds' if fault.mended else ''}.")
    if fault.mends:
        gone = series(note_in(grid, mend.candidate) for mend in fault.mends)
        whole = "It would hold" if fault.mended else "That link or set would hold, though not the whole,"
        told.append(f"{whole} with {gone} eliminated first: {'; '.join(_remedy(grid, mend) for mend in fault.mends)}.")
    return told


def _remedy(grid: Grid, mend: Mend) -> str:
    """Say how a candidate falls; one that the solution holds reads like one that no proof was found against."""
    told = note_in(grid, mend.candidate)
    if not mend.proofs:
        return f"no proof against {told} was found"
    if mend.remedy is Remedy.NOW:
        return f"{told} can be, by {series(an(proof.pattern.name) for proof in mend.proofs)}"
    return f"{told} can be, in {counted(len(mend.proofs), 'step')} from here"


def _steps(proofs: Sequence[Proof]) -> str:
    """Tell one proof in full, several as a numbered list of what each concludes."""
    if len(proofs) == 1:
        return _told(proofs[0])
    return "\n".join(f"  {number}. {headline(proof)}" for number, proof in enumerate(proofs, 1))


def _told(proof: Proof) -> str:
    return f"{capital(proof.pattern.name)}. {explain(proof)}"


def _claimed(verdict: Verdict) -> str:
    """Say what is claimed, or what a reason alone concludes: what falls, and what goes where."""
    eliminates, places = verdict.claim.eliminates, verdict.claim.places
    if not verdict.claim.candidates:
        eliminates, places = concluded(*verdict.proofs)
    by_digit: dict[tuple[int, str], list[int]] = {}
    size = verdict.grid.layout.cells
    for c, verb in (*((c, "falls") for c in eliminates), *((c, "goes") for c in places)):
        by_digit.setdefault((c // size, verb), []).append(c % size)
    names = Names(verdict.grid.layout)
    told = [f"{names.digit(digit + 1)} {verb} in {names.cells(cells)}" for (digit, verb), cells in by_digit.items()]
    return series(told)


def is_in(grid: Grid, candidate: int, verb: str = "is") -> str:
    """Say that a candidate is true, or with another verb what else it is."""
    digit, cell = divmod(candidate, grid.layout.cells)
    return f"{grid.layout.cell_name(cell)} {verb} {grid.layout.symbols[digit]}"


def note_in(grid: Grid, candidate: int) -> str:
    """Write a candidate as a note in its cell."""
    digit, cell = divmod(candidate, grid.layout.cells)
    return f"{grid.layout.symbols[digit]} in {grid.layout.cell_name(cell)}"


def counted(number: int, what: str) -> str:
    """Write a number of things, small ones as words."""
    word = in_words(number)
    return f"{word} {what}{'' if number == 1 else 's'}"


def listed(parts: Iterable[str], most: int) -> str:
    """Write a list, of which no more than the first are named."""
    shown = [*parts]
    more = [f"{len(shown) - most} more"] if len(shown) > most else []
    return series([*shown[:most], *more])


def an(name: str) -> str:
    """Write a pattern's name with its article."""
    initial = name[:1]
    if name in _PLURALS:
        return name
    vowel = initial in "aeiou" or (initial in "AEFHILMNORSX" and not name[1:2].islower())
    return f"{'an' if vowel else 'a'} {name}"


_PLURALS = ("locked candidates", "remote pairs")

# Faults

_MADE_OF = {"two-string kite": "a row and a column", "skyscraper": "two parallel lines"}
_NOTHING_LEFT = "{not_one}{rule} has nothing left where it should"
_FAULTS = {
    FaultKind.ALTERNATION: "the links of a chain alternate, strong first, and the one between {links} does not",
    FaultKind.ENDS: "the chain ends with a weak link, which says nothing; end with a strong one or return to the first "
    "node",
    FaultKind.NOT_NOTED: "{where} {has} no {digits} among the notes",
    FaultKind.PLACED: "{not_one}{extras} already",
    FaultKind.NOT_STRONG: "not a strong link: {too_many}",
    FaultKind.NOT_JOINED: "not a strong link: no rule says that {either} must be true",
    FaultKind.NOT_WEAK: "not a weak link: {links} can both be true",
    FaultKind.EXTRA_DIGITS: "{not_one}{too_many}",
    FaultKind.EXTRA_PLACES: "{not_one}{too_many}",
    FaultKind.TOO_FEW: "{not_one}{rule} has {left} left",
    FaultKind.WRONG_SIZE: "{one} has {wanted}, not {given}",
    FaultKind.OPEN_CELLS: "{not_one}{houses} has {open}, {cells}",
    FaultKind.NOT_TOGETHER: "{not_one}{lying} do not lie as it needs",
    FaultKind.NOT_THERE: "there {be} no {pattern}{told} on the board",
    FaultKind.NOT_CONCLUDED: "the {reason} is there, but says nothing of {missing}",
    FaultKind.NOTHING_FALLS: "the {chain} is there, but nothing is left for it to eliminate",
    FaultKind.NOT_UNIQUE: "the {pattern} needs a puzzle with one solution only, and this one is not known to be that",
    FaultKind.RESTS_ON_ERROR: "it rests on notes or entries that are wrong, in {where}",
}
"""What is wrong with a reason; what stands in brackets is said of the fault at hand."""


def explain_fault(grid: Grid, fault: Fault) -> str:
    """Say in one sentence, without capital and full stop, what is wrong with a reason."""
    layout, names, pattern = grid.layout, Names(grid.layout), fault.pattern
    nodes = [node_text(layout, node) for node in fault.nodes]
    left = series(note_in(grid, c) for c in fault.extras)
    extras = [names.split(c) for c in fault.extras]
    where = {cell for _, cell in extras}
    cells, houses = names.cells(fault.cells), names.houses(fault.houses)
    sizes = [counted(len(part), what) for part, what in ((fault.cells, "cell"), (fault.digits, "digit")) if part]
    told = [part for part in (names.digits(fault.digits), cells, houses) if part]
    form = _FAULTS[fault.kind]
    if fault.kind is FaultKind.NOT_NOTED and fault.constraint is not None:
        form = _NOTHING_LEFT
    return form.format(
        pattern=pattern,
        reason=pattern or "reason",
        chain=pattern or "chain",
        one=an(pattern),
        not_one=f"not {an(pattern)}: " if pattern else "",
        be="are" if pattern in _PLURALS else "is",
        links=" and ".join(nodes),
        either=" or ".join(nodes),
        extras=series(is_in(grid, c) for c in fault.extras),
        left=f"only {left}" if left else "no place",
        digits=names.digits({digit for digit, _ in extras}, "or"),
        where=names.cells(where),
        has="has" if len(where) == 1 else "have",
        too_many=_too_many(grid, fault) if extras else "",
        rule=named(layout, fault.constraint or 0),
        wanted=_MADE_OF.get(pattern, f"{counted(fault.needed, 'part')} of each kind"),
        given=series([*sizes, *([houses] if houses else [])]),
        cells=cells,
        houses=houses,
        open=counted(len(fault.cells), "open cell"),
        lying=cells or houses,
        told=f" with {series(told)}" if told else "",
        missing=series(note_in(grid, c) for c in fault.missing),
    )


def _too_many(grid: Grid, fault: Fault) -> str:
    """Say what else a constraint has room for."""
    names = Names(grid.layout)
    number = fault.constraint or 0
    if number < grid.layout.cells:
        digits = [names.split(c)[0] for c in fault.extras]
        return f"{names.cell(number)} can also be {names.digits(digits, 'or')}"
    place = grid.layout.house_of(number)
    if place is None:
        return f"{series((note_in(grid, c) for c in fault.extras), 'or')} would also do for this: {names.rule(number)}"
    symbol = names.digit(names.split(fault.extras[0])[0])
    cells = names.cells({names.split(c)[1] for c in fault.extras}, "or")
    return f"{symbol} can also go in {cells} of {names.houses([place[0]])}"
