"""The catalogue: one row for each family of patterns, and what can be asked of it by name."""

from __future__ import annotations

from deduce.patterns import (
    almost_locked,
    blossom,
    chains,
    crossing_sets,
    dead_end,
    empty_rectangle,
    finned_fish,
    fish,
    locked,
    one_rule,
    remote_pairs,
    set_chains,
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

CATALOGUE: tuple[Family, ...] = (
    *singles.FINDERS,
    *locked.FINDERS,
    sums.FINDERS[sums.BOUND],
    sums.FINDERS[sums.LEFTOVER],
    one_rule.FINDERS[one_rule.ONE_RULE],
    subsets.FINDERS["naked pair"],
    subsets.FINDERS["hidden pair"],
    subsets.FINDERS["naked triple"],
    subsets.FINDERS["hidden triple"],
    fish.FINDERS["X-wing"],
    two_lines.FINDERS[two_lines.SKYSCRAPER],
    two_lines.FINDERS[two_lines.KITE],
    empty_rectangle.FINDERS[empty_rectangle.EMPTY_RECTANGLE],
    wings.FINDERS[wings.XY_WING],
    wings.FINDERS[wings.XYZ_WING],
    wings.FINDERS[wings.W_WING],
    unique.FINDERS[unique_names.OPEN_CORNER],
    unique.FINDERS[unique_names.ONE_DIGIT],
    unique.FINDERS[unique_names.AVOIDABLE],
    remote_pairs.FINDERS[remote_pairs.REMOTE_PAIRS],
    unique.FINDERS[unique_names.STRONG],
    unique.FINDERS[unique_names.LOCKED],
    unique.FINDERS[unique_names.BIVALUE_GRID],
    finned_fish.FINDERS["finned X-wing"],
    finned_fish.FINDERS["sashimi X-wing"],
    subsets.FINDERS["naked quad"],
    subsets.FINDERS["hidden quad"],
    fish.FINDERS["swordfish"],
    chains.FINDERS[chains.X_CHAIN],
    chains.FINDERS[chains.XY_CHAIN],
    fish.FINDERS["jellyfish"],
    set_chains.FINDERS[set_chains.GROUPED_X_CHAIN],
    chains.FINDERS[chains.LOOP],
    chains.FINDERS[chains.ONE_DIGIT],
    unique.FINDERS[unique_names.EXTENDED],
    *(unique.FINDERS[name] for name in unique_names.SWAPS),
    unique.FINDERS[unique_names.CHAINS],
    finned_fish.FINDERS["finned swordfish"],
    finned_fish.FINDERS["sashimi swordfish"],
    crossing_sets.FINDERS[crossing_sets.WXYZ_WING],
    almost_locked.FINDERS[almost_locked.ALS_XZ],
    almost_locked.FINDERS[almost_locked.DOUBLY_LINKED],
    crossing_sets.FINDERS[crossing_sets.SUE_DE_COQ],
    set_chains.FINDERS[set_chains.GROUPED_LOOP],
    set_chains.FINDERS[set_chains.GROUPED_CHAIN],
    finned_fish.FINDERS["finned jellyfish"],
    finned_fish.FINDERS["sashimi jellyfish"],
    almost_locked.FINDERS[almost_locked.ALS_XY_WING],
    blossom.FINDERS[blossom.DEATH_BLOSSOM],
    set_chains.FINDERS[set_chains.SET_LOOP],
    set_chains.FINDERS[set_chains.SET_CHAIN],
)
"""The finders in the order in which :func:`find` and ``walk`` ask them: by how much is to be seen at once.

One digit or one cell first; then sets inside a house; then two or three lines or cells that are tied together; then
longer sets and chains, those on one digit or through two-candidate cells before those over everything; then what needs
groups, fins or almost locked sets, those with fewer parts first.
"""

CONTRADICTION = dead_end.FINDERS[dead_end.CONTRADICTION]
"""Yielded alone, in a position in which a rule can no longer be met."""

NAMES: tuple[str, ...] = tuple(name for finder in CATALOGUE for name in finder.names)
"""Every name that `patterns` may list, in the order of the catalogue."""

PLAIN: tuple[str, ...] = tuple(name for name in NAMES if name not in unique_names.UNIQUE)
"""The names of patterns that hold in every puzzle, however many solutions it has."""

_FAMILIES = {name: family for family in (*CATALOGUE, CONTRADICTION) for name in family.names}
_FAMILIES.update(zip(locked.EARLIER, locked.FINDERS, strict=True))


def _aliases() -> dict[str, tuple[str, ...]]:
    found: dict[str, tuple[str, ...]] = {}
    for family in CATALOGUE:
        for alias in family.aliases:
            found[alias] = (*found.get(alias, ()), *family.names)
    return found


ALIASES: dict[str, tuple[str, ...]] = _aliases()
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
