"""The search through the catalogue of patterns."""

from __future__ import annotations

import difflib
from collections.abc import Iterable, Iterator
from dataclasses import replace

from deduce.deadline import Cancel, in_time, timed, within
from deduce.errors import PatternError, UniquenessError
from deduce.links.argue import argue_chain
from deduce.patterns.board import Board
from deduce.patterns.families import CATALOGUE, CONTRADICTION, NAMES, PLAIN, family_of
from deduce.patterns.finder import Finder
from deduce.patterns.naming import fitting, readings
from deduce.patterns.remote_pairs import REMOTE_PAIRS
from deduce.patterns.unique_names import UNIQUE
from deduce.patterns.vocabulary import VOCABULARY, meant
from deduce.proof import Chain, Proof
from deduce.puzzle.grid import Grid
from deduce.solving.uniqueness import one_solution

__all__ = ["CATALOGUE", "NAMES", "PLAIN", "Barren", "choose", "contradictions", "fault", "find", "find_unasked"]
__all__ += ["first"]
__all__ += ["name_chain", "named", "usual"]

Barren = dict[tuple[int, int], int]
"""For a finder and a scope, the candidates of the scope when the finder last saw nothing there."""


def choose(
    patterns: Iterable[str] | None, beyond: Iterable[str] = (), *, assume_unique: bool = False
) -> tuple[tuple[int, Finder, frozenset[str]], ...]:
    """Return the finders for an allowlist, in the order of the catalogue, each with its number and wanted names.

    Parameters
    ----------
    patterns : iterable of str, optional
        Names of patterns, of families or of levels (:mod:`deduce.patterns.vocabulary`); None for all of them.
    beyond : iterable of str
        Further names that are allowed, though no finder of the catalogue answers to them.
    assume_unique : bool
        Whether patterns may be used that hold only in a puzzle with one solution.

    Raises
    ------
    PatternError
        For a name that is neither, with the names that look like it.
    UniquenessError
        For a name that assumes a unique solution where that is not to be assumed.
    TypeError
        If `patterns` is a single string.
    """
    beyond = tuple(beyond)
    known = (*NAMES, *beyond)
    listed = usual(assume_unique=assume_unique) if patterns is None else patterns
    wanted = frozenset(meant(listed, beyond, assume_unique=assume_unique))
    for name in sorted(wanted.difference(known), key=str):
        words = (*known, *VOCABULARY)
        near = difflib.get_close_matches(str(name).lower(), [other.lower() for other in known], n=3)
        near += difflib.get_close_matches(str(name), [*VOCABULARY], n=1, cutoff=0.8)
        raise PatternError(name, words, [other for other in words if other.lower() in near])
    barred = () if assume_unique else [name for name in NAMES if name in wanted and name in UNIQUE]
    if barred:
        raise UniquenessError(barred)
    chosen = ((number, finder, wanted.intersection(finder.names)) for number, finder in enumerate(CATALOGUE))
    return tuple(item for item in chosen if item[2])


def usual(*, assume_unique: bool) -> tuple[str, ...]:
    """Return the names that are looked for where none are listed, in the order of the catalogue."""
    return NAMES if assume_unique else PLAIN


def find(
    grid: Grid,
    patterns: Iterable[str] | None = None,
    *,
    assume_unique: bool = False,
    seconds: float | None = None,
    cancel: Cancel | None = None,
) -> Iterator[Proof]:
    """Yield every deduction available now, easiest first.

    Parameters
    ----------
    grid : Grid
        The position.
    patterns : iterable of str, optional
        Names of the patterns to look for (`deduce.patterns.NAMES`), or words that stand for several, such as
        ``"wings"`` or ``"no chains"`` (`deduce.patterns.VOCABULARY`); by default all that may be used.
    assume_unique : bool
        Whether to use patterns that hold only in a puzzle with one solution (`deduce.patterns.UNIQUE`).  A bounded
        search first looks for a second solution; if it cannot tell, the assumption stands, and `Proof.assumes_unique`
        marks what rests on it.
    seconds : float, optional
        How long it may take by the clock.
    cancel : callable, optional
        Asked now and then; the search ends once it returns True.

    Yields
    ------
    Proof
        In the order of the catalogue and the same on every run.  A deduction that fits an earlier name of those looked
        for, or whose argument has been yielded, is left out.  In a position in which a rule can no longer be met, only
        the contradictions.

    Raises
    ------
    PatternError
        For an unknown name.
    UniquenessError
        For a name that assumes a unique solution, without `assume_unique`.
    SeveralSolutionsError
        With `assume_unique`, for a puzzle that is seen to have two solutions.
    OutOfTime
        Where the next deduction would come, once the deadline has passed or the search has been cancelled.

    Examples
    --------
    >>> grid = Grid.parse("12.. 3... .... ...1")
    >>> print(next(find(grid)))
    last open cell: +4r2c2
    """
    finders = choose(patterns, assume_unique=assume_unique)
    if assume_unique:
        with within(seconds, cancel):
            one_solution(grid)
    return timed(_find(grid, finders), seconds, cancel)


