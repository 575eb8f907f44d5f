"""Rules kept between two starts are the rules that were read, and never outlive a change of a file."""

from __future__ import annotations

import json
import os
import shutil
from pathlib import Path

import pytest
from diagnose.knowledge.kept import read_rule_base_kept
from diagnose.knowledge.problems import RuleFilesWrong
from diagnose.knowledge.read import read_rule_base
from diagnose.shipped import shipped_folder

SOUND = Path(__file__).with_name("sound")


@pytest.fixture
def rules(tmp_path: Path) -> Path:
    """A folder of sound rules that may be changed."""
    return Path(shutil.copytree(SOUND, tmp_path / "rules"))


def kept_files(folder: Path) -> list[Path]:
    """The files kept."""
    return sorted(folder.glob("*"))


def test_the_shipped_rules_come_back_as_they_were_read(tmp_path: Path) -> None:
    """Every page, every place and every word is the same, whether read from the files or from what was kept."""
    folders = [shipped_folder("rules")]
    read = read_rule_base(folders)
    assert read_rule_base_kept(folders, tmp_path) == read
    assert len(kept_files(tmp_path)) == 1
    assert read_rule_base_kept(folders, tmp_path) == read


def test_what_was_kept_is_used(rules: Path, tmp_path: Path) -> None:
    """The second start does not read the pages again: it shows what stands in the kept file."""
    keep = tmp_path / "kept"
    read_rule_base_kept([rules], keep)
    (file,) = kept_files(keep)
    pages = json.loads(file.read_text(encoding="utf-8"))
    for page in pages:
        if page[0] == "rule_base":
            page[2]["about"] = "Kept."
    file.write_text(json.dumps(pages), encoding="utf-8")
    assert read_rule_base_kept([rules], keep).name.about == "Kept."


def test_a_changed_file_is_read_anew(rules: Path, tmp_path: Path) -> None:
    """A mentor's edit counts at the next start, also one that keeps the size and the date of the file."""
    keep = tmp_path / "kept"
    read_rule_base_kept([rules], keep)
    page = next(
        path for path in rules.rglob("*.yaml") if "about: Invented." in path.read_text(encoding="utf-8")
    )
    stat = page.stat()
    page.write_text(
        page.read_text(encoding="utf-8").replace("about: Invented.", "about: Inventex."), encoding="utf-8"
    )
    os.utime(page, ns=(stat.st_atime_ns, stat.st_mtime_ns))
    assert read_rule_base_kept([rules], keep) == read_rule_base([rules])


def test_a_new_mistake_is_told_though_rules_were_kept(rules: Path, tmp_path: Path) -> None:
    """Kept rules never hide a mistake made since."""
    keep = tmp_path / "kept"
    read_rule_base_kept([rules], keep)
    (rules / "new.yaml").write_text("- fix: Not A Name\n", encoding="utf-8")
    with pytest.raises(RuleFilesWrong):
        read_rule_base_kept([rules], keep)


@pytest.mark.parametrize(
    "damage", [b"", b"[", b"[[1]]", b'[["cause","x",{},["f",1,1,1]]]', b"\xff\xfe", b"null"]
)
def test_a_damaged_kept_file_is_passed_over(rules: Path, tmp_path: Path, damage: bytes) -> None:
    """Half a file, or anything else in its place, costs time and nothing more."""
    keep = tmp_path / "kept"
    expected = read_rule_base_kept([rules], keep)
    (file,) = kept_files(keep)
    file.write_bytes(damage)
    assert read_rule_base_kept([rules], keep) == expected
    assert read_rule_base_kept([rules], keep) == expected


def test_a_folder_that_cannot_be_written_is_done_without(rules: Path, tmp_path: Path) -> None:
    """A full or locked disk does not keep anybody from asking."""
    blocked = tmp_path / "a_file"
    blocked.write_text("", encoding="utf-8")
    assert read_rule_base_kept([rules], blocked / "inside") == read_rule_base([rules])


def test_old_kept_rules_do_not_pile_up(rules: Path, tmp_path: Path) -> None:
    """Every edit leaves a kept file behind; only the latest few stay."""
    keep = tmp_path / "kept"
    page = next(iter(sorted(rules.rglob("*.yaml"))))
    for number in range(12):
        page.write_text(page.read_text(encoding="utf-8") + f"# {number}\n", encoding="utf-8")
        read_rule_base_kept([rules], keep)
    assert len(kept_files(keep)) == 8
