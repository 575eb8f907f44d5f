"""A mentor reads everything the rules know, in one document, and finds the way from page to page."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import replace
from datetime import date
from itertools import pairwise, product
from xml.etree.ElementTree import Element

import html5lib
import pytest
from diagnose.book.links import Linker
from diagnose.book.made import make_book, make_cause_sheet
from diagnose.book.told import Book, Picture
from diagnose.book.written import write
from diagnose.judgement.judge import Cellar
from diagnose.knowledge.read import read_rule_base
from diagnose.knowledge.rule_base import RuleBase
from diagnose.present.words import condition_words
from diagnose.review.survey import conditions
from diagnose.review.trying import Tried
from markdown_it import MarkdownIt
from rule_folders import SOUND

DAY = date(2026, 3, 14)
HOSTILE = (
    '<script>alert(1)</script> [link](javascript:alert(1)) {{ 7*7 }} " onload="alert(1) **bold** &lt;b&gt;'
)
"""What a rule file could hold to make a page do something."""

PAGES = {
    "topic": "topics",
    "cause": "causes",
    "test": "tests",
    "fix": "fixes",
    "never": "never_done",
    "question": "observations",
    "state": "states",
    "number": "derived",
    "rule": "rules",
    "caution": "cautions",
    "limit": "limits",
    "words": "words",
    "word": "glossary",
    "clash": "clashes",
    "order": "orders",
    "apart": "aparts",
    "foreseen": "foreseen",
    "loss": "losses",
    "thing": "things",
    "gates": "gates",
}
"""The beginning of the anchors of each kind of page, and where the rule base keeps them."""


def read_html(text: str) -> Element:
    """The page as the parser of the HTML standard reads it, which stops at the first mistake."""
    return html5lib.HTMLParser(strict=True, namespaceHTMLElements=False).parse(text)


def read_markdown(text: str) -> Element:
    """The page as an outside reader of Markdown makes it, tables included and HTML let through."""
    return html5lib.parse(MarkdownIt("commonmark").enable("table").render(text), namespaceHTMLElements=False)


def said(element: Element, without: frozenset[str] = frozenset()) -> str:
    """The text of an element with one space between words."""
    return " ".join("".join(_texts(element, without)).split())


def _texts(element: Element, without: frozenset[str]) -> Iterator[str]:
    if element.tag not in without and element.get("class") != "skip":
        yield element.text or ""
        for inner in element:
            yield from _texts(inner, without)
            yield (inner.tail or "") + " "


@pytest.fixture(scope="session")
def html_text(book: Book) -> str:
    """The book as HTML."""
    return write(book, "html")


@pytest.fixture(scope="session")
def html(html_text: str) -> Element:
    """The book as the standard reads it: a mistake in the page fails every claim here."""
    return read_html(html_text)


@pytest.fixture(scope="session")
def markdown(book: Book) -> Element:
    """The book in Markdown, as a reader of Markdown shows it."""
    return read_markdown(write(book, "md"))


@pytest.fixture(params=["html", "markdown"])
def either(request: pytest.FixtureRequest) -> Element:
    """Each of the two forms."""
    return request.getfixturevalue(request.param)


def ids(page: Element) -> Counter[str]:
    """Every anchor of a page, and how often it is there."""
    return Counter(element.get("id") for element in page.iter() if element.get("id"))


# ---------------------------------------------------------------- everything is there


@pytest.mark.parametrize("kind", PAGES)
def test_every_page_of_the_rules_stands_once(either: Element, base: RuleBase, kind: str) -> None:
    """Nothing the rules know is left out, and nothing stands twice."""
    found = ids(either)
    wanted = [f"{kind}-{name}".replace("_", "-") for name in getattr(base, PAGES[kind])]
    assert wanted
    assert {name: found[name] for name in wanted} == dict.fromkeys(wanted, 1)


def test_every_source_stands_once_with_its_title(either: Element, base: RuleBase) -> None:
    """A mentor can look up each source, the unused ones included."""
    lines = {
        place: said(line)
        for line in either.iter("li")
        for element in (line, *line)
        if (place := element.get("id") or "").startswith("source-")
    }
    assert len(lines) == len(base.sources)
    for number, name in enumerate(sorted(base.sources), 1):
        assert " ".join(base.sources[name].title.split()) in lines[f"source-{number}"], name


def test_no_two_places_share_an_anchor(either: Element) -> None:
    """A link leads to one place."""
    assert [name for name, often in ids(either).items() if often > 1] == []


def test_every_link_inside_leads_somewhere(either: Element) -> None:
    """No link of the book is dead."""
    links = [element.get("href", "") for element in either.iter() if element.tag.rpartition("}")[2] == "a"]
    inside = {link[1:] for link in links if link.startswith("#")}
    assert len(inside) > 800
    assert inside - set(ids(either)) == set()


def test_the_page_needs_nothing_from_outside_and_runs_nothing(html: Element) -> None:
    """The file can be mailed and opened without a network."""
    tags = {element.tag.rpartition("}")[2] for element in html.iter() if isinstance(element.tag, str)}
    assert not tags & {"script", "link", "img", "iframe", "object", "form"}
    assert not [element for element in html.iter() if element.get("src") or element.get("onload")]


# ---------------------------------------------------------------- what stands there is so


def test_each_strength_stands_as_the_table_has_it(html: Element, base: RuleBase) -> None:
    """The decibans behind every piece of evidence of every cause are those of the table of words."""
    table = base.words["strength"].values
    articles = [article for article in html.iter("article") if article.get("class") == "cause"]
    assert len(articles) == len(base.causes)
    for article in articles:
        place = next(element.get("id", "") for element in article.iter("h3"))
        cause = base.causes[place.removeprefix("cause-").replace("-", "_")]
        shown = [element.text for element in article.iter("span") if element.get("class") == "marks"]
        words = [
            word for row in cause.evidence for word in (row.says.values() if row.observe else [row.weight])
        ]
        assert shown == [f"({table[str(word)]:+g})".replace("-", "−") for word in words], cause.cause


def test_each_row_gives_its_reason_and_its_sources(book: Book, base: RuleBase) -> None:
    """Every row of evidence stands with its reason and all its sources."""
    numbers = {name: number for number, name in enumerate(sorted(base.sources), 1)}
    for topic in book.topics:
        for page in topic.causes:
            cause = base.causes[page.id]
            assert [row.because.says for row in page.rows] == [row.because for row in cause.evidence]
            for told, row in zip(page.rows, cause.evidence, strict=True):
                assert set(told.because.refs) == {numbers[name] for name in row.source}


def test_a_condition_with_links_reads_as_one_without(base: RuleBase) -> None:
    """Links do not change a word of a condition."""
    links, checked = Linker(base), 0
    for condition in conditions(base):
        told = "".join(piece.text for piece in links.sentence(condition))
        assert told == condition_words(base, condition)
        checked += 1
    assert checked > 500


def test_a_condition_in_parts_says_the_same(base: RuleBase) -> None:
    """One way from each part of a condition makes one way for the whole to hold; so come all of them."""
    links = Linker(base)
    for condition in conditions(base):
        picked = {
            frozenset(clause for way in ways for clause in clauses("".join(piece.text for piece in way)))
            for ways in product(*links.parts(condition))
        }
        whole = {frozenset(clauses(way)) for way in condition_words(base, condition).split("; or ")}
        assert picked == whole


def clauses(text: str) -> list[str]:
    """The clauses of one way for a condition to hold, without the first letter that depends on the place."""
    return [clause[1:] for clause in text.split(", and ")]


def test_cautions_stand_at_the_step(html: Element, base: RuleBase) -> None:
    """Somebody who works from the book meets each caution where the danger is."""
    articles = {
        element.get("id"): article
        for article in html.iter("article")
        for element in article.iter("h3")
        if (element.get("id") or "").startswith("fix-")
    }
    for name, fix in base.fixes.items():
        steps = list(articles[f"fix-{name}".replace("_", "-")].iter("li"))
        for step in (step for step in fix.steps if step.caution):
            for caution in step.caution:
                says = " ".join(base.cautions[caution].says.split())
                assert any(says in said(item) for item in steps), (name, caution)


# ---------------------------------------------------------------- worked cases


def test_cases_are_counted_as_they_spoke(book: Book, cellar: Cellar, tried: Sequence[Tried]) -> None:
    """The number of cases on a page is the number of cases in which a rule made of that page fired."""
    for page in book.tests:
        fired = [
            item.case
            for item in tried
            if any(cellar.rules[rule].page == ("test", page.id) for rule in item.spoke)
        ]
        assert (page.cases.spoke if page.cases else 0) == len(fired), page.id
    assert [(line.id, line.rules) for line in book.cases] == [
        (item.case.replace("_", " "), len(item.spoke)) for item in tried
    ]


def test_the_table_of_coverage_counts_every_rule(book: Book, cellar: Cellar, tried: Sequence[Tried]) -> None:
    """Rules that spoke and rules that did not add up to all rules."""
    assert sum(kind.rules for kind in book.covered) == len(cellar.rules)
    assert sum(kind.spoke for kind in book.covered) == len(frozenset().union(*(item.spoke for item in tried)))


def test_a_cause_names_the_cases_in_which_it_is_likely(book: Book, tried: Sequence[Tried]) -> None:
    """A case stands at a cause only if that cause comes out first and likely in it."""
    found = {
        (page.id, piece.text)
        for topic in book.topics
        for page in topic.causes
        for piece in (page.cases.likely if page.cases else ())
    }
    wanted = {
        (cause, item.case.replace("_", " "))
        for item in tried
        for cause, word in (item.outcome.firsts.values() if item.outcome else ())
        if word in ("likely", "confirmed") and cause != "unknown"
    }
    assert found == wanted
    assert found


# ---------------------------------------------------------------- pictures


def _pictures(book: Book) -> dict[str, Picture]:
    return {topic.id: topic.picture for topic in book.topics if topic.picture}


def test_a_picture_shows_each_cause_and_each_fix_for_it(book: Book, base: RuleBase) -> None:
    """What stands on the pages of the causes stands in the picture, and no more."""
    for topic, picture in _pictures(book).items():
        causes = {name: cause for name, cause in base.causes.items() if cause.topic == topic}
        fixes = {cure.fix for cause in causes.values() for cure in cause.cured_by}
        shown = {kind: {node.to for node in picture.nodes if node.kind == kind} for kind in ("cause", "fix")}
        assert shown["cause"] == {f"cause-{name}".replace("_", "-") for name in causes}
        assert shown["fix"] == {f"fix-{name}".replace("_", "-") for name in fixes}
        assert len(picture.edges) >= sum(len(cause.cured_by) for cause in causes.values())


def test_boxes_of_a_picture_do_not_cover_each_other(book: Book) -> None:
    """Every name in a picture can be read, and lies inside it."""
    for picture in _pictures(book).values():
        wide, tall = picture.box
        places = sorted((node.x, node.y) for node in picture.nodes)
        for (x, y), (to_x, to_y) in pairwise(places):
            assert x != to_x or to_y - y >= tall
        assert all(0 <= x <= picture.width - wide and 0 <= y <= picture.height - tall for x, y in places)
        assert all(node.lines and len(node.lines) <= 2 for node in picture.nodes)


# ---------------------------------------------------------------- text of a rule is text


def _planted() -> RuleBase:
    base = read_rule_base([SOUND])

    def planted(pages, **texts):
        return {name: page.model_copy(update=texts) for name, page in pages.items()}

    return replace(
        base,
        causes=planted(base.causes, summary=HOSTILE, name=HOSTILE),
        fixes=planted(base.fixes, does=HOSTILE, name=HOSTILE),
        tests=planted(base.tests, purpose=HOSTILE, name=HOSTILE),
        cautions=planted(base.cautions, says=HOSTILE),
        sources=planted(base.sources, title=HOSTILE, note=HOSTILE, url="javascript:alert(1)"),
        topics=planted(base.topics, complaint=HOSTILE, name=HOSTILE),
    )


@pytest.mark.parametrize("form", ["html", "md"])
def test_markup_in_a_rule_is_shown_as_text(form: str) -> None:
    """What stands in a rule file cannot make the book do anything."""
    base = _planted()
    cause = next(iter(base.causes))
    for page in (make_book(Cellar(base), (), "metric", DAY), make_cause_sheet(base, cause, DAY)):
        read = read_html(write(page, "html")) if form == "html" else read_markdown(write(page, "md"))
        assert not list(read.iter("script"))
        assert not [item for item in read.iter() if item.get("onload")]
        assert not [item for item in read.iter() if (item.get("href") or "").startswith("javascript")]
        assert said(read).count("<script>alert(1)</script>") > 1
        assert "{{ 7*7 }}" in said(read)


# ---------------------------------------------------------------- the sheet of one cause


@pytest.mark.parametrize("name", ["pectin_haze", "refermentation", "ferment_has_finished"])
def test_a_sheet_says_the_same_in_both_forms(base: RuleBase, name: str) -> None:
    """Whoever prints the sheet and whoever reads the text read the same words."""
    sheet = make_cause_sheet(base, name, DAY)
    plain = frozenset({"head", "style", "nav"})
    html, markdown = read_html(write(sheet, "html")), read_markdown(write(sheet, "md"))

    def words(page: Element) -> Counter[str]:
        numbers = {str(source.number) for source in sheet.sources}
        found = Counter(re.findall(r"\w+", said(page, plain)))
        # One form numbers its list of sources by itself.
        return Counter({word: often for word, often in found.items() if word not in numbers})

    assert words(html) == words(markdown)


def test_a_sheet_stands_by_itself(base: RuleBase) -> None:
    """A printed cause needs no other page: each row with its reason, each source in full, no link to elsewhere."""
    for name, cause in base.causes.items():
        sheet = make_cause_sheet(base, name, DAY)
        named = {source for row in cause.evidence for source in row.source} | set(cause.common_source)
        assert len(sheet.sources) == len(named)
        assert len(sheet.cause.rows) == len(cause.evidence)
    page = read_html(write(make_cause_sheet(base, "pectin_haze", DAY), "html"))
    inside = {item.get("href", "")[1:] for item in page.iter("a") if item.get("href", "").startswith("#")}
    assert inside <= set(ids(page))
    for row in base.causes["pectin_haze"].evidence:
        assert " ".join(row.because.split()) in said(page)
