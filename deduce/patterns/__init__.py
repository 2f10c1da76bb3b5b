"""The named patterns: one module for each family, and the ordered catalogue."""

from deduce.patterns.catalogue import CATALOGUE, NAMES, choose, fault, find
from deduce.patterns.finder import Finder

__all__ = ["CATALOGUE", "NAMES", "Finder", "choose", "fault", "find"]
