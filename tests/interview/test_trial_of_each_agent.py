from __future__ import annotations

from itertools import permutations
from pathlib import Path

import pytest
from at_the_table import CELLAR, after_the_result
from diagnose.engine.facts import Fact
from diagnose.judgement.judge import judge
from diagnose.planning.fixes import amounts
from diagnose.planning.trials import Bench, agent_of, fixes_with_ladder, kept_of

LADDERS = fixes_with_ladder(CELLAR.base)

PLAN_AND_READ = [
    *("1", "10", "100 mL", "0.1", "0.01", "0.02 0.04 0.08", "1", "yes"),
    *("yes", "1", "4 3 1 1", "1", "1 1 1 2"),
]
"""By volume, 10 g in a litre, three doses; read by eye, the second dose is the first that is bright."""


def flat(text: str) -> str:
    """A text on one line."""
    return " ".join(text.split())


@pytest.mark.parametrize(
    ("fix", "asks", "gives"),
    [
        ("counter_fine", "Grams of dry silica in a litre of thinned sol?", "dry silica: 4 g"),
        (
            "protein_fining",
            "Grams of isinglass or gelatin in a litre of solution?",
            "isinglass or gelatin: 4 g",
        ),
    ],
)
def test_a_trial_speaks_of_its_own_agent_from_plan_to_vessel(
    tmp_path: Path, fix: str, asks: str, gives: str
) -> None:
    """Whoever tries silica or gelatin reads no word of clay, and is given grams of what was tried."""
    screen, _ = after_the_result(tmp_path, f"trial {fix}", *PLAN_AND_READ, "100 L", "stop")
    assert asks in screen and gives in screen
    for strange in ("clay", "entonite", "lurry", "Heat test of each jar"):
        assert strange not in screen


def test_a_trial_is_tasted_blind_and_one_nose_is_no_proof(tmp_path: Path) -> None:
    """The plan has codes and an order by lot, and keeps its seed and the rank called bright; the choice is no proof."""
    screen, _ = after_the_result(tmp_path, "trial counter_fine", *PLAN_AND_READ, "100 L", "stop")
    assert "Take them in this order:" in screen
    assert "One ranking by one nose is a hint, not proof." in screen and "only 3.7 %" in screen
    kept = next(tmp_path.rglob("*.yaml")).read_text(encoding="utf-8")
    assert '"seed": ' in kept and '"clear_rank": 1' in kept


@pytest.mark.parametrize("fix", LADDERS)
def test_the_sheet_of_a_trial_shows_the_stock_and_the_cautions_of_its_page(tmp_path: Path, fix: str) -> None:
    """How the stock is made, and what can hurt at the bench, stand on the sheet; another wine has no stock."""
    page, blend = CELLAR.base.fixes[fix], agent_of(CELLAR.base.fixes[fix]).is_share
    screen, _ = after_the_result(
        tmp_path, f"trial {fix}", *[""] * (5 if blend else 7), "yes", "later", "stop"
    )
    assert page.trial is not None and (page.trial.stock is None) is blend
    assert flat(page.trial.stock or "and this wine fills it up to 100 mL. No water.") in screen
    shown = {name for name, caution in CELLAR.base.cautions.items() if flat(caution.says) in screen}
    assert shown == set(agent_of(page).cautions)


def test_the_heat_test_of_the_jars_is_shown_from_its_page(tmp_path: Path) -> None:
    """Asked how, the trial shows the steps and cautions of the heat test, not figures of its own."""
    read = ["yes", "1", "2 1 1 1 1 1 1", "1", "?", "stop", "stop"]
    screen, _ = after_the_result(tmp_path, "trial bentonite", *[""] * 7, "yes", *read)
    for step in CELLAR.base.tests["heat_test"].steps:
        assert flat(step.do) in screen


@pytest.mark.parametrize(("found_for", "other"), list(permutations(LADDERS, 2)))
def test_a_dose_found_for_one_agent_is_never_given_of_another(found_for: str, other: str) -> None:
    """Doses and stocks of one trial leave the amounts of every other fix as they were."""
    fixes = CELLAR.base.fixes
    vessel = Fact("vessel_volume", 100.0)
    kept = kept_of(fixes[found_for], 0.07, Bench(100, False, 40, 0.1, 0.01))
    before = judge(CELLAR, "haze", [vessel]).facts
    after = judge(CELLAR, "haze", [vessel, *(Fact(name, value) for name, value in kept.items())]).facts
    assert amounts(fixes[other], after) == amounts(fixes[other], before)
    assert amounts(fixes[found_for], after) != amounts(fixes[found_for], before)


