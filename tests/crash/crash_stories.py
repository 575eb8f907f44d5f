"""What a person was doing when the machine stopped, and what must then be in the file. The wines are invented."""

from __future__ import annotations

import json
import re
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import Any

NAME = "haze_2024_03_14"
OLDER = Path(__file__).with_name("format_1.yaml")
"""A case as the first version of the program wrote it, kept as it was."""

HEAD = f'case: "{NAME}"\ntitle: "A cloudy white"\ntopic: "haze"\ncase_format: 2\nunits: "metric"\nevents:\n'
_BEFORE = [
    {"at": "2024-03-14T18:02:11+01:00", "did": "answered", "about": "wine_colour", "value": "white"},
    {"at": "2024-03-14T18:02:30+01:00", "did": "answered", "about": "made_from", "value": "grapes"},
    {"at": "2024-03-15", "did": "done", "about": "bentonite", "data": {"amounts": {}}},
]
PRIOR = (HEAD + "".join(f"- {json.dumps(event)}\n" for event in _BEFORE)).encode()

Kept = tuple[str, str | None, Any]
"""What happened, about what, and the value."""

REMARK = "Racked off the lees; " + "the hose was new and smelled of nothing. " * 20


@dataclass(frozen=True)
class Story:
    """A command, what is typed, and the entries that it keeps one after the other."""

    name: str
    arguments: tuple[str, ...]
    keeps: tuple[Kept, ...]
    says: str = ""
    """What on the screen acknowledges all of them; a consultation acknowledges each with its next prompt."""
    typed: tuple[str, ...] = ()
    prior: bytes = PRIOR
    begins: bool = False
    """Whether the entries go into a new case; the prior one must then stay as it is."""
    together: bool = False
    """Whether the entries are kept all or none."""
    head: Callable[[bytes], bytes] = lambda prior: prior
    """The prior file with its head as the story leaves it."""

    def acknowledged(self, screen: str) -> int:
        """How many entries the screen said are kept."""
        if not self.typed:
            return len(self.keeps) if self.said(screen) else 0
        shown = max(0, len(re.findall(r"(?m)^> ", screen)) - 1)
        answered = [at for at, (did, _, _) in enumerate(self.keeps, 1) if did == "answered"]
        kept = screen.count("  Kept: ")
        return min(len(self.keeps), max(shown, answered[kept - 1] if kept else 0))

    def said(self, screen: str) -> bool:
        """Whether the screen acknowledged the whole of it."""
        return bool(self.says) and self.says in " ".join(screen.split())


_ANSWERS: tuple[tuple[str, Kept], ...] = (
    ("vessel", ("answered", "wine_is_in", "vessel")),
    ("later", ("put_off", "looks", None)),
    ("back", ("took_back", "looks", None)),
    ("1", ("answered", "looks", ["even_veil"])),
    ("1 3", ("answered", "smells", ["vinegar", "yeasty"])),
    ("skip", ("skipped", "tastes", None)),
    ("2", ("answered", "haze_began", "after_clear")),
)
_FIRST: tuple[tuple[str, Kept], ...] = (
    ("white", ("answered", "wine_colour", "white")),
    ("grapes", ("answered", "made_from", "grapes")),
)


def _consultation(
    name: str, arguments: tuple[str, ...], *lines: tuple[str, Kept], begins: bool = False
) -> Story:
    typed, kept = tuple(line for line, _ in lines), tuple(entry for _, entry in lines)
    return Story(name, arguments, kept, typed=(*typed, "stop"), begins=begins)


STORIES = {
    story.name: story
    for story in (
        _consultation("begin a case", ("--about", "haze"), *_FIRST, *_ANSWERS, begins=True),
        _consultation("go on with a case", ("continue", NAME), *_ANSWERS),
        Story("note a remark", ("note", NAME, REMARK), (("noted", None, REMARK.strip()),), "Noted in"),
        Story(
            "log two readings",
            ("log", NAME, "gravity=1.010", "temp=18C"),
            (("read", "gravity_now", 1.01), ("read", "cellar_temperature", 18.0)),
            "Kept: 2 in",
            together=True,
        ),
        Story(
            "record a fix as done", ("done", NAME, "bentonite"), (("done", "bentonite", None),), "Kept: Take"
        ),
        Story(
            "record a check",
            ("checked", NAME, "bentonite", "good"),
            (("checked", "bentonite", "good"), ("answered", "cleared_after_bentonite", "cleared")),
            "checked: good",
        ),
        Story(
            "close a case",
            ("close", NAME, "solved", "--lesson", "Wait longer."),
            (("closed", None, "solved"),),
            "Closed, ",
        ),
        Story(
            "rename a case",
            ("rename", NAME, "A clear white"),
            (),
            "Kept: the title",
            head=lambda prior: prior.replace(b"A cloudy white", b"A clear white"),
        ),
        Story("put a case away", ("archive", NAME), (), "Moved: "),
        Story(
            "copy a case",
            ("copy", NAME),
            tuple(
                ("answered", about, value)
                for about, value in (("wine_colour", "white"), ("made_from", "grapes"))
            ),
            "Begun: ",
            begins=True,
        ),
        Story(
            "add to a case of format 1",
            ("note", NAME, REMARK),
            (("noted", None, REMARK.strip()),),
            "Noted in",
            prior=OLDER.read_bytes(),
            head=lambda prior: prior.replace(b"case_format: 1", b"case_format: 2"),
        ),
    )
}
CONSULTATIONS = ("begin a case", "go on with a case")
SHORT = ("note a remark", "log two readings", "put a case away", "add to a case of format 1", "begin a case")
"""Stories that are over soon, and meet every way of writing."""
