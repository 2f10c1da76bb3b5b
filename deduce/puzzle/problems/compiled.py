"""From what a problem says to linear constraints over candidates "this variable takes this value"."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, field, replace
from itertools import combinations, product
from math import gcd, lcm

from deduce.errors import ProblemError
from deduce.kernel import Constraint
from deduce.positions import bits
from deduce.puzzle.problems.boxes import gather_boxes
from deduce.puzzle.problems.cliques import between_two, gather, sparse
from deduce.puzzle.problems.described import Described, Stated, WeightedTotal
from deduce.puzzle.problems.naming import MOST_TITLE, brief, choices, distinct, listed
from deduce.puzzle.problems.numbers import exact
from deduce.puzzle.problems.tables import as_total

__all__ = ["MOST_CANDIDATES", "MOST_COEFFICIENT", "Part", "compiled"]

MOST_CANDIDATES = 20_000
"""The most variables times values of a problem."""

MOST_COEFFICIENT = 10**9
"""The largest whole coefficient that a sum may need."""


@dataclass(frozen=True, slots=True)
class Part:
    """Linear constraints that come from one constraint of the problem, or from several together.

    Parameters
    ----------
    title : str
        What is said, in the problem's words.
    cells : tuple of int
        The variables that it speaks of.
    sources : tuple of int
        The numbers of the constraints that it comes from (`Stated.number`); empty for domains.
    constraints : tuple of Constraint
        The same as linear constraints.
    """

    title: str
    cells: tuple[int, ...]
    sources: tuple[int, ...]
    constraints: tuple[Constraint, ...]


def compiled(
    described: Described, variables: Sequence[str], values: Sequence[str]
) -> tuple[tuple[Stated, ...], tuple[Part, ...]]:
    """Return a problem as houses and linear constraints.

    Parameters
    ----------
    described : Described
        What the problem says.
    variables, values : sequence of str
        Their printable names.

    Returns
    -------
    houses : tuple of Stated
        The constraints that make houses: all different, over as many variables as there are values.
    parts : tuple of Part
        Everything else: domains first, then constraint by constraint, then the conflicts of pairs.

    Raises
    ------
    ProblemError
        If the problem is too large, or a sum needs coefficients that are.
    """
    size = len(variables) * len(values)
    if size > MOST_CANDIDATES:
        problem = f"{len(variables)} variables times {len(values)} values are {size} candidates"
        raise ProblemError(problem, f"give a problem with at most {MOST_CANDIDATES}")
    return _Compiler(described, variables, values).run()


@dataclass(slots=True)
class _Compiler:
    """Collects the parts of one problem."""

    described: Described
    variables: Sequence[str]
    values: Sequence[str]
    parts: list[Part] = field(default_factory=list)
    houses: list[Stated] = field(default_factory=list)
    pairs: dict[tuple[int, int], tuple[int, ...]] = field(default_factory=dict)

    def run(self) -> tuple[tuple[Stated, ...], tuple[Part, ...]]:
        """Compile everything."""
        self._domains()
        for stated in self.described.stated:
            constraints = [*self._constraints(stated)]
            if constraints:
                self.parts.append(Part(stated.title, stated.scope, (stated.number,), tuple(constraints)))
        self._conflicts()
        return tuple(self.houses), self._named()

    def _named(self) -> tuple[Part, ...]:
        """Return the parts, no two constraints of the same name."""
        listed_names = [brief(rule.name, MOST_TITLE - 8) for part in self.parts for rule in part.constraints]
        names = iter(distinct(listed_names))
        return tuple(
            replace(part, constraints=tuple(replace(constraint, name=next(names)) for constraint in part.constraints))
            for part in self.parts
        )

    def number(self, digit: int, cell: int) -> int:
        """Return the candidate for a digit (here from 0) in a cell."""
        return digit * len(self.variables) + cell

    def _domains(self) -> None:
        """Rule out the values that a variable does not have."""
        for cell, domain in enumerate(self.described.domains):
            rest = [d for d in range(len(self.values)) if d not in domain]
            if rest:
                title = f"{self.variables[cell]} is {self._some(domain)}"
                self.parts.append(Part(title, (cell,), (), tuple(self._none(title, [(cell, d) for d in rest]))))

    def _some(self, digits: Iterable[int]) -> str:
        """Write alternatives, a long list by its length."""
        names = [self.values[d] for d in digits]
        return choices(names) if len(names) <= 12 else f"one of {len(names)} values"

    def _constraints(self, stated: Stated) -> Iterator[Constraint]:
        """Yield what one constraint says; conflicts of pairs are put aside."""
        if stated.kind == "different":
            yield from self._different(stated)
        elif stated.kind == "equal":
            for one, other in zip(stated.scope, stated.scope[1:], strict=False):
                table = {(d, d) for d in self.described.domains[one]}
                yield from self._two(stated, (one, other), table)
        elif stated.total is not None:
            yield self._sum(stated.title, stated.scope, stated.total)
        elif stated.kind == "each in":
            barred = [
                (cell, d)
                for cell, allowed in zip(stated.scope, stated.allowed, strict=True)
                for d in self.described.domains[cell]
                if d not in allowed
            ]
            yield from self._none(stated.title, barred)
        elif stated.kind == "count in":
            terms = sorted(
                (self.number(d, cell), 1)
                for cell, allowed in zip(stated.scope, stated.allowed, strict=True)
                for d in allowed
            )
            yield Constraint(stated.title, tuple(terms), stated.least, stated.most)
        else:
            yield from self._table(stated)

    def _none(self, title: str, barred: Sequence[tuple[int, int]]) -> Iterator[Constraint]:
        """Yield the constraint that rules some candidates (variable and digit) out."""
        if barred:
            yield Constraint(title, tuple(sorted((self.number(d, cell), 1) for cell, d in barred)), None, 0)

    def _different(self, stated: Stated) -> Iterator[Constraint]:
        """Yield "at most once" for each value, "exactly once" where every value has to be taken; or note a house."""
        domains = self.described.domains
        union = sorted({d for cell in stated.scope for d in domains[cell]})
        every = len(union) == len(stated.scope)
        if every and len(union) == len(self.values) and len(union) > 1:
            self.houses.append(stated)
            return
        if len(stated.scope) == 2 and not every:
            # A pair of neighbours: with other such pairs it may say more than by itself.
            one, other = stated.scope
            table = {(a, b) for a in domains[one] for b in domains[other] if a != b}
            yield from self._two(stated, (one, other), table)
            return
        for d in union:
            here = [cell for cell in stated.scope if d in domains[cell]]
            if len(here) > 1 or every:
                times = "exactly" if every else "at most"
                title = f"{self.values[d]} is taken {times} once by {self._listed(stated.scope)}"
                if every and len(here) < len(stated.scope):
                    title += f", of which {self._listed({*stated.scope} - {*here})} cannot"
                yield Constraint(
                    title, tuple((self.number(d, cell), 1) for cell in sorted(here)), 1 if every else None, 1
                )

    def _listed(self, cells: Iterable[int]) -> str:
        return listed([self.variables[cell] for cell in sorted(cells)])

    def _sum(self, title: str, cells: Sequence[int], total: WeightedTotal) -> Constraint:
        """Return a sum as a constraint with whole coefficients."""
        terms = [
            (self.number(d, cell), factor * exact(value))
            for cell, factor in zip(cells, total.factors, strict=True)
            for d, value in self.described.domains[cell].items()
        ]
        terms = sorted((candidate, a) for candidate, a in terms if a)
        bounds = [bound for bound in (total.least, total.most) if bound is not None]
        scale = lcm(*(a.denominator for _, a in terms), *(bound.denominator for bound in bounds))
        whole = [(candidate, int(a * scale)) for candidate, a in terms]
        least, most = (None if bound is None else int(bound * scale) for bound in (total.least, total.most))
        common = gcd(*(a for _, a in whole)) or 1
        low, high = least and -(-least // common), most and most // common
        if low is None or high is None or low <= high:
            whole, least, most = [(candidate, a // common) for candidate, a in whole], low, high
        largest = max((abs(a) for _, a in whole), default=0)
        if largest > MOST_COEFFICIENT:
            problem = f"{title} needs the whole coefficient {largest}"
            raise ProblemError(problem, f"use numbers whose coefficients stay below {MOST_COEFFICIENT}")
        return Constraint(title, tuple(whole), least, most)

    def _table(self, stated: Stated) -> Iterator[Constraint]:
        """Yield what a table says beyond its conflicts of pairs."""
        domains = [self.described.domains[cell] for cell in stated.scope]
        seen = [{row[place] for row in stated.table} for place in range(len(domains))]
        yield from self._none(
            f"{stated.title}, so some values have no partners" if any(seen) else stated.title,
            [
                (cell, d)
                for cell, domain, kept in zip(stated.scope, domains, seen, strict=True)
                for d in domain
                if d not in kept
            ],
        )
        if len(domains) < 2 or not stated.table:
            return
        supported: dict[tuple[int, int], set[tuple[int, int]]] = {}
        for one, other in combinations(range(len(domains)), 2):
            found = {(row[one], row[other]) for row in stated.table}
            supported[one, other] = found
            self._put_aside(stated, (stated.scope[one], stated.scope[other]), found, seen[one], seen[other])
        if len(domains) == 2:
            return
        total = as_total(stated.table, domains, exact)
        if total is not None:
            yield self._sum(stated.title, stated.scope, total)
            return
        table = set(stated.table)
        forbidden = [
            row
            for row in product(*map(sorted, seen))
            if row not in table and all((row[a], row[b]) in pairs for (a, b), pairs in supported.items())
        ]
        for box in gather_boxes(stated.table, [sorted(kept) for kept in seen], forbidden):
            told = [f"{self.variables[c]} = {self._some(box[i])}" for i, c in enumerate(stated.scope)]
            terms = sorted((self.number(d, c), 1) for i, c in enumerate(stated.scope) for d in box[i])
            name = f"{stated.title}, so not {listed(told)} at once"
            yield Constraint(name, tuple(terms), None, len(box) - 1)

    def _two(self, stated: Stated, cells: tuple[int, int], table: set[tuple[int, int]]) -> Iterator[Constraint]:
        """Put the conflicts of a table over two variables aside; yield what rules single values out."""
        one, other = cells
        rows = [(d, e) for d in self.described.domains[one] for e in self.described.domains[other] if (d, e) in table]
        yield from self._table(replace(stated, scope=cells, table=tuple(rows)))

    def _put_aside(
        self, stated: Stated, cells: tuple[int, int], table: set[tuple[int, int]], left: set[int], right: set[int]
    ) -> None:
        """Remember the conflicts between two variables, with the constraint that they come from."""
        for d in sorted(left):
            for e in sorted(right):
                if (d, e) not in table:
                    pair = self.number(d, cells[0]), self.number(e, cells[1])
                    key = (min(pair), max(pair))
                    self.pairs[key] = (*self.pairs.get(key, ()), stated.number)

    def _conflicts(self) -> None:
        """Gather the conflicts of pairs into constraints "at most one", sorted by the constraints they come from."""
        together: dict[tuple[int, ...], list[int]] = {}
        covered: set[tuple[int, int]] = set()
        for clique in self._across():
            pairs = [*combinations(bits(clique), 2)]
            covered.update(pairs)
            # One constraint is enough as the reason of a conflict that several state.
            together.setdefault(tuple(sorted({self.pairs[pair][0] for pair in pairs})), []).append(clique)
        for conflicts in self._tables().values():
            for mask in between_two(conflicts, [pair for pair in conflicts if tuple(sorted(pair)) in covered]):
                inside = [pair for pair in conflicts if mask >> pair[0] & 1 and mask >> pair[1] & 1]
                stating = {self.pairs[min(pair), max(pair)][0] for pair in inside}
                together.setdefault(tuple(sorted(stating)), []).append(mask)
        titles = {stated.number: stated.title for stated in self.described.stated}
        size = len(self.variables)
        for sources, cliques in sorted(together.items()):
            told = [titles[number] for number in sources]
            title = "; ".join(told) if len(told) <= 3 else f"{told[0]}; {told[1]}; and {len(told) - 2} more"
            why = f", since {told[0]}" if len(told) == 1 else f" (by {self._numbers(sources)})"
            constraints = []
            for clique in cliques:
                terms = tuple((candidate, 1) for candidate in bits(clique))
                constraints.append(Constraint(f"{self._at_most_one(clique)}{why}", terms, None, 1))
            spoken = sorted({candidate % size for clique in cliques for candidate in bits(clique)})
            self.parts.append(Part(title, tuple(spoken), sources, tuple(constraints)))

    def _numbers(self, sources: Sequence[int]) -> str:
        """Name several constraints by their numbers."""
        numbers = [str(number) for number in sources]
        if len(numbers) > 6:
            return f"{len(numbers)} constraints from {numbers[0]} to {numbers[-1]}"
        return f"constraints {listed(numbers)}"

    def _tables(self) -> dict[tuple[int, int], list[tuple[int, int]]]:
        """Return the conflicts between any two variables, the candidate of the lower variable first."""
        size = len(self.variables)
        found: dict[tuple[int, int], list[tuple[int, int]]] = {}
        for pair in self.pairs:
            one, other = sorted(pair, key=lambda candidate: candidate % size)
            found.setdefault((one % size, other % size), []).append((one, other))
        return dict(sorted(found.items()))

    def _across(self) -> list[int]:
        """Return sets of candidates of three or more variables that exclude one another by differences."""
        size = len(self.variables)
        conflicts = [0] * (size * len(self.values))
        for (one, other), pairs in self._tables().items():
            if sparse(pairs, len(self.described.domains[one]) * len(self.described.domains[other])):
                for a, b in pairs:
                    conflicts[a] |= 1 << b
                    conflicts[b] |= 1 << a
        every = [sum(1 << self.number(d, cell) for d in range(len(self.values))) for cell in range(size)]
        return gather(conflicts, [every[candidate % size] for candidate in range(len(conflicts))])

    def _at_most_one(self, clique: int) -> str:
        """Say that at most one of some candidates is true, those of one variable together.

        ``at most one of a and b is red`` or ``at most one of a = 1 or 2 and b = 3 holds``.
        """
        cells = len(self.variables)
        mine: dict[int, list[int]] = {}
        for candidate in bits(clique):
            mine.setdefault(candidate % cells, []).append(candidate // cells)
        if len({tuple(digits) for digits in mine.values()}) == 1 and len(mine[min(mine)]) == 1:
            names = [self.variables[cell] for cell in sorted(mine)]
            return f"at most one of {listed(names)} is {self.values[mine[min(mine)][0]]}"
        told = [f"{self.variables[cell]} = {self._some(digits)}" for cell, digits in sorted(mine.items())]
        return f"at most one of {', '.join(told[:-1])} and {told[-1]} holds"
