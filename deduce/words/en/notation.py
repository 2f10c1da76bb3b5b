"""The written chain: nodes joined by ``=`` for strong links and ``-`` for weak ones, then what follows; out and in."""

from __future__ import annotations

from dataclasses import dataclass

from deduce.claims.reader import Reader
from deduce.positions import bitset
from deduce.proof import Chain, Link, Proof
from deduce.puzzle.grid import grid_of
from deduce.puzzle.layout import Layout
from deduce.words.en.chains import joined
from deduce.words.en.names import Names, series

__all__ = ["Written", "notation", "parse_chain", "parse_notation", "written_chain"]


def notation(proof: Proof) -> str:
    """Write the chain of a proof with its conclusion; empty if its pattern is no chain.

    A loop ends with its last weak link and the first node once more.
    """
    chain = written_chain(proof)
    return f"{chain}, so {_concluded(proof)}" if chain else ""


def _concluded(proof: Proof) -> str:
    """Say which candidates are true and which false, such as ``8r4c3 and 8r5c8 are false``."""
    lost = sorted(proof.eliminates, key=lambda c: (c.row, c.column, c.digit))
    told = [
        f"{series(map(str, tokens))} {'is' if len(tokens) == 1 else 'are'} {what}"
        for tokens, what in ((proof.places, "true"), (lost, "false"))
        if tokens
    ]
    return series(told) or "the position has no solution"


def written_chain(proof: Proof) -> str:
    """Write the chain of a proof alone, such as ``(7)r1c9 = (7)r1c3 - (8)r1c3``."""
    chain, names = proof.pattern.chain, Names(grid_of(proof).layout)
    if chain is None:
        return ""
    return names.node(chain.nodes[0]) + "".join(
        f" {'=' if link.strong else '-'} {names.node(far)}" for link, _, far in joined(chain)
    )


@dataclass(frozen=True, slots=True)
class Written:
    """A written chain with its conclusion, read back.

    Parameters
    ----------
    chain : Chain
        The chain.
    places, eliminates : tuple of int
        Candidates, in ascending order.
    """

    chain: Chain
    places: tuple[int, ...] = ()
    eliminates: tuple[int, ...] = ()


def parse_chain(layout: Layout, text: str, live: int | None = None) -> Chain:
    """Read a written chain; the inverse of `written_chain`.

    Parameters
    ----------
    layout : Layout
        Says which digits and cells there are.
    text : str
        Such as ``(7)r1c9 = (7)r1c3 - (8)r1c3 = (8)r4c3``, with spaces or without.  ``==`` and ``--`` are read as ``=``
        and ``-``; two digits in one bracket, ``(7=8)r1c3``, are two nodes in the same cells.  A chain that ends with a
        weak link to its own first node is a loop.
    live : int, optional
        Bitset of the live candidates.  If it is given, strong links keep only the constraints in which nothing else
        is live.

    Returns
    -------
    Chain
        Each link has the constraints that hold all candidates of both its nodes; none if the link has no such reason,
        which is for a judge to find fault with and not for a reader.

    Raises
    ------
    ClaimError
        With line, column and a caret.

    Examples
    --------
    >>> chain = parse_chain(Layout.standard(), "(7)r1c9=(7)r1c3--(8)r1c3=(8)r45c3")
    >>> [link.strong for link in chain.links], len(chain.nodes[-1])
    ([True, False, True], 2)
    """
    reader = _Strict(layout, text)
    chain = reader.chain(live)
    reader.end()
    return chain


def parse_notation(layout: Layout, text: str, live: int | None = None) -> Written:
    """Read a written chain with its conclusion; the inverse of `notation`.

    Parameters
    ----------
    layout, text, live
        As for `parse_chain`; the text may go on with ``, so 7r1c1 and 7r2c2 are false`` (or ``is true``), or with
        ``=>`` and a list such as ``r1c1 <> 7, r2c2 = 5``.

    Raises
    ------
    ClaimError
        With line, column and a caret.
    """
    reader = _Strict(layout, text)
    chain = reader.chain(live)
    places: list[int] = []
    eliminates: list[int] = []
    if reader.take_arrow():
        while True:
            cells = reader.cells()
            if reader.take("<>"):
                found = eliminates
            elif any(reader.take(sign) for sign in _STRONG):
                found = places
            else:
                reader.complain("<> or =", "say what the cell is or is not")
            digit = reader.digit()
            found += [layout.number(digit, cell) for cell in cells]
            if not reader.take(","):
                break
    elif reader.take(","):
        judged = reader.judged() if reader.take("so") else None
        if judged is None:
            reader.complain("what the chain concludes", "end with: so 8r4c3 and 8r5c8 are false")
        else:
            (places if judged[0] else eliminates).extend(judged[1])
    reader.end()
    return Written(chain, tuple(sorted(places)), tuple(sorted(eliminates)))


_STRONG = ("==", "=")


class _Strict(Reader):
    """A reader of chains that refuses what the reader of claims leaves to a judge: links that do not alternate."""

    def chain(self, live: int | None) -> Chain:
        """Read nodes and links up to an arrow or the end."""
        strong: list[bool] = []
        start = self.here()
        nodes = self.node(strong)
        while self.take_link(strong):
            start = self.here()
            nodes += self.node(strong)
        loop = len(strong) % 2 == 0 and len(nodes) > 2
        if loop and nodes[-1] != nodes[0]:
            self.fail("the chain ends with a weak link", "end with a strong link, or at the first node", start)
        if not strong:
            self.complain("a strong link", "write = and the next node")
        following = nodes[1:]
        links = tuple(_reason(self.layout, *step, live) for step in zip(strong, nodes, following, strict=False))
        return Chain(tuple(nodes[:-1] if loop else nodes), links, loop)

    def end(self) -> None:
        """Complain unless everything has been read."""
        if self.next():
            self.complain("the end", "take this out, or write = or - and the next node")

    def comes(self) -> str:
        """Return the next character: a chain has no words."""
        return self.next()

    def linked(self, strong: bool, number: int, at: int) -> None:
        """Refuse two strong links or two weak ones in a row, and a weak one at the start."""
        if strong == (number % 2 == 0):
            return
        wanted = "weak" if strong else "strong"
        advice = "links alternate, strong first: = then - then ="
        self.fail(f"a {'strong' if strong else 'weak'} link where a {wanted} one should be", advice, at)


def _reason(layout: Layout, strong: bool, near: tuple[int, ...], far: tuple[int, ...], live: int | None) -> Link:
    """Return a link with the constraints that hold both its nodes."""
    together = {*near, *far}
    sides = layout.at_least_one if strong else layout.at_most_one
    numbers = [n for n in sides[near[0]] if all(n in sides[c] for c in together)]
    if strong and live is not None:
        held = bitset(together)
        numbers = [n for n in numbers if not live & layout.model.masks[n] & ~held]
    return Link(strong, tuple(numbers))
