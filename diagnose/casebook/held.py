"""A case file in the hands of one process: the lock, a note of who has it, and replacing the file whole.

The lock is the truth; the note only says who. A note that somebody left behind keeps nobody out.
"""

from __future__ import annotations

import contextlib
import getpass
import glob
import json
import os
import socket
from datetime import datetime
from pathlib import Path
from types import TracebackType
from typing import IO, Any

from diagnose.plain_file import fresh, open_plain, read_plain
from diagnose.plain_text import without_controls


class CannotKeep(Exception):
    """A case could not be written or opened; the message says why and what is safe."""


class Hold:
    """A case file held by this process until it is let go."""

    def __init__(self, path: Path, file: IO[bytes], cut_off: bool = False) -> None:
        self.path, self.file = path, file
        self.cut_off = cut_off
        """Whether the one who held it before was stopped before letting it go."""

    def __enter__(self) -> Hold:
        return self

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None
    ) -> None:
        # The note goes before the lock: whoever takes the case next writes a note of their own.
        with contextlib.suppress(OSError):
            _note(self.path).unlink(missing_ok=True)
        self.file.close()

    def is_there(self) -> bool:
        """Whether the name still leads to the file held, and not to nothing or to another one."""
        return _is_at(self.file, self.path)

    def replace(self, raw: bytes) -> None:
        """Put these bytes in the place of the file, all of them or none, and go on holding. Raises OSError."""
        # What was left under this name is taken away and never written over: it may be the case itself under a
        # second name, or a link that leads elsewhere.
        half = self.path.with_name(f".{self.path.name}{_HALF}")
        new = fresh(half)
        try:
            # Held before it has the name, so that there is no moment in which nobody holds the case.
            _lock(new, self.path)
            write_all(new, raw)
            to_disk(new)
            half.replace(self.path)
        except BaseException:
            new.close()
            half.unlink(missing_ok=True)
            raise
        self.file.close()
        self.file = new
        folder_to_disk(self.path.parent)


def take(path: Path) -> Hold:
    """Take a case for this process. Raises CannotKeep, with who has it, when another one does; OSError."""
    while True:
        file = os.fdopen(open_plain(path, os.O_RDWR), "r+b", buffering=0)
        try:
            _lock(file, path)
            # Between opening and locking, the one who held it may have replaced or moved it.
            if _is_at(file, path):
                # Without a lock the note may be that of somebody who is still at it.
                cut_off = os.name == "posix" and _note(path).exists()
                _sweep(path)
                _leave_note(path)
                return Hold(path, file, cut_off)
        except BaseException:
            file.close()
            raise
        file.close()


def _lock(file: IO[bytes], path: Path) -> None:
    try:
        import fcntl
    except ImportError:  # Windows has no fcntl; there a case is not guarded against a second terminal.
        return
    try:
        fcntl.flock(file.fileno(), fcntl.LOCK_EX | fcntl.LOCK_NB)
    except BlockingIOError as error:
        what = f"{path.stem} is open in another terminal{_who(path)}."
        raise CannotKeep(f"{what} Finish there first, then try again.") from error


def _is_at(file: IO[bytes], path: Path) -> bool:
    try:
        there = path.stat()
    except OSError:
        return False
    return os.path.samestat(there, os.fstat(file.fileno()))


# ---------------------------------------------------------------- who has it


def _note(path: Path) -> Path:
    return path.with_name(f".{path.name}.held")


def _leave_note(path: Path) -> None:
    now = datetime.now().astimezone().isoformat(" ", timespec="minutes")
    note = {"user": _user(), "host": socket.gethostname(), "process": os.getpid(), "since": now[:16]}
    # Where no note can be left, the lock holds all the same.
    with contextlib.suppress(OSError), fresh(_note(path)) as file:
        write_all(file, json.dumps(note).encode())


def _user() -> str:
    try:
        return getpass.getuser()
    except (KeyError, OSError):
        return "somebody"


def _who(path: Path) -> str:
    """Who holds a case, in brackets; nothing where the note is not there, not whole or of a process that is gone."""
    try:
        note: Any = json.loads(read_plain(_note(path), 2_000)[0])
        process = int(note["process"])
        words = {
            key: without_controls(str(note[key])).strip()[:60] or "unknown"
            for key in ("user", "host", "since")
        }
    except (OSError, ValueError, TypeError, KeyError, OverflowError):
        return ""
    if words["host"] == socket.gethostname() and not _lives(process):
        return ""
    return f" ({words['user']} on {words['host']}, process {process}, since {words['since']})"


def _lives(process: int) -> bool:
    try:
        os.kill(process, 0)
    except PermissionError:
        return True
    except (OSError, OverflowError):
        return False
    return process > 0


# ---------------------------------------------------------------- onto the disk

_HALF = ".new"
"""How the name of a file ends that is still being written; beside a case it begins with a point and its name."""


def put_new(path: Path, raw: bytes) -> None:
    """Put a new file there: whole under its name and on the disk, or not there at all.

    Raises FileExistsError where something has that name; OSError.
    """
    half = path.with_name(f".{path.name}.{os.getpid()}{_HALF}")
    half.unlink(missing_ok=True)
    try:
        with half.open("xb", buffering=0) as file:
            write_all(file, raw)
            to_disk(file)
        rename_to_free(half, path)
    finally:
        with contextlib.suppress(OSError):
            half.unlink(missing_ok=True)
    folder_to_disk(path.parent)


def rename_to_free(path: Path, to: Path) -> None:
    """Give a file another name, never taking the place of another file. Raises FileExistsError; OSError.

    When the machine stops in between, the file has both names.
    """
    try:
        os.link(path, to, follow_symlinks=False)
    except FileExistsError:
        raise
    except OSError:
        # A disk that knows no second names; or who holds a file of that name has swept this one away.
        if os.path.lexists(to):
            raise FileExistsError(f"{to} is there already") from None
        path.rename(to)
    else:
        path.unlink()


def _sweep(path: Path) -> None:
    """Take away what was left half-written beside a case; only its holder may."""
    for half in path.parent.glob(f".{glob.escape(path.name)}*{_HALF}"):
        with contextlib.suppress(OSError):
            half.unlink()


def to_disk(file: IO[Any]) -> None:
    """See that what was written is on the disk. Raises OSError."""
    file.flush()
    os.fsync(file.fileno())


def folder_to_disk(folder: Path) -> None:
    """See that a new or changed name is on the disk, where the machine can do that for a folder."""
    with contextlib.suppress(OSError):
        handle = os.open(folder, os.O_RDONLY)
        try:
            os.fsync(handle)
        finally:
            os.close(handle)


def write_all(file: IO[bytes], line: bytes) -> None:
    """An unbuffered file may take only a part of what it is given, and say so by a number alone."""
    while line:
        line = line[file.write(line) :]


def reason(error: OSError) -> str:
    """Why the machine could not, in its words."""
    return (error.strerror or str(error)).lower()
