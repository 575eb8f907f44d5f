"""A mentor lists the weaknesses of the rules, and knows from the status whether any is left."""

from __future__ import annotations

import json
import shutil
from pathlib import Path

import pytest
from diagnose.shipped import shipped_folder

DEAD = """
- rule: two_figures_that_cannot_be
  when: {ph: {above: 4, below: 3}}
  warn: bottles_burst
  because: Planted by a test.
  source: logic
"""
ACCEPTED = """
- accepted: planted
  weakness: never_holds
  pages: rule.two_figures_that_cannot_be
  because: A test planted it.
"""


@pytest.fixture
def rules(tmp_path: Path) -> Path:
    """A copy of the shipped rules that a test may spoil."""
    return Path(shutil.copytree(shipped_folder("rules"), tmp_path / "rules"))


def test_the_shipped_rules_have_no_weakness_that_could_mislead(run) -> None:
    """No shipped page contradicts itself, is dead, or is cited by nobody, but for a known reason."""
    kinds = (
        *(
            "offer_contradicts",
            "request_contradicts",
            "values_contradict",
            "figures_overlap",
            "rows_contradict",
        ),
        *("cause_out_of_reach", "causes_alike", "never_holds", "value_never_concluded", "row_adds_nothing"),
        *("source_not_used", "question_not_read", "question_too_long", "jargon_not_told", "accepted_in_vain"),
    )
    done = run("check", "--weaknesses", "--json", *(part for kind in kinds for part in ("--only", kind)))
    told = json.loads(done.stdout)
    assert [
        (weak["kind"], weak["file"], weak["line"]) for weak in told["weaknesses"] if not weak["accepted"]
    ] == []
    assert done.returncode == 0
    assert told["left"] == 0
    assert told["accepted"] > 0
    assert all(weak["accepted"] for weak in told["weaknesses"])


def test_a_dead_rule_is_shown_with_its_place_and_the_mend(run, rules: Path) -> None:
    """What is left is shown with file and line, and the status says that something is left."""
    (rules / "mine.yaml").write_text(DEAD)
    done = run("--rules", str(rules), "check", "--weaknesses", "--only", "never_holds")
    assert done.returncode == 1
    assert "mine.yaml:2" in done.stdout
    assert "ph is above 4" in done.stdout
    assert "Mend the condition, or take it out." in done.stdout
    assert "1 weakness left to look at" in done.stdout


def test_what_is_accepted_is_shown_with_its_reason(run, rules: Path) -> None:
    """Once it is accepted, nothing is left, and the reason can be read."""
    (rules / "mine.yaml").write_text(DEAD + ACCEPTED)
    done = run("--rules", str(rules), "check", "--weaknesses", "--only", "never_holds")
    assert done.returncode == 0
    assert "A test planted it." in done.stdout
    assert "0 weaknesses left to look at; 1 accepted" in done.stdout


def test_own_cases_are_held_against_the_rules(run, rules: Path) -> None:
    """With cases named, rows they do not meet are told; without any, the list says that it did not look."""
    case = sorted(shipped_folder("cases").rglob("*.yaml"))[0]
    only = ("--only", "fix_in_no_case", "--json")
    with_case = json.loads(run("--rules", str(rules), "check", "--weaknesses", str(case), *only).stdout)
    without = json.loads(run("--rules", str(rules), "check", "--weaknesses", *only).stdout)
    assert with_case["left"] > 0
    assert with_case["not_looked_for"] == []
    assert "none of 1 cases" in with_case["weaknesses"][0]["what"]
    assert (without["left"], without["not_looked_for"]) == (0, ["fix_in_no_case"])


@pytest.mark.parametrize(
    ("arguments", "said"),
    [
        (("--weaknesses", "--only", "gap_between_figure"), "Did you mean 'gap_between_figures'?"),
        (("--only", "never_holds"), "go with --weaknesses"),
        (("--json",), "go with --weaknesses"),
        (("--weaknesses", "--judgements"), "one of"),
    ],
)
def test_misuse_is_told(run, arguments: tuple[str, ...], said: str) -> None:
    """A word that is no kind, and options that do not go together, are refused with what to do."""
    done = run("check", *arguments)
    assert done.returncode == 2
    assert said in done.stderr
