"""Print a walk as HTML: a list of steps that a small script turns into a step player.

The list alone is complete, so the page reads well without scripts, on paper and in notebooks that do not trust it.
Nothing has an id and the script upgrades every list that it finds once, so several walks fit on one page.
"""

from __future__ import annotations

import json
from functools import cache
from html import escape

from deduce.counting.names import SUPPOSITION
from deduce.pages.frame import document, embedded, resource, style
from deduce.pictures.scene import Scene, of_grid, of_proof
from deduce.pictures.svg import LINKS, NEEDED_NOTES, OTHER_NOTES, svg
from deduce.proof import Proof
from deduce.walks.walk import Walk
from deduce.words.en import shows as show_words
from deduce.words.en.explain import explain, headline, notation, outcome, puzzle_line
from deduce.words.en.names import capital
from deduce.words.en.suppositions import inner_proofs

__all__ = ["fragment", "page", "proof_html"]


def page(walk: Walk, *, theme: str = "light") -> str:
    """Return one HTML file that needs nothing beside itself.

    Parameters
    ----------
    walk : Walk
        The walk to show.
    theme : str
        Of its pictures.

    Returns
    -------
    str
        A whole document; without scripts it is the list of all steps, opened.  With them a step is linked to by
        ``#walk1=12``: the twelfth step of the first walk on the page.
    """
    return document(show_words.page_title(walk), _body(walk, "h1", theme, opened=True))


def fragment(walk: Walk, *, theme: str = "light") -> str:
    """Return the same as a piece of HTML for a notebook; without scripts its steps are closed but the first."""
    return _body(walk, "h3", theme, opened=False)


def proof_html(proof: Proof) -> str:
    """Return one step as a piece of HTML."""
    return (
        f'{style("player.css")}<section class="deduce-walk">\n'
        f"<p><b>{escape(headline(proof))}</b></p>\n{_told(proof, 'light')}</section>"
    )


@cache
def _script() -> str:
    """Return the script with its labels, and with the parts of a picture that it can take out."""
    parts = {"links": LINKS, "needed": NEEDED_NOTES, "other": OTHER_NOTES}
    script = resource("player.js").replace("LABELS", json.dumps(show_words.PLAYER, ensure_ascii=True))
    return script.replace("PARTS", json.dumps(parts))


def _body(walk: Walk, heading: str, theme: str, *, opened: bool) -> str:
    first, last = of_grid(walk.start, show_words.start()), of_grid(walk.grid, show_words.ended())
    frames = [_frame(show_words.start(), "", _image(first, theme, key=False), opened=True)]
    for number, step in enumerate(walk.steps, 1):
        told = _told(step.proof, theme)
        frames.append(_frame(f"{number}. {headline(step.proof)}", show_words.effort(step.proof), told, opened=opened))
    # On a page of its own the arrow keys work at once; in a notebook they first need the focus.
    alone = " data-page" if opened else ""
    ended = f"<p>{escape(outcome(walk))}</p>\n{_image(last, theme, key=False)}"
    frames.append(_frame(show_words.ended(), "", ended, opened=opened))
    title = escape(show_words.page_title(walk))
    return (
        f"{style('player.css')}"
        f'<section class="deduce-walk deduce-steps" aria-label="{title}" data-lm-suppress-shortcuts="true"{alone}>\n'
        f"<header><{heading}>{title}</{heading}>\n"
        f"<p>{escape(puzzle_line(walk.start))} {escape(capital(outcome(walk)))}</p>\n"
        f"<p><code>{escape(walk.start.line())}</code></p></header>\n"
        f'<div class="deduce-frames">\n{"".join(frames)}</div>\n</section>\n<script>{_script()}</script>'
    )


def _frame(summary: str, effort: str, content: str, *, opened: bool) -> str:
    """Return one entry of the list."""
    more = f" <small>{escape(effort)}</small>" if effort else ""
    return f"<details{' open' if opened else ''}>\n<summary>{escape(summary)}{more}</summary>\n{content}</details>\n"


def _told(proof: Proof, theme: str) -> str:
    """Return picture, words, written chain and the longest words of a proof."""
    if proof.pattern.name == SUPPOSITION:
        return _supposed(proof, theme)
    chain = notation(proof)
    written = f"<p><code>{escape(chain)}</code></p>\n" if chain else ""
    heading, lines = show_words.longer(proof)
    items = "".join(f"<li>{escape(line)}</li>" for line in lines)
    return (
        f"{_image(of_proof(proof), theme, key=True)}<p>{escape(explain(proof))}</p>\n{written}"
        f"<details><summary>{escape(heading)}</summary><ol>{items}</ol></details>\n"
    )


def _supposed(proof: Proof, theme: str) -> str:
    """Return picture and words of a supposition, and in a list to open a picture of each inference under it."""
    heading, (first, *lines, last) = show_words.longer(proof)
    items = "".join(f"<li>{escape(line)}</li>" for line in lines)
    drawn = "".join(
        f"<li>{_image(of_proof(inner), theme, key=True)}<p>{escape(line)}</p></li>"
        for inner, line in zip(inner_proofs(proof), lines, strict=True)
    )
    return (
        f"{_image(of_proof(proof), theme, key=True)}<p>{escape(first)}</p>\n<ol>{items}</ol>\n<p>{escape(last)}</p>\n"
        f"<details><summary>{escape(heading)}</summary><ol>{drawn}</ol></details>\n"
    )


def _image(scene: Scene, theme: str, *, key: bool) -> str:
    """Return a scene as an image element."""
    return embedded(svg(scene, key=key, theme=theme), f"{scene.title}. {scene.description}")
