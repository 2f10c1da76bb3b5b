"""Counting: all that sums of constraints conclude, the least of them, and suppositions where they are exhausted.

Everything is loaded when it is first asked for: HiGHS takes a tenth of a second to load, and walks that the named
patterns solve never need it.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from deduce.counting.ask import Eliminations as Eliminations
    from deduce.counting.ask import eliminations as eliminations
    from deduce.counting.ask import simplest as simplest
    from deduce.counting.ask import smallest as smallest
    from deduce.counting.exact import CountingError as CountingError
    from deduce.counting.names import NAMES as NAMES
    from deduce.counting.program import SolverError as SolverError
    from deduce.counting.shapes import argument_fault as argument_fault
    from deduce.counting.shapes import name_argument as name_argument
    from deduce.suppositions.one_candidate import refute as refute
    from deduce.suppositions.one_candidate import settle as settle
    from deduce.suppositions.shrink import irreducible as irreducible
    from deduce.suppositions.shrink import shrunk as shrunk
    from deduce.suppositions.step import Outcome as Outcome
    from deduce.suppositions.step import next_proof as next_proof

_HOMES = {
    "CountingError": "exact",
    "Eliminations": "ask",
    "NAMES": "names",
    "Outcome": "step",
    "SolverError": "program",
    "argument_fault": "shapes",
    "eliminations": "ask",
    "irreducible": "shrink",
    "name_argument": "shapes",
    "next_proof": "step",
    "refute": "one_candidate",
    "settle": "one_candidate",
    "shrunk": "shrink",
    "simplest": "ask",
    "smallest": "ask",
}

__all__ = list(_HOMES)


def __getattr__(name: str) -> object:
    if name not in _HOMES:
        raise AttributeError(f"module 'deduce.counting' has no attribute {name!r}")
    from importlib import import_module

    value: object = getattr(import_module(f"deduce.counting.{_HOMES[name]}"), name)
    globals()[name] = value
    return value
