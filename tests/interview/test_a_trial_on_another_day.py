"""A bench trial that is planned, left, come back to, read in part, and brought to the vessel or not."""

from __future__ import annotations

import io
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest
from at_the_table import CELLAR, Listed, after_the_result
from diagnose.interview import bench, bench_pairs
from diagnose.planning.planned import Planned, design_planned
from diagnose.planning.trials import Bench, plan_trial, trial_of
from diagnose.present.console import Page
from rich.console import Console

SILICA = ["1", "10", "100 mL", "0.1", "0.01", "0.02 0.04 0.08"]
"""By volume, 10 g in a litre, three doses; how many jars of each comes next."""

TOOLS = {"sample_ml": 100, "weighed": False, "strength": 50, "smallest": 0.1, "step": 0.01}
NO_SUCH_STOCK = {**TOOLS, "strength": 5000}
"""Five kilograms of clay in a litre: written into the file by hand, and no bench can make it."""


def clay(*doses: float, **more: Any) -> dict[str, Any]:
    """A plan of clay as a case keeps it."""
    return {"fix": "bentonite", "doses": list(doses), "bench": TOOLS, **more}


def test_a_lowest_dose_that_serves_leads_to_a_finer_plan_that_may_wait(tmp_path: Path) -> None:
    """The finer ladder is offered as the usual one and kept; it is set up another day, and no dose is kept yet."""
    lines = [*SILICA, "1", "yes", "yes", "1", "2 1 1 1", "1", "1 1 1 1", *[""] * 7, "yes", "later", "stop"]
    screen, answers = after_the_result(tmp_path, "trial counter_fine", *lines)
    assert "The lowest dose already serves, so a lower one may too." in screen
    assert "Enter alone takes 0.005 0.01 0.015 0.02." in screen
    assert "The plan is kept." in screen and "silica_dose" not in answers


def test_a_finer_ladder_may_be_read_in_the_same_sitting(tmp_path: Path) -> None:
    """Of 0.005 to 0.02 g/L the second jar is the least that serves: 0.01 g/L is kept, and 100 L get 1 g of it."""
    lines = [*SILICA, "1", "yes", "yes", "1", "2 1 1 1", "1", "1 1 1 1", *[""] * 7, "yes", "yes"]
    read = ["1", "3 2 1 1 1", "1", "1 - 1 1 1", "100 L", "stop"]
    screen, answers = after_the_result(tmp_path, "trial counter_fine", *lines, *read)
    assert answers["silica_dose"] == 0.01 and "dry silica: 1 g" in screen


def test_a_word_that_is_neither_yes_nor_later_is_asked_again(tmp_path: Path) -> None:
    """Whether the jars have been read takes a yes or a later; not knowing means later."""
    lines = [*SILICA, "1", "yes", "perhaps", "don't know", "stop"]
    screen, _ = after_the_result(tmp_path, "trial counter_fine", *lines)
    assert "Type yes or later." in screen and "The plan is kept." in screen


def test_a_line_that_breaks_off_loses_no_plan(tmp_path: Path) -> None:
    """The connection ends at the question for the readings: the plan stands in the case, and nothing was read."""
    after_the_result(tmp_path, "trial counter_fine", *SILICA, "1", "yes")
    kept = next(tmp_path.rglob("*.yaml")).read_text(encoding="utf-8")
    assert "trial_planned" in kept and "trial_read" not in kept


def test_a_trial_of_another_agent_is_planned_beside_one_that_waits(tmp_path: Path) -> None:
    """Clay waits in the jars; silica gets a plan of its own, and clay is found again afterwards."""
    lines = ["trial counter_fine", *SILICA, "1", "yes", "later", "trial bentonite", "stop", "stop"]
    screen, _ = after_the_result(tmp_path, *lines, trial=clay(0.1, 0.2))
    assert "Grams of dry silica in a litre of thinned sol?" in screen
    assert "Type one value for each of the 3 jars" in screen
    assert "in a litre of slurry?" not in screen


@pytest.mark.parametrize(
    ("typed", "says"),
    [
        ("trial bentonite and add_acid_for_so2", "is tried alone so far: type trial add_acid_for_so2."),
        ("trial bentonite and nothing_known", "Which one?"),
        ("trial bentonite and counter_fine and protein_fining", "Name two different fixes"),
    ],
)
def test_two_that_cannot_stand_side_by_side_are_said_to_be_so(tmp_path: Path, typed: str, says: str) -> None:
    """Acid is read by its own criteria, so it has no place beside clay; three agents are one too many."""
    screen, _ = after_the_result(tmp_path, typed, "stop")
    assert says in screen and "Bench trial" not in screen


