"""A report and a sheet, in a real browser: on a telephone, in the dark, on paper, and read aloud."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Any

import page_checks as checks
import pytest
from made_pages import HOSTILE, PAGES, REPORTS

Pages = dict[str, Path]
Open = Callable[..., Any]


@pytest.fixture(params=PAGES)
def file(pages: Pages, request: pytest.FixtureRequest) -> Path:
    """Each page in turn."""
    return pages[request.param]


def test_a_page_asks_for_nothing_and_complains_of_nothing(file: Path, open_page: Open) -> None:
    """No request leaves the page, no script fails and no window opens, whatever a person wrote."""
    visit = checks.Visit(open_page(), file)
    visit.page.wait_for_timeout(50)
    assert visit.faults == []


@pytest.mark.parametrize("name", ["trial_read", "fix_sheet"])
def test_a_page_needs_no_script(name: str, pages: Pages, open_page: Open) -> None:
    """Whoever lets no script run sees the same page."""
    with_scripts = checks.Visit(open_page(), pages[name]).page.screenshot(full_page=True)
    without = open_page(java_script_enabled=False)
    without.goto(pages[name].as_uri())
    assert without.screenshot(full_page=True) == with_scripts


def test_a_page_is_read_on_a_telephone(file: Path, open_page: Open) -> None:
    """On 360 pixels nothing leads sideways, letters are large, and a thumb hits what it aims at."""
    page = checks.Visit(open_page(360), file).page
    assert checks.sideways(page) == []
    assert checks.small_text(page) == []
    assert checks.small_targets(page) == []


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_a_page_has_no_barriers(file: Path, scheme: str, open_page: Open) -> None:
    """axe-core finds nothing against WCAG 2 AA, contrast included, by day and by night."""
    page = checks.Visit(open_page(scheme=scheme), file).page
    dark = page.evaluate("getComputedStyle(document.body).backgroundColor") != "rgb(255, 255, 255)"
    assert dark == (scheme == "dark")
    assert checks.barriers(page) == []
    assert checks.structure(page) == []


@pytest.mark.parametrize("name", ["trial_read", "trial_sheet"])
def test_a_wide_screen_has_no_barriers_either(name: str, pages: Pages, open_page: Open) -> None:
    """On a desk the same holds as on a telephone."""
    page = checks.Visit(open_page(1200), pages[name]).page
    assert checks.barriers(page) == [] and checks.sideways(page) == []


@pytest.mark.parametrize("paper", checks.PAPER)
@pytest.mark.parametrize(
    "name", ["two_troubles", "trial_read", "nothing_known", "hostile", "trial_sheet", "fix_sheet"]
)
def test_a_page_prints(name: str, paper: str, pages: Pages, open_page: Open) -> None:
    """On A4 and Letter no word is lost or cut off, no page is empty, and no heading stands alone at the end."""
    page = checks.Visit(open_page(checks.paper_width(paper)), pages[name]).page
    assert checks.printed(page, paper) == []
    assert checks.sideways(page) == []


@pytest.mark.parametrize("name", REPORTS)
def test_the_contents_lead_to_every_part(name: str, pages: Pages, open_page: Open) -> None:
    """Each line of the contents names a part as the part names itself, and none is missing."""
    page = checks.Visit(open_page(), pages[name]).page
    contents = page.eval_on_selector_all("nav a", "all => all.map(it => [it.hash, it.textContent])")
    parts = page.eval_on_selector_all("h2", "all => all.map(it => ['#' + it.id, it.textContent])")
    assert contents == parts and len(parts) > 5


def test_words_stay_words(pages: Pages, open_page: Open) -> None:
    """Markup in a title, a story or a note is shown as it was written, and makes no part of the page."""
    page = checks.Visit(open_page(), pages["hostile"]).page
    assert page.locator("script, img, .planted, a[href^=javascript], [onload]").count() == 0
    plain = " ".join(HOSTILE.split())
    assert page.locator("h1").inner_text() == plain
    assert page.locator("body").inner_text().count(plain) >= 3
