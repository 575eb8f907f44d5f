"""Cases on disk. Every event is written and flushed to the disk before the next question is shown."""

from __future__ import annotations

import contextlib
import os
from collections.abc import Iterator, Mapping, Sequence
from contextlib import contextmanager
from dataclasses import dataclass, field
from datetime import date, datetime
from pathlib import Path
from typing import IO, Any

from diagnose.bounds import CASE_FILE, MOST_EVENTS, in_words
from diagnose.knowledge.problems import RuleFilesWrong
from diagnose.knowledge.rule_base import RuleBase
from diagnose.knowledge.yaml_reader import read_text
from diagnose.plain_file import read_plain

from .case import CaseState, read_case
from .half_line import EVENT_BEGINS, read_kept, without_half_line
from .head import as_line, with_head
from .held import CannotKeep as CannotKeep
from .held import Hold, folder_to_disk, put_new, reason, take, to_disk, write_all
from .models import CASE_FORMAT, CaseFile, Event
from .moments import oddities

ARCHIVED = "archived"
"""The folder for cases put away, inside the folder of cases."""


def list_cases(folder: Path) -> list[str]:
    """Names of the cases kept, newest last."""
    if not folder.is_dir():
        return []
    return [path.stem for path in sorted(folder.glob("*.yaml"), key=lambda path: (_touched(path), path.name))]


def _touched(path: Path) -> float:
    try:
        return path.stat().st_mtime
    except OSError:  # a link that leads nowhere
        return 0.0


def new_case(
    folder: Path, title: str, topics: Sequence[str], units: str, base: RuleBase, wine: str | None = None
) -> Path:
    """Create an empty case file for one or several kinds of trouble, the main one first.

    Raises CannotKeep when the folder cannot be written.
    """
    now = datetime.now().astimezone()
    head = {
        "title": title,
        "topic": topics[0],
        **({"also": list(topics[1:])} if topics[1:] else {}),
        "case_format": CASE_FORMAT,
        **({"wine": wine} if wine else {}),
        "units": units,
        "rule_base": base.edition,
    }
    try:
        folder.mkdir(parents=True, exist_ok=True)
        folder_to_disk(folder.parent)
        for number in range(1, 1000):
            name = f"{topics[0]}_{now:%Y_%m_%d}" + (f"_{number}" if number > 1 else "")
            path = folder / f"{name}.yaml"
            if (folder / ARCHIVED / path.name).exists():
                continue
            lines = [f"{key}: {as_line(value)}\n" for key, value in {"case": name, **head}.items()]
            if path.exists():
                continue
            with contextlib.suppress(FileExistsError):
                put_new(path, "".join([*lines, "events:\n"]).encode())
                return path
    except OSError as error:
        raise CannotKeep(f"A case cannot be kept in {folder}: {reason(error)}. Nothing was lost.") from error
    raise CannotKeep(f"{folder} holds a thousand cases of today already.")


def _as_list(value: Any) -> Any:
    return sorted(value) if isinstance(value, frozenset | set) else value


@dataclass(frozen=True)
class Happened:
    """Something to be kept as an event; `at` where it was not now."""

    did: str
    about: str | None = None
    value: Any = None
    data: Mapping[str, Any] = field(default_factory=dict)
    at: str = ""


def _as_written(one: Happened, now: str) -> dict[str, Any]:
    written: dict[str, Any] = {"at": one.at or now, "did": one.did}
    if one.about is not None:
        written["about"] = one.about
    if one.value is not None:
        written["value"] = _as_list(one.value)
    if one.data:
        written["data"] = dict(one.data)
    return written


