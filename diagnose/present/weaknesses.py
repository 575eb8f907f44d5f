"""The weaknesses of a rule base, kind by kind, each with its place and the mend; then those accepted, with reasons."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import Any

from diagnose.review.weakness import KINDS, Weakness

from .console import Page
from .places import folder_of, short_place


def show_weaknesses(page: Page, found: Sequence[Weakness], left_out: Sequence[str] = ()) -> None:
    """What a mentor should look at. `left_out` are kinds that were not looked for, for want of worked cases."""
    folder = folder_of(weak.place for weak in found)
    page.say(
        "Weaknesses of the rules. None is a mistake: the rules work as they stand, and a mentor decides."
    )
    if found:
        page.say(f"Places are under {folder}.")
    left = [weak for weak in found if not weak.accepted]
    for kind, meaning in KINDS.items():
        of_kind = [weak for weak in left if weak.kind == kind]
        if of_kind:
            page.title(f"{meaning} [{kind}]: {len(of_kind)}")
            _show_kind(page, of_kind, folder)
    _show_accepted(page, [weak for weak in found if weak.accepted], folder)
    page.blank()
    if left_out:
        page.say(f"Not looked for, since no cases were given: {', '.join(left_out)}.")
    page.say(
        f"{_many(len(left))} left to look at; {len(found) - len(left)} accepted with a reason.", style="bold"
    )


def _show_kind(page: Page, found: Sequence[Weakness], folder: Path) -> None:
    """Each with its place; the mend once, after the last of those it mends."""
    for mend in dict.fromkeys(weak.mend for weak in found):
        for weak in found:
            if weak.mend == mend:
                page.item("-", f"{weak.what[:1].upper()}{weak.what[1:]}")
                page.aside(short_place(weak.place, folder), indent=5)
        page.item("→", mend, says="mend:")


def _show_accepted(page: Page, found: Sequence[Weakness], folder: Path) -> None:
    if found:
        page.title(f"Accepted, and why: {len(found)}")
    for reason in dict.fromkeys(weak.accepted for weak in found):
        page.item("=", reason, says="accepted:")
        for weak in found:
            if weak.accepted == reason:
                page.aside(f"{weak.kind}, {short_place(weak.place, folder)}", indent=5)


def _many(count: int) -> str:
    return f"{count} {'weakness' if count == 1 else 'weaknesses'}"


def weaknesses_out(found: Sequence[Weakness], left_out: Sequence[str]) -> Mapping[str, Any]:
    """The same for another program."""
    return {
        "schema_version": 1,
        "left": sum(not weak.accepted for weak in found),
        "accepted": sum(bool(weak.accepted) for weak in found),
        "not_looked_for": list(left_out),
        "weaknesses": [
            {
                "kind": weak.kind,
                "page": weak.page,
                "part": weak.part,
                "file": weak.place.file,
                "line": weak.place.line,
                "what": weak.what,
                "mend": weak.mend,
                "accepted": weak.accepted or None,
            }
            for weak in found
        ],
    }
