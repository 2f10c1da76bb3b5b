"""Surveys: how far levels of patterns go over collections of puzzles, on one core or on a cluster.

>>> from deduce.surveys import survey
>>> made = survey(["..24......1..2..", "1.......2.......", "..24......1..2.."], workers=0)
>>> made
<Survey of puzzles: 3 puzzles, 2 examined, 0 bad records>
>>> coverage = made.coverage()
>>> coverage.counts["puzzles"].valid, coverage.solved["puzzles"]["singles"]
(2, 2)
"""

from deduce.surveys.coverage import Coverage
from deduce.surveys.crew import Here
from deduce.surveys.errors import MissingExtra, SurveyError
from deduce.surveys.levels import REFUTATION_LEVEL, Level, cumulative, with_each, without_each
from deduce.surveys.store import Store
from deduce.surveys.survey import Survey, survey

__all__ = [
    "REFUTATION_LEVEL",
    "Coverage",
    "Here",
    "Level",
    "MissingExtra",
    "Store",
    "Survey",
    "SurveyError",
    "cumulative",
    "survey",
    "with_each",
    "without_each",
]
