"""A blend tried in jars and brought to the vessel, by the person who types it."""

from __future__ import annotations

from pathlib import Path

import pytest
from at_the_table import CELLAR, after_the_result
from diagnose.engine.facts import Fact
from diagnose.judgement.judge import judge
from diagnose.planning.fixes import amounts

BLEND = "blend_with_sharper_wine"
PLAN = [f"trial {BLEND}", "100 mL", "1", "1", "20 30 50"]
ONE = [*PLAN, "1", "yes", "yes"]
"""Three shares in jars of 100 mL from a cylinder with marks of 1 mL, one jar of each, ready to be read."""

THIS = {"alcohol": 12.5, "titratable_acidity": 9.0, "residual_sugar": 1.0, "total_so2": 70.0}
OTHER = {
    "other_wine_alcohol": 11.0,
    "other_wine_acidity": 8.0,
    "other_wine_sugar": 2.0,
    "other_wine_total_so2": 60.0,
}


def test_the_share_liked_best_of_those_that_pass_goes_into_the_vessel(tmp_path: Path) -> None:
    """20 % misses the pH and 50 % clouds, so 30 %: 30 L to 70 L, worked by hand from 30 in 100."""
    read = ["3.8 3.6 3.45 3.3", "", "- - y n", "1 2 4 3", "70 L", "stop"]
    screen, answers = after_the_result(tmp_path, *ONE, *read)
    assert "Jar 2: 30 % is the best liked of those where the pH has come down far enough" in screen
    assert answers["other_wine_share"] == 30 and answers["so2_blend_jars"] == "fits"
    assert "other wine: 30 L to all of it (30 % of the blend)" in screen and "together: 100 L" in screen


def test_the_sheet_says_millilitres_of_both_wines_and_no_water(tmp_path: Path) -> None:
    """At 20 % a jar of 100 mL holds 20 mL of the other wine and 80 of this one; nothing is dissolved or thinned."""
    screen, _ = after_the_result(tmp_path, *PLAN, "1", "yes", "later", "stop")
    assert "share % other wine mL this wine mL ph clear liking" in screen
    assert "1 20 20 80 ____" in screen and "control 0 0 100 ____" in screen
    assert "You need 300 mL of this wine and 100 mL of other wine." in screen
    for strange in ("stock", "thinned by", "of liquid in all", "made up to one litre"):
        assert strange not in screen


def test_the_room_for_the_blend_is_said_before_anything_is_poured(tmp_path: Path) -> None:
    """80 L at 20 % become 100 L; a vessel that is full gives 16 L up and takes 16 L, 20 % of 80 by hand."""
    read = ["3.8 3.5 3.45 3.3", "", "- y y y", "4 1 2 3", "80 L", "stop"]
    screen, _ = after_the_result(tmp_path, *ONE, *read)
    assert "the vessel must hold 100 L" in screen
    assert "take 16 L of this wine out into a full vessel of its own, and put 16 L of the other in" in screen


@pytest.mark.parametrize(
    ("typed", "says"),
    [
        ("100", "100 % cannot be right; expected 1 to 99 %."),
        ("120", "120 % cannot be right; expected 1 to 99 %."),
        ("-5 20", "-5 % cannot be right; expected 1 to 99 %."),
        ("0.2", "0.2 % cannot be right; expected 1 to 99 %."),
        ("twenty", "'twenty' is not a number"),
    ],
)
def test_a_share_that_no_blend_can_have_is_asked_again(tmp_path: Path, typed: str, says: str) -> None:
    """The sentence names the value and what is expected; the next ladder is taken, with signs of percent or without."""
    lines = [*PLAN[:-1], typed, "20 % 30 %", "1", "yes", "later", "stop"]
    screen, _ = after_the_result(tmp_path, *lines)
    assert says in screen and "1 20 20 80" in screen


def test_of_two_shares_liked_alike_the_smaller_is_taken_and_the_tie_is_said(tmp_path: Path) -> None:
    """Both ranked first by one nose: the person sees the tie, and that one ranking is a hint."""
    read = ["3.8 3.5 3.45 3.3", "", "- y y y", "4 1 1 3", "80 L", "stop"]
    screen, answers = after_the_result(tmp_path, *ONE, *read)
    assert answers["other_wine_share"] == 20
    assert "Ranked alike: 30 %." in screen and "One ranking by one nose is a hint, not proof." in screen


