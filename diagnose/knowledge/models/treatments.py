"""What is done at the bench and at the vessel: tests, fixes with their trials and doses, and cautions."""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import Annotated, Literal

from pydantic import BeforeValidator, Field, model_validator

from ..base import (
    AlsoWritten,
    AsTuple,
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
from .facts import Compute
from .review import Review
from .trials import Trial

PLACEHOLDER = re.compile(r"\{([a-z0-9_]+)\}")
"""A quantity named in the text of a step."""


class Step(Item):
    """One step of a procedure. A caution named here is shown at this step."""

    do: Text
    """What to do; a step without a caution is just the sentence."""
    caution: Ids = ()
    """The cautions shown at this very step."""


Steps = Annotated[
    tuple[Annotated[Step, AlsoWritten({"type": "string"})], ...],
    BeforeValidator(
        lambda steps: (
            tuple({"do": step} if isinstance(step, str) else step for step in steps)
            if isinstance(steps, list)
            else steps
        )
    ),
]


class BenchTest(RulePage):
    """A test a small cellar can do, or one that must go to a laboratory."""

    test: Id
    """The name."""
    name: Text
    """What it is called on the screen."""
    purpose: Text
    """What it tells."""
    yields: Ids
    """The questions it answers."""
    where: Literal["cellar", "laboratory"]
    """`cellar`, or `laboratory` for all that is poisonous or beyond a kitchen."""
    hands_on: Word
    """The work: a word of the table `effort`."""
    waiting: Word
    """The waiting: a word of the table `waiting`."""
    equipment: Texts
    """What is needed."""
    only_if: Condition | None = None
    """A condition; the test is asked for only when it holds."""
    asked_for_when: Words = ("possible", "likely")
    """How a cause must stand for this test to be asked for as its confirmation."""
    steps: Steps
    """What to do, in order."""
    reading: Texts
    """How to read the outcome, and which answer to give."""
    pitfalls: Texts = ()
    """What makes it lie."""
    cautions: Ids = ()
    """The cautions for the whole test."""
    source: Sources
    """Where you have it from."""
    review: Review | None = None
    """Who stands behind it."""


class NeverWhen(Item):
    """A state of the wine in which a fix would do harm."""

    when: Condition
    """A condition."""
    because: Text
    """The reason the person is given."""
    source: Sources
    """Where you have it from."""


class Quantity(Item):
    """A number shown in the steps of a fix, worked out for this vessel."""

    name: Id
    """The name; a step shows the number where it says `{name}`."""
    says: Text
    """What the number is."""
    quantity: Word
    """What the number measures: a quantity with a unit."""
    compute: Compute
    """As for a derived number; here the result may come in another unit of the quantity."""
    weighs: Id | None = None
    """The thing that is weighed or poured out; without it the number is only told."""


class Change(Item):
    """One thing that a fix does to a number that a plan follows. Several of a fix act in their order."""

    loses: Id | None = None
    """A loss: wine that stays behind."""
    adds: Id | None = None
    """A quantity of this fix, a volume, that is poured in."""
    water: Literal["yes", "no"] = "no"
    """Whether what is poured in counts as water."""
    without_amount_percent: Range | None = None
    """The part of the wine taken for what is poured in while its amount is not known."""
    of: Id | None = None
    """The followed number that `becomes` or `open` is about."""
    becomes: Compute | None = None
    """The new number, from the numbers before."""
    plus_minus: Mapping[Id, Number] = Field(default_factory=dict)
    """How far a plain number given to the calculator may be off."""
    open: Text | None = None
    """Why the new number cannot be foreseen."""
    source: Sources
    """Where you have it from."""

    @model_validator(mode="after")
    def _does_one_thing(self) -> Change:
        done = [key for key in ("loses", "adds", "becomes", "open") if getattr(self, key)]
        if len(done) != 1:
            raise mistake(
                "a change does one thing.", "Write one of `loses`, `adds`, `becomes` and `open`.", "of"
            )
        needs_of = done[0] in ("becomes", "open")
        if needs_of != (self.of is not None):
            mend = "Add `of:` with what is followed." if needs_of else "Take `of` out."
            raise mistake(f"`{done[0]}` stands {'without' if needs_of else 'beside'} `of`.", mend, done[0])
        return self


class Dose(Item):
    """How much: usual range, its unit, and how the number for this wine is found."""

    quantity: Word
    """In what the dose is told, mostly `dose`."""
    usual: Range | None = None
    """The usual range, `[low, high]`, in the unit of the quantity."""
    says: Text
    """How the dose for this wine is found."""
    limit: Ids = ()
    """The limits that apply."""
    source: Sources
    """Where you have it from."""


CHECK_OUTCOMES = ("good", "not_good")
"""How a check can come out so that it says something about the wine."""


class Check(Item):
    """How to see whether a fix worked."""

    after: Text
    """How long to wait."""
    days: Annotated[tuple[Number, ...], AsTuple] = ()
    """`after` in days, for a calendar: one number for each time to look; empty where no day can be named."""
    do: Text
    """What to look at."""
    good: Text
    """What it looks like when it worked."""
    if_not: Text
    """What to do otherwise."""
    answers: Mapping[Word, Word] = Field(default_factory=dict)
    """What the outcome answers in the diagnosis: `observation`, and a word for outcomes of `CHECK_OUTCOMES`."""


class Follows(Item):
    """An order constraint: this fix comes after the named ones, and why."""

    fix: Id
    """The fix that comes first."""
    because: Text
    """Why."""
    source: Sources
    """Where you have it from."""
    days: Number | None = None
    """How many days after the other it may begin; without it, once the first check of the other is good."""


class Fix(RulePage):
    """Something that can be done about a cause, including leaving the wine alone."""

    fix: Id
    """The name."""
    name: Text
    """What it is called on the screen."""
    called: Texts = ()
    """Other names that a person may use."""
    does: Text
    """What it does and what it does not."""
    treats: Literal["yes", "no"] = "yes"
    """`no` where the wine is left as it is: waiting, measuring, an airlock."""
    can_be_undone: Literal["yes", "no"]
    """`yes` or `no`."""
    effort: Word
    """A word of the table `burden`."""
    cost: Word
    """A word of the table `burden`."""
    wine_loss: Word
    """A word of the table `burden`."""
    flavour_harm: Word
    """A word of the table `burden`."""
    never_when: Annotated[tuple[NeverWhen, ...], AsTuple] = ()
    """When it would do harm."""
    offer_when: Condition | None = None
    """A condition; the fix is offered only when it holds."""
    dose: Dose | None = None
    """How much."""
    trial: Trial | None = None
    """The bench trial that finds the dose."""
    prepare: Texts = ()
    """What must be ready before."""
    quantities: Annotated[tuple[Quantity, ...], AsTuple] = ()
    """Numbers worked out for this vessel, for use in the steps."""
    changes: Annotated[tuple[Change, ...], AsTuple] = ()
    """What it does to the numbers that a plan follows."""
    steps: Steps
    """What to do, in order, as in a test."""
    cautions: Ids
    """The cautions for the whole; `[]` if there is none."""
    check: Check
    """How to see whether it worked."""
    if_it_fails: Text
    """What to think and do then."""
    comes_after: Annotated[tuple[Follows, ...], AsTuple] = ()
    """The fixes that must come before this one."""
    source: Sources
    """Where you have it from."""
    done_by: Literal["winemaker", "professional"] = "winemaker"
    """`winemaker` (unless you say otherwise) or `professional`."""
    review: Review | None = None
    """Who stands behind it."""

    @property
    def amount_quantities(self) -> dict[str, str]:
        """The amounts that can be told of it, each with its quantity: those of its steps, and its `dose`."""
        found = {item.name: item.quantity for item in self.quantities}
        return found | ({"dose": self.dose.quantity} if self.dose and "dose" not in found else {})


class Caution(RulePage):
    """What can hurt a person or the wine, and what to do about it."""

    caution: Id
    """The name."""
    says: Text
    """What can happen, and what to do about it."""
    harms: Literal["person", "wine", "law"]
    """`person`, `wine` or `law`."""
    source: Sources
    """Where you have it from."""
