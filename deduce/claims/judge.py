"""Judge: whether a claim is true, whether it is proved, and whether the reason given proves it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from deduce.claims.chain_check import fits, prove_chain
from deduce.claims.claim import Claim, WrittenChain
from deduce.claims.named import matching, named_fault
from deduce.claims.seek import TRIALS, Seeker, single_for
from deduce.claims.text import parse_claim
from deduce.claims.verdict import Attempt, Fault, FaultKind, Kind, Verdict, concluded
from deduce.deadline import Cancel, within
from deduce.errors import OutOfTime
from deduce.kernel import check
from deduce.positions import bits, bitset
from deduce.proof import Proof
from deduce.puzzle.grid import Grid
from deduce.solving.truth import NODES, Count, Truth, facts_of, truth_of

__all__ = ["by_reason", "judge", "judge_with"]


def judge(
    grid: Grid,
    claim: str | Claim,
    *,
    budget: int = NODES,
    steps: int | None = None,
    trials: int = TRIALS,
    seconds: float | None = None,
    cancel: Cancel | None = None,
) -> Verdict:
    """Judge a claim about a position.

    Parameters
    ----------
    grid : Grid
        The position.
    claim : str or Claim
        Eliminations or placements, with or without a reason; see `deduce.walks.parse_claim` for the forms.
    budget : int
        How many positions each search for a solution may branch on.
    steps : int, optional
        How many steps a walk in search of a proof may take; by default as many as it needs.
    trials : int
        How many linear programs may be solved in search of a counting argument or a supposition for each claimed
        candidate, and in all along a walk that uses them; none with 0.
    seconds : float, optional
        How long it may take by the clock.
    cancel : callable, optional
        Asked now and then; the search ends once it returns True.

    Returns
    -------
    Verdict
        `refuted` with a solution against the claim; else, if a reason was given, `proved` by it or `broken` with the
        link or set at fault; else `proved` with the proof that was found, or `unproved`.

    Raises
    ------
    ClaimError
        For malformed text, with a caret and what was expected there.

    Notes
    -----
    A claim is true if it holds in every solution of the puzzle: an elimination if no solution has the candidate, a
    placement if none is without it.  What is claimed of several cells must hold for all of them.

    Examples
    --------
    >>> grid = Grid.parse("12.. 3... .... ...1")
    >>> judge(grid, "r2c2 = 4 by hidden single in box 1"), judge(grid, "r2c2 <> 4").kind.value
    (<Verdict: proved: r2c2 = 4 by hidden single in box 1>, 'refuted')
    """
    read = parse_claim(grid.layout, claim) if isinstance(claim, str) else claim
    try:
        with within(seconds, cancel):
            return judge_with(Seeker(grid, facts_of(grid, budget), steps, trials), read)
    except OutOfTime:
        cut = (Attempt("a search that ran out of time", 0, exhausted=False),)
        return Verdict(grid, read, Kind.UNPROVED, None, Count.UNKNOWN, tried=cut)


def judge_with(seeker: Seeker, claim: Claim) -> Verdict:
    """Judge a claim where the solutions of the puzzle are known already; see :func:`judge`."""
    grid, facts = seeker.grid, seeker.facts
    gone, placed = ~grid.live & bitset(claim.eliminates), grid.true & bitset(claim.places)
    already = tuple(bits(gone | placed))
    truth = truth_of(grid, facts, claim.eliminates, claim.places) if claim.candidates else Truth(None)
    verdict = Verdict(
        grid,
        claim,
        Kind.UNPROVED,
        truth.holds,
        facts.count,
        already=already,
        false=truth.false,
        counter=truth.counter,
        lost=facts.lost(grid),
    )
    if truth.holds is False:
        found = by_reason(seeker.grid, claim, seeker) if claim.reason and len(already) < len(claim.candidates) else None
        if isinstance(found, Fault):
            return replace(verdict, kind=Kind.REFUTED, reason_holds=False, fault=_finish(seeker, claim, found))
        return replace(verdict, kind=Kind.REFUTED)
    eliminates = tuple(c for c in claim.eliminates if c not in already)
    places = tuple(c for c in claim.places if c not in already)
    if claim.candidates and not eliminates and not places:
        return replace(verdict, kind=Kind.PROVED)
    if claim.reason is None:
        proofs, tried = seeker.seek(eliminates, places)
        return replace(verdict, kind=Kind.PROVED if proofs else Kind.UNPROVED, proofs=proofs, tried=tried)
    found = by_reason(seeker.grid, claim, seeker)
    if isinstance(found, Fault):
        proofs, tried = seeker.seek(eliminates, places) if claim.candidates else ((), ())
        fault = _finish(seeker, claim, found)
        return replace(verdict, kind=Kind.BROKEN, reason_holds=False, fault=fault, others=proofs, tried=tried)
    return _upheld(seeker, verdict, found, eliminates, places)


def _upheld(
    seeker: Seeker, verdict: Verdict, proofs: tuple[Proof, ...], eliminates: Sequence[int], places: Sequence[int]
) -> Verdict:
    """Complete the verdict of a claim whose reason proves it."""
    claim, first = verdict.claim, proofs[0]
    false, true = concluded(first)
    also: tuple[int, ...] = ()
    if claim.candidates:
        also = tuple(sorted({*false, *true} - {*claim.candidates}))
    else:
        eliminates, places = false, true
        verdict = replace(verdict, true=truth_of(seeker.grid, seeker.facts, eliminates, places).holds)
    simpler = seeker.simpler(first, eliminates, places)
    named = claim.reason.named if isinstance(claim.reason, WrittenChain) else None
    return replace(
        verdict,
        kind=Kind.PROVED,
        reason_holds=True,
        proofs=proofs,
        others=() if simpler is None else (simpler,),
        also=also,
        misnamed=named is not None and not fits(seeker.grid, first, named.names),
    )


def by_reason(grid: Grid, claim: Claim, seeker: Seeker) -> Fault | tuple[Proof, ...]:
    """Return what a reason proves, if that is all that is claimed, or why it does not.

    The position is the seeker's, or one like it that has been mended.
    """
    if isinstance(claim.reason, WrittenChain):
        proved = prove_chain(grid, claim.reason)
        if isinstance(proved, Fault):
            return proved
        proofs = [*proved]
    else:
        assert claim.reason is not None
        proofs = matching(grid, claim.reason)
        if not proofs:
            return named_fault(grid, claim.reason, claim)
    sound = [proof for proof in proofs if not seeker.in_error(proof)]
    if not sound:
        kind = FaultKind.NOT_UNIQUE if proofs[0].assumes_unique else FaultKind.RESTS_ON_ERROR
        return Fault(kind, pattern=proofs[0].pattern.name, extras=seeker.facts.lost(grid))
    covered = [_covering(grid, proof, claim) for proof in sound]
    best = min(covered, key=lambda item: len(item[1]))
    if best[1]:
        return Fault(FaultKind.NOT_CONCLUDED, pattern=best[0][0].pattern.name, missing=best[1])
    return best[0]


def _covering(grid: Grid, proof: Proof, claim: Claim) -> tuple[tuple[Proof, ...], tuple[int, ...]]:
    """Return a proof, with the singles that its eliminations leave for what is claimed, and what stays open."""
    proofs = [proof]
    after = grid.moved(check(grid, proof).after, proof)
    for candidate in claim.places:
        # A single that was there before owes nothing to the reason.
        if proof.places or after.true >> candidate & 1 or single_for(grid, candidate) is not None:
            continue
        single = single_for(after, candidate)
        if single is not None:
            proofs.append(single)
            after = after.moved(check(after, single).after, single)
    missing = [c for c in claim.eliminates if after.live >> c & 1]
    missing += [c for c in claim.places if not after.true >> c & 1]
    return tuple(proofs), tuple(sorted(missing))


def _finish(seeker: Seeker, claim: Claim, fault: Fault) -> Fault:
    """Say of a fault whether earlier eliminations or missing notes would mend it, and whether they can be proved."""
    if not fault.blockers and not fault.restores:
        return fault
    grid = seeker.grid
    gone, back = sum(1 << c for c in fault.blockers), sum(1 << c for c in fault.restores)
    resting = tuple((note, mask & ~back) for note, mask in grid.resting if not back >> note & 1)
    assumed, presumed = grid.assumed & ~back, grid.presumed & ~back
    mended = Grid(grid.layout, grid.live & ~gone | back, grid.true, grid.givens, assumed, presumed, resting)
    return replace(
        fault,
        mends=tuple(seeker.mend(c) for c in fault.blockers),
        mended=not isinstance(by_reason(mended, claim, seeker), Fault),
    )
