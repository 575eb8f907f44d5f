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


TRIAL_OUTCOMES = (
    "chosen",
    "refine_below",
    "control_serves",
    "never_clear",
    "never_stable",
    "none_serves",
)
"""How a ladder can end so that it says something about the wine."""


class Agent(Item):
    """What a ladder doses, the stock that carries it into the jars, and where what is found is kept."""

    name: Text
    """What is weighed, in a few words that fit into a sentence, such as `dry clay`."""
    stock_is: Text
    """What the agent in water is called, such as a slurry."""
    dose_in: Literal["g/L", "mg/L"] = "g/L"
    """How its doses are typed and shown; pages and case files give the ladder in g/L."""
    into_vessel: Text | None = None
    """How it goes into the vessel, where not as the stock of the trial."""
    stock_percent: Number
    """The usual strength: grams of agent in 100 g of stock, or in 100 mL."""
    stock_between: Range
    """The strengths that can be right, in percent."""
    density_g_per_ml: Number | None = None
    """Density of the agent, for a stock made by weight."""
    too_much: Text
    """What more of it than is needed does to the wine."""
    lees_percent: Range | None = None
    """The part of the wine that its lees hold."""
    dose_kept_as: Id
    """The observation that the chosen dose becomes; no other fix may use it."""
    strength_kept_as: Id | None = None
    """The observation that the strength of the stock becomes."""
    cautions: Ids = ()
    """The cautions shown on the sheet of the trial."""


class Criterion(Item):
    """One thing that is read in every jar of a trial, and what passes."""

    criterion: Id
    """The name."""
    kind: Literal["number", "yes_no", "rank"]
    """A `number`, a `yes_no`, or a `rank`: the taste, blind; a trial has at most one."""
    ask: Text
    """The question for all jars, in a sentence."""
    how: Text
    """How each jar is read."""
    unit: Text | None = None
    """The unit of a number; none for one without a unit."""
    possible: Range | None = None
    """The numbers that can be read at all."""
    between: Range | None = None
    """The numbers that pass."""
    own: Literal["yes", "no"] = "no"
    """Whether the person may set other numbers to pass."""
    passes: Literal["yes", "no"] | None = None
    """The answer that passes."""
    more: Literal["helps", "harms", "lowers", "raises"] | None = None
    """What a higher dose does to it; a reading that goes the other way is a slip."""
    give_or_take: Number = 0.0
    """How far two readings of the same may lie apart."""
    passes_as: Text
    """What a jar that passes is like, to stand in a sentence after `where`."""
    if_none: Text | None = None
    """What it means when no jar passes."""
    because: Text
    """Why this is read, and why these numbers pass."""
    source: Sources
    """Where you have it from."""

    @model_validator(mode="after")
    def _says_what_passes(self) -> Criterion:
        needs = {"number": ("possible", "between"), "yes_no": ("passes",), "rank": ()}[self.kind]
        for key in ("possible", "between", "passes"):
            if (key in needs) != (getattr(self, key) is not None):
                what = f"`kind: {self.kind}` {'needs' if key in needs else 'does not take'} `{key}`."
                raise mistake(what, f"{'Add it' if key in needs else 'Take it out'}.", "kind")
        if self.kind != "number" and (self.more in ("lowers", "raises") or self.own == "yes"):
            raise mistake("only a number is lowered, raised, or set by the person.", "Take it out.", "kind")
        return self


class Trial(Item):
    """The bench trial that finds the dose."""

    kind: Literal["ladder", "yes_no"]
    """`ladder` (a row of doses; the program plans and reads it) or `yes_no` (a treated jar and its twin; the
    program only tells what to do)."""
    says: Text
    """What to do, in a few sentences."""
    ladder: Annotated[tuple[Number, ...], AsTuple] = ()
    """The doses to begin with, in g/L; the control comes by itself."""
    agent: Agent | None = None
    """What is dosed."""
    stock: Text | None = None
    """How to make the stock."""
    contact: Text | None = None
    """How long it works."""
    settling: Text | None = None
    """How long it settles."""
    clear_ntu: Number | None = None
    """Turbidity up to which a jar counts as clear."""
    heat_rise_ntu: Mapping[Word, Number] = Field(default_factory=dict)
    """By colour of the wine: the rise on heating up to which a jar counts as stable."""
    heat_test: Id | None = None
    """The test that each clear jar is put to; without it a jar need not be stable."""
    finest: Number | None = None
    """A lowest dose no larger than this is not worth a lower ladder, in g/L."""
    criteria: Annotated[tuple[Criterion, ...], AsTuple] = ()
    """What is read in each jar, in this order; without them clarity, heat where `heat_test` is given, and taste."""
    choose: Literal["least", "best_liked"] = "least"
    """The least dose that passes, or of those that pass the best liked."""
    answers: Mapping[Word, Word] = Field(default_factory=dict)
    """What the outcome of the trial answers: `observation`, and a word for outcomes of `TRIAL_OUTCOMES`."""
    judge_by: Texts
    """What decides, the most important first."""
    source: Sources
    """Where you have it from."""

    @model_validator(mode="after")
    def _ladder_is_whole(self) -> Trial:
        for key in ("ladder", "agent"):
            if self.kind == "ladder" and not getattr(self, key):
                mend = f"Add `{key}:`, or make it `kind: yes_no`."
                raise mistake(f"a ladder of doses without `{key}`.", mend, "kind")
            if self.kind == "yes_no" and getattr(self, key):
                mend = f"Take `{key}` out, or make it `kind: ladder`."
                raise mistake(f"only a ladder of doses has a `{key}`.", mend, key)
        return self

    @model_validator(mode="after")
    def _criteria_can_choose(self) -> Trial:
        if not self.criteria:
            if self.choose == "best_liked":
                raise mistake("nothing says how the taste is read.", "Add `criteria:` with a rank.", "choose")
            return self
        if self.kind != "ladder":
            raise mistake("only a ladder is read by criteria.", "Take `criteria` out.", "criteria")
        for key in ("clear_ntu", "heat_rise_ntu", "heat_test"):
            if getattr(self, key):
                raise mistake(f"`{key}` stands beside `criteria`.", "Make it one of the criteria.", key)
        ranks = sum(one.kind == "rank" for one in self.criteria)
        if len({one.criterion for one in self.criteria}) < len(self.criteria) or ranks > 1:
            raise mistake(
                "a criterion stands twice.", "Give each a name of its own, and one rank.", "criteria"
            )
        if self.choose == "best_liked" and not ranks:
            raise mistake("the best liked needs a rank.", "Add a criterion of `kind: rank`.", "choose")
        if self.choose == "least" and ranks == len(self.criteria):
            raise mistake(
                "the least dose needs something to reach.", "Add a criterion that is measured.", "choose"
            )
        return self

    @property
    def taste(self) -> Criterion | None:
        """The rank by taste, where the page describes one."""
        return next((one for one in self.criteria if one.kind == "rank"), None)


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
