"""The screen of what a change of the rules changes, what can hurt somebody first."""

from __future__ import annotations

from collections.abc import Sequence

from diagnose.knowledge.rule_base import RuleBase
from diagnose.review.impact import Change, Impact

from .console import Page

SHOWN = 40
"""Cases told one by one; the rest is counted."""
KINDS = {
    "first cause": "another first cause",
    "standing": "another word for how the first cause stands",
    "chance": "chances that moved by 0.02 or more",
    "plan": "another plan",
    "fix": "fixes that came or went",
    "forbidden": "fixes forbidden or no longer",
    "caution": "cautions that came or went",
    "test": "tests asked for or no longer",
    "withheld": "tests or questions withheld or no longer",
    "gate": "gates passed that were not",
    "topic": "another subject looked into",
}
"""What each kind of change is called when it is counted."""


def show_impact(page: Page, base: RuleBase, impact: Impact, unread: Sequence[str]) -> None:
    """First what guards less than before, then how many cases change, then each of them."""
    touched = impact.touched
    page.title("What the change of the rules changes")
    guarded = [case for case in touched if case.safety]
    if guarded:
        page.warn(
            f"In {len(guarded)} of {len(impact.cases)} cases something that guarded is gone. Look at these first."
        )
    for kind, says in KINDS.items():
        if impact.count(kind):
            page.item("-", f"{says}: {impact.count(kind)} of {len(impact.cases)} cases")
    if impact.asked:
        page.say(f"Questions asked over the worked cases: {impact.asked[0]} before, {impact.asked[1]} after.")
    if not touched:
        page.say(f"Nothing changes in {len(impact.cases)} cases.")
    for case in touched[:SHOWN]:
        page.head(case.name)
        for change in case.changes:
            _show_change(page, change)
        if case.asked and case.asked[0] != case.asked[1]:
            page.item("-", f"questions: {case.asked[0]}, then {case.asked[1]}")
    if len(touched) > SHOWN:
        page.say(f"{len(touched) - SHOWN} more cases change.")
    if unread:
        page.aside(f"Left out, since the rules of before cannot read them: {', '.join(unread)}")


def _show_change(page: Page, change: Change) -> None:
    moved = ", then ".join(part for part in (change.before, change.after) if part)
    text = f"{change.says}: {moved}" if moved and not change.safety else change.says
    if change.safety:
        page.warn(text, indent=2)
    else:
        page.item("-", f"{change.kind}: {text}" if change.kind not in change.says else text)
