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
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from deduce.claims.audit import audit
    from deduce.claims.judge import judge
    from deduce.counting.ask import simplest
    from deduce.errors import BudgetSpent, ClaimError, DeduceError, GridError, ProofError
    from deduce.kernel import Checked, check
    from deduce.links.graph import link_graph
    from deduce.patterns.catalogue import find
    from deduce.proof import Candidate, Proof
    from deduce.puzzle.grid import Grid
    from deduce.puzzle.layout import Layout
    from deduce.solving.search import solutions
    from deduce.surveys.survey import survey
    from deduce.walks.walk import Walk, next_step, walk

__all__ = ["BudgetSpent", "Candidate", "Checked", "ClaimError", "DeduceError", "Grid", "GridError", "Layout", "Proof"]
__all__ += ["ProofError", "Walk", "audit", "check", "find", "judge", "link_graph", "next_step", "simplest", "solutions"]
__all__ += ["survey", "walk"]

__version__ = "0.1.0"


def lazily(
    package: dict[str, Any], homes: Mapping[str, str], rooms: tuple[str, ...] = ()
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
        return sorted({*homes, *rooms, *package["__all__"], *(name for name in package if name.startswith("__"))})

    return find, names


# Loaded on first use, so that `import deduce` is quick and `import deduce.kernel` loads the kernel and nothing else.
_HOMES = {
    **dict.fromkeys(("BudgetSpent", "ClaimError", "DeduceError", "GridError", "ProofError"), "errors"),
    **dict.fromkeys(("Candidate", "Proof"), "proof"),
    **dict.fromkeys(("Checked", "check"), "kernel"),
    **dict.fromkeys(("Walk", "next_step", "walk"), "walks.walk"),
    "Grid": "puzzle.grid",
    "Layout": "puzzle.layout",
    "audit": "claims.audit",
    "find": "patterns.catalogue",
    "judge": "claims.judge",
    "link_graph": "links.graph",
    "simplest": "counting.ask",
    "solutions": "solving.search",
    "survey": "surveys.survey",
}

# So that `deduce.counting.smallest` and the like work after `import deduce` alone.
_ROOMS: tuple[str, ...] = ("claims", "counting", "errors", "exchange", "links", "pages", "patterns", "pictures")
_ROOMS += ("planning", "puzzle", "solving", "suppositions", "surveys", "walks", "words")

__getattr__, __dir__ = lazily(globals(), _HOMES, _ROOMS)
