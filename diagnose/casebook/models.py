"""A case file: a head, then dated events, only ever added to. The state of a case is its events replayed.

A worked case (for demonstration and regression) may give its `facts` at once and say what is expected.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Annotated, Any, Literal, get_args

from pydantic import BeforeValidator, Field, StringConstraints, model_validator

from diagnose.bounds import MOST_EVENTS, MOST_FACTS
from diagnose.knowledge.base import AlsoWritten, AsTuple, Id, Ids, Item, Number, Text, Texts, mistake

CASE_FORMAT: Literal[2] = 2
"""The version of the case file format. 2 knows the days after the advice: readings, what was done, checks."""

Written = str | Number | Annotated[tuple[str, ...], AsTuple]
"""An answer as written in a file: a word, a number (or text with a unit), or a list of words."""

Moment = Annotated[str, StringConstraints(pattern=r"^\d{4}-\d{2}-\d{2}([T ].+)?$")]


ABOUT_A_QUESTION = ("answered", "skipped", "put_off", "took_back")
"""What can happen to a question."""

ABOUT_A_FIX = ("done", "checked")
"""What can happen to a fix."""

Found = Literal["good", "not_good", "unsure"]
"""How a check of a fix came out."""


Ended = Literal["solved", "not_solved", "given_up"]
"""How a case ended."""


class Event(Item):
    """One thing that happened."""

    at: Moment
    did: Literal[
        "answered",
        "skipped",
        "put_off",
        "took_back",
        "read",
        "done",
        "checked",
        "noted",
        "trial_planned",
        "trial_read",
        "dose_chosen",
        "shown",
        "closed",
        "opened_again",
    ]
    about: Id | None = None
    value: Written | None = None
    data: Mapping[str, Any] = Field(default_factory=dict)

    @model_validator(mode="after")
    def _complete(self) -> Event:
        if self.did in ABOUT_A_QUESTION and self.about is None:
            raise ValueError(f"an event '{self.did}' needs `about`, the name of the question")
        if self.did == "answered" and self.value is None:
            raise ValueError("an event 'answered' needs a `value`")
        if self.did == "read" and (self.about is None or self.value is None):
            raise ValueError("an event 'read' needs `about`, what was measured, and its `value`")
        if self.did in ABOUT_A_FIX and self.about is None:
            raise ValueError(f"an event '{self.did}' needs `about`, the name of the fix")
        if self.did == "checked" and self.value not in get_args(Found):
            raise ValueError(f"an event 'checked' needs a `value`: {', '.join(get_args(Found))}")
        if self.did == "closed" and self.value not in get_args(Ended):
            raise ValueError(f"an event 'closed' needs a `value`: {', '.join(get_args(Ended))}")
        return self


def _at_most(most: int, called: str, mend: str) -> BeforeValidator:
    """A list or mapping of too many entries is refused before they are looked at."""

    def bounded(value: Any) -> Any:
        if isinstance(value, list | tuple | dict) and len(value) > most:
            raise mistake(f"this case has {len(value):,} {called}; {most:,} are the most.", mend)
        return value

    return BeforeValidator(bounded)


_EVENTS = _at_most(MOST_EVENTS, "events", "Begin a new case for this wine.")
_FEW = _at_most(MOST_FACTS, "entries here", "Is it the right file? Take out what is no answer.")
_OR_NONE_YET = BeforeValidator(lambda value: value or ())
"""A new case has the key and nothing under it yet."""


class KeptBench(Item):
    """What stood on the bench: `strength` is g/L, or % by weight where the stock is weighed; the rest mL or g."""

    sample_ml: Number
    weighed: bool
    strength: Number
    smallest: Number
    step: Number


class PlannedBeside(Item):
    """The ladder of a second agent, tried side by side with the first."""

    fix: Id
    doses: Annotated[tuple[Number, ...], AsTuple]
    bench: KeptBench


class PlannedTrial(Item):
    """The `data` of an event `trial_planned`: enough to set the trial up again on another day."""

    fix: Id
    doses: Annotated[tuple[Number, ...], AsTuple]
    bench: KeptBench
    seed: Annotated[int, Field(ge=0)] | None = None
    """What the codes of the blind glasses were drawn with; none in a file from before there were codes."""
    replicates: Annotated[int, Field(ge=1, le=6)] = 1
    """Equal jars of each dose and of the control."""
    second: PlannedBeside | None = None


def kept_plan(data: Mapping[str, Any]) -> dict[str, Any]:
    """The `data` of an event `trial_planned` as plain values. Raises ValueError when it is not a plan."""
    return PlannedTrial.model_validate(data).model_dump()


class DoneWork(Item):
    """The `data` of an event `done`: what was really added, in cellar units, and which step if not all of it."""

    amounts: Mapping[Id, Number] = Field(default_factory=dict)
    step: Annotated[int, Field(ge=1)] | None = None
    note: Text | None = None


class CheckedWork(Item):
    """The `data` of an event `checked`."""

    note: Text | None = None


class Expected(Item):
    """What a worked case must come out as."""

    first_cause: Id | None = None
    among_first: Ids = ()
    also_likely: Ids = ()
    standing: Literal["confirmed", "likely", "possible"] | None = None
    first_fix: Id | None = None
    fixes: Ids = ()
    locked: Ids = ()
    cautions: Ids = ()
    tests: Ids = ()
    never_offered: Ids = ()
    healthy: Literal["yes"] | None = None
    """A sound wine: no fault becomes likely, and nothing is treated."""
    because: Text


class TourStop(Item):
    """Where the guided tour stops, and what it tells there of the screen above."""

    at: Id
    """The question that is open, or `result` once the result is shown."""
    before: Text
    """The line that is typed next; the tour stops before it."""
    title: Text
    """What it is about, in a few words."""
    says: Text
    """What stands on the screen, and which key does what."""


class Tour(Item):
    """The demonstration as a guided tour."""

    answers: Mapping[Id, Texts] = Field(default_factory=dict)
    """The lines typed at a question, instead of those of the demonstration."""
    afterwards: Texts
    """The lines typed once the result is shown, instead of those of the demonstration."""
    stops: Annotated[tuple[TourStop, ...], AsTuple]
    """Where it stops, in this order."""


class Demonstration(Item):
    """What a person would type, so that a case can be played: at each question, and once the result is shown.

    `answers` holds the lines typed at a question, the last one settling it; other questions are skipped.
    """

    answers: Mapping[Id, Texts]
    afterwards: Texts
    tour: Tour | None = None


class CaseFile(Item):
    """A case as it stands in its file."""

    case: Id
    title: Text
    topic: Id = "haze"
    also: Annotated[Ids, _FEW] = ()
    """Other kinds of trouble that the person came with."""
    case_format: Literal[1, 2] = CASE_FORMAT
    wine: Text | None = None
    """Which wine of the cellar this is about; several cases may be about one."""
    units: Literal["metric", "us"] = "metric"
    rule_base: Text | None = None
    invented: Literal["yes"] | None = None
    story: Text | None = None
    facts: Annotated[Mapping[Id, Written], _FEW] = Field(default_factory=dict)
    skipped: Annotated[Ids, _FEW] = ()
    expect: Expected | None = None
    demonstration: Demonstration | None = None
    events: Annotated[tuple[Event, ...], AsTuple, _EVENTS, _OR_NONE_YET, AlsoWritten({"type": "null"})] = ()

    @property
    def topics(self) -> tuple[str, ...]:
        """Everything that brought the person, the main trouble first."""
        return tuple(dict.fromkeys((self.topic, *self.also)))
