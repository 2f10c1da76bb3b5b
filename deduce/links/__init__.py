"""The candidate graph, its bitset closure, and the search for chains and loops."""

from deduce.links.argue import argue_chain, build_chain, cover_digit, holding
from deduce.links.closure import Closure, closure
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
from deduce.links.swaps import (
    Swappable,
    bivalue_grids,
    can_fill,
    exchangeable,
    extended_rectangles,
    rectangles,
    same_totals,
    swappable_over,
    two_digit_swaps,
)

__all__ = [
    "LARGEST",
    "AlmostLocked",
    "Closure",
    "Layers",
    "Links",
    "Shape",
    "Swappable",
    "all_links",
    "almost_locked_sets",
    "argue_chain",
    "best",
    "bivalue_grids",
    "build_chain",
    "can_fill",
    "cell_links",
    "closure",
    "constraints_holding",
    "cover_digit",
    "digit_links",
    "every",
    "exchangeable",
    "extended_rectangles",
    "forget",
    "holding",
    "houses_holding",
    "layers",
    "link_graph",
    "preference",
    "rectangles",
    "restricted_commons",
    "same_totals",
    "set_links",
    "shape_of",
    "spread",
    "swappable_over",
    "two_digit_swaps",
]
