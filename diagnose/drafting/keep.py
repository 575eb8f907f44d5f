"""Changed and new rule files kept together: all of them, or none."""

from __future__ import annotations

import contextlib
import os
import tempfile
from collections.abc import Mapping
from pathlib import Path

from diagnose.casebook.store import CannotKeep


def text_of(path: Path) -> str:
    """The text of a file as it is on the disk, line ends and all; empty where there is none."""
    return path.read_bytes().decode("utf-8") if path.exists() else ""


def keep(texts: Mapping[Path, str], before: Mapping[Path, str]) -> None:
    """Write these files, or leave all as they were. `before` holds the texts that the changes were made to.

    Raises CannotKeep where a file is no longer as it was when it was read, and OSError.
    """
    for path in texts:
        if text_of(path) != before.get(path, ""):
            raise CannotKeep(f"{path} was changed by somebody else meanwhile. Nothing is kept; begin again.")
    halves: dict[Path, Path] = {}
    done: list[Path] = []
    try:
        for path, text in texts.items():
            path.parent.mkdir(parents=True, exist_ok=True)
            halves[path] = _half(path, text)
        for path, half in halves.items():
            half.replace(path)
            done.append(path)
    except BaseException:
        for path in done:
            _put_back(path, before.get(path, ""))
        raise
    finally:
        for half in halves.values():
            half.unlink(missing_ok=True)


def _half(path: Path, text: str) -> Path:
    """The text beside the file, on the disk before it takes its place, with the rights of the file."""
    # The ending keeps a half file out of what is read as rules.
    handle, name = tempfile.mkstemp(dir=path.parent, prefix=f"{path.stem}_", suffix=".part")
    with os.fdopen(handle, "wb") as file:
        file.write(text.encode())
        file.flush()
        os.fsync(file.fileno())
    Path(name).chmod(path.stat().st_mode if path.exists() else 0o644)
    return Path(name)


def _put_back(path: Path, text: str) -> None:
    with contextlib.suppress(OSError):
        if text:
            _half(path, text).replace(path)
        else:
            path.unlink()
