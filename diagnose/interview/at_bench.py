"""A bench trial in the conversation: planned, read another day, and its dose kept for the vessel."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass

from diagnose.calculators import OutOfRange
from diagnose.casebook.answers import NotAnAnswer
from diagnose.casebook.models import kept_plan
from diagnose.engine.facts import Value
from diagnose.knowledge.rule_base import RuleBase
from diagnose.plain_text import spoken
from diagnose.planning.planned import Beside, Planned, design_planned, fixes_in
from diagnose.planning.trials import fixes_with_ladder, trial_of
from diagnose.present.console import Page

from . import bench, bench_pairs
from .form import SKIP, STOP, Stopped
from .lines import ASKING, Lines
from .named import page_named
from .session import Consultation


@dataclass(frozen=True)
class AtBench:
    """One trial of one fix, or of two side by side. `need` asks for a number that amounts depend on."""

    page: Page
    lines: Lines
    consultation: Consultation
    limits: Mapping[str, float]
    need: Callable[[str], float | None]

    @property
    def base(self) -> RuleBase:
        """The rule base."""
        return self.consultation.cellar.base

    def trial(self, typed: str) -> None:
        """Plan the trial, or read the one that was planned."""
        ladders = {name: self.base.fixes[name].name for name in fixes_with_ladder(self.base)}
        names = [
            page_named(self.page, part, ladders) for part in (typed or self._best_of(ladders)).split(" and ")
        ]
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
        while True:
            if not planned.is_plain:
                self._read_many(planned)
                return
            try:
                design = bench.plan_trial(self.base, fix, planned.doses, planned.bench, self.limits)
            except OutOfRange as error:
                # A plan changed by hand in the case file may hold what no bench can do.
                self.page.warn(f"The plan kept in this case cannot be set up. {error}")
                planned = self._plan(name, None)
                if not self._has_readings():
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
            if word in ("no", "n", "later", *STOP) or spoken(word) in SKIP:
                self.page.aside("The plan is kept. Type trial again when the jars have been read.", indent=2)
                return False
            self.page.say("Type yes or later.", indent=2)

    def _keep_outcome(self, planned: Beside, choice: bench.TrialChoice, taken: bool = True) -> None:
        """Keep what the trial found of this agent, and its dose where it is the one to be used."""
        fix, dose = self.base.fixes[planned.fix], choice.dose
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
        volume = self.need("vessel_volume")
        if volume is not None:
            fix, units = self.base.fixes[planned.fix], self.consultation.units
            bench.scale(self.page, self.base, fix, dose, volume, planned.bench, self.limits, units)
        self.page.aside(f"Type steps {planned.fix} for the whole procedure with these amounts.", indent=2)
