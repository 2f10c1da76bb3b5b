"""The candidate graph, its bitset closure, and the search for chains and loops."""

from deduce.links.argue import argue_chain, build_chain
from deduce.links.closure import Reach, closure
from deduce.links.graph import link_graph
from deduce.links.linkset import Links, all_links, cell_links, digit_links
from deduce.links.search import Layers, layers, shortest

__all__ = [
    "Layers",
    "Links",
    "Reach",
    "all_links",
    "argue_chain",
    "build_chain",
    "cell_links",
    "closure",
    "digit_links",
    "layers",
    "link_graph",
    "shortest",
]
