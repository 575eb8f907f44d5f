"""Python and the packages the program needs, beside the versions it was tested with."""

from __future__ import annotations

import platform
import re
import sys
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from importlib import import_module
from importlib.metadata import PackageNotFoundError, requires, version
from pathlib import Path

from diagnose.knowledge.yaml_reader import read_file

from .findings import Finding, without_home

TESTED = Path(__file__).with_name("tested.yaml")
"""Written from what was measured; see docs/supply.md."""

_MODULES = {"pyyaml": "yaml"}
"""Where a package is imported by another name than its own."""

_SHIMMED = "experta"
"""Cannot be imported by itself on a Python of today (see engine/experta_shim.py); the demonstration case tries it."""

_AGAIN = "Install it anew: pip install --upgrade --force-reinstall {}"


@dataclass(frozen=True)
class Range:
    """The lowest and the newest version that all tests passed with."""

    lowest: str
    newest: str

    def __str__(self) -> str:
        return self.lowest if self.lowest == self.newest else f"{self.lowest} to {self.newest}"


@dataclass(frozen=True)
class Tested:
    """What the program was tested with."""

    python: Range
    packages: Mapping[str, Range]


def tested(file: Path = TESTED) -> Tested:
    """The tested ranges. Raises RuleFilesWrong or OSError for a file that cannot be read."""
    written = read_file(file).value
    packages = {str(name): Range(**each) for name, each in written["packages"].items()}
    return Tested(Range(**written["python"]), packages)


def needed() -> tuple[str, ...]:
    """The packages that the installed program says it needs. Raises PackageNotFoundError."""
    lines = (line for line in requires("diagnose") or () if "extra ==" not in line)
    return tuple(sorted(_name(line) for line in lines))


def check_python(ranges: Tested, running: Sequence[int] = sys.version_info[:3]) -> Finding:
    """This Python beside the tested ones."""
    bits = f"{platform.system()} {platform.release()} {platform.machine()}"
    says = f"Python {'.'.join(map(str, running[:3]))} on {bits}; tested: {ranges.python}"
    now, low, high = tuple(running[:2]), _release(ranges.python.lowest), _release(ranges.python.newest)
    if now < low:
        return Finding("program", "python", "wrong", f"{says}.", f"Use Python {ranges.python}.")
    if now > high:
        return Finding("program", "python", "note", f"{says}. This one is newer and was not tried.")
    return Finding("program", "python", "good", says)


def check_packages(ranges: Tested) -> Iterator[Finding]:
    """Each package the program needs: there, in the tested range, and able to be loaded."""
    try:
        names = needed()
    except PackageNotFoundError:
        yield Finding(
            "program",
            "packages",
            "wrong",
            "The files of the program are here, but it is not installed, so what it needs cannot be told.",
            "Install it as the README says.",
        )
        names = tuple(sorted(ranges.packages))
    for name in names:
        yield _package(name, ranges.packages.get(name))


def _package(name: str, range_: Range | None) -> Finding:
    try:
        now = version(name)
    except PackageNotFoundError:
        return Finding("program", name, "wrong", f"{name} is not installed.", _AGAIN.format("diagnose"))
    if range_ is None:
        return Finding(
            "program",
            name,
            "wrong",
            f"{name} {now}: no range of tested versions is kept for it.",
            "Tell whoever looks after the program; its list of tested versions is older than it is.",
        )
    broken = _cannot_load(name)
    if broken:
        return Finding(
            "program", name, "wrong", f"{name} {now} cannot be loaded: {broken}", _AGAIN.format(name)
        )
    here, low, high = _release(now), _release(range_.lowest), _release(range_.newest)
    if here < low or (here > high and low == high):
        says = f"{name} {now} is not what was tested: {range_}."
        return Finding(
            "program", name, "wrong", says, f'Install it so: pip install "{name}=={range_.newest}"'
        )
    if here > high:
        says = f"{name} {now} is newer than what was tested: {range_}."
        mend = f'If something is odd, try: pip install "{name}=={range_.newest}"'
        return Finding("program", name, "note", says, mend)
    return Finding("program", name, "good", f"{name} {now}")


def _cannot_load(name: str) -> str:
    """Why a package cannot be loaded; empty when it can."""
    if name == _SHIMMED:
        return ""
    try:
        import_module(_MODULES.get(name, name))
    except Exception as error:  # a damaged package may fail in any way
        return without_home(f"{type(error).__name__}: {error}".splitlines()[0][:200])
    return ""


def _name(requirement: str) -> str:
    found = re.match(r"[\w.-]+", requirement)
    return found[0].lower() if found else requirement


def _release(text: str) -> tuple[int, ...]:
    """The numbers of a version, without what follows them and without noughts at the end: 8.1.0rc1 is (8, 1)."""
    found = re.match(r"\d+(\.\d+)*", text)
    numbers = [int(part) for part in found[0].split(".")] if found else [0]
    while numbers and numbers[-1] == 0:
        numbers.pop()
    return tuple(numbers)
