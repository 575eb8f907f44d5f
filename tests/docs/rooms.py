"""Which room of the package imports from which, read from the source itself."""

from __future__ import annotations

import ast
from collections.abc import Iterator
from pathlib import Path

from pages import ROOT

PACKAGE = ROOT / "diagnose"


def arrows() -> dict[str, set[str]]:
    """For each room (a folder or a module at the top of the package), the rooms it imports from."""
    found: dict[str, set[str]] = {}
    for file in sorted(PACKAGE.rglob("*.py")):
        room = _room(file.relative_to(PACKAGE).with_suffix("").parts)
        if room:
            found.setdefault(room, set()).update(_imports(file) - {room, ""})
    return found


def _room(parts: tuple[str, ...]) -> str:
    return "" if parts[0] == "__init__" else parts[0]


def _imports(file: Path) -> set[str]:
    return {name for node in ast.walk(ast.parse(file.read_text(encoding="utf-8"))) for name in _named(node)}


def _named(node: ast.AST) -> Iterator[str]:
    names: list[str] = []
    if isinstance(node, ast.Import):
        names = [alias.name for alias in node.names]
    elif isinstance(node, ast.ImportFrom) and node.level == 0 and node.module:
        # `from diagnose import settings` names the room after the word import.
        deeper = node.module != "diagnose"
        names = [node.module] if deeper else [f"diagnose.{alias.name}" for alias in node.names]
    for name in names:
        parts = name.split(".")
        if parts[0] == "diagnose" and len(parts) > 1 and _exists(parts[1]):
            yield parts[1]


def _exists(room: str) -> bool:
    return (PACKAGE / room).is_dir() or (PACKAGE / f"{room}.py").is_file()
