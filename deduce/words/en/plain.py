"""The prose of the named patterns: for each what to look at, why, and what falls.

Most are sentences with gaps, as `speech` has them; where the words depend on what is there, a function fills them in.
"""

from __future__ import annotations

from collections.abc import Callable

from deduce.patterns.locked import EARLIER, LOCKED
from deduce.proof import Pattern, Proof
from deduce.puzzle.grid import grid_of
from deduce.words.en.chains import joined, round_loop, tell_chain, through_set, two_cases
from deduce.words.en.names import Names, capital, concluded, named, series
from deduce.words.en.reasons import barred, witnesses
from deduce.words.en.speech import Spoken, fill

__all__ = ["TELLERS", "Teller", "tell_chained", "written"]

Teller = Callable[[Proof, Names, Pattern], str]
"""From a proof, the names of its layout, and its pattern to the sentences that tell it."""

_ENDS = " So one of {spots} is {digit}, and {digit:a} that sees all of them falls: {falls}."
_LAST = "{placed} is the last open cell of {house}, and {placed:digit} is the digit that {house} still lacks."
_NAKED = (
    "Between them {subset} hold no digits but {digits}, and they share {where}. {Subset:count} cells use up "
    "{subset:count} digits, so {digits} fall everywhere else in {where}: {falls}."
)
_HIDDEN = (
    "In {house} the digits {digits} have no places but {subset}. {Subset:count} digits fill {subset:count} cells, so "
    "these cells have no room for anything else: {falls}."
)
_FISH = (
    "{Base lines} have places for {digit} only in {cover lines}. The {base lines:count} of them need "
    "{base lines:count} {digit}s, and {cover lines} can give no more than one each, so none is left over for other "
    "cells of {cover lines}: {falls}."
)
_FINNED = (
    "But for {fins} in {region}, {base lines} have places for {digit} only in {cover lines}. If {fins} {fins:is|are} "
    "not {digit}, the {base lines:count} of them use up the {digit}s of {cover lines}; if {fins:it|one of them} is, it "
    "is the {digit} of {region}.{without} Either way {digit:a} falls where {cover lines} run through {region}, beside "
    "{base lines}: {falls}."
)

SENTENCES = {
    "last open cell": _LAST,
    **dict.fromkeys(("X-wing", "swordfish", "jellyfish"), _FISH),
    **dict.fromkeys(("hidden pair", "hidden triple", "hidden quad"), _HIDDEN),
    "skyscraper": (
        "{Lines} have two places each for {digit}, and {node 1} and {node 2} both lie in {cross line}, so one of these "
        "two is not {digit}. Its {lines:kind} has the {digit} at the other end, {node 0} or {node 3}, and {digit:a} "
        "that sees both ends falls: {falls}."
    ),
    "two-string kite": (
        "{Lines} have two places each for {digit}, and one place of each, {node 1} and {node 2}, lies in {region}, "
        "which takes only one {digit}. So {node 0} or {node 3} is {digit}, and {digit:a} that sees both falls: {falls}."
    ),
    "empty rectangle": (
        "{Region} has places for {digit} only in {arms:0} and {arms:1}. If its {digit} is not in {arms:0}, it is in "
        "{arms:1} and bars {node 2:or}. Then {line}, whose places for {digit} are {node 2+node 3} alone, puts it in "
        "{node 3:or}. Either way {digit:a} that sees both {node 3:or} and the places of {region} in {arms:0} falls: "
        "{falls}."
    ),
    "W-wing": (
        "{pincers} each hold {pincers:notes or}. {Bridge} has its {node 2:digit} in {node 2} or {node 3}: if in "
        "{node 2}, {node 0} sees it and is {digit}; if in {node 3}, {node 5} sees it and is {digit}. Either way "
        "{digit:a} that sees both {pincers} falls: {falls}."
    ),
    "remote pairs": (
        "{cells:in order} all hold {digits:or}, and each sees the next, so the two digits alternate from cell to cell. "
        "{Cells:count} cells are an even number: {cells:0} and {cells:-1} differ, one of them is {digits:0} and the "
        "other {digits:1}, and both digits fall from what sees the two: {falls}."
    ),
    "ALS-XZ": (
        "{first set:holds}; {second set:holds}. The places of {common digit} in both sets see one another, so one of "
        "the sets lacks {common digit} and needs all its other digits, {digit} among them."
        + _ENDS.replace("spots", "first set+second set:with digit")
    ),
    "ALS-XY-wing": (
        "{pivot set:holds}, so {common digits:0} or {common digits:1} stands there. {first set:holds}; "
        "{second set:holds}. If {pivot set} {pivot set:has|have} {common digits:0}, {first set} "
        "{first set:lacks|lack} it and {first set:has|have} {digit}; if {common digits:1}, {second set} "
        "{second set:lacks|lack} that and {second set:has|have} {digit}."
        + _ENDS.replace("spots", "first set+second set:with digit")
    ),
}
"""The patterns that are told by the same words wherever they stand."""


