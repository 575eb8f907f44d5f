"""Explanations as found, put into their machine form."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import Literal

from diagnose.engine.facts import Value
from diagnose.knowledge.models.rules import NeverDone
from diagnose.knowledge.rule_base import RuleBase

from .asked import Explained
from .conditions import ConditionStands, RuleStands
from .machine import (
    AmountWhyOut,
    CauseWhyOut,
    ComesAfterOut,
    ConditionOut,
    DifferenceOut,
    DoseWhyOut,
    ExplanationOut,
    ExplanationsOut,
    InputOut,
    MovedOut,
    NeverOut,
    NotOut,
    OrderOut,
    QuestionOut,
    RuleOut,
    SaidOut,
    SetOut,
    SilentOut,
    SpokeOut,
    StepOut,
    SupposedOut,
    TriedOut,
    TurnedOut,
    TurnsOut,
    ValueOut,
    WhatIfOut,
)
from .plan import AmountFrom, WhyDose, WhyOrder, WhyQuestion
from .said import WhySaid
from .turns import Turns
from .what_if import Turned, WhatIf
from .why import Silent, Spoke, Step, WhyCause, WhyNot


def explanations_out(base: RuleBase, case: str, told: Sequence[ExplanationOut]) -> ExplanationsOut:
    """The whole value for one command."""
    return ExplanationsOut(case=case, rule_base=base.edition, explanations=list(told))


def explanation_out(found: Explained | WhatIf | Turns, sentence: str, paragraph: str) -> ExplanationOut:
    """One explanation in machine form, with its words."""
    out = ExplanationOut(sentence=sentence, paragraph=paragraph)
    if isinstance(found, WhyCause):
        return out.model_copy(update={"cause": _cause(found)})
    if isinstance(found, WhyNot):
        return out.model_copy(update={"why_not": _not(found)})
    if isinstance(found, WhySaid):
        return out.model_copy(update={"said": _said(found)})
    if isinstance(found, WhyDose):
        return out.model_copy(update={"dose": _dose(found)})
    if isinstance(found, WhyOrder):
        return out.model_copy(update={"order": _order(found)})
    if isinstance(found, WhyQuestion):
        return out.model_copy(update={"question": _question(found)})
    if isinstance(found, NeverDone):
        return out.model_copy(update={"never": _never(found)})
    if isinstance(found, WhatIf):
        return out.model_copy(update={"what_if": _what_if(found)})
    return out.model_copy(update={"turns": _turns(found)})


def value_out(value: Value) -> ValueOut:
    """A value as JSON holds it; ticked answers as a list."""
    return sorted(value) if isinstance(value, frozenset) else value


def _step(step: Step) -> StepOut:
    by: Literal["answer", "weighing", "rule"] = "rule" if step.rule else "answer"
    if step.rule is None and step.fact.name.startswith("cause."):
        by = "weighing"
    return StepOut(
        fact=step.fact.name,
        value=value_out(step.fact.value),
        by=by,
        rule=step.rule,
        because=step.because,
        sources=list(step.source),
        behind=_steps(step.behind),
    )


def _steps(steps: Iterable[Step]) -> list[StepOut]:
    return [_step(step) for step in steps]


def _spoke(item: Spoke) -> SpokeOut:
    return SpokeOut(
        observe=item.observe,
        answer=item.answer,
        strength=item.strength,
        decibans=item.decibans,
        here=item.here,
        about=item.about,
        repeats=item.repeats,
        shared_with=list(item.shared_with),
        elsewhere=item.elsewhere,
        because=item.because,
        sources=list(item.source),
        rule=item.rule,
        behind=_steps(item.chain),
    )


def _condition(item: ConditionStands) -> ConditionOut:
    return ConditionOut(
        fact=item.name,
        form=item.form,
        wanted={
            operator: list(wanted) if isinstance(wanted, tuple) else wanted for operator, wanted in item.parts
        },
        negated=item.negated,
        truth=item.truth.value,
        found=[value_out(value) for value in item.found],
        bound=item.bound,
        gap=item.gap,
        chance=item.chance,
    )


def _rule(item: RuleStands) -> RuleOut:
    return RuleOut(
        rule=item.rule,
        because=item.because,
        sources=list(item.source),
        truth=item.truth.value,
        conditions=[_condition(condition) for condition in item.conditions],
    )


def _silent(item: Silent) -> SilentOut:
    return SilentOut(
        observe=item.observe,
        looked=item.looked,
        answer=item.answer,
        most=item.most,
        would_say=dict(item.would_say),
        because=item.because,
        sources=list(item.source),
        rule=_rule(item.stands),
    )


def _cause(why: WhyCause) -> CauseWhyOut:
    return CauseWhyOut(
        cause=why.cause,
        chance=why.chance,
        standing=why.word,
        prior=why.prior,
        how_common=why.how_common,
        spoke=[_spoke(item) for item in why.spoke],
        silent=[_silent(item) for item in why.silent],
        confirmed_by=[fact.name for fact in why.confirmed_by],
        could_confirm={name: list(answers) for name, answers in why.could_confirm},
    )


def _not(why: WhyNot) -> NotOut:
    return NotOut(
        winner=why.winner,
        other=why.other,
        prior_gap=why.prior_gap,
        differences=[DifferenceOut.model_validate(vars(item)) for item in why.differences],
        not_so=[_silent(item) for item in why.not_so],
        never_looked=[_silent(item) for item in why.never_looked],
    )


def _said(why: WhySaid) -> SaidOut:
    return SaidOut(
        kind=why.kind,
        id=why.name,
        stands=why.stands,
        fired=_steps(why.fired),
        waiting=[_rule(item) for item in why.waiting],
        not_against=[_rule(item) for item in why.not_against],
        causes=[_cause(item) for item in why.causes],
        unlocked_by=list(why.advice.unlocked_by) if why.advice else [],
        answered=_steps(why.answered),
    )


def _amount(item: AmountFrom) -> AmountWhyOut:
    return AmountWhyOut(
        id=item.amount.name,
        says=item.amount.says,
        value=item.amount.value,
        quantity=item.amount.quantity,
        calculator=item.amount.calculator,
        formula=item.formula,
        refused=item.refused,
        inputs=[
            InputOut(
                parameter=part.parameter,
                unit=part.unit,
                fact=part.name,
                value=part.value,
                step=_step(part.step) if part.step else None,
            )
            for part in item.inputs
        ],
    )


def _dose(why: WhyDose) -> DoseWhyOut:
    return DoseWhyOut(fix=why.fix, amounts=[_amount(item) for item in why.amounts])


def _order(why: WhyOrder) -> OrderOut:
    return OrderOut(
        steps=list(why.steps),
        constraints=[
            ComesAfterOut(fix=item.fix, after=item.after, because=item.because, sources=list(item.source))
            for item in why.constraints
        ],
    )


def _question(why: WhyQuestion) -> QuestionOut:
    return QuestionOut(
        question=why.question,
        answered=[value_out(fact.value) for fact in why.answered],
        used_by=list(why.used_by),
        gain=why.candidate.gain if why.candidate else None,
        cost=why.cost,
        test=why.test,
        ask_when=[_condition(item) for item in why.ask_when],
        withheld=_said(why.withheld),
    )


def _never(page: NeverDone) -> NeverOut:
    return NeverOut(
        id=page.never_done, because=page.because, instead=list(page.instead), sources=list(page.source)
    )


def _turned(items: Iterable[Turned]) -> list[TurnedOut]:
    return [TurnedOut(id=item.name, before=item.before, after=item.after) for item in items]


def _what_if(found: WhatIf) -> WhatIfOut:
    first_fix, asked = ([*_turned([item] if item else [])] for item in (found.first_fix, found.next_question))
    return WhatIfOut(
        supposed=[
            SupposedOut(
                question=item.name,
                before=None if item.before is None else value_out(item.before),
                after=None if item.after is None else value_out(item.after),
            )
            for item in found.altered
        ],
        first_causes=_turned(found.first_causes),
        causes=[
            MovedOut(
                topic=item.topic,
                cause=item.cause,
                before=item.before,
                after=item.after,
                standing_before=item.word_before,
                standing_after=item.word_after,
            )
            for item in found.causes
        ],
        first_fix=first_fix[0] if first_fix else None,
        fixes=_turned(found.fixes),
        tests=_turned(found.tests),
        cautions=_turned(found.cautions),
        gates=_turned(found.gates),
        clashes=_turned(found.clashes),
        next_question=asked[0] if asked else None,
    )


def _turns(found: Turns) -> TurnsOut:
    return TurnsOut(
        target=found.target,
        among=found.among,
        first=found.first,
        size=found.size,
        sets=[
            SetOut(
                answers=[
                    SupposedOut(
                        question=move.name,
                        after=None if move.value is None else value_out(move.value),
                        low=None if move.alone else move.low,
                        high=None if move.alone else move.high,
                    )
                    for move in turn.moves
                ],
                becomes=turn.becomes,
            )
            for turn in found.found
        ],
        tried=[TriedOut(size=item.size, sets=item.sets, settled=item.settled) for item in found.tried],
    )
