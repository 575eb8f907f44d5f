"""A rule base kept between two starts: what was read and found free of mistakes need not be read again.

The kept file holds the pages as they were parsed, under a fingerprint of every rule file and of the program that
checked them. Change a letter anywhere, and the rules are read and checked anew. The file is a convenience: one that is
missing, old or damaged is passed over, and one that cannot be written is done without.
"""

from __future__ import annotations

import contextlib
import hashlib
import json
import os
import tempfile
from collections.abc import Callable, Iterable, Sequence
from pathlib import Path
from typing import Any

from pydantic import ValidationError

from diagnose.bounds import RULE_FILE
from diagnose.plain_file import read_plain

from .load import Located
from .models.kinds import KINDS
from .own import RuleFolders, layered_files
from .problems import Place, RuleFilesWrong
from .read import Checked, as_checked, make_rule_base, read_checked
from .rule_base import RuleBase

_FORM = 2
"""Raised when the kept file changes its form."""
_MOST_KEPT = 8
"""Rule bases kept side by side; the oldest goes first."""
_CODE = Path(__file__).resolve().parents[1]


def read_rule_base_kept(
    folders: Iterable[Path],
    keep_in: Path,
    own: Iterable[Path] = (),
    before_reading: Callable[[], None] | None = None,
) -> RuleBase:
    """The rule base under the folders, with a cellar's own on top, from the kept file where it is still true.

    `before_reading` is called where it is not, since reading takes a person's time.
    Raises RuleFilesWrong with every mistake found in all files.
    """
    layers = RuleFolders(tuple(folders), tuple(own))
    files = layered_files(layers)
    kept = keep_in / f"rules_{_fingerprint(layers, files)}.json"
    base = _from_kept(kept)
    if base is None:
        if before_reading is not None:
            before_reading()
        items = read_checked(layers, files)
        base = make_rule_base(map(as_checked, items))
        _keep(kept, items)
    return base


def _fingerprint(folders: RuleFolders, files: Sequence[tuple[int, Path]]) -> str:
    found = hashlib.sha256(f"{_FORM}".encode())
    for folder in folders.all:
        found.update(f"\0{folder.resolve()}".encode())
    for layer, path in files:
        try:
            written = read_plain(path, RULE_FILE.size)[0]
        except OSError:
            written = b""  # reading the rules will say what is wrong with it
        # The path as it was given stands in every place that is shown.
        found.update(f"\0{layer}\0{path}\0{path.resolve()}\0{len(written)}\0".encode() + written)
    for room in ("calculators", "knowledge", "units"):
        for code in sorted((_CODE / room).rglob("*.py")):
            stat = code.stat()
            found.update(f"\0{code}\0{stat.st_size}\0{stat.st_mtime_ns}".encode())
    return found.hexdigest()[:32]


def _from_kept(path: Path) -> RuleBase | None:
    """The kept rule base, or None when there is none that can be used."""
    try:
        pages: list[tuple[str, str, Any, list[Any], list[list[Any]], int]] = json.loads(path.read_bytes())
        return make_rule_base(
            Checked(
                kind,
                name,
                KINDS[kind].model_validate(page),
                Place(*place),
                tuple(Place(*row) for row in rows),
                layer,
            )
            for kind, name, page, place, rows, layer in pages
        )
    except (OSError, ValueError, TypeError, KeyError, ValidationError, RuleFilesWrong):
        return None


def _keep(path: Path, items: Iterable[Located]) -> None:
    pages = [
        (
            item.kind,
            item.id,
            item.written,
            _plain(item.place),
            [_plain(row) for row in as_checked(item).rows],
            item.layer,
        )
        for item in items
    ]
    # A start without this file is slower and nothing else, so nothing is said when it cannot be written.
    with contextlib.suppress(OSError):
        path.parent.mkdir(parents=True, exist_ok=True)
        handle, name = tempfile.mkstemp(dir=path.parent, prefix="rules_", suffix=".part")
        try:
            with os.fdopen(handle, "w", encoding="utf-8") as file:
                json.dump(pages, file, ensure_ascii=False, separators=(",", ":"))
            Path(name).replace(path)
        finally:
            Path(name).unlink(missing_ok=True)
        kept = sorted(path.parent.glob("rules_*.json"), key=lambda file: file.stat().st_mtime)
        for old in kept[:-_MOST_KEPT]:
            old.unlink(missing_ok=True)


def _plain(place: Place) -> tuple[str, int, int, int]:
    return place.file, place.line, place.column, place.width
