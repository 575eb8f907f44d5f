"""Facts to judgement: chain, weigh, chain on with the standings, plan."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from typing import Literal

from diagnose.engine.chain import Chain, leading_to
from diagnose.engine.compile import TOPIC, EngineRule, compile_rules
from diagnose.engine.facts import Evidence, Fact, Facts
from diagnose.engine.network import Network, within_reach
from diagnose.engine.trace import Trace
from diagnose.engine.truth import Branch, Truth, branches
from diagnose.engine.truth import judge as judge_condition
from diagnose.knowledge.limits import USUAL_LAW, under_law
from diagnose.knowledge.models.vocabulary import Clash
from diagnose.knowledge.rule_base import RuleBase
from diagnose.planning.plan import WITHHELD, Plan, make_plan
from diagnose.reasoning.decisions import Decisions, decisions
from diagnose.reasoning.findings import findings, priors
from diagnose.reasoning.questions import Candidate, State, all_open, rank_questions
from diagnose.reasoning.standing import Standing, as_facts, standings
from diagnose.reasoning.weigh import UNKNOWN, Weighing, weigh_topics

Machine = Literal["network", "chain"]
"""What does the chaining: experta's network, or its plain twin that is fast enough for every key press."""


class Cellar:
    """A rule base made ready to judge cases. Built once in a process."""

    def __init__(
        self, base: RuleBase, law: str = USUAL_LAW, figures: Mapping[str, float] | None = None
    ) -> None:
        """`law` and `figures` are the person's: whose limits count, and their own figure for some of them."""
        self.base = under_law(base, law, figures)
        self.law = law
        self.figures = figures or {}
        self._ahead: dict[frozenset[str], Chain] = {}

    @cached_property
    def rules(self) -> Mapping[str, EngineRule]:
        """Every rule by its id. Raises RuleFilesWrong for a condition too tangled to be meant."""
        return {rule.id: rule for rule in compile_rules(self.base)}

    def network(self, facts: Iterable[Fact], topics: Iterable[str]) -> Network:
        """An experta network of the rules that these facts, and the standings in these topics, could ever reach."""
        causes = [cause for topic in topics for cause in priors(self.base, topic)]
        return Network(within_reach(self.rules.values(), facts, [f"cause.{cause}" for cause in causes]))

    @cached_property
    def chain(self) -> Chain:
        """The plain twin of the network."""
        return Chain(self.rules.values())

    def ahead(self, topics: Sequence[str]) -> Chain:
        """The rules that can still bring evidence in these topics, for what-if questions."""
        key = frozenset(topics)
        if key not in self._ahead:
            causes = [name for name, cause in self.base.causes.items() if cause.topic in key]
            self._ahead[key] = Chain(leading_to(self.rules.values(), causes))
        return self._ahead[key]

    @cached_property
    def named(self) -> Decisions:
        """What would be done about each cause."""
        return decisions(self.base)

    @cached_property
    def clashes(self) -> tuple[tuple[Clash, tuple[Branch, ...]], ...]:
        """The pages of answers that cannot all be right, with their conditions made ready."""
        return tuple((page, branches(page.when)) for page in self.base.clashes.values())


@dataclass(frozen=True)
class Judged:
    """A case as judged."""

    topics: tuple[str, ...]
    """The kinds of trouble weighed: those that brought the person first, then those that the findings opened."""
    trace: Trace
    weighings: Mapping[str, Weighing]
    standings: tuple[Standing, ...]
    """Every cause of every topic, most likely first; `UNKNOWN` once for each topic."""
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

    @cached_property
    def firsts(self) -> Mapping[str, Standing]:
        """The most likely cause of each topic."""
        return {topic: self.of(topic)[0] for topic in self.topics}

    @property
    def first(self) -> Standing:
        """The most likely cause of the trouble that brought the person."""
        return self.firsts[self.topics[0]]

    @property
    def first_causes(self) -> Mapping[str, str]:
        """The name of the most likely cause of each topic."""
        return {topic: first.cause for topic, first in self.firsts.items()}

    def of(self, topic: str) -> tuple[Standing, ...]:
        """The causes of one topic, most likely first."""
        return tuple(standing for standing in self.standings if standing.topic == topic)

    def weighing_of(self, standing: Standing) -> Weighing:
        """The weighing in which a cause stands."""
        return self.weighings[standing.topic]


def judge(
    cellar: Cellar, topics: str | Sequence[str], facts: Iterable[Fact], machine: Machine = "network"
) -> Judged:
    """Judge a case from nothing but its facts; their order makes no difference.

    `topics` are the kinds of trouble that brought the person; the findings may open others.
    """
    base = cellar.base
    given = sorted(set(facts), key=_fact_order)
    brought = (topics,) if isinstance(topics, str) else tuple(topics)
    runs: Chain | Network = cellar.chain
    trace = runs.start(given)
    weighed = (*brought, *(topic for topic in opened(base, trace.facts) if topic not in brought))
    if machine == "network":
        runs = cellar.network(given, weighed)
        trace = runs.start(given)
    before = {topic: priors(base, topic) for topic in weighed}
    weighings = weigh_topics(
        before, {topic: findings(base, trace.evidence, causes) for topic, causes in before.items()}
    )
    found = standings(base, weighings, trace.facts)
    trace = _about(runs.add(as_facts(found)), {cause for causes in before.values() for cause in causes})
    plan = make_plan(base, cellar.rules, trace, found)
    clashes = tuple(page for page, when in cellar.clashes if judge_condition(when, trace.facts) is Truth.TRUE)
    return Judged(weighed, trace, weighings, found, plan, clashes)


def opened(base: RuleBase, facts: Facts) -> tuple[str, ...]:
    """The topics that a rule opens because of what was found."""
    return tuple(topic for topic in base.topics if TOPIC + topic in facts)


def _about(trace: Trace, causes: set[str]) -> Trace:
    """The trace without what it says of causes of other topics, which nobody weighed."""
    return replace(
        trace,
        firings=tuple(
            firing
            for firing in trace.firings
            if not all(isinstance(item, Evidence) and item.cause not in causes for item in firing.concluded)
        ),
    )


def _fact_order(fact: Fact) -> tuple[str, str]:
    return fact.name, repr(sorted(fact.value) if isinstance(fact.value, frozenset) else fact.value)


def questions(cellar: Cellar, judged: Judged, left_out: Iterable[str] = ()) -> tuple[Candidate, ...]:
    """The questions worth asking now, best first. `left_out` were skipped or put off."""
    return rank_questions(state_of(cellar, judged), {*left_out, *withheld(cellar.base, judged.facts)})


def doubts(cellar: Cellar, judged: Judged) -> tuple[Candidate, ...]:
    """Every question that could still move a cause, also those skipped, put off or not worth their cost."""
    return all_open(state_of(cellar, judged), withheld(cellar.base, judged.facts))


def state_of(cellar: Cellar, judged: Judged) -> State:
    """What the choice of the next question depends on."""
    return State(
        cellar.base,
        cellar.ahead(judged.topics),
        judged.weighings,
        judged.facts,
        frozenset(judged.trace.evidence),
        cellar.named,
        frozenset(topic for topic, first in judged.firsts.items() if _settled(first)),
    )


def _settled(first: Standing) -> bool:
    """Whether what to do about a topic is likely already."""
    return first.cause != UNKNOWN and first.is_likely


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
