"""Cases on disk. Every event is written and flushed to the disk before the next question is shown."""

from __future__ import annotations

import json
import os
from collections.abc import Iterator, Mapping, Sequence
from contextlib import contextmanager
from datetime import date, datetime
from pathlib import Path
from typing import IO, Any

import platformdirs

from diagnose.knowledge.problems import RuleFilesWrong
from diagnose.knowledge.rule_base import RuleBase
from diagnose.knowledge.yaml_reader import read_file, read_text

from .case import CaseState, read_case
from .models import CASE_FORMAT, CaseFile, Event

FOLDER_VARIABLE = "DIAGNOSE_CASES"
"""Environment variable that names another folder for cases."""

LARGEST_CASE = 4 * 1024 * 1024

_EVENT_BEGINS = b'- {"at": '
"""How every line of an event begins as it is written here; by it a half-written one is known."""


class CannotKeep(Exception):
    """A case could not be written or opened; the message says why and what is safe."""


def cases_folder(chosen: Path | None = None) -> Path:
    """Where cases are kept: as chosen, as the environment says, or the platform's place for such files."""
    if chosen is not None:
        return chosen
    named = os.environ.get(FOLDER_VARIABLE)
    return Path(named) if named else Path(platformdirs.user_data_dir("diagnose", appauthor=False)) / "cases"


def list_cases(folder: Path) -> list[str]:
    """Names of the cases kept, newest last."""
    if not folder.is_dir():
        return []
    files = sorted(folder.glob("*.yaml"), key=lambda path: (path.stat().st_mtime, path.name))
    return [path.stem for path in files]


def new_case(folder: Path, title: str, topics: Sequence[str], units: str, base: RuleBase) -> Path:
    """Create an empty case file for one or several kinds of trouble, the main one first.

    Raises CannotKeep when the folder cannot be written.
    """
    now = datetime.now().astimezone()
    head = {
        "title": title,
        "topic": topics[0],
        **({"also": list(topics[1:])} if topics[1:] else {}),
        "case_format": CASE_FORMAT,
        "units": units,
        "rule_base": base.edition,
    }
    try:
        folder.mkdir(parents=True, exist_ok=True)
        for number in range(1, 1000):
            name = f"{topics[0]}_{now:%Y_%m_%d}" + (f"_{number}" if number > 1 else "")
            path = folder / f"{name}.yaml"
            lines = [f"{key}: {_line(value)}\n" for key, value in {"case": name, **head}.items()]
            try:
                file = path.open("xb", buffering=0)
            except FileExistsError:
                continue
            with file:
                _begin(file, path, "".join([*lines, "events:\n"]).encode())
            return path
    except OSError as error:
        raise CannotKeep(f"A case cannot be kept in {folder}: {_reason(error)}. Nothing was lost.") from error
    raise CannotKeep(f"{folder} holds a thousand cases of today already.")


def _begin(file: IO[bytes], path: Path, head: bytes) -> None:
    """Write the head of a new case; one that cannot be written whole does not stay behind."""
    try:
        _write_all(file, head)
        _to_disk(file)
    except OSError:
        path.unlink(missing_ok=True)
        raise


def _line(value: Any) -> str:
    """A value as one line that is both JSON and YAML."""
    return json.dumps(value, ensure_ascii=False)


def _to_disk(file: IO[Any]) -> None:
    file.flush()
    os.fsync(file.fileno())


def _write_all(file: IO[bytes], line: bytes) -> None:
    """An unbuffered file may take only a part of what it is given, and say so by a number alone."""
    while line:
        line = line[file.write(line) :]


def _reason(error: OSError) -> str:
    return (error.strerror or str(error)).lower()


def _as_list(value: Any) -> Any:
    return sorted(value) if isinstance(value, frozenset | set) else value


