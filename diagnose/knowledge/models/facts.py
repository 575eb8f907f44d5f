"""What is asked and concluded about the wine: observations, states and derived numbers. All become facts."""

from __future__ import annotations

from collections.abc import Mapping
from itertools import pairwise
from typing import Annotated, Any, Literal

from pydantic import Discriminator, Field, Tag, model_validator

from ..base import (
    AsTuple,
    FactName,
    Id,
    Ids,
    Item,
    Number,
    Range,
    RulePage,
    Sources,
    Text,
    Texts,
    Word,
    Words,
    mistake,
)
from ..conditions import Condition

Group = Literal["look", "smell_taste", "history", "tank", "meter", "test", "laboratory", "treatment"]
"""The headings under which questions are shown."""


class Band(Item):
    """A named stretch of a measured number, from `starts` up to the start of the next band."""

    starts: Number | None = None
    """Where the band begins; the value itself belongs to the band."""
    says: Text
    """How the band is shown."""


class RunEnds(Item):
    """What is done to a wine that begins its readings anew: fixes, and the words of a remark, all of them in it."""

    fixes: Ids = ()
    """Fixes that were done."""
    words: Texts = ()
    """Remarks; all words of one must stand in the remark, in any order."""


class FromLog(Item):
    """How the log of the wine answers a question."""

    take: Literal["latest", "trend", "loss"]
    """`latest` (the reading itself), `trend` (whether it falls or stands) or `loss` (by how much it falls)."""
    of: Ids = ()
    """Whose readings; its own where none are named."""
    falls: Word | None = None
    """The answer of a `trend` that falls."""
    stands: Word | None = None
    """The answers of a trend."""
    per_days: Number = 1.0
    """For how many days a `loss` is told; 1 unless you say otherwise."""
    times: Number = 1.0
    """How many times as large as the unit of the readings a `loss` is told; 1 unless you say otherwise."""
    least_days: Number = 0.0
    """From the first reading to the last, before standing still or a loss is believed."""
    run_ends_with: RunEnds | None = None
    """What is done to a wine after which its readings begin anew; on the page of the readings."""


class Observation(RulePage):
    """Something a person can see, measure or remember, and how to ask for it."""

    observe: Id
    """The name."""
    ask: Text
    """The question, as you would say it to a tired person."""
    short: Text
    """What it is called in a summary."""
    kind: Literal["yes_no", "choice", "several", "number"]
    """`yes_no`, `choice` (one answer), `several` (tick all that fit) or `number`."""
    choices: Mapping[Word, Text] = Field(default_factory=dict)
    """The answers: a word, then how it is shown."""
    quantity: Word | None = None
    """What is measured: a quantity with a unit."""
    plausible: Range | None = None
    """Lowest and highest value that can be right, `[low, high]`; anything outside is asked again."""
    slip: Text | None = None
    """The slip that a value outside `plausible` most likely is, such as a lost decimal point."""
    bands: Mapping[Word, Band] = Field(default_factory=dict)
    """Named stretches of a number."""
    nothing: Words = ()
    """The answers that mean I looked and there was nothing."""
    alone: Words | None = None
    """Answers that cannot be ticked beside others; where not given, those in `nothing`."""
    normally: Mapping[Word, Word] = Field(default_factory=dict)
    """For each answer, how often it is met in a sound wine: a word of the table `normally`."""
    why: Text
    """Why it is worth knowing; shown with the question."""
    how: Text
    """How to find out; shown when the person types `?`."""
    effort: Word
    """What the answer costs in work: a word of the table `effort`."""
    equipment: Texts = ()
    """What is needed."""
    group: Group
    """Under which heading it is shown."""
    stays: Literal["wine"] | None = None
    """`wine`: what was answered once for a wine does not change, and may be taken over into its next case."""
    ask_when: Condition | None = None
    """A condition; the question is asked only when it holds, also where it stands in a topic's `opening`."""
    instead_of: Id | None = None
    """Another question that this one answers by other means; asked only when that one is not known."""
    about: Id | None = None
    """The group its evidence belongs to."""
    from_log: FromLog | None = None
    """How readings of the log answer it; with `latest` of its own it is read again and again."""

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
        self._log_fits(what)
        return self

    def _log_fits(self, what: str) -> None:
        log = self.from_log
        if log is None:
            return
        if log.take == "trend" and (self.kind != "choice" or not (log.falls and log.stands)):
            mend = "A trend answers a `choice`, and needs `falls` and `stands`."
            raise mistake(f"{what} and takes a trend from the log without its two answers.", mend, "from_log")
        if log.take != "trend" and self.kind != "number":
            mend = "Take `from_log` out, or take the `trend`."
            raise mistake(f"{what}; the log gives it no number.", mend, "from_log")
        if log.take != "latest" and not log.of:
            mend = "Add `of:` with the question whose readings count."
            raise mistake(f"'{self.observe}' takes its {log.take} from no readings.", mend, "from_log")

    @property
    def is_logged(self) -> bool:
        """Whether it is read again and again, so that a log keeps it."""
        log = self.from_log
        return log is not None and log.take == "latest" and (not log.of or self.observe in log.of)

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
    rising = [(name, band.starts) for name, band in bands.items() if band.starts is not None]
    for (_, low), (name, high) in pairwise(rising):
        if high <= low:
            listed = ", ".join(f"{start:g}" for _, start in rising)
            what = f"bands must rise, and these start at {listed}."
            mend = "Put the lowest band first; no two may start at the same number."
            raise mistake(what, mend, f"bands.{name}.starts")


class StateRule(Item):
    """When a state of the wine has one of its values."""

    is_: Annotated[Word, Field(alias="is")]
    """The value."""
    when: Condition
    """A condition."""
    because: Text
    """The reason, as a sentence a person can read."""
    source: Sources
    """Where you have it from."""


class State(RulePage):
    """Something concluded about the wine from facts, and itself a fact for the next rule."""

    state: Id
    """The name."""
    name: Text
    """What it is called on the screen."""
    values: Mapping[Word, Text]
    """The values it may have: a word, then how it is shown."""
    nothing: Words = ()
    """The values that mean that nothing was found."""
    normally: Mapping[Word, Word] = Field(default_factory=dict)
    """For each of them, how often it is met in a sound wine: a word of the table `normally`."""
    about: Id | None = None
    """The group its evidence belongs to."""
    rules: Annotated[tuple[StateRule, ...], AsTuple]
    """When it has which value."""

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
    """The name of a calculator."""
    with_: Annotated[Mapping[Id, Input], Field(alias="with")]
    """For each thing it takes, the name of a fact that is a number, or a plain number."""


class Derived(RulePage):
    """A number worked out from other facts by a calculator."""

    derive: Id
    """The name."""
    name: Text
    """What it is called on the screen."""
    quantity: Word
    """What it measures: a quantity with a unit."""
    compute: Compute
    """The calculator and what it is given."""
    when: Condition | None = None
    """A condition; the sum is done only when it holds."""
    bands: Mapping[Word, Band] = Field(default_factory=dict)
    """Named stretches of the number."""
    nothing: Words = ()
    """The bands that mean that nothing was found."""
    normally: Mapping[Word, Word] = Field(default_factory=dict)
    """For each of them, how often it is met in a sound wine: a word of the table `normally`."""
    about: Id | None = None
    """The group its evidence belongs to."""
    because: Text
    """The reason."""
    source: Sources
    """Where you have it from."""

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


Observable = Observation | State | Derived
"""Everything that evidence and conditions can speak of."""
