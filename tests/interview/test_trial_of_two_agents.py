from __future__ import annotations

from pathlib import Path

from at_the_table import after_the_result

SILICA = ["1", "10", "100 mL", "0.1", "0.01", "0.02 0.04 0.08"]
CLAY = ["1", "50", "0.1", "0.01", "0.2 0.4 0.8"]
PLANNED = ["trial counter_fine and bentonite", *SILICA, *CLAY, "2", "yes"]
CLEAR = ["2", "9/8 5/6 0.8/0.7 0.5/0.6", "6/5 0.7/0.8 0.4/0.5"]
READ = [*CLEAR, "u/u u/u s/s s/s", "1/2 - 2/1 3/3", "- 1/1 3/3"]


def test_the_dose_of_the_agent_that_is_taken_is_kept_and_no_other(tmp_path: Path) -> None:
    """Both serve; clay is taken, so its dose and slurry are answers, and the vessel gets clay. No dose of silica."""
    screen, answers = after_the_result(tmp_path, *PLANNED, "yes", *READ, "2", "100 L", "stop")
    assert (answers["bentonite_dose"], answers["bentonite_slurry"]) == (0.4, 50.0)
    assert "silica_dose" not in answers
    assert "dry clay: 40 g" in screen and "dry silica: " not in screen


def test_who_takes_neither_keeps_no_dose(tmp_path: Path) -> None:
    """What was found of each agent stays known; a dose is only kept once it is to be used."""
    _, answers = after_the_result(tmp_path, *PLANNED, "yes", *READ, "0", "stop")
    assert answers["bentonite_trial"] == "cleared_and_stable"
    assert not {"bentonite_dose", "silica_dose"} & set(answers)


def test_two_jars_of_each_show_how_sure_the_step_is(tmp_path: Path) -> None:
    """Mean and spread of equal jars stand on the screen, with a word and a figure; two tastings stay a coin toss."""
    screen, _ = after_the_result(tmp_path, *PLANNED, "yes", *READ, "0", "stop")
    assert "4 (0.2 g/L): clarity 5.5 NTU, spread 0.71" in screen
    assert "in clarity? Sure enough: the spread between equal jars alone" in screen
    assert "flavour: dry clay did better. A coin toss:" in screen
    assert "nothing read here puts one before the other" in screen
    assert "it says what this taster finds, not what others will" in screen


def test_one_jar_of_each_agent_says_that_nothing_is_known_of_the_spread(tmp_path: Path) -> None:
    """Two agents may be tried with one jar of each dose; then nobody can say how sure it is."""
    read = ["2", "9 5 0.8 0.5", "6 0.7 0.4", "u u s s", "1 - 1 3", "- 1 3"]
    screen, _ = after_the_result(tmp_path, *PLANNED[:-2], "1", "yes", "yes", *read, "0", "stop")
    assert "nothing is known of the spread between equal jars" in screen


def test_one_hazy_jar_of_two_fails_its_dose(tmp_path: Path) -> None:
    """0.4 g/L of clay cleared one jar and not the other; the dose is 0.8, and nothing need be asked."""
    hazy = ["2", "9/8 5/6 5/4 4/4", "6/5 0.7/4 0.4/0.5", "u/u u/u s/s s/s", "2/2 - - -", "- 1/1 1/1"]
    screen, answers = after_the_result(tmp_path, *PLANNED, "yes", *hazy, "100 L", "stop")
    assert answers["bentonite_dose"] == 0.8 and "Only dry clay has a dose to choose yet." in screen


def test_a_trial_of_two_is_found_again_by_one_of_its_names(tmp_path: Path) -> None:
    """Planned and left; `trial bentonite` afterwards reads the same jars, with the control in the first row."""
    lines = [*PLANNED, "later", "trial bentonite", *READ, "2", "100 L", "stop"]
    screen, answers = after_the_result(tmp_path, *lines)
    assert "The plan is kept" in screen and answers["bentonite_dose"] == 0.4


def test_one_agent_may_have_several_jars_of_each_dose(tmp_path: Path) -> None:
    """Three equal jars of one ladder; a lowest dose that serves already leads to a finer plan of as many jars."""
    plan = ["trial counter_fine", *SILICA, "3", "yes", "yes"]
    screen, answers = after_the_result(
        tmp_path, *plan, "1", "9/9/8 5/6/5 1/2/1 1/1/1", "2", "1/1/1 - 1/1/1 -", "50 L", "stop"
    )
    assert answers["silica_dose"] == 0.04 and "12 jars." in screen
    lowest = ["1", "9/9/8 1/1/1 1/2/1 1/1/1", "2", "1/1/1 1/1/1 1/1/1 -", *[""] * 7, "yes", "stop"]
    screen, answers = after_the_result(tmp_path / "other", *plan, *lowest)
    assert "silica_dose" not in answers and "15 jars." in screen


def test_a_row_with_too_few_equal_jars_is_asked_again(tmp_path: Path) -> None:
    """The sentence names what was typed and how it is written."""
    screen, _ = after_the_result(tmp_path, *PLANNED, "yes", "2", "9 5 0.8 0.5", "stop", "stop")
    assert "'9' holds 1 values for 2 equal jars; write 2 with / between, such as 1/1." in screen


def test_the_same_agent_twice_is_no_trial(tmp_path: Path) -> None:
    """Nothing is planned, and the person is told how it is typed."""
    screen, _ = after_the_result(tmp_path, "trial bentonite and bentonite", "stop")
    assert "Name two different fixes" in screen
