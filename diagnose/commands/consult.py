"""Consultations: begin one, go on with one, list those kept."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from pathlib import Path

import click

from diagnose.casebook.store import cases_folder, list_cases, new_case, open_case
from diagnose.engine.facts import Value
from diagnose.interview.begin import Opening, ask_topic
from diagnose.interview.form import Stopped
from diagnose.interview.lines import Typed
from diagnose.interview.session import Consultation
from diagnose.interview.talk import Outcome, Talk
from diagnose.judgement.judge import Cellar
from diagnose.judgement.machine import is_complete
from diagnose.knowledge.problems import nearest
from diagnose.present.console import Page
from diagnose.settings import read_settings
from diagnose.units import System

from .kept import kept_or_newest
from .setup import make_cellar, make_page
from .status import DONE, INCOMPLETE


def consult_new(
    rules: Sequence[Path], cases: Path | None, units: str | None, about: Sequence[str] = ()
) -> int:
    """Begin a consultation about these topics; without any, what troubles the person is asked first."""
    settings = read_settings()
    cellar = make_cellar(rules, settings)
    chosen: System = "us" if (units or settings.units) == "us" else "metric"  # click gives plain text
    page = make_page()
    lines = Typed(page.console)
    for topic in about:
        if topic not in cellar.base.topics:
            raise click.UsageError(f"'{topic}' is not a subject. {nearest(topic, cellar.base.topics)}")
    page.title("A new consultation")
    page.say("Answer what you can. Not knowing is a good answer. Everything is kept as you go.")
    try:
        opening = Opening(tuple(about), {}) if about else ask_topic(page, lines, cellar.base, chosen)
    except Stopped:
        return INCOMPLETE
    path = new_case(cases_folder(cases), "A consultation", opening.topics, chosen, cellar.base)
    return _talk(cellar, path, page, lines, settings.limits, findings=opening.findings)


def consult_again(name: str | None, rules: Sequence[Path], cases: Path | None, units: str | None) -> int:
    """Go on with a case. Units are those it was begun with."""
    folder = cases_folder(cases)
    path = kept_or_newest(folder, name)
    page = make_page()
    page.title("Going on")
    settings = read_settings()
    cellar = make_cellar(rules, settings)
    return _talk(cellar, path, page, Typed(page.console), settings.limits, resumed=True)


def _talk(
    cellar: Cellar,
    path: Path,
    page: Page,
    lines: Typed,
    limits: Mapping[str, float],
    resumed: bool = False,
    findings: Mapping[str, Value] | None = None,
) -> int:
    with open_case(path, cellar.base) as record:
        if record.mended:
            page.warn(record.mended)
        page.aside(f"Case {path.stem}, kept in {path.parent}")
        talk = Talk(page, lines, Consultation(cellar, record, resumed), limits)
        if findings:
            talk.begin_with(findings)
        outcome = converse(talk)
        complete = is_complete(talk.consultation.judged, talk.consultation.candidates)
    if outcome == "stopped" or not complete:
        page.blank()
        page.say(f"Kept. Go on any day with: diagnose continue {path.stem}")
    return DONE if complete and outcome != "stopped_early" else INCOMPLETE


def converse(talk: Talk) -> str:
    """Questions, then the result, then what is asked about it. `stopped_early` is before the result."""
    outcome: Outcome = talk.questions()
    if outcome == "stopped":
        return "stopped_early"
    talk.result()
    return "finished" if outcome == "ended" else talk.after()


def list_kept(cases: Path | None) -> int:
    """List the cases kept."""
    folder = cases_folder(cases)
    page = make_page()
    kept = list_cases(folder)
    page.say(f"Cases in {folder}:" if kept else f"No cases in {folder} yet.")
    for name in kept:
        page.item("-", name)
    return DONE
