"""How near the order of questions comes to the best possible one.

On small parts of the rules every order of questions is searched, so the best is known exactly. On the whole rules
that cannot be done; there the information that answers can carry gives a number of questions that no order can beat.
"""

from __future__ import annotations

import dataclasses
import math
import random
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cache, cached_property

from people import CEILING, answer_chances, readily, values_of
from play import Play, Rules, Value, shipped
from tables import table

History = frozenset[tuple[str, str]]
"""Questions with their answer words."""


@dataclass(frozen=True)
class Part:
    """Which small part of the rules: a topic, some of its causes, some of its questions."""

    topic: str
    number: int
    causes: int = 4
    questions: int = 6


@dataclass(frozen=True)
class Compared:
    """Expected cost until the true cause first stands first: ours, the best, and the order of the files."""

    part: Part
    ways: int
    """How many different sets of answers there are."""
    questions: tuple[float, float, float]
    minutes: tuple[float, float, float]


def parts(topics: Sequence[str], each: int) -> list[Part]:
    """So many parts of each topic."""
    return [Part(topic, number) for topic in topics for number in range(each)]


def compare(part: Part) -> Compared:
    """Search one part. Cost is counted in questions, and in minutes with the attention of each question."""
    small = _Small(part)
    one = dict.fromkeys(small.questions, 1.0)
    attention = small.rules.attention
    minutes = {name: small.rules.cost(name)[0] + attention for name in small.questions}
    found = [
        (small.expected(cost, "ours"), small.expected(cost, "best"), small.expected(cost, "file"))
        for cost in (one, minutes)
    ]
    return Compared(part, len(small.seen), found[0], found[1])


class _Small:
    """A few causes and a few questions of a topic, with every order of asking.

    Of each cause only rows on these questions stay. No two of them measure the same thing, so that an answer depends
    on the cause alone and the chances below are exact.
    """

    def __init__(self, part: Part) -> None:
        self.topic = part.topic
        chance = random.Random(f"{part.topic}/{part.number}")
        whole = shipped()
        here = sorted(name for name, cause in whole.base.causes.items() if cause.topic == part.topic)
        causes = chance.sample(here, part.causes)
        self.questions = _telling(whole, causes, part.questions)
        self.rules = _only(whole, part.topic, causes, self.questions)
        self.seen: dict[History, str] = {}
        self._asked: dict[History, str | None] = {}

    @cached_property
    def _values(self) -> dict[str, dict[str, Value]]:
        """For each question its answers, each with a value that gives it."""
        chance = random.Random(0)
        return {
            name: dict(
                zip(
                    self.rules.observation(name).answers,
                    (value for value, _ in values_of(self.rules, name, chance)),
                    strict=True,
                )
            )
            for name in self.questions
        }

    @cached_property
    def _chances(self) -> dict[tuple[str, str, str], float]:
        """The chance of each answer for each cause."""
        nothing = self.rules.known(self.topic, {})
        found = {}
        for name, values in self._values.items():
            normally = self.rules.normally(name)
            for cause in self._priors:
                weights = {value: normally[answer] for answer, value in values.items()}
                chances = answer_chances(self.rules, self.topic, nothing, (cause,), name, weights)
                for answer, value in values.items():
                    found[name, answer, cause] = chances[value]
        return found

    @cached_property
    def _priors(self) -> dict[str, float]:
        alone = {causes[0]: chance for causes, chance in self.rules.sets(self.topic) if len(causes) == 1}
        return {cause: chance / sum(alone.values()) for cause, chance in alone.items()}

    def expected(self, cost: Mapping[str, float], way: str) -> float:
        """The expected cost of a way of asking; a cause that never comes first costs all the questions."""
        known: dict[tuple[History, frozenset[str]], float] = {}

        def onward(history: History, weights: Mapping[str, float]) -> float:
            first = self._first(history)
            left = {cause: weight for cause, weight in weights.items() if cause != first}
            key = history, frozenset(left)
            if not left or len(history) == len(self.questions):
                return 0.0
            if key not in known:
                asked = {name for name, _ in history}
                names = [name for name in self.questions if name not in asked]
                if way != "best":
                    names = [self._ours(history) or names[0]] if way == "ours" else names[:1]
                known[key] = min(ask(history, left, name) for name in names)
            return known[key]

        def ask(history: History, left: Mapping[str, float], name: str) -> float:
            after = (
                onward(
                    history | {(name, answer)},
                    {cause: weight * self._chances[name, answer, cause] for cause, weight in left.items()},
                )
                for answer in self._values[name]
            )
            return cost[name] * math.fsum(left.values()) + math.fsum(after)

        return onward(frozenset(), self._priors)

    def _answers(self, history: History) -> dict[str, Value]:
        return {name: self._values[name][answer] for name, answer in history}

    def _first(self, history: History) -> str:
        """The cause that the program puts first."""
        if history not in self.seen:
            known = self.rules.known(self.topic, self._answers(history))
            self.seen[history] = self.rules.standings(self.topic, known)[0][0]
        return self.seen[history]

    def _ours(self, history: History) -> str | None:
        """The question that the program asks next; None when it would stop."""
        if history not in self._asked:
            play = Play(self.rules, self.topic)
            for name, value in sorted(self._answers(history).items()):
                play.answer(name, value)
            self._asked[history] = play.next_question()
        return self._asked[history]


