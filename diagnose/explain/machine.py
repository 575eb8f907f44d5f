"""Explanations in machine form: one JSON value with a documented, versioned schema."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import Literal

from pydantic import BaseModel, ConfigDict, Field

from diagnose.engine.facts import Value
from diagnose.knowledge.models.rules import NeverDone
from diagnose.knowledge.rule_base import RuleBase

from .asked import Explained
from .conditions import ConditionStands, RuleStands
from .plan import AmountFrom, WhyDose, WhyOrder, WhyQuestion
from .said import WhySaid
from .turns import Turns
from .what_if import Turned, WhatIf
from .why import Silent, Spoke, Step, WhyCause, WhyNot

SCHEMA_VERSION: Literal["1.0"] = "1.0"
"""Raised in its first number when a field changes its meaning or goes, in its second when one is added."""

ValueOut = str | float | list[str]


class Out(BaseModel):
    """A piece of the machine form."""

    model_config = ConfigDict(extra="forbid", frozen=True)


class StepOut(Out):
    """A fact and the rule that concluded it from the facts behind it; a leaf has no rule."""

    fact: str
    value: ValueOut = Field(description="A number is in the cellar unit.")
    by: Literal["answer", "weighing", "rule"] = Field(
        description="Given by the person, told by the weighing of causes, or concluded by a rule."
    )
    rule: str | None
    because: str
    sources: list[str]
    behind: list[StepOut]


class SpokeOut(Out):
    """A finding that spoke of a cause."""

    observe: str
    answer: str
    strength: str
    decibans: float = Field(description="What it says by itself.")
    here: float = Field(description="What it does to the odds in this case, in decibans; 0 for a repeat.")
    about: str = Field(description="The group of findings of which only the strongest counts.")
    repeats: str | None = Field(description="The finding that said the same already and was counted.")
    shared_with: list[str] = Field(description="Causes in play that would bring it too.")
    elsewhere: bool = Field(description="Whether causes of another kind of trouble bring it too.")
    because: str
    sources: list[str]
    rule: str
    behind: list[StepOut]


class ConditionOut(Out):
    """A condition of a rule, and how it stands."""

    fact: str
    form: Literal["test", "known", "unknown"]
    wanted: dict[str, ValueOut] = Field(description="Operators of the rule language with what is wanted.")
    negated: bool
    truth: Literal["true", "false", "unknown"]
    found: list[ValueOut]
    bound: float | None = Field(description="The number that is missed, in the cellar unit; or a chance.")
    gap: float | None = Field(description="What is missing of the bound; below 0 where the number must fall.")
    chance: float | None = Field(description="How likely the cause is whose standing is asked for.")


class RuleOut(Out):
    """A rule that did not speak, in the alternative that came nearest."""

    rule: str
    because: str
    sources: list[str]
    truth: Literal["true", "false", "unknown"]
    conditions: list[ConditionOut]


class SilentOut(Out):
    """A row of evidence that has not spoken."""

    observe: str
    looked: bool
    answer: str
    most: float = Field(description="The strongest it could say, in decibans.")
    would_say: dict[str, str]
    because: str
    sources: list[str]
    rule: RuleOut


class CauseWhyOut(Out):
    """Everything behind the chance of a cause."""

    cause: str
    chance: float
    standing: str
    prior: float
    how_common: str
    spoke: list[SpokeOut]
    silent: list[SilentOut]
    confirmed_by: list[str]
    could_confirm: dict[str, list[str]]


class DifferenceOut(Out):
    """A finding that parts two causes: what it says of each, in decibans."""

    observe: str
    answer: str
    winner: float
    other: float
    because: str


class NotOut(Out):
    """Why one cause goes before another."""

    winner: str
    other: str
    prior_gap: float = Field(description="How much more common the winner is, in decibans.")
    differences: list[DifferenceOut]
    not_so: list[SilentOut]
    never_looked: list[SilentOut]


class SaidOut(Out):
    """What rules say of a fix, a test, a caution or a question."""

    kind: Literal["fix", "test", "caution", "question"]
    id: str
    stands: str
    fired: list[StepOut]
    waiting: list[RuleOut]
    not_against: list[RuleOut]
    causes: list[CauseWhyOut]
    unlocked_by: list[str]
    answered: list[StepOut]


class InputOut(Out):
    """An input of a sum, and where it came from."""

    parameter: str
    unit: str
    fact: str | None
    value: float | None
    step: StepOut | None


class AmountWhyOut(Out):
    """An amount with its sum."""

    id: str
    says: str
    value: float | None
    quantity: str
    calculator: str
    formula: str
    refused: str | None
    inputs: list[InputOut]


class DoseWhyOut(Out):
    """The amounts of a fix."""

    fix: str
    amounts: list[AmountWhyOut]


class ComesAfterOut(Out):
    """A fix that comes after another, and why."""

    fix: str
    after: str
    because: str
    sources: list[str]


class OrderOut(Out):
    """The order of the plan, and what sets it."""

    steps: list[str]
    constraints: list[ComesAfterOut]


class QuestionOut(Out):
    """Why a question is asked, and what its answer was used for."""

    question: str
    answered: list[ValueOut]
    used_by: list[str]
    gain: float | None = Field(description="Expected fall in doubt about what to do, in bits.")
    cost: float = Field(description="Minutes of work.")
    test: str | None
    ask_when: list[ConditionOut]
    withheld: SaidOut


class NeverOut(Out):
    """A wrong way that is never offered."""

    id: str
    because: str
    instead: list[str]
    sources: list[str]


class SupposedOut(Out):
    """An answer supposed; null for not known. For a number, the stretch that it stands for."""

    question: str
    before: ValueOut | None = None
    after: ValueOut | None
    low: float | None = None
    high: float | None = None


class TurnedOut(Out):
    """Something that stood one way and stands another; null where nothing is said of it."""

    id: str
    before: str | None
    after: str | None


class MovedOut(Out):
    """A cause whose chance moves."""

    topic: str
    cause: str
    before: float | None
    after: float | None
    standing_before: str | None
    standing_after: str | None


class WhatIfOut(Out):
    """What moves when answers are supposed."""

    supposed: list[SupposedOut]
    first_causes: list[TurnedOut]
    causes: list[MovedOut]
    first_fix: TurnedOut | None
    fixes: list[TurnedOut]
    tests: list[TurnedOut]
    cautions: list[TurnedOut]
    gates: list[TurnedOut]
    clashes: list[TurnedOut]
    next_question: TurnedOut | None


class SetOut(Out):
    """A set of answers, and what would then be first."""

    answers: list[SupposedOut]
    becomes: str | None


class TriedOut(Out):
    """How far was searched among sets of one size."""

    size: int
    sets: int
    settled: int = Field(description="Judged, or shown by the weighing alone to turn nothing.")


class TurnsOut(Out):
    """The smallest sets of answers that turn what is first."""

    target: Literal["cause", "fix"]
    among: Literal["open", "given"]
    first: str | None
    size: int | None
    sets: list[SetOut]
    tried: list[TriedOut]


class ExplanationOut(Out):
    """One explanation: what it is about, in words, and one of the forms below; the others are null."""

    sentence: str
    paragraph: str
    cause: CauseWhyOut | None = None
    why_not: NotOut | None = None
    said: SaidOut | None = None
    dose: DoseWhyOut | None = None
    order: OrderOut | None = None
    question: QuestionOut | None = None
    never: NeverOut | None = None
    what_if: WhatIfOut | None = None
    turns: TurnsOut | None = None


class ExplanationsOut(Out):
    """All that was asked in one go."""

    schema_version: Literal["1.0"] = SCHEMA_VERSION
    case: str
    rule_base: str
    explanations: list[ExplanationOut]


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
                        low=move.low,
                        high=move.high,
                    )
                    for move in turn.moves
                ],
                becomes=turn.becomes,
            )
            for turn in found.found
        ],
        tried=[TriedOut(size=item.size, sets=item.sets, settled=item.settled) for item in found.tried],
    )
