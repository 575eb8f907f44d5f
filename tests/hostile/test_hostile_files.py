"""Names that are no files, links that lead elsewhere, words that want to be run: each once got further than it may."""

from __future__ import annotations

import json
import os
from pathlib import Path

import pytest
import seed_inputs
from click.testing import CliRunner, Result
from diagnose.casebook.shelf import cards
from diagnose.casebook.store import CannotKeep, load_case, open_case
from diagnose.cli.main import main
from diagnose.commands import setup
from diagnose.knowledge.problems import Place, Problem, RuleFilesWrong
from diagnose.knowledge.read import read_rule_base
from diagnose.knowledge.rule_base import RuleBase
from diagnose.knowledge.yaml_reader import read_file, read_text
from diagnose.present.console import Page, make_console
from diagnose.settings import Settings, write_settings

MINE = b'case: "mine"\ntitle: "Mine"\ntopic: "stuck"\ncase_format: 2\nevents:\n'
READ = b'- {"at": "2026-03-19", "did": "read", "about": "gravity_now", "value": 1.010}\n'


@pytest.fixture(scope="module")
def base() -> RuleBase:
    """The rules that ship."""
    return read_rule_base([seed_inputs.ROOT / "rules"])


@pytest.fixture
def cases(tmp_path: Path, monkeypatch: pytest.MonkeyPatch, base: RuleBase) -> Path:
    """A folder of cases with one in it, and a place of its own for everything else."""
    # The rules that ship are read once for all of these tests; folders named with --rules are read as ever.
    shipped = [seed_inputs.ROOT / "rules"]
    read = setup.read_rule_base_kept
    monkeypatch.setattr(
        setup,
        "read_rule_base_kept",
        lambda folders, *more: base if list(folders) == shipped else read(folders, *more),
    )
    folder = tmp_path / "cases"
    folder.mkdir()
    (folder / "mine.yaml").write_bytes(MINE + READ)
    for name, place in {"CASES": "cases", "SETTINGS": "settings.yaml", "CACHE": "cache"}.items():
        monkeypatch.setenv(f"DIAGNOSE_{name}", str(tmp_path / place))
    return folder


def diagnose(*words: str) -> Result:
    """The command, in this process; it may end, and may not break."""
    done = CliRunner().invoke(main, words)
    assert done.exception is None or isinstance(done.exception, SystemExit), done.exception
    shown = done.output.replace("\n", "")
    assert shown.replace("\u00a0", "").isprintable(), repr(shown)
    return done


# ---------------------------------------------------------------- pipes, devices, links


@pytest.mark.parametrize("words", [("judge", "{}"), ("report", "{}"), ("log", "mine", "--import", "{}")])
@pytest.mark.parametrize("name", ["pipe.yaml", "/dev/zero"])
def test_a_pipe_or_device_is_refused_and_not_waited_for(
    cases: Path, words: tuple[str, ...], name: str
) -> None:
    """Somebody hands over a pipe called x.yaml, or a device: it is refused at once."""
    path = Path(name) if name.startswith("/") else cases.parent / name
    if not path.exists():
        os.mkfifo(path)
    done = diagnose(*(word.format(path) for word in words))
    assert done.exit_code != 0
    assert "not an ordinary file" in done.output or "not the name of a case" in done.output


@pytest.mark.parametrize(
    "words", ["cases", "due", "note pipe hello", "close pipe solved", "archive pipe", "continue pipe"]
)
def test_a_pipe_among_the_cases_hangs_nothing(cases: Path, words: str) -> None:
    """A pipe with the name of a case is told by every command that meets it."""
    os.mkfifo(cases / "pipe.yaml")
    assert "not an ordinary file" in " ".join(diagnose(*words.split()).output.split())


def test_settings_that_are_a_pipe_are_refused(cases: Path) -> None:
    """Neither does a pipe in the place of the settings."""
    os.mkfifo(cases.parent / "settings.yaml")
    assert "not an ordinary file" in diagnose("settings").output


def test_a_folder_of_rules_holds_nothing_but_its_own_files(tmp_path: Path) -> None:
    """A link out of the folder shows nobody a line of another file; a pipe and a dead link are named."""
    folder, secret = tmp_path / "rules", tmp_path / "secret.txt"
    folder.mkdir()
    secret.write_text("the secret words")
    (folder / "out.yaml").symlink_to(secret)
    (folder / "dead.yaml").symlink_to(folder / "gone.yaml")
    os.mkfifo(folder / "pipe.yaml")
    with pytest.raises(RuleFilesWrong) as caught:
        read_rule_base([folder])
    told = {Path(one.place.file).name: one.what for one in caught.value.problems}
    assert "leads out" in told["out.yaml"] and "secret" not in str(caught.value)
    assert "leads nowhere" in told["dead.yaml"] and "pipe" in told["pipe.yaml"]
    assert all(one.mend for one in caught.value.problems)