def test_after_a_silica_trial_the_sheet_of_bentonite_stays_blank(tmp_path: Path) -> None:
    """The dose of silica is kept as silica, fills the sheet of silica, and never that of clay."""
    after = ["100 L", "steps counter_fine", "steps bentonite", "stop"]
    screen, answers = after_the_result(tmp_path, "trial counter_fine", *PLAN_AND_READ, *after)
    assert answers["silica_dose"] == 0.04
    assert not {"bentonite_dose", "bentonite_slurry", "protein_fining_dose"} & set(answers)
    assert "after a silica trial kept here, 4 g" in screen
    assert "Weigh ______ of dry clay" in screen


def test_a_plan_that_no_bench_can_do_is_said_and_made_anew(tmp_path: Path) -> None:
    """A stock stronger than the agent itself, written into the file by hand, ends in a sentence and a new plan."""
    tools = {"sample_ml": 100, "weighed": False, "strength": 5000, "smallest": 0.1, "step": 0.01}
    planned = {"fix": "bentonite", "doses": [0.1, 0.2], "bench": tools}
    screen, _ = after_the_result(
        tmp_path, "trial bentonite", *[""] * 7, "yes", "later", "stop", trial=planned
    )
    assert "cannot be set up" in screen and "The plan is kept" in screen


def test_a_dose_that_a_case_cannot_keep_is_asked_again(tmp_path: Path) -> None:
    """A ladder is bounded by what the case may hold; else the file could not be opened again."""
    screen, _ = after_the_result(
        tmp_path, "trial bentonite", *[""] * 5, "8 9", "", "", "yes", "later", "stop"
    )
    assert "8 g/L cannot be right; expected 0.005 to 5 g/L" in screen


def test_a_trial_without_a_name_is_that_of_the_plan(tmp_path: Path) -> None:
    """`trial` alone means the fix the plan puts first, and asks which where the plan has none."""
    screen, _ = after_the_result(tmp_path, "trial", "stop")
    assert "Which one?" in screen


ACID = [*("1", "100", "100 mL", "0.1", "0.01", "0.5 1 1.5 2", "1", "yes"), "yes"]
"""By volume, 100 g in a litre, four doses; set up and ready to be read."""


def test_acid_is_chosen_by_the_measured_ph_and_by_taste(tmp_path: Path) -> None:
    """The pH bends, the person lets 3.6 pass, the jar at 1.5 g/L is the least; the vessel gets it dry."""
    read = ["3.85 3.75 3.62 3.55 3.52", "3.0 to 3.6", "- - - y n"]
    screen, answers = after_the_result(tmp_path, "trial add_acid_for_so2", *ACID, *read, "100 L", "stop")
    assert (
        "1.5 g/L is the least dose where the pH has come down far enough and it still tastes well" in screen
    )
    assert answers["so2_tartaric_chosen"] == 1.5 and answers["so2_acid_jars"] == "fits"
    assert "tartaric acid: 150 g" in screen and "weighed dry" in screen
    kept = next(tmp_path.rglob("*.yaml")).read_text(encoding="utf-8")
    assert '"passes": {"ph": [3.0, 3.6]}' in kept and '"marks": {"ph": 3.55, "taste": true}' in kept


@pytest.mark.parametrize(
    ("read", "says"),
    [
        (["3.85 3.75 3.85 3.55 3.52", "", "- - - - -"], "Set these again before you choose: jar 1"),
        (["3.9 3.88 3.86 3.84 3.82", "", "- - - - -"], "No jar reached that pH."),
        (["3.9 3.7 3.55 3.45 3.4", "", "- - - n n"], "2 g/L failed on taste"),
        (["3.4 3.3 3.2 3.1 3.0", "", "y y y n n"], "without any tartaric acid: nothing to treat"),
        (["3.9 3.7 3.55 3.45 3.4", "", "- - - - -"], "taste of jar 3 (1.5 g/L)"),
    ],
)
def test_acid_jars_that_choose_nothing_say_why(tmp_path: Path, read: list[str], says: str) -> None:
    """A slip, a pH that holds, jars too sour, a control that needs nothing, a taste not yet noted."""
    screen, answers = after_the_result(tmp_path, "trial add_acid_for_so2", *ACID, *read, "100 L", "stop")
    assert says in screen
    assert "so2_tartaric_chosen" not in answers and answers.get("so2_acid_jars") in (None, "too_sour")


TOO_MUCH = {
    "add_acid_for_so2": (
        "1",
        "100",
        "100 mL",
        "0.1",
        "0.01",
        "3 4",
        "is above the usual range, which ends at 2 g/L",
    ),
    "sweeten_what_is_kept": ("1", "500", "100 mL", "0.1", "0.1", "60 90", "which ends at 40 g/L"),
    "copper_for_rotten_egg": ("1", "0.04", "100 mL", "0.1", "0.01", "1 2", "which ends at 0.8 mg/L"),
}


