"""Rules as they stand in a folder, or as they stood in a commit of the folder's own git history."""

from __future__ import annotations

import io
import subprocess
import tarfile
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path, PurePosixPath
from tempfile import TemporaryDirectory

from diagnose.casebook.store import CannotKeep


@contextmanager
def rules_at(named: str, like: Path) -> Iterator[Path]:
    """The folder of rules that `named` means: a folder, or a commit or branch that holds the folder `like`.

    Raises CannotKeep where it is neither.
    """
    if Path(named).is_dir():
        yield Path(named)
        return
    with TemporaryDirectory() as folder:
        _unpack(_archive(named, like), Path(folder))
        yield Path(folder)


def _archive(commit: str, like: Path) -> bytes:
    top, prefix = (
        _git(like, "rev-parse", f"--show-{what}").decode().strip() for what in ("toplevel", "prefix")
    )
    # What begins with a dash is an option to git, and no commit.
    known = top and not commit.startswith("-")
    archive = _git(Path(top), "archive", "--format=tar", f"{commit}:{prefix}") if known else b""
    if not archive:
        lacks = f"'{commit}' is no folder, and no commit or branch that holds {like}."
        raise CannotKeep(f"{lacks} Name a folder of rules, or a commit of theirs: `diagnose impact main`.")
    return archive


def _git(folder: Path, *words: str) -> bytes:
    """What git prints in a folder; nothing where git fails or is not there."""
    try:
        done = subprocess.run(["git", *words], cwd=folder, capture_output=True, check=False)
    except OSError:
        return b""
    return done.stdout if done.returncode == 0 else b""


def _unpack(archive: bytes, folder: Path) -> None:
    """Write the rule files of an archive into an empty folder; nothing but plain files, and nothing outside it."""
    with tarfile.open(fileobj=io.BytesIO(archive)) as tar:
        for member in tar.getmembers():
            path = PurePosixPath(member.name)
            file = tar.extractfile(member) if member.isfile() else None
            if file is None or path.suffix != ".yaml" or path.is_absolute() or ".." in path.parts:
                continue
            here = folder / path
            here.parent.mkdir(parents=True, exist_ok=True)
            here.write_bytes(file.read())
