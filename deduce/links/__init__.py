"""The candidate graph, its bitset closure, and the search for chains and loops."""

from deduce.links.argue import argue_chain, build_chain, cover_digit, holding
from deduce.links.closure import Reach, closure
from deduce.links.graph import link_graph
from deduce.links.linkset import Links, all_links, cell_links, digit_links, set_links
from deduce.links.restricted import restricted_commons
from deduce.links.search import Layers, best, every, layers, preference, spread
from deduce.links.sets import (
    LARGEST,
    AlmostLocked,
    Shape,
    almost_locked_sets,
    constraints_holding,
    forget,
    houses_holding,
    shape_of,
)

__all__ = [
    "LARGEST",
    "AlmostLocked",
    "Layers",
    "Links",
    "Reach",
    "Shape",
    "all_links",
    "almost_locked_sets",
    "argue_chain",
    "best",
    "build_chain",
    "cell_links",
    "closure",
    "constraints_holding",
    "cover_digit",
    "digit_links",
    "every",
    "forget",
    "holding",
    "houses_holding",
    "layers",
    "link_graph",
    "preference",
    "restricted_commons",
    "set_links",
    "shape_of",
    "spread",
]
