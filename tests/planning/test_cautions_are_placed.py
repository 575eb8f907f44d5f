"""What can hurt somebody is said on every fix and test whose steps meet it, and not only on some of them."""

from __future__ import annotations

import re
from collections.abc import Iterator
from pathlib import Path

import pytest
from diagnose.knowledge.models.treatments import BenchTest, Fix
from diagnose.knowledge.read import read_rule_base

BASE = read_rule_base([Path(__file__).resolve().parents[2] / "rules"])
PAGES = [*BASE.fixes.values(), *BASE.tests.values()]

NOT_DONE = re.compile(r"\b(?:no|not|never|nothing|nobody|instead of)\b|\bwithout it\b", re.IGNORECASE)
"""A sentence that says what is not done needs no care for doing it."""

PLACED = {
    "carbon dioxide in a closed room": (
        r"\bdegas\b|let it finish|until (?:it is )?dry\b|in full foam|stir the vessel|stir .*gas",
        {"carbon_dioxide", "ferment_in_a_closed_room", "foam_over"},
    ),
    "dry ice": (r"dry ice", {"dry_ice_gas"}),
    "opening bottles that may hold gas": (
        r"open (?:and pour|the bottles|one by one|another bottle)|open three to six",
        {"bottles_burst"},
    ),
    "sending a wine that may ferment": (r"may (?:still )?ferment", {"bottles_burst", "glass_pressure"}),
    "weighing and dissolving sulfite": (
        r"set free sulfur dioxide|\{sulfite\w*\}|\{metabisulfite\w*\}",
        {"sulfite_fumes"},
    ),
    "acid": (
        r"\{(?:tartaric|acid(?!ity))\w*\}|(?:citric|sulfuric|dilute) acid",
        {"acid_burns", "so2_and_acid_apart"},
    ),
    "egg": (r"egg white|\{lysozyme\w*\}", {"allergen_egg"}),
    "milk": (r"\bor casein\b|\bmilk\b", {"allergen_milk"}),
    "fish": (r"\bisinglass\b", {"allergen_fish"}),
    "shellfish": (r"\bchitosan\b", {"allergen_shellfish"}),
    "hot water and hot wine": (
        r"boiling water|hot water (?:takes|dissolves)|grains in hot water|\b80 °C",
        {"hot_liquid", "hot_bottling_danger"},
    ),
    "strong alcohol": (
        r"strong alcohol of|\{spirit\w*\}|\b9\d % alcohol",
        {"alcohol_flame", "methylated_poison", "spirit_and_strength"},
    ),
    "copper": (r"copper sulfate|copper salt", {"copper_poison"}),
    "ferrocyanide": (r"ferrocyanide", {"ferrocyanide_poison"}),
    "peroxide": (r"(?:drop|add|put) .*peroxide", {"peroxide_burns"}),
    "iodine": (r"(?:drop|add|mix) .*\biodine\b", {"iodine_stains_poison"}),
    "dust of clay": (
        r"fine with (?:clay|bentonite)|\bweigh .*\bclay\b|ladder of clay|dry clay",
        {"clay_dust"},
    ),
    "heating closed bottles": (r"heat closed bottles", {"hot_bottling_danger"}),
    "dust of filter powder": (r"filter powder|kieselguhr|perlite", {"filter_powder_dust"}),
    "dust of enzymes": (r"(?:stir|put|weigh|dissolve) .*\b(?:enzyme|amylase)\b", {"enzyme_dust"}),
    "sorbate": (r"\{sorbate\w*\}|\bpotassium sorbate\b", {"sorbate_geranium"}),
}
"""What is met, how the steps put it, and the cautions of which the page must show one."""

NAMED_IS_MET = (
    "dry ice",
    "copper",
    "ferrocyanide",
    "heating closed bottles",
    "sending a wine that may ferment",
)
"""What is so dangerous that a page which only says not to do it must say why."""


def shown_on(page: Fix | BenchTest) -> set[str]:
    """The cautions of a page, those of its steps included."""
    return {*page.cautions, *(caution for step in page.steps for caution in step.caution)}


def meeting(page: Fix | BenchTest, danger: str) -> Iterator[str]:
    """The sentences of the steps of a page that meet a danger."""
    pattern, _ = PLACED[danger]
    for step in page.steps:
        for sentence in re.split(r"(?<=[.;])\s+", " ".join(step.do.split())):
            done = danger in NAMED_IS_MET or not NOT_DONE.search(sentence)
            if done and re.search(pattern, sentence, re.IGNORECASE):
                yield sentence


def name_of(page: Fix | BenchTest) -> str:
    """The name of a fix or a test."""
    return page.fix if isinstance(page, Fix) else page.test


def lacking(pages: list[Fix | BenchTest], danger: str) -> list[tuple[str, str]]:
    """Pages that meet a danger and show none of its cautions, with the sentence that meets it."""
    _, cautions = PLACED[danger]
    return [
        (name_of(page), sentence)
        for page in pages
        for sentence in meeting(page, danger)
        if not shown_on(page) & cautions
    ]


@pytest.mark.parametrize("danger", PLACED)
def test_page_that_meets_a_danger_shows_its_caution(danger: str) -> None:
    """Every fix and test whose steps meet it warns of it, and some do meet it."""
    assert [page for page in PAGES if any(meeting(page, danger))]
    assert lacking(PAGES, danger) == []


def test_page_without_its_caution_is_noticed() -> None:
    """The page that sets sulfite against bacteria, with every caution taken off it, is reported."""
    page = BASE.fixes["stop_bacteria"]
    bare = page.model_copy(
        update={
            "cautions": (),
            "steps": tuple(step.model_copy(update={"caution": ()}) for step in page.steps),
        }
    )
    assert [name for name, _ in lacking([bare], "weighing and dissolving sulfite")] == ["stop_bacteria"]


def test_what_cannot_be_undone_is_said() -> None:
    """A fix that cannot be taken back says so among its cautions."""
    says = {"cannot_be_undone", "gum_cannot_be_taken_out"}
    assert [
        fix.fix for fix in BASE.fixes.values() if fix.can_be_undone == "no" and not shown_on(fix) & says
    ] == []


def test_what_the_law_limits_is_said() -> None:
    """A fix with a dose that a law limits warns that the law says how much."""
    says = {"legal_limits", "so2_total_by_law", "label_and_law"}
    limited = [fix for fix in BASE.fixes.values() if fix.dose and fix.dose.limit]
    assert limited
    assert [fix.fix for fix in limited if not shown_on(fix) & says] == []


def test_work_for_the_licensed_is_said() -> None:
    """What only a professional may do, and what needs a licence, says that law and label come first."""
    says = {"label_and_law", "legal_limits"}
    licensed = [fix for fix in BASE.fixes.values() if fix.done_by == "professional"]
    assert {"metal_treatment", "pasteurise_by_professional"} <= {fix.fix for fix in licensed}
    assert [fix.fix for fix in licensed if not shown_on(fix) & says] == []


def test_doubtful_bottles_are_made_safe_step_by_step() -> None:
    """The page for doubtful bottles shields, cools, opens one by one, and leaves alone what bulges."""
    page = BASE.fixes["make_bottles_safe"]
    told = " ".join(step.do for step in page.steps).lower()
    assert all(
        word in told for word in ("shield", "cool them slowly", "one at a time", "towel", "bulges", "airlock")
    )
    assert sum("bottles_burst" in step.caution for step in page.steps) >= 3
