"""A last line that was being written when the machine stopped: known by how it begins, and left out in reading."""

from __future__ import annotations

from pathlib import Path

from diagnose.bounds import CASE_FILE
from diagnose.knowledge.yaml_reader import Document, read_file, read_text
from diagnose.plain_file import read_plain

EVENT_BEGINS = b'- {"at": '
"""How every line of an event begins as the program writes it; by it a half-written one is known."""


def without_half_line(raw: bytes) -> bytes:
    """The bytes of a case file up to the end of its last whole line.

    An event without the end of its line was being written when the machine stopped; nobody was told it was kept. A
    last line of any other kind was written by a person, or is no case at all, and is left alone.
    """
    begins = raw.rfind(b"\n") + 1
    # A disk that lost its power may leave noughts where the line was to stand.
    half = raw[begins:].rstrip(b"\0")
    ours = half.startswith(EVENT_BEGINS) or EVENT_BEGINS.startswith(half)
    if raw.endswith(b"\n") or len(raw) > CASE_FILE.size or b"\nevents:" not in raw[:begins] or not ours:
        return raw
    return raw[:begins]


def read_kept(path: Path) -> Document:
    """A case file as a document, without a half-written line at its end. Raises RuleFilesWrong as `read_file` does."""
    try:
        raw, _ = read_plain(path, CASE_FILE.size)
        whole = without_half_line(raw)
        if len(whole) < len(raw):
            return read_text(whole.decode("utf-8-sig"), str(path), CASE_FILE)
    except (OSError, UnicodeDecodeError):
        pass  # told with its place by the reader of all our files
    return read_file(path, CASE_FILE)
