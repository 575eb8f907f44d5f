"""Every check of the installation fails when its fault is really there, and says so in a way that mends it."""

from __future__ import annotations

import json
import os
import shutil
import tempfile
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from dataclasses import replace
from importlib.metadata import PackageNotFoundError, version
from pathlib import Path
from typing import Any

import pytest
import yaml
from click.testing import CliRunner, Result
from diagnose.calculators import registry
from diagnose.cli import main as cli
from diagnose.commands import check_setup
from diagnose.judgement.judge import Cellar, judge
from diagnose.knowledge.read import read_rule_base
from diagnose.setup_check import folders, packages
from diagnose.setup_check.findings import shown, without_home
from diagnose.setup_check.folders import Kept, check_folder
from diagnose.setup_check.packages import TESTED, check_packages, check_python, needed
from diagnose.setup_check.sums import PRINTED, check_sums, printed_figures
from diagnose.shipped import shipped_folder

VALIDATION = Path(__file__).resolve().parents[2] / "docs" / "validation.md"


@pytest.fixture(scope="module")
def cellar() -> Cellar:
    """The rules that came along, made ready once."""
    return Cellar(read_rule_base([shipped_folder("rules")]))


@pytest.fixture
def rules_known(cellar: Cellar, monkeypatch: pytest.MonkeyPatch) -> None:
    """The rules are not read again where the fault lies elsewhere, and the demonstration is not judged again."""
    monkeypatch.setattr(check_setup, "make_cellar", lambda *rules, **how: cellar)
    monkeypatch.setattr(check_setup, "judge", lambda *case: judge(*case, machine="chain"))


