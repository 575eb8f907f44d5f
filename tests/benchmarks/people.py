"""Simulated people: their trouble is drawn by the priors, their answers by the chances the rules themselves give.

A person answers what is asked, lazily, and always the same to the same question. The true answer is drawn from how
often it is met in a sound wine, times the ratio that the rules give it for the true causes and for what the person's
other true answers are. What the person then *says* may be wrong, slip to the answer beside it, or be missing.

The weighing of a finding is written here once more, apart from the program, so that a slip there shows here.
"""

from __future__ import annotations

import math
import random
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field

from diagnose.engine.facts import Evidence
from play import Known, Rules, Value

CEILING = 0.95
"""No cause makes a finding more certain than this, as in the rules."""

COSTLY = 15.0
"""Minutes from which an answer is so costly that it is missing half as often again."""


@dataclass(frozen=True)
class Noise:
    """How answers go wrong, as chances: any other answer, the answer beside it, no answer."""

    wrong: float = 0.0
    slip: float = 0.0
    missing: float = 0.0


NONE = Noise()
"""Every answer true."""


@dataclass
class Person:
    """One person with one wine. `truth` holds the causes at work."""

    rules: Rules
    topic: str
    truth: tuple[str, ...]
    seed: str
    noise: Noise = NONE
    world: dict[str, Value] = field(default_factory=dict)
    """The true answers that were drawn so far."""
    said: dict[str, Value | None] = field(default_factory=dict)

    def with_noise(self, noise: Noise) -> Person:
        """The same trouble and the same luck, told with other noise."""
        return Person(self.rules, self.topic, self.truth, self.seed, noise)

    def says(self, name: str) -> Value | None:
        """What the person answers; None is *don't know*."""
        if name not in self.said:
            self.said[name] = self._told(name, self._true(name))
        return self.said[name]

    def _true(self, name: str) -> Value:
        if name not in self.world:
            known = self.rules.known(self.topic, self.world)
            self.world[name] = draw_answer(
                self.rules, self.topic, known, self.truth, name, random.Random(f"{self.seed}/{name}")
            )
        return self.world[name]

    def _told(self, name: str, true: Value) -> Value | None:
        chance = random.Random(f"{self.seed}/{name}/told")
        luck = [chance.random() for _ in range(3)]
        costly = self.rules.cost(name)[0] >= COSTLY
        if luck[0] < min(0.95, self.noise.missing * (1.5 if costly else 1.0)):
            return None
        if luck[1] < self.noise.wrong:
            return another(self.rules, name, true, chance)
        if luck[2] < self.noise.slip:
            return beside(self.rules, name, true, chance)
        return true


def draw_people(rules: Rules, topic: str, count: int, seed: int) -> list[Person]:
    """People of one topic; what is at work in each is drawn by the priors, the unknown cause included."""
    sets = rules.sets(topic)
    chance = random.Random(f"{seed}/{topic}")
    drawn = chance.choices([causes for causes, _ in sets], [weight for _, weight in sets], k=count)
    return [
        Person(rules, topic, truth, f"{seed}/{topic}/{number}/{'+'.join(truth)}")
        for number, truth in enumerate(drawn)
    ]


# ---------------------------------------------------------------- true answers


def draw_answer(
    rules: Rules, topic: str, known: Known, truth: tuple[str, ...], name: str, chance: random.Random
) -> Value:
    """A true answer, given the causes at work and all that is known of this wine."""
    observation = rules.observation(name)
    if observation.kind != "several":
        drawn = [(value, weight) for value, weight in values_of(rules, name, chance)]
        chances = answer_chances(rules, topic, known, truth, name, dict(drawn))
        return chance.choices(list(chances), list(chances.values()))[0]
    before = readily(rules, known.evidence, truth)
    ticked = set()
    for answer, weight in rules.normally(name).items():
        if answer in observation.nothing_answers:
            continue
        after = readily(rules, rules.evidence_if(topic, known, name, frozenset({answer})), truth)
        usual = rules.base.word("normally", "usual")
        if chance.random() < min(CEILING, weight / (weight + usual) * after / before):
            ticked.add(answer)
    alone = [answer for answer in observation.standing_alone if answer in ticked]
    if alone:
        return frozenset(alone[:1])
    if ticked:
        return frozenset(ticked)
    nothing = observation.nothing_answers or observation.answers
    return frozenset({chance.choice(list(nothing))})


def answer_chances(
    rules: Rules,
    topic: str,
    known: Known,
    truth: tuple[str, ...],
    name: str,
    values: Mapping[Value, float],
) -> dict[Value, float]:
    """The chance of each of these values, given the causes at work; `values` holds their weights in a sound wine."""
    scores = {
        value: weight * readily(rules, rules.evidence_if(topic, known, name, value), truth)
        for value, weight in values.items()
    }
    total = math.fsum(scores.values())
    return {value: score / total for value, score in scores.items()}


