"""Consultations: begin one, go on with one."""

from __future__ import annotations

from collections.abc import Callable, Collection, Mapping, Sequence
from pathlib import Path

import click

from diagnose.casebook.head import plain_name
from diagnose.casebook.held import reason
from diagnose.casebook.lessons import lessons_for
from diagnose.casebook.shelf import Card, cards, of_wine, path_of
from diagnose.casebook.store import OpenCase, load_case, new_case, open_case
from diagnose.engine.facts import Value
from diagnose.interview.begin import Opening, ask_topic
from diagnose.interview.carried import offer
from diagnose.interview.first_time import SYSTEMS, ask_first_settings
from diagnose.interview.form import Stopped
from diagnose.interview.lines import Explaining, Typed
from diagnose.interview.session import Consultation
from diagnose.interview.talk import Outcome, Talk
from diagnose.judgement.judge import Cellar
from diagnose.judgement.machine import is_complete
from diagnose.knowledge.limits import laws_of
from diagnose.knowledge.own import RuleFolders
from diagnose.knowledge.problems import RuleFilesWrong, nearest
from diagnose.knowledge.rule_base import RuleBase
from diagnose.logbook.told import answers_told
from diagnose.places import cache_folder, cases_folder, settings_file
from diagnose.present.cases import show_lessons
from diagnose.present.console import Page
from diagnose.present.log import show_answers
from diagnose.settings import Settings, read_settings, write_settings
from diagnose.units import System

from .kept import kept_or_newest, tell_of_the_file
from .settings import CHANGE
from .setup import make_cellar, make_page
from .status import DONE, INCOMPLETE


def consult_new(
    rules: RuleFolders,
    cases: Path | None,
    units: str | None,
    about: Sequence[str] = (),
    wine: str | None = None,
) -> int:
    """Begin a consultation about these topics; without any, what troubles the person is asked first.

    Of a wine that has cases already, what does not change is offered from them.
    """
    wine = plain_name(wine, "The name of the wine") if wine is not None else None
    settings = read_settings()
    cellar = make_cellar(rules, settings)
    page = make_page()
    lines = Typed(page.console)
    for topic in about:
        if topic not in cellar.base.topics:
            raise click.UsageError(f"'{topic}' is not a subject. {nearest(topic, cellar.base.topics)}")
    if lines.terminal and not settings_file().exists():
        try:
            settings = _first_settings(page, lines, cellar.base, settings)
        except Stopped:
            return INCOMPLETE
        # Made again, not put under another law: in this one the limits of the usual law are written out already.
        cellar = make_cellar(rules, settings)
    chosen: System = "us" if (units or settings.units) == "us" else "metric"  # click gives plain text
    page.title("A new consultation")
    page.say("Answer what you can. Not knowing is a good answer. Everything is kept as you go.")
    try:
        opening = Opening(tuple(about), {}) if about else ask_topic(page, lines, cellar.base, chosen)
        earlier = of_wine(cards(cases_folder(cases), cache_folder()), wine) if wine else []
        # One wine keeps one spelling.
        wine = earlier[-1].wine if earlier else wine
        known = _known_of(cellar.base, cases_folder(cases), earlier)
        fresh = {name: value for name, (value, _) in known.items() if name not in opening.findings}
        kept = offer(page, lines, cellar.base, fresh, wine or "", chosen)
    except Stopped:
        return INCOMPLETE
    path = new_case(cases_folder(cases), "A consultation", opening.topics, chosen, cellar.base, wine)
    copied = {name: (value, known[name][1]) for name, value in kept.items()}
    return _talk(cellar, path, page, lines, settings.limits, findings=opening.findings, copied=copied)


def _first_settings(page: Page, lines: Typed, base: RuleBase, usual: Settings) -> Settings:
    """Ask for units and law, and keep them, also where both were skipped: it is asked once. Raises Stopped."""
    laws = laws_of(base)
    chosen = usual.model_copy(update=ask_first_settings(page, Explaining(page, base, lines), laws))
    page.blank()
    try:
        place = write_settings(chosen)
        page.say(
            f"Kept: {SYSTEMS[chosen.units]} units, and the limits of: {laws.get(chosen.law, chosen.law)}."
        )
        page.aside(f"They are in {place}")
    except OSError as error:
        page.warn(f"This could not be kept, and counts for today only: {reason(error)}")
    page.aside(f"To change them any day, for example to those of the US: {CHANGE}")
    return chosen


