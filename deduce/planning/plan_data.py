"""Plans, stuck points, themes and comparisons as plain values, ready for any JSON writer.

Every value has ``format`` and ``version``; steps count from 1, candidates are tokens such as ``5r4c7``.
"""

from __future__ import annotations

from dataclasses import asdict
from typing import Any

from deduce.envelope import head
from deduce.planning.compare import Comparison
from deduce.planning.plan import Plan
from deduce.planning.showcases import Showcase
from deduce.planning.stuck import Deduction, StuckPoint
from deduce.proof import Proof
from deduce.walks.effort import effort
from deduce.walks.walk import Step, Walk

__all__ = ["comparison_data", "plan_data", "pruned_data", "stuck_data", "theme_data", "walk_data"]


def walk_data(walk: Walk) -> dict[str, Any]:
    """Return a walk: its start as candidate grid, its outcome, and what each step concludes and asks for."""
    return {
        "start": walk.start.pencil(),
        "outcome": walk.outcome.value,
        "steps": [_step(number, step) for number, step in enumerate(walk.steps, 1)],
    }


def plan_data(plan: Plan) -> dict[str, Any]:
    """Return a plan; `stuck` is the position in which the allowed patterns stick, if there is no plan."""
    steps = {id(step) for step in plan.advanced}
    return {
        **head("plan"),
        "answer": plan.answer.value,
        "objective": plan.objective.value,
        "cost": None if plan.cost is None else list(plan.cost),
        **{name: list(getattr(plan, name)) for name in ("simple", "allowed", "preferred", "required")},
        "looked": plan.looked,
        "stuck": None if plan.stuck is None else plan.stuck.pencil(),
        "advanced": [number for number, step in enumerate(plan.walk.steps, 1) if id(step) in steps],
        "effort": asdict(plan.profile),
        "walk": walk_data(plan.walk),
    }


def pruned_data(before: Walk, after: Walk, kept: tuple[int, ...]) -> dict[str, Any]:
    """Return a pruned walk beside the number of steps before; `kept` are indices of the steps that stayed."""
    return {
        **head("pruned"),
        "steps_before": len(before),
        "steps_after": len(after),
        "kept": [index + 1 for index in kept],
        "walk": walk_data(after),
    }


def stuck_data(point: StuckPoint) -> dict[str, Any]:
    """Return a stuck point; `alternatives` are groups of numbers of deductions, from 1."""
    return {
        **head("stuck-point"),
        "position": point.grid.pencil(),
        "deductions": [_deduction(deduction) for deduction in point.deductions],
        "alternatives": [[index + 1 for index in group] for group in point.alternatives],
        "opens": point.opens,
        "bottlenecks": [
            {"candidate": str(one.candidate), "places": one.places, "proved": one.proved} for one in point.bottlenecks
        ],
        "beyond": [
            {"pattern": proof.pattern.name, "conclusion": proof.conclusion(), "effort": proof.effort}
            for proof in point.beyond
        ],
        "cut": point.cut,
    }


def theme_data(showcase: Showcase) -> dict[str, Any]:
    """Return a puzzle of a collection with what it shows."""
    return {
        **head("theme"),
        "number": showcase.number,
        "puzzle": showcase.grid.line(),
        "showings": [
            {**asdict(showing), "steps": list(showing.steps), "instead": list(showing.instead)}
            for showing in showcase.showings
        ],
        "walk": walk_data(showcase.walk),
    }


def comparison_data(comparison: Comparison) -> dict[str, Any]:
    """Return two walks side by side; `part` is the number of the step by which they part."""
    return {
        **head("comparison"),
        "names": list(comparison.names),
        "part": None if comparison.part is None else comparison.part + 1,
        "shared": list(comparison.shared),
        "only": [list(comparison.only_first), list(comparison.only_second)],
        "needs": [list(names) for names in comparison.needs],
        "efforts": [asdict(profile) for profile in comparison.efforts],
        "walks": [walk_data(comparison.first), walk_data(comparison.second)],
    }


def _step(number: int, step: Step) -> dict[str, Any]:
    return {"number": number, **_proof(step.proof, effort(step.proof).total)}


def _deduction(one: Deduction) -> dict[str, Any]:
    measured = {name: getattr(one, name) for name in ("placed", "gone", "solves", "bottleneck")}
    return {**_proof(one.proof, one.effort, arguments=one.arguments), **measured}


def _proof(proof: Proof, total: int, **more: int) -> dict[str, Any]:
    """Return what a proof concludes, asks for, and takes for granted."""
    return {
        "pattern": proof.pattern.name,
        "places": [str(candidate) for candidate in proof.places],
        "eliminates": [str(candidate) for candidate in proof.eliminates],
        **more,
        "effort": total,
        "assumes": [str(candidate) for candidate in proof.assumes],
        "assumes_unique": proof.assumes_unique,
    }
