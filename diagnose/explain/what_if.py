"""What if an answer were another, were added or taken away: two judgements side by side. The case is not touched."""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass

from diagnose.engine.facts import Fact, Value
from diagnose.judgement.gates import gates_stand
from diagnose.judgement.judge import Cellar, Judged, judge, questions

MOVED = 0.01
"""A chance that moves by less is not told, unless the word for it changes."""


@dataclass(frozen=True)
class Altered:
    """One answer that is supposed to be another; None for not known."""

    name: str
    before: Value | None
    after: Value | None


@dataclass(frozen=True)
class Moved:
    """A cause whose chance, or the word for it, is another; None where its topic is not weighed."""

    topic: str
    cause: str
    before: float | None
    after: float | None
    word_before: str | None
    word_after: str | None


@dataclass(frozen=True)
class Turned:
    """Something that stood one way and stands another: a fix, a gate, the first cause of a topic.

    None where nothing is said of it.
    """

    name: str
    before: str | None
    after: str | None


@dataclass(frozen=True)
class WhatIf:
    """What moves when answers are changed. Everything that is not named stays as it is."""

    altered: tuple[Altered, ...]
    first_causes: tuple[Turned, ...]
    """For each topic whose first cause is another, or that opens or closes."""
    causes: tuple[Moved, ...]
    first_fix: Turned | None
    """The first step of the plan, if it is another; `name` is empty."""
    fixes: tuple[Turned, ...]
    """`chosen`, `open`, `locked` or `forbidden`."""
    tests: tuple[Turned, ...]
    cautions: tuple[Turned, ...]
    gates: tuple[Turned, ...]
    clashes: tuple[Turned, ...]
    """Answers that cannot all be right."""
    next_question: Turned | None
    """The most telling question, if it is another; `name` is empty."""

    @property
    def moves_nothing(self) -> bool:
        """Whether everything stays as it is."""
        told = (
            self.first_causes,
            self.causes,
            self.fixes,
            self.tests,
            self.cautions,
            self.gates,
            self.clashes,
        )
        return not any(told) and self.first_fix is None and self.next_question is None


def what_if(
    cellar: Cellar,
    topics: Sequence[str],
    answers: Mapping[str, Value],
    changes: Mapping[str, Value | None],
    left_out: Collection[str] = (),
) -> WhatIf:
    """What several changes at once would move. None takes an answer away; `left_out` are questions not to be asked."""
    supposed = changed_answers(answers, changes)
    before = judge(cellar, topics, as_answers(answers), machine="chain")
    after = judge(cellar, topics, as_answers(supposed), machine="chain")
    altered = tuple(
        Altered(name, answers.get(name), value)
        for name, value in changes.items()
        if answers.get(name) != value
    )
    asked_before, asked_after = (_first_question(cellar, judged, left_out) for judged in (before, after))
    return WhatIf(
        altered,
        _turned(dict(before.first_causes), dict(after.first_causes)),
        tuple(_moved(before, after)),
        _one(first_fix(before), first_fix(after)),
        _turned(_fixes(before), _fixes(after)),
        _turned(_tests(before), _tests(after)),
        _turned(_cautions(before), _cautions(after)),
        _turned(_gates(cellar, before), _gates(cellar, after)),
        _turned(_clashes(before), _clashes(after)),
        _one(asked_before, asked_after),
    )


def changed_answers(answers: Mapping[str, Value], changes: Mapping[str, Value | None]) -> dict[str, Value]:
    """The answers with some of them changed, added or, where None, taken away."""
    merged = {**answers, **changes}
    return {name: value for name, value in merged.items() if value is not None}


def as_answers(answers: Mapping[str, Value]) -> tuple[Fact, ...]:
    """Answers as facts."""
    return tuple(Fact(name, value) for name, value in sorted(answers.items()))


def first_fix(judged: Judged) -> str | None:
    """The first step of the plan; None for a plan without any."""
    return judged.plan.steps[0].fix if judged.plan.steps else None


def _first_question(cellar: Cellar, judged: Judged, left_out: Collection[str]) -> str | None:
    return next((item.observation for item in questions(cellar, judged, left_out)), None)


def _one(before: str | None, after: str | None) -> Turned | None:
    return Turned("", before, after) if before != after else None


def _turned(before: Mapping[str, str], after: Mapping[str, str]) -> tuple[Turned, ...]:
    names = dict.fromkeys((*before, *after))
    return tuple(
        Turned(name, before.get(name), after.get(name))
        for name in names
        if before.get(name) != after.get(name)
    )


def _moved(before: Judged, after: Judged) -> list[Moved]:
    """The causes that moved, those that moved farthest first."""
    ours, theirs = (
        {(item.topic, item.cause): item for item in judged.standings} for judged in (before, after)
    )
    found = []
    for key in dict.fromkeys((*ours, *theirs)):
        one, other = ours.get(key), theirs.get(key)
        chances = [item.chance if item else 0.0 for item in (one, other)]
        words = [item.word if item else None for item in (one, other)]
        if abs(chances[1] - chances[0]) >= MOVED or (one and other and words[0] != words[1]):
            moved = Moved(
                *key, one.chance if one else None, other.chance if other else None, words[0], words[1]
            )
            found.append((-abs(chances[1] - chances[0]), key, moved))
    return [moved for *_, moved in sorted(found, key=lambda item: item[:2])]


def _fixes(judged: Judged) -> dict[str, str]:
    """Every fix that is spoken of and in play, with how it stands."""
    plan = judged.plan
    found = {item.fix: item.state for item in (*plan.others, *plan.locked, *plan.forbidden_in_play)}
    found |= {item.fix: "chosen" for item in plan.steps}
    return found


def _tests(judged: Judged) -> dict[str, str]:
    return {item.test: "proposed" for item in judged.plan.tests}


def _cautions(judged: Judged) -> dict[str, str]:
    return {item.caution: "shown" for item in judged.plan.cautions}


def _clashes(judged: Judged) -> dict[str, str]:
    return {item.clash: "cannot all be right" for item in judged.clashes}


def _gates(cellar: Cellar, judged: Judged) -> dict[str, str]:
    return {
        gate.state: gate.value
        for stand in gates_stand(cellar, judged)
        for gate in (stand.verdict, *stand.each)
        if gate.value is not None
    }
