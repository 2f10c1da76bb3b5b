"""Coverage: what the answers of a survey say about levels and patterns.

Records are counted, so a puzzle that stands twice in a list counts twice.  Levels and patterns are measured on the
puzzles with exactly one solution; how many there are of the others is told beside.
"""

from __future__ import annotations

import json
from collections import Counter
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from itertools import combinations
from typing import Any, NamedTuple, TypeVar

from deduce.errors import SurveyError
from deduce.surveys.order import Families
from deduce.surveys.questionnaire import Questionnaire
from deduce.surveys.ranks import by_rank
from deduce.surveys.store import Store
from deduce.window import ShownCoverage

__all__ = ["Coverage", "ListCount"]


@dataclass(frozen=True, slots=True)
class ListCount:
    """What a list holds.

    Parameters
    ----------
    records, puzzles : int
        How many records are puzzles, and how many different ones.
    bad : int
        How many bad records were skipped or collected.
    valid : int
        How many records have exactly one solution.
    none, several, unknown : int
        How many have none, more than one, or were too hard to count.
    troubles : int
        How many met trouble.
    """

    records: int
    puzzles: int
    bad: int
    valid: int
    none: int
    several: int
    unknown: int
    troubles: int


class _Walks(NamedTuple):
    """How many walks there are of one list and question, how many solve, means, and the greatest depth."""

    answered: int
    solved: int
    steps: float
    effort: float
    depth: int


_Picked = TypeVar("_Picked")


