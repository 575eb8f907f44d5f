"""The pages of the rule language: one model for each kind of item a rule file may hold.

The first key of an item says what it is: `observe`, `state`, `derive`, `cause`, `test`, `fix`, `caution`,
`rule`, `limit`, `source`, `topic`, `words`. Words whose list lives in the rule base itself (strengths, how
common, effort) are checked when the files are linked, so that the list stays in one place.
"""

from __future__ import annotations

from collections.abc import Mapping
from itertools import pairwise
from typing import Annotated, Any, Literal

from pydantic import BeforeValidator, Discriminator, Field, StringConstraints, Tag, model_validator

from .base import (
    VERSION_PATTERN,
    AsTuple,
    FactName,
    Id,
    Ids,
    Item,
    Number,
    Range,
    Sources,
    Text,
    Texts,
    Word,
    Words,
    mistake,
)
from .conditions import Condition

# ---------------------------------------------------------------- words, sources, limits, topics


class RuleBaseName(Item):
    """The name and version of a whole rule base; each case remembers the version it was judged with."""

    rule_base: Id
    version: Annotated[str, StringConstraints(pattern=VERSION_PATTERN)]
    about: Text


class WordTable(Item):
    """Words that carry a number, such as the strengths of evidence: one table, one place."""

    words: Id
    about: Text
    values: Mapping[Word, Number]
    because: Text
    source: Sources


class Source(Item):
    """Where a fact comes from. `seen` says whether it was read at the source or recalled."""

    source: Id
    title: Text
    author: Text | None = None
    year: Number | None = None
    place: Text | None = None
    url: Text | None = None
    seen: Literal["read", "quoted", "from_memory", "common_practice", "judgement"]
    note: Text | None = None


class Limit(Item):
    """A legal or usual limit: dated, sourced, and open to be overridden by the person."""

    limit: Id
    name: Text
    value: Number
    unit: Text
    jurisdiction: Word
    year_of_text: Number | None = None
    source: Sources
    note: Text | None = None


class OpeningStep(Item):
    """A question that every consultation of the topic begins with."""

    observe: Id
    when: Condition | None = None


class Topic(Item):
    """A kind of trouble a person comes with."""

    topic: Id
    name: Text
    complaint: Text
    opening: Annotated[tuple[OpeningStep, ...], AsTuple]
    unknown_cause: Text
    how_common_unknown: Word
    if_unknown: Texts


# ---------------------------------------------------------------- what is asked and concluded


class Band(Item):
    """A named stretch of a measured number, from `starts` up to the start of the next band."""

    starts: Number | None = None
    says: Text


class Observation(Item):
    """Something a person can see, measure or remember, and how to ask for it."""

    observe: Id
    ask: Text
    short: Text
    kind: Literal["yes_no", "choice", "several", "number"]
    choices: Mapping[Word, Text] = Field(default_factory=dict)
    quantity: Word | None = None
    plausible: Range | None = None
    slip: Text | None = None
    bands: Mapping[Word, Band] = Field(default_factory=dict)
    nothing: Words = ()
    alone: Words | None = None
    """Answers that cannot be ticked beside others; where not given, those in `nothing`."""
    normally: Mapping[Word, Word] = Field(default_factory=dict)
    why: Text
    how: Text
    effort: Word
    equipment: Texts = ()
    group: Word
    ask_when: Condition | None = None
    instead_of: Id | None = None
    """Another question that this one answers by other means; asked only when that one is not known."""
    about: Id | None = None

    @model_validator(mode="after")
    def _kind_fits(self) -> Observation:
        what = f"'{self.observe}' is a {self.kind}"
        if self.kind in ("choice", "several") and len(self.choices) < 2:
            raise mistake(f"{what} without choices.", "Give it at least two `choices`.", "kind")
        if self.kind in ("yes_no", "number") and self.choices:
            raise mistake(
                f"{what}; it takes no `choices`.", "Take `choices` out, or change `kind`.", "choices"
            )
        for key in ("quantity", "plausible"):
            if self.kind == "number" and getattr(self, key) is None:
                raise mistake(f"{what} without `{key}`.", f"Add `{key}:`; a number needs it.", "kind")
        for key in ("quantity", "plausible", "bands"):
            if self.kind != "number" and getattr(self, key):
                mend = f"Take `{key}` out, or make it `kind: number`."
                raise mistake(f"{what}; `{key}` is for numbers.", mend, key)
        check_bands(self.bands)
        return self

    @property
    def id(self) -> str:
        """The name of the fact an answer becomes."""
        return self.observe

    @property
    def answers(self) -> tuple[str, ...]:
        """The answer words evidence can speak of; none for a number without bands."""
        if self.kind == "yes_no":
            return ("yes", "no")
        return tuple(self.choices) or tuple(self.bands)

    @property
    def standing_alone(self) -> tuple[str, ...]:
        """Answers that cannot be ticked beside others."""
        return self.nothing if self.alone is None else self.alone

    @property
    def nothing_answers(self) -> tuple[str, ...]:
        """Answers that mean that nothing was found."""
        return self.nothing or (("no",) if self.kind == "yes_no" else ())


