"""Go through rows of evidence, tests and fixes as cards, and say who stands behind them."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import click

from diagnose.casebook.answers import NotAnAnswer
from diagnose.interview.form import Stopped, fill_in
from diagnose.interview.lines import Typed
from diagnose.knowledge.own import RuleFolders
from diagnose.knowledge.problems import nearest
from diagnose.knowledge.read import read_rule_base
from diagnose.mentoring.asking import initials, read_initials
from diagnose.mentoring.desk import Desk
from diagnose.mentoring.reviewing import Reviewing
from diagnose.present.cards import show_cards
from diagnose.review.standing import cards
from diagnose.review.trying import case_files
from diagnose.shipped import shipped_folder

from .setup import in_use, make_page
from .status import DONE, INCOMPLETE


def make_desk(rules: RuleFolders, worked: Path | None) -> Desk:
    """The rules read and checked, with the worked cases a change is held against."""
    folders, page = in_use(rules), make_page()
    files = case_files([worked or shipped_folder("cases")])
    return Desk(page, Typed(page.console), folders, files, read_rule_base(folders.below, folders.own))


def review(rules: RuleFolders, topic: str | None, by: str | None, listed: bool, worked: Path | None) -> int:
    """Walk through what is not reviewed, or list it."""
    desk = make_desk(rules, worked)
    if topic and topic not in desk.base.topics:
        raise click.UsageError(f"'{topic}' is not a subject. {nearest(topic, desk.base.topics)}")
    every = [card for card in cards(desk.base) if topic is None or topic in card.topics]
    found = sorted(
        (card for card in every if card.standing != "reviewed"), key=lambda card: card.standing != "changed"
    )
    if listed:
        show_cards(desk.page, desk.base, found, every)
        return DONE
    try:
        who = read_initials(by) if by else fill_in(desk.page, desk.lines, [initials("by")])["by"]
    except NotAnAnswer as error:
        raise click.UsageError(str(error)) from error
    except Stopped:
        return INCOMPLETE
    walk = Reviewing(desk, who, date.today(), [(card.kind, card.page, card.row) for card in found])
    try:
        walk.run()
    except Stopped:
        desk.page.say(f"Stopped. {walk.accepted} accepted; everything said is kept.")
        return INCOMPLETE
    desk.page.say(f"That was all. {walk.accepted} accepted.")
    return DONE
