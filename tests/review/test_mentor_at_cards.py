"""A mentor at the cards: nobody signs what they have not read, and a strength is asked for as the row is written."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest
from diagnose.drafting.edit import CannotEdit, with_entry, with_item, with_value
from diagnose.drafting.keep import keep
from diagnose.knowledge.read import read_rule_base
from rule_folders import SOUND
from table import Table

PAGES = (SOUND / "pages.yaml").read_text(encoding="utf-8")
BY_ANSWER, BY_CONDITION = ("cause", "protein_haze", 0), ("cause", "protein_haze", 1)
A_TEST = ("test", "heat_test", None)
SIGNED = 'review: {status: reviewed, by: AB, on: 2026-10-12, of: "'


@pytest.fixture
def table(tmp_path: Path) -> Table:
    """Small invented rules."""
    return Table(tmp_path)


def came(table: Table) -> list[str]:
    """The lines of the pages that were not there before, without the print of a review."""
    lines = table.files()["rules/pages.yaml"].splitlines()
    return [
        line.strip().partition(SIGNED)[1] or line.strip() for line in lines if line not in PAGES.splitlines()
    ]


def colleague(table: Table, was: str, now: str) -> Callable[[], object]:
    """Somebody else who changes the pages meanwhile."""
    file = table.rules / "pages.yaml"

    def change() -> None:
        text = file.read_text(encoding="utf-8")
        assert was in text
        file.write_text(text.replace(was, now), encoding="utf-8")

    return change


def test_the_walk_ends_after_the_last_card(table: Table) -> None:
    """A mentor who accepts one and skips the other has been through; only the one is signed."""
    assert table.review("accept", "", of=(BY_ANSWER, A_TEST))
    assert "1 of 2 · Protein haze" in table.said
    assert "2 of 2 · Heat test" in table.said
    assert came(table) == [SIGNED]


@pytest.mark.parametrize("key", ["?", "help"])
def test_the_keys_are_told_and_the_card_is_open_still(table: Table, key: str) -> None:
    """Help changes nothing; what is no key is told with those that are."""
    assert not table.review(key, "agree", "stop", of=(BY_ANSWER,))
    assert "- accept: You stand behind it" in table.said
    assert "'agree' is not a key here. Type one of: accept, strength" in table.said
    assert not came(table)


def test_a_test_has_no_strength(table: Table) -> None:
    """Its strength is that of the rows which read its answer; the card is shown again."""
    assert not table.review("strength", "stop", of=(A_TEST,))
    assert "Only a row of evidence has a strength. Say it as a comment." in table.said
    assert table.said.count("1 of 1 · Heat test") == 2


def test_the_strength_of_a_combination_is_its_weight(table: Table) -> None:
    """A row that reads a condition has one strength, so no answer is asked for."""
    assert table.review("strength", "confirms", "yes", of=(BY_CONDITION,))
    assert "Which answer?" not in table.said
    assert came(table) == ["weight: confirms", SIGNED]
    assert read_rule_base([table.rules]).causes["protein_haze"].evidence[1].weight == "confirms"


def test_a_row_of_one_answer_is_not_asked_which(tmp_path: Path) -> None:
    """There is nothing to choose."""
    table = Table(
        tmp_path, {"pages.yaml": PAGES.replace("large: confirms, small: against", "large: confirms")}
    )
    assert table.review("strength", "for", "yes", of=(BY_ANSWER,))
    assert "Which answer?" not in table.said
    assert dict(read_rule_base([table.rules]).causes["protein_haze"].evidence[0].says) == {"large": "for"}


# ---------------------------------------------------------------- a colleague at the same rules


WEAKER = ("large: confirms", "large: for")
FIRST_ROW_GONE = (PAGES[PAGES.index("    - observe: heat_rise") : PAGES.index("    - when: {still")], "")


@pytest.mark.parametrize(
    "change", [WEAKER, FIRST_ROW_GONE], ids=["another strength", "the next row moved up"]
)
@pytest.mark.parametrize("said", [("accept",), ("comment", "Good."), ("strength", "large", "for", "stop")])
def test_nobody_signs_a_row_that_a_colleague_changed_under_their_eyes(
    table: Table, change: tuple[str, str], said: tuple[str, ...]
) -> None:
    """The card on the screen is not what stands there now: initials under it would be forged."""
    change_now = colleague(table, *change)
    table.review(change_now, *said, of=(BY_ANSWER,))
    assert "somebody else changed it meanwhile. Stop and begin again, to see it as it is now." in table.said
    assert "Kept." not in table.said
    assert table.files()["rules/pages.yaml"] == PAGES.replace(*change)


def test_a_page_that_moved_to_another_file_is_signed_where_it_is(table: Table) -> None:
    """A colleague who only tidies the files changes nothing that was read."""
    begins = PAGES.index("\n- cause: overfining") + 1
    file, other = table.rules / "pages.yaml", table.rules / "protein.yaml"

    def tidy() -> None:
        other.write_text(PAGES[:begins], encoding="utf-8")
        file.write_text(PAGES[begins:], encoding="utf-8")

    assert table.review(tidy, "accept", of=(BY_ANSWER,))
    assert SIGNED in other.read_text(encoding="utf-8")
    assert file.read_text(encoding="utf-8") == PAGES[begins:]


def test_a_row_that_is_gone_is_told_and_the_walk_goes_on(table: Table) -> None:
    """After the first card is kept the rules are read anew, and the last row of the cause is no longer there."""
    second = PAGES[PAGES.index("    - when: {still") : PAGES.index("  mimics:")]
    assert table.review(colleague(table, second, ""), "accept", "", of=(BY_ANSWER, BY_CONDITION, A_TEST))
    assert "protein_haze was changed by somebody else meanwhile, and this is no longer there." in table.said
    assert "3 of 3 · Heat test" in table.said
    assert table.said.count("Kept.") == 1


def test_rules_that_a_colleague_broke_are_not_written_into(table: Table) -> None:
    """A slip in another page is told as it would be at a start, and the row stays as it was."""
    slip = colleague(table, "waiting: days", "waiting: dyas")
    assert table.review(slip, "accept", of=(BY_ANSWER,))
    assert "This cannot be written, and the file stays as it was:" in table.said
    assert "'dyas'" in table.said
    assert not [line for line in came(table) if line.startswith("review")]


# ---------------------------------------------------------------- the text of a file


@pytest.mark.parametrize("path", [(1,), ("a",), (0, "a", "c"), (0, "e")])
def test_a_review_has_no_place_where_there_is_no_item(path: tuple[str | int, ...]) -> None:
    """Nothing is put beside the wrong thing when the one that was meant is not there."""
    with pytest.raises(CannotEdit, match="there is no item at"):
        with_value("- a: b\n", path, "review", "{status: draft}")


def test_an_entry_does_not_go_into_a_list_in_brackets() -> None:
    """The mend is named, since the line is the author's to break."""
    with pytest.raises(CannotEdit, match=r"'e' is written in brackets\. Write each entry on its own line"):
        with_entry("e: [{a: b}]\n", ("e",), "- n: m")


