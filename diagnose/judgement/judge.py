"""Facts to judgement: chain, weigh, chain on with the standings, plan."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Set
from dataclasses import dataclass
from functools import cached_property

from diagnose.engine.chain import Chain
from diagnose.engine.compile import EngineRule, compile_rules
from diagnose.engine.facts import Fact, Facts
from diagnose.engine.network import Network
from diagnose.engine.trace import Trace
from diagnose.engine.truth import Branch, Truth, branches
from diagnose.engine.truth import judge as judge_condition
from diagnose.knowledge.limits import USUAL_LAW, under_law
from diagnose.knowledge.models.vocabulary import Clash
from diagnose.knowledge.rule_base import RuleBase
from diagnose.planning.plan import WITHHELD, Plan, make_plan
from diagnose.reasoning.findings import findings, priors
from diagnose.reasoning.questions import Candidate, rank_questions
from diagnose.reasoning.standing import Standing, as_facts, standings
from diagnose.reasoning.weigh import Weighing, weigh


class Cellar:
    """A rule base made ready to judge cases. Built once in a process."""

    def __init__(
        self, base: RuleBase, law: str = USUAL_LAW, figures: Mapping[str, float] | None = None
    ) -> None:
        """`law` and `figures` are the person's: whose limits count, and their own figure for some of them."""
        self.base = under_law(base, law, figures)
        self.rules = {rule.id: rule for rule in compile_rules(self.base)}
        self._rules: dict[str, tuple[EngineRule, ...]] = {}
        self._networks: dict[str, Network] = {}
        self._chains: dict[str, Chain] = {}

    def rules_of(self, topic: str) -> tuple[EngineRule, ...]:
        """The rules that can speak in a topic: all but those about the causes of other topics."""
        if topic not in self._rules:
            away = {name for name, cause in self.base.causes.items() if cause.topic != topic}
            self._rules[topic] = tuple(rule for rule in self.rules.values() if not _elsewhere(rule, away))
        return self._rules[topic]

    def network_of(self, topic: str) -> Network:
        """The experta network of a topic, built once."""
        if topic not in self._networks:
            self._networks[topic] = Network(self.rules_of(topic))
        return self._networks[topic]

    def chain_of(self, topic: str) -> Chain:
        """The plain twin of that network, for what-if questions."""
        if topic not in self._chains:
            self._chains[topic] = Chain(self.rules_of(topic))
        return self._chains[topic]

    @cached_property
    def clashes(self) -> tuple[tuple[Clash, tuple[Branch, ...]], ...]:
        """The pages of answers that cannot all be right, with their conditions made ready."""
        return tuple((page, branches(page.when)) for page in self.base.clashes.values())


def _elsewhere(rule: EngineRule, away: Set[str]) -> bool:
    """Whether a rule weighs or reads only causes that are not weighed here, so that it could change nothing."""
    weighs = [name.removeprefix("evidence.") for name in rule.concludes if name.startswith("evidence.")]
    if weighs and len(weighs) == len(rule.concludes) and away >= set(weighs):
        return True
    return bool(rule.branches) and all(
        any(name.startswith("cause.") and name.removeprefix("cause.") in away for name in branch.known)
        for branch in rule.branches
    )


@dataclass(frozen=True)
class Judged:
    """A case as judged."""

    topic: str
    trace: Trace
    weighing: Weighing
    standings: tuple[Standing, ...]
    plan: Plan
    clashes: tuple[Clash, ...] = ()
    """Answers that cannot all be right, as the pages see it."""

    @property
    def facts(self) -> Facts:
        """Everything known, given and concluded."""
        return self.trace.facts

    @cached_property
    def contradictions(self) -> Facts:
        """Facts about the wine that came out with more than one value."""
        return {name: values for name, values in self.facts.items() if len(values) > 1 and "." not in name}

    @property
    def first(self) -> Standing:
        """The most likely cause."""
        return self.standings[0]


def judge(cellar: Cellar, topic: str, facts: Iterable[Fact]) -> Judged:
    """Judge a case from nothing but its facts; their order makes no difference."""
    base = cellar.base
    network = cellar.network_of(topic)
    trace = network.start(sorted(set(facts), key=_fact_order))
    before = priors(base, topic)
    weighing = weigh(before, findings(base, trace.evidence, before))
    found = standings(base, weighing, trace.facts)
    trace = network.add(as_facts(found))
    plan = make_plan(base, cellar.rules, trace, found)
    clashes = tuple(page for page, when in cellar.clashes if judge_condition(when, trace.facts) is Truth.TRUE)
    return Judged(topic, trace, weighing, found, plan, clashes)


def _fact_order(fact: Fact) -> tuple[str, str]:
    return fact.name, repr(sorted(fact.value) if isinstance(fact.value, frozenset) else fact.value)


def questions(cellar: Cellar, judged: Judged, left_out: Iterable[str] = ()) -> tuple[Candidate, ...]:
    """The questions worth asking now, best first. `left_out` were skipped or put off."""
    return rank_questions(
        cellar.base,
        cellar.chain_of(judged.topic),
        judged.weighing,
        judged.facts,
        frozenset(judged.trace.evidence),
        {*left_out, *withheld(cellar.base, judged.facts)},
    )


def withheld(base: RuleBase, facts: Facts) -> set[str]:
    """Observations that only tests yield which a rule withholds here, and those that are dangerous to find out."""
    behind_tests = {
        name
        for name, tests in base.tests_yielding.items()
        if all(WITHHELD in facts.get(f"test.{test}", ()) for test in tests)
    }
    return behind_tests | {name for name in base.observations if dangerous(name, facts)}


def dangerous(observation: str, facts: Facts) -> bool:
    """Whether a rule says that finding this out would hurt somebody here."""
    return WITHHELD in facts.get(f"question.{observation}", ())
