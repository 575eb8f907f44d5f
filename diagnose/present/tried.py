"""The screens of cases tried: what was expected and what was found, and which rules never spoke."""

from __future__ import annotations

from collections.abc import Sequence

from diagnose.review.coverage import Covered
from diagnose.review.trying import Tried

from .console import Page

WANTED, FOUND = ("+", "green", "expected:"), ("-", "red", "found:")
"""The sign, the colour and the word for what should be there, and for what was found instead."""


def show_tried(page: Page, tried: Sequence[Tried]) -> None:
    """Each case that did not come out as expected, and how many did."""
    for item in tried:
        if not item.as_expected:
            page.item("x", f"{item.case}  ({item.file})", style="bold", says="not as expected:")
        for sentence in item.wrong:
            page.say(sentence, indent=5)
        for miss in item.missed:
            page.say(f"{miss.says}.", indent=5)
            for (mark, colour, says), side in ((WANTED, miss.wanted), (FOUND, miss.found)):
                if side:
                    page.item(mark, side, indent=6, style=colour, says=says)
    good = sum(item.as_expected for item in tried)
    page.say(
        f"{good} of {len(tried)} cases come out as expected."
        if tried
        else "There are no cases there; a case is a .yaml file."
    )


def show_coverage(page: Page, covered: Sequence[Covered]) -> None:
    """For each kind of page how many of its rules spoke in some case, then the silent ones with their places."""
    page.title("Which rules spoke in these cases")
    for kind in covered:
        part = f"{100 * kind.spoke / kind.rules:.0f} %"
        page.item("", f"{kind.kind:<14} {kind.spoke:>5} of {kind.rules:<5} {part:>6}")
    page.blank()
    page.say("A rule that never spoke has never been seen to work. These never spoke:")
    for kind in covered:
        for rule in kind.silent:
            page.item("-", f"{rule.id}  {rule.place.file}:{rule.place.line}")