@pytest.mark.parametrize(
    ("text", "edited"),
    [
        ("", "- s: new\n"),
        ("# Sources.\n", "# Sources.\n\n- s: new\n"),
        ("- s: old", "- s: old\n\n- s: new\n"),
        ("- s: old\r\n", "- s: old\r\n\r\n- s: new\r\n"),
    ],
)
def test_a_source_goes_to_the_end_of_the_file_of_sources(text: str, edited: str) -> None:
    """Also of one that is not there yet, or that holds remarks only."""
    assert with_item(text, "- s: new") == edited


def test_a_source_does_not_go_into_a_file_of_a_single_page() -> None:
    """Two pages in one file are a list; the author is told how to make it one."""
    with pytest.raises(CannotEdit, match=r"holds a single page\. Begin its first line with"):
        with_item("source: old\n", "- source: new")


def test_a_new_file_is_taken_away_again_where_the_next_cannot_be_kept(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A cause without its worked case is never left behind, nor a half of a file."""
    replace = Path.replace

    def full(self: Path, target: Path) -> Path:
        if target.name == "case.yaml":
            raise OSError("disk full")
        return replace(self, target)

    monkeypatch.setattr(Path, "replace", full)
    with pytest.raises(OSError, match="disk full"):
        keep({tmp_path / "cause.yaml": "new", tmp_path / "case.yaml": "new"}, {})
    assert not list(tmp_path.iterdir())
