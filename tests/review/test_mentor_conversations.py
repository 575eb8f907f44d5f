"""A mentor's whole conversation, held on small invented rules: what is drafted, what is refused, and what is kept."""

from __future__ import annotations

from functools import partial
from pathlib import Path

import pytest
import yaml
from diagnose.knowledge.read import read_rule_base
from rule_folders import SOUND
from table import Table

CAUSE = (
    *("haze", "Gas in the veil", "Bubbles that look like a veil.", "yes", "rare", "Invented.", "invented"),
    *("bubbles rise", "yes, no", "confirms", "excludes", "Bubbles are seen.", "invented", "no"),
)
"""A cause up to its first row."""
NO_MORE = ("skip", "skip", "skip", "")
"""No look-alike, no proof, no fix and nothing that prevents it."""
SPARKLES = ("A wine that sparkles", "invented", "Bubbles rose in it.", "yes", "", "", "The bubbles say so.")
"""The wine in which it must show."""

AT_REST = """case: at_rest
title: A wine at rest
invented: yes
topic: haze
story: It clouded.
facts: {gas_seen: no}
expect: {first_cause: protein_haze, because: Invented.}
"""
GASSY = AT_REST.replace("at_rest", "gassy").replace("gas_seen: no", "gas_seen: yes")
UNREADABLE = AT_REST.replace("gas_seen", "gas_heard")

TEST = (
    *("protein haze", "Pour it slowly", "It shows bubbles.", "bubbles rise", "no", "cellar", "hour", "none"),
    *("a glass", "", "Pour it.", "", "Bubbles, or none.", "", "", "skip", "invented"),
)
"""A test that is seen at once, and the answer that confirms by it."""
VEIL = ("A veil in the warmth", "invented", "It clouded.", "skip", "", "", "It must.")
"""A wine of which nothing is known but that it clouded."""
FIX = (
    *("protein haze", "Warm the veil", "It loosens it.", "yes", "no", "slight", "none", "none", "slight"),
    *("As much as a trial found.", "invented", "bubbles rise: yes", "It foams.", "invented", ""),
    *("Warm it.", "", "glass", "a week", "Look.", "It is clear.", "Test again.", "Ask.", "invented"),
    *("mostly", "Warmth loosens it."),
)
"""A fix with a dose, a wine in which it does harm, and a caution."""


@pytest.fixture
def table(tmp_path: Path) -> Table:
    """Small invented rules, and no worked case."""
    return Table(tmp_path)


def page(table: Table, name: str) -> dict[str, object]:
    """A page of the rules, or a worked case, as it was written."""
    value = yaml.load(table.files()[name], Loader=yaml.BaseLoader)
    assert isinstance(value, dict)
    return value


def test_a_cause_can_be_told_without_look_alike_proof_fix_and_prevention(table: Table) -> None:
    """What is not known is left out; the page holds what was said, and its case comes out by it."""
    assert table.add("cause", *CAUSE, *NO_MORE, *SPARKLES, "yes")
    written = page(table, "rules/causes/gas_in_the_veil.yaml")
    assert not {"mimics", "confirmed_by", "prevention"} & written.keys()
    assert written["cured_by"] == []
    assert "In your wine: Gas in the veil, likely, 64 %." in table.said
    assert page(table, "cases/haze/a_wine_that_sparkles.yaml")["facts"] == {"gas_seen": "yes"}


def test_a_finding_that_confirms_a_new_cause_and_a_fix_for_it_are_kept(table: Table) -> None:
    """The answer that leaves no doubt stands on the page, and the wine that shows it is called confirmed."""
    more = (
        "protein haze",
        "gas",
        "Look for bubbles.",
        "bubbles rise",
        "yes",
        "bentonite",
        "hardly",
        "No.",
        "",
    )
    assert table.add("cause", *CAUSE, *more, *SPARKLES, "yes"), table.said
    cause = read_rule_base([table.rules]).causes["gas_in_the_veil"]
    assert [(one.observe, one.answers) for one in cause.confirmed_by] == [("gas_seen", ("yes",))]
    assert [(one.fix, one.how_well) for one in cause.cured_by] == [("bentonite", "hardly")]
    assert "In your wine: Gas in the veil, confirmed" in table.said