def written(template: str) -> Teller:
    """Return the teller of a template."""

    def told(proof: Proof, names: Names, pattern: Pattern) -> str:
        if "{node" in template and pattern.chain is None:
            return counted(proof)
        return fill(proof, names, template)

    return told


def _hidden_single(proof: Proof, names: Names, pattern: Pattern) -> str:
    grid, house = grid_of(proof), pattern.role("house")[0]
    if len(names.open_cells(grid, house)) == 1:
        return fill(proof, names, _LAST)
    digit = names.split(pattern.role("placed")[0])[0]
    placed, others = (Spoken(proof, names, "cells", cells) for cells in barred(grid, house, digit))
    reasons = []
    if placed.items:
        every = "other open cells" if others.items else "every other open cell"
        reasons.append(f"the {{placed:digit}}{placed:|s} in {placed} {placed:bars|between them bar} {every}")
    if others.items:
        reasons.append(f"{{placed:digit}} has been ruled out in {others}")
    return fill(proof, names, f"{{House}} needs {{placed:a}}, and only {{placed}} can take it: {series(reasons)}.")


def _naked_single(proof: Proof, names: Names, pattern: Pattern) -> str:
    cell = names.split(pattern.role("placed")[0])[1]
    end = ", so {placed:digit} is all that it can hold."
    if not witnesses(grid_of(proof), cell)[1]:
        return fill(proof, names, "Every digit but {placed:digit} has been ruled out in {placed}" + end)
    houses = Spoken(proof, names, "houses", names.layout.houses_of[cell])
    return fill(proof, names, "{placed} sees every digit but {placed:digit} in {houses}" + end, houses=houses)


def _locked(proof: Proof, names: Names, pattern: Pattern) -> str:
    if pattern.role("cover"):
        told = (
            "All places that {base} has left for {digit}, {locked}, lie in {cover}. {Base} puts its {digit} in one of "
            "them, and that is also the {digit} of {cover}, so {digit} falls in the rest of {cover}: {falls}."
        )
        return fill(proof, names, told)
    whom = "both" if len(pattern.role("locked")) == 2 else "all of these"
    told = f"{{Base}} has its {{digit}} in {{locked:or}}. {{Digit:a}} that sees {whom} would leave {{base}} without one"
    return fill(proof, names, told + ", so it falls: {falls}.")


def _naked_subset(proof: Proof, names: Names, pattern: Pattern) -> str:
    hit, shared = {grid_of(proof).number(c) % names.layout.cells for c in proof.eliminates}, pattern.role("houses")
    houses = [house for house in shared if not hit.isdisjoint(names.layout.houses[house].cells)]
    return fill(proof, names, _NAKED, where=Spoken(proof, names, "houses", houses or shared))


def _finned_fish(proof: Proof, names: Names, pattern: Pattern) -> str:
    corners = [names.split(c)[1] for c in pattern.role("corners")]
    kept = {h: [c for c in corners if c in names.layout.houses[h].cells] for h in pattern.role("base lines")}
    left = [
        f"{names.houses([h])} is then left with {names.cells(cells)}" for h, cells in kept.items() if len(cells) == 1
    ]
    without = f" (Without the fin{{fins:|s}} {series(left)}.)" if left else ""
    return fill(proof, names, _FINNED.replace("{without}", without))


