"""Free rules: what follows from more than one page."""

from __future__ import annotations

from typing import Annotated

from pydantic import model_validator

from ..base import AsTuple, Id, Ids, Item, RulePage, Sources, Text, Texts, mistake
from ..conditions import Condition


class Forbid(Item):
    """A fix that must not be offered, and the reason a person is given."""

    fix: Ids
    because: Text


class NeverDone(RulePage):
    """A wrong way that people know and ask for. It is never offered; asked for by name, it explains itself."""

    never_done: Id
    name: Text
    called: Texts = ()
    """Other names that a person may use."""
    because: Text
    instead: Ids = ()
    caution: Ids = ()
    source: Sources


class Rule(RulePage):
    """A rule about tests, questions, fixes and cautions, or one that opens a topic."""

    rule: Id
    when: Condition
    request: Ids = ()
    withhold: Ids = ()
    do_not_ask: Ids = ()
    """Questions that would be dangerous to find out about here."""
    offer: Ids = ()
    forbid: Annotated[tuple[Forbid, ...], AsTuple] = ()
    warn: Ids = ()
    look_into: Ids = ()
    """Topics whose causes are weighed too, because the findings show that trouble of that kind is there."""
    because: Text
    source: Sources

    @model_validator(mode="after")
    def _does_something(self) -> Rule:
        tests_and_questions = self.request or self.withhold or self.do_not_ask
        if not (tests_and_questions or self.offer or self.forbid or self.warn or self.look_into):
            what = f"the rule '{self.rule}' does nothing."
            mend = "Give it `request`, `withhold`, `do_not_ask`, `offer`, `forbid`, `warn` or `look_into`."
            raise mistake(what, mend, "rule")
        return self
