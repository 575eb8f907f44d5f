"""A mentor's whole conversation, held on small invented rules: what is drafted, what is refused, and what is kept."""

from __future__ import annotations

from pathlib import Path

import pytest
import yaml
from diagnose.knowledge.read import read_rule_base
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
topic: haze
facts: {gas_seen: no}
expect: {first_cause: protein_haze, because: Invented.}
"""
GASSY = AT_REST.replace("at_rest", "gassy").replace("no", "yes")
UNREADABLE = AT_REST.replace("gas_seen", "gas_heard")


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
    more = ("protein haze", "gas", "Look for bubbles.", "bubbles rise", "yes", "bentonite", "hardly", "No.", "")
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


def test_back_at_the_last_question_goes_to_the_answers_again(table: Table) -> None:
    """The last answer is mended, and the page is kept with it."""
    assert table.add("cause", *CAUSE, *NO_MORE, *SPARKLES, "back", "The foam says so.", "yes")
    case = page(table, "cases/haze/a_wine_that_sparkles.yaml")
    assert case["expect"] == {"first_cause": "gas_in_the_veil", "because": "The foam says so."}


def test_a_wine_that_does_not_come_out_so_is_not_kept_until_it_does(table: Table) -> None:
    """What comes out instead is told, with what can help; one answer mended is enough."""
    still = (*SPARKLES[:3], "no", *SPARKLES[4:])
    mended = ("back", "back", "back", "yes", "", "", "The bubbles say so.")
    assert table.add("cause", *CAUSE, *NO_MORE, *still, *mended, "yes"), table.said
    assert (
        "Your wine does not come out so: first cause should be gas_in_the_veil; found protein_haze" in table.said
    )
    assert "Wanted: gas_in_the_veil. What can help: more that is known of this wine, a stronger row" in table.said
    assert "Say back to mend answers one by one, or stop." in table.said
    assert page(table, "cases/haze/a_wine_that_sparkles.yaml")["facts"] == {"gas_seen": "yes"}


def test_a_story_with_a_sign_that_no_file_can_hold_is_not_kept(table: Table) -> None:
    """A bell typed by accident would make a case that cannot be read: it is told before anything is written."""
    before = table.files()
    belled = (*SPARKLES[:2], "Bubbles \\a rose.", *SPARKLES[3:])
    assert not table.add("cause", *CAUSE, *NO_MORE, *belled, "stop")
    assert "a_wine_that_sparkles.yaml:" in table.said
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
    pages = _sound_pages().replace(
        "confirmed_by:\\n    - {observe: heat_rise, answers: large}",
        "confirmed_by: [{observe: heat_rise, answers: large}]",
    )
    table = Table(tmp_path, {"pages.yaml": pages})
    before = table.files()
    assert not table.add("test", *POUR, *VEIL, "stop")
    assert "The rules would not load with this, so nothing is kept: 'confirmed_by' is written in brackets." in (
        table.said
    )
    assert table.files() == before
