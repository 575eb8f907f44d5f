"""The bench trial of a fix: the agent and its stock, what is read in the jars, and what passes."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Annotated, Literal

from pydantic import Field, model_validator

from diagnose.calculators.dilution import MOST_SHARE_PERCENT

from ..base import (
    AsTuple,
    Id,
    Ids,
    Item,
    Number,
    Range,
    Sources,
    Text,
    Texts,
    Word,
    mistake,
)

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
    """What is weighed or poured, in a few words that fit into a sentence, such as `dry clay`."""
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
    """The cautions shown on the sheet of the trial."""

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
