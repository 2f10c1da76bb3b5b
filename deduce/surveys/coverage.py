"""Coverage: what the answers of a survey say about levels and patterns.

Records are counted, so a puzzle that stands twice in a list counts twice.  Levels and patterns are measured on the
puzzles with exactly one solution; how many there are of the others is told beside.
"""

from __future__ import annotations

import json
from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from itertools import combinations

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
        How many bad records were collected.
    valid : int
        How many records have exactly one solution.
    none, several, unknown : int
        How many have none, more than one, or were too hard to count.
    troubles : int
        How many met trouble.
    milliseconds : float
        Mean time that one puzzle took, everything that was asked about it together.
    """

    records: int
    puzzles: int
    bad: int
    valid: int
    none: int
    several: int
    unknown: int
    troubles: int
    milliseconds: float


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
        self._db = store.db
        self._numbers = {
            name: number for number, name in store.db.execute("SELECT id, name FROM lists") if name in lists
        }

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
        return {name: self._count(number) for name, number in self._by_list()}

    @cached_property
    def solved(self) -> Mapping[str, Mapping[str, int]]:
        """For each list and level how many puzzles the level solves outright."""
        found = {}
        for name, number in self._by_list():
            here = dict(
                self._db.execute(
                    f"SELECT walk.question, sum(outcome = 'solved') FROM {_WALKS} AND list = ?2 GROUP BY walk.question",  # noqa: S608
                    (self.asked.validity, number),
                )
            )
            found[name] = {level.name: here.get(question, 0) for level, question in self.asked.levels}
        return found

    @cached_property
    def answered(self) -> Mapping[str, Mapping[str, int]]:
        """For each list and level how many puzzles have an answer; fewer than are valid if some met trouble."""
        found = {}
        for name, number in self._by_list():
            here = dict(
                self._db.execute(
                    f"SELECT walk.question, count(*) FROM {_WALKS} AND list = ?2 GROUP BY walk.question",  # noqa: S608
                    (self.asked.validity, number),
                )
            )
            found[name] = {level.name: here.get(question, 0) for level, question in self.asked.levels}
        return found

    @cached_property
    def stuck(self) -> Mapping[str, Mapping[str, Counter[str]]]:
        """For each list and level what of everything would go on from where it is stuck; empty text if nothing would.

        The widest level is not listed: nothing goes on from where it is stuck.
        """
        found = {}
        places = self.asked.places
        for name, number in self._by_list():
            here = {}
            for level, question in self.asked.levels:
                if level.name in places:
                    at = f"$[{places[level.name]}]"
                    rows = self._db.execute(
                        f"SELECT json_extract(patterns, ?3), count(*) FROM {_FURTHER} AND list = ?4 GROUP BY 1",  # noqa: S608
                        (self.asked.validity, question, at, number, self.asked.further),
                    )
                    here[level.name] = Counter(dict(rows))
            found[name] = here
        return found

    @cached_property
    def uses(self) -> Mapping[str, Mapping[str, tuple[int, int]]]:
        """For each list and pattern: in how many walks of everything it occurs, and how often."""
        found = {}
        for name, number in self._by_list():
            walks: Counter[str] = Counter()
            steps: Counter[str] = Counter()
            rows = self._db.execute(
                f"SELECT uses, count(*) FROM {_WALKS} AND list = ?2 AND walk.question = ?3 GROUP BY uses",  # noqa: S608
                (self.asked.validity, number, self.asked.widest[1]),
            )
            for text, count in rows:
                for pattern, times in json.loads(text).items():
                    walks[pattern] += count
                    steps[pattern] += count * times
            found[name] = {pattern: (walks[pattern], steps[pattern]) for pattern in by_rank(walks)}
        return found

    @cached_property
    def hardest(self) -> Mapping[str, Counter[str]]:
        """For each list in how many walks of everything a pattern is the hardest step."""
        found = {}
        for name, number in self._by_list():
            rows = self._db.execute(
                f"SELECT hardest, count(*) FROM {_WALKS} AND list = ?2 AND walk.question = ?3 GROUP BY hardest",  # noqa: S608
                (self.asked.validity, number, self.asked.widest[1]),
            )
            found[name] = Counter(dict(rows))
        return found

    @cached_property
    def effort(self) -> Mapping[str, Mapping[str, tuple[float, float, int]]]:
        """For each list and level: mean steps and mean effort of the walks, and the greatest depth."""
        found = {}
        for name, number in self._by_list():
            rows = self._db.execute(
                f"SELECT walk.question, avg(steps), avg(effort), max(depth) FROM {_WALKS} AND list = ?2 GROUP BY 1",  # noqa: S608
                (self.asked.validity, number),
            )
            here = {question: (steps, effort, depth) for question, steps, effort, depth in rows}
            found[name] = {level.name: here.get(question, (0.0, 0.0, 0)) for level, question in self.asked.levels}
        return found

    @cached_property
    def smallest(self) -> Mapping[str, tuple[Counter[int], Counter[int], int]]:
        """For each list the sizes of the smallest arguments at hardest steps, and where no pattern is left.

        The third item says for how many puzzles one of the two is not proved smallest.  Empty unless the survey asked.
        """
        found = {}
        for name, number in self._by_list():
            if self.asked.smallest is None:
                break
            sizes: tuple[Counter[int], Counter[int]] = (Counter(), Counter())
            unsure = 0
            rows = self._db.execute(
                "SELECT hardest, stuck, proved, count(*) FROM members JOIN smallest USING (puzzle)"
                " JOIN validity ON validity.puzzle = members.puzzle AND validity.question = ? AND solutions = 'one'"
                " WHERE list = ? AND smallest.question = ? GROUP BY 1, 2, 3",
                (self.asked.validity, number, self.asked.smallest),
            )
            for hardest, stuck, proved, count in rows:
                for where, size in zip(sizes, (hardest, stuck), strict=True):
                    if size is not None:
                        where[size] += count
                unsure += count * (not proved)
            found[name] = (*sizes, unsure)
        return found

    @cached_property
    def marginal(self) -> Mapping[str, tuple[int, int]]:
        """For each pattern how many puzzles the patterns lose without it, and how many the base gains with it.

        Empty unless the survey asked for it.
        """
        lost = {name: self._only(self.asked.patterns[1], question) for name, question in self.asked.without}
        won = {name: self._only(question, self.asked.base[1]) for name, question in self.asked.added}
        return {name: (lost.get(name, 0), won.get(name, 0)) for name in by_rank({*lost, *won})}

    @cached_property
    def families(self) -> Families:
        """How many puzzles have which smallest solving sets; empty unless the survey asked for `needs`."""
        found: Counter[tuple[tuple[str, ...], ...]] = Counter()
        for _, sets, count in self._needs():
            found[sets] += count
        return found

    @cached_property
    def incomplete(self) -> int:
        """For how many puzzles the budget was spent before all smallest solving sets were known."""
        return sum(count for complete, _, count in self._needs() if not complete)

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

    def _by_list(self) -> Iterator[tuple[str, int]]:
        """Yield each list with its number."""
        for name in self.lists:
            yield name, self._numbers[name]

    def _marks(self) -> str:
        """Return the numbers of the lists for an SQL condition."""
        return ", ".join(str(self._numbers[name]) for name in self.lists) or "NULL"

    def _count(self, number: int) -> ListCount:
        """Count what a list holds."""
        one = self._db.execute
        records, puzzles = one(
            "SELECT count(*), count(DISTINCT puzzle) FROM members WHERE list = ?", (number,)
        ).fetchone()
        bad = one("SELECT count(*) FROM rejects WHERE list = ?", (number,)).fetchone()[0]
        ways = dict(
            one(
                "SELECT solutions, count(*) FROM members JOIN validity USING (puzzle)"
                " WHERE list = ? AND question = ? GROUP BY solutions",
                (number, self.asked.validity),
            )
        )
        asked = ", ".join(map(str, self.asked.questions))
        troubles = one(
            f"SELECT count(*) FROM members WHERE list = ?"  # noqa: S608 - our own numbers
            f" AND EXISTS (SELECT 1 FROM troubles WHERE troubles.puzzle = members.puzzle AND question IN ({asked}))",
            (number,),
        ).fetchone()[0]
        mean = one(
            "SELECT avg(microseconds) FROM members JOIN took USING (puzzle) WHERE list = ? AND engine = ?",
            (number, self.asked.engine),
        ).fetchone()[0]
        one_way, none, several, unknown = (ways.get(kind, 0) for kind in ("one", "none", "several", "unknown"))
        return ListCount(records, puzzles, bad, one_way, none, several, unknown, troubles, (mean or 0.0) / 1000)

    def _only(self, better: int, worse: int) -> int:
        """Count the puzzles of all lists that one question solves and the other does not."""
        found = self._db.execute(
            "SELECT count(*) FROM members JOIN validity USING (puzzle)"  # noqa: S608 - our own numbers
            " JOIN walk AS more ON more.puzzle = members.puzzle AND more.question = ?2"
            " JOIN walk AS less ON less.puzzle = members.puzzle AND less.question = ?3"
            " WHERE validity.question = ?1 AND solutions = 'one'"
            f" AND more.outcome = 'solved' AND less.outcome != 'solved' AND list IN ({self._marks()})",
            (self.asked.validity, better, worse),
        )
        return int(found.fetchone()[0])

    def _needs(self) -> Iterator[tuple[bool, tuple[tuple[str, ...], ...], int]]:
        """Yield each family of smallest solving sets, and for how many puzzles it is known to be complete or not."""
        rows = self._db.execute(
            "SELECT complete, sets, count(*) FROM members JOIN needs USING (puzzle)"  # noqa: S608 - our own numbers
            " JOIN validity ON validity.puzzle = members.puzzle AND validity.question = ?1 AND solutions = 'one'"
            f" WHERE needs.question = ?2 AND list IN ({self._marks()}) GROUP BY complete, sets ORDER BY sets, complete",
            (self.asked.validity, self.asked.needs),
        )
        for complete, text, count in rows:
            yield bool(complete), tuple(tuple(members) for members in json.loads(text)), count


_WALKS = (
    "members JOIN validity AS valid ON valid.puzzle = members.puzzle AND valid.question = ?1 AND solutions = 'one'"
    " JOIN walk ON walk.puzzle = members.puzzle WHERE TRUE"
)
"""The walks of the puzzles with one solution, one row for each record and question."""

_FURTHER = (
    f"{_WALKS.removesuffix(' WHERE TRUE')} JOIN further ON further.puzzle = members.puzzle AND further.question = ?5"
    " WHERE walk.question = ?2 AND outcome = 'stuck'"
)
"""What would go on from where one level is stuck."""


def _stands_for(family: Sequence[frozenset[str]], one: str, other: str) -> bool:
    """Say whether some smallest solving set with `one`, but not `other`, still solves with `other` in its stead."""
    for members in family:
        if one in members and other not in members:
            exchanged = members - {one} | {other}
            if any(another <= exchanged for another in family):
                return True
    return False
