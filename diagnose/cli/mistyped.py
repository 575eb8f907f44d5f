"""A word that is no command: what was probably meant, and the next step."""

from __future__ import annotations

import difflib
from collections.abc import Sequence
from pathlib import Path
from typing import NoReturn

import click

from diagnose.places import cases_folder

SHOWN = 40
"""Letters of the typed word that are repeated."""


def not_a_command(context: click.Context, typed: str, commands: Sequence[str]) -> NoReturn:
    """Raise UsageError: with the nearest command, or the way to go on with a case of that name."""
    says = f"'{typed[:SHOWN]}' is not a command."
    near = difflib.get_close_matches(typed.lower()[:SHOWN], commands, n=1, cutoff=0.6)
    if near:
        says += f" Did you mean '{near[0]}'?"
    elif _is_kept(cases_folder(context.params.get("cases_folder")), typed):
        says += f" It is a case: diagnose continue {typed}"
    else:
        says += " To say what is wrong with a wine, type `diagnose` alone; it asks."
    raise click.UsageError(f"{says}\n`diagnose --help` lists all commands.", context)


def _is_kept(folder: Path, name: str) -> bool:
    return name.isprintable() and Path(name).name == name and (folder / f"{name}.yaml").is_file()