@pytest.fixture(autouse=True)
def _places(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    keep_things_in(tmp_path, monkeypatch)


def keep_things_in(place: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A person's files are kept here."""
    for variable in ("CASES", "CACHE"):
        monkeypatch.setenv(f"DIAGNOSE_{variable}", str(place / variable.lower()))
    monkeypatch.setenv("DIAGNOSE_SETTINGS", str(place / "mine" / "settings.yaml"))


def look(*before: str) -> tuple[int, dict[str, Any]]:
    """What `diagnose check-setup --json` ends with, and what it prints."""
    done = run(*before, "check-setup", "--json")
    return done.exit_code, json.loads(done.output)


def run(*arguments: str) -> Result:
    """The command itself, in this process."""
    return CliRunner().invoke(cli.main, [*arguments], catch_exceptions=False)


def wrong(found: Mapping[str, Any]) -> dict[str, dict[str, str]]:
    """What is wrong, by its name."""
    return {one["name"]: one for one in found["findings"] if one["state"] == "wrong"}


@contextmanager
def nobody() -> Iterator[None]:
    """As somebody whom the folders of others are closed to; root may write anywhere."""
    root = os.geteuid() == 0
    if root:
        os.seteuid(65534)
    try:
        yield
    finally:
        if root:
            os.seteuid(0)


# ---------------------------------------------------------------- the whole


def test_a_sound_installation_is_well(tmp_path: Path) -> None:
    """Everything is looked at, nothing is wrong, and no trace of the trial is left."""
    status, found = look()
    assert (status, found["good"], wrong(found)) == (0, True, {})
    names = {one["name"] for one in found["findings"]}
    assert names >= {"diagnose", "python", *needed(), "cases", "settings", "cache", "rules", "demonstration"}
    assert list(tmp_path.iterdir()) == []


@pytest.mark.parametrize("fault", [False, True])
@pytest.mark.usefixtures("rules_known")
def test_it_fits_one_screen_with_the_verdict_first(monkeypatch: pytest.MonkeyPatch, fault: bool) -> None:
    """A tired person sees first whether all is well, and the whole of it on one screen."""
    # In a place as short as a person's own: the folders of the tests have names that fill lines.
    with tempfile.TemporaryDirectory() as place:
        keep_things_in(Path(place), monkeypatch)
        if fault:
            monkeypatch.setenv("DIAGNOSE_CASES", str(a_file(Path(place)) / "cases"))
        lines = run("check-setup").output.strip("\n").splitlines()
    assert ("is wrong" if fault else "All is well") in lines[2]
    assert len(lines) <= 30 and max(map(len, lines)) <= 88


@pytest.mark.usefixtures("rules_known")
def test_nothing_of_a_case_is_shown(tmp_path: Path) -> None:
    """What is sent to a helper holds no name of a case, no wine and no answer."""
    kept = tmp_path / "cases"
    kept.mkdir()
    shutil.copy(shipped_folder("cases") / "haze" / "demonstration.yaml", kept / "aunt_wilmas_cider.yaml")
    for said in (run("check-setup").output, json.dumps(look()[1])):
        assert "wilma" not in said and "dry white" not in said and "protein" not in said


@pytest.mark.usefixtures("rules_known")
def test_the_home_folder_is_not_spelt_out(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A home folder mostly holds a person's name; it is shown as ~."""
    monkeypatch.setenv("HOME", str(tmp_path / "wilma"))
    monkeypatch.setenv("DIAGNOSE_CASES", str(tmp_path / "wilma" / "cellar"))
    shown = run("check-setup").output
    assert "~/cellar" in shown and "wilma" not in shown


# ---------------------------------------------------------------- Python and packages


def test_an_old_python_is_wrong_and_a_newer_one_is_told() -> None:
    """Below the tested ones it is a fault, above them a remark."""
    assert check_python(packages.tested(), (3, 9, 18)).state == "wrong"
    assert check_python(packages.tested(), (3, 10, 0)).state == "good"
    assert check_python(packages.tested(), (3, 14, 0)).state == "note"


@pytest.mark.parametrize(
    ("lowest", "newest", "state"),
    [("0.1", "99", "good"), ("0.1", "0.2", "note"), ("99", "100", "wrong"), ("0.1", "0.1", "wrong")],
)
@pytest.mark.usefixtures("rules_known")
def test_a_version_outside_the_tested_range_is_seen(
    lowest: str, newest: str, state: str, monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    """Too old is a fault, newer is a remark; of a package tested at one version only that one will do."""
    plant_ranges(tmp_path, monkeypatch, {"rich": {"lowest": lowest, "newest": newest}})
    status, found = look()
    (one,) = (one for one in found["findings"] if one["name"] == "rich")
    assert one["state"] == state and version("rich") in one["says"]
    assert status == (1 if state == "wrong" else 0)
    assert bool(one["mend"]) == (state != "good")


@pytest.mark.usefixtures("rules_known")
def test_a_package_without_a_tested_range_is_wrong(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    """A package that nobody measured cannot pass in silence."""
    plant_ranges(tmp_path, monkeypatch, {"rich": None})
    status, found = look()
    assert status == 1 and list(wrong(found)) == ["rich"]
    assert "no range" in wrong(found)["rich"]["says"]


def test_a_package_that_is_not_there_is_wrong(monkeypatch: pytest.MonkeyPatch) -> None:
    """A package that is asked for and not installed is named, with the command that brings it."""
    monkeypatch.setattr(packages, "requires", lambda name: ["rich>=13", "not-at-all-there>=1"])
    found = {one.name: one for one in check_packages(packages.tested())}
    assert found["rich"].state == "good"
    assert found["not-at-all-there"].state == "wrong" and "pip install" in found["not-at-all-there"].mend


def test_files_without_an_installation_are_wrong(monkeypatch: pytest.MonkeyPatch) -> None:
    """A folder of the program that was only copied is told as not installed, and its packages are still looked at."""

    def unknown(name: str) -> list[str]:
        raise PackageNotFoundError(name)

    monkeypatch.setattr(packages, "requires", unknown)
    first, *others = check_packages(packages.tested())
    assert (first.name, first.state) == ("packages", "wrong")
    assert "not installed" in first.says and first.mend == "Install it as the README says."
    assert [one.name for one in others] == sorted(packages.tested().packages)


def test_a_person_without_a_home_folder_is_no_fault(monkeypatch: pytest.MonkeyPatch) -> None:
    """On a machine that knows no home folder there is no name to hide: places are shown whole."""

    def homeless() -> Path:
        raise RuntimeError("Could not determine home directory.")

    monkeypatch.setattr(Path, "home", homeless)
    assert shown(Path("/srv/cellar")) == "/srv/cellar"
    assert without_home("/srv/cellar cannot be written.") == "/srv/cellar cannot be written."


def test_a_damaged_package_is_wrong(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    """A package whose files are broken is found by loading it, not by its name in a list."""
    broken = tmp_path / "rapidfuzz"
    broken.mkdir()
    (broken / "__init__.py").write_text("import part_that_was_lost\n")
    monkeypatch.syspath_prepend(str(tmp_path))
    monkeypatch.delitem(__import__("sys").modules, "rapidfuzz", raising=False)
    found = {one.name: one for one in check_packages(packages.tested())}
    assert found["rapidfuzz"].state == "wrong" and "part_that_was_lost" in found["rapidfuzz"].says


@pytest.mark.usefixtures("rules_known")
def test_a_list_of_versions_that_cannot_be_read_is_wrong(
    monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    """The check does not fall over its own list."""
    file = tmp_path / "tested.yaml"
    file.write_text("packages: [\n")
    monkeypatch.setattr(packages.tested, "__defaults__", (file,))
    status, found = look()
    assert status == 1 and list(wrong(found)) == ["tested"]


def plant_ranges(folder: Path, monkeypatch: pytest.MonkeyPatch, changed: Mapping[str, Any]) -> None:
    """Another list of tested versions in the place of the true one; None takes a package out."""
    written = yaml.safe_load(TESTED.read_text())
    ranges = {name: each for name, each in {**written["packages"], **changed}.items() if each}
    file = folder / "ranges.yaml"
    file.write_text(yaml.safe_dump({**written, "packages": ranges}))
    monkeypatch.setattr(packages.tested, "__defaults__", (file,))


# ---------------------------------------------------------------- folders


def test_a_disk_that_forgets_is_wrong(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A folder that takes a file and gives other words back would lose a case: it is told as a fault."""
    monkeypatch.setattr(folders.os, "fsync", lambda handle: os.pwrite(handle, b"forgotten", 0))
    found = check_folder(Kept("cases", tmp_path, "option --cases", "--cases"))
    assert found.state == "wrong" and "what was written does not come back" in found.says
    assert list(tmp_path.iterdir()) == []


def a_file(folder: Path) -> Path:
    """A file where a folder is looked for."""
    file = folder / "not_a_folder"
    file.write_text("")
    return file


@pytest.mark.parametrize("there", [True, False])
def test_a_read_only_folder_is_found_by_writing(there: bool) -> None:
    """A folder that is closed to the person is seen, and so is one that cannot be made in it."""
    place = Path(tempfile.mkdtemp())
    try:
        place.chmod(0o555)
        kept = Kept("cases", place if there else place / "deep" / "cases", "option --cases", "--cases")
        with nobody():
            found = check_folder(kept)
        assert found.state == "wrong" and "permission denied" in found.says and "--cases" in found.mend
        place.chmod(0o777)
        with nobody():
            assert check_folder(kept).state == "good"
        assert list(place.iterdir()) == []
    finally:
        shutil.rmtree(place)


@pytest.mark.usefixtures("rules_known")
def test_a_folder_that_cannot_be_is_wrong_and_says_whence_it_came(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The option, the variable or the usual place stands beside each folder, also beside a wrong one."""
    bad = str(a_file(tmp_path) / "cases")
    status, found = look("--cases", bad)
    assert status == 1 and "option --cases" in wrong(found)["cases"]["says"]
    monkeypatch.setenv("DIAGNOSE_CASES", bad)
    assert "variable DIAGNOSE_CASES" in wrong(look()[1])["cases"]["says"]
    monkeypatch.setenv("DIAGNOSE_SETTINGS", f"{bad}/settings.yaml")
    assert set(wrong(look()[1])) == {"cases", "settings"}
    for variable in ("DIAGNOSE_CASES", "DIAGNOSE_SETTINGS"):
        monkeypatch.delenv(variable)
    monkeypatch.setenv("HOME", str(tmp_path))
    for variable in ("XDG_DATA_HOME", "XDG_CONFIG_HOME"):
        monkeypatch.delenv(variable, raising=False)
    says = {one["name"]: one["says"] for one in look()[1]["findings"]}
    assert "the usual place" in says["cases"] and "the usual place" in says["settings"]


@pytest.mark.usefixtures("rules_known")
def test_a_cache_that_cannot_be_written_is_a_remark(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Without it the program is slower and nothing else, so it is told and not called wrong."""
    monkeypatch.setenv("DIAGNOSE_CACHE", str(a_file(tmp_path) / "cache"))
    status, found = look()
    (cache,) = (one for one in found["findings"] if one["name"] == "cache")
    assert (status, cache["state"]) == (0, "note") and "slower" in cache["says"]


@pytest.mark.usefixtures("rules_known")
def test_broken_settings_are_wrong(tmp_path: Path) -> None:
    """A settings file with a slip is named with its line, and the mend."""
    file = tmp_path / "mine" / "settings.yaml"
    file.parent.mkdir()
    file.write_text("units: furlongs\n")
    status, found = look()
    assert status == 1 and list(wrong(found)) == ["settings_file"]
    assert (
        "settings.yaml:1" in wrong(found)["settings_file"]["says"] and wrong(found)["settings_file"]["mend"]
    )


# ---------------------------------------------------------------- rules


def test_broken_rules_are_wrong(tmp_path: Path) -> None:
    """A rule file that lost a line is told by file and line, and that it is an own folder."""
    rules = tmp_path / "rules"
    shutil.copytree(shipped_folder("rules"), rules)
    status, found = look("--rules", str(rules))
    (sound,) = (one for one in found["findings"] if one["name"] == "rules")
    assert (status, sound["state"]) == (0, "good") and "your own folder" in sound["says"]
    topic = rules / "haze" / "topic.yaml"
    topic.write_text("no_such_key: here\n" + topic.read_text())
    status, found = look("--rules", str(rules))
    assert status == 1 and list(wrong(found)) == ["rules"]
    assert (
        "topic.yaml:" in wrong(found)["rules"]["says"] and "diagnose check" in wrong(found)["rules"]["mend"]
    )


def test_rules_that_are_not_there_are_wrong(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """An installation that lost its rules says so."""
    monkeypatch.setattr("diagnose.shipped._PACKAGE", tmp_path / "empty")
    status, found = look()
    assert status == 1 and "rules" in wrong(found)


@pytest.mark.usefixtures("rules_known")
def test_a_reasoning_that_goes_wrong_is_found_by_the_demonstration(monkeypatch: pytest.MonkeyPatch) -> None:
    """Rules that load and no longer speak as they must are found by a case whose end is known."""
    monkeypatch.setattr("diagnose.judgement.judge.findings", lambda base, evidence, causes: {})
    try:
        status, found = look()
    except Exception as error:
        pytest.fail(f"the check fell over: {error}")
    assert status == 1 and list(wrong(found)) == ["demonstration"]


# ---------------------------------------------------------------- sums


@pytest.mark.parametrize("figure", printed_figures(), ids=lambda figure: figure.calculator)
def test_each_sum_can_fail(figure: Any, monkeypatch: pytest.MonkeyPatch) -> None:
    """A sum that comes out a tenth wrong is found, for each of the figures."""
    known = registry._KNOWN[figure.calculator]
    twisted = replace(known, function=lambda **inputs: known.function(**inputs) * 1.1)
    assert [one.state for one in check_sums((figure,))] == ["good"]
    monkeypatch.setitem(registry._KNOWN, figure.calculator, twisted)
    (found,) = check_sums((figure,))
    assert found.state == "wrong" and figure.source in found.says and "dose" in found.mend


@pytest.mark.usefixtures("rules_known")
def test_a_wrong_sum_ends_the_command_with_one(monkeypatch: pytest.MonkeyPatch) -> None:
    """The exit status tells a script too, and a sum that is gone is as wrong as a false one."""
    known = registry._KNOWN["ta_from_meq"]
    monkeypatch.setitem(registry._KNOWN, "ta_from_meq", replace(known, function=lambda **inputs: 3.6))
    monkeypatch.delitem(registry._KNOWN, "freezing_point")
    status, found = look()
    assert status == 1 and set(wrong(found)) == {"ta_from_meq", "freezing_point"}


def test_printed_figures_are_those_of_the_validation() -> None:
    """Each figure stands in the validation page, from the same source, and is held at least as closely."""
    rows = [
        [cell.strip() for cell in line.strip("|").split("|")]
        for line in VALIDATION.read_text(encoding="utf-8").splitlines()
        if line.startswith("| `")
    ]
    for figure in printed_figures(PRINTED):
        match = [
            row
            for row in rows
            if row[0] == f"`{figure.calculator}`"
            and row[2].startswith(figure.source)
            and row[3] == f"{figure.printed:g} {figure.unit}"
        ]
        assert match, figure.calculator
        assert any(figure.within <= float(row[6]) for row in match), figure.calculator
        assert not figure.source.startswith(("from memory", "worked by hand"))