def test_a_plan_spoilt_by_hand_is_made_anew_with_equal_jars(tmp_path: Path) -> None:
    """No bench makes that slurry: it is said why, and the plan that takes its place may have two jars of each dose."""
    spoilt = {**clay(0.1, 0.2), "bench": NO_SUCH_STOCK}
    lines = [
        *[""] * 5,
        "0.2 0.4",
        "2",
        "yes",
        "yes",
        "2",
        "9/9 0.5/0.6 0.4/0.4",
        "u/u s/s s/s",
        "2/2 1/1 3/3",
    ]
    screen, answers = after_the_result(
        tmp_path, "trial bentonite", *lines, *[""] * 7, "yes", "stop", trial=spoilt
    )
    assert "The plan kept in this case cannot be set up. The strength of the stock is 5 g/mL" in screen
    assert "Type the 2 equal jars of a dose with / between" in screen
    assert answers["bentonite_trial"] == "cleared_and_stable"


def test_a_plan_spoilt_by_hand_is_made_anew_and_read_at_once(tmp_path: Path) -> None:
    """The plan that takes its place has one jar of each dose, and its readings are asked for straight away."""
    spoilt = {**clay(0.1, 0.2), "bench": NO_SUCH_STOCK}
    lines = [*[""] * 5, "0.2 0.4", "1", "yes", "yes", "2", "9 4 0.5", "u s s", "skip", "skip", "stop"]
    screen, answers = after_the_result(tmp_path, "trial bentonite", *lines, trial=spoilt)
    assert "The plan kept in this case cannot be set up." in screen
    assert answers["bentonite_dose"] == 0.4


def test_a_plan_of_equal_jars_spoilt_by_hand_is_made_anew(tmp_path: Path) -> None:
    """The jars on the table belong to no plan that could be: a new plan is kept, and it is read another day."""
    spoilt = {**clay(0.1, 0.2), "bench": NO_SUCH_STOCK, "replicates": 2}
    screen, answers = after_the_result(tmp_path, "trial bentonite", *[""] * 7, "yes", "stop", trial=spoilt)
    assert "The plan kept in this case cannot be set up." in screen
    assert screen.rstrip().endswith("The plan is kept. Type trial again when the jars have been read.")
    assert answers == {}


def test_a_dose_that_no_case_can_keep_is_not_kept(tmp_path: Path) -> None:
    """A ladder of 8 g/L, written by hand, may well clear the jar; no vessel gets it, and the reason is said."""
    read = ["1", "3 3 1", "1", "skip", "skip", "stop"]
    screen, answers = after_the_result(tmp_path, "trial bentonite", *read, trial=clay(0.1, 8))
    assert "This was not kept. 8 g/L cannot be right for Dose of bentonite chosen at the bench" in screen
    assert answers == {} and "How much of this wine is there?" not in screen


def test_a_dose_is_kept_though_the_volume_is_not_known(tmp_path: Path) -> None:
    """The trial is not lost with the tape measure: the amounts wait, and the sheet is named."""
    read = ["1", "3 3 1", "1", "skip", "skip", "skip", "stop"]
    screen, answers = after_the_result(tmp_path, "trial bentonite", *read, trial=clay(0.1, 0.4))
    assert answers["bentonite_dose"] == 0.4 and "vessel_volume" not in answers
    assert "Type steps bentonite for the whole procedure with these amounts." in screen
    assert "dry clay: " not in screen


# ---------------------------------------------------------------- what was not read is not claimed


@pytest.mark.parametrize(
    ("heat", "taste", "says", "warned"),
    [
        ("skip", "skip", "is clear.", (True, True)),
        ("u s s", "skip", "is clear and stable.", (False, True)),
        ("skip", "2 1 1", "is clear and keeps the flavour.", (True, False)),
        ("u s s", "2 1 1", "is clear, stable and keeps the flavour.", (False, False)),
    ],
)
def test_a_dose_is_called_only_what_was_read(
    tmp_path: Path, heat: str, taste: str, says: str, warned: tuple[bool, bool]
) -> None:
    """Without a heat test it is not called stable, without a taste not kind to the flavour; both are warned of."""
    read = ["2", "9 4 0.5", heat, taste, "skip", "stop"]
    screen, _ = after_the_result(tmp_path, "trial bentonite", *read, trial=clay(0.1, 0.4))
    assert f"0.4 g/L is the least dose that {says}" in screen
    assert ("Without the heat test this says only" in screen) is warned[0]
    assert ("Nobody tasted, so this says nothing of the flavour." in screen) is warned[1]