def _telling(rules: Rules, causes: Sequence[str], count: int) -> list[str]:
    """The questions that most rows of these causes speak of, no two about the same thing; in file order."""
    rows: dict[str, int] = {}
    for cause in causes:
        for row in rules.base.causes[cause].evidence:
            page = rules.base.observations.get(row.observe or "")
            if page is not None and page.kind != "several" and 2 <= len(page.answers) <= 4 and not row.about:
                rows[page.observe] = rows.get(page.observe, 0) + len(row.says)
    found: list[str] = []
    groups: set[str] = set()
    for name in sorted(rows, key=lambda name: (-rows[name], name)):
        group = rules.observation(name).about or name
        if group not in groups and len(found) < count:
            found.append(name)
            groups.add(group)
    return [name for name in rules.base.observations if name in found]


def _only(whole: Rules, topic: str, causes: Sequence[str], questions: Sequence[str]) -> Rules:
    """The rules with these causes and these questions, and nothing that comes after the diagnosis."""
    base = whole.base
    kept = {
        name: base.causes[name].model_copy(
            update={
                "evidence": tuple(
                    row for row in base.causes[name].evidence if row.observe in questions and not row.about
                ),
                "confirmed_by": (),
                "cured_by": (),
                "mimics": (),
            }
        )
        for name in causes
    }
    asked = {
        name: base.observations[name].model_copy(update={"ask_when": None, "instead_of": None})
        for name in questions
    }
    nothing: dict[str, object] = {
        key: {} for key in ("states", "derived", "rules", "fixes", "clashes", "gates")
    }
    topics = {topic: base.topics[topic].model_copy(update={"opening": ()})}
    return Rules(
        dataclasses.replace(base, causes=kept, observations=asked, topics=topics, **nothing)  # type: ignore[arg-type]
    )


def compared_lines(found: Sequence[Compared]) -> list[str]:
    """Each part, and all of them together."""
    lines = [
        [f"{item.part.topic}, part {item.part.number + 1}", item.ways, *_cells(item.questions, item.minutes)]
        for item in found
    ]
    sums = [
        tuple(math.fsum(getattr(item, what)[way] for item in found) for way in range(3))
        for what in ("questions", "minutes")
    ]
    lines.append(["all together", sum(item.ways for item in found), *_cells(*sums)])
    head = ["part of the rules", "sets of answers", "questions: ours", "best", "ours over best"]
    return table([*head, "minutes: ours", "best", "ours over best", "ours over file order"], lines)