def test_a_link_inside_the_folder_of_rules_is_read(tmp_path: Path) -> None:
    """A link from one page to another of the same folder, or a folder that is a link itself, is nobody's harm."""
    folder = tmp_path / "rules"
    folder.mkdir()
    for name, page in seed_inputs.sound_pages():
        (folder / f"kept_{name}").write_bytes(page)
    (tmp_path / "linked").symlink_to(folder)
    assert read_rule_base([tmp_path / "linked"]).causes


def test_what_is_due_reads_no_case_outside_the_folder(cases: Path) -> None:
    """A link among the cases does not bring another folder's case into the list of work."""
    elsewhere = cases.parent / "elsewhere.yaml"
    elsewhere.write_bytes(MINE.replace(b"Mine", b"Secret") + READ)
    (cases / "linked.yaml").symlink_to(elsewhere)
    said = " ".join(diagnose("due").output.split())
    assert "leads out of" in said and "Secret" not in said


@pytest.mark.parametrize("name", [".mine.yaml.held", ".mine.yaml.new"])
def test_nothing_is_written_through_a_planted_link(cases: Path, base: RuleBase, name: str) -> None:
    """The note of who holds a case, and the half of a new file, never write over what a link of that name leads to."""
    victim = cases.parent / "victim"
    victim.write_text("not to be touched")
    (cases / name).symlink_to(victim)
    with open_case(cases / "mine.yaml", base) as record:
        record.change_head(title="New")
    assert victim.read_text() == "not to be touched"
    assert load_case(cases / "mine.yaml", base)[0].title == "New"


def test_settings_are_not_written_through_a_planted_link(cases: Path) -> None:
    """The same for the settings."""
    victim = cases.parent / "victim"
    victim.write_text("not to be touched")
    (cases.parent / "settings.new").symlink_to(victim)
    write_settings(Settings(units="us"))
    assert victim.read_text() == "not to be touched"


@pytest.mark.parametrize(
    "name", ["../../outside", "/tmp/outside", "..", "a/../../b", "C:\\x", "mine.yaml\x00"]
)
def test_a_name_never_becomes_a_path(cases: Path, base: RuleBase, name: str) -> None:
    """A wine, a title or a case called like a path stays a name, and no file appears but in the folder."""
    before = {path for path in cases.parent.rglob("*") if "cache" not in path.parts}
    assert diagnose("wine", "mine", name).exit_code == 0
    diagnose("rename", "mine", name)
    diagnose("copy", name)
    diagnose("note", name, "words")
    assert {path for path in cases.parent.rglob("*") if "cache" not in path.parts} == before
    assert load_case(cases / "mine.yaml", base)[0].wine == name.replace("\x00", "")


# ---------------------------------------------------------------- nothing is run


@pytest.mark.parametrize(
    "text",
    [
        "a: !!python/object/apply:os.system ['touch {}']\n",
        "a: !!python/name:os.system\n",
        "a: !include {}\n",
        "!!python/object/new:subprocess.Popen [['touch', '{}']]\n",
        "a: &x {{<<: *x}}\n",
    ],
)
def test_a_tag_runs_nothing_and_includes_nothing(tmp_path: Path, text: str) -> None:
    """Tags and anchors are refused with their place; the file that they would touch is not there."""
    with pytest.raises(RuleFilesWrong, match="not used in rule files"):
        read_text(text.format(tmp_path / "made"), "page.yaml")
    assert not list(tmp_path.iterdir())


# ---------------------------------------------------------------- what reaches the screen


EVIL = "a\x1b[31mb\x9b2Jc\u202ed\u200be\x07f"


def test_the_screen_shows_nothing_that_acts() -> None:
    """Whichever way a text comes to the screen, also past the usual lines, a terminal has nothing to obey."""
    import io

    from rich.table import Table
    from rich.text import Text

    out = io.StringIO()
    page = Page(make_console(out, 80))
    table = Table(title=EVIL)
    table.add_column(EVIL)
    table.add_row(Text(EVIL))
    for shown in (EVIL, Text(EVIL), table):
        page.console.print(shown)
    for way in (page.say, page.warn, page.title, page.exactly):
        way(EVIL)
    assert out.getvalue().replace("\n", "").isprintable()
    assert "b" in out.getvalue()


