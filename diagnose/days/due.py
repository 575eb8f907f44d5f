"""What is to be done or read on which day, from the events of a case. Nothing is weighed here."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from typing import Literal

from diagnose.casebook.case import CaseState
from diagnose.casebook.models import CaseFile, Event
from diagnose.casebook.work import Work, day_of
from diagnose.knowledge.models.treatments import Check
from diagnose.knowledge.rule_base import RuleBase
from diagnose.planning.whole import look_days

Kind = Literal["check", "begun", "question", "trial", "step"]
"""A check after a fix, a fix begun and not ended, a question put off, a trial set going, a step not done."""

Term = Literal["late", "today", "this_week", "later", "no_day"]

A_WEEK = timedelta(days=7)


@dataclass(frozen=True)
class Due:
    """One thing that waits. `day` is None where no day can be named."""

    case: str
    wine: str | None
    kind: Kind
    about: str
    """The fix, the test or the question."""
    says: str
    since: date | None
    day: date | None
    which: int = 0
    """Which of several looks this is, counted from 0."""

    def term(self, today: date) -> Term:
        """Where it belongs, seen from `today`."""
        if self.day is None:
            return "no_day"
        if self.day < today:
            return "late"
        if self.day == today:
            return "today"
        return "this_week" if self.day <= today + A_WEEK else "later"

    @property
    def command(self) -> str:
        """What records it."""
        if self.kind in ("question", "trial"):
            return f"diagnose continue {self.case}"
        return f"diagnose {'checked' if self.kind == 'check' else 'done'} {self.case} {self.about}"


def due_in(base: RuleBase, case: CaseFile, state: CaseState, steps: Sequence[str] = ()) -> tuple[Due, ...]:
    """Everything that waits in a case. `steps` are the fixes of its plan that were not done, in order."""
    done = state.done()
    found = [
        *(
            _after(base, case, work)
            for work in done.values()
            if work.stands in ("begun", "unchecked", "unsure")
        ),
        *_questions(base, case, state),
        *_trials(base, case, state.trials),
    ]
    for fix in steps:
        if fix not in done or done[fix].stands == "not_good":
            says = base.fixes[fix].name
            found.append(Due(case.case, case.wine, "step", fix, says, None, None))
    return tuple(found)


def in_order(items: Iterable[Due]) -> list[Due]:
    """The earliest day first; what has no day comes last, the longest waiting first."""
    never = date.max
    return sorted(items, key=lambda item: (item.day or never, item.since or never, item.case))


def last_day(case: CaseFile) -> date | None:
    """The latest day of any event, whatever the order of the lines."""
    return max((day_of(event) for event in case.events), default=None)


def first_day(case: CaseFile) -> date | None:
    """The day a case began."""
    return min((day_of(event) for event in case.events), default=None)


def _after(base: RuleBase, case: CaseFile, work: Work) -> Due:
    fix = base.fixes[work.fix]
    if work.stands == "begun":
        steps = ", ".join(str(step) for step in sorted(work.steps))
        says = f"{fix.name}: step {steps} of {len(fix.steps)} done"
        return Due(case.case, case.wine, "begun", work.fix, says, work.done_on, None)
    which, day = check_day(fix.check, work)
    return Due(case.case, case.wine, "check", work.fix, fix.name, work.done_on, day, which)


def check_day(check: Check, work: Work) -> tuple[int, date | None]:
    """The next time to look, and its place among all; no day where the page names none, or none is left."""
    for which, day in enumerate(look_days(check, work.done_on)):
        if work.checked_on is None or day > work.checked_on:
            return which, day
    return len(check.days), None


def _questions(base: RuleBase, case: CaseFile, state: CaseState) -> list[Due]:
    """What was put off; the questions of one test are one thing to do."""
    put_off = {
        str(event.about): day_of(event)
        for event in case.events
        if event.did == "put_off" and event.about in state.put_off
    }
    found: dict[str, Due] = {}
    for name, since in sorted(put_off.items(), key=lambda item: (item[1], item[0])):
        test = next(iter(base.tests_yielding.get(name, ())), None)
        says = base.tests[test].name if test else base.observations[name].short
        about = test or name
        found.setdefault(about, Due(case.case, case.wine, "question", about, says, since, None))
    return list(found.values())


def _trials(base: RuleBase, case: CaseFile, events: Iterable[Event]) -> list[Due]:
    """Bench trials that were planned and not read yet."""
    open_: dict[str, date] = {}
    for event in events:
        fix = str(event.data.get("fix", ""))
        if event.did == "trial_planned":
            open_[fix] = day_of(event)
        else:
            open_.pop(fix, None)
    return [
        Due(case.case, case.wine, "trial", fix, f"Bench trial: {base.fixes[fix].name}", since, None)
        for fix, since in open_.items()
        if fix in base.fixes
    ]
