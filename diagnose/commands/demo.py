"""The demonstration: a shipped case played line by line, in a folder that goes away again."""

from __future__ import annotations

import tempfile
from pathlib import Path

from diagnose.casebook.models import Demonstration
from diagnose.casebook.store import load_case, new_case, open_case
from diagnose.interview.lines import Scripted
from diagnose.interview.session import Consultation
from diagnose.interview.talk import Talk
from diagnose.knowledge.own import RuleFolders
from diagnose.shipped import shipped_folder

from .consult import converse
from .setup import make_cellar, make_page
from .status import DONE, INCOMPLETE

DEMONSTRATION = "haze/demonstration.yaml"


def play(rules: RuleFolders) -> int:
    """Play the demonstration consultation."""
    cellar = make_cellar(rules)
    script, _ = load_case(shipped_folder("cases") / DEMONSTRATION, cellar.base)
    played = script.demonstration or Demonstration(answers={}, afterwards=())
    page = make_page()
    page.title("Demonstration · " + script.title)
    if script.story:
        page.say(script.story)
    page.aside("Invented. What a person would type is shown after the > sign.")
    with tempfile.TemporaryDirectory() as folder:
        path = new_case(Path(folder), script.title, script.topics, script.units, cellar.base)
        with open_case(path, cellar.base) as record:
            consultation = Consultation(cellar, record)
            lines = Scripted(page.console, played.answers, played.afterwards, consultation.asked_now)
            outcome = converse(Talk(page, lines, consultation, {}))
    page.blank()
    page.say("Begin your own consultation with: diagnose")
    return DONE if outcome in ("finished", "stopped", "ended") else INCOMPLETE
