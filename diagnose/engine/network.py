"""The experta network: built once, then used as a one-way machine.

Each run starts from nothing, declares all facts, fires rules until quiet and reads the trace. Nothing is ever
retracted or modified: a correction or an undone answer is a new run.
"""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterable, Mapping
from inspect import signature
from typing import Any

from .compile import EngineRule
from .experta_shim import experta
from .facts import Conclusion, Fact, Facts, Value, gather
from .strategy import OneOrder
from .trace import Firing, Trace
from .truth import Branch

MOST_STEPS = 20_000
STEPS_OF_A_RULE = 20
"""A rule speaks once on each set of facts, so a run grows with the rules. One that takes more steps goes in circles."""


_FIRES = signature(lambda engine, **bound: None)
"""What every rule takes when it fires."""


def most_steps(rules: int) -> int:
    """The steps that so many rules may take at the most."""
    return max(MOST_STEPS, STEPS_OF_A_RULE * rules)


class Finding(experta.Fact):  # type: ignore[misc,name-defined]
    """The one kind of fact in the network: a name and a value."""


class GoingInCircles(RuntimeError):
    """Rules kept firing; the message names those that fired last."""


class Network:
    """A rule base as a running machine. Not for use by two threads at once."""

    def __init__(self, rules: Iterable[EngineRule]) -> None:
        self.rules: Mapping[str, EngineRule] = {rule.id: rule for rule in rules}
        self._firings: list[Firing] = []
        self._given: dict[Fact, None] = {}
        body: dict[str, Any] = {"__strategy__": OneOrder}
        for rule in self.rules.values():
            for number, branch in enumerate(rule.branches):
                name = f"{rule.id}#{number}"
                # experta finds rules as attributes; an attribute may have any text as its name.
                body[name] = self._experta_rule(rule, branch, name)
        self._engine = type("Cellar", (experta.KnowledgeEngine,), body)()

    def start(self, facts: Iterable[Fact]) -> Trace:
        """Begin from nothing with these facts and run until quiet."""
        self._firings, self._given = [], {}
        self._engine.reset()
        return self.add(facts)

    def add(self, facts: Iterable[Fact]) -> Trace:
        """Declare more facts, run until quiet, and return the whole trace since `start`."""
        for fact in facts:
            if fact not in self._given:
                self._given[fact] = None
                self._engine.declare(Finding(name=fact.name, value=fact.value))
        before, most = len(self._firings), most_steps(len(self.rules))
        self._engine.run(steps=most)
        if len(self._firings) - before >= most:
            last = sorted({firing.rule for firing in self._firings[-20:]})
            raise GoingInCircles(f"These rules go round in a circle: {', '.join(last)}.")
        return Trace(tuple(self._given), tuple(self._firings))

    def _experta_rule(self, rule: EngineRule, branch: Branch, name: str) -> Any:
        patterns = [
            getattr(experta.AS, f"f{number}") << Finding(name=fact, value=experta.P(_test(branch, fact)))
            for number, fact in enumerate(branch.names)
        ]
        patterns += [experta.NOT(Finding(name=fact)) for fact in branch.unknown]

        def fire(engine: Any, **bound: Any) -> None:
            matched = {
                str(bound[f"f{number}"]["name"]): bound[f"f{number}"]["value"] for number in range(len(bound))
            }
            self._fire(engine, rule, matched)

        fire.__name__ = name
        # experta asks for it anew for every form that it brings the conditions into, a third of its time to build.
        vars(fire)["__signature__"] = _FIRES
        return experta.Rule(*patterns, salience=-rule.layer)(fire)

    def _fire(self, engine: Any, rule: EngineRule, matched: Mapping[str, Value]) -> None:
        concluded: tuple[Conclusion, ...] = rule.conclude(matched)
        if not concluded:
            return
        facts = tuple(Fact(name, value) for name, value in sorted(matched.items()))
        self._firings.append(Firing(rule.id, facts, concluded))
        for conclusion in concluded:
            if isinstance(conclusion, Fact):
                engine.declare(Finding(name=conclusion.name, value=conclusion.value))


def within_reach(
    rules: Iterable[EngineRule], facts: Iterable[Fact], later: Iterable[str] = ()
) -> tuple[EngineRule, ...]:
    """The rules that could ever match on these facts, and on facts with the names of `later` whatever their values.

    experta takes longer to build a network than to run it, and after every fact asks every rule for news. A rule that
    needs a fact which nothing here can bring never speaks, so it can be left out.
    """
    given = gather(facts)
    waiting: dict[str, list[tuple[EngineRule, Branch]]] = {}
    for rule in rules:
        for branch in rule.branches:
            waiting.setdefault(next(iter(branch.names), ""), []).append((rule, branch))
    brought = set(later)
    found: dict[str, EngineRule] = {}
    queue = ["", *given, *brought]
    while queue:
        for rule, branch in waiting.pop(queue.pop(), ()):
            missing = _missing(branch, given, brought)
            if missing is not None:
                waiting.setdefault(missing, []).append((rule, branch))
            elif rule.id not in found:
                found[rule.id] = rule
                new = [name for name in rule.concludes if name not in brought]
                brought.update(new)
                queue += new
    return tuple(found[name] for name in sorted(found))


def _missing(branch: Branch, given: Facts, brought: Collection[str]) -> str | None:
    """A fact that a branch needs and that is neither given with a fitting value nor brought by a rule."""
    for name in branch.names:
        passes = _test(branch, name)
        if name not in brought and not any(passes(value) for value in given.get(name, ())):
            return name
    return None


def _test(branch: Branch, fact: str) -> Callable[[Value], bool]:
    """One predicate for all that a branch asks of one fact."""
    leaves = tuple(leaf for leaf in branch.tests if leaf.name == fact)

    def passes(value: Value) -> bool:
        return all(leaf.passes(value) for leaf in leaves)

    return passes
