"""Places in files, shown short: the folder they all lie in is said once."""

from __future__ import annotations

import os
from collections.abc import Iterable
from pathlib import Path

from diagnose.knowledge.problems import Place


def folder_of(places: Iterable[Place]) -> Path:
    """The folder that all the files lie in, so that it need be said only once."""
    parents = {str(Path(place.file).absolute().parent) for place in places}
    return Path(os.path.commonpath(parents)) if parents else Path()


def short_place(place: Place, folder: Path) -> str:
    """File and line, as seen from the folder."""
    return f"{Path(place.file).absolute().relative_to(folder)}:{place.line}"
