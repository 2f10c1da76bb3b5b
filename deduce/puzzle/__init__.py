"""What is given: layouts, grids, text in and out, status and solutions."""

from deduce.puzzle.grid import Grid
from deduce.puzzle.layout import House, Layout
from deduce.puzzle.search import solutions
from deduce.puzzle.status import Finding

__all__ = ["Finding", "Grid", "House", "Layout", "solutions"]
