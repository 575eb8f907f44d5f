"""Two outcomes of one case held side by side, and the cases made for it, on a rule base of five pages."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest
from diagnose.engine.facts import Fact
from diagnose.judgement.judge import Cellar
from diagnose.knowledge.read import read_rule_base
from diagnose.review.impact import Change, compare
from diagnose.review.outcome import Outcome
from diagnose.review.simulated import simulated
from diagnose.review.trying import Given, judge_given, try_case
from rule_folders import SOUND


@pytest.fixture(scope="module")
def cellar() -> Cellar:
    """The small rules."""
    return Cellar(read_rule_base([SOUND]))


@pytest.fixture(scope="module")
def outcome(cellar: Cellar) -> Outcome:
    """What a wine at rest that was fined comes to."""
    return judge_given(cellar, Given("mine", ("haze",), (Fact("gas_seen", "no"),)))


def told(cellar: Cellar, was: Outcome, now: Outcome) -> list[tuple[str, str, str, str, bool]]:
    """What is otherwise, as plain words."""
    changes: tuple[Change, ...] = compare(cellar.base, was, now)
    return [(one.kind, one.says, one.before, one.after, one.safety) for one in changes]


def test_another_first_cause_another_standing_and_a_topic_gone_are_each_told(
    cellar: Cellar, outcome: Outcome
) -> None:
    """What somebody would read first on the screen is named with what stood there before."""
    was = replace(outcome, firsts={"haze": ("protein_haze", "possible")})
    assert told(cellar, was, replace(was, firsts={"haze": ("overfining", "possible")})) == [
        ("first cause", "first cause in haze", "protein_haze", "overfining", False)
    ]
    assert told(cellar, was, replace(was, firsts={"haze": ("protein_haze", "likely")})) == [
        ("standing", "protein_haze in haze", "possible", "likely", False)
    ]
    assert told(cellar, was, replace(was, firsts={})) == [
        ("topic", "haze is no longer looked into", "", "", False)
    ]
    assert told(cellar, replace(was, firsts={}), was) == [("topic", "haze is looked into", "", "", False)]


def test_a_fix_that_was_locked_and_is_open_is_told_first(cellar: Cellar, outcome: Outcome) -> None:
    """What waited for a test is now done without it: a matter of safety, told once and before all else."""
    was = replace(outcome, locked=frozenset({"bentonite"}), offered=frozenset(), tests=frozenset())
    now = replace(was, locked=frozenset(), offered=frozenset({"bentonite"}), tests=frozenset({"heat_test"}))
    assert told(cellar, was, now) == [
        ("fix", "bentonite was locked and is open", "locked", "open", True),
        ("test", "heat_test", "not there", "there", False),
    ]


def test_of_numbers_alone_no_other_case_is_made(cellar: Cellar) -> None:
    """Another reading would be invented, so a case without a word is only made with fewer answers."""
    numbers = Given("mine", ("haze",), (Fact("heated_ntu", 7.0),))
    made = list(simulated(cellar.base, numbers, 3))
    assert len(made) == 3 and all("half of its answers" in case.name for case in made)
    assert {case.facts for case in made} <= {(), numbers.facts}
    words = replace(numbers, facts=(*numbers.facts, Fact("gas_seen", "no")))
    changed = [case for case in simulated(cellar.base, words, 3) if "half" not in case.name]
    assert [case.facts for case in changed] == [(Fact("heated_ntu", 7.0), Fact("gas_seen", "yes"))] * 3


def test_a_worked_case_that_cannot_be_read_is_told_and_does_not_come_out(
    cellar: Cellar, tmp_path: Path
) -> None:
    """A slip in one file is named with its line, and counts as a case that did not come out."""
    file = tmp_path / "mine.yaml"
    file.write_text("case: mine\ntitle: Invented\ntopic: haze\nfacts: {gas_seem: no}\n", encoding="utf-8")
    tried = try_case(cellar, file)
    assert not tried.as_expected and tried.outcome is None and tried.case == "mine"
    (said,) = tried.wrong
    assert said.startswith(f"{file}:4:") and "'gas_seem'" in said and "gas_seen" in said
