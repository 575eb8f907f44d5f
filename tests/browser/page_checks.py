"""What a browser can find wrong with a page: each check gives its faults in words, none when all is well."""

from __future__ import annotations

import io
import re
import unicodedata
from collections import Counter
from pathlib import Path
from typing import Any

BODY_PX, DRAWING_PX, TARGET_PX = 16, 12, 24
"""Least sizes. A target: Web Content Accessibility Guidelines 2.2, 2.5.8, from memory; letters: common practice."""

PAPER = {"A4": (210.0, 297.0), "Letter": (215.9, 279.4)}
"""Width and height in mm: ISO 216, and ANSI/ASME Y14.1 size A; from memory."""

MARGIN_MM = 15.0
PX_PER_MM = 96 / 25.4

SIDEWAYS = """() => {
  const edge = document.documentElement.clientWidth + 1, found = [];
  if (document.documentElement.scrollWidth > edge) found.push('the page scrolls sideways');
  for (const it of document.querySelectorAll('body *')) {
    const at = it.getBoundingClientRect(), box = it.closest('.scroll');
    const scrolls = box && getComputedStyle(box).overflowX === 'auto';
    if (at.width && at.right > edge && !scrolls)
      found.push(`${it.tagName} reaches ${at.right}: ${it.textContent.slice(0, 40)}`);
  }
  return found;
}"""

SMALL_TEXT = """([body, drawing]) => {
  const found = [], walk = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT);
  while (walk.nextNode()) {
    const it = walk.currentNode.parentElement, text = walk.currentNode.textContent.trim();
    if (!text || !it.getClientRects().length || it.closest('title, desc, style')) continue;
    const svg = it.closest('svg'), scale = svg ? svg.getScreenCTM().a : 1;
    const size = parseFloat(getComputedStyle(it).fontSize) * scale;
    if (size < (svg ? drawing : body) - 0.01) found.push(`${size.toFixed(1)} px: ${text.slice(0, 40)}`);
  }
  return found;
}"""

SMALL_TARGETS = """least => [...document.querySelectorAll('nav a, label, input, summary')].flatMap(it => {
  const at = it.getBoundingClientRect();
  return at.width < least || at.height < least ? [`${it.tagName} ${at.width} by ${at.height}: ${it.textContent}`] : [];
})"""

STRUCTURE = """() => {
  const found = [], all = words => [...document.querySelectorAll(words)];
  if (!document.documentElement.lang) found.push('no language');
  if (all('h1').length !== 1) found.push('not one h1');
  const levels = all('h1, h2, h3, h4, h5, h6').map(it => +it.tagName[1]);
  levels.forEach((level, at) => {
    if (at && level - levels[at - 1] > 1) found.push(`h${level} after h${levels[at - 1]}`);
  });
  for (const it of all('table')) {
    const heads = [...it.querySelectorAll('th')];
    if (!it.querySelector('thead th') || heads.some(head => !head.scope)) found.push('table without heads');
  }
  for (const it of all('svg')) {
    const said = name => it.querySelector(`:scope > ${name}`)?.textContent.trim();
    if (it.getAttribute('role') !== 'img' || !said('title') || !said('desc')) found.push('drawing without words');
  }
  return found;
}"""


class Visit:
    """A page opened as a person opens it, and whatever it tried to do on its own."""

    def __init__(self, page: Any, file: Path) -> None:
        self.page, self.faults = page, list[str]()
        page.on("console", lambda said: self.faults.append(f"console {said.type}: {said.text}"))
        page.on("pageerror", lambda error: self.faults.append(f"error: {error}"))
        page.on("dialog", self._dialog)
        page.route("**/*", lambda route: self._request(route, file.as_uri()))
        page.goto(file.as_uri())

    def _dialog(self, dialog: Any) -> None:
        self.faults.append(f"dialog: {dialog.message}")
        dialog.dismiss()

    def _request(self, route: Any, own: str) -> None:
        if route.request.url == own:
            route.continue_()
        else:
            self.faults.append(f"request: {route.request.url}")
            route.abort()


