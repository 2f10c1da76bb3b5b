"""Counting: all that sums of constraints conclude, the least of them, and the names they have.

Everything is loaded when it is first asked for: HiGHS takes a tenth of a second to load, and walks that the named
patterns solve never need it.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from deduce import lazily

if TYPE_CHECKING:
    from deduce.counting.ask import (
        Eliminations as Eliminations,
        eliminations as eliminations,
        simplest as simplest,
        smallest as smallest,
    )
    from deduce.counting.exact import CountingError as CountingError
    from deduce.counting.names import NAMES as NAMES
    from deduce.counting.program import SolverError as SolverError
    from deduce.counting.shapes import argument_fault as argument_fault, name_argument as name_argument
    from deduce.suppositions.one_candidate import refute as refute, settle as settle
    from deduce.suppositions.shrink import irreducible as irreducible, shrunk as shrunk
    from deduce.suppositions.step import Ending, next_proof as next_proof

    Outcome = Ending

_HOMES = {
    "CountingError": "counting.exact",
    "Eliminations": "counting.ask",
    "NAMES": "counting.names",
    "Outcome": "suppositions.step:Ending",
    "SolverError": "counting.program",
    "argument_fault": "counting.shapes",
    "eliminations": "counting.ask",
    "irreducible": "suppositions.shrink",
    "name_argument": "counting.shapes",
    "next_proof": "suppositions.step",
    "refute": "suppositions.one_candidate",
    "settle": "suppositions.one_candidate",
    "shrunk": "suppositions.shrink",
    "simplest": "counting.ask",
    "smallest": "counting.ask",
}

__all__ = list(_HOMES)

__getattr__, __dir__ = lazily(globals(), _HOMES)
