"""What can be asked about a result: why and why not, what if, the steps of a fix, how a test is done."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass

from diagnose.casebook.answers import NotAnAnswer
from diagnose.explain.asked import NotMeant, asked_about, explain, explain_not
from diagnose.explain.what_if import what_if
from diagnose.explain.why import WhyCause, why_not
from diagnose.knowledge.called import names_of
from diagnose.knowledge.rule_base import RuleBase
from diagnose.planning.fixes import amounts
from diagnose.present.console import Page
from diagnose.present.question import show_test
from diagnose.present.result import (
    show_fix,
    show_never_done,
)
from diagnose.present.what_if import show_what_if
from diagnose.present.why import show_explained, show_why_not
from diagnose.reasoning.weigh import UNKNOWN

from .named import page_named
from .session import Consultation
from .suppose import read_changes


@dataclass(frozen=True)
class AboutResult:
    """The keys after the result that only show something. `need` asks for a number that amounts depend on."""

    page: Page
    consultation: Consultation
    limits: Mapping[str, float]
    need: Callable[[str], float | None]

    @property
    def base(self) -> RuleBase:
        """The rule base."""
        return self.consultation.cellar.base

    def why(self, typed: str, against: bool = False) -> None:
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

    def what_if(self, typed: str) -> None:
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

    def steps(self, typed: str) -> None:
        """The steps of a fix, with its amounts; of one that must not or cannot be done now, the reason."""
        base, judged = self.base, self.consultation.judged
        plan = judged.plan
        if not typed and plan.steps:
            typed = plan.steps[0].fix
        name = page_named(self.page, typed, self._fixes())
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
        if reckons and self.need("vessel_volume") is None:
            self.page.aside("The volume is not known, so the amounts stay blank.", indent=2)
        known = amounts(base.fixes[name], self.consultation.judged.facts)
        show_fix(self.page, base, name, known, self.consultation.units, self.limits)

    def test(self, typed: str) -> None:
        """How a test is done."""
        name = page_named(self.page, typed, {test: page.name for test, page in self.base.tests.items()})
        if name is not None:
            show_test(self.page, self.base, name)

    def _fixes(self) -> Mapping[str, str]:
        """Every fix, and every wrong way, with its name and what else people call it."""
        return {**names_of(self.base.fixes), **names_of(self.base.never_done)}
