"""Audits and verdicts as HTML: one page that needs nothing beside itself, and what a notebook shows."""

from __future__ import annotations

from base64 import b64encode
from html import escape

from deduce.claims.audit import Audit, Judged
from deduce.claims.verdict import Kind, Verdict
from deduce.pictures import picture
from deduce.proof import Proof
from deduce.puzzle.grid import Grid
from deduce.words.en.audits import explain_audit, remarks, summary
from deduce.words.en.explain import explain, headline
from deduce.words.en.names import capital
from deduce.words.en.verdicts import explain_verdict, pointed

__all__ = ["audit_bundle", "audit_page", "verdict_bundle"]

_MARKS = {Kind.PROVED: "\u2713", Kind.BROKEN: "\u2260", Kind.REFUTED: "\u2717", Kind.UNPROVED: "?"}
"""A mark for each verdict, so that colour is not all that tells them apart."""

_STYLE = """
.deduce-audit{background:var(--jp-layout-color0,Canvas);color:var(--jp-ui-font-color0,CanvasText);
font:16px/1.5 system-ui,sans-serif;max-width:46rem;padding:.5rem 1rem}
.deduce-audit ol{list-style:none;margin:0;padding:0}
.deduce-audit li{border-top:1px solid #8888;padding:.3rem 0 .3rem .7rem;border-left:.35rem solid #8888}
.deduce-audit li.proved{border-left-color:#009E73}
.deduce-audit li.broken{border-left-color:#E69F00}
.deduce-audit li.refuted{border-left-color:#D55E00}
.deduce-audit li.unproved{border-left-color:#56B4E9}
.deduce-audit code,.deduce-audit pre{font:14px/1.5 ui-monospace,monospace;margin:.2rem 0;white-space:pre-wrap;
overflow-wrap:anywhere}
.deduce-audit .pointed{white-space:pre;overflow-x:auto}
.deduce-audit p{margin:.2rem 0}
.deduce-audit .comment{opacity:.75}
.deduce-audit .mark{display:inline-block;min-width:6.5rem;font-weight:600}
.deduce-audit img{max-width:100%;height:auto;display:block;margin:.6rem 0;border-radius:4px}
.deduce-audit summary{cursor:pointer}
.deduce-audit summary:focus-visible{outline:3px solid #0072B2;outline-offset:2px}
@media print{.deduce-audit li{break-inside:avoid}.deduce-audit{max-width:none}}
"""


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
    return (
        '<!DOCTYPE html>\n<html lang="en">\n<head>\n<meta charset="utf-8">\n'
        '<meta name="viewport" content="width=device-width,initial-scale=1">\n'
        '<meta name="color-scheme" content="light dark">\n<link rel="icon" href="data:,">\n'
        f"<title>{escape(_title(audit))}</title>\n</head>\n<body>\n<main>\n{_body(audit, 'h1')}\n"
        "</main>\n</body>\n</html>\n"
    )


def audit_bundle(audit: Audit) -> dict[str, str]:
    """Return what a notebook shows for an audit, by media type."""
    return {"text/html": _body(audit, "h3"), "text/plain": explain_audit(audit)}


def verdict_bundle(verdict: Verdict) -> dict[str, str]:
    """Return what a notebook shows for a verdict, by media type."""
    words = explain_verdict(verdict)
    first, _, rest = words.partition("\n")
    shown = "".join(_picture_of(verdict))
    html = (
        f'<style>{_STYLE}</style>\n<section class="deduce-audit"><ol><li class="{verdict.kind.value}">'
        f"{_mark(verdict.kind)}<code>{escape(first)}</code>\n<pre>{escape(rest)}</pre>\n{shown}</li></ol></section>"
    )
    return {"text/html": html, "text/plain": words}


def _title(audit: Audit) -> str:
    count = len(audit.moves)
    return f"A solve log of {count} move{'' if count == 1 else 's'}"


def _body(audit: Audit, heading: str) -> str:
    said = "".join(f"<p>{escape(sentence)}</p>\n" for sentence in summary(audit))
    lines = "".join(_line(audit.grid, judged) for judged in audit.lines if _worth_showing(judged))
    start = _image(audit.grid, "Where the log begins")
    return (
        f'<style>{_STYLE}</style>\n<section class="deduce-audit">\n<{heading}>{escape(_title(audit))}</{heading}>\n'
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
        told.append(f'<pre class="pointed">{escape(under)}</pre>')
    shown = "".join(_picture_of(verdict)) if verdict else ""
    if shown:
        told.append(f"<details>\n<summary>Show it</summary>\n{shown}</details>")
    return f"<li{kind}>{mark}<b>{line.number}</b> {said}{comment}\n{''.join(told)}</li>\n"


def _mark(kind: Kind) -> str:
    return f'<span class="mark">{_MARKS[kind]} {capital(kind.value)}</span> '


def _picture_of(verdict: Verdict) -> list[str]:
    """Return the pictures that show a verdict: its proof, or the solution against it."""
    if verdict.counter is not None:
        return [_image(verdict.counter, "A solution in which the claim is false")]
    proofs: tuple[Proof, ...] = verdict.proofs if len(verdict.proofs) == 1 else ()
    return [f"{_image(proof, headline(proof))}<p>{escape(explain(proof))}</p>\n" for proof in proofs]


def _image(thing: Grid | Proof, alt: str) -> str:
    """Return a grid or a proof as an image element that carries its picture in itself."""
    coded = b64encode(picture(thing).encode()).decode()
    return f'<img alt="{escape(alt, quote=True)}" src="data:image/svg+xml;base64,{coded}">\n'
