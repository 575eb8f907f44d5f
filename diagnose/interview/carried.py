"""What is known of a wine from its earlier cases, offered to a new one. Nothing is taken that was not confirmed."""

from __future__ import annotations

from collections.abc import Mapping

from diagnose.engine.facts import Value
from diagnose.knowledge.rule_base import RuleBase
from diagnose.present.cases import answer_line
from diagnose.present.console import Page
from diagnose.units import System

from .heard import dropped
from .lines import Lines


def offer(
    page: Page, lines: Lines, base: RuleBase, known: Mapping[str, Value], wine: str, units: System
) -> dict[str, Value]:
    """Show what earlier cases of this wine hold, and return what the person leaves in the list. Raises Stopped."""
    if not known:
        return {}
    page.head(f"Known of {wine} from earlier cases:")
    for number, (name, value) in enumerate(known.items(), 1):
        page.item(f"{number}", answer_line(base, name, value, units))
    out = dropped(page, lines, len(known))
    return {name: value for at, (name, value) in enumerate(known.items(), 1) if at not in out}
