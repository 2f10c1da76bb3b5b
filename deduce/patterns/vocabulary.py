"""The vocabulary of patterns: what their families are called, and the named levels that families make up."""

from __future__ import annotations

from collections.abc import Iterable

from deduce.patterns.families import FAMILY_WORDS, NAMES
from deduce.patterns.locked import LOCKED
from deduce.patterns.remote_pairs import REMOTE_PAIRS
from deduce.patterns.singles import NAKED, SINGLES
from deduce.patterns.two_lines import KITE, SKYSCRAPER
from deduce.patterns.unique_names import UNIQUE

__all__ = ["EVERYTHING", "EVERY_PATTERN", "FAMILIES", "VOCABULARY", "meant"]


def _family(name: str) -> str:
    """Return the family of a pattern; those that assume a unique solution are one, whatever else they are."""
    if name in UNIQUE:
        return "unique"
    if name in SINGLES:
        return "singles"
    if name in LOCKED:
        return "locked candidates"
    if name.startswith(("naked", "hidden")):
        return "subsets"
    if name == REMOTE_PAIRS or "chain" in name or "loop" in name:
        return "chains"
    if name in (SKYSCRAPER, KITE, "empty rectangle"):
        return "two lines"
    if name.endswith(("X-wing", "swordfish", "jellyfish")):
        return "fish"
    if name.endswith("-wing") and not name.startswith("ALS"):
        return "wings"
    return "rules" if name in ("sum bound", "leftover sum", "one rule alone") else "sets"


FAMILIES: dict[str, tuple[str, ...]] = {}
"""The families by name, each with its patterns in the order of the catalogue; every pattern is in one."""

for _name in NAMES:
    FAMILIES[_family(_name)] = (*FAMILIES.get(_family(_name), ()), _name)

EVERY_PATTERN, EVERYTHING = "every pattern", "everything"

_LOCKED = (*SINGLES, *FAMILIES["locked candidates"])
_SUBSETS = FAMILIES["subsets"]

VOCABULARY: dict[str, tuple[str, ...]] = {
    **FAMILIES,
    # A rectangle whose exits lead on by chains is told with the others, but it is no pattern without chains.
    **{
        f"no {family}": tuple(n for n in NAMES if n not in names and not (family == "chains" and "chain" in n))
        for family, names in FAMILIES.items()
    },
    "naked singles": (NAKED,),
    "singles and locked": _LOCKED,
    "singles and subsets": (*SINGLES, *_SUBSETS),
    "singles, locked and subsets": (*_LOCKED, *_SUBSETS),
    "locked, subsets and basic fish": (*_LOCKED, *_SUBSETS, "X-wing", "swordfish", "jellyfish"),
    EVERY_PATTERN: NAMES,
    EVERYTHING: NAMES,
}
"""What may be said in place of names of patterns: families, all but one family, and the levels of a survey."""


def meant(patterns: Iterable[str], beyond: Iterable[str] = (), *, assume_unique: bool = False) -> tuple[str, ...]:
    """Return the names that are meant by names of patterns, of families and of levels; unknown names stay.

    Parameters
    ----------
    patterns : iterable of str
        Names, of which those of the `VOCABULARY` stand for several.
    beyond : iterable of str
        What ``"everything"`` holds beyond the catalogue.
    assume_unique : bool
        Whether what assumes a unique solution is meant too where it is not asked for by its own name.

    Raises
    ------
    TypeError
        If `patterns` is a single string.

    Examples
    --------
    >>> meant(["wings", "X-wing"])
    ('XY-wing', 'XYZ-wing', 'W-wing', 'WXYZ-wing', 'X-wing')
    >>> any("chain" in name for name in meant(["no chains"], assume_unique=True))
    False
    """
    if isinstance(patterns, str):
        raise TypeError(f"patterns is the text {patterns!r}; give a list of names, such as [{patterns!r}]")
    found: dict[str, None] = {}
    for name in patterns:
        members = VOCABULARY.get(name) or FAMILY_WORDS.get(name, (name,))
        asked = assume_unique or name in FAMILIES or name not in VOCABULARY
        found.update((member, None) for member in members if asked or member not in UNIQUE)
        found.update(dict.fromkeys(beyond if name == EVERYTHING else ()))
    return tuple(found)