def check_bands(bands: Mapping[str, Band]) -> None:
    """Bands must start lowest first: the first without `starts`, each next one higher than the last."""
    starts = [band.starts for band in bands.values()]
    if not starts:
        return
    if starts[0] is not None or any(start is None for start in starts[1:]):
        what = "only the first band has no `starts`; it begins at the lowest value."
        raise mistake(
            what, "Take `starts` out of the first band, and give one to each of the others.", "bands"
        )
    rising = [start for start in starts[1:] if start is not None]
    if any(high <= low for low, high in pairwise(rising)):
        listed = ", ".join(f"{start:g}" for start in rising)
        what = f"bands must rise, and these start at {listed}."
        raise mistake(what, "Put the lowest band first; no two may start at the same number.", "bands")


class StateRule(Item):
    """When a state of the wine has one of its values."""

    is_: Annotated[Word, Field(alias="is")]
    when: Condition
    because: Text
    source: Sources


class State(Item):
    """Something concluded about the wine from facts, and itself a fact for the next rule."""

    state: Id
    name: Text
    values: Mapping[Word, Text]
    nothing: Words = ()
    normally: Mapping[Word, Word] = Field(default_factory=dict)
    about: Id | None = None
    rules: Annotated[tuple[StateRule, ...], AsTuple]

    @property
    def id(self) -> str:
        """The name of the fact."""
        return self.state

    @property
    def answers(self) -> tuple[str, ...]:
        """The values a state can have."""
        return tuple(self.values)

    @property
    def nothing_answers(self) -> tuple[str, ...]:
        """Values that mean that nothing was found."""
        return self.nothing or (("no",) if "no" in self.values else ())


def _fact_or_number(value: Any) -> str:
    return "~fact" if isinstance(value, str) else "~number"


# Tags that cannot be keys of a file, so that pydantic's path to a mistake stays ours.
Input = Annotated[
    Annotated[FactName, Tag("~fact")] | Annotated[Number, Tag("~number")], Discriminator(_fact_or_number)
]
"""What a calculator is given: a fact by name, or a plain number."""


class Compute(Item):
    """A call of a calculator: each parameter takes a fact by name, or a plain number."""

    calculator: Id
    with_: Annotated[Mapping[Id, Input], Field(alias="with")]


class Derived(Item):
    """A number worked out from other facts by a calculator."""

    derive: Id
    name: Text
    quantity: Word
    compute: Compute
    when: Condition | None = None
    bands: Mapping[Word, Band] = Field(default_factory=dict)
    nothing: Words = ()
    normally: Mapping[Word, Word] = Field(default_factory=dict)
    about: Id | None = None
    because: Text
    source: Sources

    @model_validator(mode="after")
    def _bands_fit(self) -> Derived:
        check_bands(self.bands)
        return self

    @property
    def id(self) -> str:
        """The name of the fact."""
        return self.derive

    @property
    def answers(self) -> tuple[str, ...]:
        """The names of the bands."""
        return tuple(self.bands)

    @property
    def nothing_answers(self) -> tuple[str, ...]:
        """Bands that mean that nothing was found."""
        return self.nothing


