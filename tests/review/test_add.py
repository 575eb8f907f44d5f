"""What two people tell in a conversation becomes a rule that works, or leaves no trace."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from diagnose.knowledge.read import read_rule_base
from mentor import ROOT, Cellar, changed, only_added

TUTORIAL = ROOT / "docs" / "how-to" / "add-with-a-mentor.md"


@pytest.fixture
def cellar(tmp_path: Path) -> Cellar:
    """Rules and cases of the test's own."""
    return Cellar(tmp_path)


def tutorial_lines() -> list[str]:
    """The lines of the tutorial, as they stand on its page."""
    found = re.search(r"^```text lines\n(.*?)^```$", TUTORIAL.read_text(encoding="utf-8"), re.M | re.S)
    assert found
    return found[1].splitlines()


def test_the_tutorial_ends_in_a_cause_that_works(cellar: Cellar) -> None:
    """Its lines, typed literally, make a draft page that loads, and a case that comes out by it."""
    before = cellar.files()
    done = cellar.add("cause", tutorial_lines())
    assert done.returncode == 0, done.stdout[-2000:] + done.stderr
    made = changed(before, cellar.files())
    assert set(made) == {"cases/haze/a_white_with_oak_powder.yaml", "rules/haze/causes/dust_of_oak.yaml"}
    page = read_rule_base([cellar.rules]).causes["dust_of_oak"]
    assert page.review.status == "draft"
    assert page.evidence[0].says == {"specks_or_fibres": "strongly_for", "even_veil": "slightly_against"}
    checked = cellar.run("check", str(cellar.cases / "haze"))
    assert "1 of 1 cases come out as expected" in checked.stdout
    (cellar.rules / "haze" / "causes" / "dust_of_oak.yaml").unlink()
    assert cellar.run("check", str(cellar.cases / "haze")).returncode == 1


@pytest.mark.parametrize("kept", [0, 5, 12, 30, -1])
def test_stopping_anywhere_leaves_no_trace(cellar: Cellar, kept: int) -> None:
    """Also at the very last question, when all is drafted."""
    before = cellar.files()
    done = cellar.add("cause", [*tutorial_lines()[:kept], "stop"])
    assert done.returncode == 3
    assert "Nothing was written" in done.stdout
    assert cellar.files() == before


def test_a_row_is_added_and_every_other_byte_stays(cellar: Cellar) -> None:
    """The remarks and the form of the page are its author's."""
    before = cellar.files()
    row = ["ropiness", "haze_began", "2", "slightly for", "Rope comes late, in storage.", "", "none"]
    case = ["A rope in an old white", "invented", "It was clear, and now pours like oil.", "2", "1", "2"]
    facts = ["skip", "skip", "skip", "skip", "colour: white", "", "", "It draws strings.", "yes"]
    done = cellar.add("evidence", [*row, *case, *facts])
    assert done.returncode == 0, done.stdout[-3000:] + done.stderr
    page = "rules/haze/causes/ropiness.yaml"
    assert only_added(before[page], cellar.files()[page])
    new = read_rule_base([cellar.rules]).causes["ropiness"].evidence[-1]
    assert (new.observe, dict(new.says)) == ("haze_began", {"after_clear": "slightly_for"})


def test_a_name_that_is_taken_is_refused_with_the_mend(cellar: Cellar) -> None:
    """Two pages of one name would be one too many."""
    done = cellar.add("cause", ["haze", "Iron haze", "stop"])
    assert "already a page called 'iron_haze'" in done.stdout


ROPE = ["A rope in the bottle", "invented", "It became silky and thick in the bottle."]


def test_a_test_is_added_and_asked_for_in_its_case(cellar: Cellar) -> None:
    """The case leaves open what the test answers; the source is a new one, as it was told."""
    page = [
        "ropiness",
        "Slow pour against the light",
        "It shows strings that a quick pour hides.",
        "pour_test",
    ]
    how = [
        "cellar",
        "minutes",
        "none",
        "a clean glass",
        "",
        "Pour slowly.",
        "",
        "Strings, or none.",
        "",
        "",
        "skip",
    ]
    source = ["new", "Invented notes on pouring", "skip", "skip", "skip", "skip", "judgement"]
    facts = ["2", "6", "skip", "3.9", "3", "colour: white", "free so2: 3", "", "", "It is thick.", "yes"]
    done = cellar.add("test", [*page, *how, *source, *ROPE, *facts])
    assert done.returncode == 0, done.stdout[-3000:] + done.stderr
    base = read_rule_base([cellar.rules])
    assert base.tests["slow_pour_against_the_light"].source == ("invented_notes_on_pouring",)
    assert cellar.run("check", str(cellar.cases / "haze")).returncode == 0


def test_a_fix_is_added_to_its_cause_and_offered_in_its_case(cellar: Cellar) -> None:
    """What is forbidden in a wine is forbidden there; the cause keeps every other byte."""
    before = cellar.files()
    page = [
        "ropiness",
        "Whip the strings",
        "It breaks the strings and does not stop the bacteria.",
        "yes",
        "yes",
    ]
    burdens = ["slight", "none", "slight", "some", "skip", "gas: lively", "It foams over.", "", ""]
    how = ["Stir hard.", "", "foam on the floor", "one day", "Pour it.", "It splashes.", "Again.", "Ask.", ""]
    cure = ["partly", "The strings break."]
    facts = [
        "1",
        "2",
        "6",
        "skip",
        "3.9",
        "3",
        "colour: white",
        "free so2: 3",
        "",
        "",
        "It draws strings.",
        "yes",
    ]
    done = cellar.add("fix", [*page, *burdens, *how, *cure, *ROPE, *facts])
    assert done.returncode == 0, done.stdout[-3000:] + done.stderr
    cause = "rules/haze/causes/ropiness.yaml"
    assert only_added(before[cause], cellar.files()[cause])
    assert read_rule_base([cellar.rules]).fixes["whip_the_strings"].cautions == ("foam_on_the_floor",)
    assert cellar.run("check", str(cellar.cases / "haze")).returncode == 0
