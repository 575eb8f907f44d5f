"""What is mistyped at a question of a bench trial: a sentence says why, and the question stays open."""

from __future__ import annotations

from pathlib import Path

import pytest
from at_the_table import after_the_result

PLAN = ["1", "50", "100 mL", "0.1", "0.01", "0.2 0.4 0.8", "1", "yes"]
"""By volume, 50 g in a litre, three doses, one jar of each: each line is the answer to one question."""

BY_METER = ["yes", "2", "9 5 0.8 0.5", "u s s s", "2 1 3 4"]
"""Ready to be read; a turbidity meter; NTU, heat test and taste of the control and three doses."""

BY_EYE = ["yes", "1", "4 3 1 1", "1"]


def at_bentonite(folder: Path, *lines: str) -> str:
    """The screen when these lines are typed at a trial of clay, which is then left."""
    return after_the_result(folder, "trial bentonite", *lines, "stop", "stop")[0]


@pytest.mark.parametrize(
    ("answered", "typed", "says", "still_asked"),
    [
        (0, "by thumb", "'by thumb' is not one of the answers; type 1, 2.", "How do you make and measure"),
        (1, "a spoon", "a spoon", "in a litre of slurry?"),
        (1, "500", "500 g/L cannot be right for a slurry; expected", "in a litre of slurry?"),
        (1, "90 %", "900 g/L cannot be right for a slurry; expected", "in a litre of slurry?"),
        (2, "5", "5 mL is no jar for a trial; expected 10 to 5000 mL. 100 mL is handy.", "in each jar?"),
        (2, "a glass", "a glass", "in each jar?"),
        (3, "200 mL", "200 mL cannot be right here; expected 0.001 to 100 mL.", "measure surely, in mL?"),
        (3, "a drop", "'a drop' is not a number", "measure surely, in mL?"),
        (5, "g/L", "Type doses in g/L with spaces between, such as 0.1 0.2 0.4.", "Which doses, in g/L?"),
        (5, "0,1,2", "'0,1,2' can be read in two ways; put spaces between", "Which doses, in g/L?"),
        (6, "0", "'0' is not a whole number from 1 to 6.", "How many jars of each dose?"),
        (6, "two", "'two' is not a whole number from 1 to 6.", "How many jars of each dose?"),
        (7, "perhaps", "'perhaps' is not one of the answers; type yes, y.", "Keep this plan?"),
    ],
)
def test_a_slip_in_the_plan_is_told_and_the_question_stays(
    tmp_path: Path, answered: int, typed: str, says: str, still_asked: str
) -> None:
    """A wrong tool, unit, jar or ladder is named as it was typed, with what is expected, and nothing is planned."""
    screen = at_bentonite(tmp_path, *PLAN[:answered], typed)
    assert says in screen
    # No question comes after the one that was mistyped.
    after = screen.rsplit(says, 1)[1]
    assert still_asked in screen and "?" not in after.replace("Left as it was.", "")
    assert "trial_planned" not in next(tmp_path.rglob("*.yaml")).read_text(encoding="utf-8")


@pytest.mark.parametrize(
    ("read", "typed", "says"),
    [
        (["yes"], "3", "'3' is not one of the answers; type 1, 2."),
        (BY_METER[:2], "9 5 0.8", "3 values for 4 jars; type 4, the control first, a dash if not read."),
        (BY_METER[:2], "9 5 -1 0.5", "-1 NTU cannot be right; expected 0 to 4000."),
        (BY_METER[:2], "9000 5 1 0.5", "9000 NTU cannot be right; expected 0 to 4000."),
        (BY_METER[:2], "hazy 5 1 0.5", "'hazy' is not a number"),
        (BY_METER[:3], "u s clear s", "'clear' is not a number"),
        (BY_METER[:4], "2 1 best 4", "'best' is not a rank; ranks are 1, 2, 3 and so on."),
        (BY_METER[:4], "2 0 1 3", "'0' is not a rank; ranks are 1, 2, 3 and so on."),
        (BY_EYE[:2], "4 3 1.5 1", "'1.5' is not a rank; ranks are 1, 2, 3 and so on."),
        (BY_EYE[:3], "9", "'9' is not a whole number from 0 to 4."),
    ],
)
def test_a_slip_in_the_readings_is_told_and_nothing_is_kept(
    tmp_path: Path, read: list[str], typed: str, says: str
) -> None:
    """A missing jar, a reading no meter shows or a word for a rank: the row is asked again, and no dose is kept."""
    screen, answers = after_the_result(tmp_path, "trial bentonite", *PLAN, *read, typed, "stop", "stop")
    assert says in screen and screen.rstrip().endswith("Left as it was.")
    assert answers == {}
    assert "trial_read" not in next(tmp_path.rglob("*.yaml")).read_text(encoding="utf-8")


