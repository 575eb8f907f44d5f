"""A case with its judgement, as all pages of a report need it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from diagnose.casebook.case import CaseState
from diagnose.casebook.models import CaseFile
from diagnose.judgement.judge import Cellar, Judged
from diagnose.knowledge.rule_base import RuleBase
from diagnose.present.words import cause_name


@dataclass(frozen=True)
class CaseJudged:
    """A case with its judgement, and the person's own figures for limits."""

    cellar: Cellar
    case: CaseFile
    state: CaseState
    judged: Judged
    own_limits: Mapping[str, float]

    @property
    def base(self) -> RuleBase:
        """The rules that judged."""
        return self.cellar.base

    def cause_name(self, cause: str) -> str:
        """The name of a cause, the unknown one included."""
        return cause_name(self.base, cause)
