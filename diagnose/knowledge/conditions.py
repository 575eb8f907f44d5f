"""Conditions: what must be so before a rule speaks. Always data, never evaluated text.

A condition is a mapping. Each key names a fact and holds a test of its value; all of them must hold::

    when:
      ph: {at_least: 3.5}
      wine_colour: {one_of: [white, rose]}
      any:
        - free_so2: {below: 20}
        - unknown: free_so2

Five keys are not facts: `all`, `any`, `not`, `known`, `unknown`.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Annotated, Any, ClassVar

from pydantic import Field, GetJsonSchemaHandler, model_validator
from pydantic_core import CoreSchema

from .base import (
    FACT_PATTERN,
    WORD_PATTERN,
    AlsoWritten,
    AsTuple,
    FactName,
    FactNames,
    Item,
    Number,
    Word,
    Words,
    mistake,
)


class FactTest(Item):
    """What the value of one fact must be; several keys must all hold."""

    example: ClassVar[str] = "`yes`, `{one_of: [red, rose]}` or `{at_least: 3.5}`"

    is_: Annotated[Word | None, Field(alias="is")] = None
    """Holds when the answer is this word; `gas: none` is short for `gas: {is: none}`."""
    is_not: Word | None = None
    """Holds when it is known, and is another word."""
    one_of: Words | None = None
    """Holds when the answer is one of these words."""
    none_of: Words | None = None
    """Holds when it is known, and is none of these words."""
    at_least: Number | None = None
    """Holds when the number is this or more."""
    above: Number | None = None
    """Holds when the number is more than this."""
    at_most: Number | None = None
    """Holds when the number is this or less."""
    below: Number | None = None
    """Holds when the number is less than this."""
    over_limit: Word | None = None
    """Holds when the number is at the limit of the person's law or above it."""
    within_limit: Word | None = None
    """Holds when the number is below that limit."""
    room: Number | None = None
    """How far below a limit its neighbourhood begins, in the unit of the fact."""
    includes: Word | None = None
    """Holds when this answer was ticked."""
    includes_any: Words | None = None
    """Holds when one of these answers was ticked."""
    includes_none: Words | None = None
    """Holds when it was answered, and none of these was ticked."""

    @model_validator(mode="before")
    @classmethod
    def _bare_word_means_is(cls, value: Any) -> Any:
        return {"is": value} if isinstance(value, str) else value

    @model_validator(mode="after")
    def _says_something(self) -> FactTest:
        if not self.parts():
            raise mistake("this test is empty and says nothing.", f"Write for example {self.example}.")
        if self.room is not None and not self.limited():
            mend = "Add `over_limit` or `within_limit`, or take `room` out."
            raise mistake("`room` stands without a limit.", mend, "room")
        if self.limited() and len(self.parts()) != 1 + (self.room is not None):
            mend = "Keep one of them here, and put the other tests of this fact into an `all`."
            raise mistake("a comparison with a limit stands beside another test.", mend)
        return self

    def limited(self) -> str | None:
        """What is limited, where this test compares with a limit of the law."""
        return self.over_limit or self.within_limit

    def parts(self) -> dict[str, Any]:
        """The tests that were written, by their name in the rule language."""
        written = self.model_dump(exclude_none=True)
        if "is_" in written:
            written["is"] = written.pop("is_")
        return written


WordOrTest = Annotated[FactTest, AlsoWritten({"type": "string", "pattern": WORD_PATTERN})]

JOINING = ("all", "any", "not", "known", "unknown")


class Condition(Item):
    """Facts that must pass their tests, and the five joining words."""

    example: ClassVar[str] = "`gas_seen: yes`"

    # The alias cannot be written as the name of a fact, so that the place of a mistake is never mistaken.
    facts: Annotated[Mapping[FactName, WordOrTest], Field(alias="~facts", default_factory=dict)]
    all_: Annotated[tuple[Condition, ...], Field(alias="all"), AsTuple] = ()
    """All conditions of its list hold."""
    any_: Annotated[tuple[Condition, ...], Field(alias="any"), AsTuple] = ()
    """At least one condition of its list holds."""
    not_: Annotated[Condition | None, Field(alias="not")] = None
    """The condition under it is known to be false; `not: {known: ph}` is the same as `unknown: ph`."""
    known: FactNames = ()
    """These facts are known, whatever they are."""
    unknown: FactNames = ()
    """These facts are not known."""

    @classmethod
    def __get_pydantic_json_schema__(
        cls, core_schema: CoreSchema, handler: GetJsonSchemaHandler
    ) -> dict[str, Any]:
        """As it is written in a file, where each fact is a key of its own."""
        reference = handler(core_schema)
        written = handler.resolve_ref_schema(reference)
        facts = written["properties"].pop("~facts")
        # Not as a pattern, which would hold the joining words to the form of a test too.
        (written["additionalProperties"],) = facts["patternProperties"].values()
        written["propertyNames"] = {"pattern": FACT_PATTERN}
        return reference

    @model_validator(mode="before")
    @classmethod
    def _facts_are_the_other_keys(cls, value: Any) -> Any:
        if not isinstance(value, Mapping):
            return value
        joined = {key: inner for key, inner in value.items() if key in JOINING}
        return {**joined, "~facts": {key: inner for key, inner in value.items() if key not in JOINING}}

    @model_validator(mode="after")
    def _says_something(self) -> Condition:
        if not (self.facts or self.all_ or self.any_ or self.not_ or self.known or self.unknown):
            what = "this condition is empty and says nothing."
            raise mistake(what, f"Name a fact, for example {self.example}.")
        return self