# ---------------------------------------------------------------- causes


class EvidenceRow(Item):
    """What one observation, or one combination of facts, says about a cause.

    Either `observe` with `says`, a strength word for each answer that speaks, or `when` with one `weight`.
    """

    observe: Id | None = None
    says: Mapping[Word, Word] = Field(default_factory=dict)
    when: Condition | None = None
    weight: Word | None = None
    because: Text
    source: Sources
    about: Id | None = None

    @model_validator(mode="after")
    def _one_form(self) -> EvidenceRow:
        by_answer = self.observe is not None and bool(self.says) and not (self.when or self.weight)
        by_condition = self.when is not None and self.weight is not None and not (self.observe or self.says)
        if not (by_answer or by_condition):
            what = "this evidence row is not of one form."
            raise mistake(what, "Write either `observe` and `says`, or `when` and `weight`, and no others.")
        return self


class Mimic(Item):
    """A look-alike, and what tells the two apart."""

    cause: Id
    told_apart_by: Ids
    how: Text


class Finding(Item):
    """Answers to one observation or state that count as a confirmation."""

    observe: Id
    answers: Words


class Cure(Item):
    """A fix for a cause, and how well it works."""

    fix: Id
    how_well: Word
    because: Text


class Review(Item):
    """Who stands behind a page."""

    status: Literal["draft", "reviewed"]
    by: Text | None = None
    on: Text | None = None

    @model_validator(mode="after")
    def _reviewed_names_someone(self) -> Review:
        if self.status == "reviewed" and not (self.by and self.on):
            what = "`reviewed` does not say by whom and when."
            raise mistake(what, "Add `by:` (initials) and `on:` (a date), or leave it a `draft`.", "status")
        return self


class Cause(Item):
    """One thing that can be wrong: a page a mentor can read."""

    cause: Id
    name: Text
    topic: Id
    summary: Text
    how_common: Word
    common_because: Text
    common_source: Sources
    evidence: Annotated[tuple[EvidenceRow, ...], AsTuple]
    mimics: Annotated[tuple[Mimic, ...], AsTuple] = ()
    confirmed_by: Annotated[tuple[Finding, ...], AsTuple] = ()
    cured_by: Annotated[tuple[Cure, ...], AsTuple]
    prevention: Texts = ()
    review: Review


# ---------------------------------------------------------------- tests, fixes, cautions


class Step(Item):
    """One step of a procedure. A caution named here is shown at this step."""

    do: Text
    caution: Ids = ()


Steps = Annotated[
    tuple[Step, ...],
    BeforeValidator(
        lambda steps: (
            tuple({"do": step} if isinstance(step, str) else step for step in steps)
            if isinstance(steps, list)
            else steps
        )
    ),
]


class BenchTest(Item):
    """A test a small cellar can do, or one that must go to a laboratory."""

    test: Id
    name: Text
    purpose: Text
    yields: Ids
    where: Literal["cellar", "laboratory"]
    hands_on: Word
    waiting: Word
    equipment: Texts
    only_if: Condition | None = None
    asked_for_when: Words = ("possible", "likely")
    """How a cause must stand for this test to be asked for as its confirmation."""
    steps: Steps
    reading: Texts
    pitfalls: Texts = ()
    cautions: Ids = ()
    source: Sources


class NeverWhen(Item):
    """A state of the wine in which a fix would do harm."""

    when: Condition
    because: Text
    source: Sources


class Quantity(Item):
    """A number shown in the steps of a fix, worked out for this vessel."""

    name: Id
    says: Text
    quantity: Word
    compute: Compute