class OpenCase:
    """A case file open for adding events. One holder at a time."""

    def __init__(
        self, hold: Hold, case: CaseFile, state: CaseState, mended: str, notices: Sequence[str] = ()
    ) -> None:
        self.case, self.state = case, state
        self.mended = mended
        """What was done to the file at opening, or had happened to it, in sentences; empty if nothing."""
        self.notices = tuple(notices)
        """What else a person should know of the file, told at opening."""
        self._hold = hold
        self._kept = _whole(hold.file)
        self._added = 0

    @property
    def path(self) -> Path:
        """Where the case is kept."""
        return self._hold.path

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
        self.record_all([Happened(did, about, value, data or {}, on.isoformat() if on else "")])

    def record_all(self, events: Sequence[Happened]) -> None:
        """Add several events, all of them or none. What did not happen now says when it did."""
        held = len(self.case.events) + self._added + len(events)
        if held > MOST_EVENTS:
            what = f"{self.path.stem} would hold {held:,} events; {MOST_EVENTS:,} are the most"
            raise CannotKeep(
                f"{what}. Nothing was added, and what it holds is safe. Begin a new case for this wine."
            )
        now = datetime.now().astimezone().isoformat(timespec="seconds")
        written = [_as_written(one, now) for one in events]
        # Checked before it is written: a line that cannot be read again would shut the whole case.
        checked = [Event.model_validate(one) for one in written]
        lines = "".join(f"- {as_line(one)}\n" for one in written).encode()
        if len(events) > 1:
            # A stop of the machine could cut lines added at the end between one and the next.
            self._see_that_it_is_ours()
            self._see_that_it_fits(lines)
            self._replace(self._kept + lines)
        else:
            self._append(lines)
        for event, one in zip(checked, events, strict=True):
            self.state.apply(event, one.value)
        self._added += len(events)

    def change_head(self, **changes: Any) -> None:
        """Set keys of the head, such as `title` or `wine`: the file is replaced whole or not at all.

        Raises CannotKeep; the file is then as it was.
        """
        self._see_that_it_is_ours()
        self.case = CaseFile.model_validate({**self.case.model_dump(by_alias=True), **changes})
        self._replace(with_head(self._kept, changes, self.path))

    def _replace(self, raw: bytes) -> None:
        try:
            self._hold.replace(raw)
        except OSError as error:
            raise CannotKeep(
                f"{self.path} could not be changed: {reason(error)}. It is as it was."
            ) from error
        self._kept = raw

    def _append(self, line: bytes) -> None:
        self._see_that_it_is_ours()
        self._see_that_it_fits(line)
        file = self._hold.file
        end = file.seek(0, os.SEEK_END)
        try:
            write_all(file, line)
            to_disk(file)
        except OSError as error:
            self._undo(end)
            what = f"This answer could not be kept in {self.path}: {reason(error)}."
            raise CannotKeep(f"{what} Everything before it is safe.") from error
        self._kept += line

    def _see_that_it_fits(self, lines: bytes) -> None:
        if len(self._kept) + len(lines) > CASE_FILE.size:
            what = (
                f"{self.path.stem} would grow beyond {in_words(CASE_FILE.size)} and could not be opened again"
            )
            raise CannotKeep(
                f"{what}. Nothing was added, and what it holds is safe. Begin a new case for this wine."
            )

    def _undo(self, end: int) -> None:
        # A half-written line is taken away again; if even that fails, the next opening does it.
        with contextlib.suppress(OSError):
            self._hold.file.seek(end)
            self._hold.file.truncate()

    def _see_that_it_is_ours(self) -> None:
        """Before adding: the file must be the one that was opened, as it was left. Raises CannotKeep.

        What was answered is put beside a file that another program put something else into.
        """
        there = self._hold.is_there()
        now = _whole(self._hold.file) if there else _bytes_at(self.path)
        if there and now == self._kept:
            return
        did = "deleted" if now is None else "changed" if there else "replaced"
        what = f"{self.path} was {did} by another program while it was open. The last entry was not kept;"
        try:
            beside = "" if now is not None and now.startswith(self._kept) else self._put_beside()
        except OSError as error:
            lost = f"what stood before it could not be put beside it: {reason(error)}"
            raise CannotKeep(f"{what} {lost}. Write down what this screen still shows.") from error
        safe = (
            f" everything before it stands in {beside}." if beside else " everything before it stands there."
        )
        raise CannotKeep(f"{what}{safe} Close the other program, then: diagnose continue {self.path.stem}")

    def _put_beside(self) -> Path:
        """The case as it was kept here, written under the first name that is free: its own, if it was deleted."""
        names = (self.path.name, *(f"{self.path.name}.kept{number}" for number in range(1, 1000)))
        for name in names:
            with contextlib.suppress(FileExistsError):
                put_new(self.path.with_name(name), self._kept)
                return self.path.with_name(name)
        raise CannotKeep(f"{self.path.parent} holds a thousand copies of {self.path.name} already.")


def _whole(file: IO[bytes]) -> bytes:
    file.seek(0)
    return file.read()


def _bytes_at(path: Path) -> bytes | None:
    try:
        return read_plain(path, CASE_FILE.size)[0]
    except OSError:
        return None


