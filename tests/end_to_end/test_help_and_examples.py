"""Help that a newcomer can read, with examples that work as they stand. Every wine here is invented."""

from __future__ import annotations

import functools
import re
import shlex
import shutil
from collections.abc import Iterator
from pathlib import Path

import click
import pytest
from click.testing import CliRunner
from diagnose.cli.main import EXAMPLES, SECTIONS, main
from diagnose.commands import setup
from diagnose.knowledge.kept import read_rule_base_kept
from diagnose.shipped import shipped_folder

COMMANDS = [one for _, commands in SECTIONS for one in commands]
EVERY = [main, *COMMANDS]

ANSWERS = {
    "wine_colour": '"white"',
    "made_from": '"grapes"',
    "wine_is_in": '"vessel"',
    "looks": '["even_veil"]',
    "came_after": '["warming"]',
    "gas": '"none"',
    "vessel_volume": "50",
    "heat_test_eye": '"much_hazier"',
    "bentonite_dose": "0.4",
    "bentonite_slurry": "50",
}

NO_WORDS_FOR_A_CELLAR = re.compile(
    r"\b(TEXT|PATH|DIRECTORY|INTEGER|BOOLEAN|FLOAT|RANGE|stdin|stdout|boolean|regex|string|parse|"
    r"rule base|argument|directory|schema_version|flag|callback|config)\b"
)

READ_ONCE = functools.cache(read_rule_base_kept)


def help_of(command: click.Command, columns: int) -> str:
    """The help of a command, as it is shown at this width."""
    words = [] if command is main else [command.name or ""]
    done = CliRunner(env={"COLUMNS": str(columns)}).invoke(
        main, [*words, "--help"], prog_name="diagnose", terminal_width=columns
    )
    assert done.exit_code == 0
    return done.output


def examples_in(text: str) -> list[str]:
    """The examples as they stand in a help text."""
    under = text.partition("For example:\n")[2].partition("\n\n")[0]
    return [line.strip() for line in under.splitlines() if line.strip()]


def examples() -> Iterator[str]:
    """Every example of every help text, read from the help itself."""
    for command in EVERY:
        yield from examples_in(help_of(command, 80))


@pytest.mark.parametrize("command", EVERY, ids=lambda one: one.name)
def test_help_reads_well_at_80_and_60_columns(command: click.Command) -> None:
    """No line runs over, no example is broken, each option is explained, and no word of a programmer stands in it."""
    written = list(EXAMPLES) if command is main else [*getattr(command, "examples", ())]
    assert written, "give it an example: @command(...) of diagnose/cli/help.py"
    for columns in (80, 60):
        text = help_of(command, columns)
        assert max(len(line) for line in text.splitlines()) <= columns
        assert examples_in(text) == written, "examples stand as they are written"
        assert not NO_WORDS_FOR_A_CELLAR.search(text), NO_WORDS_FOR_A_CELLAR.search(text)
    options = [one for one in command.params if isinstance(one, click.Option)]
    assert all(one.help for one in options)


def test_the_main_help_tells_the_exit_statuses_and_where_things_are() -> None:
    """A line each."""
    text = " ".join(help_of(main, 80).split())
    assert "ends with 0 done, 1 something is wrong, 2 mistyped, 3" in text and "130" in text
    assert "`diagnose settings` shows where your cases and settings are kept" in text


def kept(folder: Path, name: str, more: str = "") -> None:
    """A case of an invented white that failed its heat test."""
    lines = [
        f'- {{"at": "2026-01-02T18:00:00+00:00", "did": "answered", "about": "{about}", "value": {value}}}\n'
        for about, value in ANSWERS.items()
    ]
    folder.mkdir(parents=True, exist_ok=True)
    head = f'case: "{name}"\ntitle: "Invented"\ntopic: "haze"\ncase_format: 2\nunits: "metric"\nevents:\n'
    (folder / f"{name}.yaml").write_text(head + "".join(lines) + more, encoding="utf-8")


@pytest.fixture(scope="module")
def cellar(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A folder with all that the examples name."""
    place = tmp_path_factory.mktemp("cellar")
    worked = shipped_folder("cases") / "haze" / "demonstration.yaml"
    kept(place / "cases", "haze_2026_03_14")
    kept(place / "cases" / "archived", "stuck_2025_10_20")
    kept(
        place / "cases",
        "so2_2026_01_09",
        '- {"at": "2026-01-09T18:00:00+00:00", "did": "closed", "value": "solved"}\n',
    )
    (place / "my_cases").mkdir()
    shutil.copy(worked, place / "my_cases")
    shutil.copy(worked, place / "my_white.yaml")
    done = CliRunner(env={"DIAGNOSE_CASES": str(place / "cases")}).invoke(
        main, ["done", "haze", "bentonite", "--on", "2026-01-04"]
    )
    assert done.exit_code == 0, done.output
    return place


@pytest.fixture(autouse=True)
def rules_read_once(monkeypatch: pytest.MonkeyPatch) -> None:
    """The rules do not change between two examples, so one process reads them once."""
    monkeypatch.setattr(setup, "read_rule_base_kept", READ_ONCE)


@pytest.mark.parametrize("example", dict.fromkeys(examples()))
def test_every_example_works(
    example: str, cellar: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Typed in a folder where those cases are, each example does its work, and nothing is wrong with it."""
    here = tmp_path / "here"
    shutil.copytree(cellar, here)
    for rules in ("my_rules", "rules_of_last_year"):
        if rules in example:
            shutil.copytree(shipped_folder("rules"), here / rules)
    monkeypatch.chdir(here)
    places = {"DIAGNOSE_CASES": "cases", "DIAGNOSE_SETTINGS": "settings.yaml"}
    program, *words = shlex.split(example)
    assert program == "diagnose"
    done = CliRunner(env=places).invoke(main, words, input="stop\n", prog_name="diagnose")
    assert done.exit_code in (0, 3), done.output
    assert done.output.strip() and "Traceback" not in done.output
