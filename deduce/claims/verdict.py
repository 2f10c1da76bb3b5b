"""What a judge says of a claim, with the proofs, the fault or the counter-solution that show it."""

from __future__ import annotations

from dataclasses import asdict, dataclass
from enum import StrEnum
from typing import Any

from deduce.claims.claim import Claim
from deduce.claims.printing import chain_text, reading
from deduce.envelope import enveloped, filled
from deduce.kernel import Checked, check
from deduce.patterns.why_not import Fault, FaultKind, Mend, Remedy
from deduce.proof import Proof
from deduce.puzzle.grid import Grid, grid_of
from deduce.solving.truth import Count
from deduce.window import ShownVerdict

__all__ = ["Attempt", "Fault", "FaultKind", "Kind", "Mend", "Remedy", "Verdict", "concluded", "proof_fields"]


class Kind(StrEnum):
    """The four verdicts.

    `PROVED`: the reason given proves the claim from this position, or, where none was given, a proof was found.
    `BROKEN`: the reason does not prove it; the claim may be true all the same.  `REFUTED`: some solution of the puzzle
    is against it.  `UNPROVED`: no solution that was found is against it, but nothing within the budget proves it.
    """

    PROVED = "proved"
    BROKEN = "broken"
    REFUTED = "refuted"
    UNPROVED = "unproved"


@dataclass(frozen=True, slots=True)
class Attempt:
    """One way in which a proof was sought.

    Parameters
    ----------
    method : str
        ``"one step"``, ``"walk"``, ``"counting"`` (sums and suppositions in the position itself) or
        ``"counting along a walk"``.
    looked_at : int
        How many deductions, steps or arguments it went through.
    exhausted : bool
        Whether it came to its own end; False if it was cut off by a budget.
    """

    method: str
    looked_at: int
    exhausted: bool


@dataclass(frozen=True, slots=True)
class Verdict(ShownVerdict):
    """The judgement of one claim in one position.

    Parameters
    ----------
    grid : Grid
        The position.
    claim : Claim
        The claim as it was read.
    kind : Kind
        The verdict.
    true : bool or None
        Whether the claim holds in every solution; None if that is not known or nothing definite is claimed.
    count : Count
        How many solutions the puzzle has.
    reason_holds : bool or None
        Whether the reason given proves the claim; None if none was given or it was not looked at.
    proofs : tuple of Proof
        What proves the claim: by the reason as given, else as found; read in order, each in its own `grid`.
    others : tuple of Proof
        If the reason holds, a simpler proof; if it does not, a proof by other means.
    already : tuple of int
        The claimed candidates that the position has settled before, the way the claim says.
    also : tuple of int
        Candidates that the reason eliminates or places beside what is claimed.
    false : tuple of int
        The claimed candidates against which there is a solution.
    counter : Grid, optional
        That solution.
    lost : tuple of int
        Candidates of the only solution that the position has ruled out: its notes or entries are wrong.
    fault : Fault, optional
        Why the reason fails.
    misnamed : bool
        Whether the chain given is not what it was called.
    tried : tuple of Attempt
        How proofs were sought, in order.
    """

    grid: Grid
    claim: Claim
    kind: Kind
    true: bool | None
    count: Count
    reason_holds: bool | None = None
    proofs: tuple[Proof, ...] = ()
    others: tuple[Proof, ...] = ()
    already: tuple[int, ...] = ()
    also: tuple[int, ...] = ()
    false: tuple[int, ...] = ()
    counter: Grid | None = None
    lost: tuple[int, ...] = ()
    fault: Fault | None = None
    misnamed: bool = False
    tried: tuple[Attempt, ...] = ()

    @property
    def proof(self) -> Proof | None:
        """The proof that concludes the claim, the last of `proofs`; None without any."""
        return self.proofs[-1] if self.proofs else None

    @property
    def leading(self) -> tuple[Proof, ...]:
        """What leads to the claim: `proofs`, and where its reason fails what was found instead."""
        return self.proofs if self.reason_holds else (*self.proofs, *self.others)

    @property
    def provable(self) -> bool:
        """Whether some proof from this position was found, by the reason given or by other means."""
        return self.kind is Kind.PROVED or bool(self.proofs or self.others)

    def check(self) -> tuple[Checked, ...]:
        """Have the kernel verify every proof again, each in its own position.

        Raises
        ------
        ProofError
            For the first that does not hold.
        """
        return tuple(check(grid_of(proof), proof) for proof in (*self.proofs, *self.others))

    def to_dict(self, *, spoil: bool = False) -> dict[str, Any]:
        """Return the verdict as plain data: candidates as tokens, absent members left out.

        The solution against a claim, the candidates that the position has lost of it, and whether a candidate in the
        way of a reason belongs to it are among them only if `spoil` says so.
        """
        names = self.grid.model.names
        cells = self.grid.layout.cells

        def tokens(numbers: tuple[int, ...]) -> list[str]:
            return [names[number] for number in numbers]

        return {
            "claim": self.claim.text,
            "read_as": reading(self.grid.layout, self.claim),
            "verdict": self.kind.value,
            "true": self.true,
            "solutions": self.count.value,
            "reason_holds": self.reason_holds,
            "eliminates": tokens(self.claim.eliminates),
            "places": tokens(self.claim.places),
            "proofs": [proof_fields(proof) for proof in self.proofs],
            "other_proofs": [proof_fields(proof) for proof in self.others],
            **filled(
                already=tokens(self.already),
                also=tokens(self.also),
                false=tokens(self.false),
                lost=tokens(self.lost) if spoil else [],
                lost_in=[self.grid.layout.cell_name(cell) for cell in sorted({c % cells for c in self.lost})],
                counter_solution=self.counter.line() if spoil and self.counter is not None else "",
                fault=_fault_fields(self.grid, self.fault, spoil=spoil) if self.fault is not None else None,
                misnamed=self.misnamed,
                tried=[asdict(one) for one in self.tried],
            ),
        }

    def to_json(self, *, spoil: bool = False) -> str:
        """Return the verdict as JSON text, in the format ``deduce-verdict``."""
        return enveloped("verdict", self.to_dict(spoil=spoil))

    def __repr__(self) -> str:
        return f"<Verdict: {self.kind.value}: {self.claim.text}>"


