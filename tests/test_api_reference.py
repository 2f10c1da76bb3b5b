"""The reference can be made, nothing public lacks a docstring, and no link of it leads nowhere."""

import inspect
import re
from importlib import import_module
from pathlib import Path

import api_reference
import pytest

ROOT = Path(__file__).parent.parent


def members():
    """Yield each public function, class, method and property with its full name, once."""
    seen = set()
    for module in map(import_module, api_reference.MODULES):
        yield module.__name__, module
        for name in module.__all__:
            value = getattr(module, name)
            if not (inspect.isclass(value) or inspect.isroutine(value)) or value in seen:
                continue
            seen.add(value)
            yield f"{module.__name__}.{name}", value
            if inspect.isclass(value):
                for base in value.__mro__:
                    if base.__module__.startswith("deduce"):
                        for own, member in vars(base).items():
                            if own[0] != "_" and (callable(member) or isinstance(member, property | classmethod)):
                                yield f"{module.__name__}.{name}.{own}", member


def test_nothing_public_lacks_a_docstring():
    found = dict(members())
    assert len(found) > 250
    assert [name for name, member in found.items() if not inspect.getdoc(member)] == []


@pytest.mark.filterwarnings("ignore")  # networkx' classes take no parameters at run time
def test_the_reference_has_a_page_for_each_room_and_no_broken_link(tmp_path):
    pytest.importorskip("pdoc", reason="pdoc is not installed: pip install -e '.[docs]'")
    pages = api_reference.make(tmp_path)
    assert {f"{name.replace('.', '/')}.html" for name in api_reference.MODULES} <= {
        str(page.relative_to(tmp_path)) for page in pages
    }
    api_reference.anchors.cache_clear()
    links = 0
    for page in tmp_path.rglob("*.html"):
        for link in re.findall(r'(?:href|src)="([^"]+)"', page.read_text(encoding="utf-8")):
            links += 1
            assert not api_reference.broken(page, link), (page.name, link)
    assert links > 500
    shown = (tmp_path / "deduce.html").read_text(encoding="utf-8")
    for name in ("walk", "next_step", "Grid", "Walk", "Proof"):
        assert f'id="{name}"' in shown
    assert api_reference.broken(tmp_path / "deduce.html", "#nowhere")
    assert api_reference.broken(tmp_path / "deduce.html", "nowhere.html")


def test_the_readme_names_the_command():
    command = '.venv/bin/pip install -q -e ".[docs]" && .venv/bin/python tests/api_reference.py reference'
    assert command in (ROOT / "README.md").read_text()
