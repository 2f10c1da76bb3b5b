"""Print a walk as HTML: a list of steps that a small script turns into a step player.

The list alone is complete, so the page reads well without scripts, on paper and in notebooks that do not trust it.
Nothing has an id and the script upgrades every list that it finds once, so several walks fit on one page.
"""

from __future__ import annotations

from base64 import b64encode
from html import escape

from deduce.pictures.names import capital
from deduce.pictures.scene import Scene, of_grid, of_proof
from deduce.pictures.svg import svg
from deduce.pictures.words import explain, headline, notation, outcome, puzzle_line
from deduce.proof import Proof
from deduce.walks.walk import Walk

__all__ = ["fragment", "page", "proof_html"]


_STYLE = """
.deduce-walk{background:var(--jp-layout-color0,Canvas);color:var(--jp-ui-font-color0,CanvasText);
font:16px/1.5 system-ui,sans-serif;max-width:46rem;padding:.5rem 1rem}
.deduce-walk img{max-width:100%;height:auto;display:block;margin:.6rem 0;border-radius:4px}
.deduce-walk summary{cursor:pointer;font-weight:600;padding:.25rem 0}
.deduce-walk summary:focus-visible,.deduce-walk nav :focus-visible,
.deduce-steps:focus-visible{outline:3px solid #0072B2;outline-offset:2px}
.deduce-walk code{font:14px/1.6 ui-monospace,monospace;overflow-wrap:anywhere}
.deduce-walk details{border-top:1px solid #8888}
.deduce-walk nav{display:flex;flex-wrap:wrap;gap:.4rem;align-items:center;padding:.5rem 0;position:sticky;top:0;
background:inherit;z-index:1}
.deduce-walk nav button,.deduce-walk nav select{font:inherit;padding:.2rem .7rem;min-height:2.2rem}
.deduce-walk nav select{flex:1 1 12rem;min-width:0}
.deduce-walk nav input{flex:1 1 100%}
.deduce-walk [hidden]{display:none}
@media print{.deduce-walk nav{display:none}.deduce-walk details[hidden]{display:block}
.deduce-walk details{break-inside:avoid}.deduce-walk{max-width:none}}
"""

_SCRIPT = """
(function(){
document.querySelectorAll('.deduce-steps:not([data-ready])').forEach(function(box){
box.setAttribute('data-ready','');
var all=Array.prototype.slice.call(box.querySelectorAll('details')),now=0,list=false;
function make(kind,parent){var e=document.createElement(kind);parent.appendChild(e);return e}
var nav=document.createElement('nav');nav.setAttribute('aria-label','Steps');
box.insertBefore(nav,all[0]);
function button(text,what){var b=make('button',nav);b.type='button';b.textContent=text;b.onclick=what;return b}
var back=button('\\u2190 Previous',function(){go(now-1)}),on=button('Next \\u2192',function(){go(now+1)});
var jump=make('select',nav);jump.setAttribute('aria-label','Go to step');
all.forEach(function(d){make('option',jump).textContent=d.querySelector('summary').textContent});
jump.onchange=function(){go(jump.selectedIndex)};
var whole=button('All steps',function(){list=!list;go(now)});
var bar=make('input',nav);bar.type='range';bar.min=0;bar.max=all.length-1;bar.step=1;
bar.setAttribute('aria-label','Position in the walk');bar.oninput=function(){go(+bar.value)};
var said=make('span',nav);said.setAttribute('role','status');
function go(to){now=Math.max(0,Math.min(all.length-1,to));
all.forEach(function(d,i){d.hidden=!list&&i!==now;if(i===now)d.open=true});
jump.selectedIndex=now;bar.value=now;
bar.setAttribute('aria-valuetext',jump.options[now].textContent);
back.disabled=now===0;on.disabled=now===all.length-1;
whole.textContent=list?'One step':'All steps';
var n=all.length-2;said.textContent=now===0?'Start':now>n?'End':'Step '+now+' of '+n;
if(list)all[now].scrollIntoView({block:'nearest'})}
box.tabIndex=0;
var whole_page=box.hasAttribute('data-page');
(whole_page?document:box).addEventListener('keydown',function(e){
if(whole_page&&e.target!==document.body&&!box.contains(e.target))return;
if(e.target===jump||e.target===bar||e.altKey||e.ctrlKey||e.metaKey)return;
var to={ArrowLeft:now-1,ArrowRight:now+1,Home:0,End:all.length-1}[e.key];
if(to!==undefined){e.preventDefault();e.stopPropagation();go(to)}});
addEventListener('beforeprint',function(){all.forEach(function(d){d.open=true})});
go(0)})})();
"""


