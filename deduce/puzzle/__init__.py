"""What is given: layouts, grids, text in and out, status, and problems of python-constraint."""

from typing import TYPE_CHECKING

from deduce import lazily
from deduce.puzzle.grid import Grid
from deduce.puzzle.layout import House, Layout
from deduce.puzzle.status import Finding

if TYPE_CHECKING:
    from deduce.solving.search import solutions as solutions

__all__ = ["Finding", "Grid", "House", "Layout", "solutions"]

__getattr__, __dir__ = lazily(globals(), {"solutions": "solving.search"}, ("canvas", "problem"))
