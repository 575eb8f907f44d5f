"""The shelf of cases: list and find, name, copy, put away, close with a lesson."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from dataclasses import replace
from pathlib import Path
from typing import Literal

import click
from pydantic import TypeAdapter

from diagnose.casebook.head import plain_name
from diagnose.casebook.shelf import Card, bring_back, cards, find, put_away
from diagnose.casebook.store import CannotKeep, OpenCase, load_case, new_case, open_case
from diagnose.interview.closing import Ending, ask_ending, read_how, read_lesson
from diagnose.interview.form import Stopped
from diagnose.interview.lines import Typed
from diagnose.judgement.judge import Cellar, judge
from diagnose.knowledge.own import RuleFolders
from diagnose.places import cache_folder, cases_folder
from diagnose.present.cases import ENDED, show_cards
from diagnose.present.console import Page
from diagnose.settings import read_settings

from .kept import kept_case, tell_of_the_file
from .output import put_json
from .setup import make_cellar, make_page
from .status import DONE, INCOMPLETE

_NOT_IN_JSON = {"words"}


def list_kept(cases: Path | None, words: Sequence[str], wine: str | None, state: str, as_json: bool) -> int:
    """List the cases kept, or those that are looked for."""
    folder = cases_folder(cases)
    found = find(cards(folder, cache_folder()), words, wine, state)
    if as_json:
        each = {"__all__": _NOT_IN_JSON}
        put_json(TypeAdapter(list[Card]).dump_json(found, indent=2, exclude=each).decode())
        return DONE
    show_cards(make_page(), folder, found, bool(words or wine is not None or state != "kept"))
    return DONE


def name_case(
    rules: RuleFolders, cases: Path | None, case: str, key: Literal["title", "wine"], name: str
) -> int:
    """Give a case another title, or say which wine it is about."""
    name = plain_name(name, "The title" if key == "title" else "The name of the wine")
    with _opened(rules, cases, case) as (page, _, record):
        record.change_head(**{key: name})
        page.say(f"Kept: the {key} of {record.path.stem} is {name}.")
    return DONE


def copy(rules: RuleFolders, cases: Path | None, case: str, only_wine: bool) -> int:
    """Begin a case from the answers of another one: all of them, or those that stay with the wine."""
    folder = cases_folder(cases)
    base = make_cellar(rules, read_settings()).base
    old = kept_case(folder, case)
    file, state = load_case(old, base)
    taken = {
        name: value
        for name, value in state.answers.items()
        if not only_wine or base.observations[name].stays == "wine"
    }
    path = new_case(folder, file.title, file.topics, file.units, base, file.wine)
    with open_case(path, base) as record:
        for name, value in taken.items():
            record.record("answered", name, value, {"copied_from": old.stem})
    page = make_page()
    page.say(f"Begun: {path.stem}, with {len(taken)} of {len(state.answers)} answers of {old.stem}.")
    page.say(f"Go on with: diagnose continue {path.stem}")
    return DONE


def archive(cases: Path | None, case: str, back: bool) -> int:
    """Put a case away, or bring it back."""
    folder = cases_folder(cases)
    path = kept_case(folder, case, archived=back)
    to = (bring_back if back else put_away)(folder, path.stem)
    make_page().say(f"Moved: {path.stem} is now in {to.parent}.")
    return DONE


def close(rules: RuleFolders, cases: Path | None, case: str, how: str | None, lesson: str | None) -> int:
    """Close a case. At a terminal, what is not given is asked."""
    with _opened(rules, cases, case) as (page, cellar, record):
        if record.state.closed:
            raise CannotKeep(f"{record.path.stem} is closed already; `diagnose reopen` opens it again.")
        lines = Typed(page.console)
        ending = _so_far(cellar, record, how, lesson)
        if lines.terminal and (how is None or lesson is None):
            try:
                ending = ask_ending(page, lines, cellar.base, ending)
            except Stopped:
                page.say("Left open.")
                return INCOMPLETE
        elif how is None:
            raise click.UsageError(
                f"Say how it ended: {', '.join(word.replace('_', '-') for word in ENDED)}."
            )
        data = {"causes": dict(ending.causes), "fix": ending.fix, "lesson": ending.lesson}
        record.record("closed", value=ending.how, data={key: value for key, value in data.items() if value})
        page.say(f"Closed, {ENDED[ending.how]}: {record.path.stem}")
    return DONE


def _so_far(cellar: Cellar, record: OpenCase, how: str | None, lesson: str | None) -> Ending:
    """The ending as far as it is known: the likely causes, and the fix that was done last."""
    causes: dict[str, str] = {}
    if record.state.answers:
        judged = judge(cellar, record.case.topics, record.state.facts())
        causes = {
            topic: first.cause
            for topic, first in judged.firsts.items()
            if first.is_likely and first.cause in cellar.base.causes
        }
    done = [event.about for event in record.state.work if event.did == "done"]
    ending = Ending("solved", causes, done[-1] if done else None, read_lesson(lesson or ""))
    return ending if how is None else replace(ending, how=read_how(how))


def reopen(rules: RuleFolders, cases: Path | None, case: str) -> int:
    """Open a closed case again."""
    with _opened(rules, cases, case) as (page, _, record):
        if record.state.closed is None:
            raise CannotKeep(f"{record.path.stem} is open.")
        record.record("opened_again")
        page.say(f"Open again: {record.path.stem}")
    return DONE


@contextmanager
def _opened(rules: RuleFolders, cases: Path | None, case: str) -> Iterator[tuple[Page, Cellar, OpenCase]]:
    path = kept_case(cases_folder(cases), case)
    cellar, page = make_cellar(rules, read_settings()), make_page()
    with open_case(path, cellar.base) as record:
        tell_of_the_file(page, record)
        yield page, cellar, record
