"""Constraint-based deduction with proof traces.

A grid in text becomes a position over a graph of candidates; every deduction made in it comes back as a proof object
that a small trusted kernel checks and that can be named, drawn and written out.

>>> import deduce
>>> grid = deduce.Grid.parse("12.. 34.. .... ..41")
>>> proof = next(deduce.find(grid))
>>> print(proof)
hidden single: +3r1c4
>>> deduce.check(grid, proof)
<Checked: 1 placed, 4 eliminated or cleared>
"""

from deduce.errors import BudgetSpent, DeduceError, GridError, LayoutError, PatternError, ProofError
from deduce.kernel import Checked, check
from deduce.links.graph import link_graph
from deduce.patterns.catalogue import find
from deduce.proof import Candidate, Proof
from deduce.puzzle.grid import Grid
from deduce.puzzle.layout import Layout
from deduce.puzzle.search import solutions
from deduce.walks.walk import Walk, walk

__all__ = [
    "BudgetSpent",
    "Candidate",
    "Checked",
    "DeduceError",
    "Grid",
    "GridError",
    "Layout",
    "LayoutError",
    "PatternError",
    "Proof",
    "ProofError",
    "Walk",
    "check",
    "find",
    "link_graph",
    "solutions",
    "walk",
]

__version__ = "0.1.0"