def _cells(questions: Sequence[float], minutes: Sequence[float]) -> list[str]:
    return [
        f"{questions[0]:.2f}",
        f"{questions[1]:.2f}",
        _ratio(questions[0], questions[1]),
        f"{minutes[0]:.1f}",
        f"{minutes[1]:.1f}",
        _ratio(minutes[0], minutes[1]),
        _ratio(minutes[0], minutes[2]),
    ]


def _ratio(above: float, below: float) -> str:
    return f"{above / below:.2f}" if below else "-"


def ratio_to_best(found: Sequence[Compared]) -> float:
    """Ours over the best, in minutes, over all parts together."""
    return math.fsum(item.minutes[0] for item in found) / math.fsum(item.minutes[1] for item in found)


# ---------------------------------------------------------------- the whole rules


@cache
def least_questions(topic: str, right: float) -> tuple[float, float]:
    """The doubt about a single cause before anything is asked, in bits, and the fewest questions that could settle it.

    `right` is how often the first cause is to be right in the end (Fano's inequality leaves out the doubt that may
    remain). No question tells more about the cause than its capacity, whatever is known already; so the largest
    capacities are added up until they reach what is needed. Combinations of answers are left out.
    """
    rules = shipped()
    alone = {causes[0]: chance for causes, chance in rules.sets(topic) if len(causes) == 1}
    chances = [chance / sum(alone.values()) for chance in alone.values()]
    doubt = _entropy(chances)
    needed = doubt - _entropy((right, 1 - right)) - (1 - right) * math.log2(len(chances) - 1)
    capacities = sorted(
        (_capacity(rules, topic, name, tuple(alone)) for name in rules.questions(topic)), reverse=True
    )
    count = 0.0
    for capacity in capacities:
        if needed <= capacity:
            return doubt, count + max(0.0, needed) / capacity
        needed, count = needed - capacity, count + 1
    return doubt, math.inf


def _capacity(rules: Rules, topic: str, name: str, causes: Sequence[str]) -> float:
    """The most bits one answer can tell about a single cause."""
    nothing = rules.known(topic, {})
    values = dict(values_of(rules, name, random.Random(0)))
    if rules.observation(name).kind != "several":
        return _channel(
            [list(answer_chances(rules, topic, nothing, (cause,), name, values).values()) for cause in causes]
        )
    usual = rules.base.word("normally", "usual")
    ticks = []
    for answer, weight in values.items():
        evidence = rules.evidence_if(topic, nothing, name, frozenset({str(answer)}))
        chances = [
            min(CEILING, weight / (weight + usual) * readily(rules, evidence, (cause,))) for cause in causes
        ]
        # A box that every cause ticks alike tells nothing.
        if max(chances) - min(chances) > 1e-9:
            ticks.append(chances)
    return _channel([_all_ticks([chances[at] for chances in ticks]) for at in range(len(causes))])


def _all_ticks(chances: Sequence[float]) -> list[float]:
    """The chance of each set of ticked boxes."""
    found = [1.0]
    for chance in chances:
        found = [part * factor for part in found for factor in (chance, 1 - chance)]
    return found


def _channel(rows: Sequence[Sequence[float]]) -> float:
    """Capacity in bits of a channel, from the chances of each answer for each cause (Blahut and Arimoto's way)."""
    share = [1 / len(rows)] * len(rows)
    for _ in range(15):
        mixed = [
            math.fsum(part * row[at] for part, row in zip(share, rows, strict=True))
            for at in range(len(rows[0]))
        ]
        told = [
            math.fsum(p * math.log2(p / q) for p, q in zip(row, mixed, strict=True) if p > 0) for row in rows
        ]
        raised = [part * 2**bits for part, bits in zip(share, told, strict=True)]
        share = [part / math.fsum(raised) for part in raised]
    # Never too low, however far the search has come.
    return max(told)


def _entropy(chances: Sequence[float]) -> float:
    return -math.fsum(chance * math.log2(chance) for chance in chances if chance > 0)
