from __future__ import annotations

import ast
from pathlib import Path

import diagnose

PACKAGE = Path(diagnose.__file__).parent
NEVER = {"retract", "modify", "duplicate", "EXISTS", "FORALL", "TEST", "DefFacts"}


def names_in(source: str) -> set[str]:
    """Every name and attribute used in a piece of Python; words in texts and comments do not count."""
    tree = ast.parse(source)
    names = {node.id for node in ast.walk(tree) if isinstance(node, ast.Name)}
    names |= {node.attr for node in ast.walk(tree) if isinstance(node, ast.Attribute)}
    return names | {
        alias.name for node in ast.walk(tree) if isinstance(node, ast.ImportFrom) for alias in node.names
    }


def test_nothing_is_taken_back_inside_the_network() -> None:
    """The engine only ever adds: an undone answer is a new run, so no conclusion outlives its reason."""
    files = sorted(PACKAGE.rglob("*.py"))
    assert len(files) > 20
    found = {f"{path.name}: {name}" for path in files for name in names_in(path.read_text("utf-8")) & NEVER}
    assert not found


def test_the_search_can_find_something() -> None:
    """The search above sees calls, imports and bare names."""
    assert names_in("engine.retract(fact)") & NEVER == {"retract"}
    assert names_in("from experta import EXISTS as E") & NEVER == {"EXISTS"}
    assert names_in("FORALL(x)  # retract") & NEVER == {"FORALL"}
    assert not names_in("'never retract'") & NEVER


def test_experta_enters_through_one_door() -> None:
    """Only the shim imports experta; everybody else takes it from there."""
    importing = [
        path.name
        for path in PACKAGE.rglob("*.py")
        for node in ast.walk(ast.parse(path.read_text("utf-8")))
        if (isinstance(node, ast.Import) and any(alias.name.startswith("experta") for alias in node.names))
        or (
            isinstance(node, ast.ImportFrom) and (node.module or "").startswith("experta") and node.level == 0
        )
    ]
    assert set(importing) == {"experta_shim.py"}
