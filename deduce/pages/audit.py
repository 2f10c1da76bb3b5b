"""Audits and verdicts as HTML: one page that needs nothing beside itself, and what a notebook shows."""

from __future__ import annotations

from dataclasses import replace
from html import escape

from deduce.claims.audit import Audit, Judged
from deduce.claims.verdict import Kind, Verdict
from deduce.pages.frame import document, embedded, style
from deduce.pictures import picture
from deduce.pictures.scene import Area, Scene, of_grid, of_proof
from deduce.pictures.svg import svg
from deduce.proof import Proof
from deduce.puzzle.grid import Grid
from deduce.words.en.audits import explain_audit, remarks, summary
from deduce.words.en.explain import explain, headline
from deduce.words.en.names import capital
from deduce.words.en.verdicts import explain_verdict, pointed

__all__ = ["audit_bundle", "audit_page", "verdict_bundle", "verdict_page", "verdict_picture"]

_MARKS = {Kind.PROVED: "\u2713", Kind.BROKEN: "\u2260", Kind.REFUTED: "\u2717", Kind.UNPROVED: "?"}
"""A mark for each verdict, so that colour is not all that tells them apart."""


def audit_page(audit: Audit) -> str:
    """Return one HTML file that needs nothing beside itself.

    Parameters
    ----------
    audit : Audit
        The audit to show.

    Returns
    -------
    str
        A whole document: the summary, then the log line by line; the picture of a move opens below it.
    """
    return document(_title(audit), _body(audit, "h1"))


def audit_bundle(audit: Audit) -> dict[str, str]:
    """Return what a notebook shows for an audit, by media type."""
    return {"text/html": _body(audit, "h3"), "text/plain": explain_audit(audit)}


def verdict_bundle(verdict: Verdict) -> dict[str, str]:
    """Return what a notebook shows for a verdict, by media type."""
    words = explain_verdict(verdict)
    first, _, rest = words.partition("\n")
    shown = "".join(_picture_of(verdict))
    html = (
        f'{style("audit.css")}<section class="deduce-audit"><ol><li class="{verdict.kind.value}">'
        f"{_mark(verdict.kind)}<code>{escape(first)}</code>\n<pre>{escape(rest)}</pre>\n{shown}</li></ol></section>"
    )
    return {"text/html": html, "text/plain": words}


def verdict_page(verdict: Verdict) -> str:
    """Return one HTML file that needs nothing beside itself: the verdict, and the picture of what shows it."""
    title = " ".join(verdict.claim.text.split())
    return document(title, verdict_bundle(verdict)["text/html"])


def verdict_picture(verdict: Verdict, *, theme: str, notes: str, size: int | None) -> str:
    """Draw the step that shows a verdict, or the position with the cells where claim or reason fails, as SVG."""
    scene = of_proof(verdict.proof) if verdict.proof is not None else _failing(verdict)
    return svg(scene.with_notes(notes), theme=theme, size=size)


def _failing(verdict: Verdict) -> Scene:
    """Return the position with what is at fault marked; a solution against the claim is not given away."""
    layout, fault = verdict.grid.layout, verdict.fault
    at_fault = verdict.false if fault is None else (*fault.extras, *(c for node in fault.nodes for c in node))
    cells = {c % layout.cells for c in at_fault} | {*(fault.cells if fault else ())}
    areas = tuple(Area("trouble", layout.cell_name(cell), (cell,)) for cell in sorted(cells))
    return replace(of_grid(verdict.grid, " ".join(verdict.claim.text.split())), areas=areas)


def _title(audit: Audit) -> str:
    count = len(audit.moves)
    return f"A solve log of {count} move{'' if count == 1 else 's'}"


def _body(audit: Audit, heading: str) -> str:
    said = "".join(f"<p>{escape(sentence)}</p>\n" for sentence in summary(audit))
    lines = "".join(_line(audit.grid, judged) for judged in audit.lines if _worth_showing(judged))
    start = _image(audit.grid, "Where the log begins")
    return (
        f'{style("audit.css")}<section class="deduce-audit">\n<{heading}>{escape(_title(audit))}</{heading}>\n'
        f"{said}<details>\n<summary>Where the log begins</summary>\n{start}</details>\n<ol>\n{lines}</ol>\n</section>"
    )


def _worth_showing(judged: Judged) -> bool:
    """Whether a line is more than blank."""
    return bool(judged.line.text.strip() or judged.line.comment)


def _line(grid: Grid, judged: Judged) -> str:
    """Return one line of the log with its verdict, the remarks, and the picture that opens."""
    line, verdict = judged.line, judged.verdict
    comment = f' <span class="comment">{escape(line.comment)}</span>' if line.comment else ""
    tag = "pre" if line.notes else "code"
    said = f"<{tag}>{escape(line.text.strip())}</{tag}>" if line.text.strip() else ""
    kind = f' class="{verdict.kind.value}"' if verdict else ""
    mark = _mark(verdict.kind) if verdict else ""
    if judged.error is not None:
        mark = '<span class="mark">Unreadable</span>'
    under = pointed(verdict) if verdict else ""
    told = [f"<p>{escape(part)}</p>" for part in remarks(grid, judged) if part != under and part.strip(" ^")]
    if under:
        told.append(f'<pre class="pointed" tabindex="0">{escape(under)}</pre>')
    shown = "".join(_picture_of(verdict)) if verdict else ""
    if shown:
        told.append(f"<details>\n<summary>Show it</summary>\n{shown}</details>")
    return f"<li{kind}>{mark}<b>{line.number}</b> {said}{comment}\n{''.join(told)}</li>\n"


def _mark(kind: Kind) -> str:
    return f'<span class="mark">{_MARKS[kind]} {capital(kind.value)}</span> '


def _picture_of(verdict: Verdict) -> list[str]:
    """Return the picture of the proof that shows a verdict; a solution against it is not given away."""
    proofs: tuple[Proof, ...] = verdict.proofs if len(verdict.proofs) == 1 else ()
    return [f"{_image(proof, headline(proof))}<p>{escape(explain(proof))}</p>\n" for proof in proofs]


def _image(thing: Grid | Proof, alt: str) -> str:
    """Return a grid or a proof as an image element."""
    return embedded(picture(thing), alt)
