"""How large may be what others hand us. Every bound on files, and on what stands in them, is here and nowhere else.

They lie far above what a person writes, and low enough that any file is read or refused in about two seconds on a
small machine. `docs/hostile-input.md` lists them; a test holds the page to this module.
"""

from __future__ import annotations

from dataclasses import dataclass

KB, MB = 1024, 1024 * 1024


@dataclass(frozen=True)
class FileBounds:
    """Bounds of one YAML file: its bytes, and how many values (keys, words, numbers, lists) may stand in it."""

    size: int
    values: int


RULE_FILE = FileBounds(512 * KB, 60_000)
CASE_FILE = FileBounds(4 * MB, 120_000)
SETTINGS_FILE = FileBounds(64 * KB, 2_000)

MOST_RULE_FILES = 20_000
LARGEST_RULES = 64 * MB
"""Bytes of all rule files of one start together."""

DEEPEST = 20
"""Levels of lists and mappings inside each other."""
LONGEST_TEXT = 20_000
"""Letters of one value in a YAML file."""
MOST_EVENTS = 10_000
"""Events of one case."""
MOST_FACTS = 1_000
"""Entries of `facts`, `skipped` or `also` in one case."""
LONGEST_NOTE = 4_000
"""Letters of a remark kept with a case."""

LARGEST_TABLE = 1 * MB
"""Bytes of a table of readings; more is no log of one wine."""
MOST_ROWS = 5_000
MOST_COLUMNS = 100
LONGEST_CELL = 10_000
"""Letters of one cell of a table."""

MOST_TOLD = 100
"""Mistakes told of one load; what follows them is most often of the same kind."""


def in_words(size: int) -> str:
    """A number of bytes as it is said: `512 kB`, `4 MB`, `9.5 MB`, `700 bytes`."""
    for unit, name in ((MB, "MB"), (KB, "kB")):
        if size >= unit:
            return f"{size / unit:.3g} {name}" if size < 1000 * unit else f"{size // unit:,} {name}"
    return f"{size} bytes"
