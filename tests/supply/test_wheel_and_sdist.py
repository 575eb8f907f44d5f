"""What leaves the house: the wheel and the source archive hold what they must, and nothing else."""

from __future__ import annotations

import re
import shutil
import subprocess
import sys
import tarfile
import zipfile
from collections.abc import Iterable
from importlib.util import find_spec
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[2]
SHIPPED = {
    "diagnose": "diagnose",
    "rules": "diagnose/shipped_data/rules",
    "cases": "diagnose/shipped_data/cases",
}
"""Each folder of the source, and where it lies in the wheel."""
ALLOWED = re.compile(
    r"""
    diagnose/(\w+/)*\w+\.py                                       # the program
    | diagnose/(report|book)/templates/(sections/)?\w+\.(html|md|css|svg)  # pages of a report and of the rule book
    | diagnose/setup_check/\w+\.yaml                              # tested versions, printed figures
    | diagnose/shipped_data/rules/(\w+/)*\w+\.yaml                # what the cellar knows
    | diagnose/shipped_data/cases/\w+/\w+\.yaml                   # the demonstration and the other worked cases
    | diagnose-[\d.]+\.dist-info/(METADATA|WHEEL|RECORD|entry_points\.txt|licenses/LICENSE)
    """,
    re.VERBOSE,
)
NOT_IN_AN_ARCHIVE = re.compile(
    r"(^|/)(__pycache__|\.(?!gitignore$)[^/]*|dist|build|[^/]*\.egg-info)(/|$)|\.(pyc|bak|swp|orig|log|part)$"
)

pytestmark = pytest.mark.skipif(
    find_spec("hatchling") is None, reason="hatchling is not here: pip install '.[test]'"
)


def build(kind: str, source: Path, into: Path) -> Path:
    """Build the wheel or the source archive of a folder."""
    command = [sys.executable, "-m", "hatchling", "build", "-t", kind, "-d", str(into)]
    subprocess.run(command, cwd=source, check=True, capture_output=True, timeout=120)
    (built,) = into.iterdir()
    return built


def contents(wheel: Path) -> dict[str, bytes]:
    """Every file in a wheel, by its name there."""
    with zipfile.ZipFile(wheel) as packed:
        return {name: packed.read(name) for name in packed.namelist()}


def unintended(names: Iterable[str]) -> list[str]:
    """The names that nobody meant to ship."""
    return sorted(name for name in names if not ALLOWED.fullmatch(name))


def source_files(source: Path) -> dict[str, bytes]:
    """What the source holds for the wheel, by its name there."""
    return {
        f"{there}/{file.relative_to(source / here).as_posix()}": file.read_bytes()
        for here, there in SHIPPED.items()
        for file in (source / here).rglob("*")
        if file.is_file() and "__pycache__" not in file.parts
    }


@pytest.fixture(scope="module")
def wheel(tmp_path_factory: pytest.TempPathFactory) -> dict[str, bytes]:
    """The files of the wheel built from this checkout."""
    return contents(build("wheel", ROOT, tmp_path_factory.mktemp("wheel")))


@pytest.fixture(scope="module")
def archive(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The source archive of this checkout, unpacked."""
    folder = tmp_path_factory.mktemp("archive")
    with tarfile.open(build("sdist", ROOT, folder)) as packed:
        into = tmp_path_factory.mktemp("unpacked")
        for member in packed.getmembers():
            assert member.isreg() and ".." not in member.name
            packed.extract(member, into)
    (root,) = into.iterdir()
    return root


def test_the_wheel_holds_nothing_unintended(wheel: dict[str, bytes]) -> None:
    """No test, no cache, no document goes into somebody's environment: program, rules, cases, pages, licence."""
    assert unintended(wheel) == []


def test_the_wheel_holds_the_source_to_the_byte(wheel: dict[str, bytes]) -> None:
    """Every module, rule, case and template of the checkout is in the wheel as it is, and none besides."""
    here = source_files(ROOT)
    packed = {name: text for name, text in wheel.items() if ".dist-info/" not in name}
    assert sorted(packed) == sorted(here)
    assert [name for name in packed if packed[name] != here[name]] == []
    assert (ROOT / "LICENSE").read_bytes() in wheel.values()


def test_a_file_left_lying_is_found(tmp_path: Path) -> None:
    """A copy kept by an editor, a test or a cache among the rules or modules is named by the test above."""
    source = tmp_path / "source"
    for name in ("diagnose", "rules", "cases"):
        shutil.copytree(ROOT / name, source / name, ignore=shutil.ignore_patterns("__pycache__"))
    for name in ("pyproject.toml", "README.md", "LICENSE"):
        shutil.copy(ROOT / name, source)
    planted = {
        "rules/haze/topic.yaml.bak": "diagnose/shipped_data/rules/haze/topic.yaml.bak",
        "cases/.hypothesis/x.yaml": "diagnose/shipped_data/cases/.hypothesis/x.yaml",
        "diagnose/units/notes.txt": "diagnose/units/notes.txt",
    }
    for name in planted:
        (source / name).parent.mkdir(exist_ok=True)
        (source / name).write_text("left lying\n")
    (tmp_path / "built").mkdir()
    assert unintended(contents(build("wheel", source, tmp_path / "built"))) == sorted(planted.values())


def test_the_archive_holds_no_caches(archive: Path) -> None:
    """What is unpacked is the checkout without what tools left in it."""
    names = [file.relative_to(archive).as_posix() for file in archive.rglob("*")]
    assert [name for name in names if NOT_IN_AN_ARCHIVE.search(name)] == []
    tops = {name.partition("/")[0] for name in names}
    assert tops <= {
        *("diagnose", "rules", "cases", "docs", "tests", "README.md", "DEVELOPERS.md", "LICENSE"),
        *("pyproject.toml", "PKG-INFO", ".gitignore"),
    }


def test_the_archive_makes_the_same_wheel(archive: Path, wheel: dict[str, bytes], tmp_path: Path) -> None:
    """Who builds from the source archive gets the very files of our wheel."""
    assert contents(build("wheel", archive, tmp_path)) == wheel
