"""The frame of every page: its head, styles and scripts from the files beside this one, and pictures in the text."""

from __future__ import annotations

from base64 import b64encode
from functools import cache
from html import escape
from importlib.resources import files

__all__ = ["document", "embedded", "resource", "style"]


def document(title: str, body: str, *, styles: str = "") -> str:
    """Return one HTML file that needs nothing beside itself.

    Parameters
    ----------
    title : str
        Of the window, as plain text.
    body : str
        What the page shows, as HTML.
    styles : str
        ``<style>`` elements for the page as a whole; see `style`.
    """
    return (
        '<!DOCTYPE html>\n<html lang="en">\n<head>\n<meta charset="utf-8">\n'
        '<meta name="viewport" content="width=device-width,initial-scale=1">\n'
        '<meta name="color-scheme" content="light dark">\n<link rel="icon" href="data:,">\n'
        f"<title>{escape(title)}</title>\n{styles}</head>\n<body>\n<main>\n{body}\n</main>\n</body>\n</html>\n"
    )


@cache
def resource(name: str) -> str:
    """Return the text of a file that lies beside this one."""
    return files("deduce.pages").joinpath(name).read_text(encoding="utf-8")


def style(*names: str) -> str:
    """Return style sheets that lie beside this file as one element."""
    return f"<style>{''.join(map(resource, names))}</style>\n"


def embedded(drawing: str, alt: str) -> str:
    """Return an SVG text as an image element that carries it in itself, and says `alt` to those who do not see it."""
    coded = b64encode(drawing.encode()).decode()
    return f'<img alt="{escape(alt, quote=True)}" src="data:image/svg+xml;base64,{coded}">\n'