class OpenCase:
    """A case file open for adding events. One holder at a time."""

    def __init__(self, path: Path, file: IO[bytes], case: CaseFile, state: CaseState, mended: str) -> None:
        self.path, self.case, self.state = path, case, state
        self.mended = mended
        """What had to be mended at opening, as a sentence; empty if nothing."""
        self._file = file

    def record(
        self,
        did: str,
        about: str | None = None,
        value: Any = None,
        data: Mapping[str, Any] | None = None,
        on: date | None = None,
    ) -> None:
        """Add an event, on disk before this returns. `value` of an answer must be a checked value.

        `on` is the day it happened, where that is not now.

        Raises CannotKeep when it cannot be written; the file is then as it was before.
        """
        written: dict[str, Any] = {
            "at": on.isoformat() if on else datetime.now().astimezone().isoformat(timespec="seconds"),
            "did": did,
        }
        if about is not None:
            written["about"] = about
        if value is not None:
            written["value"] = _as_list(value)
        if data:
            written["data"] = dict(data)
        # Checked before it is written: a line that cannot be read again would shut the whole case.
        event = Event.model_validate(written)
        self._append(f"- {_line(written)}\n".encode())
        self.state.apply(event, value)

    def _append(self, line: bytes) -> None:
        end = self._file.seek(0, os.SEEK_END)
        try:
            _write_all(self._file, line)
            _to_disk(self._file)
        except OSError as error:
            self._undo(end)
            what = f"This answer could not be kept in {self.path}: {_reason(error)}."
            raise CannotKeep(f"{what} Everything before it is safe.") from error

    def _undo(self, end: int) -> None:
        # A half-written line is taken away again; if even that fails, the next opening does it.
        try:
            self._file.seek(end)
            self._file.truncate()
        except OSError:
            pass


@contextmanager
def open_case(path: Path, base: RuleBase) -> Iterator[OpenCase]:
    """Open a case for a consultation.

    Raises CannotKeep when it cannot be opened or added to or another terminal holds it, RuleFilesWrong when
    damaged. A file that is refused stays as it was, but for a half-written event at its end.
    """
    try:
        file = path.open("r+b", buffering=0)
    except OSError as error:
        raise CannotKeep(f"{path} cannot be opened for writing: {_reason(error)}.") from error
    with file:
        _hold(file, path)
        try:
            mended = _drop_half_line(file)
            case, state = load_case(path, base)
            _make_ready_to_add(file, path, len(case.events))
        except OSError as error:
            raise CannotKeep(f"{path} cannot be made ready for answers: {_reason(error)}.") from error
        yield OpenCase(path, file, case, state, mended)


def load_case(path: Path, base: RuleBase) -> tuple[CaseFile, CaseState]:
    """Read a case without holding it."""
    return read_case(read_file(path, largest=LARGEST_CASE), base)


def _hold(file: IO[bytes], path: Path) -> None:
    """Take the case for this process; let go when the file is closed."""
    try:
        import fcntl
    except ImportError:  # Windows has no fcntl; there a case is not guarded against a second terminal.
        return
    try:
        fcntl.flock(file.fileno(), fcntl.LOCK_EX | fcntl.LOCK_NB)
    except OSError as error:
        what = f"{path.stem} is open in another terminal. Finish there first, then try again."
        raise CannotKeep(what) from error


def _drop_half_line(file: IO[bytes]) -> str:
    """An event without the end of its line was being written when the machine stopped; nobody was told it was kept.

    A last line of any other kind was written by a person, or is no case at all, and is left alone.
    """
    raw = file.read(LARGEST_CASE + 1)
    begins = raw.rfind(b"\n") + 1
    # A disk that lost its power may leave noughts where the line was to stand.
    half = raw[begins:].rstrip(b"\0")
    ours = half.startswith(_EVENT_BEGINS) or _EVENT_BEGINS.startswith(half)
    if raw.endswith(b"\n") or len(raw) > LARGEST_CASE or b"\nevents:" not in raw[:begins] or not ours:
        return ""
    file.seek(begins)
    file.truncate()
    _to_disk(file)
    return "The last answer was only half written when the program stopped, so it is asked again."


def _make_ready_to_add(file: IO[bytes], path: Path, events: int) -> None:
    """See that an event added at the end will be read as the next one; end a last line that a person left open.

    Raises CannotKeep when it would not: in a file edited by hand something may follow the events.
    """
    file.seek(0)
    raw = file.read()
    ending = b"" if raw.endswith(b"\n") else b"\n"
    trial = raw + ending + _EVENT_BEGINS + b'"1970-01-01", "did": "noted"}\n'
    try:
        read = read_text(trial.decode("utf-8-sig"), str(path)).value["events"] or ()
    except (RuleFilesWrong, KeyError):
        read = ()
    if len(read) != events + 1:
        what = f"{path} cannot be gone on with, because answers are added at its end: make `events:` its last key"
        raise CannotKeep(f"{what}, with nothing after the colon and each `- ` at the start of a line.")
    if ending:
        _write_all(file, ending)
        _to_disk(file)
