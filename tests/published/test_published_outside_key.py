"""What lies outside the rules: recognised, made safe, and sent to whoever can help.

The facts behind the rows are those of the National Research Council (US), Prudent Practices in the Laboratory
(methanol), the AWRI page on sulfides and mercaptans, Iowa State University Extension (hydrogen sulfide), the Oxford
Companion to Wine and UC Davis (geranium), and the AWRI key to deposits (copper, iron, glass). Smoke, cork, mouse and
horse have no source here that was read; their pages say *from memory*, and no figure of theirs is tested.
"""

from __future__ import annotations

from typing import Any

import pytest
from diagnose.casebook.answers import read_answer
from diagnose.engine.facts import Fact
from diagnose.judgement.judge import Cellar, Judged, judge

CLEAR = {
    "foreign_matter_feared": ["nothing_foreign"],
    "somebody_ill": "no",
    "wine_is_in": "vessel",
    "wine_touched_material": ["none_of_these"],
    "spirit_worry": "no",
}
FEARS: dict[str, dict[str, Any]] = {
    "coolant": {"foreign_matter_feared": ["coolant"]},
    "cleaner": {"foreign_matter_feared": ["cleaning_agent"]},
    "unknown powder": {"foreign_matter_feared": ["unknown_powder_or_liquid"]},
    "spray": {"foreign_matter_feared": ["spray"]},
    "fuel": {"foreign_matter_feared": ["fuel_or_paint"]},
    "methylated spirit": {"foreign_matter_feared": ["test_chemical"]},
    "zinc tub": {"wine_touched_material": ["zinc_or_galvanised"]},
    "lead glaze": {"wine_touched_material": ["lead_or_old_glaze"]},
    "unknown spirit": {"spirit_worry": "spirit_unknown"},
    "somebody ill": {"somebody_ill": "yes"},
}
ALLOWED = {"hazardous_waste", "laboratory_foreign", "mark_and_lock_away", "no_distilling"}
"""All that may be offered while a poison is feared."""

SMELLS: dict[str, tuple[dict[str, Any], str]] = {
    "rotten egg that air takes (Iowa State)": (
        {"smells": ["rotten_egg"], "foreign_smell": ["none_of_these"], "stink_after_airing": "goes"},
        "sulfur_fresh",
    ),
    "rotten egg and onion that air leaves (AWRI)": (
        {"smells": ["rotten_egg"], "foreign_smell": ["onion_or_garlic"], "stink_after_airing": "stays"},
        "sulfur_beyond_first_aid",
    ),
    "geranium in a wine with sorbate (Oxford Companion, UC Davis)": (
        {"smells": ["geranium"], "foreign_smell": ["none_of_these"], "wine_with_sorbate": "yes"},
        "geranium_stink",
    ),
    "grains that hot water leaves, after glass broke (AWRI, Villavecchia)": (
        {"foreign_matter_feared": ["glass"], "looks": ["splinters"], "crystals_hot_water": "stay"},
        "glass_in_it",
    ),
    "copper of 0.8 mg/L, after brass (AWRI)": (
        {"wine_touched_material": ["copper_or_brass_long"], "lab_copper": 0.8, "foreign_smell": ["metal"]},
        "metal_from_vessel",
    ),
}


def _judged(cellar: Cellar, **changed: Any) -> Judged:
    facts = [
        Fact(name, read_answer(cellar.base.observations[name], written, "metric"))
        for name, written in (CLEAR | changed).items()
    ]
    return judge(cellar, "outside", facts, machine="chain")


@pytest.mark.parametrize("fear", FEARS.values(), ids=FEARS.keys())
def test_a_feared_poison_is_locked_away_and_nothing_else_is_done(
    cellar: Cellar, fear: dict[str, Any]
) -> None:
    """Whatever poison is feared, the wine is marked first, nobody tastes, and no treatment or tasting is offered."""
    plan = _judged(cellar, **fear).plan
    assert plan.steps[0].fix == "mark_and_lock_away"
    offered = {item.fix for item in (*plan.steps, *plan.others)}
    assert offered <= ALLOWED, offered
    assert {"do_not_taste_mark_it", "poison_line"} <= {item.caution for item in plan.cautions}
    assert {item.test for item in plan.tests} <= {"laboratory_metals"}


def test_a_bad_smell_does_not_lead_to_the_waste_site(cellar: Cellar) -> None:
    """Mouse, horse, cork and smoke are harmless; the poison line and hazardous waste are not for them."""
    for smell in ("mouse_cage", "horse", "wet_cardboard", "smoke_or_ash"):
        plan = _judged(cellar, foreign_smell=[smell], smells=["none_of_these"]).plan
        offered = {item.fix for item in (*plan.steps, *plan.others)}
        assert not offered & {"hazardous_waste", "mark_and_lock_away"}, smell


def test_no_question_about_spirit_gets_help_with_distilling(cellar: Cellar) -> None:
    """Whoever asks about distilling is told not to, and offered nothing but that."""
    plan = _judged(
        cellar, spirit_worry="distilled", foreign_smell=["none_of_these"], smells=["none_of_these"]
    ).plan
    assert plan.steps[0].fix == "no_distilling"
    assert "never_distil" in {item.caution for item in plan.cautions}


@pytest.mark.parametrize(("findings", "cause"), SMELLS.values(), ids=SMELLS.keys())
def test_what_a_text_names_comes_first(cellar: Cellar, findings: dict[str, Any], cause: str) -> None:
    """The findings that a text names put its cause first."""
    judged = _judged(cellar, **findings)
    order = [(standing.cause, round(standing.chance, 2)) for standing in judged.standings[:3]]
    assert order[0][0] == cause, order
