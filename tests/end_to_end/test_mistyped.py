"""A mistyped command, a mistyped case, and a folder with no cases yet: a sentence with the next step."""

from __future__ import annotations

from pathlib import Path

import click
import pytest
from click.testing import CliRunner
from diagnose.cli.main import main

NEEDS_A_CASE = [
    ["continue"],
    ["continue", "x"],
    ["plan", "x"],
    ["report", "x"],
    ["sheet", "x", "steps", "bentonite"],
    ["judge", "x"],
    ["why", "x"],
    ["why-not", "x", "pectin_haze"],
    ["what-if", "x"],
    ["done"],
    ["checked"],
    ["note", "x", "moved"],
    ["log", "x"],
    ["close", "x", "solved"],
    ["reopen", "x"],
    ["wine", "x", "Garden white"],
    ["rename", "x", "Keg"],
    ["copy", "x"],
    ["archive", "x"],
]


def kept(home: Path, *names: str) -> None:
    """Cases with nothing answered but the colour."""
    (home / "cases").mkdir()
    for name in names:
        text = f"case: {name}\ntitle: Invented\ntopic: haze\nfacts:\n  wine_colour: white\nevents:\n"
        (home / "cases" / f"{name}.yaml").write_text(text)


@pytest.mark.parametrize("words", NEEDS_A_CASE, ids=lambda words: " ".join(words))
def test_where_no_case_is_kept_the_way_to_one_is_told(home: Path, words: list[str]) -> None:
    """Every command that needs a case says that there is none yet, where it looked, and what begins one."""
    places = {"DIAGNOSE_CASES": str(home / "cases"), "DIAGNOSE_SETTINGS": str(home / "settings.yaml")}
    done = CliRunner(env=places).invoke(main, words, prog_name="diagnose")
    assert done.exit_code == 1
    assert done.output == f"There are no cases in {home / 'cases'} yet; `diagnose` begins one.\n"


def test_every_command_that_takes_a_case_is_among_them() -> None:
    """A command added later is held to the same."""
    takes = {
        name
        for name, command in main.commands.items()
        if any(isinstance(one, click.Argument) and one.name == "case" for one in command.params)
    }
    assert takes - {"unarchive"} <= {words[0] for words in NEEDS_A_CASE}


def test_lists_of_nothing_are_no_mistake(run) -> None:
    """The list of cases and what is due are empty, and say so."""
    assert "`diagnose` begins one" in " ".join(run("cases").stdout.split())
    assert run("due").returncode == run("cases").returncode == 0
    back = run("unarchive", "x")
    assert back.returncode == 1 and "Nothing is archived" in back.stderr


@pytest.mark.parametrize(
    ("typed", "meant"),
    [("contine", "continue"), ("calcualte", "calculate"), ("Plan", "plan"), ("whynot", "why-not")],
)
def test_a_mistyped_command_is_met_with_the_nearest(run, typed: str, meant: str) -> None:
    """The nearest command is named, and where all of them stand."""
    done = run(typed, "x")
    assert done.returncode == 2
    assert f"'{typed}' is not a command. Did you mean '{meant}'?" in done.stderr
    assert "`diagnose --help` lists all commands" in done.stderr


def test_words_that_are_no_command_lead_on(run, home: Path) -> None:
    """The name of a case leads to that case; a complaint leads to the question that hears it."""
    kept(home, "haze_2026_03_14")
    assert "It is a case: diagnose continue haze_2026_03_14" in run("haze_2026_03_14").stderr
    assert "type `diagnose` alone; it asks" in run("my", "wine", "is", "cloudy").stderr
    assert "is not a command" in run("../../etc/passwd").stderr


def test_a_mistyped_case_is_met_with_the_nearest(run, home: Path) -> None:
    """One letter off: the case that is meant is named; far off: those that are kept."""
    kept(home, "haze_2026_03_14", "so2_2026_01_09")
    near = run("plan", "hase_2026_03_14")
    assert near.returncode == 1 and "Did you mean haze_2026_03_14?" in near.stderr
    far = run("plan", "no_such")
    assert "There is no case 'no_such'" in far.stderr and "Did you mean" not in far.stderr
    assert "haze_2026_03_14" in far.stderr and "so2_2026_01_09" in far.stderr


def test_a_kept_case_is_judged_by_its_name(run, home: Path) -> None:
    """`judge` takes a name, as every other command does."""
    kept(home, "haze_2026_03_14")
    done = run("judge", "haze")
    assert done.returncode == 3 and "Invented" in done.stdout


def test_a_command_without_its_case_says_where_the_names_are(run) -> None:
    """Nobody remembers how a case was called."""
    done = run("plan")
    assert done.returncode == 2 and "`diagnose cases` lists them" in done.stderr
    assert "`diagnose cases`" not in run("judge", "a", "b").stderr


def test_where_no_case_is_lacking_nothing_is_said_of_cases() -> None:
    """Who leaves out another word is told of that word, not sent to the list of cases."""
    done = CliRunner().invoke(main, ["impact"])
    assert done.exit_code == 2 and "Missing argument 'BEFORE'" in done.output
    assert "diagnose cases" not in done.output


def test_an_amount_in_the_place_of_the_fix_is_an_amount(monkeypatch: pytest.MonkeyPatch) -> None:
    """`diagnose done plum "clay=25 g"` leaves the fix to be asked, and loses no gram."""
    heard: list[tuple[object, ...]] = []

    def keep(*given: object) -> int:
        heard.append(given)
        return 0

    monkeypatch.setattr("diagnose.commands.done.record_done", keep)
    for words, fix, amounts in (
        (["plum", "clay=25 g", "water=0.5 L"], None, ("clay=25 g", "water=0.5 L")),
        (["plum", "bentonite", "clay=25 g"], "bentonite", ("clay=25 g",)),
    ):
        assert CliRunner().invoke(main, ["done", *words]).exit_code == 0
        assert heard[-1][2:5] == ("plum", fix, amounts)


@pytest.mark.parametrize(
    ("broken", "said"),
    [
        (
            UnicodeDecodeError("utf-8", b"\xe9", 0, 1, "no"),
            "is not UTF-8 text. Everything answered before is kept.",
        ),
        (
            PermissionError(13, "Permission denied", "/cellar/plum.yaml"),
            "/cellar/plum.yaml: permission denied.",
        ),
        (OSError("the disk is gone"), "The machine: the disk is gone."),
    ],
)
def test_what_breaks_underneath_is_one_sentence(
    monkeypatch: pytest.MonkeyPatch, broken: Exception, said: str
) -> None:
    """Bytes that are no text and a file that may not be opened end in one sentence and status 1, never a traceback."""

    def breaks(*_: object) -> int:
        raise broken

    monkeypatch.setattr("diagnose.commands.done.record_done", breaks)
    done = CliRunner().invoke(main, ["done", "plum"])
    assert done.exit_code == 1 and said in done.output and "Traceback" not in done.output
