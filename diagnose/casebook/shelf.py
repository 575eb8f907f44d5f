"""All cases of a folder at a glance: what each is about and how it stands; finding some; putting one away.

Nothing is judged here, and no rules are needed. What was read of a file is kept in the cache folder under its time and
size, so that only files that changed are read again. That index may be deleted at any time.
"""

from __future__ import annotations

import contextlib
import hashlib
import json
import os
import re
import tempfile
from collections.abc import Iterable, Iterator, Mapping
from datetime import datetime
from pathlib import Path
from typing import Any

from pydantic import BaseModel, ConfigDict, TypeAdapter, ValidationError

from diagnose.bounds import CASE_FILE
from diagnose.knowledge.complaints import model_problems
from diagnose.knowledge.problems import RuleFilesWrong
from diagnose.plain_file import leads_out, read_plain
from diagnose.plain_text import folded

from .case import causes_in
from .half_line import read_kept, without_half_line
from .held import CannotKeep, folder_to_disk, reason, rename_to_free, take
from .models import CaseFile, Event
from .store import ARCHIVED

_HALF_A_SIGN = re.compile(r"\\u[dD]")
_FORM = 1
"""Raised when the index changes its form."""


class Card(BaseModel):
    """What is seen of a case without opening it."""

    model_config = ConfigDict(frozen=True, extra="forbid")

    name: str
    archived: bool
    touched: float
    """When the file was last written, in seconds since 1970."""
    title: str = ""
    wine: str | None = None
    topics: tuple[str, ...] = ()
    begun: str = ""
    """The day of its first entry; empty before that."""
    ended: str | None = None
    """How it was closed; None while it is open."""
    causes: Mapping[str, str] = {}
    """The first cause of each trouble, as it was last shown or as it was closed with."""
    lesson: str | None = None
    words: str = ""
    """Everything that can be searched, without capitals and accents."""
    problem: str | None = None
    """Why the file cannot be read; the rest is then empty."""

    @property
    def last(self) -> str:
        """The day it was last written to."""
        return f"{datetime.fromtimestamp(self.touched):%Y-%m-%d}"


class _Kept(BaseModel):
    time: int
    size: int
    card: Card


_Index = TypeAdapter(dict[str, _Kept])


def cards(folder: Path, keep_in: Path | None = None) -> list[Card]:
    """A card of every case kept, archived ones included, the one written to last at the end.

    A file that cannot be read has a card that says why. Raises OSError where the folder itself cannot be read.
    """
    file = keep_in / f"cases_{_form(folder)}.json" if keep_in else None
    known = _read_index(file)
    now = {
        name: kept
        if (kept := known.get(name)) and (kept.time, kept.size) == (time, size)
        else _Kept(time=time, size=size, card=_card(folder, name, time / 1e9))
        for name, time, size in _files(folder)
    }
    if now != known and file:
        _keep_index(file, now)
    return sorted((kept.card for kept in now.values()), key=lambda card: (card.touched, card.name))


def _form(folder: Path) -> str:
    return hashlib.sha256(f"{_FORM}\0{folder.resolve()}".encode()).hexdigest()[:16]


def _files(folder: Path) -> Iterator[tuple[str, int, int]]:
    for place in ("", f"{ARCHIVED}/"):
        try:
            entries = list(os.scandir(folder / place))
        except (FileNotFoundError, NotADirectoryError):
            continue
        for entry in entries:
            if entry.name.endswith(".yaml") and not entry.name.startswith("."):
                try:
                    stat = entry.stat()
                except OSError:  # a link that leads nowhere
                    stat = entry.stat(follow_symlinks=False)
                yield place + entry.name, stat.st_mtime_ns, stat.st_size


def _read_index(file: Path | None) -> dict[str, _Kept]:
    try:
        return _Index.validate_json(file.read_bytes()) if file else {}
    except (OSError, ValueError):
        return {}


def _keep_index(file: Path, index: dict[str, _Kept]) -> None:
    # A list without the index is slower and nothing else, so nothing is said when it cannot be written.
    with contextlib.suppress(OSError, ValueError):
        file.parent.mkdir(parents=True, exist_ok=True)
        handle, half = tempfile.mkstemp(dir=file.parent, prefix="cases_", suffix=".part")
        try:
            with os.fdopen(handle, "wb") as written:
                written.write(_Index.dump_json(index))
            Path(half).replace(file)
        finally:
            Path(half).unlink(missing_ok=True)


# ---------------------------------------------------------------- one file


def _card(folder: Path, name: str, touched: float) -> Card:
    path = folder / name
    bare = Card(name=path.stem, archived="/" in name, touched=touched)
    try:
        inside(folder, path)
        case = _read(path)
    except RuleFilesWrong as wrong:
        first = wrong.problems[0]
        return bare.model_copy(update={"problem": f"line {first.place.line}: {first.what}"})
    except CannotKeep as error:
        return bare.model_copy(update={"problem": str(error)})
    except OSError as error:
        return bare.model_copy(update={"problem": reason(error)})
    closed = _closed(case)
    shown = next((event for event in reversed(case.events) if event.did == "shown"), None)
    found = closed or shown
    lesson = closed.data.get("lesson") if closed else None
    return bare.model_copy(
        update={
            "title": case.title,
            "wine": case.wine,
            "topics": case.topics,
            "begun": case.events[0].at[:10] if case.events else "",
            "ended": str(closed.value) if closed else None,
            "causes": causes_in(found) if found else {},
            "lesson": str(lesson) if lesson else None,
            "words": _words(case),
        }
    )