ACID = ["1", "100", "100 mL", "0.1", "0.01", "0.5 1 1.5 2", "1", "yes", "yes"]
PH = "3.85 3.75 3.62 3.55 3.52"


@pytest.mark.parametrize(
    ("read", "typed", "says"),
    [
        ([], "3.85 3.75 36 3.55 3.52", "36 cannot be right here; expected 2.5 to 4.5."),
        ([PH], "3.6", "'3.6' is not two numbers; type them like 3 to 3.5."),
        ([PH], "3.6 to 3.2", "3.6 is more than 3.2; type the lower one first."),
        ([PH], "3 to 9", "9 cannot be right here; expected 2.5 to 4.5."),
        ([PH, ""], "- - - nice n", "'nice' is neither y nor n; type one of them for each jar."),
    ],
)
def test_a_slip_in_what_a_page_lets_be_read_is_told(
    tmp_path: Path, read: list[str], typed: str, says: str
) -> None:
    """A slipped decimal point of a pH, the two ends of a range the wrong way round, a word where y or n is meant."""
    screen, answers = after_the_result(
        tmp_path, "trial add_acid_for_so2", *ACID, *read, typed, "stop", "stop"
    )
    assert says in screen and answers == {}


def test_a_ladder_of_the_control_alone_is_no_trial(tmp_path: Path) -> None:
    """Nought is the jar with nothing in it; a trial needs one dose, so the plan is asked for again from its start."""
    screen = at_bentonite(tmp_path, *PLAN[:5], "0", "1", "", "", "", "", "", "0.2 0.4", "1", "yes", "later")
    assert "The trial has no dose above 0 g/L; it needs at least one." in screen
    assert screen.count("How do you make and measure the slurry?") == 2
    assert "The plan is kept." in screen


def test_back_in_a_trial_asks_the_question_before_again(tmp_path: Path) -> None:
    """A wrong jar size is put right by going back; the plan shows the second one."""
    screen = at_bentonite(tmp_path, *PLAN[:2], "250 mL", "back", "500 mL", *PLAN[3:], "later")
    assert screen.count("How much wine in each jar?") == 2
    assert "You need 2 L of wine" in screen and "The plan is kept." in screen


def test_back_at_the_first_question_of_a_row_loses_nothing(tmp_path: Path) -> None:
    """There is nothing before it: the same question comes again, and the trial goes on."""
    screen = at_bentonite(tmp_path, "back", *PLAN, "later")
    assert screen.count("How do you make and measure the slurry?") == 2
    assert "The plan is kept." in screen


@pytest.mark.parametrize("unknown", ["skip", "I don't know", "not sure"])
def test_what_a_trial_cannot_do_without_may_not_be_skipped(tmp_path: Path, unknown: str) -> None:
    """Without the size of the jar no dose can be measured out; not knowing it is told from a wrong answer."""
    screen = at_bentonite(tmp_path, *PLAN[:2], unknown)
    assert "This one is needed here; type ? for how to find it out, or stop." in screen


def test_why_and_how_are_answered_at_each_question_of_a_trial(tmp_path: Path) -> None:
    """`?` says how to find it out, `why` what it is for, and the question waits."""
    screen = at_bentonite(tmp_path, *PLAN[:2], "?", "why", *PLAN[2:], "later")
    assert "100 mL is handy; more makes small doses easier to measure." in screen
    assert "The smaller the jar, the harder a low dose is to measure." in screen
    assert "The plan is kept." in screen
