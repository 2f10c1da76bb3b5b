"""One line of a pseudo-Boolean proof: constraints added up in reverse Polish, with the arithmetic done beside it."""

from __future__ import annotations

from dataclasses import dataclass

from deduce.kernel import Constraint

__all__ = ["Known", "Sum", "at_least", "at_most", "print_constraint"]


@dataclass(frozen=True, slots=True)
class Known:
    """A constraint ``sum of weight * literal >= degree`` that a line of the file states.

    Parameters
    ----------
    line : int
        Its number.
    terms : tuple of (int, int)
        Literal and positive weight, no variable twice.
    degree : int
        The right side.
    """

    line: int
    terms: tuple[tuple[int, int], ...]
    degree: int


def at_least(line: int, constraint: Constraint) -> Known | None:
    """Return the at-least side of a constraint in normal form, or None if it is open."""
    return _normal(line, constraint, 1, constraint.lower)


def at_most(line: int, constraint: Constraint) -> Known | None:
    """Return the at-most side of a constraint in normal form, or None if it is open."""
    return _normal(line, constraint, -1, constraint.upper)


def _normal(line: int, constraint: Constraint, sign: int, bound: int | None) -> Known | None:
    """Make every weight positive: ``-a x`` is ``a ~x - a``."""
    if bound is None:
        return None
    terms = [(c + 1, sign * a) for c, a in constraint.terms]
    degree = sign * bound - sum(a for _, a in terms if a < 0)
    return Known(line, tuple((literal, a) if a > 0 else (-literal, -a) for literal, a in terms), degree)


def print_constraint(known: Known) -> str:
    """Print a constraint as OPB does.

    Examples
    --------
    >>> print_constraint(Known(1, ((2, 1), (-3, 2)), 1))
    '1 x2 2 ~x3 >= 1'
    """
    return "".join(f"{weight} {_name(literal)} " for literal, weight in known.terms) + f">= {known.degree}"


def _name(literal: int) -> str:
    return f"x{literal}" if literal > 0 else f"~x{-literal}"


class Sum:
    """A growing ``pol`` line and the constraint that it stands for."""

    def __init__(self) -> None:
        self.words: list[str] = []
        self.weights: dict[int, int] = {}
        self.degree = 0

    def __str__(self) -> str:
        return " ".join(self.words)

    def weight(self, literal: int) -> int:
        """Return the weight of a literal."""
        return self.weights.get(literal, 0)

    def add(self, known: Known, times: int = 1) -> None:
        """Add a stated constraint so many times."""
        self._push(str(known.line), times)
        self.degree += known.degree * times
        for literal, weight in known.terms:
            self._join(literal, weight * times)

    def add_literal(self, literal: int, times: int = 1) -> None:
        """Add ``literal >= 0`` so many times."""
        self._push(_name(literal), times)
        self._join(literal, times)

    def weaken(self, literal: int) -> None:
        """Drop a literal, as if it were true."""
        weight = self.weights.pop(literal, 0)
        if weight:
            self.words += [f"x{abs(literal)}", "w"]
            self.degree -= weight

    def divide(self, by: int) -> None:
        """Divide everything, rounding up."""
        if by > 1:
            self.words += [str(by), "d"]
            self.weights = {literal: -(-weight // by) for literal, weight in self.weights.items()}
            self.degree = -(-self.degree // by)

    def known(self, line: int) -> Known:
        """Return the constraint as the line that states it."""
        return Known(line, tuple(self.weights.items()), self.degree)

    def _push(self, word: str, times: int) -> None:
        first = not self.words
        self.words.append(word)
        if times != 1:
            self.words += [str(times), "*"]
        if not first:
            self.words.append("+")

    def _join(self, literal: int, weight: int) -> None:
        """Add a term; what a variable and its negation share is a number."""
        against = self.weights.pop(-literal, 0)
        shared = min(weight, against)
        self.degree -= shared
        if against > weight:
            self.weights[-literal] = against - weight
        elif weight > against:
            self.weights[literal] = self.weights.get(literal, 0) + weight - against