def _xy_wing(proof: Proof, names: Names, pattern: Pattern) -> str:
    told = (
        "{pivot} is {pivot:notes or}. {Forced}. Either way one of {pincers} is {digit}, and {digit:a} that sees both "
    )
    return fill(proof, names, told + "falls: {falls}.", forced=_forced(proof, names, pattern))


def _xyz_wing(proof: Proof, names: Names, pattern: Pattern) -> str:
    told = (
        "{pivot} is {pivot:notes or}. {Forced}; otherwise it is {digit} itself. So one of {pivot+pincers} is {digit}, "
        "and {digit:a} that sees all three falls: {falls}."
    )
    return fill(proof, names, told, forced=_forced(proof, names, pattern))


def _forced(proof: Proof, names: Names, pattern: Pattern) -> str:
    """Say what each digit of the pivot that a pincer shares makes of that pincer."""
    grid, pivot, digit = grid_of(proof), pattern.role("pivot")[0], pattern.role("digit")[0]
    parts = []
    for pincer in pattern.role("pincers"):
        for shared in names.notes(grid, pincer):
            if shared != digit and shared in names.notes(grid, pivot):
                held = f"which is {names.digits(names.notes(grid, pincer), 'or')}"
                sight = "" if names.problem else names.meeting([pivot, pincer])
                seen = f" and sees it in {sight}" if sight else ""
                told = f"if it is {names.digit(shared)}, {names.cell(pincer)}, {held}{seen}, is {names.digit(digit)}"
                parts.append((shared, told))
    return "; ".join(told for _, told in sorted(parts))


def _wxyz_wing(proof: Proof, names: Names, pattern: Pattern) -> str:
    told = (
        "Between them {wing} hold no digits but {digits}. Of these {others} have their places here in one house each, "
        "so each goes into one of the cells at most, and a cell is left for {digit}."
    )
    others = [digit for digit in pattern.role("digits") if digit not in pattern.role("digit")]
    told += _ENDS.replace("spots", "wing:with digit")
    return fill(proof, names, told, others=Spoken(proof, names, "digits", others))


def _doubly_linked(proof: Proof, names: Names, pattern: Pattern) -> str:
    told = (
        "{first set:holds}; {second set:holds}. For each of {common digits} the places in both sets see one another, "
        "so only one of the sets can have it, and neither set can do without both. So each set has just one of "
        "{common digits}: these stay in the two sets together{kept}. Each of these digits falls from what sees all "
        "places that it has there: {falls}."
    )
    kept = ""
    for role in ("first set", "second set"):
        one = Spoken(proof, names, "cells", pattern.role(role))
        rest = [digit for digit in one.held if digit not in pattern.role("common digits")]
        if rest:
            kept += f", and {one} {one:keeps|keep} {names.digits(rest)}"
    return fill(proof, names, told, kept=kept)


def _death_blossom(proof: Proof, names: Names, pattern: Pattern) -> str:
    cases, petals = [], list[int]()
    case = (
        "if it is {held}, {petal}, which {petal:is|hold} {inside}, {petal:sees|see} that and {petal:has|have} {digit}"
    )
    for digit in names.notes(grid_of(proof), pattern.role("stem")[0]):
        petal = Spoken(proof, names, "cells", pattern.role(f"petal for {names.digit(digit)}"))
        petals += petal.items
        inside = format(petal, "notes or" if len(petal.items) == 1 else "notes")
        cases.append(fill(proof, names, case, held=names.digit(digit), petal=petal, inside=inside))
    told = (
        "{stem} is {stem:notes or}. {Cases}. For each of these sets has one digit more than cells, so the one that "
        "lacks a digit has all its others." + _ENDS.replace("spots", "petals:with digit")
    )
    return fill(proof, names, told, cases="; ".join(cases), petals=Spoken(proof, names, "cells", petals))


