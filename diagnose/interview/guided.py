"""A demonstration that stops before some of its lines, and tells what stands on the screen."""

from __future__ import annotations

from collections.abc import Sequence

from diagnose.casebook.models import TourStop
from diagnose.present.console import Page

from .form import STOP
from .lines import Lines, Scripted

GO_ON = "Enter goes on, stop leaves: "


class Guided:
    """The lines of a script. Before each stop it waits for the person, if there is one who could answer."""

    def __init__(self, page: Page, script: Scripted, person: Lines | None, stops: Sequence[TourStop]) -> None:
        self._page, self._script, self._person = page, script, person
        self._waiting, self._all, self.left = list(stops), len(stops), False

    def read(self, prompt: str) -> str | None:
        """The next line of the script, or `stop` once the person has left."""
        line = None if self.left else self._script.following(prompt)
        stop = next((one for one in self._waiting if (one.at, one.before) == (self._script.at, line)), None)
        if stop is not None:
            self._waiting.remove(stop)
            self.left = not self._tell(stop)
        if self.left:
            return "stop"
        if line is not None:
            self._script.show(prompt, line)
        return line

    def _tell(self, stop: TourStop) -> bool:
        """Tell what stands here; whether to go on."""
        self._page.head(f"Tour {self._all - len(self._waiting)} of {self._all} · {stop.title}")
        self._page.say(stop.says, indent=2)
        self._page.blank()
        if self._person is None:
            return True
        typed = self._person.read(GO_ON)
        return typed is not None and typed.strip().lower() not in STOP