def test_equal_jars_that_were_neither_heated_nor_tasted_are_called_clear_alone(tmp_path: Path) -> None:
    """The same holds where each dose has two jars."""
    read = ["2", "9/9 4/5 0.5/0.6", "skip", "skip", "skip", "stop"]
    screen, _ = after_the_result(tmp_path, "trial bentonite", *read, trial=clay(0.1, 0.4, replicates=2))
    assert "0.4 g/L is the least dose that is clear." in screen
    assert "dry clay: without the heat test this says only that the jar is clear now" in screen
    assert "dry clay: nobody tasted, so this says nothing of the flavour." in screen


def test_a_wine_that_was_clear_untreated_is_not_called_stable_without_heat(tmp_path: Path) -> None:
    """The control is clear, and nobody heated it: nothing is said of a warm summer."""
    read = ["2", "0.5 0.5 0.5", "skip", "skip", "stop"]
    screen, _ = after_the_result(tmp_path, "trial bentonite", *read, trial=clay(0.1, 0.4))
    assert "The control is clear without any dry clay" in screen
    assert "Without the heat test this says only that the jar is clear now" in screen


@pytest.mark.parametrize("replicates", [1, 2])
def test_bright_is_asked_in_ntu_where_the_page_has_no_figure(tmp_path: Path, replicates: int) -> None:
    """Silica has no figure of its own for bright: what the person calls bright decides, here 6 NTU."""
    equal = "/".join
    jars = " ".join(equal([ntu] * replicates) for ntu in ("9", "8", "5", "4"))
    lines = [*SILICA, str(replicates), "yes", "yes", "2", jars, "6", "skip", "skip", "stop"]
    screen, answers = after_the_result(tmp_path, "trial counter_fine", *lines)
    assert "Up to how many NTU would you call it bright?" in screen
    assert answers["silica_dose"] == 0.04


# ---------------------------------------------------------------- pages of one's own


def shown() -> tuple[Page, io.StringIO]:
    """A screen, and what it holds."""
    screen = io.StringIO()
    return Page(Console(file=screen, width=200, color_system=None)), screen


def test_the_least_that_passes_may_go_untasted(tmp_path: Path) -> None:
    """A page of one's own may want the least share and let the taste be skipped: then no taste is claimed."""
    fix = CELLAR.base.fixes["blend_with_sharper_wine"]
    least = fix.model_copy(update={"trial": trial_of(fix).model_copy(update={"choose": "least"})})
    base = replace(CELLAR.base, fixes={**CELLAR.base.fixes, fix.fix: least})
    table = Bench(100, False, 100, 1, 1)
    page, screen = shown()
    design = plan_trial(base, least, (20, 30), table, {})
    one = bench.read(page, Listed(["3.8 3.6 3.4", "", "y y y", "skip"]), base, least, design, None)
    assert (one.choice.outcome, one.choice.dose) == ("chosen", 30)
    planned = Planned(fix.fix, (20, 30), table, 1, 2)
    trial = design_planned(base, planned, {})
    read = Listed(["3.8/3.8 3.6/3.6 3.4/3.4", "", "y/y y/y y/y", "skip"])
    two = bench_pairs.read(page, read, base, planned, trial, None)
    assert [(level.choice.outcome, level.choice.dose) for level in two.levels] == [("chosen", 30)]
    said = screen.getvalue()
    assert said.count("Nobody tasted, so this says nothing of the flavour.") == 2
    assert "liked best" not in said


def test_an_empty_vessel_gets_a_sentence_and_no_amounts() -> None:
    """Rules of one's own may let 0 L through; then nothing is weighed out for it."""
    page, screen = shown()
    fix = CELLAR.base.fixes["bentonite"]
    bench.scale(page, CELLAR.base, fix, 0.4, 0.0, Bench(**TOOLS), {}, "metric")
    assert "The volume of wine is 0 L; it must be more than 0." in screen.getvalue()
    assert "dry clay: " not in screen.getvalue()