def _sue_de_coq(proof: Proof, names: Names, pattern: Pattern) -> str:
    told = (
        "{crossing}, where {line} crosses {region}, {line set} in {line} and {region set} in {region} are {all:count} "
        "cells with as many digits, {all:notes}. None of these can go there twice: each has its places in {line} or in "
        "{region} or in both. So each goes there once, and falls, "
    )
    parts = ["{line digits} from the rest of {line}", "{region digits} from the rest of {region}"]
    parts += ["{crossing digits} from the rest of both"] * bool(pattern.role("crossing digits"))
    cells = [cell for role in ("crossing", "line set", "region set") for cell in pattern.role(role)]
    return fill(proof, names, told + series(parts) + ": {falls}.", all=Spoken(proof, names, "cells", cells))


def tell_chained(proof: Proof, _: Names, pattern: Pattern) -> str:
    """Tell a chain; what has neither chain nor teller is told by what is read."""
    return counted(proof) if pattern.chain is None else tell_chain(proof, pattern.chain)


def _set_loop(proof: Proof, names: Names, pattern: Pattern) -> str:
    chain = pattern.chain
    if chain is None:
        return counted(proof)
    links = round_loop(names, grid_of(proof), chain) if len(chain.nodes) > 2 else ""
    kept = []
    for link, near, far in joined(chain):
        held = Spoken(proof, names, "cells", through_set(names, link))
        rest = [d for d in held.held if d not in {names.split(c)[0] for c in (*near, *far)}]
        if rest:
            kept.append(f"{held} keep {names.digits(rest)}")
        if held.items and len(chain.nodes) == 2:
            links = f"{held:holds}. "
    told = (
        "{links}{cases} one side of each weak link is true, and each set lacks one of the two digits by which the loop "
        "passes through it, so that it has the others: {kept}. What clashes with both sides of a weak link, or with "
        "all places of a digit that a set keeps, falls: {falls}."
    )
    return fill(proof, names, told, links=links, cases=two_cases(names, chain), kept=series(kept))


def counted(proof: Proof) -> str:
    """Tell a proof whose pattern has no sentence of its own: what is read, and what has no room."""
    read, layout = [], grid_of(proof).layout
    for number in proof.bases:
        scan, name = layout.house_of(number) is not None, named(layout, number)
        read.append(f"the places for {name}" if scan else f"the {layout.nouns.digit}s of {name}")
    parts = [f"{capital(series(read))} leave no other way"] * bool(read)
    return f"{': '.join([*parts, concluded(proof.places, proof.eliminates)])}."


TELLERS: dict[str, Teller] = {
    **{name: written(template) for name, template in SENTENCES.items()},
    "hidden single": _hidden_single,
    "naked single": _naked_single,
    **dict.fromkeys((*LOCKED, *EARLIER), _locked),
    **dict.fromkeys(("naked pair", "naked triple", "naked quad"), _naked_subset),
    **{
        f"{kind} {fish}": _finned_fish
        for kind in ("finned", "sashimi")
        for fish in ("X-wing", "swordfish", "jellyfish")
    },
    "XY-wing": _xy_wing,
    "XYZ-wing": _xyz_wing,
    "WXYZ-wing": _wxyz_wing,
    "doubly linked ALS-XZ": _doubly_linked,
    "death blossom": _death_blossom,
    "Sue de Coq": _sue_de_coq,
    "X-chain": tell_chained,
    "XY-chain": tell_chained,
    "chain with both ends on one digit": tell_chained,
    "chain with linked ends on different digits": tell_chained,
    "chain that returns to its start": tell_chained,
    "continuous loop": tell_chained,
    "grouped loop": tell_chained,
    "grouped X-chain": tell_chained,
    "grouped chain": tell_chained,
    "chain through almost locked sets": tell_chained,
    "loop through almost locked sets": _set_loop,
}
"""For each pattern the function that tells it; sums, exchanges and what lies beyond are told elsewhere in this room."""
