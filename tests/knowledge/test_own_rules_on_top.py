"""A cellar's own folder on top of the others. Every page here is invented."""

from __future__ import annotations

from pathlib import Path

import pytest
from diagnose.knowledge.kept import read_rule_base_kept
from diagnose.knowledge.problems import RuleFilesWrong
from diagnose.knowledge.read import read_rule_base
from diagnose.knowledge.rule_base import RuleBase
from rule_folders import SOUND

NAME = "- rule_base: garage\n  version: 0.1.0\n  about: Invented.\n"
GLASS = "- caution: hot_glass\n  says: Invented, and ours.\n  harms: person\n  source: invented\n"
REPLACED = GLASS.replace("  says", "  replaces_because: We use steel.\n  says")
OUT = "- taken_out: hot_glass\n  kind: caution\n  because: There is no glass here.\n"


def own_folder(at: Path, text: str, name: str = NAME, called: str = "own") -> Path:
    """A cellar's own folder that holds these items."""
    folder = at / called
    folder.mkdir(exist_ok=True)
    (folder / "pages.yaml").write_text(name + text, encoding="utf-8")
    return folder


def with_own(at: Path, text: str, name: str = NAME) -> RuleBase:
    """The sound rules with an own folder on top."""
    return read_rule_base([SOUND], [own_folder(at, text, name)])


def told(at: Path, text: str, name: str = NAME) -> str:
    """What is wrong with an own folder."""
    with pytest.raises(RuleFilesWrong) as wrong:
        with_own(at, text, name)
    return str(wrong.value)


def test_a_new_page_is_added_and_known_as_own(tmp_path: Path) -> None:
    """A page of a new name lies beside those below, and only it is the cellar's own."""
    base = with_own(tmp_path, GLASS.replace("hot_glass", "cold_glass"))
    assert {"hot_glass", "cold_glass"} <= set(base.cautions)
    assert {key: own.because for key, own in base.own.items()} == {("caution", "cold_glass"): None}
    assert base.own["caution", "cold_glass"].rules == "garage 0.1.0"


def test_a_page_takes_the_place_of_the_one_below_with_its_reason(tmp_path: Path) -> None:
    """The own page counts wherever the name is used, and its reason and place are known."""
    base = with_own(tmp_path, REPLACED)
    assert base.cautions["hot_glass"].says == "Invented, and ours."
    assert base.own["caution", "hot_glass"].because == "We use steel."
    assert Path(base.places["caution", "hot_glass"].file).parent.name == "own"
    assert set(base.cautions) == set(read_rule_base([SOUND]).cautions)


def test_the_name_of_every_layer_is_told(tmp_path: Path) -> None:
    """Cases and reports name the rules below and all that lie on them, in their order."""
    upper = own_folder(tmp_path, "", NAME.replace("garage", "guest"), "upper")
    base = read_rule_base([SOUND], [own_folder(tmp_path, REPLACED), upper])
    below = read_rule_base([SOUND])
    assert base.edition == f"{below.edition} + garage 0.1.0 + guest 0.1.0"
    assert base.name == below.name


def test_the_uppermost_of_several_own_folders_counts(tmp_path: Path) -> None:
    """An own folder may replace a page of another own folder below it, and take it out."""
    lower = own_folder(tmp_path, REPLACED)
    name = NAME.replace("garage", "guest")
    upper = own_folder(tmp_path, REPLACED.replace("ours", "theirs"), name, "upper")
    assert read_rule_base([SOUND], [lower, upper]).cautions["hot_glass"].says == "Invented, and theirs."
    new = own_folder(tmp_path, GLASS.replace("hot_glass", "cold_glass"))
    out = own_folder(tmp_path, OUT.replace("hot_glass", "cold_glass"), name, "upper")
    assert "cold_glass" not in read_rule_base([SOUND], [new, out]).cautions


def test_the_same_name_without_a_reason_is_a_mistake(tmp_path: Path) -> None:
    """Both places are told, and how to say that it is meant."""
    said = told(tmp_path, GLASS)
    assert "'hot_glass' is already the name of another item, at" in said
    assert "sound" in said and "own/pages.yaml:4" in said and "replaces_because" in said


def test_replacing_nothing_is_a_mistake(tmp_path: Path) -> None:
    """A slip in the name of the page below is told with the name that was meant."""
    said = told(tmp_path, REPLACED.replace("hot_glass", "hot_glas"))
    assert "there is no caution 'hot_glas' below whose place this could take" in said
    assert "'hot_glass'" in said


def test_a_page_below_cannot_replace_what_lies_above_or_beside(tmp_path: Path) -> None:
    """Folders read together are one layer; nothing in it takes the place of anything."""
    with pytest.raises(RuleFilesWrong, match="Only a folder given with --own lies on top of others"):
        read_rule_base([SOUND, own_folder(tmp_path, REPLACED)])


def test_a_page_used_elsewhere_is_not_taken_out_in_silence(tmp_path: Path) -> None:
    """Each page that still names it is told, with where it was taken out and what to do."""
    said = told(tmp_path, OUT)
    assert "'hot_glass' is not a known caution" in said
    assert (
        "It was taken out at" in said and "own/pages.yaml:4" in said and "take this page out as well" in said
    )