def test_a_wine_that_is_sound_is_no_fault(table: Table) -> None:
    """A cause at which nothing is wrong is written as such, so that nothing is treated for it."""
    sound = (*CAUSE[:3], "no", *CAUSE[4:])
    assert table.add("cause", *sound, *NO_MORE, *SPARKLES, "yes")
    assert read_rule_base([table.rules]).causes["gas_in_the_veil"].fault == "no"


def test_a_file_that_is_there_is_not_written_over_by_a_page_of_its_name(tmp_path: Path) -> None:
    """A colleague keeps notes in a file of that name: the new page takes another, and theirs stays."""
    table = Table(tmp_path)
    theirs = table.rules / "causes" / "gas_in_the_veil.yaml"
    theirs.parent.mkdir()
    theirs.write_text("# Notes on bubbles.\n[]\n", encoding="utf-8")
    assert table.add("cause", *CAUSE, *NO_MORE, *SPARKLES, "yes"), table.said
    assert theirs.read_text(encoding="utf-8") == "# Notes on bubbles.\n[]\n"
    assert page(table, "rules/causes/gas_in_the_veil_cause.yaml")["cause"] == "gas_in_the_veil"


# ---------------------------------------------------------------- before anything is kept


def test_no_at_the_last_question_throws_it_all_away(table: Table) -> None:
    """Nothing is written, as if the mentor had not come."""
    before = table.files()
    assert not table.add("cause", *CAUSE, *NO_MORE, *SPARKLES, "no")
    assert table.files() == before


@pytest.mark.parametrize("back", ["back", "2"])
def test_back_at_the_last_question_goes_to_the_answers_again(table: Table, back: str) -> None:
    """By its word as by its number, the last answer is mended, and the page is kept with it."""
    assert table.add("cause", *CAUSE, *NO_MORE, *SPARKLES, back, "The foam says so.", "yes")
    case = page(table, "cases/haze/a_wine_that_sparkles.yaml")
    assert case["expect"] == {"first_cause": "gas_in_the_veil", "because": "The foam says so."}


def test_a_wine_that_does_not_come_out_so_is_not_kept_until_it_does(table: Table) -> None:
    """What comes out instead is told, with what can help; one answer mended is enough."""
    still = (*SPARKLES[:3], "no", *SPARKLES[4:])
    mended = ("back", "back", "back", "yes", "", "", "The bubbles say so.")
    assert table.add("cause", *CAUSE, *NO_MORE, *still, *mended, "yes"), table.said
    assert (
        "Your wine does not come out so: first cause should be gas_in_the_veil; found protein_haze"
        in table.said
    )
    assert (
        "Wanted: gas_in_the_veil. What can help: more that is known of this wine, a stronger row"
        in table.said
    )
    assert "Say back to mend answers one by one, or stop." in table.said
    assert page(table, "cases/haze/a_wine_that_sparkles.yaml")["facts"] == {"gas_seen": "yes"}


def test_a_story_with_a_sign_that_no_file_can_hold_is_not_kept(table: Table) -> None:
    """A bell typed by accident would make a case that cannot be read: it is told before anything is written."""
    before = table.files()
    belled = (*SPARKLES[:2], "Bubbles \a rose. " * 20, *SPARKLES[3:])
    assert not table.add("cause", *CAUSE, *NO_MORE, *belled, "stop")
    assert "there is an invisible character here (U+0007)." in table.said
    assert "Say back to mend answers one by one, or stop." in table.said
    assert table.files() == before


def test_a_new_row_that_the_wine_does_not_show_is_not_kept(table: Table) -> None:
    """A row that never speaks in its own case would not be held to anything."""
    row = ("protein haze", "bubbles rise", "yes", "for", "Invented.", "invented", "")
    silent = ("A still wine", "invented", "It clouded.", "no", "skip", "skip", "", "", "It is still.")
    before = table.files()
    assert not table.add("evidence", *row, *silent, "stop")
    assert "The new row does not speak in your wine. Give one of the answers that it reads." in table.said
    assert table.files() == before


def test_a_list_in_brackets_is_told_with_the_mend_and_nothing_is_kept(tmp_path: Path) -> None:
    """A proof cannot be put into a list in brackets without moving what a colleague wrote there."""
    pages = (
        (SOUND / "pages.yaml")
        .read_text(encoding="utf-8")
        .replace(
            "confirmed_by:\n    - {observe: heat_rise, answers: large}",
            "confirmed_by: [{observe: heat_rise, answers: large}]",
        )
    )
    table = Table(tmp_path, {"pages.yaml": pages})
    before = table.files()
    assert not table.add("test", *TEST, *VEIL, "stop")
    assert (
        "The rules would not load with this, so nothing is kept: 'confirmed_by' is written in brackets."
        in (table.said)
    )
    assert table.files() == before