@contextmanager
def open_case(path: Path, base: RuleBase) -> Iterator[OpenCase]:
    """Open a case for a consultation.

    Raises CannotKeep when it cannot be opened or added to or another terminal holds it, RuleFilesWrong when
    damaged. A file that is refused stays as it was, but for a half-written event at its end.
    """
    try:
        hold = take(path)
    except OSError as error:
        raise CannotKeep(f"{path} cannot be opened for writing: {reason(error)}.") from error
    with hold:
        try:
            mended = _drop_half_line(hold.file) or (_CUT_OFF if hold.cut_off else "")
            mended = _told(mended, _in_one_place(hold))
            case, state = load_case(path, base)
            _make_ready_to_add(hold.file, path, len(case.events))
            record = OpenCase(
                hold, case, state, mended, (*_of_other_rules(case, state, base), *oddities(case))
            )
            if case.case_format < CASE_FORMAT:
                record.mended = _told(record.mended, _in_the_new_format(record))
        except OSError as error:
            raise CannotKeep(f"{path} cannot be made ready for answers: {reason(error)}.") from error
        yield record


def _of_other_rules(case: CaseFile, state: CaseState, base: RuleBase) -> Iterator[str]:
    """What of the case means nothing in these rules, and under which it did."""
    if not state.set_aside:
        return
    yield (
        f"This case was begun under the rules {case.rule_base}, and these are {base.edition}. "
        "What they do not know stays in the file and does not count:"
    )
    yield from dict.fromkeys(state.set_aside)


def _in_the_new_format(record: OpenCase) -> str:
    """Say in its head that a case is of the format of today, and keep the file as it was beside it."""
    path, before, was = record.path, record.path.read_bytes(), record.case.case_format
    for more in ("", *(f"_{number}" for number in range(2, 1000))):
        backup = path.with_name(f"{path.name}.format{was}{more}")
        if _bytes_at(backup) == before:
            break
        with contextlib.suppress(FileExistsError):
            put_new(backup, before)
            break
    else:
        raise CannotKeep(f"{path.parent} holds a thousand copies of {path.name} already.")
    record.change_head(case_format=CASE_FORMAT)
    return f"This case was of format {was} and is now of format {CASE_FORMAT}. As it was it stands in {backup.name}."


def load_case(path: Path, base: RuleBase) -> tuple[CaseFile, CaseState]:
    """Read a case without holding it; a half-written last line is left out."""
    return read_case(read_kept(path), base)


def _drop_half_line(file: IO[bytes]) -> str:
    raw = file.read(CASE_FILE.size + 1)
    whole = without_half_line(raw)
    if len(whole) == len(raw):
        return ""
    file.seek(len(whole))
    file.truncate()
    to_disk(file)
    return "The last entry was only half written when the program stopped, so it is left out: give it again."


_CUT_OFF = (
    "The program was cut off when this case was last open. Everything that it said it kept is here; "
    "look at the last entry before you give it again."
)


def _told(*sentences: str) -> str:
    return " ".join(filter(None, sentences))


def _in_one_place(hold: Hold) -> str:
    """A case that was being put away or brought back when the machine stopped has two names; this one stays."""
    other = hold.path.parent / ARCHIVED / hold.path.name
    try:
        twice = os.path.samestat(other.stat(), os.fstat(hold.file.fileno()))
    except OSError:
        return ""
    if not twice:
        return ""
    other.unlink()
    folder_to_disk(other.parent)
    return "This case was on its way into the archive or out of it when the program stopped. It is here now."


def _make_ready_to_add(file: IO[bytes], path: Path, events: int) -> None:
    """See that an event added at the end will be read as the next one; end a last line that a person left open.

    Raises CannotKeep when it would not: in a file edited by hand something may follow the events.
    """
    file.seek(0)
    raw = file.read()
    ending = b"" if raw.endswith(b"\n") else b"\n"
    trial = raw + ending + EVENT_BEGINS + b'"1970-01-01", "did": "noted"}\n'
    try:
        read = read_text(trial.decode("utf-8-sig"), str(path), CASE_FILE).value["events"] or ()
    except (RuleFilesWrong, KeyError):
        read = ()
    if len(read) != events + 1:
        what = f"{path} cannot be gone on with, because answers are added at its end: make `events:` its last key"
        raise CannotKeep(f"{what}, with nothing after the colon and each `- ` at the start of a line.")
    if ending:
        write_all(file, ending)
        to_disk(file)
