"""Go through rows of evidence, tests and fixes as cards, and say who stands behind them."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date
from pathlib import Path

import click

from diagnose.casebook.answers import NotAnAnswer
from diagnose.casebook.store import CannotKeep
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
from diagnose.shipped import is_installed, shipped_folder

from .setup import in_use, make_page
from .status import DONE, INCOMPLETE


def make_desk(rules: RuleFolders, worked: Path | None) -> Desk:
    """The rules read and checked, with the worked cases a change is held against."""
    folders, page = in_use(rules), make_page()
    files = case_files([worked or shipped_folder("cases")])
    return Desk(page, Typed(page.console), folders, files, read_rule_base(folders.below, folders.own))


def refuse_installed(folders: Iterable[Path]) -> None:
    """Raise CannotKeep for a folder that came with the installation, before anybody is asked anything."""
    for folder in filter(is_installed, folders):
        raise CannotKeep(
            f"{folder} came along with the program, and its next version would overwrite what is written there. "
            "Copy the folders `rules` and `cases` that lie there to a place of your own, and name them: "
            "`diagnose --rules my_rules review --worked my_cases`."
        )


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
    refuse_installed(in_use(rules).all)
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
