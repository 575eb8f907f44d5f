"""Add a cause, a row of evidence, a test or a fix, by conversation."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

from diagnose.interview.form import Stopped, fill_in
from diagnose.knowledge.own import RuleFolders
from diagnose.mentoring.adding import Adding
from diagnose.mentoring.asking import choice
from diagnose.shipped import shipped_folder

from .review import make_desk, refuse_installed
from .setup import in_use
from .status import DONE, INCOMPLETE

KINDS = {
    "cause": "A cause: one thing that can be wrong",
    "evidence": "A row of evidence about a cause that is there",
    "test": "A test that helps to confirm a cause",
    "fix": "A fix that helps with a cause",
}


def add(rules: RuleFolders, kind: str | None, into: Path | None, worked: Path | None) -> int:
    """Ask for one new thing and its worked case, and keep both or nothing."""
    cases = worked or shipped_folder("cases")
    refuse_installed([cases])
    # A folder of one's own counts on top of the rest once it holds pages; before that there is nothing to read.
    if into and any(into.rglob("*.yaml")) and not _lies_in(into, in_use(rules)):
        rules = replace(rules, own=(*rules.own, into))
    desk = make_desk(rules, worked)
    desk.page.title("Something new for the rules")
    desk.page.say(
        "One question at a time. ? helps, back takes the last answer back, stop leaves all as it was."
    )
    try:
        if kind is None:
            asked = choice("kind", "What is it?", KINDS, "One thing at a time; the rest can be added later.")
            kind = fill_in(desk.page, desk.lines, [asked])["kind"]
        # A cause is new pages only; all else is also written into pages that are there.
        new_pages = [into] if into and kind == "cause" else in_use(rules).all
        refuse_installed(new_pages)
        kept = Adding(desk, kind, into, cases).run()
    except Stopped:
        desk.page.say("Stopped. Nothing was written.")
        return INCOMPLETE
    if not kept:
        desk.page.say("Nothing was written.")
        return INCOMPLETE
    return DONE


def _lies_in(into: Path, folders: RuleFolders) -> bool:
    return any(into.resolve().is_relative_to(one.resolve()) for one in folders.all)
