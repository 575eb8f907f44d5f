"""The checked rule base: every page by its id, with all links between pages known to hold."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import cached_property
from typing import Any

from .chains import Before, all_follows
from .load import Located
from .models.causes import Cause
from .models.facts import Derived, Observable, Observation, State
from .models.hearing import Heard, SmallWords
from .models.plans import Apart, Foreseen, Loss, Order, Thing, Tracked
from .models.review import Accepted, Wording
from .models.rules import NeverDone, Rule
from .models.treatments import BenchTest, Caution, Fix
from .models.vocabulary import (
    Clash,
    Gates,
    GlossaryWord,
    Instrument,
    Law,
    Limit,
    RuleBaseName,
    Source,
    Topic,
    WordTable,
)
from .own import OwnPage, TakenOutPage
from .problems import Place


@dataclass(frozen=True)
class RuleBase:
    """What the cellar knows. Built only by `read_rule_base`, which has checked every link."""

    name: RuleBaseName
    words: Mapping[str, WordTable]
    sources: Mapping[str, Source]
    laws: Mapping[str, Law]
    limits: Mapping[str, Limit]
    instruments: Mapping[str, Instrument]
    clashes: Mapping[str, Clash]
    gates: Mapping[str, Gates]
    topics: Mapping[str, Topic]
    heard: Mapping[str, Heard]
    small_words: Mapping[str, SmallWords]
    observations: Mapping[str, Observation]
    states: Mapping[str, State]
    derived: Mapping[str, Derived]
    causes: Mapping[str, Cause]
    tests: Mapping[str, BenchTest]
    fixes: Mapping[str, Fix]
    cautions: Mapping[str, Caution]
    never_done: Mapping[str, NeverDone]
    orders: Mapping[str, Order]
    aparts: Mapping[str, Apart]
    tracked: Mapping[str, Tracked]
    losses: Mapping[str, Loss]
    things: Mapping[str, Thing]
    foreseen: Mapping[str, Foreseen]
    rules: Mapping[str, Rule]
    wording: Mapping[str, Wording]
    glossary: Mapping[str, GlossaryWord]
    accepted: Mapping[str, Accepted]
    places: Mapping[tuple[str, str], Place] = field(repr=False)
    evidence_places: Mapping[str, tuple[Place, ...]] = field(repr=False)
    """For each cause, where each row of its evidence is written."""
    rule_places: Mapping[tuple[str, str], tuple[Place, ...]] = field(default_factory=dict, repr=False)
    """Where each rule of a state, and each `never_when` of a fix, is written, by the kind and id of the page."""
    on_top: tuple[RuleBaseName, ...] = ()
    """The names of a cellar's own rules on top, the lowest first."""
    own: Mapping[tuple[str, str], OwnPage] = field(default_factory=dict, repr=False)
    """The pages that are a cellar's own, by kind and id."""
    taken_out: tuple[TakenOutPage, ...] = ()
    """The pages that a cellar does not use."""
    memo: dict[Any, Any] = field(default_factory=dict, init=False, repr=False, compare=False)
    """What other rooms have worked out from these pages and need often."""

    @cached_property
    def follows(self) -> Mapping[str, tuple[Before, ...]]:
        """For each fix what it comes after, by its own page and by the pages of order, with the reasons."""
        return all_follows(self.fixes, self.orders, self.aparts)

    @property
    def edition(self) -> str:
        """The name and version of every layer, as cases and reports keep them."""
        return " + ".join(name.edition for name in (self.name, *self.on_top))

    def word(self, table: str, word: str) -> float:
        """The number behind a word of one of the tables, such as `strength` and `for`."""
        return self.words[table].values[word]

    @cached_property
    def observables(self) -> Mapping[str, Observable]:
        """Everything that evidence can speak of."""
        return {**self.observations, **self.states, **self.derived}

    @cached_property
    def tests_yielding(self) -> Mapping[str, tuple[str, ...]]:
        """For each observation, the tests that answer it."""
        found: dict[str, list[str]] = {}
        for test in self.tests.values():
            for observation in test.yields:
                found.setdefault(observation, []).append(test.test)
        return {observation: tuple(tests) for observation, tests in found.items()}


KIND_FIELDS: Mapping[str, str] = {
    "words": "words",
    "source": "sources",
    "law": "laws",
    "limit": "limits",
    "instrument": "instruments",
    "clash": "clashes",
    "gates": "gates",
    "topic": "topics",
    "heard": "heard",
    "small_words": "small_words",
    "observe": "observations",
    "state": "states",
    "derive": "derived",
    "cause": "causes",
    "test": "tests",
    "fix": "fixes",
    "caution": "cautions",
    "never_done": "never_done",
    "order": "orders",
    "apart": "aparts",
    "tracked": "tracked",
    "loss": "losses",
    "thing": "things",
    "foreseen": "foreseen",
    "rule": "rules",
    "wording": "wording",
    "word": "glossary",
    "accepted": "accepted",
}


def gather(items: list[Located]) -> dict[str, dict[str, Located]]:
    """The items by kind and id; a repeated id is reported by the links check."""
    by_kind: dict[str, dict[str, Located]] = {kind: {} for kind in (*KIND_FIELDS, "rule_base")}
    for located in items:
        by_kind[located.kind].setdefault(located.id, located)
    return by_kind