def find_unasked(grid: Grid, patterns: Iterable[str] | None = None) -> Iterator[Proof]:
    """Yield what :func:`find` does with `assume_unique`, without asking whether there is a second solution."""
    return _find(grid, choose(patterns, assume_unique=True))


def _find(grid: Grid, finders: Iterable[tuple[int, Finder, frozenset[str]]]) -> Iterator[Proof]:
    board = Board(grid)
    dead = False
    for proof in contradictions(board):
        dead = True
        yield proof
    if dead:
        return
    seen = set()
    tried: set[str] = set()
    for _, finder, names in finders:
        for scope in finder.scopes(grid.layout):
            in_time()
            for proof in finder.search(board, scope, names):
                if proof.inferences in seen:
                    continue
                seen.add(proof.inferences)
                proof = named(grid, proof)
                # If it fits a name that has been tried, what it eliminates was found under that name.
                if tried.isdisjoint(proof.also):
                    yield proof
        tried |= names


def named(grid: Grid, proof: Proof) -> Proof:
    """Return the proof with the other names that its deduction fits in `also`, in the order of the catalogue."""
    others = fitting(grid, proof)
    if not others:
        return proof
    return replace(proof, pattern=replace(proof.pattern, also=tuple(name for name in NAMES if name in others)))


def name_chain(grid: Grid, chain: Chain) -> Proof:
    """Return the proof of a chain that holds in a position, under the simplest name that it fits.

    Remote pairs are not taken for it, since they conclude more than one chain does.
    """
    found = readings(grid, chain)
    names = [name for name in NAMES if name in found]
    name = next(name for name in names if name != REMOTE_PAIRS)
    also = tuple(other for other in names if other != name)
    pattern = replace(found[name], also=also)
    return Proof(grid, argue_chain(grid, grid.layout, pattern.chain or chain), pattern)


def contradictions(board: Board) -> Iterator[Proof]:
    """Yield a proof for each rule that can no longer be met."""
    return CONTRADICTION.search(board, CONTRADICTION.scopes(board.layout)[0], CONTRADICTION.names)


def first(
    grid: Grid, finders: Iterable[tuple[int, Finder, frozenset[str]]], barren: Barren, moved: int = 0
) -> tuple[Proof | None, int]:
    """Return the first deduction of the catalogue, passing over scopes that are as they were when nothing was there.

    Parameters
    ----------
    grid : Grid
        The position.
    finders : iterable
        What :func:`choose` returned.
    barren : dict
        Updated in place; give the same one for each position of a walk.
    moved : int, optional
        Bitset of candidates: of what one finder sees, what lies in a scope with one of them comes first.

    Returns
    -------
    Proof or None
        None if there is no deduction.
    int
        How many scopes were searched.
    """
    board = Board(grid)
    open_ = board.open
    searched = 0
    for number, finder, names in finders:
        scopes = finder.scopes(grid.layout)
        if moved and len(scopes) > 1:
            scopes = tuple(sorted(scopes, key=lambda scope: not scope.mask & moved))
        for scope in scopes:
            here = open_ & scope.mask
            key = (number, scope.item)
            if barren.get(key) == here:
                continue
            searched += 1
            in_time()
            for proof in finder.search(board, scope, names):
                return named(grid, proof), searched
            barren[key] = here
    return None, searched


def fault(proof: Proof, grid: Grid | None = None) -> str | None:
    """Say what about a proof is not as its pattern's name promises, or None.

    Parameters
    ----------
    proof : Proof
        The proof; its argument is not looked at (`deduce.check` does that).
    grid : Grid, optional
        The position; by default the one that the proof was found in.

    Raises
    ------
    PatternError
        If the catalogue has no pattern of that name.
    """
    name = proof.pattern.name
    position = grid if grid is not None else proof.grid
    if not isinstance(position, Grid):
        raise TypeError(f"patterns live on grids, not on {type(position).__name__}")
    family = family_of(name)
    if family is None:
        raise PatternError(name, NAMES)
    try:
        return family.fault(position, proof.pattern)
    except (IndexError, ValueError, KeyError) as error:
        # Roles that are missing or number something that the layout lacks.
        return f"its roles are incomplete or point outside the layout ({error})"