def test_an_unused_page_is_taken_out_with_its_reason(tmp_path: Path) -> None:
    """It counts no more, and who took it out and why is known."""
    below = own_folder(tmp_path, GLASS.replace("hot_glass", "cold_glass"), "", "more")
    own = own_folder(tmp_path, OUT.replace("hot_glass", "cold_glass"))
    base = read_rule_base([SOUND, below], [own])
    assert "cold_glass" in read_rule_base([SOUND, below]).cautions
    assert "cold_glass" not in base.cautions and ("caution", "cold_glass") not in base.places
    (gone,) = base.taken_out
    assert (gone.kind, gone.id, gone.rules, gone.because) == (
        "caution",
        "cold_glass",
        "garage 0.1.0",
        "There is no glass here.",
    )


@pytest.mark.parametrize(
    ("text", "name", "said"),
    [
        (OUT.replace("hot_glass", "hot_glas"), NAME, "there is no caution 'hot_glas' below"),
        (OUT.replace("kind: caution", "kind: cation"), NAME, "'cation' is not a kind of page"),
        (OUT.replace("kind: caution", "kind: rule_base"), NAME, "'rule_base' is not a kind of page"),
        (OUT + REPLACED, NAME, "there is no caution 'hot_glass' below whose place"),
        (REPLACED + OUT, NAME, "This folder has a caution 'hot_glass' of its own"),
        (REPLACED, "", "the rule base has no name and version"),
        (REPLACED, NAME + NAME.replace("garage", "shed"), "these rules have a name already"),
        (REPLACED.replace("We use steel.", '""'), NAME, "this text is empty"),
    ],
)
def test_what_is_said_in_vain_is_told(tmp_path: Path, text: str, name: str, said: str) -> None:
    """Nothing of an own folder is passed over without a word."""
    assert said in told(tmp_path, text, name)


def test_own_rules_have_a_name_of_their_own(tmp_path: Path) -> None:
    """Two layers of one name could not be told apart in a case."""
    name = read_rule_base([SOUND]).name.rule_base
    assert f"'{name}' is the name of rules below" in told(tmp_path, "", NAME.replace("garage", name))


def test_folders_that_lie_in_each_other_are_refused(tmp_path: Path) -> None:
    """Pages would be read twice, once in each layer."""
    own = own_folder(tmp_path, REPLACED)
    for below, above in ((tmp_path, own), (own, own)):
        with pytest.raises(RuleFilesWrong, match="lie one in the other"):
            read_rule_base([below], [above])


def test_kept_rules_know_their_layers(tmp_path: Path) -> None:
    """What was kept between two starts is what is read anew, and another order of layers is not taken for it."""
    keep, own = tmp_path / "keep", own_folder(tmp_path, REPLACED)
    read = read_rule_base([SOUND], [own])
    assert read_rule_base_kept([SOUND], keep, [own]) == read
    assert len([*keep.glob("*.json")]) == 1
    assert read_rule_base_kept([SOUND], keep, [own]) == read
    assert read_rule_base_kept([SOUND], keep).cautions["hot_glass"].says != "Invented, and ours."
    with pytest.raises(RuleFilesWrong):
        read_rule_base_kept([SOUND, own], keep)


VERSIONS = "- rule_base: garage\n  version: 0.2.0\n  about: Invented.\n  changes:\n"


@pytest.mark.parametrize(
    ("changes", "said"),
    [
        (["0.1.0"], "the version is 0.2.0, and the newest of the `changes` is 0.1.0"),
        (["0.3.0", "0.2.0"], "the newest of the `changes` is 0.3.0"),
        (["0.2.0", "0.2.0"], "do not stand in order"),
        (["0.2.0", "0.1.0", "0.1.5"], "do not stand in order"),
        (["0.2.0", "0.10"], "is not a version"),
    ],
)
def test_changes_that_do_not_fit_the_version_are_told(tmp_path: Path, changes: list[str], said: str) -> None:
    """The list of changes cannot fall behind the version without anybody seeing it."""
    text = VERSIONS + "".join(f"    - {{version: '{version}', says: Invented.}}\n" for version in changes)
    assert said in told(tmp_path, "", text)


def test_changes_that_fit_are_kept_newest_first(tmp_path: Path) -> None:
    """Versions count as numbers: 0.10.0 is newer than 0.9.0."""
    text = VERSIONS.replace("0.2.0", "0.10.0")
    text += "    - {version: 0.10.0, says: Invented.}\n    - {version: 0.9.0, says: [One., Two.]}\n"
    (name,) = with_own(tmp_path, "", text).on_top
    assert [change.version for change in name.changes] == ["0.10.0", "0.9.0"]


def test_the_shipped_rules_tell_what_changed() -> None:
    """Whoever meets another version than the one a case was begun with can read what changed."""
    name = read_rule_base([Path(__file__).resolve().parents[2] / "rules"]).name
    assert name.changes and name.changes[0].version == name.version
