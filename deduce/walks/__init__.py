"""From a grid to its solution: steps, outcomes, walks.

What stands on walks has rooms of its own, `deduce.claims` and `deduce.planning`; its names are found here too.
"""

from typing import TYPE_CHECKING

from deduce import lazily
from deduce.walks.dependencies import dependency_graph
from deduce.walks.effort import SIMPLE, Effort, WalkEffort, effort, walk_effort
from deduce.walks.prune import needed_steps, prune
from deduce.walks.story import Because, Chapter, ChapterKind, StepRun, Story, StoryStep, story
from deduce.walks.walk import Outcome, Step, Walk, walk

if TYPE_CHECKING:
    from deduce.claims.audit import Audit as Audit
    from deduce.claims.audit import audit as audit
    from deduce.claims.claim import Claim as Claim
    from deduce.claims.conflict import Conflict as Conflict
    from deduce.claims.conflict import conflict as conflict
    from deduce.claims.judge import judge as judge
    from deduce.claims.log_text import read_log as read_log
    from deduce.claims.notes import NotesNeeded as NotesNeeded
    from deduce.claims.notes import NotesReport as NotesReport
    from deduce.claims.notes import notes_needed as notes_needed
    from deduce.claims.notes import premises_of as premises_of
    from deduce.claims.printing import claim_of as claim_of
    from deduce.claims.reply import Reply as Reply
    from deduce.claims.reply import ask as ask
    from deduce.claims.text import parse_claim as parse_claim
    from deduce.planning.compare import Comparison as Comparison
    from deduce.planning.compare import against_best as against_best
    from deduce.planning.compare import claimed_walk as claimed_walk
    from deduce.planning.compare import compare as compare
    from deduce.planning.plan import Answer as Answer
    from deduce.planning.plan import Objective as Objective
    from deduce.planning.plan import Plan as Plan
    from deduce.planning.plan import key as key
    from deduce.planning.plan import plan as plan
    from deduce.planning.showcases import Showcase as Showcase
    from deduce.planning.showcases import Showcase as Theme  # noqa: F401 - its older name
    from deduce.planning.showcases import themed_puzzle as themed_puzzle
    from deduce.planning.showcases import themes as themes
    from deduce.planning.stuck import StuckPoint as StuckPoint
    from deduce.planning.stuck import bottlenecks as bottlenecks
    from deduce.planning.stuck import stuck_point as stuck_point
    from deduce.planning.stuck import stuck_points as stuck_points
    from deduce.solving.validity import Validity as Validity
    from deduce.solving.validity import validity as validity
    from deduce.walks.replay import as_walk as as_walk

_HOMES = {
    "Answer": "planning.plan",
    "Audit": "claims.audit",
    "Claim": "claims.claim",
    "Comparison": "planning.compare",
    "Conflict": "claims.conflict",
    "NotesNeeded": "claims.notes",
    "NotesReport": "claims.notes",
    "Objective": "planning.plan",
    "Plan": "planning.plan",
    "StuckPoint": "planning.stuck",
    "Showcase": "planning.showcases",
    "Theme": "planning.showcases:Showcase",  # its older name
    "Reply": "claims.reply",
    "Validity": "solving.validity",
    "against_best": "planning.compare",
    "as_walk": "walks.replay",
    "ask": "claims.reply",
    "audit": "claims.audit",
    "bottlenecks": "planning.stuck",
    "claim_of": "claims.printing",
    "claimed_walk": "planning.compare",
    "compare": "planning.compare",
    "conflict": "claims.conflict",
    "judge": "claims.judge",
    "key": "planning.plan",
    "notes_needed": "claims.notes",
    "parse_claim": "claims.text",
    "plan": "planning.plan",
    "premises_of": "claims.notes",
    "read_log": "claims.log_text",
    "stuck_point": "planning.stuck",
    "stuck_points": "planning.stuck",
    "themed_puzzle": "planning.showcases",
    "themes": "planning.showcases",
    "validity": "solving.validity",
}

__all__ = [
    "SIMPLE",
    "Because",
    "Chapter",
    "ChapterKind",
    "Effort",
    "Outcome",
    "Step",
    "StepRun",
    "Story",
    "StoryStep",
    "Walk",
    "WalkEffort",
    "dependency_graph",
    "effort",
    "needed_steps",
    "prune",
    "story",
    "walk",
    "walk_effort",
]

__all__ += list(_HOMES)

__getattr__, __dir__ = lazily(globals(), _HOMES)
