"""A consultation as a sequence of questions over one case. No screen and no keyboard in here."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from dataclasses import dataclass, field

from diagnose.casebook.answers import NotAnAnswer, read_answer
from diagnose.casebook.in_memory import InMemory
from diagnose.casebook.store import OpenCase
from diagnose.engine.facts import Facts, Value
from diagnose.engine.truth import Truth, branches
from diagnose.engine.truth import judge as judge_condition
from diagnose.hearing.hear import Ear
from diagnose.judgement.judge import Cellar, Judged, dangerous, judge, questions, state_of, withheld
from diagnose.knowledge.conditions import Condition
from diagnose.knowledge.models.facts import Observation
from diagnose.reasoning.against import sign_against
from diagnose.reasoning.questions import (
    Candidate,
    choose,
    cost_of,
    effects_of,
    may_be_asked,
    worth_starting,
)
from diagnose.units import System


@dataclass(frozen=True)
class Question:
    """What is asked now. `test` names the bench test that yields the answer, if it takes one."""

    observation: Observation
    number: int
    reason: str
    """Why it comes now: `opening`, `put_off` (asked again), `start_early` (it takes days), `against` (what could speak
    against the likeliest cause), `telling`, or `confirming` before a treatment."""
    test: str | None


@dataclass
class Consultation:
    """One case being talked through. Each answer is on disk before the next question."""

    cellar: Cellar
    record: OpenCase | InMemory
    resumed: bool = False
    _waiting: list[str] = field(default_factory=list)
    _again: str | None = None
    _judged: Judged | None = None
    _candidates: tuple[Candidate, ...] | None = None
    _ear: Ear | None = None

    def __post_init__(self) -> None:
        # What was put off is asked first on coming back: the result may be there by now.
        self._waiting = self._put_off() if self.resumed else []

    @property
    def units(self) -> System:
        """`metric` or `us`."""
        return self.record.case.units

    @property
    def brought(self) -> tuple[str, ...]:
        """The kinds of trouble that the person came with, the main one first."""
        return self.record.case.topics

    @property
    def judged(self) -> Judged:
        """The judgement on the answers so far, by the plain twin: quick enough to be made anew for every answer."""
        if self._judged is None:
            self._judged = judge(self.cellar, self.brought, self.record.state.facts(), machine="chain")
        return self._judged

    def verdict(self) -> Judged:
        """The judgement on the answers so far, by the network: what is shown as the result."""
        self._judged = judge(self.cellar, self.brought, self.record.state.facts())
        return self._judged

    @property
    def ear(self) -> Ear:
        """What hears answers to other questions in a line; made once."""
        self._ear = self._ear or Ear(self.cellar.base)
        return self._ear

    @property
    def candidates(self) -> tuple[Candidate, ...]:
        """The telling questions, best first."""
        if self._candidates is None:
            state = self.record.state
            self._candidates = questions(self.cellar, self.judged, state.skipped | state.put_off)
        return self._candidates

    def make_ready(self) -> None:
        """Get what the next answer will need, while the person still reads the question."""
        self.cellar.ahead(self.judged.topics)

    def next_question(self) -> Question | None:
        """The question to ask now; None when nothing that could be asked would tell more."""
        if self._again is not None:
            return self._question(self._again, "opening")
        waiting = next((name for name in self._waiting if not dangerous(name, self.judged.facts)), None)
        if waiting:
            return self._question(waiting, "put_off")
        # Before the first answer there is nothing to judge, and the first question comes at once.
        for topic in self.judged.topics if self.record.state.known else self.brought:
            for step in self.cellar.base.topics[topic].opening:
                open_ = self._open(step.observe) and self._may_be_asked(step.observe)
                if open_ and self._holds(step.when):
                    return self._question(step.observe, "opening")
        chosen = self._chosen()
        return self._question(*chosen) if chosen else None

    def _chosen(self) -> tuple[str, str] | None:
        """The question to ask once the opening ones are settled, and why it comes now."""
        base, state, left_out = self.cellar.base, state_of(self.cellar, self.judged), self._left_out()
        kept = self.record.state
        slow = worth_starting(state, self.candidates, kept.skipped | kept.put_off)
        if slow:
            return slow, "start_early"
        for topic in state.settled:
            against = sign_against(state, self.judged.firsts[topic].cause, left_out)
            if against:
                return against, "against"
        if self.candidates:
            settled = self.record.state.order[-1:]
            group = base.observations[settled[0]].group if settled else None
            return choose(base, self.candidates, group).observation, "telling"
        confirming = self._confirming()
        return (confirming, "confirming") if confirming else None

    def _left_out(self) -> frozenset[str]:
        """What is not asked now: skipped, put off, or withheld while it would be dangerous to find out."""
        state = self.record.state
        return frozenset({*state.skipped, *state.put_off, *withheld(self.cellar.base, self.judged.facts)})

    def _confirming(self) -> str | None:
        """The test that would open the best fix of the likely cause: the last thing asked."""
        base, plan = self.cellar.base, self.judged.plan
        for advice in plan.locked[:1]:
            proposed = [item.test for item in plan.tests if item.test in advice.unlocked_by]
            for test in proposed[:1]:
                yields = base.tests[test].yields
                if not any(name in self.record.state.put_off for name in yields):
                    return next(
                        (name for name in yields if self._open(name) and self._may_be_asked(name)), None
                    )
        return None

    def _may_be_asked(self, name: str) -> bool:
        return self._makes_sense(name) and not dangerous(name, self._facts)

    def _makes_sense(self, name: str) -> bool:
        return may_be_asked(self.cellar.base.observations[name], self._facts)

    @property
    def _facts(self) -> Facts:
        """What is known; nothing before the first answer."""
        return self.judged.facts if self.record.state.known else {}

    def test_question(self, test: str, asked: Collection[str]) -> Question | None:
        """The next question a test answers, for a person who comes with its result; `asked` were settled just now."""
        for name in self.cellar.base.tests[test].yields:
            if name not in asked and self._makes_sense(name):
                return self._question(name, "telling")
        return None

    def asked_now(self) -> str | None:
        """The observation asked about now."""
        question = self.next_question()
        return question.observation.observe if question else None

    def _open(self, name: str) -> bool:
        state = self.record.state
        return name not in state.known and name not in state.skipped and name not in state.put_off

    def _holds(self, when: Condition | None) -> bool:
        """Whether an opening question makes sense with what is known."""
        return when is None or judge_condition(branches(when), self._facts) is Truth.TRUE

    def _question(self, name: str, reason: str) -> Question:
        observation = self.cellar.base.observations[name]
        test = cost_of(self.cellar.base, observation)[1]
        return Question(observation, len(self.record.state.order) + 1, reason, test)

    def answer(self, question: Question, written: str) -> Value:
        """Check an answer and keep it. Raises NotAnAnswer or CannotKeep; the case is then as before."""
        value = read_answer(question.observation, written, self.record.case.units)
        self.record.record("answered", question.observation.observe, value)
        self._settled(question)
        return value

    def skip(self, question: Question) -> None:
        """The person does not know. It is worth nothing, and is not a no."""
        self.record.record("skipped", question.observation.observe)
        self._settled(question)

    def put_off(self, question: Question) -> None:
        """The person will find out later; the question comes first on the next visit, with the rest of its test."""
        self.record.record("put_off", question.observation.observe)
        for name in self.cellar.base.tests[question.test].yields if question.test else ():
            if self._open(name):
                self.record.record("put_off", name)
        self._settled(question)

    def back(self) -> Observation | None:
        """Take back the last question met, and ask it again. None when there is none."""
        if not self.record.state.order:
            return None
        name = self.record.state.order[-1]
        self.record.record("took_back", name)
        self._again = name
        self._forget()
        return self.cellar.base.observations[name]

    def _settled(self, question: Question) -> None:
        name = question.observation.observe
        self._again = None if self._again == name else self._again
        if name in self._waiting:
            self._waiting.remove(name)
        self._forget()

    def _forget(self) -> None:
        self._judged = None
        self._candidates = None

    def question_about(self, name: str) -> Question:
        """A question by name, for numbers that a treatment needs."""
        return self._question(name, "telling")

    def ask_put_off_again(self) -> None:
        """What was put off may be known by now."""
        self._waiting = self._put_off()

    def _put_off(self) -> list[str]:
        state = self.record.state
        return sorted(name for name in state.put_off if name not in state.known)

    def candidate(self, question: Question) -> Candidate | None:
        """What each answer to a question would change; None when no answer would move anything."""
        return effects_of(state_of(self.cellar, self.judged), question.observation)

    def add_facts(self, answers: Mapping[str, Value], copied_from: str | None = None) -> None:
        """Keep answers that came from elsewhere, such as a dose chosen at the bench, or from another case.

        Raises NotAnAnswer, and keeps none, when one would be refused at the next opening of the case.
        """
        for name, value in answers.items():
            written = value if isinstance(value, str | float) else sorted(value)
            read_answer(self.cellar.base.observations[name], written, self.units)
        for name, value in sorted(answers.items()):
            self.record.record("answered", name, value, {"copied_from": copied_from} if copied_from else None)
            self._settled(self.question_about(name))

    def keep_shown(self) -> None:
        """Keep which causes the result put first, if that is new: it is what a list of cases shows."""
        causes = dict(self.judged.first_causes)
        if self.record.state.answers and causes != self.record.state.shown:
            self.record.record("shown", data={"causes": causes})

    def is_settled(self, question: Question) -> bool:
        """Whether a question has been answered by now."""
        return question.observation.observe in self.record.state.answers


__all__ = ["Consultation", "NotAnAnswer", "Question"]
