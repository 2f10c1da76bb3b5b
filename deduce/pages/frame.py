"""The frame of every page: its head, styles and scripts from the files beside this one, and pictures in the text."""

from __future__ import annotations

from base64 import b64encode
from functools import cache
from html import escape
from importlib.resources import files

__all__ = ["document", "embedded", "resource", "style", "wide"]


def document(title: str, body: str, *sheets: str, lang: str = "en", scheme: str = "auto") -> str:
    """Return one HTML file that needs nothing beside itself.

    Parameters
    ----------
    title : str
        Of the window, as plain text.
    body : str
        What the page shows, as HTML.
    *sheets : str
        Style sheets that lie beside this file, beyond the one that all pages have.
    lang : str
        The language that the page says it is in.
    scheme : str
        ``"light"`` or ``"dark"``; anything else goes by the setting of the reader's system.
    """
    return (
        f'<!DOCTYPE html>\n<html lang="{escape(lang)}" data-scheme="{escape(scheme)}">\n<head>\n'
        '<meta charset="utf-8">\n<meta name="viewport" content="width=device-width,initial-scale=1">\n'
        f'<link rel="icon" href="data:,">\n<title>{escape(title)}</title>\n{style("page.css", *sheets)}</head>\n'
        f"<body>\n<main>\n{body}\n</main>\n</body>\n</html>\n"
    )


@cache
def resource(name: str) -> str:
    """Return the text of a file that lies beside this one."""
    return files("deduce.pages").joinpath(name).read_text(encoding="utf-8")


def style(*names: str) -> str:
    """Return style sheets that lie beside this file as one element."""
    return f"<style>{''.join(map(resource, names))}</style>\n"


def wide(content: str, label: str) -> str:
    """Return what may be wider than a phone inside a box that scrolls by itself, also with the keyboard."""
    return f'<div class="deduce-wide" role="region" tabindex="0" aria-label="{escape(label)}">{content}</div>\n'


def embedded(drawing: str, alt: str) -> str:
    """Return an SVG text as an image element that carries it in itself, and says `alt` to those who do not see it."""
    coded = b64encode(drawing.encode()).decode()
    return f'<img alt="{escape(alt, quote=True)}" src="data:image/svg+xml;base64,{coded}">\n'
