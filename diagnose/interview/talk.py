"""The conversation: show a question, read a line, act on it; then the result and what can be asked about it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Literal

from diagnose.casebook.answers import NotAnAnswer, show_answer
from diagnose.engine.facts import Value
from diagnose.judgement.gates import gates_stand
from diagnose.judgement.judge import doubts
from diagnose.knowledge.rule_base import RuleBase
from diagnose.plain_text import spoken
from diagnose.present.console import Page
from diagnose.present.gates import show_gates
from diagnose.present.question import show_how, show_question, show_why_asked
from diagnose.present.result import (
    show_causes,
    show_clashes,
    show_plan,
    show_so_far,
)

from .about_result import AboutResult
from .at_bench import AtBench
from .form import SKIP, STOP, Stopped
from .heard import kept_by_name
from .lines import AFTER, ASKING, Explaining, Lines
from .named import page_named
from .session import Consultation, Question

ENOUGH = ("enough", "that is all", "thats all", "that is all i can do today", "thats all i can do today")
"""Words that end the questions and bring the result."""

MANY_UNKNOWN = 5
"""After so many answers in a row that are not known, a person is told how to end the questions."""

Outcome = Literal["finished", "stopped", "ended"]
"""How a conversation ended: everything asked, the person stopped, or there were no more lines."""


@dataclass
class Talk:
    """One conversation over one case. `limits` are the person's own figures for legal limits.

    `kept_as` is the name of a case that other commands can find; without it none of them is named.
    """

    page: Page
    lines: Lines
    consultation: Consultation
    limits: Mapping[str, float]
    kept_as: str = ""
    _warned: set[str] = field(default_factory=set)
    _clashed: set[str] = field(default_factory=set)
    _unknown_in_a_row: int = 0
    _aside: bool = False
    """Whether the open question only serves a sheet: then `back` leaves it and takes no other answer back."""

    def __post_init__(self) -> None:
        self.lines = Explaining(self.page, self.base, self.lines)

    @property
    def base(self) -> RuleBase:
        """The rule base."""
        return self.consultation.cellar.base

    # ------------------------------------------------------------ questions

    def questions(self) -> Outcome:
        """Ask until nothing more would tell, the person stops, or the lines end."""
        while True:
            question = self.consultation.next_question()
            if question is None:
                return "finished"
            outcome = self._ask(question)
            if outcome is not None:
                return outcome

    def _ask(self, question: Question) -> Outcome | None:
        """Show one question and settle it."""
        show_question(self.page, self.base, question, self.consultation.units)
        self.consultation.make_ready()
        return self._one(question)

    def _one(self, question: Question) -> Outcome | None:
        """Read lines until the question is settled; an outcome ends the asking."""
        while True:
            typed = self.lines.read(ASKING)
            if typed is None:
                return "ended"
            word = " ".join(typed.strip().lower().split())
            if not word:
                continue
            if word in STOP:
                return "stopped"
            if word.strip(".!").replace("'", "") in ENOUGH:
                return "finished"
            try:
                if self._settled(question, word, typed):
                    return None
            except Stopped as stopped:
                if self._aside:
                    raise
                return "ended" if stopped.ended else "stopped"

    def _settled(self, question: Question, word: str, typed: str) -> bool:
        consultation, page = self.consultation, self.page
        if word in ("?", "help", "how"):
            show_how(page, self.base, question.observation, question.test)
        elif word == "why":
            candidate = consultation.candidate(question)
            show_why_asked(page, self.base, question.observation, consultation.judged, candidate)
        elif word == "so far":
            show_so_far(page, self.base, consultation.judged)
        elif word == "back" and self._aside:
            raise Stopped
        elif word == "back":
            if consultation.back() is None:
                page.say("This is the first question; there is nothing to go back to.", indent=2)
                return False
            return True
        elif spoken(word) in SKIP:
            consultation.skip(question)
            page.aside("Not known. That counts for nothing, and not as a no.", indent=2)
            self._unknown_in_a_row += 1
            if self._unknown_in_a_row % MANY_UNKNOWN == 0:
                page.aside(
                    "If that is all you can say today, type enough: it shows what that tells.", indent=2
                )
            return True
        elif word == "later":
            consultation.put_off(question)
            page.aside("Put off. It comes first when you are back.", indent=2)
            return True
        else:
            return self._answered(question, typed)
        return False

    def begin_with(self, findings: Mapping[str, Value]) -> None:
        """Keep what was confirmed before the first question."""
        self.consultation.add_facts(findings)
        self._told()

    def _answered(self, question: Question, typed: str) -> bool:
        if kept_by_name(self.page, self.lines, self.consultation, question, typed):
            self._told()
            return self.consultation.is_settled(question)
        try:
            value = self.consultation.answer(question, typed)
        except NotAnAnswer as error:
            self.page.warn(str(error))
            return False
        said = show_answer(question.observation, value, self.consultation.units)
        self.page.aside(f"Kept: {said}", indent=2)
        self._told()
        return True

    def _told(self) -> None:
        """An answer was taken: what it makes dangerous, or does not fit with, is said now."""
        self._unknown_in_a_row = 0
        self._warn_at_once()
        self._clashes_at_once()

    def _clashes_at_once(self) -> None:
        """What does not fit with an earlier answer is said as soon as both are there."""
        new = [clash for clash in self.consultation.judged.clashes if clash.clash not in self._clashed]
        self._clashed.update(clash.clash for clash in new)
        show_clashes(self.page, self.base, new)

    def _warn_at_once(self) -> None:
        """What has become dangerous with this answer is said now, not at the end."""
        for shown in self.consultation.judged.plan.cautions:
            caution = self.base.cautions[shown.caution]
            if shown.holds_now and caution.harms == "person" and caution.caution not in self._warned:
                self._warned.add(caution.caution)
                self.page.warn(caution.says)

    # ------------------------------------------------------------ the result

    def result(self) -> None:
        """The last screens."""
        judged = self.consultation.verdict()
        show_causes(self.page, self.base, judged, self.consultation.brought)
        show_plan(
            self.page,
            self.base,
            judged,
            doubts(self.consultation.cellar, judged),
            self.consultation.units,
            self.consultation.record.state.done(),
        )
        if judged.plan.steps and self.kept_as:
            self.page.blank()
            self.page.aside(
                f"Days, what to have ready, and the wine after each step: diagnose plan {self.kept_as}"
            )
        self.consultation.keep_shown()

    def after(self) -> Outcome:
        """What can be asked once the result is shown."""
        self._say_keys()
        while True:
            typed = self.lines.read(AFTER)
            if typed is None:
                return "ended"
            word = " ".join(typed.strip().lower().split())
            if not word:
                continue
            if word in (*STOP, "done"):
                return "stopped"
            if word in ("?", "help"):
                self._say_keys()
            elif word == "result":
                self.result()
            elif word == "ready":
                for stand in gates_stand(self.consultation.cellar, self.consultation.judged):
                    show_gates(self.page, self.base, stand)
            elif word == "more":
                if self._more() != "finished":
                    return "stopped"
            elif word == "back":
                if self.consultation.back() is None:
                    self.page.say("Nothing has been answered; there is nothing to go back to.", indent=2)
                elif self.questions() == "finished":
                    self.result()
            else:
                try:
                    self._ask_about(word)
                except Stopped as stopped:
                    if stopped.ended:
                        return "ended"
                    self.page.say("Left as it was.", indent=2)

    def _say_keys(self) -> None:
        self.page.blank()
        self.page.aside(
            "Now: why NAME · why not NAME · what if QUESTION=ANSWER · "
            "test NAME (how to do it) · read TEST (you have its result) · trial FIX · "
            "steps FIX · ready (to bottle?) · more (more questions) · what is WORD · result · back · stop. "
            "Names are those in brackets, or any word of them."
        )

    def _more(self) -> Outcome:
        """Ask what was put off, and whatever else still tells."""
        self.consultation.ask_put_off_again()
        outcome = self.questions()
        if outcome == "finished":
            self.result()
        return outcome

    def _ask_about(self, word: str) -> None:
        verb, _, name = word.partition(" ")
        about = AboutResult(self.page, self.consultation, self.limits, self._need)
        if verb == "why" and name.startswith("not "):
            about.why(name.removeprefix("not "), against=True)
        elif verb == "why":
            about.why(name)
        elif verb == "what" and name.startswith("if "):
            about.what_if(name.removeprefix("if "))
        elif verb == "steps":
            about.steps(name)
        elif verb == "test":
            about.test(name)
        elif verb == "read":
            self._read(name)
        elif verb == "trial":
            AtBench(self.page, self.lines, self.consultation, self.limits, self._need).trial(name)
        else:
            self.page.say(f"'{word[:40]}' is not one of the keys here.", indent=2)
            self._say_keys()

    def _read(self, typed: str) -> None:
        """The person has done a test and brings its result."""
        name = page_named(self.page, typed, {test: page.name for test, page in self.base.tests.items()})
        if name is None:
            return
        asked: list[str] = []
        while question := self.consultation.test_question(name, asked):
            asked.append(question.observation.observe)
            outcome = self._ask(question)
            if outcome == "ended":
                raise Stopped(ended=True)
            if outcome is not None or question.observation.observe in self.consultation.record.state.put_off:
                self.page.aside("What you answered is kept.", indent=2)
                break
        if not asked:
            yields = self.base.tests[name].yields
            if any(each in self.consultation.judged.facts for each in yields):
                self.page.say("That has been answered already; `back` takes the last answer back.", indent=2)
            else:
                self.page.say(
                    "With what is known so far its result would tell nothing. Type more for what comes first, or "
                    f"test {name} for how it is done.",
                    indent=2,
                )
            return
        self.result()

    def _need(self, name: str) -> float | None:
        """A number the treatment needs, asked for once; None when the person does not know it."""
        known = self.consultation.judged.facts.get(name)
        if known is None:
            question = self.consultation.question_about(name)
            self._aside = True
            try:
                outcome = self._ask(question)
            finally:
                self._aside = False
            if outcome is not None:
                raise Stopped(ended=outcome == "ended")
            known = self.consultation.judged.facts.get(name)
        return known[0] if known and isinstance(known[0], float) else None
