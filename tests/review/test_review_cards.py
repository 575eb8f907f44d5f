"""A mentor reads the rules as cards; what is said of one stands beside it, and nothing else in the file moves."""

from __future__ import annotations

import re
from copy import deepcopy
from pathlib import Path

import pytest
from diagnose import shipped
from diagnose.casebook.store import CannotKeep
from diagnose.commands.review import refuse_installed
from diagnose.drafting.edit import with_entry, with_value
from diagnose.drafting.keep import keep
from diagnose.knowledge.load import path_to
from diagnose.knowledge.read import read_rule_base
from diagnose.knowledge.yaml_reader import read_text
from diagnose.review.standing import cards, print_of
from mentor import ROOT, Cellar, changed, only_added

VINEGAR = "rules/haze/causes/acetic_bacteria.yaml"
CAUSES = sorted((ROOT / "rules").rglob("causes/*.yaml"))


@pytest.fixture
def cellar(tmp_path: Path) -> Cellar:
    """Rules and cases of the test's own."""
    return Cellar(tmp_path)


def test_an_accepted_row_says_who_stands_behind_it_and_nothing_else_moves(cellar: Cellar) -> None:
    """One line comes, with initials, day and print; every comment and line break stays."""
    before = cellar.files()
    done = cellar.review("accept", "stop")
    after = cellar.files()
    assert "speaks strongly for it" in done.stdout
    ((went, came),) = changed(before, after).values()
    assert not went
    (line,) = came
    assert re.fullmatch(
        r'    review: \{status: reviewed, by: AB, on: \d{4}-\d\d-\d\d, of: "[0-9a-f]{8}"\}', line
    )
    assert only_added(before[VINEGAR], after[VINEGAR])


def test_a_reviewed_row_is_not_shown_again(cellar: Cellar) -> None:
    """What somebody stands behind is left out of the next walk."""
    first = cellar.review("accept", "stop").stdout
    again = cellar.review("stop").stdout
    of = re.compile(r"1 of (\d+) ")
    assert int(of.search(again)[1]) == int(of.search(first)[1]) - 1  # type: ignore[index]
    assert "Taste and feel" in again
    assert "Smell:" not in again


def test_a_row_that_changed_since_is_a_draft_again_and_is_listed(cellar: Cellar) -> None:
    """Another strength under old initials would be a forged signature."""
    cellar.review("accept", "stop")
    file = cellar.folder / VINEGAR
    file.write_text(
        file.read_text(encoding="utf-8").replace("vinegar: strongly_for", "vinegar: for"), encoding="utf-8"
    )
    listed = cellar.run("review", "--list", "--topic", "haze").stdout
    assert "Changed since it was reviewed: 1" in listed
    assert re.search(r"Reviewed by AB on \S+, and changed since", listed)
    assert "0 of " in listed.splitlines()[-1]
    assert "changed since" in cellar.run("check").stdout


def test_new_line_breaks_and_remarks_leave_a_review_standing(cellar: Cellar) -> None:
    """What counts is what the row says, not how it is written."""
    cellar.review("accept", "stop")
    file = cellar.folder / VINEGAR
    text = file.read_text(encoding="utf-8")
    one_line = re.sub(r">\n      Acetic acid(.*)\n      made", r"Acetic acid\1 made", text)
    assert one_line != text
    file.write_text(
        one_line.replace("  - observe: smells", "  # A remark.\n  - observe: smells"), encoding="utf-8"
    )
    assert "1 of " in cellar.run("review", "--list", "--topic", "haze").stdout.splitlines()[-1]


def test_another_strength_is_previewed_and_kept_only_on_yes(cellar: Cellar) -> None:
    """The effect on the worked cases comes before the question; `no` leaves the file alone."""
    before = cellar.files()
    asked = ("strength", "vinegar", "slightly_for")
    refused = cellar.review(*asked, "no", "stop")
    assert "skin_and_vinegar" in refused.stdout
    assert cellar.files() == before
    cellar.review(*asked, "yes", "stop")
    ((went, came),) = changed(before, cellar.files()).values()
    assert [line.replace("vinegar: strongly_for", "vinegar: slightly_for") for line in went] == came[:1]
    assert "of:" in came[1]
    assert "1 of " in cellar.run("review", "--list", "--topic", "haze").stdout.splitlines()[-1]


def test_a_comment_is_kept_as_it_was_said_and_the_row_stays_a_draft(cellar: Cellar) -> None:
    """Words of a person are words, whatever signs are in them."""
    said = 'too strong: see "this" #2, [no] {really}'
    cellar.review("comment", said, "back", "stop")
    base = read_rule_base([cellar.rules])
    review = base.causes["acetic_bacteria"].evidence[0].review
    assert review is not None
    assert (review.status, review.by, review.remark) == ("draft", "AB", said)


@pytest.mark.parametrize(
    "lines", [("stop",), (), ("comment",), ("strength", "vinegar"), ("skip", "back", "what", "stop")]
)
def test_leaving_anywhere_writes_nothing(cellar: Cellar, lines: tuple[str, ...]) -> None:
    """No half of a review is ever on the disk."""
    before = cellar.files()
    assert cellar.review(*lines).returncode == 3
    assert cellar.files() == before


