"""From a grid to its solution: steps, outcomes, walks."""

from deduce.claims.audit import Audit, audit
from deduce.claims.claim import Claim
from deduce.claims.conflict import Conflict, conflict
from deduce.claims.judge import judge
from deduce.claims.log_text import read_log
from deduce.claims.notes import NotesNeeded, NotesReport, notes_needed, premises_of
from deduce.claims.printing import claim_of
from deduce.claims.text import parse_claim
from deduce.planning.compare import Comparison, against_best, as_walk, claimed_walk, compare
from deduce.planning.plan import Answer, Objective, Plan, key, plan
from deduce.planning.showcases import Theme, themed_puzzle, themes
from deduce.planning.stuck import StuckPoint, bottlenecks, stuck_point, stuck_points
from deduce.solutions.validity import Validity, validity
from deduce.walks.dependencies import dependency_graph
from deduce.walks.effort import SIMPLE, Effort, WalkEffort, effort, walk_effort
from deduce.walks.prune import needed_steps, prune
from deduce.walks.walk import Outcome, Step, Walk, walk

__all__ = [
    "SIMPLE",
    "Answer",
    "Audit",
    "Claim",
    "Comparison",
    "Conflict",
    "Effort",
    "NotesNeeded",
    "NotesReport",
    "Objective",
    "Outcome",
    "Plan",
    "Step",
    "StuckPoint",
    "Theme",
    "Validity",
    "Walk",
    "WalkEffort",
    "against_best",
    "as_walk",
    "audit",
    "bottlenecks",
    "claim_of",
    "claimed_walk",
    "compare",
    "conflict",
    "dependency_graph",
    "effort",
    "judge",
    "key",
    "needed_steps",
    "notes_needed",
    "parse_claim",
    "plan",
    "premises_of",
    "prune",
    "read_log",
    "stuck_point",
    "stuck_points",
    "themed_puzzle",
    "themes",
    "validity",
    "walk",
    "walk_effort",
]
