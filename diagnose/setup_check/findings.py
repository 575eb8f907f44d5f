"""What a look at the installation found, one thing each."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path
from typing import Literal

Part = Literal["program", "folders", "rules", "sums"]
State = Literal["good", "note", "wrong"]


@dataclass(frozen=True)
class Finding:
    """One thing looked at. A `note` is worth telling, and stops nothing."""

    part: Part
    name: str
    state: State
    says: str
    mend: str = ""
    """What to do about it; empty where nothing need be done."""


def shown(path: Path) -> str:
    """A path as it may be sent to somebody: the home folder, which mostly holds a person's name, is `~`."""
    whole = path.absolute()
    try:
        return str(Path("~") / whole.relative_to(Path.home()))
    except (ValueError, RuntimeError):
        return str(whole)


def without_home(text: str) -> str:
    """A sentence of somebody else's, with `~` in the place of the home folder."""
    try:
        home = str(Path.home())
    except RuntimeError:
        return text
    return text.replace(home, "~") if len(home) > 1 else text
