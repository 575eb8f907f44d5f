"""The steps of a test or a fix, each with its cautions where the step is."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from diagnose.knowledge.models.treatments import PLACEHOLDER, Step
from diagnose.knowledge.rule_base import RuleBase

from .console import Page

BLANK = "______"
"""What stands where a number is not known yet."""


def show_steps(page: Page, base: RuleBase, steps: Sequence[Step], amounts: Mapping[str, str]) -> set[str]:
    """Number the steps and fill in their amounts. Returns the cautions that were shown."""
    shown: set[str] = set()
    for number, step in enumerate(steps, 1):
        page.item(f"{number}.", fill(step.do, amounts))
        for caution in step.caution:
            shown.add(caution)
            page.warn(base.cautions[caution].says, indent=6)
    return shown


def fill(text: str, amounts: Mapping[str, str]) -> str:
    """A step with its amounts filled in; unknown ones become blanks."""
    return PLACEHOLDER.sub(lambda match: amounts.get(match.group(1), BLANK), text)
