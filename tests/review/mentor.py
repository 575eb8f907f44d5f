"""The real command driven by a mentor's lines, on rules and cases of the test's own."""

from __future__ import annotations

import os
import shutil
import subprocess
from collections.abc import Sequence
from pathlib import Path

from ready_start import run_command

ROOT = Path(__file__).resolve().parents[2]
FEW = ("skin_and_vinegar", "pours_like_egg_white", "dust_of_filter_powder")
"""Worked cases that a change is held against here; all of them would only take longer."""


class Cellar:
    """A copy of the shipped rules, and a few worked cases."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        self.rules = folder / "rules"
        self.cases = folder / "cases"
        shutil.copytree(ROOT / "rules", self.rules)
        self.cases.mkdir()
        for name in FEW:
            shutil.copy(ROOT / "cases" / "haze" / f"{name}.yaml", self.cases)

    def run(self, *arguments: str, lines: Sequence[str] = ()) -> subprocess.CompletedProcess[str]:
        """`diagnose` with these lines in a pipe."""
        keep = {key: value for key, value in os.environ.items() if key in ("PATH", "HOME", "PYTHONPATH")}
        named = ("CASES", "SETTINGS", "CACHE")
        places = {f"DIAGNOSE_{name}": str(self.folder / name.lower() / "own") for name in named}
        done = run_command(
            ["--rules", str(self.rules), *arguments],
            {**keep, **places, "LANG": "C.UTF-8"},
            "".join(f"{line}\n" for line in lines).encode(),
            ROOT,
            240,
        )
        said, complained = done.stdout.decode(), done.stderr.decode()
        return subprocess.CompletedProcess(done.args, done.returncode, said, complained)

    def add(self, kind: str, lines: Sequence[str], *more: str) -> subprocess.CompletedProcess[str]:
        """`diagnose add`."""
        return self.run("add", kind, "--worked", str(self.cases), *more, lines=lines)

    def review(self, *lines: str) -> subprocess.CompletedProcess[str]:
        """`diagnose review` by AB, on haze."""
        options = ("--by", "AB", "--topic", "haze", "--worked", str(self.cases))
        return self.run("review", *options, lines=lines)

    def files(self) -> dict[str, bytes]:
        """Every file of the rules and cases, byte for byte."""
        found = (path for folder in (self.rules, self.cases) for path in sorted(folder.rglob("*")))
        return {str(path.relative_to(self.folder)): path.read_bytes() for path in found if path.is_file()}


def changed(before: dict[str, bytes], after: dict[str, bytes]) -> dict[str, tuple[list[str], list[str]]]:
    """For each file that is otherwise, the lines that went and those that came."""
    return {
        name: (
            _without(before.get(name, b""), after.get(name, b"")),
            _without(after.get(name, b""), before.get(name, b"")),
        )
        for name in sorted({*before, *after})
        if before.get(name) != after.get(name)
    }


def _without(one: bytes, other: bytes) -> list[str]:
    """The lines of one that the other has not, counted."""
    left = other.decode().splitlines()
    found: list[str] = []
    for line in one.decode().splitlines():
        if line in left:
            left.remove(line)
        else:
            found.append(line)
    return found


def only_added(before: bytes, after: bytes) -> bool:
    """Whether the file is what it was, with something put in at one place and every other byte as it stood."""
    parted = (at for at, (was, now) in enumerate(zip(before, after, strict=False)) if was != now)
    at = next(parted, len(before))
    return len(after) > len(before) and after.endswith(before[at:])
