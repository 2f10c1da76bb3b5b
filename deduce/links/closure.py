"""Everything that chains can conclude in a position, by bitsets."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from deduce.links.linkset import Links

__all__ = ["Closure", "closure", "entailed"]


@dataclass(frozen=True, slots=True)
class Closure:
    """What follows along links alone.

    Parameters
    ----------
    falls : dict of int to int
        For each node with a strong link the bitset of the nodes that are false whenever it is false.
    false : int
        Bitset of the candidates that a chain eliminates.
    true : int
        Bitset of the candidates that a chain places.

    Notes
    -----
    The completeness theorem.  Give each node a variable, and write down for each strong link that one of its two nodes
    is true, for each weak link that one is false, and for each node whose candidates all belong to another node that
    the other is true if it is.  If these clauses can all be met (in a position with a solution they can), `false` and
    `true` are exactly the candidates that they entail to be false and to be true.

    A set of clauses with two literals each that can be met entails a literal if and only if the opposite literal leads
    to it along implications (Aspvall, Plass and Tarjan 1979).  Without the last kind of clause that path is the chain.
    With them nothing is gained: a path that goes from a node to one around it can go straight to what conflicts with
    the outer one, since all of that conflicts with the inner one; and a path that goes from a node being false to an
    inner one being false can come straight from what conflicts with the outer one.
    """

    falls: dict[int, int]
    false: int
    true: int


def closure(links: Links) -> Closure:
    """Follow all chains at once.

    Parameters
    ----------
    links : Links
        The links that chains may use.

    Returns
    -------
    Closure
        Which nodes fall with which, and what chains conclude from it.

    Notes
    -----
    One hop leads from "a is false" over a strong link to "b is true" and over b's weak links to the candidates that
    fall.  The set reached from a is closed by a search that swallows whole the sets of candidates closed before it, so
    after the first node of a connected part the others cost a few operations each: about n hops of one bitset union in
    all on usual positions, n squared at worst, for n nodes with a strong link.

    References
    ----------
    .. [1] B. Aspvall, M. F. Plass, R. E. Tarjan, "A linear-time algorithm for testing the truth of certain quantified
       boolean formulas", Information Processing Letters 8 (1979) 121-123.
    """
    falls, false, true = entailed(links.strong, links.weak, links.live, links.active)
    return Closure(falls, links.only_singles(false), links.only_singles(true))


def entailed(strong: Mapping[int, int], weak: Sequence[int], live: int, active: int) -> tuple[dict[int, int], int, int]:
    """Return what falls when each node is false, and the nodes that chains make false, and true; see :func:`closure`.

    Parameters
    ----------
    strong : mapping of int to int
        For each node that has a strong link the bitset of its partners.
    weak : sequence of int
        For each node the bitset of those that cannot be true together with it.
    live : int
        Bitset of the nodes that count as falling.
    active : int
        Bitset of the nodes that have a strong link.
    """
    hop = {}
    for a, partners in strong.items():
        fall = 0
        while partners:
            low = partners & -partners
            partners ^= low
            fall |= weak[low.bit_length() - 1]
        hop[a] = fall & live
    falls: dict[int, int] = {}
    false = true = 0
    for a, fall in hop.items():
        done = 0
        todo = fall & active
        while todo:
            low = todo & -todo
            b = low.bit_length() - 1
            closed = falls.get(b)
            # What fell with an earlier node has been closed already and comes in whole.
            if closed is None:
                done |= low
                fall |= hop[b]
            else:
                done |= low | closed
                fall |= closed
            todo = fall & active & ~done
        falls[a] = fall
        false |= weak[a] & fall
        if strong[a] & fall:
            true |= 1 << a
    return falls, false, true
