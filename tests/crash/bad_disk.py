"""The command on a disk that goes bad at a chosen file operation: `python bad_disk.py ARGUMENTS`.

The variable BAD_DISK holds the plan as JSON:

- `folder`: only files in here count
- `journal`: a file to which each operation is written before it is done, and HIT at the chosen one
- `operations`: which are counted: open, write, fsync, link, replace, rename, unlink, truncate
- `at`: the chosen one among those counted, from 1; 0 for none
- `how`: `before`, `within` or `after`, to be killed there; the number of the error that it meets; or `lies`: nothing is
  done, and no error is given
- `share`: how much of a write still goes through
- `stays`: whether every later operation of these meets the error too
"""

from __future__ import annotations

import builtins
import io
import json
import os
import runpy
import signal
import sys
from collections.abc import Callable
from pathlib import Path
from typing import Any

PLAN = json.loads(os.environ["BAD_DISK"])
FOLDER = os.path.realpath(PLAN["folder"])
JOURNAL = os.open(PLAN["journal"], os.O_WRONLY | os.O_CREAT | os.O_APPEND)
REAL_OPEN, REAL_WRITE = io.open, os.write
counted = 0


def _inside(path: Any) -> bool:
    return isinstance(path, str | os.PathLike) and os.path.realpath(path).startswith(FOLDER)


def _note(words: str) -> None:
    REAL_WRITE(JOURNAL, f"{words}\n".encode())


def _die() -> None:
    os.kill(os.getpid(), signal.SIGKILL)
    signal.pause()


def at_the_disk(
    operation: str, name: str, act: Callable[[], Any], part: Callable[[], Any] | None = None
) -> Any:
    """Do an operation, or what the plan says instead. `part` does a part of it."""
    global counted
    counted += operation in PLAN["operations"]
    _note(f"{operation} {name}")
    chosen = operation in PLAN["operations"] and PLAN["at"] and counted >= PLAN["at"]
    if not chosen or (counted > PLAN["at"] and not PLAN["stays"]):
        return act()
    _note("HIT")
    how = PLAN["how"]
    if how == "lies":
        return None
    if isinstance(how, int):
        if part is not None and counted == PLAN["at"] and PLAN["share"]:
            # As the system does: a part is taken, and the next call meets the error.
            PLAN["at"], PLAN["share"] = counted + 1, 0
            return part()
        raise OSError(how, os.strerror(how), name)
    if how == "within" and part is not None:
        part()
    elif how != "before":
        act()
    return _die()


class File(io.FileIO):
    """A file whose writes are counted."""

    def write(self, data: Any) -> int:
        """Write, unless the disk is bad."""
        whole = bytes(data)
        share = whole[: round(len(whole) * PLAN["share"])]
        put = super().write
        done: int | None = at_the_disk(
            "write", str(self.name), lambda: put(whole), (lambda: put(share)) if share else None
        )
        return len(whole) if done is None else done

    def truncate(self, size: int | None = None) -> int:
        """Cut, unless the disk is bad."""
        cut = super().truncate
        done: int = at_the_disk("truncate", str(self.name), lambda: cut(size))
        return done


def opened(file: Any, mode: str = "r", buffering: int = -1, *rest: Any, **more: Any) -> Any:
    """`open`, with counted files where something is written in FOLDER."""
    # The program opens what others may have laid there by its handle.
    path = os.fspath(Path(f"/proc/self/fd/{file}").readlink()) if isinstance(file, int) else os.fspath(file)
    if not set(mode) & set("wxa+") or not _inside(path):
        return REAL_OPEN(file, mode, buffering, *rest, **more)
    bare = mode.replace("b", "").replace("t", "")
    # One that is there already is only opened; a new name is an operation of the disk.
    there = os.path.lexists(path)
    raw = File(file, bare) if there else at_the_disk("open", path, lambda: File(path, bare))
    raw.name = path
    if buffering == 0:
        return raw
    buffer = io.BufferedRandom(raw) if "+" in mode else io.BufferedWriter(raw)
    return buffer if "b" in mode else io.TextIOWrapper(buffer, more.get("encoding"))


class Counted:
    """A function of `os` on files in FOLDER; no plain function, so that a class that keeps it does not bind it."""

    def __init__(self, name: str) -> None:
        self.name, self.real = name, getattr(os, name)

    def __call__(self, what: Any, *rest: Any, **more: Any) -> Any:
        """Do it, unless the disk is bad."""
        if isinstance(what, int) or _inside(what):
            return at_the_disk(self.name, str(what), lambda: self.real(what, *rest, **more))
        return self.real(what, *rest, **more)


for each in ("fsync", "link", "replace", "rename", "unlink"):
    setattr(os, each, Counted(each))
io.open = builtins.open = opened  # type: ignore[assignment]

sys.path.pop(0)
sys.argv[0] = "diagnose"
runpy.run_module("diagnose", run_name="__main__", alter_sys=True)
