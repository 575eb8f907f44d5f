"""What is done at the bench and at the vessel: tests, fixes with their trials and doses, and cautions."""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import Annotated, Literal

from pydantic import BeforeValidator, Field, model_validator

from diagnose.calculators.dilution import MOST_SHARE_PERCENT

from ..base import AsTuple, Id, Ids, Item, Number, Range, Sources, Text, Texts, Word, Words, mistake
from ..conditions import Condition
from .facts import Compute

PLACEHOLDER = re.compile(r"\{([a-z0-9_]+)\}")
"""A quantity named in the text of a step."""


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
    becomes: Compute | None = None
    """The new number, from the numbers before."""
    plus_minus: Mapping[Id, Number] = Field(default_factory=dict)
    """How far a plain number given to the calculator may be off."""
    open: Text | None = None
    """Why the new number cannot be foreseen."""
    source: Sources

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
    usual: Range | None = None
    says: Text
    limit: Ids = ()
    source: Sources


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
    dose_in: Literal["g/L", "mg/L", "share"] = "g/L"
    """How its doses are typed and shown; pages and case files give the ladder in g/L.

    `share` is another wine: the part of it in the finished blend, in percent, in pages and case files too.
    """
    stock_is: Text | None = None
    """What the agent in water is called, such as a slurry."""
    into_vessel: Text | None = None
    """How it goes into the vessel, where not as the stock of the trial."""
    stock_percent: Number | None = None
    """The usual strength: grams of agent in 100 g of stock, or in 100 mL."""
    stock_between: Range | None = None
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

    @model_validator(mode="after")
    def _has_a_stock_or_is_a_wine(self) -> Agent:
        for key in ("stock_is", "stock_percent", "stock_between"):
            if not self.is_share and getattr(self, key) is None:
                mend = f"Add `{key}:`, or make it `dose_in: share` where it is another wine."
                raise mistake(f"an agent without `{key}`.", mend, "name")
        for key in ("stock_is", "stock_percent", "stock_between", "density_g_per_ml", "strength_kept_as"):
            if self.is_share and getattr(self, key) is not None:
                raise mistake(f"a share of another wine has no `{key}`.", f"Take `{key}` out.", key)
        return self

    @property
    def is_share(self) -> bool:
        """Another wine, dosed by its share of the finished blend."""
        return self.dose_in == "share"

    @property
    def unit(self) -> str:
        """The unit that its doses are typed and shown in."""
        return "%" if self.is_share else self.dose_in

    @property
    def dose_head(self) -> str:
        """What stands above a column of its doses."""
        return "% of the blend" if self.is_share else self.dose_in

    @property
    def poured(self) -> str:
        """What is measured into the jars: the stock, or the other wine itself."""
        return self.stock_is or self.name


class Criterion(Item):
    """One thing that is read in every jar of a trial, and what passes."""

    criterion: Id
    kind: Literal["number", "yes_no", "rank"]
    """`rank` is the taste, blind; a trial has at most one."""
    ask: Text
    how: Text
    unit: Text | None = None
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
    source: Sources

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
    says: Text
    ladder: Annotated[tuple[Number, ...], AsTuple] = ()
    agent: Agent | None = None
    stock: Text | None = None
    contact: Text | None = None
    settling: Text | None = None
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
    source: Sources

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
    def _shares_are_of_a_blend(self) -> Trial:
        if self.agent is None or not self.agent.is_share:
            return self
        if self.stock:
            raise mistake("a share of another wine has no `stock`.", "Take `stock` out.", "stock")
        if not self.criteria:
            mend = "Add `criteria:` with what is read in each jar."
            raise mistake("a ladder of shares without `criteria`.", mend, "ladder")
        wrong = [share for share in self.ladder if not 0 < share <= MOST_SHARE_PERCENT]
        if wrong:
            mend = f"Write shares of the finished blend above 0 and up to {MOST_SHARE_PERCENT:g} percent."
            raise mistake(f"{wrong[0]:g} % cannot be a share of another wine.", mend, "ladder")
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
    days: Annotated[tuple[Number, ...], AsTuple] = ()
    """`after` in days, for a calendar: one number for each time to look; empty where no day can be named."""
    do: Text
    good: Text
    if_not: Text
    answers: Mapping[Word, Word] = Field(default_factory=dict)
    """What the outcome answers in the diagnosis: `observation`, and a word for outcomes of `CHECK_OUTCOMES`."""


class Follows(Item):
    """An order constraint: this fix comes after the named ones, and why."""

    fix: Id
    because: Text
    source: Sources
    days: Number | None = None
    """How many days after the other it may begin; without it, once the first check of the other is good."""


class Fix(Item):
    """Something that can be done about a cause, including leaving the wine alone."""

    fix: Id
    name: Text
    called: Texts = ()
    """Other names that a person may use."""
    does: Text
    treats: Literal["yes", "no"] = "yes"
    """`no` where the wine is left as it is: waiting, measuring, an airlock."""
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
    changes: Annotated[tuple[Change, ...], AsTuple] = ()
    """What it does to the numbers that a plan follows."""
    steps: Steps
    cautions: Ids
    check: Check
    if_it_fails: Text
    comes_after: Annotated[tuple[Follows, ...], AsTuple] = ()
    source: Sources
    done_by: Literal["winemaker", "professional"] = "winemaker"

    @property
    def amount_quantities(self) -> dict[str, str]:
        """The amounts that can be told of it, each with its quantity: those of its steps, and its `dose`."""
        found = {item.name: item.quantity for item in self.quantities}
        return found | ({"dose": self.dose.quantity} if self.dose and "dose" not in found else {})


class Caution(Item):
    """What can hurt a person or the wine, and what to do about it."""

    caution: Id
    says: Text
    harms: Literal["person", "wine", "law"]
    source: Sources
