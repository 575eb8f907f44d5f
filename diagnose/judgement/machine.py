"""A judgement in machine form: one JSON value with a documented, versioned schema."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Literal

from pydantic import BaseModel, ConfigDict, Field

from diagnose.knowledge.models.treatments import Fix
from diagnose.knowledge.rule_base import RuleBase
from diagnose.planning.fixes import Amount, FixAdvice, Reason
from diagnose.reasoning.questions import Candidate
from diagnose.reasoning.turning import turning_points
from diagnose.reasoning.weigh import UNKNOWN
from diagnose.units import canonical_unit

from .gates import gates_stand
from .judge import Cellar, Judged, doubts

SCHEMA_VERSION: Literal["2.0"] = "2.0"
"""Raised in its first number when a field changes its meaning or goes, in its second when one is added."""


class Out(BaseModel):
    """A piece of the machine form."""

    model_config = ConfigDict(extra="forbid", frozen=True)


class CauseOut(Out):
    """A cause, with its chance (0 to 1) and the word for how it stands."""

    id: str
    topic: str
    name: str
    probability: float = Field(ge=0, le=1)
    standing: Literal["confirmed", "likely", "possible", "unlikely"]
    confirmed_by: list[str] = Field(description="Findings that confirm it, by observation or state.")


class ReasonOut(Out):
    """A sentence, the rule it came from, and the rule's sources."""

    says: str
    rule: str
    sources: list[str]


class AmountOut(Out):
    """A number with its unit; `value` is null while an input is unknown."""

    id: str
    says: str
    value: float | None
    unit: str
    calculator: str
    inputs: dict[str, float | str] = Field(description="A text names the fact that is still unknown.")


class DoseOut(Out):
    """The usual range of a dose, and what the law or habit limits."""

    usual_low: float | None
    usual_high: float | None
    unit: str
    says: str
    limits: list[str]


class TestOut(Out):
    """A test worth doing."""

    id: str
    name: str
    where: Literal["cellar", "laboratory"]
    yields: list[str]
    reasons: list[ReasonOut]


class FixOut(Out):
    """A fix in the order it should be done. `locked` until one of `unlocked_by` confirms the cause."""

    id: str
    name: str
    chosen: bool = Field(description="Part of the plan; the others are locked, or could take its place.")
    locked: bool
    unlocked_by: list[str]
    can_be_undone: bool
    serves: dict[str, str] = Field(description="Cause ids, and how well it removes each.")
    dose: DoseOut | None
    amounts: list[AmountOut]
    reasons: list[ReasonOut]


class ForbiddenOut(Out):
    """A fix that must not be done here, and why."""

    id: str
    name: str
    reasons: list[ReasonOut]


class CautionOut(Out):
    """What can hurt a person, the wine, or the law."""

    id: str
    harms: Literal["person", "wine", "law"]
    says: str


class ChangeOut(Out):
    """An answer that would put another cause first in its topic."""

    observation: str
    answer: str
    topic: str
    first_cause: str


class ClashOut(Out):
    """Answers that cannot all be right; both are kept."""

    id: str
    says: str
    measure_again: list[str]


class GateOut(Out):
    """A gate before bottling; `value` is null where nothing is known of it."""

    id: str
    value: str | None
    because: list[str]
    find_out: list[str] = Field(description="Tests that would show more.")


class GatesOut(Out):
    """All gates of a kind, and the state that sums them up."""

    id: str
    verdict: str | None
    gates: list[GateOut]


class SourceOut(Out):
    """A source cited anywhere in this judgement."""

    id: str
    title: str
    author: str | None
    year: int | None
    seen: str


class JudgementOut(Out):
    """A whole judgement."""

    schema_version: Literal["2.0"] = SCHEMA_VERSION
    case: str
    topics: list[str] = Field(
        description="The kinds of trouble weighed: those that brought the person first, then those that were found."
    )
    rule_base: str
    complete: bool = Field(
        description="Whether a cause is likely for each trouble, or nothing more could be asked."
    )
    causes: list[CauseOut] = Field(
        description="Most likely first; `unknown` is something these rules do not know."
    )
    tests: list[TestOut]
    fixes: list[FixOut] = Field(
        description="Chosen ones in the order of work, then locked ones, then other ways."
    )
    forbidden: list[ForbiddenOut]
    cautions: list[CautionOut]
    would_change: list[ChangeOut]
    contradictions: dict[str, list[str]] = Field(description="Facts that were concluded with several values.")
    clashes: list[ClashOut] = Field(
        description="Answers that cannot all be right, and what to measure again."
    )
    gates: list[GatesOut] = Field(description="Whether the wine is ready for a step, such as bottling.")
    sources: list[SourceOut]


def is_complete(judged: Judged, open_questions: tuple[Candidate, ...]) -> bool:
    """Whether the advice stands on its own: a likely cause for each trouble, or nothing left to ask."""
    return all(first.is_likely for first in judged.firsts.values()) or not open_questions


