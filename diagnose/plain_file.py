"""Files that came from others, opened so that none of them can hang the program, fill the memory or lead elsewhere."""

from __future__ import annotations

import errno
import os
import stat
from pathlib import Path
from typing import IO

_HERE = getattr(os, "O_NONBLOCK", 0) | getattr(os, "O_CLOEXEC", 0) | getattr(os, "O_BINARY", 0)
"""Opening a pipe that nobody writes to must not wait."""


def open_plain(path: Path, flags: int = os.O_RDONLY) -> int:
    """The handle of an ordinary file. Raises OSError, also for a folder, a pipe or a device."""
    handle = os.open(path, flags | _HERE)
    try:
        kind = os.fstat(handle).st_mode
        if stat.S_ISDIR(kind):
            raise IsADirectoryError(errno.EISDIR, os.strerror(errno.EISDIR), str(path))
        if not stat.S_ISREG(kind):
            raise OSError(errno.EINVAL, "It is a pipe or a device, not an ordinary file", str(path))
    except OSError:
        os.close(handle)
        raise
    return handle


def read_plain(path: Path, most: int) -> tuple[bytes, int]:
    """The bytes of an ordinary file and its size; of one above `most` only as much as shows that. Raises OSError."""
    with os.fdopen(open_plain(path), "rb") as file:
        raw = file.read(most + 1)
        return raw, max(len(raw), os.fstat(file.fileno()).st_size)


def fresh(path: Path) -> IO[bytes]:
    """A new empty file under this name, open for writing and reading without a buffer. Raises OSError.

    What had the name before, such as a link that leads elsewhere, is taken away and never written through.
    """
    path.unlink(missing_ok=True)
    return path.open("x+b", buffering=0)


def leads_out(folder: Path, path: Path) -> bool:
    """Whether a file does not truly lie in the folder, but is reached by a link that leads out of it."""
    return not path.resolve().is_relative_to(folder.resolve())
