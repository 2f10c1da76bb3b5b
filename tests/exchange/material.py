"""Proofs of every kind to write, read and damage: from walks, with suppositions, and with swaps."""

from __future__ import annotations

from functools import lru_cache
from pathlib import Path

from strategies import minimal

import deduce
from deduce.exchange import Document, proof_from_line
from deduce.kernel import Inference, Position, Supposition, check, place
from deduce.positions import bits
from deduce.proof import Pattern, Proof

SINGLES = ("hidden single", "naked single")


@lru_cache(maxsize=64)
def course(shape: str, seed: int) -> Document:
    """Return the walk through a minimal puzzle as a document."""
    return Document.of_walk(deduce.walk(minimal(shape, seed)))


def _under(grid: deduce.Grid, candidate: int) -> deduce.Grid:
    return grid.moved(place(grid.model, Position(grid.live, grid.true), candidate))


def _refutation(grid: deduce.Grid) -> tuple[Inference, ...]:
    """Return how singles reach a contradiction; empty if they do not."""
    walk = deduce.walk(grid, SINGLES)
    if walk.outcome != "impossible":
        return ()
    return tuple(inference for step in walk.steps for inference in step.proof.inferences)


def supposition(grid: deduce.Grid, candidate: int) -> Proof | None:
    """Return the proof that singles refute a candidate, if they do."""
    inferences = _refutation(_under(grid, candidate))
    if not inferences:
        return None
    return Proof(grid, (Inference(Supposition(candidate, inferences), (candidate,)),), Pattern("supposition"))


def nested(grid: deduce.Grid) -> Proof | None:
    """Return a proof with a supposition under a supposition."""
    for candidate in bits(grid.live & ~grid.true):
        below = _under(grid, candidate)
        if not _refutation(below):
            continue
        for other in bits(below.live & ~below.true):
            inner = supposition(below, other)
            if inner is None:
                continue
            rest = _refutation(below.moved(check(below, inner).after))
            if rest:
                argument = Supposition(candidate, (*inner.inferences, *rest))
                return Proof(grid, (Inference(argument, (candidate,)),), Pattern("supposition"))
    return None


@lru_cache(maxsize=16)
def suppositions(shape: str, seed: int) -> tuple[Proof, ...]:
    """Return proofs by supposition in the first position of a puzzle, a nested one among them if there is one."""
    grid = minimal(shape, seed)
    found = [supposition(grid, candidate) for candidate in bits(grid.live & ~grid.true)[:40]]
    return tuple(proof for proof in [nested(grid), *found] if proof is not None)


@lru_cache(maxsize=1)
def swaps() -> tuple[Proof, ...]:
    """Return proofs that assume a unique solution: a swap that places its only exit, and swaps in sums."""
    lines = (Path(__file__).parent / "swaps.txt").read_text(encoding="utf-8").splitlines()
    return tuple(proof_from_line(line) for line in lines if not line.startswith("#"))