def to_machine(
    cellar: Cellar, judged: Judged, open_questions: tuple[Candidate, ...], case: str
) -> JudgementOut:
    """The machine form of a judgement."""
    base, plan = cellar.base, judged.plan
    chosen = {item.fix for item in plan.steps}
    fixes = [_fix(base, item, item.fix in chosen) for item in (*plan.steps, *plan.locked, *plan.others)]
    tests = [
        TestOut(
            id=item.test,
            name=base.tests[item.test].name,
            where=base.tests[item.test].where,
            yields=list(base.tests[item.test].yields),
            reasons=_reasons(item.reasons),
        )
        for item in plan.tests
    ]
    forbidden = [
        ForbiddenOut(id=item.fix, name=base.fixes[item.fix].name, reasons=_reasons(item.forbidden_by))
        for item in plan.forbidden
    ]
    return JudgementOut(
        case=case,
        topics=list(judged.topics),
        rule_base=base.edition,
        complete=is_complete(judged, open_questions),
        causes=_causes(base, judged),
        tests=tests,
        fixes=fixes,
        forbidden=forbidden,
        cautions=[
            CautionOut(
                id=item.caution,
                harms=base.cautions[item.caution].harms,
                says=base.cautions[item.caution].says,
            )
            for item in plan.cautions
        ],
        would_change=[
            ChangeOut(
                observation=point.observation, answer=point.answer, topic=point.topic, first_cause=point.cause
            )
            for point in turning_points(judged.first_causes, doubts(cellar, judged))
        ],
        contradictions={
            name: [str(value) for value in values] for name, values in judged.contradictions.items()
        },
        clashes=[
            ClashOut(id=clash.clash, says=clash.says, measure_again=list(clash.measure_again))
            for clash in judged.clashes
        ],
        gates=[
            GatesOut(
                id=stand.gates,
                verdict=stand.verdict.value,
                gates=[
                    GateOut(
                        id=gate.state,
                        value=gate.value,
                        because=list(gate.because),
                        find_out=list(gate.find_out),
                    )
                    for gate in stand.each
                ],
            )
            for stand in gates_stand(cellar, judged)
        ],
        sources=_sources(cellar, judged),
    )


def _causes(base: RuleBase, judged: Judged) -> list[CauseOut]:
    return [
        CauseOut.model_validate(
            {
                "id": standing.cause,
                "topic": standing.topic,
                "name": "Something these rules do not know"
                if standing.cause == UNKNOWN
                else base.causes[standing.cause].name,
                "probability": min(1.0, standing.chance),
                "standing": standing.word,
                "confirmed_by": [fact.name for fact in standing.confirmed_by],
            }
        )
        for standing in judged.standings
    ]


def _fix(base: RuleBase, item: FixAdvice, chosen: bool) -> FixOut:
    page = base.fixes[item.fix]
    dose = None
    if page.dose:
        low, high = page.dose.usual or (None, None)
        unit = canonical_unit(page.dose.quantity)
        dose = DoseOut(
            usual_low=low, usual_high=high, unit=unit, says=page.dose.says, limits=list(page.dose.limit)
        )
    return FixOut(
        id=item.fix,
        name=page.name,
        chosen=chosen,
        locked=item.state == "locked",
        unlocked_by=list(item.unlocked_by),
        can_be_undone=page.can_be_undone == "yes",
        serves={serve.cause: serve.how_well for serve in item.serves},
        dose=dose,
        amounts=amounts_out(item.amounts),
        reasons=_reasons(item.offered_by),
    )


def amounts_out(amounts: tuple[Amount, ...]) -> list[AmountOut]:
    """The amounts of a fix in machine form."""
    return [
        AmountOut(
            id=amount.name,
            says=amount.says,
            value=amount.value,
            unit=canonical_unit(amount.quantity),
            calculator=amount.calculator,
            inputs=dict(amount.inputs),
        )
        for amount in amounts
    ]


def _reasons(reasons: tuple[Reason, ...]) -> list[ReasonOut]:
    return [ReasonOut(says=reason.says, rule=reason.rule, sources=list(reason.source)) for reason in reasons]


def _sources(cellar: Cellar, judged: Judged) -> list[SourceOut]:
    """Every source that stands behind something said here."""
    base, plan = cellar.base, judged.plan
    used: set[str] = set()
    # States, derived numbers, evidence, reasons and bans are all rules that spoke.
    for firing in judged.trace.firings:
        used.update(cellar.rules[firing.rule].source)
    for standing in judged.standings:
        if standing.cause != UNKNOWN:
            used.update(base.causes[standing.cause].common_source)
    for proposed in plan.tests:
        used.update(base.tests[proposed.test].source)
    for advice in (*plan.steps, *plan.locked, *plan.others):
        used.update(_behind_fix(base, base.fixes[advice.fix]))
    for caution in plan.cautions:
        used.update(base.cautions[caution.caution].source)
    return [
        SourceOut(
            id=name,
            title=base.sources[name].title,
            author=base.sources[name].author,
            year=int(year) if (year := base.sources[name].year) else None,
            seen=base.sources[name].seen,
        )
        for name in sorted(used)
    ]


def _behind_fix(base: RuleBase, fix: Fix) -> Iterator[str]:
    """The sources of a fix, of its dose with the limits on it, and of its trial."""
    yield from fix.source
    if fix.dose:
        yield from fix.dose.source
        for limit in fix.dose.limit:
            yield from base.limits[limit].source
    if fix.trial:
        yield from fix.trial.source
