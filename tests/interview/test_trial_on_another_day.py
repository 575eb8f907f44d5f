"""A trial that is planned, left, read another day, refined, or whose plan in the case file was spoilt by hand."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path
from typing import Any

import pytest
from at_the_table import after_the_result

CLAY = ["trial bentonite", "1", "50", "100 mL", "0.1", "0.01", "0.2 0.4 0.8", "1", "yes"]
"""By volume, 50 g in a litre, three doses, one jar of each; the plan is kept."""

LOWEST = ["1", "4 1 1 1", "1", "u s s s", "3 1 2 2"]
"""Read by eye: the lowest dose serves already."""

SYRINGE: Mapping[str, Any] = {
    "sample_ml": 100,
    "weighed": False,
    "strength": 50,
    "smallest": 0.1,
    "step": 0.01,
}


def kept(folder: Path) -> str:
    """The case file."""
    return next(folder.rglob("*.yaml")).read_text(encoding="utf-8")


def test_a_lowest_dose_that_serves_leads_to_a_finer_ladder_and_the_dose_found_in_it_is_kept(
    tmp_path: Path,
) -> None:
    """0.2 g/L already serves, so lower doses are set up; 0.1 g/L serves there, and 100 L get 10 g (worked by hand)."""
    finer = [*("", "", "", "", "", "0.05 0.1 0.15", "", "yes"), "yes"]
    found = ["1", "4 3 1 1", "1", "u u s s", "3 - 1 2"]
    screen, answers = after_the_result(tmp_path, *CLAY, "yes", *LOWEST, *finer, *found, "100 L", "stop")
    assert answers["bentonite_dose"] == 0.1
    assert "dry clay: 10 g" in screen
    assert kept(tmp_path).count("trial_planned") == 2 and kept(tmp_path).count("trial_read") == 2


def test_the_finer_ladder_may_wait_for_another_day(tmp_path: Path) -> None:
    """The second ladder is kept, no dose is, and `trial` alone by name goes on with reading the second."""
    screen, answers = after_the_result(tmp_path, *CLAY, "yes", *LOWEST, *[""] * 7, "yes", "later", "stop")
    assert "The plan is kept. Type trial again when the jars have been read." in screen
    assert "bentonite_dose" not in answers
    assert kept(tmp_path).count("trial_planned") == 2


def test_a_finer_ladder_may_have_more_jars_of_each_dose(tmp_path: Path) -> None:
    """Whoever sets two jars of each lower dose up is asked for both readings of each, with a stroke between."""
    finer = [*("", "", "", "", "", "0.05 0.1", "2", "yes"), "yes"]
    found = ["1", "5/6 4/3 1/1", "1", "u/u u/u s/s", "3/3 - 1/2"]
    screen, answers = after_the_result(tmp_path, *CLAY, "yes", *LOWEST, *finer, *found, "100 L", "stop")
    assert "the 2 equal jars of a dose with / between" in screen
    assert answers["bentonite_dose"] == 0.1


@pytest.mark.parametrize("jars", ["1", "2"])
def test_a_spoilt_plan_is_replaced_and_read_at_once(tmp_path: Path, jars: str) -> None:
    """A plan no bench can do is planned anew, with one jar or two of each, and its readings are taken the same day."""
    spoilt = {"fix": "bentonite", "doses": [0.1], "bench": {**SYRINGE, "strength": 5000}}
    each = "{0}/{0}" if jars == "2" else "{0}"

    def row(*cells: str) -> str:
        return " ".join(each.format(cell) for cell in cells)

    read = ["1", row("4", "3", "1", "1"), "1", row("u", "u", "s", "s"), row("4", "3", "1", "2")]
    lines = [*CLAY[:-2], jars, "yes", "yes", *read, "100 L", "stop"]
    screen, answers = after_the_result(tmp_path, *lines, trial=spoilt)
    assert "The plan kept in this case cannot be set up." in screen
    assert answers["bentonite_dose"] == 0.4 and "dry clay: 40 g" in screen


def test_a_spoilt_plan_of_two_agents_is_planned_anew_and_nothing_is_read_of_it(tmp_path: Path) -> None:
    """Jars of two sizes cannot be compared: it is said why, and the two are planned again side by side."""
    spoilt = {
        "fix": "counter_fine",
        "doses": [0.02, 0.04],
        "bench": {**SYRINGE, "strength": 10},
        "second": {"fix": "bentonite", "doses": [0.2, 0.4], "bench": {**SYRINGE, "sample_ml": 250}},
    }
    lines = ["trial counter_fine and bentonite", *[""] * 12, "yes", "stop"]
    screen, answers = after_the_result(tmp_path, *lines, trial=spoilt)
    assert "The jars of the two agents are not equally large." in screen
    assert "First: " in screen and "Beside it: " in screen and "The plan is kept." in screen
    assert answers == {} and kept(tmp_path).count("trial_planned") == 2


def test_a_dose_the_case_may_not_hold_is_not_kept_and_not_weighed_out(tmp_path: Path) -> None:
    """A ladder of 8 g/L written into the file by hand can be read, but the dose is refused and no grams are shown."""
    wild = {"fix": "bentonite", "doses": [6, 8], "bench": {**SYRINGE, "strength": 170}}
    read = ["1", "3 2 1", "1", "u u s", "2 3 1", "stop"]
    screen, answers = after_the_result(tmp_path, "trial bentonite", *read, trial=wild)
    assert "This was not kept." in screen and "cannot be right" in screen
    assert "bentonite_dose" not in answers and "bentonite_trial" not in answers
    assert "Type steps bentonite for the whole procedure" not in screen


def test_a_plan_of_another_agent_is_left_alone(tmp_path: Path) -> None:
    """Silica was planned; whoever asks for clay plans clay, and the silica jars can still be read afterwards."""
    silica = {"fix": "counter_fine", "doses": [0.02, 0.04], "bench": {**SYRINGE, "strength": 10}}
    after = ["trial counter_fine", "1", "3 1 1", "1", "2 1 1", *[""] * 7, "yes", "later", "stop"]
    screen, _ = after_the_result(tmp_path, *CLAY, "later", *after, trial=silica)
    assert "How do you make and measure the slurry?" in screen
    assert "Type one value for each of the 3 jars" in screen


def test_only_yes_and_later_answer_whether_the_readings_are_there(tmp_path: Path) -> None:
    """Any other word is no answer, not knowing means later, and stopping loses nothing."""
    screen, _ = after_the_result(tmp_path, *CLAY, "perhaps", "not sure", "stop")
    assert screen.count("Type yes or later.") == 1 and "The plan is kept." in screen


def test_lines_that_end_while_the_readings_are_asked_for_leave_the_plan(tmp_path: Path) -> None:
    """A window closed at that question loses no plan."""
    after_the_result(tmp_path, *CLAY)
    assert "trial_planned" in kept(tmp_path)


def test_a_vessel_of_unknown_size_gets_no_grams_but_the_dose_is_kept(tmp_path: Path) -> None:
    """Who does not know the volume keeps the dose, sees no amount for the vessel, and is sent to the steps."""
    read = ["1", "4 3 1 1", "1", "u u s s", "4 3 1 2"]
    screen, answers = after_the_result(tmp_path, *CLAY, "yes", *read, "skip", "stop")
    assert answers["bentonite_dose"] == 0.4 and "dry clay: " not in screen
    assert "Type steps bentonite for the whole procedure with these amounts." in screen


def test_going_back_from_the_volume_takes_no_dose_back(tmp_path: Path) -> None:
    """`back` at the volume leaves the trial; the dose chosen is kept, since the jars have been read."""
    read = ["1", "4 3 1 1", "1", "u u s s", "4 3 1 2"]
    screen, answers = after_the_result(tmp_path, *CLAY, "yes", *read, "back", "stop")
    assert answers["bentonite_dose"] == 0.4 and "Left as it was." in screen


def test_an_agent_whose_page_says_what_is_read_is_tried_alone(tmp_path: Path) -> None:
    """Acid is read by pH and taste, so it cannot stand beside clay; the person is told what to type."""
    screen, _ = after_the_result(tmp_path, "trial bentonite and add_acid_for_so2", "stop")
    assert "is tried alone so far: type trial add_acid_for_so2." in screen
    assert "trial_planned" not in kept(tmp_path)


def test_three_agents_at_once_are_no_trial(tmp_path: Path) -> None:
    """Two side by side are the most, and how to type them is said."""
    typed = "trial bentonite and counter_fine and protein_fining"
    screen, _ = after_the_result(tmp_path, typed, "stop")
    assert "Name two different fixes to try side by side, such as trial A and B." in screen


def test_one_name_of_two_that_is_not_known_plans_nothing(tmp_path: Path) -> None:
    """A mistyped second agent is asked back, and the first is not tried without it."""
    screen, _ = after_the_result(tmp_path, "trial bentonite and bentonit2", "stop")
    assert "Which one?" in screen and "trial_planned" not in kept(tmp_path)


@pytest.mark.parametrize(
    ("typed", "says"),
    [("0", "The trial has no dose above 0 g/L"), ("110", "The dose is 110 g/L; it must be")],
)
def test_a_ladder_that_cannot_be_set_up_is_asked_again_with_the_rest_kept(
    tmp_path: Path, typed: str, says: str
) -> None:
    """Only a control, or more sugar than can be weighed in, is said; then the questions come again."""
    lines = ["trial sweeten_what_is_kept", *[""] * 5, typed, ""]
    screen, _ = after_the_result(
        tmp_path, *lines, *[""] * 5, "3 6 12", "", "no", *[""] * 7, "yes", "later", "stop"
    )
    assert says in screen
    assert kept(tmp_path).count("trial_planned") == 1 and '"doses": [3.0, 6.0, 12.0]' in kept(tmp_path)


def test_a_dose_that_the_syringe_rounds_beyond_the_sum_is_not_weighed_out(tmp_path: Path) -> None:
    """100 g/L rounded up by a coarse mark is more than the sum for the vessel allows, and it says so."""
    coarse = {"sample_ml": 100, "weighed": False, "strength": 500, "smallest": 0.1, "step": 7}
    wild = {"fix": "sweeten_what_is_kept", "doses": [40, 100], "bench": coarse}
    read = ["y y y", "2 3 1", "60 L", "stop"]
    screen, answers = after_the_result(tmp_path, "trial sweeten_what_is_kept", *read, trial=wild)
    assert answers["sweetening_chosen"] > 100
    assert "The dose is " in screen and "sugar: " not in screen
