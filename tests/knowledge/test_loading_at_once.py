"""What a load reports, and what it does with whole files and folders."""

from __future__ import annotations

from pathlib import Path

import pytest
from diagnose.bounds import RULE_FILE
from diagnose.knowledge.problems import RuleFilesWrong
from diagnose.knowledge.read import read_rule_base
from rule_folders import SOUND, assert_well_said, folder_with, problems_of

THREE_SLIPS = """\
- caution: fumes
  says: 12
  harms: persons
  source: Invented
- cautoin: more_fumes
"""
LINK_SLIPS = """\
- caution: fumes
  says: They choke.
  harms: person
  source: [inventd, invented, judgment]
- rule: warn
  when: {gas_sen: yes, still_working: {one_of: [maybe, yes]}}
  warn: [fumez, fumes]
  because: They choke.
  source: invented
"""


def test_all_mistakes_of_all_files_come_at_once_and_in_order(tmp_path: Path) -> None:
    """A mentor mends one list of mistakes, from the top of the first file to the end of the last."""
    folder = folder_with(
        tmp_path, {"zz.yaml": THREE_SLIPS, "aa.yaml": "caution: [\n", "mm.yaml": "rule: \tx\n\tb: c\n"}
    )
    problems = problems_of(folder)
    places = [(Path(problem.place.file).name, problem.place.line) for problem in problems]
    assert places == [
        ("aa.yaml", 1),
        ("mm.yaml", 2),
        ("zz.yaml", 2),
        ("zz.yaml", 3),
        ("zz.yaml", 4),
        ("zz.yaml", 5),
    ]
    for problem in problems:
        assert_well_said(problem)


def test_all_mistakes_between_pages_come_at_once(tmp_path: Path) -> None:
    """Every name that leads nowhere is reported, each with the name that was probably meant."""
    problems = problems_of(folder_with(tmp_path, {"links.yaml": LINK_SLIPS}))
    assert [(problem.place.line, problem.place.column) for problem in problems] == [
        (4, 12),
        (4, 31),
        (6, 10),
        (6, 49),
        (7, 10),
    ]
    assert "invented" in problems[0].mend
    assert "gas_seen" in problems[2].mend
    assert "yes" in problems[3].mend
    assert "fumes" in problems[4].mend
    told = str(RuleFilesWrong(problems))
    assert all(str(problem) in told for problem in problems)


def test_the_order_of_files_on_disk_does_not_matter(tmp_path: Path) -> None:
    """The same mistakes give the same list, wherever and in whatever order the problems were found."""
    problems = problems_of(folder_with(tmp_path, {"links.yaml": LINK_SLIPS}))
    assert RuleFilesWrong(reversed(problems)).problems == problems
    assert RuleFilesWrong([*problems, *problems]).problems == problems


def test_links_are_checked_once_every_page_stands(tmp_path: Path) -> None:
    """A page that cannot be read is not also complained of as missing by all that name it."""
    text = (SOUND / "pages.yaml").read_text(encoding="utf-8")
    folder = folder_with(tmp_path, {"pages.yaml": text.replace("harms: person", "harms: persons")})
    assert [problem.what for problem in problems_of(folder)] == ["'persons' does not belong here."]


def test_a_base_without_name_or_words_is_told_what_it_lacks(tmp_path: Path) -> None:
    """Without the tables of words no strength has a meaning, so each missing table is named."""
    problems = problems_of(folder_with(tmp_path, {}, without="words.yaml"))
    told = [problem.what for problem in problems if problem.place.file == str(tmp_path / "rules")]
    tables = (
        "strength",
        "how_common",
        "normally",
        "effort",
        "waiting",
        "how_well",
        "burden",
        "standing",
        "asking",
    )
    assert {f"the word table '{table}' is missing." for table in tables} <= set(told)
    assert "the rule base has no name and version." in told
    for problem in problems:
        assert_well_said(problem)