def values_of(rules: Rules, name: str, chance: random.Random) -> list[tuple[Value, float]]:
    """A value for each answer that could be given, with its weight in a sound wine."""
    observation = rules.observation(name)
    weights = rules.normally(name)
    if observation.kind != "number":
        return list(weights.items())
    if weights:
        return [(chance.uniform(*_ends(rules, name, band)), weight) for band, weight in weights.items()]
    assert observation.plausible is not None
    return [(chance.uniform(*observation.plausible), 1.0) for _ in range(5)]


def _ends(rules: Rules, name: str, band: str) -> tuple[float, float]:
    """Where a band begins and ends. Its end belongs to the next band, so it stops short of it."""
    observation = rules.observation(name)
    assert observation.plausible is not None
    low, high = observation.plausible
    names = list(observation.bands)
    start = observation.bands[band].starts
    following = names[names.index(band) + 1 :]
    end = observation.bands[following[0]].starts if following else high
    low, high = max(low, low if start is None else start), min(high, high if end is None else end)
    return low, low + (high - low) * 0.999


def readily(rules: Rules, evidence: Iterable[Evidence], truth: tuple[str, ...]) -> float:
    """How many times more often this evidence is met with these causes at work than with none."""
    strongest: dict[tuple[str, str, bool], tuple[tuple[float, str, str, int], Evidence]] = {}
    highest: dict[tuple[str, str], float] = {}
    for item in evidence:
        decibans = rules.decibans(item)
        finding = item.observe, item.answer
        highest[finding] = max(highest.get(finding, 1.0), 10 ** (decibans / 10))
        if item.cause in truth:
            group = item.cause, item.about, decibans > 0
            rank = abs(decibans), item.observe, item.answer, item.row
            if group not in strongest or rank > strongest[group][0]:
                strongest[group] = rank, item
    found: dict[tuple[str, str], dict[str, float]] = {}
    for _, item in strongest.values():
        of_causes = found.setdefault((item.observe, item.answer), {})
        of_causes[item.cause] = of_causes.get(item.cause, 1.0) * 10 ** (rules.decibans(item) / 10)
    return math.prod(
        _together(rules, finding, ratios.values(), highest[finding]) for finding, ratios in found.items()
    )


def _together(rules: Rules, finding: tuple[str, str], ratios: Iterable[float], highest: float) -> float:
    """The ratio of one finding for several causes at once: noisy-OR for what is found, a product for what is not."""
    against = [ratio for ratio in ratios if ratio < 1]
    brings = [ratio for ratio in ratios if ratio > 1]
    if against and (rules.says_nothing(*finding) or not brings):
        return math.prod(against)
    normal = min(rules.normal(*finding), CEILING / highest)
    stays_away = (1 - normal) * math.prod((1 - normal * ratio) / (1 - normal) for ratio in brings)
    return (1 - stays_away) / normal


# ---------------------------------------------------------------- what goes wrong in the telling


def another(rules: Rules, name: str, true: Value, chance: random.Random) -> Value:
    """Any other answer than the true one, each as likely."""
    answers = [
        answer for answer in rules.observation(name).answers if answer not in _words(rules, name, true)
    ]
    return (
        _as_value(rules, name, chance.choice(answers), chance) if answers else _anything(rules, name, chance)
    )


def beside(rules: Rules, name: str, true: Value, chance: random.Random) -> Value:
    """The answer before or after the true one in its list."""
    answers = rules.observation(name).answers
    if len(answers) < 2:
        return _anything(rules, name, chance)
    at = answers.index(sorted(_words(rules, name, true))[0])
    near = [place for place in (at - 1, at + 1) if 0 <= place < len(answers)]
    return _as_value(rules, name, answers[chance.choice(near)], chance)


def _words(rules: Rules, name: str, value: Value) -> set[str]:
    if isinstance(value, frozenset):
        return set(value)
    if isinstance(value, str):
        return {value}
    bands = rules.observation(name).bands
    starts = [(band.starts, word) for word, band in bands.items() if band.starts is not None]
    below = [word for start, word in starts if start is not None and value >= start]
    return {below[-1] if below else next(iter(bands))} if bands else set()


def _as_value(rules: Rules, name: str, answer: str, chance: random.Random) -> Value:
    kind = rules.observation(name).kind
    if kind == "several":
        return frozenset({answer})
    return chance.uniform(*_ends(rules, name, answer)) if kind == "number" else answer


def _anything(rules: Rules, name: str, chance: random.Random) -> Value:
    plausible = rules.observation(name).plausible
    assert plausible is not None
    return chance.uniform(*plausible)
