"""Where the rules and cases that come with the program are: inside the wheel, or beside a checkout."""

from __future__ import annotations

from pathlib import Path

_PACKAGE = Path(__file__).resolve().parent


def shipped_folder(name: str) -> Path:
    """The folder `rules` or `cases`, as installed or as checked out.

    Raises FileNotFoundError when the installation lacks it.
    """
    for folder in (_PACKAGE / "shipped_data" / name, _PACKAGE.parent / name):
        if folder.is_dir():
            return folder
    raise FileNotFoundError(f"The '{name}' that belong to this program are missing; install it again.")


def is_installed(folder: Path) -> bool:
    """Whether a folder is part of an installation: what is written there is gone with the next version."""
    return folder.resolve().is_relative_to(_PACKAGE / "shipped_data")
