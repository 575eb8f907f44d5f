"""The lock file, the measured ranges and the licences are held to pyproject.toml and to what is installed."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
import yaml
from licences_page import PAGE as LICENCES
from licences_page import licence, needed
from measure import EDGES, LOCK, PYTHONS
from packaging.requirements import Requirement
from packaging.specifiers import SpecifierSet
from packaging.version import Version
from supply_page import PAGE, TESTED, measured, minor, ranges_file, supply_page

ROOT = Path(__file__).resolve().parents[2]
PROJECT = (ROOT / "pyproject.toml").read_text(encoding="utf-8")
PERMISSIVE = re.compile(r"MIT|BSD|Apache|PSF|Python Software Foundation|ISC|Zlib|CC0|LGPL")


def lines_of(name: str) -> list[tuple[Requirement, str]]:
    """The requirements of a list in pyproject.toml, each with its comment."""
    inside = re.search(rf"^{name} = \[.*?\n(.*?)^\]", PROJECT, re.M | re.S)
    assert inside
    return [(Requirement(one), said) for one, said in re.findall(r'^ *"(.+?)",?(.*)$', inside[1], re.M)]


def locked() -> dict[str, list[Version]]:
    """The versions of each package in the lock file; more than one where Pythons part."""
    found: dict[str, list[Version]] = {}
    for name, version in re.findall(r"^([\w.-]+)==(\S+)", LOCK.read_text(encoding="utf-8"), re.M):
        found.setdefault(name, []).append(Version(version))
    return found


def test_the_lock_answers_every_requirement() -> None:
    """What pyproject.toml asks for, to run and to test, is in the lock at a version that serves."""
    kept = locked()
    for asked, _ in [*lines_of("dependencies"), *lines_of("test")]:
        versions = kept.get(asked.name.lower(), [])
        assert versions, f"{asked.name} is not in the lock"
        assert all(asked.specifier.contains(one) for one in versions), asked


def test_every_locked_package_has_its_hashes_and_no_machine_is_named() -> None:
    """The lock can be used anywhere: hashes for each, no host of a registry and no folder of a machine."""
    text = LOCK.read_text(encoding="utf-8")
    for block in re.split(r"\n(?=\S)", text.strip()):
        assert block.startswith("#") or "--hash=sha256:" in block, block.splitlines()[0]
    assert not re.search(r"://|^\s*--?(?:index|extra|find|trusted|i\b|f\b)|(?<![\w/])/(?:\w+/)+", text, re.M)


def test_the_outermost_corners_were_measured() -> None:
    """Oldest Python with the lowest packages, newest with the newest; what else lacks is told on the page."""
    asked = re.search(r'requires-python = "(.+)"', PROJECT)
    assert asked
    allowed = [f"3.{number}" for number in range(40) if SpecifierSet(asked[1]).contains(f"3.{number}")]
    assert allowed == list(PYTHONS)
    runs = {(minor(run), run["edge"]): run for run in measured()["measured"]}
    assert {(PYTHONS[0], "lowest"), (PYTHONS[-1], "newest")} <= set(runs)
    told = PAGE.read_text(encoding="utf-8").partition("Not measured yet: ")[2]
    for python in PYTHONS:
        for edge in EDGES:
            assert ((python, edge) in runs) != (f"{python} {edge}" in told)
    assert all(run["passed"] > (1000 if run["parts"] == "all" else 200) for run in runs.values())


def test_lower_bounds_are_the_lowest_that_were_measured() -> None:
    """Nobody is promised a version that was not tried, and the comment names the newest that was."""
    ranges = yaml.safe_load(TESTED.read_text(encoding="utf-8"))["packages"]
    asked = {one.name: (one, said) for one, said in lines_of("dependencies")}
    assert set(ranges) == set(asked)
    for name, (one, said) in asked.items():
        (bound,) = one.specifier
        assert Version(bound.version) == Version(ranges[name]["lowest"]), name
        assert f"to {ranges[name]['newest']}" in said or ranges[name]["lowest"] == ranges[name]["newest"], (
            name
        )


def test_newest_is_what_the_lock_holds() -> None:
    """The newest versions measured are those of the lock, so that the table and the lock cannot part."""
    kept = locked()
    for run in measured()["measured"]:
        if run["edge"] == "newest":
            assert all(Version(version) in kept[name] for name, version in run["versions"].items()), run[
                "python"
            ]


def test_page_and_ranges_are_made_from_what_was_measured() -> None:
    """No figure of the page, and no range that the program goes by, was written by hand."""
    assert PAGE.read_text(encoding="utf-8") == supply_page()
    assert TESTED.read_text(encoding="utf-8") == ranges_file()


@pytest.mark.parametrize("name", sorted(needed("diagnose")))
def test_run_time_licences_are_listed_and_permit(name: str) -> None:
    """Each package that is installed with the program stands on the page and lets people use it freely."""
    run_time = LICENCES.read_text(encoding="utf-8").partition("## Tests only")[0]
    listed = dict(re.findall(r"^\| ([\w-]+) \| (.+) \|$", run_time, re.M))
    assert name in listed, "renew the page: python tests/supply/licences_page.py"
    for said in (licence(needed("diagnose")[name]), listed[name]):
        assert PERMISSIVE.search(said), said
        assert not re.search(r"(?<!L)GPL|Affero|proprietary", said, re.I), said
