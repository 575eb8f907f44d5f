"""Where a person's files are kept: the cases, the settings, and what is kept only to save time.

Each has a variable of the environment; without it the platform's own place for such files is taken. An option of the
command goes before both.
"""

from __future__ import annotations

import os
from pathlib import Path

import platformdirs

CASES = "DIAGNOSE_CASES"
"""Names another folder for cases."""

SETTINGS = "DIAGNOSE_SETTINGS"
"""Names another settings file."""

CACHE = "DIAGNOSE_CACHE"
"""Names another folder for what is kept only to save time."""


def cases_folder(chosen: Path | None = None) -> Path:
    """The folder for cases, unless another is `chosen`."""
    return chosen or _named(CASES) or Path(platformdirs.user_data_dir("diagnose", appauthor=False)) / "cases"


def settings_file() -> Path:
    """The file in which settings are kept."""
    usual = Path(platformdirs.user_config_dir("diagnose", appauthor=False)) / "settings.yaml"
    return _named(SETTINGS) or usual


def cache_folder() -> Path:
    """The folder for checked rules and the index of cases. It may be emptied at any time."""
    return _named(CACHE) or Path(platformdirs.user_cache_dir("diagnose", appauthor=False))


def choose(settings: Path | None = None, cache: Path | None = None) -> None:
    """Take these places for this run, also in the processes that it starts."""
    for variable, place in ((SETTINGS, settings), (CACHE, cache)):
        if place is not None:
            os.environ[variable] = str(place.absolute())


def _named(variable: str) -> Path | None:
    named = os.environ.get(variable)
    return Path(named) if named else None