@pytest.mark.parametrize(
    ("read", "word", "says"),
    [
        (["3.8 3.7 3.65 3.6", "", "- - - -", "1 2 3 4"], "ph_stays", "look for a sharper wine"),
        (["3.8 3.5 3.4 3.3", "", "- n n n", "1 2 3 4"], "cloudy", "Every share that reached the pH clouds."),
        (["3.8 3.6 3.45 3.3", "", "- - n n", "1 2 3 4"], "no_share", "No share of this ladder serves."),
        (["3.8 3.7 3.6 3.5", "3 to 3.9", "y y y y", "1 2 3 4"], "as_it_is", "leave it unblended"),
    ],
)
def test_a_blend_that_no_jar_speaks_for_is_not_made(
    tmp_path: Path, read: list[str], word: str, says: str
) -> None:
    """Too little fall of pH, a haze, one for this and one for that, or better as it is: no share is kept."""
    screen, answers = after_the_result(tmp_path, *ONE, *read, f"why not {BLEND}", f"trial {BLEND}", "stop")
    assert says in screen and "The jars say that" in screen and "Not now: Blend it" in screen
    assert answers["so2_blend_jars"] == word and "other_wine_share" not in answers


def test_a_ph_that_climbs_with_a_sharper_wine_is_a_slip(tmp_path: Path) -> None:
    """The pH of a blend lies between its two wines, so it falls from share to share."""
    read = ["3.8 3.5 3.65 3.3", "", "- y - y", "4 1 2 3", "stop"]
    screen, answers = after_the_result(tmp_path, *ONE, *read)
    assert "Set these again before you choose: jar 1 (20 %), jar 2 (30 %)" in screen
    assert "other_wine_share" not in answers


def test_two_jars_of_each_share_show_how_sure_the_liking_is(tmp_path: Path) -> None:
    """Ranks 1 and 2 beside 3 and 3: by luck alone two of two fall one way or the other in half of all trials."""
    read = ["3.8/3.82 3.5/3.46 3.4/3.42 3.3/3.3", "", "- y/y y/y y/n", "7/8 1/2 3/3 5/6", "80 L", "stop"]
    screen, answers = after_the_result(tmp_path, *PLAN, "2", "yes", "yes", *read)
    assert "8 jars. You need 600 mL of this wine and 200 mL of other wine." in screen
    assert "1 (20 %): ph 3.48, spread 0.028; clear: yes in 2 of 2; taste 1.5 mean rank" in screen
    assert "liked better than the next best that passes? A coin toss:" in screen and "in 50.0 %" in screen
    assert answers["other_wine_share"] == 20
    kept = next(tmp_path.rglob("*.yaml")).read_text(encoding="utf-8")
    assert '"by": "liking"' in kept and '"passes": {"ph": [3.0, 3.5]}' in kept


def test_the_sums_of_the_blend_follow_from_the_share_of_the_jars() -> None:
    """20 L of 11 % in 100 L with 80 L of 12.5 % is 12.2 %, and so on (worked by hand from the balance of mass)."""
    known = {"vessel_volume": 80.0, "other_wine_share": 20.0, **THIS, **OTHER}
    facts = judge(CELLAR, "so2", [Fact(name, value) for name, value in known.items()]).facts
    assert facts["other_wine_volume"] == (20.0,)
    found = {amount.name: amount.value for amount in amounts(CELLAR.base.fixes[BLEND], facts)}
    by_hand = {
        "other_wine": 20,
        "together": 100,
        "taken_out": 16,
        "alcohol_then": 12.2,
        "acidity_then": 8.8,
        "sugar_then": 1.2,
        "total_then": 68,
    }
    assert found == {name: pytest.approx(value) for name, value in by_hand.items()}


def test_a_plan_of_a_blend_changed_by_hand_beyond_all_wine_is_made_anew(tmp_path: Path) -> None:
    """A share of 100 % in the case file ends in a sentence and a new plan."""
    tools = {"sample_ml": 100, "weighed": False, "strength": 100, "smallest": 1, "step": 1}
    planned = {"fix": BLEND, "doses": [20, 100], "bench": tools}
    screen, _ = after_the_result(tmp_path, f"trial {BLEND}", *[""] * 5, "yes", "later", "stop", trial=planned)
    assert "cannot be set up" in screen and "at most 99" in screen and "The plan is kept" in screen
