"""A rule as a card: what it says in plain sentences, why, what it rests on, and who stands behind it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from pathlib import Path

from diagnose.knowledge.models.causes import EvidenceRow
from diagnose.knowledge.models.treatments import BenchTest, Fix
from diagnose.knowledge.rule_base import RuleBase
from diagnose.review.standing import Card

from .console import Page
from .judgements import row_words, strength_words
from .places import folder_of, short_place
from .question import show_test
from .result import show_fix
from .words import condition_words, first_down


def show_card(page: Page, base: RuleBase, card: Card, number: int, of: int) -> None:
    """One card, with its number among those that are walked through."""
    page.title(f"{number} of {of} · {name_of(base, card)}")
    if isinstance(card.item, EvidenceRow):
        page.say(row_words(base, card.item))
        page.aside(f"Because: {card.item.because}", indent=2)
    elif isinstance(card.item, BenchTest):
        show_test(page, base, card.page)
    else:
        show_fix(page, base, card.page, (), "metric", {})
        for never in card.item.never_when:
            page.say(f"Never when {first_down(condition_words(base, never.when))}: {never.because}", indent=2)
    page.aside(f"It rests on: {'; '.join(source_words(base, name) for name in card.item.source)}", indent=2)
    page.aside(f"{card.place.file}:{card.place.line}", indent=2)
    page.aside(standing_words(card), indent=2)


def name_of(base: RuleBase, card: Card) -> str:
    """What the card is about, with the name of its page."""
    pages: Mapping[str, Mapping[str, BenchTest | Fix]] = {"test": base.tests, "fix": base.fixes}
    if card.kind == "cause":
        return f"{base.causes[card.page].name} [{card.page}]"
    return f"{pages[card.kind][card.page].name} [{card.kind} {card.page}]"


def source_words(base: RuleBase, name: str) -> str:
    """A source as it is cited."""
    source = base.sources[name]
    year = f"{source.year:.0f}" if source.year else ""
    return ", ".join(part for part in (source.author, source.title, year) if part)


def standing_words(card: Card) -> str:
    """Who stands behind it, and whether it still reads as it did."""
    review = card.review
    who = f" by {review.by} on {review.on}" if review and review.by and review.on else ""
    said = {
        "draft": f"Draft, last looked at{who}." if who else "Draft: nobody has reviewed it.",
        "changed": f"Reviewed{who}, and changed since, so it counts as a draft again.",
        "reviewed": f"Reviewed{who}.",
    }[card.standing]
    return f"{said} Remark: {review.remark}" if review and review.remark else said


def show_cards(page: Page, base: RuleBase, found: Sequence[Card], every: Sequence[Card]) -> None:
    """A list of what is not reviewed: what changed since first, then drafts; then how many there are."""
    folder = folder_of(card.place for card in found) if found else Path()
    page.say(f"Places are under {folder}." if found else "Nothing is left to review here.")
    for standing, head in (("changed", "Changed since it was reviewed"), ("draft", "Drafts")):
        these = [card for card in found if card.standing == standing]
        if these:
            page.head(f"{head}: {len(these)}")
        for card in these:
            says = row_words(base, card.item) if isinstance(card.item, EvidenceRow) else ""
            page.item("-", f"{name_of(base, card)}: {says}" if says else name_of(base, card))
            if card.review:
                page.aside(standing_words(card), indent=5)
            page.aside(short_place(card.place, folder), indent=5)
    reviewed = sum(card.standing == "reviewed" for card in every)
    page.blank()
    page.say(f"{reviewed} of {len(every)} rows, tests and fixes are reviewed.")


def strength_choices(base: RuleBase) -> dict[str, str]:
    """Every strength with what it means, weakest word for it first and then those against it."""
    table = base.words["strength"].values
    order = sorted(table, key=lambda word: (table[word] < 0, abs(table[word])))
    return {word: f"{strength_words(word)}: {_times(table[word])}" for word in order}


def _times(decibans: float) -> str:
    """How many times more or less often an answer is met with this cause at work."""
    times = 10 ** (abs(decibans) / 10)
    return f"met about {times:.2g} times {'more' if decibans > 0 else 'less'} often with this cause".replace(
        "1e+02", "100"
    )