def concluded(*proofs: Proof) -> tuple[tuple[int, ...], tuple[int, ...]]:
    """Return what some proofs together conclude: what falls, and what is placed, ascending."""
    inferences = [inference for proof in proofs for inference in proof.inferences]
    false = tuple(sorted({c for inference in inferences for c in inference.false}))
    return false, tuple(sorted({c for inference in inferences for c in inference.true}))


def proof_fields(proof: Proof) -> dict[str, Any]:
    """Return what a report says of a proof."""
    chain = proof.pattern.chain
    return {
        "pattern": proof.pattern.name,
        "conclusion": proof.conclusion(),
        "premises": list(proof.premises),
        "effort": proof.effort,
        **filled(
            chain="" if chain is None else chain_text(grid_of(proof).layout, chain),
            assumes=[str(candidate) for candidate in proof.assumes],
            assumes_unique=proof.assumes_unique,
        ),
    }


def _fault_fields(grid: Grid, fault: Fault, *, spoil: bool) -> dict[str, Any]:
    """Return what a report says of a fault; unless `spoil` says so, nothing that gives the solution away."""
    names = grid.model.names
    kept = spoil or fault.kind is not FaultKind.RESTS_ON_ERROR
    parts = ("extras", "missing", "blockers", "restores") if kept else ("missing", "blockers", "restores")
    known = {Remedy.NEVER: Remedy.NEVER if spoil else Remedy.NOT_FOUND}
    return {
        "kind": fault.kind.value,
        **filled(
            link=fault.link,
            span=list(fault.span or ()),
            constraint="" if fault.constraint is None else grid.model.constraints[fault.constraint].name,
            **{part: [names[number] for number in getattr(fault, part)] for part in parts},
            cells=[grid.layout.cell_name(cell) for cell in fault.cells],
            mends=[
                {"eliminate": names[mend.candidate], "provable": known.get(mend.remedy, mend.remedy).value}
                for mend in fault.mends
            ],
        ),
        "mended": fault.mended,
    }
