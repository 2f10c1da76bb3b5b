"""The catalogue: one row for each family of patterns, and what can be asked of it by name."""

from __future__ import annotations

from deduce.patterns import (
    almost_locked,
    blossom,
    chains,
    crossing_sets,
    dead_end,
    empty_rectangle,
    fish,
    locked,
    one_rule,
    remote_pairs,
    singles,
    subsets,
    sums,
    two_lines,
    unique,
    unique_names,
    wings,
)
from deduce.patterns.finder import Family

__all__ = ["ALIASES", "CATALOGUE", "CONTRADICTION", "FAMILY_WORDS", "NAMES", "PLAIN", "family_of", "mark_of"]

_PLAIN = (singles, locked, sums, one_rule, subsets, fish, two_lines, empty_rectangle, wings, unique, remote_pairs)
_LONGER = (chains, crossing_sets, almost_locked, blossom)
_ROWS: dict[str, Family] = {family.names[0]: family for module in (*_PLAIN, *_LONGER) for family in module.FINDERS}

_ORDER = (
    ("last open cell", "hidden single", "naked single", "pointing pair", "claiming pair"),
    ("sum bound", "leftover sum", "one rule alone"),
    ("naked pair", "hidden pair", "naked triple", "hidden triple"),
    ("X-wing", "skyscraper", "two-string kite", "empty rectangle", "XY-wing", "XYZ-wing", "W-wing"),
    (unique_names.OPEN_CORNER, unique_names.ONE_DIGIT, unique_names.AVOIDABLE),
    ("remote pairs", unique_names.STRONG, unique_names.LOCKED, unique_names.BIVALUE_GRID),
    ("finned X-wing", "sashimi X-wing", "naked quad", "hidden quad"),
    ("swordfish", "X-chain", "XY-chain", "jellyfish", "grouped X-chain", "continuous loop", chains.CHAIN_NAMES[0]),
    (unique_names.EXTENDED, *unique_names.SWAPS, unique_names.CHAINS),
    ("finned swordfish", "sashimi swordfish", "WXYZ-wing", "ALS-XZ", "doubly linked ALS-XZ", "Sue de Coq"),
    ("grouped loop", "grouped chain", "finned jellyfish", "sashimi jellyfish", "ALS-XY-wing", "death blossom"),
    ("loop through almost locked sets", "chain through almost locked sets"),
)

CATALOGUE: tuple[Family, ...] = tuple(_ROWS[name] for row in _ORDER for name in row)
"""The finders in the order in which :func:`find` and ``walk`` ask them: by how much is to be seen at once.

One digit or one cell first; then sets inside a house; then two or three lines or cells that are tied together; then
longer sets and chains, those on one digit or through two-candidate cells before those over everything; then what needs
groups, fins or almost locked sets, those with fewer parts first.
"""

CONTRADICTION = dead_end.FINDERS[0]
"""Yielded alone, in a position in which a rule can no longer be met."""

NAMES: tuple[str, ...] = tuple(name for finder in CATALOGUE for name in finder.names)
"""Every name that `patterns` may list, in the order of the catalogue."""

PLAIN: tuple[str, ...] = tuple(name for name in NAMES if name not in unique_names.UNIQUE)
"""The names of patterns that hold in every puzzle, however many solutions it has."""

_FAMILIES = {name: family for family in (*CATALOGUE, CONTRADICTION) for name in family.names}
_FAMILIES.update(zip(locked.EARLIER, locked.FINDERS, strict=True))

ALIASES: dict[str, tuple[str, ...]] = {
    alias: tuple(name for family in CATALOGUE if alias in family.aliases for name in family.names)
    for alias in dict.fromkeys(alias for family in CATALOGUE for alias in family.aliases)
}
"""What else people call patterns, with the names of the catalogue that it may mean."""


FAMILY_WORDS: dict[str, tuple[str, ...]] = {"locked candidates": locked.LOCKED, **locked.EARLIER}
"""Words that stand for several names of the catalogue wherever names are listed."""


def family_of(name: str) -> Family | None:
    """Return the family of a name; None if the catalogue does not have it."""
    return _FAMILIES.get(name)


def mark_of(name: str, role: str) -> str | None:
    """Return the mark that a role of a pattern gets in a picture, empty for none; None if its family does not say.

    Examples
    --------
    >>> mark_of("finned X-wing", "fins"), mark_of("death blossom", "petal for 4"), mark_of("X-wing", "wheel")
    ('fin', 'set', None)
    """
    family = family_of(name)
    if family is None:
        return None
    found = family.roles.get(role)
    if found is not None:
        return found
    return next((mark for key, mark in family.roles.items() if key.endswith(" ") and role.startswith(key)), None)
