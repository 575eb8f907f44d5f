"""One real browser for all pages; without one these tests are skipped and say why."""

from __future__ import annotations

import os
import shutil
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from made_pages import write_pages

NAMES = ("chromium", "chromium-browser", "google-chrome", "google-chrome-stable")


@pytest.fixture(scope="session")
def browser() -> Iterator[Any]:
    """Chromium without a window: the one in DIAGNOSE_BROWSER, on PATH, or got by `playwright install chromium`."""
    for package in ("playwright.sync_api", "axe_playwright_python", "pypdf"):
        pytest.importorskip(package, reason=f"needs {package}: pip install '.[test,browser]'")
    from playwright.sync_api import sync_playwright

    with sync_playwright() as driver:
        named = os.environ.get("DIAGNOSE_BROWSER")
        found = named or next(filter(None, map(shutil.which, NAMES)), None) or driver.chromium.executable_path
        if not named and not Path(found).exists():
            pytest.skip(
                f"needs a browser: none of {', '.join(NAMES)} is on PATH, and DIAGNOSE_BROWSER names none"
            )
        shown = driver.chromium.launch(executable_path=found, args=["--no-sandbox"])
        yield shown
        shown.close()


@pytest.fixture
def open_page(browser: Any) -> Iterator[Any]:
    """A page in a fresh profile: a telephone in daylight unless said otherwise."""
    opened = []

    def page(width: int = 360, scheme: str = "light", **more: Any) -> Any:
        opened.append(
            browser.new_context(
                viewport={"width": width, "height": 740}, color_scheme=scheme, offline=False, **more
            )
        )
        return opened[-1].new_page()

    yield page
    for context in opened:
        context.close()


@pytest.fixture(scope="session")
def pages(browser: Any, tmp_path_factory: pytest.TempPathFactory) -> dict[str, Path]:
    """Every page, written once. They need no browser, but without one nobody looks at them."""
    return write_pages(tmp_path_factory.mktemp("pages"))
