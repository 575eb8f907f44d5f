"""Each check finds the fault it is for, so that none of them can be content with everything."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Any

import page_checks as checks
import pytest

Open = Callable[..., Any]

SOUND = (
    '<!DOCTYPE html><html lang="en"><head><meta charset="utf-8"><title>Sound</title>'
    '<meta name="viewport" content="width=device-width"><style>@page {{ margin: 15mm }} {css}</style></head>'
    "<body><main><h1>Sound</h1>{body}</main></body></html>"
)


def planted(folder: Path, body: str = "", css: str = "") -> Path:
    """A sound page with this in it."""
    file = folder / "planted.html"
    file.write_text(SOUND.format(body=body, css=css), encoding="utf-8")
    return file


def every_check(page: Any) -> list[list[str]]:
    """Those that look at a page on a screen."""
    looks = (checks.sideways, checks.small_text, checks.small_targets, checks.barriers, checks.structure)
    return [look(page) for look in looks]


def test_a_sound_page_passes_every_check(tmp_path: Path, open_page: Open) -> None:
    """What is well is not blamed."""
    visit = checks.Visit(open_page(), planted(tmp_path, "<p>All is well.</p>"))
    assert not any(every_check(visit.page)) and not visit.faults
    assert checks.printed(visit.page, "A4") == []


@pytest.mark.parametrize(
    ("body", "said"),
    [
        ('<img alt="" src="http://127.0.0.1:9/x.png">', "request: http://127.0.0.1:9/x.png"),
        ("<script>console.error('oh')</script>", "console error: oh"),
        ("<script>undefined.x</script>", "error: "),
        ("<script>alert('hello')</script>", "dialog: hello"),
    ],
)
def test_a_page_that_acts_on_its_own_is_caught(tmp_path: Path, open_page: Open, body: str, said: str) -> None:
    """A request, a complaint, a failing script and a window are each seen."""
    visit = checks.Visit(open_page(), planted(tmp_path, body))
    visit.page.wait_for_timeout(50)
    assert any(fault.startswith(said) for fault in visit.faults)


@pytest.mark.parametrize(
    ("check", "body", "css"),
    [
        (checks.sideways, "<p style='width:500px'>wide</p>", ""),
        (checks.sideways, f"<p>{'a' * 90}</p>", ""),
        (checks.small_text, "<p>small</p>", "p { font-size: 13px }"),
        (
            checks.small_text,
            "<svg viewBox='0 0 720 9' width='300'><text font-size='14' y='9'>a</text></svg>",
            "",
        ),
        (checks.small_targets, "<label><input type=checkbox></label>", ""),
        (checks.barriers, "<p>faint</p>", "p { color: #999 }"),
        (checks.barriers, "<input type=text>", ""),
        (checks.barriers, "<h4>too deep</h4>", ""),
        (checks.structure, "<h3>too deep</h3>", ""),
        (checks.structure, "<table><tr><td>1</td></tr></table>", ""),
        (checks.structure, "<svg role=img><title>a</title></svg>", ""),
    ],
)
def test_a_planted_fault_is_found(tmp_path: Path, open_page: Open, check: Any, body: str, css: str) -> None:
    """Too wide, too small, too faint, unnamed, out of order: each check sees its own fault."""
    assert check(checks.Visit(open_page(), planted(tmp_path, body, css)).page)


def test_a_fault_of_the_night_is_found(tmp_path: Path, open_page: Open) -> None:
    """What is faint in the dark alone is seen in the dark alone."""
    night = "@media (prefers-color-scheme: dark) { body { background: #000 } p { color: #333 } }"
    file = planted(tmp_path, "<p>faint</p>", night)
    assert checks.barriers(checks.Visit(open_page(scheme="light"), file).page) == []
    assert checks.barriers(checks.Visit(open_page(scheme="dark"), file).page)


@pytest.mark.parametrize(
    ("body", "css", "said"),
    [
        (
            "<p>This is most of the page.</p><h2>Alone</h2><p class=next>text</p>",
            ".next { break-before: page }",
            "ends with the heading",
        ),
        ("<p>one</p><p class=next>&nbsp;</p>", ".next { break-before: page }", "is empty"),
        (
            "<div class=cut>shown<br><br><br>swallowed</div>",
            ".cut { height: 1em; overflow: hidden; contain: paint }",
            "lost",
        ),
    ],
)
def test_a_fault_on_paper_is_found(tmp_path: Path, open_page: Open, body: str, css: str, said: str) -> None:
    """A heading left alone, an empty page, and words that paper cuts off are each seen."""
    page = checks.Visit(open_page(), planted(tmp_path, body, css)).page
    assert any(said in fault for fault in checks.printed(page, "A4"))
