"""How people say it: everyday phrases with what they suggest, and the small words that turn or join them."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Literal

from pydantic import Field, model_validator

from ..base import Id, Ids, Item, Number, RulePage, Texts, Words, mistake


class Suggested(Item):
    """What a phrase suggests: subjects, the likeliest first, and answers to questions."""

    topics: Ids = ()
    """Subjects that it brings to mind."""
    findings: Mapping[Id, Words] = Field(default_factory=dict)
    """Answers that it suggests: a question, and its answers."""


class Heard(Suggested, RulePage):
    """Phrases that mean the same, and what they suggest; or the other names of a question.

    Nothing suggested counts before the person has confirmed it.
    """

    heard: Id
    """The name."""
    phrases: Texts
    """What people say: one word or several, small letters, without marks."""
    turned: Suggested | None = None
    """What it says when it is denied; without it a denied phrase says nothing."""
    first: Literal["yes"] | None = None
    """Its subjects go before all others: what can hurt people."""
    vague: Literal["yes"] | None = None
    """Its subjects count only where nothing clearer is heard."""
    names: Id | None = None
    """The question these phrases are names of."""
    alone: Literal["with_unit", "three_decimals"] | None = None
    """How a number without any name must look to be taken for this question."""

    @model_validator(mode="after")
    def _says_something(self) -> Heard:
        if not (self.topics or self.findings or self.names):
            what = f"'{self.heard}' suggests nothing."
            raise mistake(what, "Give it `topics`, `findings`, or the question it `names`.", "heard")
        if self.names and (self.findings or self.turned):
            what = f"'{self.heard}' is the name of a question, so what follows the name is the answer."
            raise mistake(what, "Take `findings` and `turned` out, or take `names` out.", "names")
        if self.alone and not self.names:
            what = f"'{self.heard}' names no question that a lone number could answer."
            raise mistake(what, "Add `names:`, or take `alone` out.", "alone")
        return self


class SmallWords(RulePage):
    """The small words of the language that phrases stand among. Several such items count together."""

    small_words: Id
    """The name."""
    turn_what_follows: Texts = ()
    """Such as `not` and `no longer`."""
    turn_what_precedes: Texts = ()
    """Such as `has stopped`."""
    do_not_turn: Texts = ()
    """What holds such a word and turns nothing, such as `no idea`."""
    reach: Number | None = None
    """How many words away a turning word still turns."""
    end: Texts = ()
    """Where a turning word's reach ends, such as `but`."""
    carry: Texts = ()
    """What carries it on to the next phrase, such as `or`."""
    pass_over: Texts = ()
    """Words that say nothing, and may stand inside a phrase or be left out of it."""
    before_numbers: Texts = ()
    """What may stand between a name and its number."""
    no_slips: Texts = ()
    """Words that look like a misspelt word of a phrase and are not."""