def _closed(case: CaseFile) -> Event | None:
    last = next((event for event in reversed(case.events) if event.did in ("closed", "opened_again")), None)
    return last if last and last.did == "closed" else None


def _read(path: Path) -> CaseFile:
    """A case file by its form alone; whether the rules know its questions is seen when it is opened."""
    raw, size = read_plain(path, CASE_FILE.size)
    if size <= CASE_FILE.size:
        with contextlib.suppress(ValueError, RecursionError):
            return CaseFile.model_validate(_as_written_here(without_half_line(raw)))
    document = read_kept(path)
    try:
        return CaseFile.model_validate(document.value)
    except ValidationError as error:
        raise RuleFilesWrong(model_problems(error, document, (), CaseFile)) from error


def _as_written_here(raw: bytes) -> dict[str, Any]:
    """The value of a file in which every line is as the program writes it, read much faster than any YAML.

    Raises ValueError for any other file, and for one that only the YAML reader can refuse with its place.
    """
    text = raw.decode()
    if not text.replace("\n", "").isprintable() or _HALF_A_SIGN.search(text):
        raise ValueError("signs that are not written here")
    head, _, events = text.partition("\nevents:\n")
    value: dict[str, Any] = {}
    for line in head.split("\n"):
        key, _, written = line.partition(": ")
        if key in value:
            raise ValueError("a doubled key")
        value[key] = json.loads(written)
    lines = events.split("\n")[:-1] if events else []
    if not events.endswith("\n") and events:
        raise ValueError("a half line")
    value["events"] = [json.loads(line.removeprefix("- ")) for line in lines]
    return value


def _words(case: CaseFile) -> str:
    """What can be searched: title, wine, story, answers as they are written, remarks and lessons."""
    said: list[Any] = [case.title, case.wine, case.story, *case.topics, *case.facts.values()]
    for event in case.events:
        if event.did in ("answered", "read"):
            said.append(event.value)
        elif event.did in ("noted", "done", "checked", "closed", "shown"):
            said += [event.about, event.value, event.data]
    text = folded(" ".join(_texts(said)).replace("_", " "))
    return " ".join(dict.fromkeys(text.split()))


def _texts(value: Any) -> Iterator[str]:
    # Without recursion: a file may nest its lists a thousand deep.
    waiting = [value]
    while waiting:
        one = waiting.pop()
        if isinstance(one, Mapping):
            one = list(one.values())
        if isinstance(one, list | tuple):
            waiting += reversed(one)
        elif isinstance(one, float):
            yield f"{one:g}"
        elif one is not None:
            yield str(one)


# ---------------------------------------------------------------- finding


def find(
    all_cards: Iterable[Card], words: Iterable[str] = (), wine: str | None = None, state: str = "kept"
) -> list[Card]:
    """The cards in which all words stand, of this wine, in this state: `kept`, `open`, `closed` or `archived`.

    Capitals and accents make no difference. An unreadable file has no words: it is found by its name, and where
    nothing is looked for.
    """
    wanted = folded(" ".join(words).replace("_", " ")).split()
    of_wine = " ".join(folded(wine).split()) if wine is not None else None
    return [
        card
        for card in all_cards
        if _in_state(card, state)
        and (of_wine is None or of_wine in " ".join(folded(card.wine or "").split()))
        and all(word in card.words or word in folded(card.name).replace("_", " ") for word in wanted)
    ]


def _in_state(card: Card, state: str) -> bool:
    if state == "archived" or card.archived:
        return card.archived and state == "archived"
    if state == "kept" or card.problem:
        return True
    return (card.ended is not None) == (state == "closed")


def of_wine(all_cards: Iterable[Card], wine: str) -> list[Card]:
    """The cards of exactly this wine, archived ones included."""
    wanted = folded(wine).split()
    return [card for card in all_cards if card.wine and folded(card.wine).split() == wanted]


def path_of(folder: Path, card: Card) -> Path:
    """Where the case of a card lies."""
    return folder / (ARCHIVED if card.archived else "") / f"{card.name}.yaml"


# ---------------------------------------------------------------- putting away


def inside(folder: Path, path: Path) -> None:
    """Raises CannotKeep for a file that is not truly in the folder, such as a link that leads out of it."""
    if leads_out(folder, path):
        raise CannotKeep(f"{path.name} leads out of {folder}; a case must lie in that folder itself.")


def put_away(folder: Path, name: str) -> Path:
    """Move a case into the archive. Raises CannotKeep when it is held, or when something has its name there."""
    return _move(folder, folder / f"{name}.yaml", folder / ARCHIVED / f"{name}.yaml")


def bring_back(folder: Path, name: str) -> Path:
    """Move a case out of the archive. Raises CannotKeep as `put_away` does."""
    return _move(folder, folder / ARCHIVED / f"{name}.yaml", folder / f"{name}.yaml")


def _move(folder: Path, path: Path, to: Path) -> Path:
    inside(folder, path)
    try:
        to.parent.mkdir(exist_ok=True)
        inside(folder, to)
        with take(path):
            if to.exists() and to.samefile(path):
                # The machine stopped in the middle of moving it; one of its two names is left to take away.
                path.unlink()
            elif os.path.lexists(to):
                raise CannotKeep(f"{to} is there already, and is not written over. Nothing was moved.")
            else:
                rename_to_free(path, to)
            folder_to_disk(to.parent)
            folder_to_disk(path.parent)
    except OSError as error:
        raise CannotKeep(f"{path} could not be moved to {to.parent}: {reason(error)}.") from error
    return to
