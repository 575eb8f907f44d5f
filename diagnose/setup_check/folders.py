"""Whether a folder can hold what the program keeps there: tried, and left as it was."""

from __future__ import annotations

import os
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path

from .findings import Finding, shown

_WORDS = b"Written to see whether this folder can be written.\n"


@dataclass(frozen=True)
class Kept:
    """A folder that the program keeps something in."""

    name: str
    folder: Path
    why_there: str
    """An option, a variable, or the place of the platform."""
    named_by: str
    """What names another folder."""
    needed: bool = True
    """Whether anything but time is lost without it."""


def check_folder(kept: Kept) -> Finding:
    """Write a small file into the folder, read it back and remove it.

    A folder that is not there yet is made for the trial and taken away again.
    """
    where = f"{kept.name}: {shown(kept.folder)} ({kept.why_there})"
    try:
        there = kept.folder.is_dir()
        with _made(kept.folder):
            _try(kept.folder)
    except OSError as error:
        why = (error.strerror or str(error)).lower()
        says = f"{where} cannot be written: {why}."
        mend = f"Give yourself leave to write there, or name another place with {kept.named_by}."
        if kept.needed:
            return Finding("folders", kept.name, "wrong", says, mend)
        return Finding("folders", kept.name, "note", f"{says} Every start is slower, and nothing else.", mend)
    return Finding("folders", kept.name, "good", where if there else f"{where}: not there yet, can be made")


def _try(folder: Path) -> None:
    handle, name = tempfile.mkstemp(dir=folder, prefix=".trial_", suffix=".part")
    try:
        with os.fdopen(handle, "w+b") as file:
            file.write(_WORDS)
            file.flush()
            os.fsync(file.fileno())
            file.seek(0)
            if file.read() != _WORDS:
                raise OSError("what was written does not come back")
    finally:
        Path(name).unlink()


@contextmanager
def _made(folder: Path) -> Iterator[None]:
    """The folder with those above it, and without those that were not there, once the trial is over."""
    lacking = [one for one in (folder, *folder.parents) if not one.exists()]
    made: list[Path] = []
    try:
        for one in reversed(lacking):
            one.mkdir()
            made.append(one)
        yield
    finally:
        for one in reversed(made):
            one.rmdir()
