"""The demonstration: a shipped case played line by line, in a folder that goes away again; or as a guided tour."""

from __future__ import annotations

import tempfile
from pathlib import Path

from diagnose.casebook.models import CaseFile, Demonstration, Tour
from diagnose.casebook.store import load_case, new_case, open_case
from diagnose.interview.guided import Guided
from diagnose.interview.lines import Scripted, Typed
from diagnose.interview.session import Consultation
from diagnose.interview.talk import Talk
from diagnose.judgement.judge import Cellar
from diagnose.knowledge.own import RuleFolders
from diagnose.places import cases_folder
from diagnose.present.console import Page
from diagnose.shipped import shipped_folder

from .consult import converse
from .setup import make_cellar, make_page
from .status import DONE, INCOMPLETE

DEMONSTRATION = "haze/demonstration.yaml"


def play(rules: RuleFolders) -> int:
    """Play the demonstration consultation."""
    cellar = make_cellar(rules)
    case, played = _demonstration(cellar)
    page = make_page()
    _begin(page, "Demonstration", case)
    outcome = _consult(cellar, page, case, played)
    page.blank()
    page.say("Begin your own consultation with: diagnose")
    return DONE if outcome in ("finished", "stopped", "ended") else INCOMPLETE


def guide(rules: RuleFolders, cases: Path | None) -> int:
    """Play the tour: it stops where the case file says so, and tells what stands there."""
    cellar = make_cellar(rules)
    case, played = _demonstration(cellar)
    tour = played.tour or Tour(afterwards=played.afterwards, stops=())
    page = make_page()
    _begin(page, "Tour", case)
    lines = {"answers": {**played.answers, **tour.answers}, "afterwards": tour.afterwards}
    _consult(cellar, page, case, played.model_copy(update=lines), tour)
    page.blank()
    page.say(f"Your own cases will be kept in {cases_folder(cases)}")
    page.say("Begin your own consultation with: diagnose")
    return DONE


def _demonstration(cellar: Cellar) -> tuple[CaseFile, Demonstration]:
    case, _ = load_case(shipped_folder("cases") / DEMONSTRATION, cellar.base)
    return case, case.demonstration or Demonstration(answers={}, afterwards=())


def _begin(page: Page, kind: str, case: CaseFile) -> None:
    page.title(f"{kind} · {case.title}")
    if case.story:
        page.say(case.story)
    page.aside("Invented. What a person would type is shown after the > sign.")


def _consult(
    cellar: Cellar, page: Page, case: CaseFile, played: Demonstration, tour: Tour | None = None
) -> str:
    """Play the lines over a case that goes away again; how it ended."""
    with tempfile.TemporaryDirectory() as folder:
        path = new_case(Path(folder), case.title, case.topics, case.units, cellar.base)
        with open_case(path, cellar.base) as record:
            consultation = Consultation(cellar, record)
            script = Scripted(page.console, played.answers, played.afterwards, consultation.asked_now)
            person = Typed(page.console)
            stops = tour.stops if tour else ()
            lines = Guided(page, script, person if person.terminal else None, stops)
            return converse(Talk(page, lines, consultation, {}))
