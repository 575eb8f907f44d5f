"""Several wines, each with its cases, over the real command. Every wine here is invented."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from terminal import Terminal

PROTEIN = ["white", "grapes", "vessel", "1", "heat_test_eye: much_hazier", "enough", "stop"]
"""A white whose heat test says protein; what is typed, in order."""


def begin(run, wine: str | None = None, lines: list[str] = PROTEIN) -> str:
    """Begin a case and return its name."""
    done = run(*(["--wine", wine] if wine else []), lines=lines)
    assert done.returncode in (0, 3), done.stderr
    return next(line for line in done.stdout.splitlines() if line.startswith("Case ")).split()[1].rstrip(",")


def by_hand(home: Path) -> Path:
    """A case as a person writes it, with nothing answered but the heat test."""
    path = home / "cases" / "mine.yaml"
    if not path.exists():
        path.parent.mkdir()
        path.write_text(
            "case: mine\ntitle: Mine\ntopic: haze\nwine: Garden white 2026\nfacts:\n  wine_colour: white\n"
            "  made_from: grapes\n  heat_test_eye: much_hazier\nevents:\n"
        )
    return path


def listed(run, *arguments: str) -> list[dict]:
    """The cases that a list shows, as JSON."""
    done = run("cases", *arguments, "--json")
    assert done.returncode == 0, done.stderr
    return json.loads(done.stdout)


def test_a_wine_has_its_cases(run) -> None:
    """A case begun for a wine is listed under it; another can be given its wine later."""
    one, two = begin(run, "Garden white 2026"), begin(run)
    assert [card["name"] for card in listed(run, "--wine", "garden")] == [one]
    assert run("wine", two, "Garden white 2026").returncode == 0
    assert [card["name"] for card in listed(run, "--wine", "garden")] == [one, two]
    assert listed(run)[0]["causes"] == {"haze": "protein_haze"}


def test_what_stays_with_a_wine_is_offered_and_confirmed(run, home: Path) -> None:
    """A second case of the wine shows colour and fruit; what is kept is marked, what is dropped is asked."""
    first = begin(run, "Garden white 2026")
    second = begin(run, "GARDEN white 2026", ["2", "apples", "stop"])
    text = (home / "cases" / f"{second}.yaml").read_text()
    assert 'wine: "Garden white 2026"' in text, "one wine keeps one spelling"
    copied = [line for line in text.splitlines() if "copied_from" in line]
    assert len(copied) == 1 and '"wine_colour"' in copied[0] and first in copied[0]
    third = run("--wine", "Garden white 2026", lines=["none", "stop"])
    assert "Known of Garden white 2026" in third.stdout
    assert "copied_from" not in sorted((home / "cases").glob("*.yaml"))[-1].read_text()


def test_a_lesson_is_told_where_it_fits_and_changes_nothing(run) -> None:
    """A later case alike is told of it once, at the result; another subject is not; the judgement stays."""
    first = begin(run)
    before = run(lines=PROTEIN).stdout
    lesson = "Half the clay of the packet was enough."
    assert run("close", first, "solved", "--lesson", lesson).returncode == 0
    later = run(lines=[*PROTEIN[:-1], "result", "stop"]).stdout
    flat = " ".join(later.split())
    assert flat.count(lesson) == 1 and f"In {first} of" in flat and "weighs nothing" in flat
    assert causes(later) == causes(before)
    assert lesson not in run("--about", "so2", lines=["enough", "stop"]).stdout


def causes(screen: str) -> list[str]:
    """The lines of the first result that give a chance."""
    return [line for line in screen.split("Test before")[0].splitlines() if " % " in line]


def test_a_lesson_of_the_same_wine_is_told_at_the_beginning(run) -> None:
    """The same wine with the same trouble: told before the first question, and not again at the result."""
    first = begin(run, "Garden white 2026")
    run("close", first, "solved", "--lesson", "Chill it first.")
    screen = run("--wine", "Garden white 2026", lines=["yes", "enough", "stop"]).stdout
    assert screen.count("Chill it first.") == 1
    assert screen.index("Chill it first.") < screen.index("Where is the wine now?")


def test_closed_cases_are_closed_until_opened_again(run) -> None:
    """Closing takes a case out of `continue`; reopening brings it back. Neither is done twice."""
    one, two = begin(run), begin(run)
    assert run("close", two, "not-solved").returncode == 0
    assert [card["name"] for card in listed(run, "--open")] == [one]
    assert [card["name"] for card in listed(run, "--closed")] == [two]
    assert f"Case {one}" in run("continue", lines=["stop"]).stdout
    assert "closed already" in run("close", two, "solved").stderr
    assert run("reopen", two).returncode == 0 and run("reopen", two).returncode == 1
    assert f"Case {two}" in run("continue", lines=["stop"]).stdout


def test_without_a_terminal_the_ending_must_be_given(run) -> None:
    """Nothing is asked of a script; it is told what to say."""
    done = run("close", begin(run))
    assert done.returncode == 2 and "solved, not-solved, given-up" in done.stderr


@pytest.mark.parametrize("columns", [60, 80, 120])
def test_the_ending_is_asked_at_a_terminal(run, environment, home: Path, columns: int) -> None:
    """Four calm questions, each with an answer that Enter takes; no line is wider than the terminal."""
    by_hand(home)
    person = Terminal(environment, "close", "mine", columns=columns)
    try:
        seen = person.read_until()
        assert "How did it end" in seen and "Enter alone takes solved" in seen
        for typed in ("given up", "", "nothing", "Begin with the heat test."):
            person.type(typed)
            seen += person.read_until() if typed != "Begin with the heat test." else person.read_rest()
        assert person.wait() == 0
    finally:
        person.end()
    assert "Closed, given up" in seen and max(map(len, seen.splitlines())) <= columns
    (card,) = listed(run, "--closed")
    assert card["lesson"] == "Begin with the heat test." and card["causes"] == {"haze": "protein_haze"}


@pytest.mark.parametrize("columns", [60, 80, 120])
def test_the_list_fits_the_terminal(run, environment, home: Path, columns: int) -> None:
    """Title, wine and state of each case are there at any width."""
    by_hand(home)
    assert run("rename", "mine", "A long title " * 8).returncode == 0
    screen = Terminal(environment, "cases", columns=columns)
    try:
        seen = screen.read_rest()
    finally:
        screen.end()
    flat = " ".join(seen.split())
    assert "Garden white 2026" in flat and "open" in flat and "A long title A long" in flat
    # The folder of these tests is a long word of its own.
    lines = [line for line in seen.splitlines() if str(Path(environment["DIAGNOSE_CASES"]).name) not in line]
    assert max(map(len, lines)) <= columns


def test_words_find_a_case_without_accents(run) -> None:
    """All words must be there, capitals and accents make no difference."""
    name = begin(run)
    assert run("rename", name, "Rosé à l'été").returncode == 0
    assert [card["name"] for card in listed(run, "ETE", "rose", "white")] == [name]
    assert listed(run, "rose", "red") == []
    assert "No case in" in run("cases", "nothing_like_it").stdout


def test_a_copy_begins_with_the_answers_of_another(run, home: Path) -> None:
    """All of them, or only what stays with the wine; the first case is as it was."""
    name = begin(run, "Garden white 2026")
    first = home / "cases" / f"{name}.yaml"
    whole = first.read_bytes()
    assert "with 5 of 5 answers" in run("copy", name).stdout
    assert "with 2 of 5 answers" in run("copy", name, "--only-wine").stdout
    assert first.read_bytes() == whole and len(listed(run, "--wine", "garden")) == 3


def test_a_case_put_away_comes_back(run, home: Path) -> None:
    """It leaves the list, is told where it went, and comes back as it was."""
    name = begin(run)
    whole = (home / "cases" / f"{name}.yaml").read_bytes()
    assert run("archive", name).returncode == 0
    assert listed(run) == [] and [card["name"] for card in listed(run, "--archived")] == [name]
    assert f"diagnose unarchive {name}" in run("report", name).stderr
    assert begin(run) != name, "its name is not given to another"
    assert run("unarchive", name).returncode == 0
    assert (home / "cases" / f"{name}.yaml").read_bytes() == whole


def test_two_terminals_on_one_case(run, environment, home: Path) -> None:
    """The second is told who has it; it can neither answer, rename, close nor archive; nothing is lost."""
    name = begin(run)
    case = home / "cases" / f"{name}.yaml"
    holder = Terminal(environment, "continue", name)
    try:
        holder.read_until()
        whole = case.read_bytes()
        for command in (
            ["continue", name],
            ["rename", name, "Mine"],
            ["wine", name, "Mine"],
            ["close", name, "solved"],
            ["archive", name],
        ):
            done = run(*command)
            assert done.returncode == 1, command
            assert f"process {holder.process.pid}" in done.stderr and "since 20" in done.stderr
        assert case.read_bytes() == whole
        assert [card["name"] for card in listed(run)] == [name], "it can still be listed"
    finally:
        holder.end()
    assert run("rename", name, "Mine").returncode == 0


def test_a_case_deleted_while_it_is_talked_through(run, environment, home: Path) -> None:
    """The next answer ends the consultation with a sentence, and the file is back with all before it."""
    name = begin(run, lines=["white", "stop"])
    case = home / "cases" / f"{name}.yaml"
    person = Terminal(environment, "continue", name)
    try:
        person.read_until()
        whole = case.read_bytes()
        case.unlink()
        person.type("grapes")
        seen = " ".join(person.read_rest().split())
        assert person.wait() == 1
    finally:
        person.end()
    assert "deleted by another program" in seen and "Traceback" not in seen
    assert case.read_bytes() == whole


@pytest.mark.parametrize(
    ("command", "name"),
    [
        ("continue", "../outside"),
        ("archive", "/etc/passwd"),
        ("unarchive", ".."),
        ("copy", ""),
        ("reopen", "a\\b"),
        ("report", "sub/../outside"),
    ],
)
def test_a_name_with_a_path_in_it_is_refused(run, home: Path, command: str, name: str) -> None:
    """What looks in the folder of cases takes the name of a case alone."""
    by_hand(home)
    (home / "outside.yaml").write_text("case: outside\ntitle: Outside\n")
    done = run(command, name)
    assert done.returncode == 1 and "is not the name of a case" in done.stderr
    assert (home / "outside.yaml").read_text() == "case: outside\ntitle: Outside\n"


def test_a_link_out_of_the_folder_is_refused(run, home: Path) -> None:
    """A case that lies elsewhere is not written to under a name of this folder."""
    by_hand(home)
    (home / "outside.yaml").write_text("case: outside\ntitle: Outside\nevents:\n")
    (home / "cases" / "linked.yaml").symlink_to(home / "outside.yaml")
    assert "leads out of" in run("continue", "linked").stderr
    assert "leads out of" in " ".join(run("cases").stdout.split())


def test_a_case_of_format_1_goes_on(run, home: Path) -> None:
    """It is backed up, told once, and goes on; judging it changes nothing."""
    folder = home / "cases"
    folder.mkdir()
    old = 'case: "old"\ntitle: "Old"\ntopic: "haze"\ncase_format: 1\nevents:\n'
    (folder / "old.yaml").write_text(old)
    assert run("judge", str(folder / "old.yaml")).returncode == 3
    assert (folder / "old.yaml").read_text() == old
    assert "of format 1 and is now of format 2" in run("continue", lines=["white", "stop"]).stdout
    assert (folder / "old.yaml.format1").read_text() == old
    assert "of format" not in run("continue", lines=["stop"]).stdout


@pytest.mark.parametrize("title", ["", "   ", "x" * 200])
def test_a_title_that_is_none_is_refused(run, home: Path, title: str) -> None:
    """An empty title or a whole story is no title."""
    whole = by_hand(home).read_bytes()
    assert run("rename", "mine", title).returncode == 1
    assert by_hand(home).read_bytes() == whole