def sideways(page: Any) -> list[str]:
    """What reaches beyond the right edge, unless it stands in a box that scrolls by itself."""
    return list(page.evaluate(SIDEWAYS))


def small_text(page: Any) -> list[str]:
    """Letters too small for a telephone, in drawings measured as they come out on the screen."""
    return list(page.evaluate(SMALL_TEXT, [BODY_PX, DRAWING_PX]))


def small_targets(page: Any) -> list[str]:
    """What a wet thumb would miss. Links inside a sentence are let be, as the guidelines do."""
    return list(page.evaluate(SMALL_TARGETS, TARGET_PX))


def barriers(page: Any) -> list[str]:
    """What axe-core finds against levels A and AA, and against headings in order, in the colours now shown."""
    from axe_playwright_python.sync_playwright import Axe

    tags = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa"]
    rules = {"heading-order": {"enabled": True}, "target-size": {"enabled": True}}
    found = Axe().run(page, options={"runOnly": {"type": "tag", "values": tags}, "rules": rules}).response
    assert found["passes"], "axe-core looked at nothing"
    return [
        f"{fault['id']}: {node['html'][:100]}; {node['failureSummary']}"
        for fault in found["violations"]
        for node in fault["nodes"]
    ]


def structure(page: Any) -> list[str]:
    """Language, headings step by step, heads on tables, and drawings that say what they show."""
    return list(page.evaluate(STRUCTURE))


def printed(page: Any, paper: str) -> list[str]:
    """What goes wrong on paper: lost words, a heading alone at the end of a page, a wrong size, an empty page."""
    import pypdf

    page.emulate_media(media="print")
    shown = page.evaluate("document.body.innerText")
    headings = {_run_together(text) for text in page.locator("h1, h2, h3, h4").all_inner_texts()}
    sheets = pypdf.PdfReader(io.BytesIO(page.pdf(format=paper, prefer_css_page_size=False))).pages
    texts = [sheet.extract_text().strip() for sheet in sheets]
    found = [f"page {number} is empty" for number, text in enumerate(texts, 1) if not text]
    for sheet, want in (
        (sheets[0].mediabox.width, PAPER[paper][0]),
        (sheets[0].mediabox.height, PAPER[paper][1]),
    ):
        if abs(float(sheet) * 25.4 / 72 - want) > 1:
            found.append(f"{float(sheet)} points for {want} mm")
    for number, sheet in enumerate(sheets[:-1], 1):
        last, larger = _last_line(sheet)
        if larger and last and any(last in heading for heading in headings):
            found.append(f"page {number} ends with the heading {last}")
    everything = _run_together(" ".join(texts))
    lost = {word for word in re.findall(r"\w{3,}", shown) if _run_together(word) not in everything}
    return [*found, *(f"lost on paper: {word}" for word in sorted(lost))]


def _last_line(sheet: Any) -> tuple[str, bool]:
    """The text a page ends with, and whether it is larger than most of the page, as a heading is."""
    letters: list[tuple[str, float]] = []

    def heard(text: str, _cm: Any, placed: list[float], _font: Any, size: float) -> None:
        if text.strip():
            letters.append((text, round(abs(size * placed[3]), 1)))

    sheet.extract_text(visitor_text=heard)
    if not letters:
        return "", False
    lengths: Counter[float] = Counter()
    for text, size in letters:
        lengths[size] += len(text)
    last, size = letters[-1]
    return _run_together(last), size > lengths.most_common(1)[0][0]


def paper_width(paper: str) -> int:
    """Pixels between the margins."""
    return round((PAPER[paper][0] - 2 * MARGIN_MM) * PX_PER_MM)


def _run_together(text: str) -> str:
    # Where a line of a PDF breaks, or letters are joined, is no matter here.
    return re.sub(r"\s+", "", unicodedata.normalize("NFKC", text)).lower()
