"""From a grid to its solution: steps, outcomes, walks."""

from deduce.walks.audit import Audit, audit
from deduce.walks.claim_print import claim_of
from deduce.walks.claim_text import parse_claim
from deduce.walks.claims import Claim
from deduce.walks.compare import Comparison, against_best, as_walk, claimed_walk, compare
from deduce.walks.conflict import Conflict, conflict
from deduce.walks.dependencies import dependency_graph
from deduce.walks.effort import SIMPLE, Effort, WalkEffort, effort, walk_effort
from deduce.walks.judge import judge
from deduce.walks.log_text import read_log
from deduce.walks.notes import NotesNeeded, NotesReport, notes_needed, premises_of
from deduce.walks.plan import Answer, Objective, Plan, key, plan
from deduce.walks.prune import needed_steps, prune
from deduce.walks.stuck import StuckPoint, bottlenecks, stuck_point, stuck_points
from deduce.walks.themes import Theme, themed_puzzle, themes
from deduce.walks.validity import Validity, validity
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
