"""The list of what is due."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date

from diagnose.days.due import Due, Term
from diagnose.knowledge.rule_base import RuleBase

from .console import Page

HEADS: dict[Term, str] = {
    "late": "Late",
    "today": "Today",
    "this_week": "This week",
    "later": "Later",
    "no_day": "Without a day",
}


def show_due(page: Page, items: Sequence[Due], today: date, everything: bool) -> None:
    """What is late first, then today, then the week; `everything` shows also what is farther off."""
    page.title(f"What is due, seen from {today}")
    terms = [term for term in HEADS if everything or term != "later"]
    for term in terms:
        mine = [item for item in items if item.term(today) == term]
        if not mine:
            continue
        page.head(HEADS[term])
        for item in mine:
            page.item("-", _line(item, term))
            page.aside(item.command, indent=6)
    shown = [item for item in items if item.term(today) in terms]
    if not shown:
        page.say("Nothing waits.")
    left = len(items) - len(shown)
    if left:
        page.blank()
        page.aside(f"{left} more after this week: diagnose due --all")


def _line(item: Due, term: Term) -> str:
    wine = f" ({item.wine})" if item.wine else ""
    day = f"{item.day}: " if item.day and term != "today" else ""
    return f"{day}{summary(item, named=False)}{since_words(item)} · {item.case}{wine}"


def summary(item: Due, named: bool = True) -> str:
    """What is to be done, in one line; `named` adds the wine, or the case."""
    words = {
        "check": f"Check: {item.says}",
        "begun": f"Go on: {item.says}",
        "question": f"Find out: {item.says}",
        "trial": f"Read: {item.says}",
        "step": f"Do: {item.says}",
    }[item.kind]
    return f"{words} ({item.wine or item.case})" if named else words


def since_words(item: Due) -> str:
    """Since when it waits."""
    if item.since is None:
        return ""
    before = {"check": "done on", "begun": "begun on", "question": "put off on", "trial": "planned on"}
    return f", {before.get(item.kind, 'since')} {item.since}"


def described(base: RuleBase, item: Due) -> str:
    """What an entry of a calendar says: what to look at, and what records it."""
    check = base.fixes[item.about].check if item.kind == "check" else None
    look = f"{check.do}\nGood: {check.good}\n" if check else ""
    return f"{look}{summary(item, named=False)}{since_words(item)}.\nCase: {item.case}\nTo record it: {item.command}"
