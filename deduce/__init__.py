"""Constraint-based deduction with proof traces.

A grid in text becomes a position over a graph of candidates; every deduction made in it comes back as a proof object
that a small trusted kernel checks and that can be named, drawn and written out.

>>> import deduce
>>> grid = deduce.Grid.parse("..24......1..2..")
>>> proof = next(deduce.find(grid))
>>> print(proof)
hidden single: +2r2c1
>>> deduce.check(grid, proof)
<Checked: 1 placed, 3 eliminated or cleared>
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from deduce.claims.audit import audit as audit
    from deduce.claims.judge import judge as judge
    from deduce.counting.ask import simplest as simplest
    from deduce.errors import BudgetSpent as BudgetSpent
    from deduce.errors import ClaimError as ClaimError
    from deduce.errors import DeduceError as DeduceError
    from deduce.errors import GridError as GridError
    from deduce.errors import ProofError as ProofError
    from deduce.kernel import Checked as Checked
    from deduce.kernel import check as check
    from deduce.links.graph import link_graph as link_graph
    from deduce.patterns.catalogue import find as find
    from deduce.proof import Candidate as Candidate
    from deduce.proof import Proof as Proof
    from deduce.puzzle.grid import Grid as Grid
    from deduce.puzzle.layout import Layout as Layout
    from deduce.solving.search import solutions as solutions
    from deduce.surveys.survey import survey as survey
    from deduce.walks.walk import Walk as Walk
    from deduce.walks.walk import next_step as next_step
    from deduce.walks.walk import walk as walk

__version__ = "0.1.0"


def lazily(
    package: dict[str, object], homes: Mapping[str, str], rooms: tuple[str, ...] = ()
) -> tuple[Callable[[str], object], Callable[[], list[str]]]:
    """Return `__getattr__` and `__dir__` of a package whose names are loaded when they are first asked for.

    Parameters
    ----------
    package : dict
        The ``globals()`` of the package.
    homes : mapping of str to str
        For each name the module that it comes from, named from `deduce` on; with a colon and its name there, if that is
        another.
    rooms : tuple of str, optional
        Submodules that are loaded when they are asked for.
    """
    own = str(package["__name__"])

    def find(name: str) -> object:
        from importlib import import_module

        if name in rooms:
            return import_module(f"{own}.{name}")
        if name not in homes:
            raise AttributeError(f"module {own!r} has no attribute {name!r}")
        home, _, there = homes[name].partition(":")
        value: object = getattr(import_module(f"deduce.{home}"), there or name)
        package[name] = value
        return value

    def names() -> list[str]:
        return sorted({*package, *homes, *rooms})

    return find, names


# Loaded on first use, so that `import deduce` is quick and `import deduce.kernel` loads the kernel and nothing else.
_HOMES = {
    "BudgetSpent": "errors",
    "Candidate": "proof",
    "Checked": "kernel",
    "ClaimError": "errors",
    "DeduceError": "errors",
    "Grid": "puzzle.grid",
    "GridError": "errors",
    "Layout": "puzzle.layout",
    "Proof": "proof",
    "ProofError": "errors",
    "Walk": "walks.walk",
    "audit": "claims.audit",
    "check": "kernel",
    "find": "patterns.catalogue",
    "judge": "claims.judge",
    "link_graph": "links.graph",
    "next_step": "walks.walk",
    "simplest": "counting.ask",
    "solutions": "solving.search",
    "survey": "surveys.survey",
    "walk": "walks.walk",
}

# So that `deduce.counting.smallest` and the like work after `import deduce` alone.
_ROOMS = (
    "claims",
    "counting",
    "errors",
    "exchange",
    "links",
    "pages",
    "patterns",
    "pictures",
    "planning",
    "puzzle",
    "solving",
    "suppositions",
    "surveys",
    "walks",
    "words",
)

__all__ = list(_HOMES)

__getattr__, __dir__ = lazily(globals(), _HOMES, _ROOMS)
