"""What is said at the prompt when something small is amiss: each in one sentence with the way on, and nothing lost.

The rules are the small invented ones of the loader's tests, so that only what is said is looked at.
"""

from __future__ import annotations

import json
import os
from collections.abc import Mapping, Sequence
from importlib.metadata import PackageNotFoundError
from pathlib import Path

import pytest
from click.testing import CliRunner, Result
from diagnose.bounds import LONGEST_NOTE
from diagnose.cli.main import main
from diagnose.commands import cases as cases_command
from diagnose.commands import check_setup, log, rules_at
from diagnose.knowledge.problems import Place, Problem, RuleFilesWrong

SOUND = Path(__file__).resolve().parents[1] / "knowledge" / "sound"
CLOUDY = ("answered heated_ntu 30", "answered added_lately gelatin", "answered gas_seen no")


class Cellar:
    """Cases under the small rules, and the command in this process."""

    def __init__(self, home: Path) -> None:
        self.home = home
        (home / "cases").mkdir()
        (home / "settings.yaml").write_text("units: metric\n", encoding="utf-8")

    def case(self, name: str, *events: str, head: str = "") -> Path:
        """A case with these events: what happened, to what, and a value."""
        lines = []
        for event in events:
            did, about, *value = event.split()
            more = f", value: {value[0]}" if value else ""
            lines.append(f'- {{at: "2026-10-01T10:00:00", did: {did}, about: {about}{more}}}\n')
        path = self.home / "cases" / f"{name}.yaml"
        text = f"case: {name}\ntitle: Invented\ntopic: haze\ncase_format: 2\n{head}events:\n{''.join(lines)}"
        path.write_text(text, encoding="utf-8")
        return path

    def run(self, *words: str, lines: Sequence[str] = (), rules: Path = SOUND) -> Result:
        """What comes of these words, and of these lines in a pipe."""
        places = {name: str(self.home / name.lower()) for name in ("CASES", "CACHE")}
        environment = {f"DIAGNOSE_{name}": place for name, place in places.items()}
        environment["DIAGNOSE_SETTINGS"] = str(self.home / "settings.yaml")
        typed = "".join(f"{line}\n" for line in lines)
        before = ["--rules", str(rules)] if rules else []
        return CliRunner(env=environment).invoke(main, [*before, *words], typed, catch_exceptions=False)


def said(done: Result) -> str:
    """What was told, on one line."""
    return " ".join(done.output.split())


@pytest.fixture
def cellar(home: Path) -> Cellar:
    """A cellar with no case yet."""
    return Cellar(home)


# ---------------------------------------------------------------- what was done, and how it came out


def test_which_fix_was_done_is_asked_until_it_is_one_of_the_plan(cellar: Cellar) -> None:
    """A number that is not there takes none; what was really added is kept with the one that was meant."""
    file = cellar.case("keg", *CLOUDY)
    done = cellar.run("done", "keg", "clay=25 g", lines=["9", "gelatin", "bentonite"])
    assert done.exit_code == 0, done.output
    assert "'9' is none of these; type a number from 1 to 1." in said(done)
    assert "'gelatin' is none of these; type a number from 1 to 1." in said(done)
    kept = file.read_text(encoding="utf-8").splitlines()[-1]
    assert '"done"' in kept
    assert '"clay"' in kept


@pytest.mark.parametrize("command", ["done", "checked"])
def test_leaving_at_the_question_keeps_nothing(cellar: Cellar, command: str) -> None:
    """`stop` at the question which fix is meant leaves the case as it was, and the exit status says so."""
    file = cellar.case("keg", *CLOUDY, "done bentonite")
    if command == "done":
        file = cellar.case("keg", *CLOUDY)
    before = file.read_bytes()
    done = cellar.run(command, "keg", lines=["?", "why", "stop"])
    assert done.exit_code == 3, done.output
    assert f"Which of these was {command}?" in said(done)
    assert file.read_bytes() == before


