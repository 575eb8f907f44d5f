from __future__ import annotations

import os
import subprocess
import sys
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from diagnose.engine.experta_shim import experta
from diagnose.engine.strategy import OneOrder
from hypothesis import settings
from hypothesis import strategies as st
from hypothesis.stateful import RuleBasedStateMachine, initialize, invariant, run_state_machine_as_test
from hypothesis.stateful import rule as step

DepthStrategy = experta.KnowledgeEngine.__strategy__
"""The strategy experta uses when none is given."""

SALIENCES = (0, 0, 0, -1)
LOOKED_AT = tuple(f"looked_{number}" for number in range(8))
WAITS_FOR: list[tuple[tuple[str, ...], str | None]] = [
    *((("a",), name) for name in LOOKED_AT),
    *((("a", "b"), None) for _ in range(4)),
    *((("b",), "a") for _ in range(4)),
]
"""For each rule the facts it waits for and the one that must be unknown. Eight share one fact and lose their
turn one by one, as rules with `unknown` do: this is where experta's own strategy loses count."""
FACTS = ("a", "b", *LOOKED_AT)


class Item(experta.Fact):  # type: ignore[misc,name-defined]
    """A fact of the machines below."""


def machine_of(strategy: type[Any], fired: list[tuple[str, tuple[int, ...]]]) -> Any:
    """An engine whose rules note what they fired on."""
    body: dict[str, Any] = {"__strategy__": strategy}
    for number, (names, unknown) in enumerate(WAITS_FOR):
        title = f"rule_{number:02}"
        patterns = [getattr(experta.AS, f"f{i}") << Item(name=name) for i, name in enumerate(names)]
        patterns += [experta.NOT(Item(name=unknown))] if unknown else []

        def fire(engine: Any, _title: str = title, **bound: Any) -> None:
            fired.append((_title, tuple(sorted(fact["__factid__"] for fact in bound.values()))))

        fire.__name__ = title
        body[title] = experta.Rule(*patterns, salience=SALIENCES[number % 4])(fire)
    return type("Machine", (experta.KnowledgeEngine,), body)()


FIRED: list[tuple[str, tuple[int, ...]]] = []
ENGINES = {strategy: machine_of(strategy, FIRED) for strategy in (OneOrder, DepthStrategy)}
"""Built once each: experta keeps every network it builds for ever."""


class SharedFacts(RuleBasedStateMachine):
    """Facts come and go before the rules run; what fires must be exactly what still holds."""

    @initialize()
    def begin(self) -> None:
        """Start from nothing."""
        self.engine = ENGINES[OneOrder]
        self.engine.reset()
        self.present: dict[str, Any] = {}
        self.waiting: set[tuple[str, tuple[int, ...]]] = set()

    @step(name=st.sampled_from(FACTS))
    def comes(self, name: str) -> None:
        """A fact becomes known."""
        if name in self.present:
            return
        self.present[name] = self.engine.declare(Item(name=name))
        self._settle(name)

    @step(name=st.sampled_from(FACTS))
    def goes(self, name: str) -> None:
        """A fact is taken away."""
        if name not in self.present:
            return
        self.engine.retract(self.present.pop(name))
        self._settle(name)

    @step()
    def runs(self) -> None:
        """Let the rules fire."""
        FIRED.clear()
        self.engine.run()
        order = sorted(self.waiting, key=lambda w: (-SALIENCES[int(w[0][-2:]) % 4], w[0], w[1]))
        self.waiting = set()
        assert order == FIRED

    @invariant()
    def agenda_holds_what_is_waiting(self) -> None:
        """No rule waits whose facts are gone."""
        if hasattr(self, "engine"):
            assert len(self.engine.agenda.activations) == len(self.waiting)

    def _settle(self, changed: str) -> None:
        """Rules that read the changed fact begin to wait, or wait no longer."""
        for number, (names, unknown) in enumerate(WAITS_FOR):
            if changed in (*names, unknown):
                title = f"rule_{number:02}"
                self.waiting = {waiting for waiting in self.waiting if waiting[0] != title}
                if set(names) <= set(self.present) and unknown not in self.present:
                    ids = sorted(self.present[name]["__factid__"] for name in names)
                    self.waiting.add((title, tuple(ids)))


QUICK = settings(max_examples=150, stateful_step_count=12, database=None)