class Coverage(ShownCoverage):
    """Tables over the lists of a store; each is worked out when it is first asked for.

    Parameters
    ----------
    store : Store
        The answers.
    asked : Questionnaire
        What was asked.
    lists : tuple of str
        The lists, in order.
    """

    def __init__(self, store: Store, asked: Questionnaire, lists: tuple[str, ...]) -> None:
        self.asked = asked
        self.lists = lists
        self.store = store

    @classmethod
    def of(cls, store: Store, asked: Questionnaire, lists: Sequence[str] | None = None) -> Coverage:
        """Return the coverage of some lists of a store; by default all.

        Raises
        ------
        SurveyError
            If the store has no list of that name.
        """
        known = store.lists()
        for name in lists or ():
            if name not in known:
                raise SurveyError(f"the store has no list {name!r}", f"its lists are {', '.join(known) or 'none yet'}")
        return cls(store, asked, known if lists is None else tuple(lists))

    @cached_property
    def counts(self) -> Mapping[str, ListCount]:
        """What each list holds."""
        return {name: self._count(name) for name in self.lists}

    @cached_property
    def solved(self) -> Mapping[str, Mapping[str, int]]:
        """For each list and level how many puzzles the level solves outright."""
        return self._by_level(lambda walks: walks.solved)

    @cached_property
    def answered(self) -> Mapping[str, Mapping[str, int]]:
        """For each list and level how many puzzles have an answer; fewer than are valid if some met trouble."""
        return self._by_level(lambda walks: walks.answered)

    @cached_property
    def effort(self) -> Mapping[str, Mapping[str, tuple[float, float, int]]]:
        """For each list and level: mean steps and mean effort of the walks, and the greatest depth."""
        return self._by_level(lambda walks: (walks.steps, walks.effort, walks.depth))

    @cached_property
    def stuck(self) -> Mapping[str, Mapping[str, Counter[str]]]:
        """For each list and level what of everything would go on from where it is stuck; empty text if nothing would.

        The widest level is not listed: nothing goes on from where it is stuck.
        """
        found: dict[str, dict[str, Counter[str]]] = {name: {} for name in self.lists}
        for level, question in self.asked.levels:
            if level.name in self.asked.places:
                for here in found.values():
                    here[level.name] = Counter()
                rows = self._valid(
                    "SELECT list, json_extract(patterns, ?), count(*) FROM valid JOIN walk USING (puzzle)"
                    " JOIN further USING (puzzle) WHERE walk.question = ? AND further.question = ?"
                    " AND outcome = 'stuck' GROUP BY 1, 2",
                    (f"$[{self.asked.places[level.name]}]", question, self.asked.further),
                )
                for name, pattern, count in rows:
                    found[name][level.name][pattern] = count
        return found

    @cached_property
    def uses(self) -> Mapping[str, Mapping[str, tuple[int, int]]]:
        """For each list and pattern: in how many walks of everything it occurs, and how often."""
        walks: dict[str, Counter[str]] = {name: Counter() for name in self.lists}
        steps: dict[str, Counter[str]] = {name: Counter() for name in self.lists}
        for name, text, count in self._of_everything("uses"):
            for pattern, times in json.loads(text).items():
                walks[name][pattern] += count
                steps[name][pattern] += count * times
        return {name: {one: (walks[name][one], steps[name][one]) for one in by_rank(walks[name])} for name in walks}

    @cached_property
    def hardest(self) -> Mapping[str, Counter[str]]:
        """For each list in how many walks of everything a pattern is the hardest step."""
        found: dict[str, Counter[str]] = {name: Counter() for name in self.lists}
        for name, pattern, count in self._of_everything("hardest"):
            found[name][pattern] = count
        return found

    @cached_property
    def marginal(self) -> Mapping[str, tuple[int, int]]:
        """For each pattern how many puzzles the patterns lose without it, and how many the base gains with it.

        Empty unless the survey asked for it.
        """
        lost = {name: self._only(self.asked.patterns[1], question) for name, question in self.asked.without.items()}
        won = {name: self._only(question, self.asked.base[1]) for name, question in self.asked.added.items()}
        return {name: (lost.get(name, 0), won.get(name, 0)) for name in by_rank({*lost, *won})}

    @cached_property
    def families(self) -> Families:
        """How many puzzles have which smallest solving sets; empty unless the survey asked for `needs`."""
        found: Counter[tuple[tuple[str, ...], ...]] = Counter()
        for _, sets, count in self._needs:
            found[tuple(map(tuple, json.loads(sets)))] += count
        return found

    @cached_property
    def incomplete(self) -> int:
        """For how many puzzles the budget was spent before all smallest solving sets were known."""
        return sum(count for complete, _, count in self._needs if not complete)

    @cached_property
    def replaces(self) -> Mapping[tuple[str, str], tuple[int, int]]:
        """For each pair of patterns: in how many puzzles either can stand for the other, and where at least one helps.

        One stands for the other if a smallest solving set with it still solves when it is exchanged for the other.
        """
        helpful = by_rank({name for sets in self.families for members in sets for name in members})
        both: Counter[tuple[str, str]] = Counter()
        either: Counter[tuple[str, str]] = Counter()
        for sets, weight in self.families.items():
            family = [frozenset(members) for members in sets]
            here = frozenset[str]().union(*family)
            for one, other in combinations(helpful, 2):
                if one in here or other in here:
                    either[one, other] += weight
                    if _stands_for(family, one, other) and _stands_for(family, other, one):
                        both[one, other] += weight
        return {pair: (both[pair], either[pair]) for pair in combinations(helpful, 2) if both[pair]}

    def __repr__(self) -> str:
        return f"<Coverage of {', '.join(self.lists) or 'no list'}>"

    def _valid(self, query: str, values: Iterable[object] = ()) -> Iterator[tuple[Any, ...]]:
        """Ask about `valid`: one row with list and puzzle for each record of our lists that has one solution."""
        marks = ", ".join("?" * len(self.lists))
        valid = (
            "WITH valid AS (SELECT lists.name AS list, puzzle FROM members JOIN lists ON lists.id = list"
            f" JOIN validity USING (puzzle) WHERE question = ? AND solutions = 'one' AND lists.name IN ({marks})) "
        )
        return self.store.db.execute(valid + query, (self.asked.validity, *self.lists, *values))

    @cached_property
    def _walks(self) -> Mapping[tuple[str, int], _Walks]:
        """What the walks of each list and question come to."""
        rows = self._valid(
            "SELECT list, question, count(*), sum(outcome = 'solved'), avg(steps), avg(effort), max(depth)"
            " FROM valid JOIN walk USING (puzzle) GROUP BY 1, 2"
        )
        return {(name, question): _Walks(*found) for name, question, *found in rows}

    def _by_level(self, pick: Callable[[_Walks], _Picked]) -> Mapping[str, Mapping[str, _Picked]]:
        none = _Walks(0, 0, 0.0, 0.0, 0)
        return {
            name: {level.name: pick(self._walks.get((name, question), none)) for level, question in self.asked.levels}
            for name in self.lists
        }

    def _of_everything(self, column: str) -> Iterator[tuple[Any, ...]]:
        """Count, list by list, what stands in a column of the walks of everything."""
        query = f"SELECT list, {column}, count(*) FROM valid JOIN walk USING (puzzle) WHERE question = ? GROUP BY 1, 2"
        return self._valid(query, (self.asked.widest[1],))

    def _count(self, name: str) -> ListCount:
        """Count what a list holds."""
        asked = ", ".join(map(str, self.asked.questions))
        found = self.store.db.execute(
            "SELECT count(puzzle), count(DISTINCT puzzle),"
            " (SELECT count(*) FROM rejects WHERE rejects.list = lists.id), sum(solutions = 'one'),"
            " sum(solutions = 'none'), sum(solutions = 'several'), sum(solutions = 'unknown'),"
            f" sum(puzzle IN (SELECT puzzle FROM troubles WHERE question IN ({asked})))"
            " FROM lists LEFT JOIN members ON members.list = lists.id LEFT JOIN"
            " (SELECT puzzle, solutions FROM validity WHERE question = ?) USING (puzzle) WHERE lists.name = ?",
            (self.asked.validity, name),
        )
        return ListCount(*(number or 0 for number in found.fetchone()))

    def _only(self, better: int, worse: int) -> int:
        """Count the puzzles of all lists that one question solves and the other does not."""
        found = self._valid(
            "SELECT count(*) FROM valid JOIN walk AS more USING (puzzle) JOIN walk AS less USING (puzzle)"
            " WHERE more.question = ? AND less.question = ? AND more.outcome = 'solved' AND less.outcome != 'solved'",
            (better, worse),
        )
        return int(next(found)[0])

    @cached_property
    def _needs(self) -> list[tuple[Any, ...]]:
        """Each family of smallest solving sets, whether it is complete, and for how many puzzles."""
        return [
            *self._valid(
                "SELECT complete, sets, count(*) FROM valid JOIN needs USING (puzzle) WHERE question = ?"
                " GROUP BY complete, sets ORDER BY sets, complete",
                (self.asked.needs,),
            )
        ]


def _stands_for(family: Sequence[frozenset[str]], one: str, other: str) -> bool:
    """Say whether some smallest solving set with `one`, but not `other`, still solves with `other` in its stead."""
    for members in family:
        if one in members and other not in members:
            exchanged = members - {one} | {other}
            if any(another <= exchanged for another in family):
                return True
    return False
