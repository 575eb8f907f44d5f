"""What a person asks about: a cause, a fix, its dose, the order of work, a test, a caution or a question."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal, TypeAlias

from diagnose.judgement.judge import Cellar, Judged
from diagnose.knowledge.called import names_of, page_meant, pages_meant
from diagnose.knowledge.models.rules import NeverDone
from diagnose.knowledge.rule_base import RuleBase
from diagnose.reasoning.weigh import UNKNOWN

from .plan import WhyDose, WhyOrder, WhyQuestion, why_dose, why_order, why_question
from .said import WhySaid, why_said
from .why import WhyCause, WhyNot, why_cause, why_not

Kind = Literal["cause", "fix", "never_done", "test", "question", "caution", "dose", "order"]

Explained: TypeAlias = "WhyCause | WhyNot | WhySaid | WhyDose | WhyOrder | WhyQuestion | NeverDone"
"""Whatever can be asked why."""


class NotMeant(LookupError):
    """Nothing, or more than one thing, is meant by what was typed; `near` may be."""

    def __init__(self, typed: str, near: tuple[str, ...]) -> None:
        self.near = near
        super().__init__(f"Nothing that is surely meant by '{typed[:40]}'. Near: {', '.join(near)}.")


@dataclass(frozen=True)
class About:
    """One thing asked about. An order may be about several fixes, or none."""

    kind: Kind
    names: tuple[str, ...]


def pages_of(base: RuleBase) -> Mapping[Kind, Mapping[str, str]]:
    """Everything that can be asked about, by kind, with what it is called. Kinds named first go first."""
    causes = {name: page.name for name, page in base.causes.items()}
    fixes = names_of(base.fixes)
    return {
        "cause": {UNKNOWN: "Something these rules do not know", **causes},
        "fix": fixes,
        "never_done": names_of(base.never_done),
        "test": {name: page.name for name, page in base.tests.items()},
        "question": {name: page.short for name, page in base.observations.items()},
        "caution": {name: page.says for name, page in base.cautions.items()},
        "dose": fixes,
        "order": fixes,
    }


def asked_about(base: RuleBase, judged: Judged, typed: str) -> About:
    """What a person means. The kind may stand before the name, as in `dose bentonite`; `order` may stand alone.

    Raises NotMeant where nothing is surely meant.
    """
    words = " ".join(typed.lower().split())
    kind, _, name = words.partition(" ")
    if kind == "order":
        return About("order", _fixes_named(base, name))
    if kind == "dose" and not name and judged.plan.steps:
        return About("dose", (judged.plan.steps[0].fix,))
    for known, pages in pages_of(base).items():
        if kind == known and name:
            return About(known, (_surely(name, pages),))
    return _of_any_kind(base, words)


def _fixes_named(base: RuleBase, typed: str) -> tuple[str, ...]:
    fixes = names_of(base.fixes)
    parts = [part for part in re.split(r" before | after | and |, ?", typed) if part.strip()]
    return tuple(_surely(part, fixes) for part in parts)


def _surely(typed: str, pages: Mapping[str, str]) -> str:
    name, near = page_meant(typed, pages)
    if name is None:
        raise NotMeant(typed, near)
    return name


def _of_any_kind(base: RuleBase, typed: str) -> About:
    """An id goes before a part of one, and a cause or a fix before what is asked about more rarely."""
    kinds = [(kind, pages) for kind, pages in pages_of(base).items() if kind not in ("dose", "order")]
    wanted = typed.replace(" ", "_").replace("-", "_")
    for kind, pages in kinds:
        if wanted in pages:
            return About(kind, (wanted,))
    leading = ("cause", "fix", "never_done")
    for tier in (
        [item for item in kinds if item[0] in leading],
        *([item] for item in kinds if item[0] not in leading),
    ):
        found = [(kind, name) for kind, pages in tier for name in pages_meant(typed, pages)]
        if len(found) == 1:
            return About(found[0][0], (found[0][1],))
        if found:
            raise NotMeant(typed, tuple(name for _, name in found[:12]))
    everything = {name: called for _, pages in kinds for name, called in pages.items()}
    raise NotMeant(typed, page_meant(typed, everything)[1])


def explain(cellar: Cellar, judged: Judged, about: About) -> Explained:
    """Why: everything behind what is asked about. Raises NotMeant for a cause of trouble that was not weighed."""
    base, name = cellar.base, about.names[0] if about.names else ""
    if about.kind == "cause":
        _weighed(judged, name)
        return why_cause(cellar, judged, name)
    if about.kind == "fix" or about.kind == "test" or about.kind == "caution":
        return why_said(cellar, judged, about.kind, name)
    if about.kind == "never_done":
        return base.never_done[name]
    if about.kind == "dose":
        return why_dose(cellar, judged, name)
    if about.kind == "order":
        return why_order(cellar, judged, about.names)
    return why_question(cellar, judged, name)


def explain_not(cellar: Cellar, judged: Judged, about: About) -> Explained:
    """Why not: for a cause, what parted it from the first; for all else the same as why."""
    if about.kind != "cause":
        return explain(cellar, judged, about)
    _weighed(judged, about.names[0])
    return why_not(cellar, judged, about.names[0])


def _weighed(judged: Judged, cause: str) -> None:
    if all(item.cause != cause for item in judged.standings):
        raise NotMeant(cause, tuple(dict.fromkeys(item.cause for item in judged.standings[:6])))


def first_asked(judged: Judged) -> tuple[About, ...]:
    """What is explained where nothing is named: the first cause, and the first fix."""
    found = [About("cause", (judged.first.cause,))]
    if judged.plan.steps:
        found.append(About("fix", (judged.plan.steps[0].fix,)))
    return tuple(found)
