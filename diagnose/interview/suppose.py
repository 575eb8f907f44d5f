"""Answers supposed, as a person types them."""

from __future__ import annotations

from collections.abc import Sequence

from diagnose.casebook.answers import NotAnAnswer, Units, read_answer
from diagnose.engine.facts import Value
from diagnose.explain.asked import NotMeant
from diagnose.knowledge.called import page_meant
from diagnose.knowledge.rule_base import RuleBase


def read_changes(
    base: RuleBase, units: Units, supposed: Sequence[str], without: Sequence[str]
) -> dict[str, Value | None]:
    """Answers as typed, `name=answer`, and the names of those to take away, which become None.

    Raises NotMeant for a question that is not surely meant, NotAnAnswer for what does not answer it.
    """
    changes: dict[str, Value | None] = {}
    for typed in supposed:
        name, equals, answer = typed.partition("=")
        if not equals:
            raise NotAnAnswer(f"'{typed[:40]}' supposes nothing; write name=answer, such as ph=3.4.")
        page = base.observations[_question(base, name)]
        try:
            changes[page.observe] = read_answer(page, answer.strip(), units)
        except NotAnAnswer as error:
            known = f" Known: {', '.join(page.answers)}." if page.kind != "number" else ""
            raise NotAnAnswer(f"{page.observe}: {error}{known}") from error
    for name in without:
        changes[_question(base, name)] = None
    return changes


def _question(base: RuleBase, typed: str) -> str:
    name, near = page_meant(typed, {name: page.short for name, page in base.observations.items()})
    if name is None:
        raise NotMeant(typed, near[:12])
    return name
