"""Print a walk as HTML: a list of steps that a small script turns into a step player.

The list alone is complete, so the page reads well without scripts, on paper and in notebooks that do not trust it.
Nothing has an id and the script upgrades every list that it finds once, so several walks fit on one page.
"""

from __future__ import annotations

import json
from collections.abc import Iterable, Mapping
from functools import cache
from html import escape

from deduce.counting.names import SUPPOSITION
from deduce.pages.checked import embed
from deduce.pages.frame import document, embedded, resource, style
from deduce.pages.stage import chapters, packed
from deduce.patterns.catalogue import NAMES, find_unasked
from deduce.pictures.scene import Scene, consequences, of_grid, of_proof
from deduce.pictures.svg import LINKS, NEEDED_NOTES, OTHER_NOTES, svg
from deduce.pictures.themes import theme_of
from deduce.proof import Proof
from deduce.puzzle.grid import grid_of
from deduce.walks.walk import Walk
from deduce.words.en import shows as show_words
from deduce.words.en.explain import explain, headline, notation, outcome, puzzle_line

__all__ = ["fragment", "page", "proof_html"]

MOST_OTHERS = 8
"""How many other finds of the same pattern a page tells at a step; of each other pattern of the walk it tells one."""


def page(
    walk: Walk, *, theme: str = "auto", title: str = "", author: str = "", lang: str = "en", stage: bool = False
) -> str:
    """Return one HTML file that needs nothing beside itself, for readers and for an audience.

    Parameters
    ----------
    walk : Walk
        The walk to show.
    theme : str
        ``"auto"``: bright or dark by the reader's system; ``"light"``, ``"dark"`` or ``"print"`` to begin with.
    title, author : str
        Shown at its head; the title is by default what the puzzle is.
    lang : str
        The language that the page says it is in.
    stage : bool
        Whether the page opens on the stage.

    Returns
    -------
    str
        A whole document; without scripts it is the list of all steps, opened.  With them a step is linked to by
        ``#walk1=12``, the twelfth step of the first walk on the page, and a turn of the stage by ``#stage=12.3``.

    Raises
    ------
    ValueError
        For an unknown theme.
    """
    bright = "light" if theme == "auto" else theme
    theme_of(bright)
    named = title or show_words.page_title(walk)
    head = f"<h1>{escape(named)}</h1>" + (f'<p class="by">{escape(author)}</p>' if author else "")
    head += '<p class="checked" data-deduce-checked></p>'
    parts = chapters(walk)
    data = packed(walk, "print" if bright == "print" else "light", parts)
    body = (
        f"{_body(walk, head, bright, parts)}\n"
        f"{embed(walk.to_json())}"
        f'<script type="application/json" class="deduce-turns"{" data-open" * stage}>"{data}"</script>\n'
        f"<script>{resource('stage.js').replace('LABELS', json.dumps(show_words.STAGE))}</script>"
    )
    return document(named, body, "stage.css", lang=lang, scheme="light" if theme == "print" else theme)


def fragment(walk: Walk, *, theme: str = "light") -> str:
    """Return the same as a piece of HTML for a notebook; without scripts its steps are closed but the first."""
    return _body(walk, f"<h3>{escape(show_words.page_title(walk))}</h3>", theme)


def proof_html(proof: Proof) -> str:
    """Return one step as a piece of HTML."""
    return (
        f'{style("player.css")}<section class="deduce-walk">\n'
        f"<p><b>{escape(headline(proof))}</b></p>\n{_proof(proof, 'light')}</section>"
    )


@cache
def _script() -> str:
    """Return the script with its labels, and with the parts of a picture that it can take out."""
    parts = {"links": LINKS, "needed": NEEDED_NOTES, "other": OTHER_NOTES}
    script = resource("player.js").replace("LABELS", json.dumps(show_words.PLAYER, ensure_ascii=True))
    return script.replace("PARTS", json.dumps(parts))