def test_no_rule_fires_whose_facts_are_gone() -> None:
    """Many rules that share facts: whatever comes and goes, exactly the rules that hold fire, in one order."""
    run_state_machine_as_test(SharedFacts, settings=QUICK)  # type: ignore[no-untyped-call]


def stale_after_one_look(strategy: type[Any]) -> list[str]:
    """Eight rules wait for one fact, each for as long as one other is unknown; then that one becomes known.

    Returns those after which the rule still fires although what it waited for is gone.
    """
    found = []
    for number, looked_at in enumerate(LOOKED_AT):
        engine = ENGINES[strategy]
        engine.reset()
        engine.declare(Item(name="a"))
        engine.declare(Item(name=looked_at))
        FIRED.clear()
        engine.run()
        if f"rule_{number:02}" in {rule for rule, _ in FIRED}:
            found.append(looked_at)
    return found


def test_experta_s_own_strategy_fires_rules_whose_facts_are_gone() -> None:
    """The test above can fail: of rules of equal rank, experta's strategy reaches three; ours reaches all."""
    assert stale_after_one_look(OneOrder) == []
    assert stale_after_one_look(DepthStrategy)


@dataclass
class NamedRule:
    __name__: str
    salience: int = 0


@dataclass
class Waiting:
    """What a strategy sees of a waiting rule."""

    rule: NamedRule
    facts: tuple[dict[str, int], ...] = ({"__factid__": 1},)
    key: Any = field(default=None, compare=False)

    def __lt__(self, other: Waiting) -> bool:
        return bool(self.key < other.key)

    def __hash__(self) -> int:
        return hash(self.rule.__name__)


class Agenda:
    """What a strategy sees of an agenda."""

    def __init__(self) -> None:
        self.activations: list[Waiting] = []


def left_waiting(strategy: Any) -> int:
    """Eight rules wait for one fact; the fact goes, and with it all eight, the middle ones first."""
    agenda = Agenda()
    rules = [Waiting(NamedRule(f"rule_{number}")) for number in range(8)]
    strategy.update_agenda(agenda, rules, [])
    strategy.update_agenda(agenda, [], rules[3:6] + rules[:3] + rules[6:])
    return len(agenda.activations)


def test_why_experta_s_strategy_is_replaced() -> None:
    """Its removal looks at the found place and its two neighbours only, so rules of equal rank stay behind."""
    assert left_waiting(DepthStrategy()) > 0
    assert left_waiting(OneOrder()) == 0


def test_rank_then_name_then_first_come() -> None:
    """A higher rank fires first, then the name that comes first, then the fact that came first."""
    agenda = Agenda()
    expected = [
        Waiting(NamedRule("late_name", 1)),
        Waiting(NamedRule("rule"), ({"__factid__": 2},)),
        Waiting(NamedRule("rule"), ({"__factid__": 10},)),
        Waiting(NamedRule("rule_longer")),
        Waiting(NamedRule("a_low_rank", -1)),
    ]
    OneOrder().update_agenda(agenda, expected[::-1], [])
    assert [agenda.activations.pop() for _ in range(5)] == expected


SCRIPT = """
import sys
sys.path.insert(0, sys.argv[1])
from made_bases import base_of, cellar_pages
from diagnose.engine.facts import Fact
from diagnose.judgement.judge import Cellar, judge, questions
cellar = Cellar(base_of(*cellar_pages()))
facts = [Fact("bubbles", "yes"), Fact("colour", "white"), Fact("smells", frozenset({"yeast", "vinegar"})),
         Fact("heated", 9.0), Fact("heated", 30.0), Fact("unheated", 1.0)]
judged = judge(cellar, "haze", facts)
print([(firing.rule, [fact.name for fact in firing.matched]) for firing in judged.trace.firings])
print(list(judged.weighings["haze"].chances.items()), judged.plan)
print([(candidate.observation, candidate.gain) for candidate in questions(cellar, judged)])
"""


def test_two_processes_fire_in_the_same_order_and_judge_alike() -> None:
    """Running the program again tells the same story in the same order, whatever Python's hash seed."""
    told = set()
    for seed in ("0", "1", "12345"):
        found = subprocess.run(
            [sys.executable, "-c", SCRIPT, str(Path(__file__).parent)],
            capture_output=True,
            text=True,
            check=True,
            env={**os.environ, "PYTHONHASHSEED": seed},
        )
        told.add(found.stdout)
    assert len(told) == 1
    assert told.pop().count("state/") >= 1
