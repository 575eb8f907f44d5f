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
    says: Text


class RunEnds(Item):
    """What is done to a wine that begins its readings anew: fixes, and the words of a remark, all of them in it."""

    fixes: Ids = ()
    words: Texts = ()


class FromLog(Item):
    """How the log of the wine answers a question."""

    take: Literal["latest", "trend", "loss"]
    of: Ids = ()
    """Whose readings; its own where none are named."""
    falls: Word | None = None
    stands: Word | None = None
    """The answers of a trend."""
    per_days: Number = 1.0
    times: Number = 1.0
    """A loss is told for so many days, and so many times as large as the unit of its readings."""
    least_days: Number = 0.0
    """From the first reading to the last, before standing still or a loss is believed."""
    run_ends_with: RunEnds | None = None


class Observation(RulePage):
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
    group: Group
    stays: Literal["wine"] | None = None
    """`wine`: what was answered once for a wine does not change, and may be taken over into its next case."""
    ask_when: Condition | None = None
    instead_of: Id | None = None
    """Another question that this one answers by other means; asked only when that one is not known."""
    about: Id | None = None
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


class State(RulePage):
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


class Derived(RulePage):
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


Observable = Observation | State | Derived
"""Everything that evidence and conditions can speak of."""
