"""The conversation: show a question, read a line, act on it; then the result and what can be asked about it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Literal

from diagnose.calculators import OutOfRange
from diagnose.casebook.answers import NotAnAnswer, show_answer
from diagnose.casebook.models import kept_plan
from diagnose.engine.facts import Value
from diagnose.explain.asked import NotMeant, asked_about, explain, explain_not
from diagnose.explain.what_if import what_if
from diagnose.explain.why import WhyCause, why_not
from diagnose.judgement.gates import gates_stand
from diagnose.judgement.judge import doubts
from diagnose.knowledge.called import names_of, page_meant
from diagnose.knowledge.rule_base import RuleBase
from diagnose.planning.fixes import amounts
from diagnose.planning.planned import Beside, Planned, design_planned, fixes_in
from diagnose.planning.trials import fixes_with_ladder, trial_of
from diagnose.present.console import Page
from diagnose.present.gates import show_gates
from diagnose.present.question import show_how, show_question, show_test, show_why_asked
from diagnose.present.result import (
    show_causes,
    show_clashes,
    show_fix,
    show_never_done,
    show_plan,
    show_so_far,
)
from diagnose.present.what_if import show_what_if
from diagnose.present.why import show_explained, show_why_not
from diagnose.reasoning.weigh import UNKNOWN

from . import bench, bench_pairs
from .form import SKIP, STOP, Stopped
from .heard import kept_by_name
from .lines import AFTER, ASKING, Explaining, Lines
from .session import Consultation, Question
from .suppose import read_changes

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
        elif word in SKIP:
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
                if self.consultation.back() is not None and self.questions() == "finished":
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
        if verb == "why" and name.startswith("not "):
            self._why(name.removeprefix("not "), against=True)
        elif verb == "why":
            self._why(name)
        elif verb == "what" and name.startswith("if "):
            self._what_if(name.removeprefix("if "))
        elif verb == "steps":
            self._steps(name)
        elif verb == "test":
            self._test(name)
        elif verb == "read":
            self._read(name)
        elif verb == "trial":
            self._trial(name)
        else:
            self.page.say(f"'{word[:40]}' is not one of the keys here.", indent=2)
            self._say_keys()

    # ------------------------------------------------------------ finding names

    def _named(self, typed: str, pages: Mapping[str, str]) -> str | None:
        """The page a person means: by id, by part of it, or by words of its name or of what else it is called."""
        name, near = page_meant(typed, pages)
        if name is None:
            self.page.say(f"Which one? {', '.join(near)}", indent=2)
        return name

    def _fixes(self) -> Mapping[str, str]:
        """Every fix, and every wrong way, with its name and what else people call it."""
        return {**names_of(self.base.fixes), **names_of(self.base.never_done)}

    def _why(self, typed: str, against: bool = False) -> None:
        """Why, or why not: the cause, fix, test, caution, question, dose or order that is meant."""
        base, judged, cellar = self.base, self.consultation.judged, self.consultation.cellar
        units = self.consultation.units
        try:
            about = asked_about(base, judged, typed or judged.first.cause)
            found = (explain_not if against else explain)(cellar, judged, about)
        except NotMeant as error:
            self.page.say(f"Which one? {', '.join(error.near)}", indent=2)
            return
        show_explained(self.page, base, found, units, "full")
        first = isinstance(found, WhyCause) and next(
            (item for item in judged.firsts.values() if item.cause == found.cause), None
        )
        if first:
            # "Something unknown" has no evidence of its own to be compared with.
            runner_up = next(item.cause for item in judged.of(first.topic)[1:] if item.cause != UNKNOWN)
            show_why_not(self.page, base, why_not(cellar, judged, runner_up), units)

    def _what_if(self, typed: str) -> None:
        """What other answers would move; the case stays as it is."""
        record, cellar = self.consultation.record, self.consultation.cellar
        parts = [part.strip() for part in typed.split(";") if part.strip()]
        names = [part.removeprefix("without ") for part in parts if part.startswith("without ")]
        others = [part for part in parts if not part.startswith("without ")]
        try:
            changes = read_changes(cellar.base, self.consultation.units, others, names)
        except (NotAnAnswer, NotMeant) as error:
            self.page.say(str(error), indent=2)
            return
        left_out = record.state.skipped | record.state.put_off
        found = what_if(cellar, self.consultation.brought, record.state.answers, changes, left_out)
        show_what_if(self.page, self.base, found, self.consultation.units, "full")

    def _steps(self, typed: str) -> None:
        base, judged = self.base, self.consultation.judged
        plan = judged.plan
        if not typed and plan.steps:
            typed = plan.steps[0].fix
        name = self._named(typed, self._fixes())
        if name is None:
            return
        if name in base.never_done:
            show_never_done(self.page, base, base.never_done[name])
            return
        advice = plan.of(name)
        if advice and advice.state == "forbidden":
            for reason in advice.forbidden_by:
                self.page.warn(f"Not now: {reason.says}")
            return
        if advice and advice.state == "locked":
            self.page.warn("Locked: it cannot be undone, and no test has confirmed the cause yet.")
            for test in advice.unlocked_by:
                self.page.item("-", f"{base.tests[test].name}  [test {test}]")
            return
        if base.fixes[name].can_be_undone == "no" and not advice:
            self.page.warn(
                "Not in your plan: nothing here speaks for it, and it cannot be undone. Read it, do not do it yet."
            )
        reckons = base.fixes[name].quantities and "vessel_volume" in base.observations
        if reckons and self._need("vessel_volume") is None:
            self.page.aside("The volume is not known, so the amounts stay blank.", indent=2)
        known = amounts(base.fixes[name], self.consultation.judged.facts)
        show_fix(self.page, base, name, known, self.consultation.units, self.limits)

    def _test(self, typed: str) -> None:
        name = self._named(typed, {test: page.name for test, page in self.base.tests.items()})
        if name is not None:
            show_test(self.page, self.base, name)

    def _read(self, typed: str) -> None:
        """The person has done a test and brings its result."""
        name = self._named(typed, {test: page.name for test, page in self.base.tests.items()})
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
            self.page.say("That has been answered already; `back` takes the last answer back.", indent=2)
            return
        self.result()

    # ------------------------------------------------------------ the bench trial

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

    def _trial(self, typed: str) -> None:
        ladders = {name: self.base.fixes[name].name for name in fixes_with_ladder(self.base)}
        names = [self._named(part, ladders) for part in (typed or self._best_of(ladders)).split(" and ")]
        name, *others = [found for found in names if found is not None] or [""]
        if None in names:
            return
        if len(others) > 1 or name in others:
            self.page.say("Name two different fixes to try side by side, such as trial A and B.", indent=2)
            return
        second = others[0] if others else None
        alone = [each for each in (name, *others) if second and trial_of(self.base.fixes[each]).criteria]
        if alone:
            self.page.say(
                f"{self.base.fixes[alone[0]].name} is tried alone so far: type trial {alone[0]}.", indent=2
            )
            return
        planned = self._planned(name, second)
        for each in [ladder.fix for ladder in planned.ladders] if planned else (name, *others):
            advice = self.consultation.judged.plan.of(each)
            if advice and advice.state == "forbidden":
                self.page.warn(f"Not now: {self.base.fixes[each].name}. {advice.forbidden_by[0].says}")
                return
        fix = self.base.fixes[name]
        if planned is None:
            planned = self._plan(name, None, second)
            if not self._has_readings():
                return
        if not planned.is_plain:
            self._read_many(planned)
            return
        while True:
            try:
                design = bench.plan_trial(self.base, fix, planned.doses, planned.bench, self.limits)
            except OutOfRange as error:
                # A plan changed by hand in the case file may hold what no bench can do.
                self.page.warn(f"The plan kept in this case cannot be set up. {error}")
                planned = self._plan(name, None)
                if not self._has_readings():
                    return
                if not planned.is_plain:
                    self._read_many(planned)
                    return
                continue
            colour = self.consultation.judged.facts.get("wine_colour", ("",))[0]
            found = bench.read(self.page, self.lines, self.base, fix, design, str(colour) or None)
            choice = found.choice
            self.consultation.record.record("trial_read", data=found.data(name))
            if choice.outcome != "refine_below":
                break
            planned = self._plan(name, bench.finer(planned, choice))
            if not self._has_readings():
                return
        self._keep_outcome(planned, choice)

    def _best_of(self, fixes: Mapping[str, str]) -> str:
        """Of these fixes the one that the plan puts first; an empty word if it names none of them."""
        plan = self.consultation.judged.plan
        return next((item.fix for item in (*plan.steps, *plan.locked, *plan.others) if item.fix in fixes), "")

    def _plan(self, name: str, before: Planned | None, second: str | None = None) -> Planned:
        beside = self.base.fixes[second] if second else None
        planned = bench.plan(
            self.page, self.lines, self.base, self.base.fixes[name], self.limits, before, beside
        )
        self.consultation.record.record("trial_planned", data=planned.data())
        return planned

    def _planned(self, name: str, second: str | None) -> Planned | None:
        """A trial planned on an earlier day and not read yet; of two agents when both or one of them is named."""
        for event in reversed(self.consultation.record.state.trials):
            about = fixes_in(event.data)
            if {name, second or name} <= set(about):
                planned = event.did == "trial_planned"
                return Planned.from_data(kept_plan(event.data)) if planned else None
        return None

    def _read_many(self, planned: Planned) -> None:
        """Read a trial of two agents or of equal jars, and keep the dose of the one that is taken."""
        try:
            trial = design_planned(self.base, planned, self.limits)
        except OutOfRange as error:
            self.page.warn(f"The plan kept in this case cannot be set up. {error}")
            self._plan(planned.fix, None, planned.second.fix if planned.second else None)
            self.page.aside("The plan is kept. Type trial again when the jars have been read.", indent=2)
            return
        colour = self.consultation.judged.facts.get("wine_colour", ("",))[0]
        read = bench_pairs.read(self.page, self.lines, self.base, planned, trial, str(colour) or None)
        self.consultation.record.record("trial_read", data=read.data())
        taken = bench_pairs.take(self.page, self.lines, read)
        for number, (ladder, level) in enumerate(zip(planned.ladders, read.levels, strict=True)):
            self._keep_outcome(ladder, level.choice, number == taken)
        first = read.levels[0].choice
        if planned.second is None and first.outcome == "refine_below":
            self._plan(planned.fix, bench.finer(planned, first))
            self.page.aside("The plan is kept. Type trial again when the jars have been read.", indent=2)

    def _has_readings(self) -> bool:
        self.page.blank()
        self.page.say("Have you got the readings now? yes, or later: set it up and come back.", style="bold")
        while True:
            typed = self.lines.read(ASKING)
            if typed is None:
                raise Stopped(ended=True)
            word = typed.strip().lower()
            if word in ("yes", "y"):
                return True
            if word in ("no", "n", "later", *STOP, *SKIP):
                self.page.aside("The plan is kept. Type trial again when the jars have been read.", indent=2)
                return False
            self.page.say("Type yes or later.", indent=2)

    def _keep_outcome(self, planned: Beside, choice: bench.TrialChoice, taken: bool = True) -> None:
        """Keep what the trial found of this agent, and its dose where it is the one to be used."""
        fix, dose = self.base.fixes[planned.fix], choice.dose_g_per_l
        found: dict[str, Value] = {}
        answer = bench.answer_of(fix, choice)
        if answer:
            found[answer[0]] = answer[1]
        if choice.outcome != "chosen" or not taken:
            dose = None
        if dose:
            found |= bench.kept_of(fix, dose, planned.bench)
        try:
            self.consultation.add_facts(found)
        except NotAnAnswer as error:
            self.page.warn(f"This was not kept. {error}")
            return
        if dose:
            self._for_vessel(dose, planned)

    def _for_vessel(self, dose: float, planned: Beside) -> None:
        """Show the amounts for the vessel at the dose chosen."""
        volume = self._need("vessel_volume")
        if volume is not None:
            fix, units = self.base.fixes[planned.fix], self.consultation.units
            bench.scale(self.page, self.base, fix, dose, volume, planned.bench, self.limits, units)
        self.page.aside(f"Type steps {planned.fix} for the whole procedure with these amounts.", indent=2)