def _body(walk: Walk, heading: str, theme: str, parts: Mapping[int, str] | None = None) -> str:
    """Return the list of steps; one that stands alone has chapters, and is opened."""
    opened = parts is not None
    first, last = of_grid(walk.start, show_words.start()), of_grid(walk.grid, show_words.ended())
    begun = f"<p>{escape(puzzle_line(walk.start))}</p>\n<p><code>{escape(walk.start.line())}</code></p>\n"
    frames = [_frame(show_words.start(), _told(_image(first, theme, key=False), begun), opened=True)]
    used = dict.fromkeys(step.proof.pattern.name for step in walk.steps)
    for number, step in enumerate(walk.steps, 1):
        said = escape(f"{number}. {headline(step.proof)}"), escape(show_words.effort(step.proof))
        content = _proof(step.proof, theme, _also(step.proof, used) if opened else "")
        frames.append(_frame(f"{said[0]} <small>{said[1]}</small>", content, (parts or {}).get(number), opened=opened))
    # On a page of its own the arrow keys work at once; in a notebook they first need the focus.
    alone = " data-page" if opened else ""
    ended = f"<p>{escape(outcome(walk))}</p>\n"
    frames.append(_frame(show_words.ended(), _told(_image(last, theme, key=False), ended), opened=opened))
    return (
        f"{style('player.css')}"
        f'<section class="deduce-walk deduce-steps" aria-label="{escape(show_words.page_title(walk))}" '
        f'data-lm-suppress-shortcuts="true"{alone}>\n<header>{heading}</header>\n'
        f'<div class="deduce-frames">\n{"".join(frames)}</div>\n</section>\n<script>{_script()}</script>'
    )


def _frame(summary: str, content: str, chapter: str | None = None, *, opened: bool) -> str:
    """Return one entry of the list, the first of a chapter if that is named."""
    begins = f' data-chapter="{escape(chapter)}"' if chapter else ""
    return f"<details{' open' if opened else ''}{begins}>\n<summary>{summary}</summary>\n{content}</details>\n"


def _told(image: str, said: str) -> str:
    """Return a picture with its words, side by side where there is room."""
    return f'<div class="deduce-told">\n{image}<div>{said}</div>\n</div>\n'


def _also(proof: Proof, used: Iterable[str]) -> str:
    """Return what else the patterns of a walk find in the position of a proof, in a list to open."""
    said = [headline(proof)]
    for name in dict.fromkeys((proof.pattern.name, *used)):
        most = len(said) + (MOST_OTHERS if name == proof.pattern.name else 1)
        for line in map(headline, find_unasked(grid_of(proof), [name]) if name in NAMES else ()):
            said += [line] * (line not in said)
            if len(said) == most:
                break
    items = "".join(f"<li>{escape(other)}</li>" for other in said[1:])
    return f"<details><summary>{show_words.ALSO}</summary><ul>{items}</ul></details>\n" if items else ""


def _proof(proof: Proof, theme: str, also: str = "") -> str:
    """Return picture, words, written chain and the longest words of a proof; of a supposition all its pictures."""
    heading, lines = show_words.longer(proof)
    items = "".join(f"<li>{escape(line)}</li>" for line in lines)
    said = escape(explain(proof))
    if proof.pattern.name == SUPPOSITION:
        first, *lines, last = lines
        told = "".join(f"<li>{escape(line)}</li>" for line in lines)
        said = f"{escape(first)}</p>\n<ol>{told}</ol>\n<p>{escape(last)}"
        items = "".join(
            f"<li>{_image(scene, theme, key=True)}<p>{escape(line)}</p></li>"
            for scene, line in zip(consequences(proof), lines, strict=True)
        )
    chain = notation(proof)
    written = f"<p><code>{escape(chain)}</code></p>\n" if chain else ""
    more = f"<details><summary>{escape(heading)}</summary><ol>{items}</ol></details>\n"
    return _told(_image(of_proof(proof), theme, key=True), f"<p>{said}</p>\n{written}{more}{also}")


def _image(scene: Scene, theme: str, *, key: bool) -> str:
    """Return a scene as an image element."""
    return embedded(svg(scene, key=key, theme=theme), f"{scene.title}. {scene.description}")
