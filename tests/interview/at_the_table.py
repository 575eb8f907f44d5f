"""A conversation without a terminal: lines are typed from a list, and the screen is read as one text."""

from __future__ import annotations

import io
from collections.abc import Mapping, Sequence
from pathlib import Path

from diagnose.casebook.store import new_case, open_case
from diagnose.engine.facts import Value
from diagnose.interview.session import Consultation
from diagnose.interview.talk import Talk
from diagnose.judgement.judge import Cellar
from diagnose.knowledge.read import read_rule_base
from diagnose.present.console import Page
from rich.console import Console

CELLAR = Cellar(read_rule_base([Path(__file__).resolve().parents[2] / "rules"]))
"""The shipped rules, made ready once."""


class Listed:
    """Lines from a list."""

    def __init__(self, lines: Sequence[str]) -> None:
        self.left = list(lines)

    def read(self, prompt: str) -> str | None:
        """The next line."""
        return self.left.pop(0) if self.left else None


def after_the_result(
    folder: Path,
    *lines: str,
    answers: Mapping[str, Value] | None = None,
    limits: Mapping[str, float] | None = None,
    trial: Mapping[str, object] | None = None,
) -> tuple[str, Mapping[str, Value]]:
    """What the screen shows when these lines are typed after the result, and the answers the case holds then.

    `answers` were given before, and `trial` planned before.
    """
    screen = io.StringIO()
    path = new_case(folder, "Invented", ("haze",), "metric", CELLAR.base)
    with open_case(path, CELLAR.base) as record:
        for name, value in (answers or {}).items():
            record.record("answered", name, value)
        if trial:
            record.record("trial_planned", data=trial)
        page = Page(Console(file=screen, width=100, color_system=None))
        Talk(page, Listed(lines), Consultation(CELLAR, record), limits or {}).after()
        return " ".join(screen.getvalue().split()), dict(record.state.answers)