class Dose(Item):
    """How much: usual range, its unit, and how the number for this wine is found."""

    quantity: Word
    usual: Range | None = None
    says: Text
    limit: Ids = ()
    source: Sources


class Trial(Item):
    """The bench trial that finds the dose."""

    kind: Literal["ladder", "yes_no"]
    says: Text
    ladder: Annotated[tuple[Number, ...], AsTuple] = ()
    stock: Text | None = None
    contact: Text | None = None
    settling: Text | None = None
    clear_ntu: Number | None = None
    """Turbidity up to which a jar counts as clear."""
    heat_rise_ntu: Mapping[Word, Number] = Field(default_factory=dict)
    """By colour of the wine: the rise on heating up to which a jar counts as stable."""
    agent_density_g_per_ml: Number | None = None
    """Density of the dry agent, for a stock made by weight."""
    finest: Number | None = None
    """A lowest dose no larger than this is not worth a lower ladder, in g/L."""
    answers: Mapping[Word, Word] = Field(default_factory=dict)
    """What the outcome of the trial answers: `observation` and a word for each outcome."""
    judge_by: Texts
    source: Sources


class Check(Item):
    """How to see whether a fix worked."""

    after: Text
    do: Text
    good: Text
    if_not: Text


class Follows(Item):
    """An order constraint: this fix comes after the named ones, and why."""

    fix: Id
    because: Text
    source: Sources


class Fix(Item):
    """Something that can be done about a cause, including leaving the wine alone."""

    fix: Id
    name: Text
    does: Text
    can_be_undone: Literal["yes", "no"]
    effort: Word
    cost: Word
    wine_loss: Word
    flavour_harm: Word
    never_when: Annotated[tuple[NeverWhen, ...], AsTuple] = ()
    offer_when: Condition | None = None
    dose: Dose | None = None
    trial: Trial | None = None
    prepare: Texts = ()
    quantities: Annotated[tuple[Quantity, ...], AsTuple] = ()
    steps: Steps
    cautions: Ids
    check: Check
    if_it_fails: Text
    comes_after: Annotated[tuple[Follows, ...], AsTuple] = ()
    source: Sources
    done_by: Literal["winemaker", "professional"] = "winemaker"


class Caution(Item):
    """What can hurt a person or the wine, and what to do about it."""

    caution: Id
    says: Text
    harms: Literal["person", "wine", "law"]
    source: Sources


# ---------------------------------------------------------------- free rules


class Forbid(Item):
    """A fix that must not be offered, and the reason a person is given."""

    fix: Ids
    because: Text


class Rule(Item):
    """A rule that asks for or withholds tests, offers or forbids fixes, or shows cautions."""

    rule: Id
    when: Condition
    request: Ids = ()
    withhold: Ids = ()
    offer: Ids = ()
    forbid: Annotated[tuple[Forbid, ...], AsTuple] = ()
    warn: Ids = ()
    because: Text
    source: Sources

    @model_validator(mode="after")
    def _does_something(self) -> Rule:
        if not (self.request or self.withhold or self.offer or self.forbid or self.warn):
            what = f"the rule '{self.rule}' does nothing."
            raise mistake(what, "Give it `request`, `withhold`, `offer`, `forbid` or `warn`.", "rule")
        return self


AnyItem = (
    RuleBaseName
    | WordTable
    | Source
    | Limit
    | Topic
    | Observation
    | State
    | Derived
    | Cause
    | BenchTest
    | Fix
    | Caution
    | Rule
)

KINDS: Mapping[str, type[AnyItem]] = {
    "rule_base": RuleBaseName,
    "words": WordTable,
    "source": Source,
    "limit": Limit,
    "topic": Topic,
    "observe": Observation,
    "state": State,
    "derive": Derived,
    "cause": Cause,
    "test": BenchTest,
    "fix": Fix,
    "caution": Caution,
    "rule": Rule,
}
"""The first key of an item, and the model it is checked by."""
