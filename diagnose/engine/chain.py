"""The same rules on plain values: what the network concludes, fast enough for every key press.

experta's network concludes what is shown as the result. This twin does the same chaining between two questions,
and answers "what if" for hundreds of possible answers, where a run of the network for each would take too long.
A rule is only looked at when a fact that it reads is new. Tests hold the two to the same facts and firings.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, field
from heapq import heappop, heappush

from .compile import LAST, EngineRule
from .facts import Evidence, Fact, Facts, Value, gather
from .network import GoingInCircles, most_steps
from .trace import Firing, Trace
from .truth import Branch, Leaf

Passes = Callable[[Value], bool]
Values = dict[str, tuple[Value, ...]]


@dataclass(frozen=True)
class _Way:
    """A branch made ready: for each fact it needs, what its value must pass; and what must be unknown."""

    needs: tuple[tuple[str, tuple[Passes, ...]], ...]
    unknown: tuple[str, ...]


@dataclass(frozen=True)
class _Ready:
    """A rule made ready, with its place in the order of speaking."""

    rule: EngineRule
    place: int
    ways: tuple[_Way, ...]


class _Waiting:
    """Rules that wait to speak, each once; the lowest place first.

    So no rule speaks before all that could make known what it asks to be unknown.
    """

    def __init__(self, places: Iterable[int]) -> None:
        self._held = set(places)
        self._heap = sorted(self._held)

    def __bool__(self) -> bool:
        return bool(self._heap)

    def add(self, places: Iterable[int]) -> None:
        for place in places:
            if place not in self._held:
                self._held.add(place)
                heappush(self._heap, place)

    def next(self) -> int:
        place = heappop(self._heap)
        self._held.discard(place)
        return place


@dataclass
class _Run:
    """What one run knows so far."""

    values: Values = field(default_factory=dict)
    given: dict[Fact, None] = field(default_factory=dict)
    firings: list[Firing] = field(default_factory=list)
    fired: set[tuple[int, int, tuple[Fact, ...]]] = field(default_factory=set)


@dataclass(frozen=True)
class Change:
    """What one more fact would do to the evidence."""

    lost: frozenset[Evidence]
    gained: frozenset[Evidence]


class Chain:
    """A rule base on plain values. `start` and `add` do what those of the network do."""

    def __init__(self, rules: Iterable[EngineRule]) -> None:
        ordered = sorted(rules, key=lambda rule: (rule.layer, rule.id))
        self._rules = tuple(_ready(rule, place) for place, rule in enumerate(ordered))
        self._readers: dict[str, list[_Ready]] = {}
        self._bare = [ready for ready in self._rules if any(not way.needs for way in ready.ways)]
        for ready in self._rules:
            for name in _names(ready.rule):
                self._readers.setdefault(name, []).append(ready)
        self._early = tuple(ready.rule for ready in self._rules if ready.rule.layer < LAST)
        self._downstream: dict[str, tuple[EngineRule, ...]] = {}
        self._parts: dict[str, Chain] = {}
        self._run = _Run()

    # ------------------------------------------------------------ a whole run

    def start(self, facts: Iterable[Fact]) -> Trace:
        """Begin from nothing with these facts and run until quiet."""
        self._run = _Run()
        return self._continue(facts, {ready.place for ready in self._bare})

    def add(self, facts: Iterable[Fact]) -> Trace:
        """Take more facts, run until quiet, and return the whole trace since `start`."""
        return self._continue(facts, set())

    def run(self, facts: Iterable[Fact]) -> tuple[Facts, frozenset[Evidence]]:
        """All facts and evidence that follow, from nothing."""
        trace = self.start(facts)
        return trace.facts, frozenset(trace.evidence)

    def evidence_on(self, values: Values) -> frozenset[Evidence]:
        """The evidence that these rules give on facts that need no telling of where they came from."""
        self._run = _Run(dict(values))
        return frozenset(self._continue((), set(range(len(self._rules)))).evidence)

    def _continue(self, facts: Iterable[Fact], first: set[int]) -> Trace:
        run, waiting = self._run, _Waiting(first)
        for fact in facts:
            if fact not in run.given:
                run.given[fact] = None
                if _learn(run.values, fact):
                    waiting.add(ready.place for ready in self._readers.get(fact.name, ()))
        steps, most = 0, most_steps(len(self._rules))
        while waiting:
            ready = self._rules[waiting.next()]
            for learnt in self._fire(ready, run):
                waiting.add(reader.place for reader in self._readers.get(learnt, ()))
            steps += 1
            if steps >= most:
                last = sorted({firing.rule for firing in run.firings[-20:]})
                raise GoingInCircles(f"These rules go round in a circle: {', '.join(last)}.")
        return Trace(tuple(run.given), tuple(run.firings))

    def _fire(self, ready: _Ready, run: _Run) -> list[str]:
        """Let a rule speak on every new match; the names of facts that are new."""
        learnt = []
        for number, way in enumerate(ready.ways):
            for matched in _matches(way, run.values.get):
                facts = tuple(Fact(name, value) for name, value in matched.items())
                key = (ready.place, number, facts)
                if key in run.fired:
                    continue
                run.fired.add(key)
                concluded = ready.rule.conclude(matched)
                if concluded:
                    run.firings.append(Firing(ready.rule.id, facts, concluded))
                learnt += [
                    item.name for item in concluded if isinstance(item, Fact) and _learn(run.values, item)
                ]
        return learnt

    # ------------------------------------------------------------ what if

    def downstream(self, name: str) -> tuple[EngineRule, ...]:
        """Every rule about findings whose conclusion could change with this fact, in the order of speaking."""
        if name not in self._downstream:
            found: dict[int, EngineRule] = {}
            waiting, seen = [name], set()
            while waiting:
                here = waiting.pop()
                if here in seen:
                    continue
                seen.add(here)
                for ready in self._readers.get(here, ()):
                    if ready.rule.layer < LAST:
                        found[ready.place] = ready.rule
                        waiting += _facts_of(ready.rule)
            # Another rule may conclude the same fact from other facts, and must have its say again.
            changed = {fact for rule in found.values() for fact in _facts_of(rule)}
            for place, rule in enumerate(self._early):
                if changed.intersection(rule.concludes):
                    found[place] = rule
            self._downstream[name] = tuple(rule for _, rule in sorted(found.items()))
        return self._downstream[name]

    def change(self, facts: Facts, evidence: frozenset[Evidence], fact: Fact) -> Change:
        """What would come and go if a fact were known of which nothing is known yet."""
        more, found = self._what_follows(facts, fact)
        if not self._takes_back(facts, more):
            return Change(frozenset(), found - evidence)
        rules = self.downstream(fact.name)
        ids = {rule.id for rule in rules}
        reset = {name for rule in rules for name in rule.concludes}
        known = {name: values for name, values in facts.items() if name not in reset}
        known[fact.name] = (fact.value,)
        after = self._alone(fact.name).evidence_on(known)
        lost = frozenset(item for item in evidence if item.rule in ids and item not in after)
        return Change(lost, after - evidence)

    def _what_follows(self, facts: Facts, fact: Fact) -> tuple[Values, frozenset[Evidence]]:
        """The facts and the evidence that rules reached by a fact would give, if it took nothing back."""
        more: Values = {fact.name: (fact.value,)}

        def known(name: str) -> tuple[Value, ...] | None:
            return more[name] if name in more else facts.get(name)

        found: set[Evidence] = set()
        waiting = _Waiting(self._early_readers(fact.name))
        while waiting:
            ready = self._rules[waiting.next()]
            for way in ready.ways:
                for matched in _matches(way, known):
                    for item in ready.rule.conclude(matched):
                        if isinstance(item, Evidence):
                            found.add(item)
                        elif item.value not in (known(item.name) or ()):
                            more[item.name] = (*(known(item.name) or ()), item.value)
                            waiting.add(self._early_readers(item.name))
        return more, frozenset(found)

    def _takes_back(self, facts: Facts, more: Values) -> bool:
        """Whether a rule spoke because something was unknown that would now be known."""
        return any(
            name in way.unknown and _matches(way, facts.get)
            for name in more
            if name not in facts
            for ready in self._readers.get(name, ())
            for way in ready.ways
        )

    def _early_readers(self, name: str) -> Iterable[int]:
        return (ready.place for ready in self._readers.get(name, ()) if ready.rule.layer < LAST)

    def _alone(self, name: str) -> Chain:
        """The rules downstream of a fact by themselves."""
        if name not in self._parts:
            self._parts[name] = Chain(self.downstream(name))
        return self._parts[name]


def leading_to(rules: Iterable[EngineRule], causes: Iterable[str]) -> tuple[EngineRule, ...]:
    """Of these rules, those about findings that can end in evidence about one of these causes."""
    left = [rule for rule in rules if rule.layer < LAST]
    wanted = {f"evidence.{cause}" for cause in causes}
    found: list[EngineRule] = []
    while True:
        more = [rule for rule in left if wanted.intersection(rule.concludes)]
        if not more:
            return tuple(found)
        found += more
        left = [rule for rule in left if not wanted.intersection(rule.concludes)]
        wanted = {name for rule in more for name in _names(rule)}


def _ready(rule: EngineRule, place: int) -> _Ready:
    return _Ready(rule, place, tuple(_way(branch) for branch in rule.branches))


def _way(branch: Branch) -> _Way:
    tests: dict[str, list[Passes]] = {name: [] for name in branch.names}
    for leaf in branch.tests:
        tests[leaf.name].append(_passes(leaf))
    return _Way(tuple((name, tuple(passes)) for name, passes in tests.items()), branch.unknown)


def _passes(leaf: Leaf) -> Passes:
    """The test of a leaf; the commonest, that an answer is one word, without detours."""
    if leaf.negated or len(leaf.parts) != 1 or leaf.parts[0][0] != "is":
        return leaf.passes
    wanted = leaf.parts[0][1]
    return lambda value: value == wanted


def _names(rule: EngineRule) -> set[str]:
    return {name for branch in rule.branches for name in (*branch.names, *branch.unknown)}


def _facts_of(rule: EngineRule) -> list[str]:
    return [name for name in rule.concludes if not name.startswith("evidence.")]


def _learn(values: Values, fact: Fact) -> bool:
    """Take a fact in; true when it is new."""
    known = values.get(fact.name)
    if known is None:
        values[fact.name] = (fact.value,)
    elif fact.value in known:
        return False
    else:
        values[fact.name] = gather([*(Fact(fact.name, value) for value in known), fact])[fact.name]
    return True


def _matches(way: _Way, known: Callable[[str], tuple[Value, ...] | None]) -> list[Mapping[str, Value]]:
    """Every combination of known values that passes."""
    for name in way.unknown:
        if known(name):
            return []
    found: list[dict[str, Value]] = [{}]
    for name, tests in way.needs:
        values = known(name)
        if not values:
            return []
        passing = [value for value in values if all(passes(value) for passes in tests)]
        if not passing:
            return []
        found = [{**matched, name: value} for matched in found for value in passing]
    return list(found)
