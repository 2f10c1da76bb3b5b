"""Pages of surveys, audits and comparisons fit a phone and read well bright and dark."""

from __future__ import annotations

from collections.abc import Iterator

import pytest
from pages.test_browser import CHROMIUM
from pages.test_stage import PUZZLE, browser  # noqa: F401
from surveys.lists import usual

import deduce
from deduce import Grid
from deduce.pages.compare import compare_page
from deduce.planning.compare import compare
from deduce.surveys import survey

pytestmark = [
    pytest.mark.skipif(not CHROMIUM.exists(), reason=f"these tests need a browser at {CHROMIUM}"),
    pytest.mark.filterwarnings("ignore"),  # the driver's own warnings are not ours
]


def survey_page() -> str:
    names = ("hidden single", "naked single", "locked candidates, pointing", "naked pair", "skyscraper")
    return survey(usual(4), workers=0, name="a list", patterns=names, marginal=True).coverage().page()


def audit_page() -> str:
    log = [
        "r2c8 = 7 by hidden single",
        "r1c1 <> 3 # a slip",
        "r9c9 = 1",
        "(3)r1c2 = (1)r1c3 - (4)r2c2 = (4)r2c9 - (7)r9c9",
    ]
    return deduce.audit(Grid.parse(PUZZLE), log).page()


def comparison_page() -> str:
    grid = Grid.parse(PUZZLE)
    return compare_page(
        compare(deduce.walk(grid, budget=20), deduce.walk(grid, ["hidden single", "XY-chain"], budget=20))
    )


@pytest.fixture(params=[survey_page, audit_page, comparison_page], scope="module")
def made(request) -> Iterator[str]:
    return request.param()


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_a_page_fits_a_phone_and_axe_finds_nothing(browser, tmp_path, made, scheme) -> None:  # noqa: F811
    from axe_playwright_python.sync_playwright import Axe

    file = tmp_path / "page.html"
    file.write_text(made, encoding="utf-8")
    context = browser.new_context(viewport={"width": 390, "height": 844}, color_scheme=scheme)
    page = context.new_page()
    page.goto(file.as_uri())
    page.evaluate("document.querySelectorAll('details').forEach(d => { d.open = true })")
    assert page.evaluate("document.documentElement.scrollWidth") <= 390
    assert [v["id"] for v in Axe().run(page).response["violations"]] == []
    context.close()
