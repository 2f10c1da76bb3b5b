"""The candidate graph, its bitset closure, and the search for chains and loops."""

from deduce.links.argue import argue_chain, build_chain
from deduce.links.closure import closure
from deduce.links.graph import link_graph
from deduce.links.linkset import Links, all_links, set_links
from deduce.links.search import Layers, layers
from deduce.links.sets import almost_locked_sets, forget

__all__ = ["Layers", "Links", "all_links", "almost_locked_sets", "argue_chain", "build_chain", "closure", "forget"]
__all__ += ["layers", "link_graph", "set_links"]
