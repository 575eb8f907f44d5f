"""Free rules: what follows from more than one page."""

from __future__ import annotations

from typing import Annotated

from pydantic import model_validator

from ..base import AsTuple, Id, Ids, Item, RulePage, Sources, Text, Texts, mistake
from ..conditions import Condition


class Forbid(Item):
    """A fix that must not be offered, and the reason a person is given."""

    fix: Ids
    """One fix, or several."""
    because: Text
    """The reason the person is given."""


class NeverDone(RulePage):
    """A wrong way that people know and ask for. It is never offered; asked for by name, it explains itself."""

    never_done: Id
    """The name."""
    name: Text
    """What it is called on the screen."""
    called: Texts = ()
    """Other names that a person may use."""
    because: Text
    """The reason the person is given."""
    instead: Ids = ()
    """The fixes that take its place."""
    caution: Ids = ()
    """The cautions shown with it."""
    source: Sources
    """Where you have it from."""


class Rule(RulePage):
    """A rule about tests, questions, fixes and cautions, or one that opens a topic."""

    rule: Id
    """The name."""
    when: Condition
    """A condition."""
    request: Ids = ()
    """Tests to ask for."""
    withhold: Ids = ()
    """Tests that must wait here, such as those that open bottles under pressure."""
    do_not_ask: Ids = ()
    """Questions that would be dangerous to find out about here."""
    offer: Ids = ()
    """Fixes to offer, whatever the cause."""
    forbid: Annotated[tuple[Forbid, ...], AsTuple] = ()
    """Fixes that must not be done, each with its own reason."""
    warn: Ids = ()
    """Cautions to show."""
    look_into: Ids = ()
    """Topics whose causes are weighed too, because the findings show that trouble of that kind is there."""
    because: Text
    """The reason."""
    source: Sources
    """Where you have it from."""

    @model_validator(mode="after")
    def _does_something(self) -> Rule:
        tests_and_questions = self.request or self.withhold or self.do_not_ask
        if not (tests_and_questions or self.offer or self.forbid or self.warn or self.look_into):
            what = f"the rule '{self.rule}' does nothing."
            mend = "Give it `request`, `withhold`, `do_not_ask`, `offer`, `forbid`, `warn` or `look_into`."
            raise mistake(what, mend, "rule")
        return self
