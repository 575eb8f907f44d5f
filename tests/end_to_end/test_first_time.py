"""The first time at a terminal: two calm questions, asked once; and where things are kept."""

from __future__ import annotations

import shutil
from collections.abc import Iterator
from pathlib import Path

import pytest
import yaml
from click.testing import CliRunner
from diagnose.cli.main import main
from diagnose.commands import consult
from diagnose.engine.facts import Fact
from diagnose.judgement.judge import Cellar, judge
from terminal import Open, terminals


@pytest.fixture
def newcomer(environment: dict[str, str], home: Path) -> dict[str, str]:
    """A person with nothing configured at all: no variable, no settings file, no cases."""
    (home / "settings.yaml").unlink()
    kept = {key: value for key, value in environment.items() if not key.startswith("DIAGNOSE_")}
    # What only saves time stays where it is, so that the rules are not read anew for each test.
    return {**kept, **{f"XDG_{name}_HOME": str(home / name.lower()) for name in ("DATA", "CONFIG")}}


@pytest.fixture
def terminal(newcomer: dict[str, str]) -> Iterator[Open]:
    """Opens the command in a terminal, and leaves none running."""
    with terminals(newcomer, subject=None) as opens:
        yield opens


def settings_of(home: Path) -> dict[str, object]:
    """What the settings file of the newcomer holds."""
    return yaml.safe_load((home / "config" / "diagnose" / "settings.yaml").read_text())


def test_units_and_law_are_asked_once_and_count(terminal: Open, home: Path) -> None:
    """US units and the law of Australia are kept, told where, used at once, and not asked again."""
    session = terminal("--about", "haze")
    first = session.read_until("> ")
    assert "Which units do you work in?" in first and "skip" in first
    session.type("?")
    assert "38 F" in session.read_until("> ")
    session.type("what is NTU")
    assert "A unit of turbidity" in session.read_until("> ")
    session.type("us")
    assert "Whose legal limits should count?" in session.read_until("> ")
    session.type("narnia")
    assert "not one of them" in session.read_until("> ")
    session.type("austra")
    screen = session.read_until("> ")
    flat = "".join(screen.split())
    assert str(home / "config" / "diagnose" / "settings.yaml") in flat
    assert "Kept: US units, and the limits of: Australia." in screen
    assert (
        "diagnose settings --units us --law us" in " ".join(screen.split())
        and "What colour is the wine" in screen
    )
    session.type("stop")
    session.read_rest()
    session.wait()
    assert (settings_of(home)["units"], settings_of(home)["law"]) == ("us", "au")
    (case,) = (home / "data" / "diagnose" / "cases").glob("*.yaml")
    assert 'units: "us"' in case.read_text()
    again = terminal("--about", "haze")
    assert "Which units" not in again.read_until("> ")


class FirstLines:
    """A person at a terminal for the first time, who takes metric units and this law."""

    terminal = True

    def __init__(self, law: str) -> None:
        self.typed = ["metric", law]

    def read(self, prompt: str) -> str | None:
        """The next answer."""
        return self.typed.pop(0) if self.typed else None


@pytest.mark.parametrize(("law", "spent"), [("us", "no"), ("eu", "yes")])
def test_the_law_chosen_first_counts_in_that_very_consultation(
    law: str, spent: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A dry red at 180 mg/L in all has room under 27 CFR 4.22 (350 mg/L) and none under (EU) 2019/934 (150 mg/L)."""
    used: list[Cellar] = []
    monkeypatch.setattr(consult, "Typed", lambda console: FirstLines(law))
    monkeypatch.setattr(consult, "_talk", lambda cellar, *rest, **more: used.append(cellar) or 0)
    places = {"DIAGNOSE_CASES": str(tmp_path), "DIAGNOSE_SETTINGS": str(tmp_path / "settings.yaml")}
    done = CliRunner(env=places).invoke(main, ["--about", "so2"])
    assert done.exit_code == 0, done.output
    wine = {"wine_colour": "red", "residual_sugar": 1.0, "total_so2": 180.0}
    judged = judge(used[0], "so2", [Fact(name, value) for name, value in wine.items()])
    assert judged.facts["so2_total_spent"] == (spent,)


def test_skipped_is_asked_only_once_too_and_fits_60_columns(terminal: Open, home: Path) -> None:
    """Both skipped: the usual ones are kept, the screens fit, and the next consultation asks nothing."""
    session = terminal("--about", "haze", columns=60)
    screen = session.read_until("> ")
    for _ in range(2):
        session.type("skip")
        screen += session.read_until("> ")
    kept = [line for line in screen.splitlines() if str(home) not in line and "/" not in line]
    assert max(len(line) for line in kept) <= 60
    session.type("stop")
    session.read_rest()
    session.wait()
    assert (settings_of(home)["units"], settings_of(home)["law"]) == ("metric", "oiv")
    again = terminal("--about", "haze")
    assert "Which units" not in again.read_until("> ")


def test_whoever_leaves_keeps_nothing_and_is_asked_again(terminal: Open, home: Path) -> None:
    """`stop` is no answer: no settings and no case are kept."""
    session = terminal()
    session.read_until("> ")
    session.type("stop")
    session.read_rest()
    assert session.wait() == 3
    assert not (home / "config").exists() and not (home / "data").exists()
    assert "Which units" in terminal().read_until("> ")


def test_settings_that_cannot_be_kept_keep_nobody_from_his_wine(terminal: Open, home: Path) -> None:
    """Where the settings cannot be written this is said, the choice counts for today, and the questions come."""
    (home / "config").write_text("a file where a folder belongs")
    session = terminal("--about", "haze")
    session.read_until("> ")
    session.type("us")
    session.read_until("> ")
    session.type("skip")
    screen = session.read_until("> ")
    assert "counts for today only" in " ".join(screen.split()) and "What colour is the wine" in screen


def test_never_asked_in_a_pipe_nor_by_the_demonstration(run, terminal: Open, newcomer, home: Path) -> None:
    """A script that pipes answers is not surprised, and the demonstration only plays."""
    piped = run("--about", "haze", lines=["white", "stop"], environment={**newcomer, "DIAGNOSE_SETTINGS": ""})
    assert "Which units" not in piped.stdout and "Kept: White" in piped.stdout
    shown = terminal("demo")
    assert "Which units" not in shown.read_rest(90)
    assert not (home / "config").exists()


def test_each_place_has_an_option_and_a_variable(run, home: Path) -> None:
    """The settings screen names the three places; a variable moves each, and an option goes before it."""
    places = {"cases": "CASES", "settings": "SETTINGS", "cache": "CACHE"}
    named = {f"DIAGNOSE_{name}": str(home / "v" / option) for option, name in places.items()}
    said = "".join(run("settings", environment=named).stdout.split())
    assert all(value in said for value in named.values())
    shutil.copytree(home / "v" / "cache", home / "o" / "cache")
    options = [word for option in places for word in (f"--{option}", str(home / "o" / option))]
    said = "".join(run(*options, "settings", "--units", "us", environment=named).stdout.split())
    assert all(str(home / "o" / option) in said for option in places)
    assert (home / "o" / "settings").is_file() and not (home / "v" / "settings").exists()
    assert "tochangeasetting:diagnosesettings--units" in said.lower()
