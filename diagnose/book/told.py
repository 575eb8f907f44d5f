"""What the rule book holds: plain values in the words a person reads, with the places their links lead to."""

from __future__ import annotations

from dataclasses import dataclass

from diagnose.report.told import CautionTold, FixTold, Refs, Sentence, SourceTold, TestTold


@dataclass(frozen=True)
class Piece:
    """A stretch of text. `to` is the anchor it leads to; empty where it leads nowhere."""

    text: str
    to: str = ""


Pieces = tuple[Piece, ...]
"""Text with links in it."""

Ways = tuple[Pieces, ...]
"""Texts of which one must be so."""

Parts = tuple[Ways, ...]
"""A condition in parts that must all hold, each as the ways for it to hold; empty where nothing is asked."""


@dataclass(frozen=True)
class Cases:
    """In how many worked cases a rule of a page spoke, of how many; and those in which a cause is likely."""

    spoke: int
    of: int
    likely: Pieces = ()


@dataclass(frozen=True)
class RowTold:
    """A piece of evidence: what was found, and how strongly each finding speaks."""

    found: Pieces
    speaks: tuple[tuple[str, str, str], ...]
    """The answer, empty for a combination; how strongly it speaks in words; and in decibans."""
    because: Sentence
    with_others: str
    """What it is counted once with; empty where it counts by itself."""


@dataclass(frozen=True)
class Reason:
    """A page that is named, with the reason."""

    name: Piece
    how: str
    because: Sentence


@dataclass(frozen=True)
class Confirmation:
    """Findings that confirm a cause, and the tests that can bring them."""

    found: Pieces
    tests: Pieces


@dataclass(frozen=True)
class MimicTold:
    """A look-alike and what tells it apart."""

    name: Piece
    how: str
    told_apart_by: Pieces


@dataclass(frozen=True)
class CausePage:
    """A cause."""

    anchor: str
    name: str
    id: str
    topic: Piece
    review: str
    sound: bool
    """Whether the wine is sound where this is the cause."""
    summary: str
    common: str
    common_because: Sentence
    rows: tuple[RowTold, ...]
    mimics: tuple[MimicTold, ...]
    confirmed: tuple[Confirmation, ...]
    cures: tuple[Reason, ...]
    prevention: tuple[str, ...]
    cases: Cases | None


@dataclass(frozen=True)
class TestPage:
    """A test, and where it serves."""

    anchor: str
    id: str
    told: TestTold
    answers: Pieces
    only_if: Parts
    confirms: Pieces
    cases: Cases | None


@dataclass(frozen=True)
class Never:
    """When a fix must not be done, and why."""

    when: Parts
    because: Sentence


@dataclass(frozen=True)
class FixPage:
    """A fix, and where it serves."""

    anchor: str
    id: str
    told: FixTold
    called: tuple[str, ...]
    costs: str
    cures: Pieces
    offer_when: Parts
    never: tuple[Never, ...]
    after: tuple[Reason, ...]
    amounts: tuple[str, ...]
    judge_by: tuple[str, ...]
    cases: Cases | None


@dataclass(frozen=True)
class QuestionPage:
    """A question: its words, its answers, and how to find out."""

    anchor: str
    id: str
    short: str
    ask: str
    answers: tuple[str, ...]
    why: str
    how: str
    ask_when: Parts
    tests: Pieces


@dataclass(frozen=True)
class Conclusion:
    """What is concluded, when, and why."""

    says: str
    when: Parts
    because: Sentence


@dataclass(frozen=True)
class StatePage:
    """A state, or a number that is worked out, with what makes it so."""

    anchor: str
    id: str
    name: str
    conclusions: tuple[Conclusion, ...]
    cases: Cases | None


@dataclass(frozen=True)
class Deed:
    """One thing that a rule does, and to what."""

    says: str
    to: Pieces
    because: str = ""


@dataclass(frozen=True)
class RulePage:
    """A rule, or another page that says what follows when something is so."""

    anchor: str
    id: str
    when: Parts
    does: tuple[Deed, ...]
    because: Sentence
    cases: Cases | None


@dataclass(frozen=True)
class CautionPage:
    """A caution, and where it stands."""

    anchor: str
    id: str
    told: CautionTold
    refs: Refs
    stands: Pieces


@dataclass(frozen=True)
class LimitPage:
    """A limit."""

    anchor: str
    id: str
    says: str
    note: str
    refs: Refs


@dataclass(frozen=True)
class WordsPage:
    """A table of words with their numbers."""

    anchor: str
    id: str
    about: str
    values: tuple[tuple[str, str], ...]
    because: Sentence


@dataclass(frozen=True)
class WordTold:
    """A word of the glossary."""

    anchor: str
    called: str
    means: str
    refs: Refs


@dataclass(frozen=True)
class GlossaryTold:
    """The words that the trade, reckoning, or this program uses so."""

    name: str
    words: tuple[WordTold, ...]


@dataclass(frozen=True)
class Node:
    """A box of a picture, in pixels, with its name in lines that fit."""

    to: str
    name: str
    lines: tuple[str, ...]
    x: float
    y: float
    kind: str


@dataclass(frozen=True)
class Edge:
    """A line between two boxes; `weight` is how thick it is."""

    path: str
    weight: float


@dataclass(frozen=True)
class Picture:
    """How tests, causes and fixes of a topic hang together."""

    title: str
    description: str
    width: int
    height: int
    box: tuple[int, int]
    heads: tuple[tuple[float, str], ...]
    nodes: tuple[Node, ...]
    edges: tuple[Edge, ...]


@dataclass(frozen=True)
class TopicPage:
    """A kind of trouble with its causes."""

    anchor: str
    id: str
    name: str
    complaint: str
    opening: tuple[tuple[Piece, Pieces], ...]
    causes: tuple[CausePage, ...]
    unknown: str
    unknown_common: str
    if_unknown: tuple[str, ...]
    picture: Picture | None


@dataclass(frozen=True)
class CoveredTold:
    """Rules made of one kind of page, how many of them spoke in some case, and the silent ones."""

    kind: str
    rules: int
    spoke: int
    part: str
    silent: Pieces


@dataclass(frozen=True)
class CaseLine:
    """A worked case: its name, its topic, what comes out first, and how many rules spoke."""

    anchor: str
    id: str
    topic: Piece
    first: Piece
    word: str
    rules: int


@dataclass(frozen=True)
class BookSource:
    """A source with its name in the rules and what is noted of it."""

    told: SourceTold
    id: str
    note: str


@dataclass(frozen=True)
class Book:
    """The whole rule book."""

    title: str
    about: str
    made: str
    law: str
    counts: str
    reviewed: str
    strengths: WordsPage
    topics: tuple[TopicPage, ...]
    tests: tuple[TestPage, ...]
    fixes: tuple[FixPage, ...]
    never_done: tuple[RulePage, ...]
    questions: tuple[QuestionPage, ...]
    states: tuple[StatePage, ...]
    rules: tuple[RulePage, ...]
    planning: tuple[RulePage, ...]
    cautions: tuple[CautionPage, ...]
    limits: tuple[LimitPage, ...]
    words: tuple[WordsPage, ...]
    glossary: tuple[GlossaryTold, ...]
    covered: tuple[CoveredTold, ...]
    cases: tuple[CaseLine, ...]
    sources: tuple[BookSource, ...]


@dataclass(frozen=True)
class CauseSheet:
    """One cause to print, with the sources it names."""

    title: str
    made: str
    rule_base: str
    cause: CausePage
    sources: tuple[SourceTold, ...]
