"""The named patterns: one module for each family, the ordered catalogue, and the search for one chain."""

from deduce.patterns.asking import ChainSearch, Found, chain_for, chains_for
from deduce.patterns.catalogue import CATALOGUE, NAMES, PLAIN, choose, fault, find
from deduce.patterns.families import ALIASES
from deduce.patterns.finder import Family, Finder
from deduce.patterns.unique_names import UNIQUE
from deduce.patterns.vocabulary import VOCABULARY

__all__ = ["ALIASES", "CATALOGUE", "NAMES", "PLAIN", "UNIQUE", "VOCABULARY", "ChainSearch", "Family", "Finder"]
__all__ += ["Found", "chain_for", "chains_for", "choose", "fault", "find"]
