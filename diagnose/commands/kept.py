"""Cases that are kept, by their name."""

from __future__ import annotations

from pathlib import Path

import click

from diagnose.casebook.store import CannotKeep, list_cases
from diagnose.knowledge.called import names_of, page_meant
from diagnose.knowledge.rule_base import RuleBase


def kept_case(folder: Path, name: str) -> Path:
    """The file of a kept case, from its name or a part that no other has. Raises CannotKeep where there is none."""
    kept = list_cases(folder)
    near = [name] if name in kept else [case for case in kept if name in case]
    if len(near) != 1:
        listed = ", ".join(near or kept[-8:]) or "nothing"
        raise CannotKeep(f"There is no case '{name[:60]}' in {folder}. Kept there: {listed}.")
    return folder / f"{near[0]}.yaml"


def case_file(folder: Path, named: str) -> Path:
    """A case file, or the file of a kept case."""
    file = Path(named)
    return file if file.is_file() or file.suffix in (".yaml", ".yml") else kept_case(folder, named)


def kept_or_newest(folder: Path, name: str | None) -> Path:
    """The file of the kept case named, or of the one worked on last. Raises CannotKeep where there is none."""
    kept = list_cases(folder)
    if not kept:
        raise CannotKeep(f"There are no cases in {folder} yet; `diagnose` begins one.")
    return kept_case(folder, name or kept[-1])


def fix_named(base: RuleBase, typed: str) -> str:
    """The fix that a person means. Raises UsageError where none is surely meant."""
    name, near = page_meant(typed, names_of(base.fixes))
    if name is None:
        raise click.UsageError(
            f"No fix is surely meant by '{typed[:40]}'. Expected is the name of one. Near: {', '.join(near[:12])}."
        )
    return name