@pytest.mark.parametrize("fix", TOO_MUCH)
def test_a_first_dose_above_the_usual_range_is_warned_of(tmp_path: Path, fix: str) -> None:
    """Whoever begins with too much acid, sugar or copper reads it before a jar is set up."""
    *plan, says = TOO_MUCH[fix]
    screen, _ = after_the_result(tmp_path, f"trial {fix}", *plan, "1", "yes", "later", "stop")
    assert says in screen and "begin lower" in screen


@pytest.mark.parametrize(
    ("fix", "strength", "doses"),
    [
        ("add_acid_for_so2", "20", "0.5 2"),
        ("sweeten_what_is_kept", "200", "3 30"),
        ("copper_for_rotten_egg", "0.02", "0.2 2"),
    ],
)
def test_jars_thinned_by_a_weak_stock_are_warned_of(
    tmp_path: Path, fix: str, strength: str, doses: str
) -> None:
    """A stock so weak that the wine itself is thinned is said for each kind of trial."""
    plan = ("1", strength, "100 mL", "0.1", "0.01", doses, "1", "yes", "later", "stop")
    screen, _ = after_the_result(tmp_path, f"trial {fix}", *plan)
    assert "what is tasted is no longer the wine" in screen


def test_copper_is_shown_in_milligrams_and_never_as_the_thin_stock(tmp_path: Path) -> None:
    """Traces are typed and read in mg/L, and the vessel is not given litres of the thinned solution."""
    read = [
        "1",
        "0.04",
        "100 mL",
        "0.1",
        "0.01",
        "0.2 0.4 0.6",
        "1",
        "yes",
        "yes",
        "n n y y",
        "100 L",
        "stop",
    ]
    screen, answers = after_the_result(tmp_path, "trial copper_for_rotten_egg", *read)
    assert "0.4 mg/L is the least dose where the stink is gone." in screen
    assert answers["copper_sulfate_chosen"] == pytest.approx(0.4)
    assert "copper sulfate: 0.04 g (0.4 mg/L)" in screen or "copper sulfate: 40 mg (0.4 mg/L)" in screen
    assert "measured from the 1 % solution" in screen and "of the same strength as in the trial" not in screen


def test_the_sweetness_liked_best_is_chosen_and_not_the_least(tmp_path: Path) -> None:
    """Of clear jars the one ranked first is taken, with no advice to go lower."""
    read = [
        "1",
        "500",
        "100 mL",
        "0.1",
        "0.1",
        "3 6 12",
        "1",
        "yes",
        "yes",
        "y y y y",
        "4 3 1 2",
        "60 L",
        "stop",
    ]
    screen, answers = after_the_result(tmp_path, "trial sweeten_what_is_kept", *read)
    assert "6 g/L is the best liked of those where it stays clear." in screen
    assert answers["sweetening_chosen"] == 6 and "sugar: 360 g" in screen


def test_equal_jars_of_acid_must_each_reach_the_ph(tmp_path: Path) -> None:
    """One of two jars at 1 g/L stays above the pH, so 1.5 g/L is the least; the gap is held beside the spread."""
    plan = [*ACID[:-3], "2", "yes", "yes"]
    read = ["3.85/3.86 3.7/3.72 3.5/3.54 3.42/3.44 3.38/3.4", "", "- - - y/y y/n"]
    screen, answers = after_the_result(tmp_path, "trial add_acid_for_so2", *plan, *read, "100 L", "stop")
    assert answers["so2_tartaric_chosen"] == 1.5 and "tartaric acid: 150 g" in screen
    assert "2 (1 g/L): ph 3.52, spread 0.028" in screen and "in ph? Sure enough:" in screen


def test_copper_in_equal_jars_is_told_in_milligrams_and_never_tasted(tmp_path: Path) -> None:
    """Traces stay mg/L on the sheet of equal jars, and the blind order is one to smell in."""
    read = [
        "1",
        "0.04",
        "100 mL",
        "0.1",
        "0.01",
        "0.2 0.4 0.6",
        "2",
        "yes",
        "yes",
        "n/n n/y y/y y/y",
        "100 L",
        "stop",
    ]
    screen, answers = after_the_result(tmp_path, "trial copper_for_rotten_egg", *read)
    assert answers["copper_sulfate_chosen"] == pytest.approx(0.4)
    assert "1 (0.2 mg/L): smell gone: yes in 1 of 2" in screen and "dose mg/L" in screen
    assert "Take them in this order:" in screen and "Taste in" not in screen
