"""Facts to judgement: chain, weigh, chain on with the standings, plan."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from functools import cached_property

from diagnose.engine.chain import Chain
from diagnose.engine.compile import compile_rules
from diagnose.engine.facts import Fact, Facts
from diagnose.engine.network import Network
from diagnose.engine.trace import Trace
from diagnose.engine.truth import Branch, Truth, branches
from diagnose.engine.truth import judge as judge_condition
from diagnose.knowledge.models.vocabulary import Clash
from diagnose.knowledge.rule_base import RuleBase
from diagnose.planning.plan import WITHHELD, Plan, make_plan
from diagnose.reasoning.findings import findings, priors
from diagnose.reasoning.questions import Candidate, rank_questions
from diagnose.reasoning.standing import Standing, as_facts, standings
from diagnose.reasoning.weigh import Weighing, weigh


class Cellar:
    """A rule base made ready to judge cases. Built once in a process."""

    def __init__(self, base: RuleBase) -> None:
        self.base = base
        self.rules = {rule.id: rule for rule in compile_rules(base)}

    @cached_property
    def network(self) -> Network:
        """The experta network."""
        return Network(self.rules.values())

    @cached_property
    def clashes(self) -> tuple[tuple[Clash, tuple[Branch, ...]], ...]:
        """The pages of answers that cannot all be right, with their conditions made ready."""
        return tuple((page, branches(page.when)) for page in self.base.clashes.values())

    @cached_property
    def chain(self) -> Chain:
        """The plain twin for what-if questions."""
        return Chain(self.rules.values())


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
    trace = cellar.network.start(sorted(set(facts), key=_fact_order))
    before = priors(base, topic)
    weighing = weigh(before, findings(base, trace.evidence, before))
    found = standings(base, weighing, trace.facts)
    trace = cellar.network.add(as_facts(found))
    plan = make_plan(base, cellar.rules, trace, found)
    clashes = tuple(page for page, when in cellar.clashes if judge_condition(when, trace.facts) is Truth.TRUE)
    return Judged(topic, trace, weighing, found, plan, clashes)


def _fact_order(fact: Fact) -> tuple[str, str]:
    return fact.name, repr(sorted(fact.value) if isinstance(fact.value, frozenset) else fact.value)


def questions(cellar: Cellar, judged: Judged, left_out: Iterable[str] = ()) -> tuple[Candidate, ...]:
    """The questions worth asking now, best first. `left_out` were skipped or put off."""
    return rank_questions(
        cellar.base,
        cellar.chain,
        judged.weighing,
        judged.facts,
        frozenset(judged.trace.evidence),
        {*left_out, *withheld(cellar.base, judged.facts)},
    )


def withheld(base: RuleBase, facts: Facts) -> set[str]:
    """Observations that only tests yield which a rule withholds here."""
    return {
        name
        for name, tests in base.tests_yielding.items()
        if all(WITHHELD in facts.get(f"test.{test}", ()) for test in tests)
    }
