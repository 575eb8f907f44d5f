"""Every kind of item that a rule file may hold, by its first key."""

from __future__ import annotations

from collections.abc import Mapping

from .causes import Cause
from .facts import Derived, Observation, State
from .hearing import Heard, SmallWords
from .plans import Apart, Foreseen, Loss, Order, Thing, Tracked
from .review import Accepted, Wording
from .rules import NeverDone, Rule
from .treatments import BenchTest, Caution, Fix
from .vocabulary import (
    Clash,
    Gates,
    GlossaryWord,
    Instrument,
    Law,
    Limit,
    RuleBaseName,
    Source,
    TakenOut,
    Topic,
    WordTable,
)

AnyItem = (
    RuleBaseName
    | WordTable
    | Source
    | Law
    | Limit
    | Instrument
    | Clash
    | Gates
    | Topic
    | Heard
    | SmallWords
    | Observation
    | State
    | Derived
    | Cause
    | BenchTest
    | Fix
    | Caution
    | NeverDone
    | Order
    | Apart
    | Tracked
    | Loss
    | Thing
    | Foreseen
    | Rule
    | Wording
    | GlossaryWord
    | Accepted
    | TakenOut
)

KINDS: Mapping[str, type[AnyItem]] = {
    "rule_base": RuleBaseName,
    "words": WordTable,
    "source": Source,
    "law": Law,
    "limit": Limit,
    "instrument": Instrument,
    "clash": Clash,
    "gates": Gates,
    "topic": Topic,
    "heard": Heard,
    "small_words": SmallWords,
    "observe": Observation,
    "state": State,
    "derive": Derived,
    "cause": Cause,
    "test": BenchTest,
    "fix": Fix,
    "caution": Caution,
    "never_done": NeverDone,
    "order": Order,
    "apart": Apart,
    "tracked": Tracked,
    "loss": Loss,
    "thing": Thing,
    "foreseen": Foreseen,
    "rule": Rule,
    "wording": Wording,
    "word": GlossaryWord,
    "accepted": Accepted,
    "taken_out": TakenOut,
}
"""The first key of an item, and the model it is checked by."""
