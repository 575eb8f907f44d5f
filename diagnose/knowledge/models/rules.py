"""Free rules: what follows from more than one page."""

from __future__ import annotations

from typing import Annotated

from pydantic import model_validator

from ..base import AsTuple, Id, Ids, Item, Sources, Text, mistake
from ..conditions import Condition


class Forbid(Item):
    """A fix that must not be offered, and the reason a person is given."""

    fix: Ids
    because: Text


class Rule(Item):
    """A rule that asks for or withholds tests, offers or forbids fixes, shows cautions, or opens a topic."""

    rule: Id
    when: Condition
    request: Ids = ()
    withhold: Ids = ()
    offer: Ids = ()
    forbid: Annotated[tuple[Forbid, ...], AsTuple] = ()
    warn: Ids = ()
    look_into: Ids = ()
    """Topics whose causes are weighed too, because the findings show that trouble of that kind is there."""
    because: Text
    source: Sources

    @model_validator(mode="after")
    def _does_something(self) -> Rule:
        if not (self.request or self.withhold or self.offer or self.forbid or self.warn or self.look_into):
            what = f"the rule '{self.rule}' does nothing."
            raise mistake(
                what, "Give it `request`, `withhold`, `offer`, `forbid`, `warn` or `look_into`.", "rule"
            )
        return self