def test_how_a_check_came_out_is_asked_until_it_is_said(cellar: Cellar) -> None:
    """What good looks like is told first; a word that is none of the three is not guessed at."""
    file = cellar.case("keg", *CLOUDY, "done bentonite")
    done = cellar.run("checked", "keg", "bentonite", lines=["so so", "not good"])
    assert done.exit_code == 0, done.output
    assert "Good: It is clear." in said(done)
    assert "'so so' is none of these; type 1, 2 or 3." in said(done)
    assert '"not_good"' in file.read_text(encoding="utf-8").splitlines()[-1]


@pytest.mark.parametrize(
    ("command", "told"), [("done", "has no step to do"), ("checked", "has no fix that waits for its check")]
)
def test_where_nothing_can_be_meant_the_fix_must_be_named(cellar: Cellar, command: str, told: str) -> None:
    """A plan without steps, or with nothing to look at, offers nothing to choose from, and says how to go on."""
    cellar.case("keg")
    done = cellar.run(command, "keg")
    assert done.exit_code == 2
    assert f"The plan {told}. Name the fix: `diagnose judge` shows the plan." in said(done)


@pytest.mark.parametrize(
    ("words", "told"),
    [
        (("note", "keg", "  "), "There is nothing to note. Write the remark behind the name of the case."),
        (("note", "keg", *["a" * (LONGEST_NOTE // 2)] * 3), "letters; 2,000 are the most. Shorten it."),
        (("done", "keg", "bentonite", "--note", "a" * 9000), "it has 9,000 letters;"),
    ],
)
def test_a_remark_is_neither_nothing_nor_a_book(cellar: Cellar, words: tuple[str, ...], told: str) -> None:
    """The case stays as it was, and what the most is stands in the sentence."""
    file = cellar.case("keg", *CLOUDY)
    before = file.read_bytes()
    done = cellar.run(*words)
    assert done.exit_code == 2
    assert told.replace("2,000", f"{LONGEST_NOTE:,}") in said(done)
    assert file.read_bytes() == before


# ---------------------------------------------------------------- which case is meant


def test_a_name_that_several_cases_have_is_not_guessed_at(cellar: Cellar) -> None:
    """All that it may be are named."""
    cellar.case("garden_white")
    cellar.case("garden_red")
    done = cellar.run("note", "garden", "Moved.")
    assert done.exit_code == 1
    assert "'garden' may be any of: garden_" in said(done)
    assert "garden_red" in said(done)
    assert "garden_white" in said(done)


def test_a_case_that_was_put_away_is_named_with_the_way_back(cellar: Cellar) -> None:
    """It is not among the others, and nothing is written into it there."""
    cellar.case("keg")
    cellar.case("other")
    assert cellar.run("archive", "keg").exit_code == 0
    done = cellar.run("note", "keg", "Moved.")
    assert done.exit_code == 1
    assert "'keg' is archived. To bring it back: diagnose unarchive keg" in said(done)


def test_a_half_written_line_is_told_of_where_only_a_line_is_added(cellar: Cellar) -> None:
    """The machine stopped while the last line was written: whoever adds the next one must know what is gone."""
    file = cellar.case("keg", *CLOUDY)
    whole = file.read_bytes()
    file.write_bytes(whole + b'- {"at": "2026-10-02T10:00:00", "did": "ans')
    done = cellar.run("note", "keg", "Moved to the cellar.")
    assert done.exit_code == 0
    assert "The last entry was only half written when the program stopped, so it is left out" in said(done)
    text = file.read_bytes()
    assert text.startswith(whole)
    assert b"Moved to the cellar." in text


@pytest.mark.parametrize(
    ("events", "told"),
    [
        (("answered no_more_asked 3",), "One thing in this case came from other rules"),
        (("answered no_more_asked 3", "done no_more_done"), "2 things in this case came from other rules"),
    ],
)
def test_what_other_rules_asked_is_told_where_a_case_is_looked_at(
    cellar: Cellar, events: tuple[str, ...], told: str
) -> None:
    """It stays in the file, does not count, and how many such things there are is said."""
    cellar.case("keg", *CLOUDY, *events, head="rule_base: another 0.1\n")
    done = cellar.run("log", "keg")
    assert done.exit_code == 0
    assert f"{told} and do not count here; `diagnose continue` names them." in said(done)
    assert "Nothing was read yet. Add a reading: diagnose log keg gravity=1.050 temp=20C" in said(done)


# ---------------------------------------------------------------- the log


def test_a_table_that_is_none_keeps_nothing(cellar: Cellar) -> None:
    """The sentence says what is wrong with the table."""
    file, table = cellar.case("keg"), cellar.home / "log.csv"
    table.write_text("\n", encoding="utf-8")
    before = file.read_bytes()
    done = cellar.run("log", "keg", "--import", str(table))
    assert done.exit_code == 1
    assert "The table is empty. Its first line names the columns" in said(done)
    assert file.read_bytes() == before


def test_a_curve_needs_two_readings(cellar: Cellar) -> None:
    """With one there is nothing to draw: no file is made."""
    cellar.case("keg", "read heated_ntu 3")
    drawn = cellar.home / "keg.svg"
    done = cellar.run("log", "keg", "--save", str(drawn))
    assert done.exit_code == 1
    assert "There is nothing to draw yet: a curve needs two readings of one thing." in said(done)
    assert not drawn.exists()


def test_of_too_many_pasted_lines_none_is_kept(cellar: Cellar, monkeypatch: pytest.MonkeyPatch) -> None:
    """A whole book pasted by mistake is not read to its end; and nobody believes that all of it was kept."""
    monkeypatch.setattr(log, "MOST_LINES", 2)
    file = cellar.case("keg")
    before = file.read_bytes()
    done = cellar.run("log", "keg", "--paste", lines=[f"{day} Oct 3 NTU" for day in range(1, 9)])
    assert done.exit_code == 1
    assert "4 Oct" not in done.output
    assert "More than 2 lines were pasted. Paste fewer at a time." in said(done)
    assert "One thing is wrong, so nothing was kept." in said(done)
    assert file.read_bytes() == before


# ---------------------------------------------------------------- why, and what would change it


def test_what_would_change_the_advice_is_told_in_all_three_lengths(cellar: Cellar) -> None:
    """A sentence for each search, the same in full under a title, and as JSON for another program."""
    cellar.case("keg", *CLOUDY)
    short = cellar.run("what-if", "keg", "--length", "sentence")
    full = cellar.run("what-if", "keg")
    told = json.loads(cellar.run("what-if", "keg", "--json").output)
    assert short.exit_code == full.exit_code == 0, short.output + full.output
    assert "What would change the advice" in said(full)
    assert "What would change the advice" not in said(short)
    assert len(told["explanations"]) == 4
    assert all(one["sentence"].split(".")[0] in said(short) for one in told["explanations"])


# ---------------------------------------------------------------- a mentor at the prompt


SLIME = ("haze", "Slime", "It pours.", "yes", "rare", "Invented.", "invented")
ROW = ("bubbles rise", "yes", "confirms", "Gas.", "invented", "no", "skip", "skip", "skip", "")
MINE = """- rule_base: mine
  version: 0.1.0
  about: Invented.
- source: my_notes
  title: My notes
  seen: judgement
"""
CASE = ("A slime", "invented", "It pours.", "yes", "", "", "So.")


@pytest.mark.parametrize(("last", "status"), [("no", 3), ("yes", 0)])
def test_a_folder_of_ones_own_counts_once_it_holds_pages(cellar: Cellar, last: str, status: int) -> None:
    """A cause added to it may lean on what is there: it is read on top of the rest, and only it is written into."""
    mine = cellar.home / "mine"
    mine.mkdir()
    (mine / "about.yaml").write_text(MINE, encoding="utf-8")
    worked = cellar.home / "worked"
    worked.mkdir()
    before = {path: path.read_bytes() for path in SOUND.rglob("*")}
    lines = ["1", *SLIME[:-1], "my notes", *ROW, *CASE, last]
    done = cellar.run("add", "--in", str(mine), "--worked", str(worked), lines=lines)
    assert done.exit_code == status, done.output[-1500:]
    assert (mine / "slime.yaml").exists() is (last == "yes")
    assert ("Nothing was written." in done.output) is (last == "no")
    assert {path: path.read_bytes() for path in SOUND.rglob("*")} == before


def test_pages_added_to_a_folder_within_the_rules_count_once(cellar: Cellar) -> None:
    """A folder that lies in the rules is part of them, and is not put on top of itself."""
    done = cellar.run("add", "cause", "--in", str(SOUND), "--worked", str(cellar.home), lines=["stop"])
    assert done.exit_code == 3
    assert "Which subject does the cause belong to?" in said(done)
    assert "Stopped. Nothing was written." in said(done)


def test_a_review_asks_who_it_is_and_counts_what_was_accepted(cellar: Cellar) -> None:
    """Without initials nothing is shown; at the end it says that it was all."""
    left = cellar.run("review", "--worked", str(cellar.home / "cases"), lines=["4", "stop"])
    assert left.exit_code == 3
    assert "'4' are not initials" in said(left)
    assert "1 of " not in said(left)
    walked = cellar.run("review", "--worked", str(cellar.home / "cases"), lines=["AB", *["skip"] * 9])
    assert walked.exit_code == 0
    assert said(walked).endswith("That was all. 0 accepted.")
    odd = cellar.run("review", "--topic", "hase")
    assert odd.exit_code == 2
    assert "'hase' is not a subject. Did you mean 'haze'?" in said(odd)


# ---------------------------------------------------------------- comparing rules


def test_a_case_that_the_older_rules_cannot_read_is_named(cellar: Cellar) -> None:
    """It is left out of the comparison, and the reader is told which one it is."""
    worked = cellar.home / "worked"
    worked.mkdir()
    head = "title: Invented\ntopic: haze\n"
    (worked / "cloudy.yaml").write_text(f"case: cloudy\n{head}facts: {{heated_ntu: 30}}\n", encoding="utf-8")
    (worked / "newer.yaml").write_text(f"case: newer\n{head}facts: {{asked_later: 3}}\n", encoding="utf-8")
    done = cellar.run("impact", str(SOUND), "--on", str(worked), "--jobs", "1")
    assert done.exit_code == 0, done.output
    assert "newer" in said(done)
    assert "cloudy" not in said(done)


@pytest.mark.parametrize("named", ["--", "-x", "no_such_branch"])
def test_rules_that_are_nowhere_are_said_to_be_nowhere(
    cellar: Cellar, named: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Neither a folder nor a commit, and no word of it is taken for an option of another program."""
    words = ["impact", "--", named] if named != "--" else ["impact", "--", "--exec=x"]
    done = cellar.run(*words)
    assert done.exit_code == 1
    assert f"'{words[-1]}' is no folder, and no commit or branch that holds {SOUND}." in said(done)


def test_where_git_is_not_there_only_folders_are_compared(
    cellar: Cellar, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A machine without git is told what it can name instead."""

    def lacking(*words: object, **how: object) -> None:
        raise FileNotFoundError(2, "No such file or directory", "git")

    monkeypatch.setattr(rules_at.subprocess, "run", lacking)
    done = cellar.run("impact", "main")
    assert done.exit_code == 1
    assert "Name a folder of rules, or a commit of theirs: `diagnose impact main`." in said(done)


# ---------------------------------------------------------------- closing


def test_leaving_while_a_case_is_closed_leaves_it_open(
    cellar: Cellar, monkeypatch: pytest.MonkeyPatch
) -> None:
    """At a terminal what is not given is asked; `stop` there closes nothing."""
    file = cellar.case("keg", *CLOUDY)
    before = file.read_bytes()

    class AtATerminal(cases_command.Typed):
        terminal = True

        def __init__(self, *how: object) -> None:
            """Somebody who types `stop`."""

        def read(self, prompt: str) -> str | None:
            return "stop"

    monkeypatch.setattr(cases_command, "Typed", AtATerminal)
    done = cellar.run("close", "keg")
    assert done.exit_code == 3
    assert said(done).endswith("Left open.")
    assert file.read_bytes() == before


# ---------------------------------------------------------------- the sums


ACIDS = ("calculate", "acids_for_ta", "volume_l=20")


@pytest.mark.parametrize(
    ("words", "told"),
    [
        (("settings", "--law", "atlantis"), "No limits are known of 'atlantis'. Known: "),
        (
            (*ACIDS, "ta_rise_g_per_l=1 to 3"),
            "'acids_for_ta' is a worksheet. Give ta_rise_g_per_l one value.",
        ),
        (
            (*ACIDS, "ta_rise_g_per_l=1", "--limit", "3"),
            "A limit is compared with one number; a worksheet has several.",
        ),
    ],
)
def test_what_does_not_fit_is_refused_with_what_does(
    cellar: Cellar, words: tuple[str, ...], told: str
) -> None:
    """The sentence names what can be said instead."""
    done = cellar.run(*words)
    assert done.exit_code == 2
    assert told in said(done)


def test_a_worksheet_is_shown_line_by_line(cellar: Cellar) -> None:
    """The same rise of acidity by one acid after the other, here 1 g/L as tartaric acid in 100 L.

    Worked by hand from the molar masses 150.09 (two acid groups), 134.09 (two) and 192.12 (three): 100 g of tartaric
    acid are 100 / 75.04 = 1.3326 equivalents, so 1.3326 * 67.04 = 89.34 g of malic and * 64.04 = 85.34 g of citric.
    """
    done = cellar.run("calculate", "acids_for_ta", "ta_rise_g_per_l=1", "volume_l=100")
    assert done.exit_code == 0
    assert "tartaric 100 1 malic 89.34 0.8934 citric 85.339 0.85339" in said(done)


# ---------------------------------------------------------------- a look at the installation


def findings(cellar: Cellar) -> Mapping[str, Mapping[str, str]]:
    """What `diagnose check-setup` finds wrong, by its name."""
    told = json.loads(cellar.run("check-setup", "--json").output)
    return {one["name"]: one for one in told["findings"] if one["state"] == "wrong"}


def test_a_list_of_figures_that_cannot_be_read_is_one_finding_among_others(
    cellar: Cellar, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The rest is looked at all the same; the first mistake is told, and how many more there are."""
    place = Place(os.fspath(cellar.home / "figures.yaml"), 3, 1, 1)
    wrong = [Problem(place, f"there is no {what} here.", "", "") for what in ("number", "unit")]

    def unreadable() -> None:
        raise RuleFilesWrong(wrong)

    monkeypatch.setattr(check_setup, "printed_figures", unreadable)
    found = findings(cellar)
    assert set(found) == {"figures"}
    assert "The list of printed figures cannot be used." in found["figures"]["says"]
    assert "figures.yaml:3: there is no number here. (and 1 more)" in found["figures"]["says"]


def not_installed(name: str) -> str:
    """As in a copy that was never installed."""
    raise PackageNotFoundError(name)


@pytest.mark.parametrize(("installed", "wrong"), [(not_installed, False), (lambda name: "0.0.1", True)])
def test_another_version_than_the_one_that_runs_is_wrong_and_none_is_not(
    cellar: Cellar, monkeypatch: pytest.MonkeyPatch, installed: object, wrong: bool
) -> None:
    """A copy that is run without being installed is sound; two versions at once are not."""
    monkeypatch.setattr(check_setup, "version", installed)
    monkeypatch.setattr(check_setup, "printed_figures", lambda: ())
    found = findings(cellar)
    assert ("diagnose" in found) is wrong
    if wrong:
        assert "but what is installed says 0.0.1." in found["diagnose"]["says"]