def _known_of(base: RuleBase, folder: Path, earlier: Sequence[Card]) -> dict[str, tuple[Value, str]]:
    """What stays with a wine, as its earlier cases say it, and the case that said it last."""
    known: dict[str, tuple[Value, str]] = {}
    for card in earlier:
        try:
            answers = load_case(path_of(folder, card), base)[1].answers
        except RuleFilesWrong:  # the list of cases says what is wrong with it
            continue
        stays = {name: value for name, value in answers.items() if base.observations[name].stays == "wine"}
        known |= {name: (value, card.name) for name, value in stays.items()}
    return known


def consult_again(name: str | None, rules: RuleFolders, cases: Path | None, units: str | None) -> int:
    """Go on with a case. Units are those it was begun with."""
    folder = cases_folder(cases)
    path = kept_or_newest(folder, name if name is not None else _newest_open(folder))
    page = make_page()
    page.title("Going on")
    settings = read_settings()
    cellar = make_cellar(rules, settings)
    return _talk(cellar, path, page, Typed(page.console), settings.limits, resumed=True)


def _newest_open(folder: Path) -> str | None:
    """The case that was worked on last, of those not closed."""
    all_cards = cards(folder, cache_folder())
    names = [card.name for card in all_cards if not (card.archived or card.ended or card.problem)]
    return names[-1] if names else None


def _talk(
    cellar: Cellar,
    path: Path,
    page: Page,
    lines: Typed,
    limits: Mapping[str, float],
    resumed: bool = False,
    findings: Mapping[str, Value] | None = None,
    copied: Mapping[str, tuple[Value, str]] | None = None,
) -> int:
    with open_case(path, cellar.base) as record:
        tell_of_the_file(page, record)
        page.aside(f"Case {path.stem}, kept in {path.parent}")
        if record.state.closed:
            page.aside(f"This case is closed. To open it again: diagnose reopen {path.stem}")
        answered = answers_told(cellar.base, record.state, record.case.units)
        show_answers(page, answered)
        if answered:
            short, answer, _ = answered[0]
            page.aside(f"At any question, type for example: {short}: {answer}", indent=2)
        talk = Talk(page, lines, Consultation(cellar, record, resumed), limits, kept_as=path.stem)
        told: set[str] = set()
        for name, (value, source) in (copied or {}).items():
            talk.consultation.add_facts({name: value}, source)
        if findings:
            talk.begin_with(findings)
        if record.case.wine:
            _tell_lessons(talk, record, told, ())
        outcome = converse(talk, lambda: _tell_lessons(talk, record, told, _likely(talk)))
        complete = is_complete(talk.consultation.judged, talk.consultation.candidates)
    if outcome == "stopped" or not complete:
        page.blank()
        page.say(f"Kept. Go on any day with: diagnose continue {path.stem}")
    if not (resumed or record.case.wine):
        page.aside(f"To keep it with other cases of its wine: diagnose wine {path.stem} NAME")
    return DONE if complete and outcome != "stopped_early" else INCOMPLETE


def _likely(talk: Talk) -> tuple[str, ...]:
    return tuple(standing.cause for standing in talk.consultation.judged.standings if standing.is_likely)


def _tell_lessons(talk: Talk, record: OpenCase, told: set[str], likely: Collection[str]) -> None:
    """Lessons of earlier cases that were not told yet in this conversation."""
    consultation = talk.consultation
    folder, base, case = record.path.parent, consultation.cellar.base, record.case
    topics = consultation.judged.topics if record.state.answers else case.topics
    lessons = lessons_for(
        base,
        folder,
        cards(folder, cache_folder()),
        record.path.stem,
        case.wine,
        topics,
        likely,
        record.state.answers,
    )
    new = [lesson for lesson in lessons if lesson.card.name not in told]
    told.update(lesson.card.name for lesson in new)
    show_lessons(talk.page, base, new)


def _nothing() -> None:
    """Where nothing is to be told after the result."""


def converse(talk: Talk, after_result: Callable[[], None] = _nothing) -> str:
    """Questions, then the result, then what is asked about it. `stopped_early` is before the result.

    `after_result` tells what belongs beside the result the first time it is shown.
    """
    outcome: Outcome = talk.questions()
    if outcome == "stopped":
        return "stopped_early"
    talk.result()
    after_result()
    return "finished" if outcome == "ended" else talk.after()
