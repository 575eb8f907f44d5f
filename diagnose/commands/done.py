"""What was done, how a check came out, and remarks: each is one more line of the case."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import date, timedelta
from pathlib import Path

import click

from diagnose.bounds import LONGEST_NOTE
from diagnose.casebook.answers import NotAnAnswer, show_answer
from diagnose.casebook.models import CheckedWork, DoneWork
from diagnose.casebook.store import OpenCase, open_case
from diagnose.days.due import check_day, first_day, last_day
from diagnose.interview.form import Field, Stopped, fill_in
from diagnose.interview.lines import Typed
from diagnose.judgement.judge import Cellar, Judged, judge
from diagnose.knowledge.models.treatments import Fix
from diagnose.knowledge.own import RuleFolders
from diagnose.places import cases_folder
from diagnose.plain_text import without_controls
from diagnose.planning.added import cannot_be, deviations, over_limits
from diagnose.planning.fixes import Amount, amounts
from diagnose.present.console import Page
from diagnose.present.done import show_clock, show_done, show_turn
from diagnose.settings import read_settings
from diagnose.units import NotAQuantity, System, read_quantity, show_quantity

from .kept import fix_named, kept_or_newest, tell_what_was_mended
from .setup import make_cellar, make_page
from .status import DONE, INCOMPLETE

FOUND = {"good": "good", "not-good": "not_good", "unsure": "unsure"}
"""How a check came out, as it is typed and as it is kept."""


def record_done(
    rules: RuleFolders,
    cases: Path | None,
    case: str | None,
    fix: str | None,
    added: Sequence[str],
    step: int | None,
    on: str | None,
    note: str | None,
) -> int:
    """Keep that a fix, or a step of it, was done, with what was really added."""
    settings = read_settings()
    cellar, page = make_cellar(rules, settings), make_page()
    with open_case(kept_or_newest(cases_folder(cases), case), cellar.base) as record:
        tell_what_was_mended(page, record)
        day = _day(page, record, on)
        judged = _judged(cellar, record)
        steps = [advice.fix for advice in judged.plan.steps]
        try:
            name = fix_named(cellar.base, fix) if fix else _which(page, cellar, steps, "was done")
        except Stopped:
            return INCOMPLETE
        it = cellar.base.fixes[name]
        if step is not None and not 1 <= step <= len(it.steps):
            raise click.UsageError(f"There is no step {step}; {it.name} has steps 1 to {len(it.steps)}.")
        plain = {key: value[0] for key, value in judged.facts.items() if len(value) == 1}
        vessel = plain.get("vessel_volume")
        vessel_l = vessel if isinstance(vessel, float) else None
        planned = amounts(it, judged.facts)
        really = _amounts(it, planned, added, vessel_l, record.case.units)
        advice = judged.plan.of(name)
        told = DoneWork(amounts=really, step=step, note=note or None)
        record.record("done", name, data=told.model_dump(exclude_none=True), on=day)
        work = record.state.done()[name]
        show_done(
            page,
            cellar.base,
            work,
            check_day(it.check, work)[1],
            deviations(planned, really),
            over_limits(cellar.base, it, planned, really, vessel_l, settings.limits),
            advice if advice and advice.state in ("forbidden", "locked") else None,
            record.case,
            settings.limits,
        )
    return DONE


def record_checked(
    rules: RuleFolders,
    cases: Path | None,
    case: str | None,
    fix: str | None,
    found: str | None,
    on: str | None,
    note: str | None,
) -> int:
    """Keep how the check of a fix came out, and what that answers in the diagnosis."""
    cellar, page = make_cellar(rules, read_settings()), make_page()
    with open_case(kept_or_newest(cases_folder(cases), case), cellar.base) as record:
        tell_what_was_mended(page, record)
        day = _day(page, record, on)
        waiting = [
            work.fix for work in record.state.done().values() if work.stands in ("unchecked", "unsure")
        ]
        try:
            name = fix_named(cellar.base, fix) if fix else _which(page, cellar, waiting, "was checked")
            word = FOUND[found] if found else _found(page, cellar.base.fixes[name])
        except Stopped:
            return INCOMPLETE
        work = record.state.done().get(name)
        if work is None:
            raise click.UsageError(
                f"{cellar.base.fixes[name].name} was not recorded as done in {record.path.stem}. "
                f"Record that first: diagnose done {record.path.stem} {name}"
            )
        on_day = day or date.today()
        if on_day < work.done_on:
            raise click.UsageError(
                f"{on_day} is before {work.done_on}, when it was done. Give a day from {work.done_on} on."
            )
        before = _judged(cellar, record)
        told = CheckedWork(note=note or None)
        record.record("checked", name, word, told.model_dump(exclude_none=True), on=day)
        answered = _answer(cellar, record, cellar.base.fixes[name], word, day)
        show_turn(page, cellar.base, record.case, name, word, answered, before, _judged(cellar, record))
    return DONE


def record_note(
    rules: RuleFolders, cases: Path | None, case: str, text: Sequence[str], on: str | None
) -> int:
    """Keep a remark."""
    words = without_controls(" ".join(text)).strip()
    if not words:
        raise click.UsageError("There is nothing to note. Write the remark behind the name of the case.")
    if len(words) > LONGEST_NOTE:
        raise click.UsageError(
            f"The remark has {len(words):,} letters; {LONGEST_NOTE:,} are the most. Shorten it."
        )
    cellar, page = make_cellar(rules), make_page()
    with open_case(kept_or_newest(cases_folder(cases), case), cellar.base) as record:
        tell_what_was_mended(page, record)
        record.record("noted", value=words, on=_day(page, record, on))
        page.say(f"Noted in {record.path.stem}.")
    return DONE


def day_meant(written: str) -> date:
    """A day as it is typed: 2026-11-30, today or yesterday. Raises UsageError for anything else."""
    said = written.strip().lower()
    if said in ("today", "yesterday"):
        return date.today() - timedelta(days=said == "yesterday")
    try:
        return date.fromisoformat(said)
    except ValueError:
        what = f"'{written[:40]}' is not a day. Expected is a day such as {date.today()}, today or yesterday."
        raise click.UsageError(f"{what} Write year, month and day with dashes.") from None


def _day(page: Page, record: OpenCase, on: str | None) -> date | None:
    """The day meant; None for now. Raises UsageError for a day that is still to come."""
    today, last, first = date.today(), last_day(record.case), first_day(record.case)
    show_clock(page, today, last, record.path.stem)
    if on is None:
        return None
    day = day_meant(on)
    # Where the clock is behind, the days already in the case have been.
    latest = max(today, last or today)
    if day > latest:
        what = f"{day} is still to come. Expected is a day up to {latest}."
        raise click.UsageError(f"{what} Give the day it happened, or leave --on out for today.")
    if first and day < first:
        page.warn(
            f"{day} is before this case began, on {first}. It is kept so; if the day is wrong, record it anew."
        )
    return None if day == today else day


def _judged(cellar: Cellar, record: OpenCase) -> Judged:
    return judge(cellar, record.case.topics, record.state.facts(), machine="chain")


def _which(page: Page, cellar: Cellar, among: Sequence[str], what: str) -> str:
    """Which fix is meant, asked calmly. Raises Stopped, and UsageError where there is none to choose."""
    if not among:
        where = "has no step to do" if what == "was done" else "has no fix that waits for its check"
        raise click.UsageError(f"The plan {where}. Name the fix: `diagnose judge` shows the plan.")
    for number, name in enumerate(among, 1):
        page.item(f"{number}.", cellar.base.fixes[name].name)

    def read(typed: str) -> str:
        said = typed.strip()
        if said.isdecimal() and 1 <= int(said) <= len(among):
            return among[int(said) - 1]
        if said in among:
            return said
        raise NotAnAnswer(f"'{said[:40]}' is none of these; type a number from 1 to {len(among)}.")

    field = Field(
        "fix",
        f"Which of these {what}?",
        "Type its number. For another one, stop and name it behind the case.",
        "What was done is not advised again, and its check tells whether the cause was right.",
        read,
    )
    return str(fill_in(page, Typed(page.console), [field])["fix"])


def _found(page: Page, fix: Fix) -> str:
    """How the check came out, asked calmly. Raises Stopped."""
    page.say(f"{fix.name}. {fix.check.do}")
    page.item("-", f"Good: {fix.check.good}")

    def read(typed: str) -> str:
        word = typed.strip().lower().replace(" ", "-").replace("_", "-")
        words = {"1": "good", "2": "not-good", "3": "unsure", "yes": "good", "no": "not-good"}
        if words.get(word, word) in FOUND:
            return FOUND[words.get(word, word)]
        raise NotAnAnswer(f"'{typed.strip()[:40]}' is none of these; type 1, 2 or 3.")

    ask = "How did it come out? 1 good, 2 not good, 3 unsure"
    why = "A check that fails says something about the cause."
    return str(fill_in(page, Typed(page.console), [Field("found", ask, fix.check.do, why, read)])["found"])


def _answer(
    cellar: Cellar, record: OpenCase, fix: Fix, word: str, day: date | None
) -> tuple[str, str] | None:
    """Keep what the outcome answers: the question and its answer in words; None where it answers nothing."""
    answers = fix.check.answers
    if word not in answers:
        return None
    name, answer = answers["observation"], answers[word]
    record.record("answered", name, answer, on=day)
    page = cellar.base.observations[name]
    return page.short, show_answer(page, answer, record.case.units)


def _amounts(
    fix: Fix, planned: Sequence[Amount], added: Sequence[str], vessel_l: float | None, units: System
) -> Mapping[str, float]:
    """What was added, in cellar units. Raises UsageError for a name or an amount that cannot be."""
    known, plan = fix.amount_quantities, {amount.name: amount.value for amount in planned}
    found: dict[str, float] = {}
    for text in added:
        name, sign, written = (part.strip() for part in text.partition("="))
        if not sign or name not in known:
            names = ", ".join(known) or "none; leave amounts out"
            what = f"'{text[:40]}' is not an amount of {fix.name}." if sign else f"'{text[:40]}' has no `=`."
            raise click.UsageError(f"{what} Expected is name=amount with one of: {names}.")
        try:
            value = read_quantity(written, known[name], units)
        except NotAQuantity as error:
            raise click.UsageError(f"{name}: {error}") from None
        expected = cannot_be(plan.get(name), known[name], value, vessel_l)
        if expected:
            usual = plan.get(name)
            near = f" ({show_quantity(usual, known[name], units)})" if usual else ""
            what = f"{name}={written[:40]} cannot be right; expected is {expected}{near}."
            raise click.UsageError(f"{what} Look at the unit and the point, and give it again.")
        found[name] = value
    return found


__all__ = ["FOUND", "day_meant", "record_checked", "record_done", "record_note"]