# ---------------------------------------------------------------- tests and fixes


def test_a_proof_is_written_into_a_cause_that_had_none(tmp_path: Path) -> None:
    """The test says which answer confirms; the cause gets its first list of proofs, and keeps every other line."""
    before = (
        (SOUND / "pages.yaml").read_text(encoding="utf-8").replace("how_common: rare", "how_common: common")
    )
    table = Table(tmp_path, {"pages.yaml": before})
    test = ("too much fining", *TEST[1:])
    wine = ("A fined wine", "invented", "It was fined.", "added: gelatin", "", "", "It was fined.")
    assert table.add("test", *test, *wine, "yes"), table.said
    base = read_rule_base([table.rules])
    assert [(one.observe, one.answers) for one in base.causes["overfining"].confirmed_by] == [
        ("gas_seen", ("no",))
    ]
    after = table.files()["rules/pages.yaml"]
    assert [line for line in after.splitlines() if line not in before.splitlines()] == [
        "  confirmed_by: [{observe: gas_seen, answers: [no]}]"
    ]
    assert base.tests["pour_it_slowly"].pitfalls == ()


def test_a_dose_is_kept_with_where_it_is_from(table: Table) -> None:
    """How much, and who says so, stand together on the page; so do the caution and the wine it harms."""
    assert table.add("fix", *FIX, *VEIL, "yes"), table.said
    fix = read_rule_base([table.rules]).fixes["warm_the_veil"]
    assert fix.dose is not None
    assert (fix.dose.says, fix.dose.source) == ("As much as a trial found.", ("invented",))
    assert (fix.cautions, fix.never_when[0].because) == (("hot_glass",), "It foams.")


def test_what_cannot_be_undone_is_locked_in_the_case_that_is_kept(table: Table) -> None:
    """The wine is not proven, so the case holds the program to keeping the fix locked there."""
    assert table.add("fix", *FIX, *VEIL, "yes"), table.said
    assert page(table, "cases/haze/a_veil_in_the_warmth.yaml")["expect"] == {
        "first_cause": "protein_haze",
        "locked": ["warm_the_veil"],
        "because": "It must.",
    }


# ---------------------------------------------------------------- what it would do to the other wines


def test_a_case_that_would_no_longer_come_out_is_named_before_it_is_kept(tmp_path: Path) -> None:
    """The mentor sees which wine the new cause takes over; one that stays as it was is not named."""
    table = Table(tmp_path, worked={"at_rest.yaml": AT_REST, "gassy.yaml": GASSY})
    assert not table.add("cause", *CAUSE, *NO_MORE, *SPARKLES, "no")
    assert "Judging 2 worked cases before and after the change." in table.said
    assert (
        "gassy would no longer come out as its page expects: - first cause should be protein_haze"
        in table.said
    )
    assert "at_rest would no longer" not in table.said
    assert "Keep it? 1 worked cases would no longer come out." in table.said


def test_a_worked_case_that_cannot_be_read_is_not_laid_to_the_change(tmp_path: Path) -> None:
    """It was wrong before: it is named, and the change is held against the others."""
    table = Table(tmp_path, worked={"at_rest.yaml": AT_REST, "slip.yaml": UNREADABLE})
    assert table.add("cause", *CAUSE, *NO_MORE, *SPARKLES, "yes")
    assert "Left out, since the rules of before cannot read them: slip" in table.said
    assert "would no longer come out" not in table.said


def test_a_case_that_a_colleague_spoils_meanwhile_is_told_with_its_mistake(tmp_path: Path) -> None:
    """Between one look at the change and the next somebody writes a name that no rule knows."""
    table = Table(tmp_path, worked={"at_rest.yaml": AT_REST})
    case = table.cases / "at_rest.yaml"
    spoil = partial(case.write_text, UNREADABLE, encoding="utf-8")
    assert not table.add("cause", *CAUSE, *NO_MORE, *SPARKLES, "2", spoil, "The foam says so.", "no")
    assert "at_rest would no longer come out as its page expects: - " in table.said
    assert "'gas_heard'" in table.said