def test_rules_that_came_with_the_installation_are_not_written_into(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """What a mentor says would be gone with the next version: it is refused before anything is asked, with the mend."""
    monkeypatch.setattr(shipped, "_PACKAGE", tmp_path)
    installed = tmp_path / "shipped_data" / "rules"
    installed.mkdir(parents=True)
    with pytest.raises(CannotKeep, match=r"next version would overwrite.*Copy the folders"):
        refuse_installed([tmp_path, installed])
    refuse_installed([tmp_path, tmp_path / "rules"])


def test_what_are_no_initials_is_refused_with_the_mend(cellar: Cellar) -> None:
    """The sentence names what was typed and what is expected."""
    done = cellar.run("review", "--by", "A}B: x")
    assert done.returncode == 2
    assert "'A}B: x' are not initials" in done.stderr


# ---------------------------------------------------------------- the text of a file


@pytest.mark.parametrize("file", CAUSES, ids=lambda file: file.stem)
def test_a_review_goes_into_any_row_of_the_shipped_rules(file: Path) -> None:
    """Only characters come, in one place, and the page reads the same with the review in the right row."""
    text = file.read_bytes().decode()
    value = read_text(text, "").value
    for page in value if isinstance(value, list) else [value]:
        if "cause" not in page:
            continue
        path = path_to(text, "cause", page["cause"], str(file))
        for number in range(len(page["evidence"])):
            new = with_value(text, (*path, "evidence", number), "review", "{status: draft}")
            at = next(at for at, (old, now) in enumerate(zip(text + "\0", new, strict=False)) if old != now)
            assert new[:at] + new[at + len(new) - len(text) :] == text
            expected = deepcopy(value)
            rows = (expected[path[0]] if path else expected)["evidence"]
            rows[number]["review"] = {"status": "draft"}
            assert read_text(new, "").value == expected


@pytest.mark.parametrize(
    ("text", "edited"),
    [
        ("- {a: b, c: [d]} # x\n", "- {a: b, c: [d], k: v} # x\n"),
        ("- a: b # x\n  # y\n\n- c: d\n", "- a: b # x\n  k: v\n  # y\n\n- c: d\n"),
        ("- a: >\n    b\n    c\n\n# y\n- c: d", "- a: >\n    b\n    c\n  k: v\n\n# y\n- c: d"),
        ("- a: b\r\n- c: d\r\n", "- a: b\r\n  k: v\r\n- c: d\r\n"),
        ("- a: b", "- a: b\n  k: v"),
        ("- k: {x: y} # z\n  a: b\n", "- k: v # z\n  a: b\n"),
        ("- a:\n    - b\n    - c: d\n", "- a:\n    - b\n    - c: d\n  k: v\n"),
        ("- k: >-\n    x\n    y\n  a: b\n", "- k: v\n  a: b\n"),
        ("# é µ “x”\n- a: “é”\n", "# é µ “x”\n- a: “é”\n  k: v\n"),
    ],
)
def test_a_key_is_set_without_touching_what_stands_around_it(text: str, edited: str) -> None:
    """Whatever form a person chose for the item, remarks and line ends stay where they are."""
    assert with_value(text, (0,), "k", "v") == edited


@pytest.mark.parametrize(
    ("text", "edited"),
    [
        ("e:\n  - a: b\n  # x\n\nf: g\n", "e:\n  - a: b\n  - n: m\n  # x\n\nf: g\n"),
        ("e:\n- a: b\n", "e:\n- a: b\n- n: m\n"),
        ("e: []\nf: g\n", "e:\n  - n: m\nf: g\n"),
    ],
)
def test_an_entry_goes_to_the_end_of_its_list(text: str, edited: str) -> None:
    """An empty list in brackets becomes a list of lines."""
    assert with_entry(text, ("e",), "- n: m") == edited


def test_a_file_that_somebody_else_changed_is_not_written_over(tmp_path: Path) -> None:
    """What a colleague saved meanwhile is worth more than our copy."""
    file = tmp_path / "a.yaml"
    file.write_text("theirs", encoding="utf-8")
    with pytest.raises(CannotKeep, match="changed by somebody else"):
        keep({file: "ours"}, {file: "as it was"})
    assert file.read_text(encoding="utf-8") == "theirs"


def test_of_several_files_all_are_kept_or_none(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A row without its case, or the other way round, is never left behind."""
    first, second = tmp_path / "a.yaml", tmp_path / "b.yaml"
    first.write_text("old", encoding="utf-8")
    replace, calls = Path.replace, []

    def fail_second(self: Path, target: Path) -> Path:
        calls.append(target)
        if len(calls) == 2:
            raise OSError("disk full")
        return replace(self, target)

    monkeypatch.setattr(Path, "replace", fail_second)
    with pytest.raises(OSError, match="disk full"):
        keep({first: "new", second: "new"}, {first: "old"})
    assert {path.name: path.read_text(encoding="utf-8") for path in tmp_path.iterdir()} == {"a.yaml": "old"}


def test_prints_of_different_rows_differ() -> None:
    """A review cannot be carried from one row to another."""
    every = cards(read_rule_base([ROOT / "rules"]))
    prints = {(card.kind, card.page, card.row): card.print for card in every}
    assert len(set(prints.values())) == len(prints)
    row = next(card for card in every if card.kind == "cause")
    assert print_of("cause", "another_cause", row.item) != row.print