@pytest.mark.parametrize("ending", ["\n", "\r\n", "\r"])
@pytest.mark.parametrize("mark", [b"", b"\xef\xbb\xbf"])
def test_files_from_any_editor_are_read_alike(ending: str, mark: bytes, tmp_path: Path) -> None:
    """Windows and old Macintosh line ends, and the byte mark, change nothing."""
    pages = {
        file.name: mark + file.read_text(encoding="utf-8").replace("\n", ending).encode()
        for file in SOUND.glob("*.yaml")
    }
    read, sound = read_rule_base([folder_with(tmp_path, pages)]), read_rule_base([SOUND])
    assert (read.causes, read.fixes, read.words, read.states) == (
        sound.causes,
        sound.fixes,
        sound.words,
        sound.states,
    )


@pytest.mark.parametrize("empty", ["", "\n\n", "# nothing yet\n", "---\n", "null\n"])
def test_an_empty_file_holds_no_rules_and_no_mistake(empty: str, tmp_path: Path) -> None:
    """A page that a mentor has only begun with a comment does not stop the rest."""
    assert problems_of(folder_with(tmp_path, {"begun.yaml": empty})) == ()


def test_a_page_saved_under_the_other_ending_does_not_vanish(tmp_path: Path) -> None:
    """A rule in a `.yml` file is a rule: leaving it out in silence could leave out a caution."""
    folder = folder_with(tmp_path, {})
    (folder / "pages.yaml").rename(folder / "pages.yml")
    assert "hot_glass" in read_rule_base([folder]).cautions


def test_a_file_too_large_for_notes_is_refused_unread(tmp_path: Path) -> None:
    """A video dropped into the folder is named and refused, not read into memory."""
    (problem,) = problems_of(folder_with(tmp_path, {"film.yaml": b"#" * (RULE_FILE.size + 1)}))
    assert "larger than 512 kB" in problem.what
    assert_well_said(problem)
    assert problems_of(folder_with(tmp_path, {"film.yaml": b"#" * RULE_FILE.size})) == ()


def test_folders_that_hold_no_rules_are_all_named(tmp_path: Path) -> None:
    """A wrong name given with --rules is said so, for each folder."""
    (tmp_path / "bare").mkdir()
    with pytest.raises(RuleFilesWrong) as caught:
        read_rule_base([tmp_path / "gone", SOUND, tmp_path / "bare"])
    assert [problem.what for problem in caught.value.problems] == [
        "no rule files (*.yaml) are in this folder.",
        "there is no such folder of rules.",
    ]
    for problem in caught.value.problems:
        assert_well_said(problem)


def test_a_cellars_own_folder_is_laid_on_top(tmp_path: Path) -> None:
    """A second folder adds its pages, which may name those of the first."""
    own = tmp_path / "own"
    own.mkdir()
    page = "rule: ours\nwhen: {gas_seen: yes}\nwarn: hot_glass\nbecause: Ours.\nsource: invented\n"
    (own / "ours.yaml").write_text(page, encoding="utf-8")
    base = read_rule_base([SOUND, own])
    assert set(base.rules) == {"ask_for_heat", "ours"}
    assert base.places["rule", "ours"].file == str(own / "ours.yaml")


@pytest.mark.parametrize("name", ["ours", "sound"])
def test_the_name_of_the_first_folder_counts(name: str, tmp_path: Path) -> None:
    """A cellar's own folder may have a name and version of its own; the case remembers that of the first."""
    own = tmp_path / "own"
    own.mkdir()
    (own / "name.yaml").write_text(f"rule_base: {name}\nversion: 3.0.0\nabout: Ours.\n", encoding="utf-8")
    assert read_rule_base([SOUND, own]).name.version == "0.1.0"
    assert read_rule_base([own, SOUND]).name.version == "3.0.0"


def test_two_names_in_one_folder_are_told_with_both_places(tmp_path: Path) -> None:
    """Also in two folders below one: nobody could say which of the versions a case was judged with."""
    folder = folder_with(tmp_path, {})
    (folder / "below").mkdir()
    text = "rule_base: sound\nversion: 3.0.0\nabout: Another.\n"
    (folder / "below" / "name.yaml").write_text(text, encoding="utf-8")
    (problem,) = problems_of(folder)
    both = {str(folder / "below" / "name.yaml"), str(folder / "words.yaml")}
    assert {file for file in both if file in str(problem)} == both
