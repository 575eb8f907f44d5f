"""Cases that are kept, by their name."""

from __future__ import annotations

from pathlib import Path

from diagnose.casebook.store import CannotKeep, list_cases


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
