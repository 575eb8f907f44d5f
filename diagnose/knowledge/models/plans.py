"""What a plan of several fixes needs to know beyond the fixes: order, what keeps apart, what is followed and lost."""

from __future__ import annotations

from typing import Literal

from pydantic import model_validator

from ..base import Id, Ids, Number, Range, RulePage, Sources, Text, Word, mistake
from ..conditions import Condition


class Order(RulePage):
    """An order of work between many fixes: each of `then` comes after each of `first`."""

    order: Id
    """The name."""
    first: Ids
    """Fixes that come first."""
    then: Ids
    """Fixes that come after each of them."""
    because: Text
    """Why."""
    source: Sources
    """Where you have it from."""


class Apart(RulePage):
    """Two fixes that must not stand in one plan, or not within so many days of each other."""

    apart: Id
    """The name."""
    fixes: Ids
    """The two fixes."""
    yields: Id
    """The one that is left out, or waits."""
    days: Number | None = None
    """How many days it waits; without it the two never stand in one plan."""
    because: Text
    """Why."""
    source: Sources
    """Where you have it from."""

    @model_validator(mode="after")
    def _two_of_which_one_yields(self) -> Apart:
        if len(set(self.fixes)) != 2:
            raise mistake("two different fixes are kept apart, no more and no fewer.", "Name two.", "fixes")
        if self.yields not in self.fixes:
            raise mistake(
                f"'{self.yields}' is neither of the two.", f"Write {' or '.join(self.fixes)}.", "yields"
            )
        return self

    @property
    def other(self) -> str:
        """The one that does not yield."""
        return next(fix for fix in self.fixes if fix != self.yields)


class Tracked(RulePage):
    """A number of the wine that a plan follows from step to step."""

    tracked: Id
    """The question or the derived number where it stands; a name of its own where `quantity` is given."""
    name: Text
    """What it is called in a plan."""
    behaves: Literal["volume", "added_water", "dissolved", "held", "follows"]
    """`dissolved` is thinned by what is poured in, `held` is not, `follows` is worked out from others."""
    quantity: Word | None = None
    """What it measures: a quantity with a unit; only for a name of its own."""
    starts: Number | None = None
    """What is taken where nobody has told."""
    limit_of: Word | None = None
    """What the limits are `of` that it is held against."""
    because: Text
    """Why it behaves so."""
    source: Sources
    """Where you have it from."""


class Loss(RulePage):
    """The part of the wine that a kind of work leaves behind, in percent of the wine."""

    loss: Id
    """The name."""
    name: Text
    """What it is called."""
    percent: Range
    """The part of the wine, `[low, high]`."""
    because: Text
    """Why, or what to do about it."""
    source: Sources
    """Where you have it from."""


class Thing(RulePage):
    """Something that is bought and weighed for fixes, and how much to have beyond the need."""

    thing: Id
    """The name."""
    name: Text
    """What it is called in the list of what to have ready."""
    spare_percent: Number
    """How much more to have than the plan takes."""
    because: Text
    """What the spare is for."""
    source: Sources
    """Where you have it from."""


class Foreseen(RulePage):
    """A state of the wine, as foreseen before a fix, that breaks this fix or makes it dangerous."""

    foreseen: Id
    """The name."""
    before: Ids
    """The fixes that it breaks."""
    when: Condition
    """A condition on the wine as foreseen before them."""
    says: Text
    """The warning."""
    source: Sources
    """Where you have it from."""
