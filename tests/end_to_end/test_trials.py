"""Bench trials in the real command, from the plan to the amounts for the vessel."""

from __future__ import annotations

from pathlib import Path

import pytest

CASE = """\
case: mine
title: Mine
topic: "so2"
units: metric
events:
- {"at": "2026-03-14", "did": "answered", "about": "wine_colour", "value": "red"}
- {"at": "2026-03-14", "did": "answered", "about": "wine_is_in", "value": "vessel"}
- {"at": "2026-03-14", "did": "answered", "about": "ph", "value": 3.85}
- {"at": "2026-03-14", "did": "answered", "about": "vessel_volume", "value": 100}
"""

STOPPED = 3
"""What the command ends with where the person stopped before a cause was likely."""

PLAN = ["1", "10 %", "100 mL", "0.1", "0.01", "0.5 1 1.5 2", "1", "yes"]


def flat(text: str) -> str:
    """A screen on one line."""
    return " ".join(text.split())


@pytest.fixture
def mine(home: Path) -> Path:
    """A kept case of a red with a high pH in 100 L."""
    (home / "cases").mkdir()
    kept = home / "cases" / "mine.yaml"
    kept.write_text(CASE)
    return kept


def test_acid_is_tried_today_and_read_another_day(run, mine: Path) -> None:
    """Planned today, read after the cold: the least dose that reached the pH and tastes well, weighed for 100 L."""
    planned = run("continue", "mine", lines=["enough", "trial add_acid_for_so2", *PLAN, "later", "stop"])
    assert planned.returncode == STOPPED, planned.stderr
    assert "dose g/L" in planned.stdout and "ph" in planned.stdout and "taste" in planned.stdout
    read = ["3.85 3.75 3.62 3.55 3.52", "3.0 to 3.6", "- - - y n"]
    said = run("continue", "mine", lines=["enough", "trial add_acid_for_so2", *read, "stop"])
    assert said.returncode == STOPPED, said.stderr
    screen = flat(said.stdout)
    assert "1.5 g/L is the least dose where the pH has come down far enough" in screen
    assert "tartaric acid: 150 g (1.5 g/L)" in screen and "weighed dry" in screen
    report = run("report", "mine", "--to", str(mine.parent / "r.md"))
    assert report.returncode == 0, report.stderr
    written = (mine.parent / "r.md").read_text()
    assert "ph (3 to 3.6 passes)" in written and "| 3 | 1.5 | 3.55 | yes |" in written
    sheet = run("sheet", "mine", "trial", "add_acid_for_so2", "--to", str(mine.parent / "s.md"))
    assert sheet.returncode == 0 and "The dose chosen" in (mine.parent / "s.md").read_text()


def test_a_blend_is_tried_on_paper_and_told_in_the_report(run, mine: Path) -> None:
    """The sheet has millilitres of both wines, the report the pH, the haze and the ranks of each share."""
    plan = ["100 mL", "1", "1", "20 30 50", "1", "yes"]
    said = run("continue", "mine", lines=["enough", "trial blend_with_sharper_wine", *plan, "later", "stop"])
    assert said.returncode == STOPPED, said.stderr
    sheet = run("sheet", "mine", "trial", "blend_with_sharper_wine", "--to", str(mine.parent / "s.md"))
    written = (mine.parent / "s.md").read_text()
    assert (
        sheet.returncode == 0
        and "| Jar | Share, % | Other wine, mL | This wine, mL | Ph | Clear | Liking |" in written
    )
    assert "| 1 | 20 | 20 | 80 |" in written and "Water, mL" not in written
    read = ["3.85 3.6 3.48 3.3", "", "- - y y", "4 2 1 3"]
    said = run("continue", "mine", lines=["enough", "trial blend_with_sharper_wine", *read, "stop"])
    assert "30 % is the best liked" in flat(said.stdout), said.stderr
    report = run("report", "mine", "--to", str(mine.parent / "r.md"))
    assert report.returncode == 0, report.stderr
    written = (mine.parent / "r.md").read_text()
    assert "Dose, % of the blend" in written and "| 2 | 30 | 3.48 | yes | 1 |" in written


def test_equal_jars_of_a_blend_have_a_line_each_on_the_sheet(run, mine: Path) -> None:
    """Two jars of each share: eight lines with letters, still without water."""
    plan = ["100 mL", "1", "1", "20 30 50", "2", "yes"]
    run("continue", "mine", lines=["enough", "trial blend_with_sharper_wine", *plan, "later", "stop"])
    sheet = run("sheet", "mine", "trial", "blend_with_sharper_wine", "--to", str(mine.parent / "s.md"))
    written = (mine.parent / "s.md").read_text()
    assert sheet.returncode == 0 and "| 1b | 20 | 20 | 80 |" in written and "The dose chosen" in written
    assert "Water, mL" not in written and "stock" not in written


def test_sweet_and_unprotected_is_not_ready(run, mine: Path) -> None:
    """Sugar went in and nothing keeps yeast from it: the gate fails; an old sugar test does not pass it."""
    told = {
        "gravity_trend": '"steady"',
        "gas": '"none"',
        "added_lately": '["sugar"]',
        "filter_grade": '"coarse"',
    }
    rows = [
        f'- {{"at": "2026-03-15", "did": "answered", "about": "{k}", "value": {v}}}\n'
        for k, v in told.items()
    ]
    sugar = '- {"at": "2026-03-15", "did": "answered", "about": "residual_sugar", "value": %s}\n'
    for grams, says in (
        ("9", "neither a proved membrane nor sorbate"),
        ("1", "the test is older than the sugar"),
    ):
        mine.write_text(CASE + "".join(rows) + sugar % grams)
        said = run("continue", "mine", lines=["enough", "ready", "stop"])
        assert said.returncode == STOPPED, said.stderr
        assert says in flat(said.stdout)