def test_the_name_of_a_file_is_shown_without_its_control_signs() -> None:
    """A complaint names the file, and the file is called by whoever made it."""
    said = str(Problem(Place(f"{EVIL}.yaml"), f"bad {EVIL}.", f"mend {EVIL}.", f"text {EVIL}"))
    assert said.replace("\n", "").isprintable()


@pytest.mark.parametrize(
    "words",
    [
        ("judge", f"{EVIL}.yaml"),
        (f"--{EVIL}",),
        (EVIL,),
        ("calculate", EVIL),
        ("cases", EVIL),
        ("log", "mine", f"{EVIL}=3"),
        ("--about", EVIL),
        ("continue", EVIL),
        ("settings", "--limit", f"{EVIL}=1"),
        ("sheet", "mine", "steps", EVIL),
        ("report", "mine", "--to", f"{EVIL}.doc"),
        ("log", "mine", "--import", EVIL),
        ("--cases", f"/nowhere/{EVIL}", "note", "mine", "words"),
        ("--rules", f"/nowhere/{EVIL}", "check"),
    ],
    ids=str,
)
def test_complaints_repeat_what_was_typed_without_its_control_signs(
    cases: Path, words: tuple[str, ...]
) -> None:
    """What is typed may be the name of somebody's file: no complaint repeats a sign that a terminal obeys."""
    diagnose(*words)


def test_json_holds_no_raw_control_sign_and_loses_none(cases: Path) -> None:
    """JSON on a terminal: what a terminal would obey is written as a number, and read back as it was."""
    (cases / "mine.yaml").write_bytes(MINE.replace(b'"Mine"', b'"\\u009b31m \\u202e x"') + READ)
    assert json.loads(diagnose("cases", "--json").output)[0]["title"] == "\x9b31m \u202e x"


@pytest.mark.parametrize(
    "lesson", ["half \udcff a sign", "eight \x9b31m bits", "two\u2028lines", "nought \x00"]
)
def test_words_from_the_prompt_never_shut_a_case(cases: Path, base: RuleBase, lesson: str) -> None:
    """Whatever bytes a remark or a lesson comes in, it is kept, and the case can be opened again."""
    assert diagnose("note", "mine", lesson).exit_code == 0
    assert diagnose("close", "mine", "solved", "--lesson", lesson).exit_code == 0
    _, state = load_case(cases / "mine.yaml", base)
    assert state.closed is not None and len(state.notes) == 1
    with open_case(cases / "mine.yaml", base) as record:
        record.record("noted", value=lesson)
    assert len(load_case(cases / "mine.yaml", base)[1].notes) == 2


def test_a_half_sign_in_a_case_does_not_break_the_list(cases: Path) -> None:
    """A lesson with half of a sign in it, written by a hand with other tools, is told and listed."""
    closed = b'- {"at": "2026-03-31", "did": "closed", "value": "solved", "data": {"lesson": "\\ud800"}}\n'
    (cases / "mine.yaml").write_bytes(MINE + READ + closed)
    assert json.loads(diagnose("cases", "--json").output)[0]["problem"]
    diagnose("cases")


def test_lists_a_thousand_deep_do_not_break_the_shelf(cases: Path) -> None:
    """Nor does `data` nested deeper than Python calls itself."""
    deep = b'- {"at": "2026-03-31", "did": "noted", "data": {"a": ' + b"[" * 900 + b"]" * 900 + b"}}\n"
    (cases / "mine.yaml").write_bytes(MINE + READ + deep)
    assert len(cards(cases)) == 1


def test_a_directory_called_as_a_file_is_refused(cases: Path) -> None:
    """A folder with the name of a file is told as what it is."""
    (cases.parent / "folder.yaml").mkdir()
    with pytest.raises(RuleFilesWrong, match="directory"):
        read_file(cases.parent / "folder.yaml")
    (cases / "also.yaml").mkdir()
    assert "directory" in diagnose("cases").output


def test_a_note_too_long_is_refused_before_it_is_kept(cases: Path) -> None:
    """A remark has a bound, and what is refused leaves the case as it was."""
    before = (cases / "mine.yaml").read_bytes()
    done = diagnose("note", "mine", "x" * 4_001)
    assert done.exit_code == 2 and "4,001" in done.output and "4,000" in done.output
    assert (cases / "mine.yaml").read_bytes() == before


def test_a_pipe_in_the_place_of_a_held_case_is_refused(cases: Path, base: RuleBase) -> None:
    """Opening a case for answers never waits for a pipe."""
    os.mkfifo(cases / "pipe.yaml")
    with pytest.raises(CannotKeep, match="not an ordinary file"), open_case(cases / "pipe.yaml", base):
        pytest.fail("it should be refused")
