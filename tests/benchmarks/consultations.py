"""Whole consultations with simulated people, by several ways of choosing the next question."""

from __future__ import annotations

import importlib
import random
import sys
import time
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import Any, Protocol

from play import Play, Rules, Standings, Value

PUBLISHED = Path(__file__).resolve().parents[1] / "published"

KEYS = {
    "haze": ("test_published_haze_key", "KEY"),
    "cold": ("test_published_cold_key", "KEY"),
    "heat": ("test_published_heat_key", "GUIDANCE"),
    "stuck": ("test_published_stuck_key", "KEY"),
    "runaway": ("test_published_runaway_key", "SPEAKS_FOR"),
    "so2": ("test_published_so2_key", "GUIDE"),
}
"""By topic, the published key in the tests. That of troubles from outside is a list of fears, not an order."""


class Answers(Protocol):
    """Somebody who can be asked."""

    @property
    def truth(self) -> tuple[str, ...]:
        """The causes at work."""

    @property
    def topic(self) -> str:
        """The kind of trouble."""

    def says(self, name: str) -> Value | None:
        """An answer; None is *don't know*."""


@dataclass(frozen=True)
class Step:
    """One question, its answer, and how the causes stood afterwards."""

    question: str
    known: bool
    """Whether it was answered; otherwise it was *don't know*."""
    minutes: float
    """Work, with waiting counted in part; a test is done once, whatever number of answers it yields."""
    first: str
    chance: float
    of_truth: float
    """The chance of the true cause; of several, of the likeliest."""
    rank: int
    """The place of the first true cause, counted from 0."""
    expected: float | None = None
    """What the question was expected to tell, in bits, where it was chosen for that."""
    seconds: float = 0.0
    """From the answer to the next question, of the processor's time, so that other work on the machine is left out."""


@dataclass(frozen=True)
class Played:
    """A whole consultation. `steps[0]` is how it stood before anything was asked."""

    topic: str
    truth: tuple[str, ...]
    steps: tuple[Step, ...]
    standings: Standings
    """How every cause stood at the end."""

    @property
    def asked(self) -> int:
        """How many questions were asked in all."""
        return len(self.steps) - 1

    @property
    def right(self) -> bool:
        """Whether a true cause stands first at the end."""
        return self.steps[-1].rank == 0

    @property
    def until_right(self) -> int | None:
        """Questions asked until a true cause stood first and stayed there; None when it did not."""
        if not self.right:
            return None
        return max((at + 1 for at, step in enumerate(self.steps) if step.rank), default=0)

    @property
    def minutes_until_right(self) -> float | None:
        """Work done until then."""
        until = self.until_right
        return None if until is None else sum(step.minutes for step in self.steps[: until + 1])


class _Work:
    """Minutes of work, each test done once."""

    def __init__(self, rules: Rules) -> None:
        self._rules, self._done = rules, set[str]()

    def minutes(self, name: str, known: bool) -> float:
        minutes, test = self._rules.cost(name)
        if not known or (test and test in self._done):
            return 0.0
        if test:
            self._done.add(test)
        return minutes


def _step(
    truth: Sequence[str], standings: Standings, question: str = "", minutes: float = 0.0, **more: Any
) -> Step:
    order = [cause for cause, _ in standings]
    chances = dict(standings)
    return Step(
        question=question,
        minutes=minutes,
        first=order[0],
        chance=standings[0][1],
        of_truth=max(chances[cause] for cause in truth),
        rank=min(order.index(cause) for cause in truth),
        **{"known": True, **more},
    )


def play_ours(rules: Rules, person: Answers) -> Played:
    """The program asks, until it finds nothing worth asking."""
    play = Play(rules, person.topic)
    steps = [_step(person.truth, play.standings())]
    work = _Work(rules)
    name = play.next_question()
    play.make_ready()
    while name is not None:
        expected = play.expected_gain(name)
        value = person.says(name)
        began = time.process_time()
        play.answer(name, value)
        following = play.next_question()
        seconds = time.process_time() - began
        known = value is not None
        minutes = work.minutes(name, known)
        steps.append(
            _step(
                person.truth,
                play.standings(),
                name,
                minutes,
                known=known,
                expected=expected,
                seconds=seconds,
            )
        )
        name = following
    return Played(person.topic, person.truth, tuple(steps), play.standings())


def play_in_order(rules: Rules, person: Answers, order: Sequence[str]) -> Played:
    """Questions in a set order, each as soon as it makes sense, until none is left."""
    topic = person.topic
    answers: dict[str, Value] = {}
    known = rules.known(topic, answers)
    standings = rules.standings(topic, known)
    steps = [_step(person.truth, standings)]
    work = _Work(rules)
    left = list(order)
    while (name := next((each for each in left if rules.may_ask(each, known)), None)) is not None:
        left.remove(name)
        value = person.says(name)
        if value is not None:
            answers[name] = value
            known = rules.known(topic, answers)
            standings = rules.standings(topic, known)
        minutes = work.minutes(name, value is not None)
        steps.append(_step(person.truth, standings, name, minutes, known=value is not None))
    _same_as_the_program(rules, topic, answers, standings)
    return Played(topic, person.truth, tuple(steps), standings)


def _same_as_the_program(rules: Rules, topic: str, answers: dict[str, Value], standings: Standings) -> None:
    """The short way to the chances, taken above, must end where the whole judgement ends.

    Where the answers open a second trouble, the judgement weighs that too, and the two may differ.
    """
    if rules.opened(topic, answers):
        return
    judged = dict(rules.judged(topic, answers)[0])
    if any(abs(judged[cause] - chance) > 1e-9 for cause, chance in standings):
        raise AssertionError(f"the short way and the judgement differ in {topic} on {sorted(answers)}")


# ---------------------------------------------------------------- the other ways


def fixed_order(rules: Rules, person: Answers) -> Played:
    """Every question of the topic in the order of the rule files."""
    return play_in_order(rules, person, rules.questions(person.topic))


def random_order(rules: Rules, person: Answers) -> Played:
    """Every question of the topic in an order drawn anew for each person."""
    order = list(rules.questions(person.topic))
    random.Random(f"{person.topic}/{person.truth}/{getattr(person, 'seed', '')}").shuffle(order)
    return play_in_order(rules, person, order)


def key_order(rules: Rules, person: Answers) -> Played | None:
    """The questions that the published key of the topic names, as it names them; None without a key."""
    order = published_order(person.topic)
    known = set(rules.base.observations)
    return play_in_order(rules, person, [name for name in order if name in known]) if order else None


@cache
def published_order(topic: str) -> tuple[str, ...]:
    """The questions of the published key in the order in which its entries first name them."""
    if topic not in KEYS:
        return ()
    module, name = KEYS[topic]
    if str(PUBLISHED) not in sys.path:
        sys.path.insert(0, str(PUBLISHED))
    entries = getattr(importlib.import_module(module), name)
    return tuple(dict.fromkeys(found for entry in entries.values() for found in _named(entry)))


def _named(entry: tuple[Any, ...]) -> Iterator[str]:
    for part in entry:
        if isinstance(part, dict):
            yield from part


OTHERS: dict[str, Callable[[Rules, Answers], Played | None]] = {
    "fixed order": fixed_order,
    "random order": random_order,
    "published key": key_order,
}
"""Ways to choose the next question besides ours."""
