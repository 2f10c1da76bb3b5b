"""The prose that proofs on problems have of their own, where cells are variables and digits are values.

No sentence here speaks of rows, boxes, cells or digits; `Names` spells what the other sentences share.
"""

from __future__ import annotations

from deduce.patterns.locked import LOCKED
from deduce.words.en.plain import Teller, written

__all__ = ["TELLERS"]

_SINGLE = (
    "Every value is taken once by {house}, and only {placed} can still be {placed:digit}, so {placed} = {placed:digit}."
)
_NAKED = (
    "{subset} have no values left but {digits}, and no two of {houses} are the same. So they use these up, and {falls}."
)
_HIDDEN = (
    "Every value is taken once by {house}, and only {subset} can still be {digits}. So they are needed for these, and "
    "{falls}."
)
_LOCKED = (
    "Every value is taken once by {base}, and only {locked} can still be {digit}. One of them is, and what clashes "
    "with each of them falls: {falls}."
)

TELLERS: dict[str, Teller] = {
    name: written(template)
    for names, template in (
        (("last open cell", "hidden single"), _SINGLE),
        (("naked single",), "{placed} must be {placed:digit}: it is its only value left."),
        (("naked pair", "naked triple", "naked quad"), _NAKED),
        (("hidden pair", "hidden triple", "hidden quad"), _HIDDEN),
        (LOCKED, _LOCKED),
    )
    for name in names
}
"""For each pattern whose words would be strange on a problem the function that tells it there."""
