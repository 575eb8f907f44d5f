"""Explanations in machine form: one JSON value with a documented, versioned schema."""

from __future__ import annotations

from typing import Literal

from pydantic import BaseModel, ConfigDict, Field

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
