"""Folders of rules that nobody can have meant, or that change under the hands: told shortly, and never guessed at."""

from __future__ import annotations

from pathlib import Path

import pytest
from diagnose.bounds import LARGEST_RULES, MOST_TOLD
from diagnose.knowledge import kept
from diagnose.knowledge.kept import read_rule_base_kept
from diagnose.knowledge.load import path_to
from diagnose.knowledge.problems import Problem, RuleFilesWrong
from diagnose.knowledge.read import read_rule_base
from rule_folders import SOUND, assert_well_said, folder_with, problems_of


def only(problems: tuple[Problem, ...]) -> Problem:
    """The one problem of a folder as a whole, which is well said."""
    (problem,) = problems
    assert problem.what.endswith(".") and problem.mend.endswith((".", "?"))
    return problem


def test_a_whole_archive_named_as_rules_is_asked_about(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Whoever names a folder with more files than anybody means is asked at once, before they are read."""
    monkeypatch.setattr("diagnose.knowledge.load.MOST_RULE_FILES", 5)
    rules = folder_with(tmp_path, {f"{number}.yaml": "" for number in range(5)})
    problem = only(problems_of(rules))
    assert problem.what == "there are more than 5 rule files here, 6 at the least."
    assert problem.mend == "Is it the right folder? Join small files."


def test_rule_files_that_no_person_wrote_are_refused_by_their_size(tmp_path: Path) -> None:
    """Many large files are added up before one of them is read, and the folder is named."""
    rules = folder_with(tmp_path, {})
    for number in range(2):
        with (rules / f"large_{number}.yaml").open("wb") as file:
            file.truncate(LARGEST_RULES // 2)
    problem = only(problems_of(rules))
    assert "64 MB are the most" in problem.what
    assert problem.place.file == str(rules)


def test_a_hundred_mistakes_are_enough_to_be_told_of_one_file(tmp_path: Path) -> None:
    """A page pasted wrong a thousand times is told by its first mistakes, not by all of them."""
    problems = problems_of(folder_with(tmp_path, {"many.yaml": "- cautoin: x\n" * (3 * MOST_TOLD)}))
    assert len(problems) == MOST_TOLD
    assert [problem.place.line for problem in problems] == list(range(1, MOST_TOLD + 1))
    assert_well_said(problems[-1])


def test_after_a_hundred_mistakes_no_further_file_is_read(tmp_path: Path) -> None:
    """What comes after a hundred mistakes is most often of the same kind; the files of the first are mended first."""
    page = "- cautoin: x\n" * MOST_TOLD
    problems = problems_of(folder_with(tmp_path, {"aa.yaml": page, "bb.yaml": page}))
    assert len(problems) == MOST_TOLD
    assert {Path(problem.place.file).name for problem in problems} == {"aa.yaml"}


def test_a_page_that_cannot_be_opened_is_named_though_rules_were_kept(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Rules kept from an earlier start do not stand in for a page that may no longer be read: it is told instead."""
    rules = folder_with(tmp_path, {})
    assert read_rule_base_kept([rules], tmp_path / "kept") == read_rule_base([rules])
    read = kept.read_plain

    def refuse(path: Path, most: int) -> tuple[bytes, int]:
        if path.name == "pages.yaml":
            raise PermissionError(13, "Permission denied", str(path))
        return read(path, most)

    for module in ("kept", "yaml_reader"):
        monkeypatch.setattr(f"diagnose.knowledge.{module}.read_plain", refuse)
    with pytest.raises(RuleFilesWrong, match=r"pages\.yaml.*cannot be opened: permission denied") as wrong:
        read_rule_base_kept([rules], tmp_path / "kept")
    assert "that you may read it" in str(wrong.value)


def test_a_page_among_others_in_one_file_is_found_by_its_name() -> None:
    """What a mentor accepts goes into the page that was shown, also where a file holds many of them."""
    text = (SOUND / "pages.yaml").read_text(encoding="utf-8")
    assert path_to(text, "cause", "protein_haze", "pages.yaml") == (0,)
    assert path_to(text, "caution", "hot_glass", "pages.yaml") == (4,)
    assert path_to("caution: hot_glass\n", "caution", "hot_glass", "one.yaml") == ()


def test_a_page_taken_out_of_its_file_meanwhile_is_told() -> None:
    """Whoever edits a file while its page is being reviewed is told so, instead of meeting an error of the program."""
    with pytest.raises(RuleFilesWrong) as wrong:
        path_to("- caution: cold_glass\n", "caution", "hot_glass", "pages.yaml")
    assert "pages.yaml" in str(wrong.value)
    assert "the caution 'hot_glass' does not stand in this file any more." in str(wrong.value)
