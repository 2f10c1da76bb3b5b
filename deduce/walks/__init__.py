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
    from deduce.claims.audit import Audit as Audit, audit as audit
    from deduce.claims.claim import Claim as Claim
    from deduce.claims.conflict import Conflict as Conflict, conflict as conflict
    from deduce.claims.judge import judge as judge
    from deduce.claims.log_text import read_log as read_log
    from deduce.claims.notes import (
        NotesNeeded as NotesNeeded,
        NotesReport as NotesReport,
        notes_needed as notes_needed,
        premises_of as premises_of,
    )
    from deduce.claims.printing import claim_of as claim_of
    from deduce.claims.reply import Reply as Reply, ask as ask
    from deduce.claims.text import parse_claim as parse_claim
    from deduce.planning.compare import (
        Comparison as Comparison,
        against_best as against_best,
        claimed_walk as claimed_walk,
        compare as compare,
    )
    from deduce.planning.plan import Answer as Answer, Objective as Objective, Plan as Plan, key as key, plan as plan
    from deduce.planning.showcases import (
        Showcase as Showcase,
        Showcase as Theme,  # noqa: F401 - its older name
        themed_puzzle as themed_puzzle,
        themes as themes,
    )
    from deduce.planning.stuck import (
        StuckPoint as StuckPoint,
        bottlenecks as bottlenecks,
        stuck_point as stuck_point,
        stuck_points as stuck_points,
    )
    from deduce.solving.validity import Validity as Validity, validity as validity
    from deduce.walks.replay import as_walk as as_walk

_HOMES = {
    **dict.fromkeys(("Audit", "audit"), "claims.audit"),
    "Claim": "claims.claim",
    **dict.fromkeys(("Conflict", "conflict"), "claims.conflict"),
    "judge": "claims.judge",
    "read_log": "claims.log_text",
    **dict.fromkeys(("NotesNeeded", "NotesReport", "notes_needed", "premises_of"), "claims.notes"),
    "claim_of": "claims.printing",
    **dict.fromkeys(("Reply", "ask"), "claims.reply"),
    "parse_claim": "claims.text",
    **dict.fromkeys(("Comparison", "against_best", "claimed_walk", "compare"), "planning.compare"),
    **dict.fromkeys(("Answer", "Objective", "Plan", "key", "plan"), "planning.plan"),
    **dict.fromkeys(("Showcase", "themed_puzzle", "themes"), "planning.showcases"),
    "Theme": "planning.showcases:Showcase",  # its older name
    **dict.fromkeys(("StuckPoint", "bottlenecks", "stuck_point", "stuck_points"), "planning.stuck"),
    **dict.fromkeys(("Validity", "validity"), "solving.validity"),
    "as_walk": "walks.replay",
}

__all__ = ["SIMPLE", "Because", "Chapter", "ChapterKind", "Effort", "Outcome", "Step", "StepRun", "Story"]
__all__ += ["StoryStep", "Walk", "WalkEffort", "dependency_graph", "effort", "needed_steps", "prune", "story", "walk"]
__all__ += ["walk_effort"]

__all__ += list(_HOMES)

__getattr__, __dir__ = lazily(globals(), _HOMES)
