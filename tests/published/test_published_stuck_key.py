"""Published keys to stuck ferments, walked entry by entry through the program.

The keys are the four diagnostic keys of the University of California, Davis, for problem fermentations (fermentation
management guides, web pages without a date), the list of causes in OIV resolution OENO 2/2003, and the reading of
glucose and fructose by L. Van de Water (slides). Each entry is walked on the findings that the key itself names.
"""

from __future__ import annotations

from typing import Any, NamedTuple

import pytest
from diagnose.casebook.answers import read_answer
from diagnose.engine.facts import Fact
from diagnose.judgement.judge import Cellar, Judged, judge


class Entry(NamedTuple):
    """An entry of a key: where it says so, what is found, and what it is."""

    source: str
    findings: dict[str, Any]
    cause: str


ABRUPT = {"ferment_course": "stopped_suddenly"}
SLOW = {"ferment_course": "slow_all_along"}
FADING = {"ferment_course": "slowed_later"}

KEY = {
    "sudden stop, temperature changed": Entry(
        "UC Davis, normal start, abrupt arrest, question 1",
        {**ABRUPT, "ferment_temperature_jump": "colder"},
        "yeast_chilled_or_shocked",
    ),
    "sudden stop, sulfur dioxide added": Entry(
        "UC Davis, normal start, abrupt arrest, question 2",
        {**ABRUPT, "just_before_ferment_stopped": ["sulfite"]},
        "ferment_stopped_by_addition",
    ),
    "sudden stop, acid added late": Entry(
        "UC Davis, normal start, abrupt arrest, question 2",
        {**ABRUPT, "just_before_ferment_stopped": ["acid"]},
        "ferment_stopped_by_addition",
    ),
    "sudden stop, ferments blended": Entry(
        "UC Davis, normal start, abrupt arrest, question 2",
        {**ABRUPT, "just_before_ferment_stopped": ["blending"]},
        "ferment_stopped_by_addition",
    ),
    "sluggish, pointed yeast under the microscope": Entry(
        "UC Davis, sluggish start, arrested, question 3",
        {**SLOW, "lemon_shaped_yeast": "yes"},
        "wild_or_killer_yeast",
    ),
    "sluggish, bacteria under the microscope": Entry(
        "UC Davis, sluggish start, arrested, question 3",
        {**SLOW, "microscope": ["rods_or_cocci"], "smells": ["vinegar"]},
        "ferment_stopped_by_bacteria",
    ),
    "slow onset, cold": Entry(
        "UC Davis, sluggish start, staying sluggish, question 1",
        {**SLOW, "ferment_temperature": 10.0},
        "ferment_too_cold",
    ),
    "slow onset, too much sulfur dioxide": Entry(
        "UC Davis, sluggish start, staying sluggish, question 1",
        {"ferment_course": "not_begun", "must_so2_added": 130.0},
        "must_over_sulfited",
    ),
    "slow onset, few living cells": Entry(
        "UC Davis, sluggish start, staying sluggish, question 1",
        {"ferment_course": "not_begun", "yeast_waking": ["too_little", "old_packet"]},
        "yeast_poorly_woken",
    ),
    "slow onset, wild yeast dominates": Entry(
        "UC Davis, sluggish start, staying sluggish, question 1",
        {**SLOW, "must_stood_before_yeast": "yes"},
        "wild_or_killer_yeast",
    ),
    "staying sluggish, no food and little nitrogen": Entry(
        "UC Davis, sluggish start, staying sluggish, question 2",
        {**SLOW, "nutrient_given": "none", "yeast_nitrogen_in_must": 90.0},
        "nitrogen_ran_short",
    ),
    "staying sluggish, fed, but no air": Entry(
        "UC Davis, sluggish start, staying sluggish, question 3",
        {**SLOW, "nutrient_given": "early", "yeast_nitrogen_in_must": 220.0, "must_aired_early": "no"},
        "yeast_starved_of_oxygen",
    ),
    "becoming sluggish, strain bears less than the must makes": Entry(
        "UC Davis, normal start, becoming sluggish, first question",
        {**FADING, "start_gravity": 1.115, "yeast_alcohol_limit": 14.0, "alcohol": 13.8},
        "alcohol_beyond_yeast",
    ),
    "lack of lipids after over-clarifying": Entry(
        "OIV OENO 2/2003", {**FADING, "must_clarity": "bright", "nutrient_given": "early"}, "juice_too_bright"
    ),
    "residues of sprays": Entry(
        "OIV OENO 2/2003", {**SLOW, "fruit_sprayed_late": "yes"}, "fungicide_in_must"
    ),
    "excess of sugar": Entry(
        "OIV OENO 2/2003", {"ferment_course": "not_begun", "start_gravity": 1.14}, "must_too_sweet"
    ),
    "temperature too high": Entry("OIV OENO 2/2003", {**ABRUPT, "hottest": 38.0}, "yeast_hurt_by_heat"),
    "temperature too low": Entry(
        "OIV OENO 2/2003", {**FADING, "ferment_temperature": 9.0}, "ferment_too_cold"
    ),
    "octanoic and decanoic acid": Entry(
        "OIV OENO 2/2003; OIV-OENO 633-2019 for the hulls",
        {**FADING, "hulls_jar": "works", "lively_yeast_jar": "dies_too"},
        "fatty_acid_poison",
    ),
    "spoilage by lactic bacteria": Entry(
        "OIV OENO 2/2003",
        {**FADING, "volatile_acidity": 1.2, "microscope": ["rods_or_cocci"]},
        "ferment_stopped_by_bacteria",
    ),
    "weak use of fructose at the end": Entry(
        "OIV OENO 2/2003; Van de Water, slides",
        {**FADING, "glucose_fructose": "nearly_all_fructose", "start_gravity": 1.1, "gravity_now": 0.999},
        "fructose_left_over",
    ),
    "sharp finish and smell of ester": Entry(
        "Van de Water, slides",
        {**FADING, "smells": ["nail_varnish"], "tastes": ["sharper_than_before"]},
        "ferment_stopped_by_bacteria",
    ),
}

