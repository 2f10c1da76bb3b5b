"""Plain English for plans, pruned walks, stuck points, themes and comparisons."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import zip_longest

from deduce.kernel import Counting, Supposition
from deduce.planning.compare import Comparison
from deduce.planning.plan import Answer, Objective, Plan
from deduce.planning.showcases import LeftOut, Showcase, Showing
from deduce.planning.stuck import Deduction, StuckPoint
from deduce.proof import Proof
from deduce.walks.effort import WalkEffort, effort
from deduce.walks.walk import Outcome, Step, Walk
from deduce.words.en.explain import assumption, headline, outcome
from deduce.words.en.names import capital, series

__all__ = ["compare_text", "course", "plan_text", "profile_line", "pruned_text", "searched_text", "stuck_text"]
__all__ += ["theme_text"]

_COSTS = {
    Objective.FEWEST_STEPS: "advanced steps",
    Objective.LEAST_EFFORT: "total effort of advanced steps",
    Objective.LEAST_PEAK: "largest effort of an advanced step",
    Objective.FEWEST_PATTERNS: "distinct advanced patterns",
    Objective.MOST_ALIKE: "advanced steps outside the favourite pattern",
}


CUT = "The search was cut off; there may be more to see."
BRACKETS = "In brackets behind a step: its effort."


def count(number: int, name: str, names: str | None = None) -> str:
    """Return a number with its noun.

    Examples
    --------
    >>> count(1, "step"), count(3, "step"), count(2, "supply", "supplies")
    ('1 step', '3 steps', '2 supplies')
    """
    return f"{number} {name if number == 1 else names or f'{name}s'}"


def plan_text(plan: Plan) -> str:
    """Return what a search for a plan found: the answer, its advanced steps, and what the whole asks for."""
    told = [_answer(plan)]
    if plan.exists:
        wanted = {id(step) for step in plan.advanced}
        told += [line for line, step in zip(course(plan.walk), plan.walk.steps, strict=True) if id(step) in wanted]
    else:
        told.append(f"The allowed patterns stick here:\n{plan.walk.grid.pencil()}")
    told.append(profile_line(plan.profile))
    return "\n".join([*told, *_assumption(plan.walk)])


def _assumption(walk: Walk) -> list[str]:
    """Return the line on the steps that assume a unique solution, if there are any."""
    return list(filter(None, [assumption(walk)]))


def _answer(plan: Plan) -> str:
    looked = count(plan.looked, "position")
    if plan.answer is Answer.NONE:
        return f"No plan exists within the allowed patterns ({looked} looked at)."
    if plan.answer is Answer.OPEN:
        return f"No plan was found within the budget ({looked} looked at); there may be one."
    cost = plan.cost or (0,)
    sentence = f"{capital(_COSTS[plan.objective])}: {cost[-1]}"
    if plan.preferred:
        sentence += f", {cost[0]} of the advanced steps not by a preferred pattern"
    if plan.answer is Answer.PROVED:
        return f"{sentence}. Proved best ({looked} looked at)."
    return f"{sentence}. The best found ({looked} looked at); there may be a better one."


def course(walk: Walk) -> list[str]:
    """Return one line for each step of a walk: number, headline, effort, and what it takes for granted."""
    return [f"{number}. {headline(step.proof)} {bracket(step.proof)}" for number, step in enumerate(walk.steps, 1)]


def bracket(proof: Proof) -> str:
    """Return what stands in brackets behind a step."""
    marks = ", rests on notes" * bool(proof.noted) + ", assumes one solution" * proof.assumes_unique
    return f"[{effort(proof).total}{marks}]"


def profile_line(profile: WalkEffort) -> str:
    """Return what a walk asks for in one sentence."""
    sentence = (
        f"{count(profile.steps, 'step')}, {profile.advanced} of them advanced; effort {profile.total} in all, "
        f"{profile.peak} at most; {count(profile.stuck_points, 'stuck point')}."
    )
    used = [f"{name} ({times})" for name, times in profile.patterns.items()]
    return f"{sentence} Patterns: {', '.join(used)}." if used else sentence


def pruned_text(before: Walk, after: Walk, kept: tuple[int, ...]) -> str:
    """Return a pruned walk, each step with the number that it had before."""
    left_out = len(before) - len(after)
    told = [f"{count(len(after), 'step')} of {len(before)} are needed; {left_out} left out."]
    if left_out == 0:
        told = [f"All {count(len(before), 'step')} are needed."]
    told[0] += f" {BRACKETS}"
    for line, index in zip(course(after), kept, strict=True):
        number = int(line.partition(".")[0])
        told.append(line if index + 1 == number else f"{line} (was {index + 1})")
    return "\n".join([*told, *_assumption(after)])


def stuck_text(point: StuckPoint) -> str:
    """Return what there is to see at a stuck point, by pattern, and what nobody gets around."""
    if not point.deductions:
        if point.opens:
            return "Simple steps solve it."
        if point.cut:
            return CUT
        return " ".join(["None of the allowed patterns finds anything here.", *map(_beyond, point.beyond)])
    unlike = len(point.alternatives)
    things = "thing" if unlike == 1 else "things"
    told = [f"{count(len(point.deductions), 'deduction')}, which unlock {unlike} different {things}. {BRACKETS}"]
    for name, deductions in point.by_pattern.items():
        told.append(f"{capital(name)}: {len(deductions)}")
        told += [f"  {_deduction(deduction)}" for deduction in deductions]
    told += [_bottleneck_line(point, i) for i in range(len(point.bottlenecks))]
    if point.cut:
        told.append(CUT)
    elif not point.opens:
        told.append("The allowed patterns stick before the solution.")
    elif not point.bottlenecks:
        told.append("No single conclusion is needed by every plan.")
    return "\n".join(told)


def _beyond(proof: Proof) -> str:
    argument = proof.inferences[0].argument
    if isinstance(argument, Supposition):
        inner = count(len(argument.inferences), "inference")
        return f"A supposition refuted in {inner} reaches {proof.conclusion()} [{proof.effort}]."
    added = [*argument.bases, *argument.covers] if isinstance(argument, Counting) else []
    constraints = count(len(added), "constraint")
    return f"A counting argument over {constraints} reaches {proof.conclusion()} [{proof.effort}]."


def _deduction(deduction: Deduction) -> str:
    said = f"{deduction.proof.conclusion()} {bracket(deduction.proof)}"
    if deduction.solves:
        said += ", and simple steps then solve it"
    elif deduction.placed:
        said += f", and simple steps then fill {count(deduction.placed, 'cell')}"
    return f"{said}; a bottleneck" if deduction.bottleneck else said


def _bottleneck_line(point: StuckPoint, index: int) -> str:
    bottleneck = point.bottlenecks[index]
    does = "places" if bottleneck.places else "rules out"
    here = len(point.passes(bottleneck))
    where = f"{count(here, 'deduction')} here {'does' if here == 1 else 'do'}" if here else "none here does"
    sure = "" if bottleneck.proved else ", though that is not proved"
    return f"Every plan {does} {bottleneck.candidate} by an advanced step{sure}; {where}."


def theme_text(showcase: Showcase) -> str:
    """Return a puzzle of a collection with where each wanted pattern comes up and how essential it is."""
    shown = [*map(_showing, showcase.showings), *_assumption(showcase.walk)]
    return "\n  ".join([f"{showcase.number}. {showcase.grid.line()}", *shown])


def searched_text(shown: int, left_out: Sequence[LeftOut]) -> str:
    """Return how many puzzles of a collection show what is wanted, and what became of the others."""
    told = [f"{count(shown + len(left_out), 'puzzle')} searched: {shown} {'shows' if shown == 1 else 'show'} it"]
    for why, one, several in (
        ("without it", "is solved without it", "are solved without it"),
        ("not solved", "is not solved by what is allowed", "are not solved by what is allowed"),
        ("several solutions", "has several solutions", "have several solutions"),
    ):
        number = left_out.count(why)
        if number:
            told.append(f"{number} {one if number == 1 else several}")
    return f"{', '.join(told)}."


def _showing(showing: Showing) -> str:
    steps = f"step{'s' if len(showing.steps) > 1 else ''} {series(map(str, showing.steps))}"
    if showing.only_way:
        return f"{capital(showing.pattern)} at {steps}: " + (
            "no plan does without it." if showing.proved else "without it the walk sticks."
        )
    instead = f" by {series(showing.instead)}" if showing.instead else " by simple steps"
    peaks = f"peak effort {showing.peak_without} instead of {showing.peak}"
    return f"{capital(showing.pattern)} at {steps}: it can be done without{instead}, {peaks}."


def compare_text(comparison: Comparison, width: int = 56) -> str:
    """Return two walks side by side as text."""
    one, other = comparison.names
    left, right = course(comparison.first), course(comparison.second)
    told = [summary(comparison), BRACKETS, ""]
    told += [f"{_cut(one, width):{width}} | {other}", f"{'-' * width}-+-{'-' * width}"]
    pairs = zip_longest(left, right, fillvalue="")
    told += [f"{_cut(a, width):{width}} | {_cut(b, width)}".rstrip() for a, b in pairs]
    return "\n".join(told)


def summary(comparison: Comparison) -> str:
    """Return in a few sentences where two walks part, which is shorter, and what each needs."""
    (one, other), (mine, yours) = comparison.names, comparison.efforts
    told = [_parting(comparison)]
    for name, walked, profile in ((one, comparison.first, mine), (other, comparison.second, yours)):
        ended = "solved in" if walked.solved else outcome(walked)
        assumed = _assumption(walked) if walked.solved else []
        told.append(" ".join([f"{capital(name)}: {ended} {profile_line(profile)}", *assumed]))
    told.append(_shorter(comparison))
    for name, names in zip(comparison.names, comparison.needs, strict=True):
        if names:
            told.append(f"Only {name} needs {series(names)}.")
    shared = len(comparison.shared)
    told.append(
        f"Advanced conclusions: {shared} in both, {len(comparison.only_first)} only in {one}, "
        f"{len(comparison.only_second)} only in {other}."
    )
    return "\n".join(told)


def _parting(comparison: Comparison) -> str:
    if comparison.part is None:
        return "The two walks never part."
    said = [_taken(step) for step in comparison.parting]
    one, other = comparison.names
    return f"They part at step {comparison.part + 1}: {one} takes {said[0]}, {other} takes {said[1]}."


def _taken(step: Step | None) -> str:
    return "nothing more" if step is None else f"{step.proof.pattern.name} {step.proof.conclusion()}"


def _shorter(comparison: Comparison) -> str:
    (one, other), (mine, yours) = comparison.names, comparison.efforts
    arrived = [walk.outcome in (Outcome.SOLVED, Outcome.REACHED) for walk in (comparison.first, comparison.second)]
    if not all(arrived):
        # A walk that stops early is no shorter way.
        return f"Only {one if arrived[0] else other} gets to its end." if any(arrived) else "Neither gets to its end."
    if mine.steps == yours.steps and mine.advanced == yours.advanced:
        return "They are equally long."
    first, second = (mine.advanced, mine.steps), (yours.advanced, yours.steps)
    name = one if first < second else other
    few, many = sorted((first, second))
    return f"{capital(name)} is shorter: {few[0]} advanced steps against {many[0]}, {few[1]} in all against {many[1]}."


def _cut(text: str, width: int) -> str:
    """Cut a line of a course that is too long; what stands in brackets behind a step stays."""
    if len(text) <= width:
        return text
    told, _, behind = text.rpartition(" [")
    behind = f" [{behind}" if told else ""
    return f"{text[: width - len(behind) - 1]}~{behind}"