def page(walk: Walk) -> str:
    """Return one HTML file that needs nothing beside itself.

    Parameters
    ----------
    walk : Walk
        The walk to show.

    Returns
    -------
    str
        A whole document; without scripts it is the list of all steps, opened.
    """
    return (
        '<!DOCTYPE html>\n<html lang="en">\n<head>\n<meta charset="utf-8">\n'
        '<meta name="viewport" content="width=device-width,initial-scale=1">\n'
        '<meta name="color-scheme" content="light dark">\n<link rel="icon" href="data:,">\n'
        f"<title>{escape(_title(walk))}</title>\n</head>\n<body>\n<main>\n{_body(walk, 'h1', opened=True)}\n"
        "</main>\n</body>\n</html>\n"
    )


def fragment(walk: Walk) -> str:
    """Return the same as a piece of HTML for a notebook; without scripts its steps are closed but the first."""
    return _body(walk, "h3", opened=False)


def proof_html(proof: Proof) -> str:
    """Return one step as a piece of HTML."""
    return f'<style>{_STYLE}</style>\n<section class="deduce-walk">\n<p><b>{escape(headline(proof))}</b></p>\n' + (
        f"{_told(proof)}</section>"
    )


def _title(walk: Walk) -> str:
    order = walk.start.layout.order
    count = len(walk.steps)
    return f"A {order} by {order} grid in {count} step{'' if count == 1 else 's'}"


def _body(walk: Walk, heading: str, *, opened: bool) -> str:
    first, last = of_grid(walk.start, "Where it starts"), of_grid(walk.grid, "Where it ends")
    frames = [_frame("Where it starts", _image(first, key=False), opened=True)]
    for number, step in enumerate(walk.steps, 1):
        frames.append(_frame(f"{number}. {headline(step.proof)}", _told(step.proof), opened=opened))
    # On a page of its own the arrow keys work at once; in a notebook they first need the focus.
    alone = " data-page" if opened else ""
    ended = f"<p>{escape(outcome(walk))}</p>\n{_image(last, key=False)}"
    frames.append(_frame("Where it ends", ended, opened=opened))
    return (
        f"<style>{_STYLE}</style>\n"
        f'<section class="deduce-walk deduce-steps" data-lm-suppress-shortcuts="true"{alone}>\n'
        f"<{heading}>{escape(_title(walk))}</{heading}>\n"
        f"<p>{escape(puzzle_line(walk.start))} {escape(capital(outcome(walk)))}</p>\n"
        f"<p><code>{escape(walk.start.line())}</code></p>\n"
        f"{''.join(frames)}</section>\n<script>{_SCRIPT}</script>"
    )


def _frame(summary: str, content: str, *, opened: bool) -> str:
    return f"<details{' open' if opened else ''}>\n<summary>{escape(summary)}</summary>\n{content}</details>\n"


def _told(proof: Proof) -> str:
    """Return picture, words and written chain of a proof."""
    chain = notation(proof)
    written = f"<p><code>{escape(chain)}</code></p>\n" if chain else ""
    return f"{_image(of_proof(proof), key=True)}<p>{escape(explain(proof))}</p>\n{written}"


def _image(scene: Scene, *, key: bool) -> str:
    """Return a scene as an image element that carries its picture in itself."""
    coded = b64encode(svg(scene, key=key).encode()).decode()
    alt = escape(f"{scene.title}. {scene.description}", quote=True)
    return f'<img alt="{alt}" src="data:image/svg+xml;base64,{coded}">\n'