NOT_OURS = {
    "thiamine": (
        "OIV OENO 2/2003 names the lack of it apart. Nobody in a small cellar measures it, and the finding that speaks "
        "for it, wild yeast before the inoculum, is that of wild yeast; it is told on that page."
    ),
    "schizosaccharomyces": (
        "OIV OENO 2/2003 names its malo-alcoholic ferment. It is rare, and only a laboratory can name the yeast; it "
        "ends as the unknown cause."
    ),
    "anaerobiosis": (
        "OIV OENO 2/2003 names a strain that does not bear it apart from the lack of air in growth. The findings "
        "and the cure are the same."
    ),
}
"""Entries that are no causes of ours, each with the reason."""


def judged(cellar: Cellar, findings: dict[str, Any]) -> Judged:
    """The judgement on these findings alone."""
    observations = cellar.base.observations
    facts = [Fact(name, read_answer(observations[name], told, "metric")) for name, told in findings.items()]
    return judge(cellar, "stuck", facts, machine="chain")


@pytest.mark.parametrize("entry", KEY.values(), ids=KEY.keys())
def test_each_entry_of_the_keys_puts_its_cause_first(cellar: Cellar, entry: Entry) -> None:
    """The findings that a published key names put the cause that it names first."""
    found = judged(cellar, entry.findings).standings
    order = [(standing.cause, round(standing.chance, 2)) for standing in found[:3]]
    assert order[0][0] == entry.cause, f"{order} by {entry.source}"


@pytest.mark.parametrize("outside", ["yeast_chilled_or_shocked", "ferment_too_cold", "yeast_hurt_by_heat"])
def test_equal_glucose_and_fructose_mean_an_outside_event(cellar: Cellar, outside: str) -> None:
    """Van de Water: as much glucose as fructose means that cold, heat or the like stopped it, not fructose."""
    before = {s.cause: s.chance for s in judged(cellar, ABRUPT).standings}
    after = {
        s.cause: s.chance for s in judged(cellar, {**ABRUPT, "glucose_fructose": "about_equal"}).standings
    }
    assert after[outside] > before[outside]
    assert after["fructose_left_over"] <= before["fructose_left_over"]


def test_entries_that_are_no_causes_of_ours_are_named(cellar: Cellar) -> None:
    """An entry of a key that is left out has a written reason, and no cause of ours claims it after all."""
    names = " ".join(f"{cause.cause} {cause.name}".lower() for cause in cellar.base.causes.values())
    for entry, reason in NOT_OURS.items():
        assert len(reason.split()) > 10
        assert entry not in names
