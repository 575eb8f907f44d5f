"""Odd words to the commands that keep what was done, and to those that name a case: each is met with a way on."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from click.testing import CliRunner, Result
from diagnose.bounds import LONGEST_NOTE
from diagnose.cli.main import main

ROOT = Path(__file__).resolve().parents[2]
HEAD = (
    "case: {name}\ntitle: Invented\ntopic: haze\ncase_format: 2\n{more}"
    "facts:\n  wine_colour: white\n{facts}events:\n"
)
CLAY = '- {"at": "2026-03-02", "did": "done", "about": "bentonite", "data": {"amounts": {"clay": 20}}}\n'
HAZY = """  looks: even_veil
  haze_began: after_clear
  came_after: warming
  heat_test_eye: much_hazier
  vessel_volume: 50
"""
"""What an invented white that went hazy in the warm is known by; its plan has steps."""
ENDED = 3
"""The exit status where a conversation was left before its end."""


def keep(home: Path, name: str, events: str = "", more: str = "", facts: str = "") -> Path:
    """A case of an invented white wine, kept."""
    file = home / "cases" / f"{name}.yaml"
    file.parent.mkdir(exist_ok=True)
    file.write_text(HEAD.format(name=name, more=more, facts=facts) + events, encoding="utf-8")
    return file


def say(home: Path, *words: str, lines: str = "") -> Result:
    """The command in this process, with these lines."""
    places = {"DIAGNOSE_CASES": str(home / "cases"), "DIAGNOSE_SETTINGS": str(home / "settings.yaml")}
    return CliRunner(env=places).invoke(main, words, input=lines, prog_name="diagnose")


def flat(result: Result) -> str:
    """What was said, as one line."""
    return " ".join(result.output.split())


@pytest.mark.parametrize(
    ("words", "lines", "says"),
    [
        (("done", "shed"), "stop\n", "Which of these was done?"),
        (("done", "shed"), "", "Which of these was done?"),
        (("checked", "shed"), "stop\n", "Which of these was checked?"),
        (("checked", "shed", "bentonite"), "stop\n", "How did it come out?"),
        (("checked", "shed"), "nonsense\nstop\n", "'nonsense' is none of these; type a number from 1 to 1."),
        (("checked", "shed", "bentonite"), "maybe\nstop\n", "'maybe' is none of these; type 1, 2 or 3."),
    ],
)
def test_who_leaves_before_the_last_question_has_kept_nothing(
    home: Path, words: tuple[str, ...], lines: str, says: str
) -> None:
    """An answer that is none is asked again; with `stop`, or no more lines, the case stays as it was."""
    file = keep(home, "shed", "" if words[0] == "done" else CLAY, facts=HAZY)
    before = file.read_bytes()
    done = say(home, *words, lines=lines)
    assert done.exit_code == ENDED and says in flat(done), done.output
    assert file.read_bytes() == before


@pytest.mark.parametrize(
    ("words", "lines", "value"),
    [
        (("checked", "shed"), "bentonite\nno\n", "not_good"),
        (("checked", "shed"), "1\nNot good\n", "not_good"),
        (("checked", "shed", "bentonite"), "3\n", "unsure"),
    ],
)
def test_a_check_may_be_told_by_name_or_number(
    home: Path, words: tuple[str, ...], lines: str, value: str
) -> None:
    """The fix by its name or number, the outcome by number or word: the case holds what was meant."""
    file = keep(home, "shed", CLAY)
    done = say(home, *words, lines=lines)
    assert done.exit_code == 0, done.output
    lines_kept = file.read_text(encoding="utf-8").splitlines()
    (event,) = [json.loads(line.removeprefix("- ")) for line in lines_kept if '"checked"' in line]
    assert (event["about"], event["value"]) == ("bentonite", value)


@pytest.mark.parametrize(
    ("words", "says"),
    [
        (("done", "shed"), "The plan has no step to do."),
        (("checked", "shed"), "The plan has no fix that waits for its check."),
        (("done", "shed", "bentonite", "--step", "99"), "There is no step 99;"),
        (("note", "shed", "  ", "\x1b"), "There is nothing to note."),
        (("note", "shed", "x" * (LONGEST_NOTE + 1)), f"{LONGEST_NOTE:,} are the most. Shorten it."),
        (("checked", "shed", "bentonite", "good", "--note", "x" * (LONGEST_NOTE + 1)), "Shorten it."),
        (("checked", "shed", "bentonite", "good"), "was not recorded as done in shed. Record that first:"),
        (("done", "shed", "bentonite", "--on", "2999-01-01"), "2999-01-01 is still to come."),
        (("plan", "she\x1bd\x07 of"), "There is no case"),
    ],
)
def test_what_cannot_be_kept_is_said_with_the_way_on(home: Path, words: tuple[str, ...], says: str) -> None:
    """Nothing is written into the case, and the sentence tells what would do."""
    file = keep(home, "shed")
    before = file.read_bytes()
    done = say(home, *words)
    assert done.exit_code in (1, 2) and says in flat(done), done.output
    assert file.read_bytes() == before


def test_a_name_that_fits_two_cases_is_asked_for_again(home: Path) -> None:
    """Which of the two is meant is not guessed; both are named."""
    keep(home, "haze_2026_03_14"), keep(home, "haze_2026_03_15")
    done = say(home, "plan", "haze")
    assert done.exit_code == 1
    assert "'haze' may be any of: haze_2026_03_14, haze_2026_03_15. Type more of the name." in flat(done)


def test_a_case_put_away_is_told_with_the_way_back(home: Path) -> None:
    """Nobody looks in vain for a case that was archived."""
    keep(home, "shed"), keep(home, "barn")
    assert say(home, "archive", "barn").exit_code == 0
    done = say(home, "plan", "barn")
    assert done.exit_code == 1 and "'barn' is archived. To bring it back: diagnose unarchive barn" in flat(
        done
    )


def test_a_line_cut_off_is_told_where_only_a_remark_is_added(home: Path) -> None:
    """The half entry is left out, the person is told to give it again, and the remark stands after what is whole."""
    file = keep(home, "shed", CLAY + '- {"at": "2026-03-09", "did": "chec')
    done = say(home, "note", "shed", "moved", "to", "the", "barn")
    assert done.exit_code == 0 and "was only half written" in flat(done), done.output
    last = file.read_text(encoding="utf-8").splitlines()[-2:]
    assert last[0] == CLAY.strip() and '"moved to the barn"' in last[1]


@pytest.mark.parametrize(
    ("asked", "counted"), [(["gone"], "One thing"), (["gone", "gone_too"], "2 things")], ids=["one", "two"]
)
def test_what_came_from_other_rules_is_counted_where_a_case_is_looked_at(
    home: Path, asked: list[str], counted: str
) -> None:
    """Answers to questions that these rules do not ask are no mistake, and the person reads that they do not count."""
    events = "".join(f'- {{"at": "2026-03-02", "did": "skipped", "about": "{name}"}}\n' for name in asked)
    file = keep(home, "shed", events, more="rule_base: elsewhere 0.1.0\n")
    done = say(home, "judge", "shed")
    assert f"{counted} in this case came from other rules and do not count here" in flat(done), done.output
    assert all(name in file.read_text(encoding="utf-8") for name in asked)
