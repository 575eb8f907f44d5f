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


EVIDENCE = (
    ["vinegar bacteria", "days since fining", "stop"],
    ["ropiness", "gas", "lively", "slightly against", "Rope makes no gas.", "", "none"],
)


def test_a_row_is_added_and_every_other_byte_stays(cellar: Cellar) -> None:
    """The remarks and the form of the page are its author's."""
    before = cellar.files()
    case = ["A rope with some gas", "invented", "It pours like oil and some gas rises.", "lively", "1", "2"]
    facts = ["skip", "skip", "skip", "skip", "pour test: 1", "tastes: 2", "", "", "It draws strings.", "yes"]
    done = cellar.add("evidence", [*EVIDENCE[1], *case, *facts])
    assert done.returncode == 0, done.stdout[-3000:] + done.stderr
    page = "rules/haze/causes/ropiness.yaml"
    came = changed(before, cellar.files())[page][1]
    assert only_added(before[page], cellar.files()[page], came)
    row = read_rule_base([cellar.rules]).causes["ropiness"].evidence[-1]
    assert (row.observe, dict(row.says)) == ("gas", {"lively": "slightly_against"})


def test_a_name_that_is_taken_is_refused_with_the_mend(cellar: Cellar) -> None:
    """Two pages of one name would be one too many."""
    done = cellar.add("cause", ["haze", "Iron haze", "stop"])
    assert "already a page called 'iron_haze'" in done.stdout
