"""Published guides to stopping a ferment and to refermentation, walked entry by entry through the program.

There is no single key to a ferment that will not stop. The entries are those of Techniloire (2015) and Matevi on
stopping sweet whites, Purdue Extension FS-56-W (Butzke) on refermentation, Eisenman on sweet wines, Cuenat (1997) on
heat, and the sources named beside a row.

A row that speaks for a cause must put it first, on what the source names and in a scene as it would be in a cellar.
A row that speaks against one must make it less likely than it was without the finding. Where this program goes
another way than the text, the row stands in `DISAGREEMENTS` with the reason, and must still disagree.
"""

from __future__ import annotations

from typing import Any, NamedTuple

import pytest
from diagnose.casebook.answers import read_answer
from diagnose.engine.facts import Fact
from diagnose.judgement.judge import Cellar, Judged, judge


class Entry(NamedTuple):
    """An entry of a guide: where it says so, what it names, the scene we set, and the cause it speaks of."""

    source: str
    named: dict[str, Any]
    scene: dict[str, Any]
    cause: str


IN_VESSEL = {"wine_is_in": "vessel"}
STILL_SWEET = {**IN_VESSEL, "wanted_sweetness": "some_sugar", "gravity_trend": "falling", "gas": "lively"}
IN_BOTTLE = {"wine_is_in": "bottle", "runaway_sign": ["bottles"], "gas": "lively"}
AT_REST = {**IN_VESSEL, "runaway_sign": ["began_again"], "gravity_trend": "steady", "gas": "a_little"}

SPEAKS_FOR = {
    "cold alone: yeasts stay alive and must be racked or filtered off": Entry(
        "Matevi, note on mutage",
        {"stopping_tried": ["chilled"], "yeast_taken_off": "left_on", "runaway_sign": ["began_again"]},
        {**STILL_SWEET, "coldest_reached": 3.0},
        "living_yeast_left_in",
    ),
    "sweet whites are stopped at 5 C, ideally at 1 C: this one never came near": Entry(
        "Techniloire 2015",
        {"stopping_tried": ["chilled"], "coldest_reached": 12.0, "gravity_trend": "falling"},
        {**STILL_SWEET, "runaway_sign": ["goes_on"]},
        "too_little_cold",
    ),
    "sorbate does not stop a ferment that already runs": Entry(
        "Eisenman, Stabilizing sweet wines",
        {"stopping_tried": ["sorbate"], "dosed_while_it_worked": "yes"},
        {**STILL_SWEET, "runaway_sign": ["goes_on"]},
        "sulfite_or_sorbate_alone",
    ),
    "sulfite added before a ferment ends is bound to acetaldehyde": Entry(
        "OIV-OENO 3/2004",
        {"stopping_tried": ["sulfite"], "dosed_while_it_worked": "yes", "free_so2": 4.0, "total_so2": 140.0},
        {**STILL_SWEET, "runaway_sign": ["goes_on"]},
        "sulfite_or_sorbate_alone",
    ),
    "more than 2 g/L of sugar, unfiltered, in bottle": Entry(
        "Purdue Extension FS-56-W",
        {"wine_is_in": "bottle", "residual_sugar": 8.0, "filter_grade": "not_filtered"},
        IN_BOTTLE,
        "bottle_ferments_again",
    ),
    "six cells in a bottle were enough, and others with more stayed still": Entry(
        "Practical Winery and Vineyard 2010",
        {"filter_grade": "fine", "gassy_bottles_share": "some", "residual_sugar": 8.0},
        {
            **IN_BOTTLE,
            "after_filter": "clear_then_hazy",
            "line_behind_filter": "rinsed",
            "woke_after": ["filtered"],
        },
        "filter_not_sterile",
    ),
    "a membrane is worth what its integrity test says": Entry(
        "Zoecklein, Enology Notes 67",
        {"filter_grade": "membrane_045", "filter_sound": "leaked", "residual_sugar": 8.0},
        {**STILL_SWEET, "runaway_sign": ["began_again"], "woke_after": ["filtered"]},
        "filter_not_sterile",
    ),
    "gas after the alcoholic ferment has ended": Entry(
        "Encyclopaedia Britannica, wine",
        {"gravity_trend": "steady", "gas": "a_little", "residual_sugar": 1.0},
        {**AT_REST, "wine_colour": "red", "ph": 3.55, "free_so2": 5.0},
        "malolactic_taken_for_yeast",
    ),
    "malic acid left at bottling, no sugar": Entry(
        "Purdue Extension FS-56-W",
        {"wine_is_in": "bottle", "malolactic": "under_way", "residual_sugar": 0.5},
        IN_BOTTLE,
        "malolactic_taken_for_yeast",
    ),
    "lactic bacteria turn sorbate into the smell of geranium": Entry(
        "UC Davis, sorbic acid; Oxford Companion to Wine",
        {"added_lately": ["sorbate"], "smells": ["geranium"], "microscope": ["rods_or_cocci"]},
        AT_REST,
        "malolactic_taken_for_yeast",
    ),
    "wine holds less gas when it is warmer": Entry(
        "Regulation (EEC) 2676/90, carbon dioxide",
        {"woke_after": ["warmer"], "gravity_trend": "steady", "malolactic": "finished"},
        {**AT_REST, "sweetness": "dry", "gravity_now": 0.993, "looks": ["none_of_these"]},
        "gas_let_go_by_warming",
    ),
    "a red must above 30 C and rising": Entry(
        "Cuenat 1997",
        {"ferment_temperature": 32.0, "ferment_heat_trend": "climbing", "wine_colour": "red"},
        {**IN_VESSEL, "runaway_sign": ["hot_or_fast"], "gravity_trend": "falling", "gas": "lively"},
        "hot_runaway",
    ),
    "a white must above 22 C": Entry(
        "Cuenat 1997",
        {"ferment_temperature": 26.0, "wine_colour": "white"},
        {**IN_VESSEL, "runaway_sign": ["hot_or_fast"], "gravity_trend": "falling", "gas": "lively"},
        "hot_runaway",
    ),
    "large early additions of yeast food make over-vigorous ferments": Entry(
        "Oregon State University Extension",
        {"food_all_at_once": "yes", "runaway_sign": ["hot_or_fast"]},
        {**IN_VESSEL, "points_lost_per_day": 28.0, "gravity_trend": "falling"},
        "hot_runaway",
    ),
    "below 2 g/L of reducing sugar a wine is finished": Entry(
        "Purdue Extension FS-56-W",
        {"residual_sugar": 1.0, "gravity_trend": "steady", "gas": "none"},
        {**IN_VESSEL, "runaway_sign": ["nothing_so_far"]},
        "nothing_works_now",
    ),
}

SPEAKS_AGAINST = {
    "glucose and fructose below 1 g/L at bottling": Entry(
        "Purdue Extension FS-56-W", {"residual_sugar": 0.8}, IN_BOTTLE, "bottle_ferments_again"
    ),
    "glucose and fructose below 1 g/L in the vessel": Entry(
        "Purdue Extension FS-56-W",
        {"residual_sugar": 0.8},
        {"wine_is_in": "vessel", "runaway_sign": ["began_again"], "yeast_taken_off": "left_on"},
        "living_yeast_left_in",
    ),
    "0.45 um, absolute, tested sound": Entry(
        "Stabilizing sweet wines at bottling, 2018",
        {"filter_grade": "membrane_045", "filter_sound": "tested_sound"},
        IN_BOTTLE,
        "bottle_ferments_again",
    ),
    "a red below 25 C": Entry(
        "Cuenat 1997",
        {"ferment_temperature": 24.0, "wine_colour": "red"},
        {"wine_is_in": "vessel", "runaway_sign": ["hot_or_fast"], "gravity_trend": "falling"},
        "hot_runaway",
    ),
    "density still falling is not old gas": Entry(
        "Regulation (EEC) 2676/90, carbon dioxide: dissolved gas does not move the density of a degassed sample",
        {"gravity_trend": "falling"},
        {"wine_is_in": "vessel", "runaway_sign": ["began_again"], "gas": "a_little"},
        "gas_let_go_by_warming",
    ),
}


class Disagreement(NamedTuple):
    """An entry that this program does not follow: what would follow from the text, and why we go another way."""

    source: str
    findings: dict[str, Any]
    text_would_offer: str
    because: str


DISAGREEMENTS = {
    "sulfite to stop the ferment": Disagreement(
        "Techniloire 2015 prints 100 to 130 mg/L with cooling to 5 C and racking",
        {**STILL_SWEET, "runaway_sign": ["goes_on"], "ferment_temperature": 18.0},
        "hold_malolactic_back",
        "The dose is printed as one part of cold and racking. Read by itself it tempts to sulfite a warm, working "
        "wine, which binds it. No page that only adds sulfite is offered while the wine works.",
    ),
    "250 mg/L of potassium sorbate for a sweet wine": Disagreement(
        "Eisenman, Stabilizing sweet wines",
        {**STILL_SWEET, "runaway_sign": ["goes_on"], "malolactic": "not_done", "alcohol": 12.0, "ph": 3.3},
        "hold_with_sorbate",
        "He adds it to a dry, clear wine before sugar. The figure alone is often carried over to a wine that works, "
        "where the same author says that it fails; and the dose here follows alcohol and pH.",
    ),
    "0.65 um holds all yeast": Disagreement(
        "Techniloire 2015, as found in that cellar",
        {
            "wine_is_in": "vessel",
            "wanted_sweetness": "some_sugar",
            "runaway_sign": ["began_again"],
            "residual_sugar": 20.0,
            "yeast_taken_off": "cloudy_off",
            "gas_comes_back": "comes_back",
            "gravity_trend": "steady",
        },
        "bottle_sweet_sterile",
        "Whatever its grade, no filter is offered for a wine that makes gas. And the page asks for 0.45 um, since "
        "bacteria pass 0.65.",
    ),
}


def _facts(cellar: Cellar, found: dict[str, Any]) -> list[Fact]:
    return [
        Fact(name, read_answer(cellar.base.observations[name], written, "metric"))
        for name, written in found.items()
    ]


def _judged(cellar: Cellar, found: dict[str, Any]) -> Judged:
    return judge(cellar, "runaway", _facts(cellar, found), machine="chain")


def _chance(judged: Judged, cause: str) -> float:
    return next(standing.chance for standing in judged.standings if standing.cause == cause)


@pytest.mark.parametrize("scene", [False, True], ids=["what the text names", "with the scene"])
@pytest.mark.parametrize("entry", SPEAKS_FOR.values(), ids=SPEAKS_FOR.keys())
def test_what_speaks_for_a_cause_puts_it_first(cellar: Cellar, entry: Entry, scene: bool) -> None:
    """What a guide names as the mark of a cause puts that cause first, alone and in a cellar."""
    found = {**entry.scene, **entry.named} if scene else entry.named
    judged = _judged(cellar, found)
    order = [(standing.cause, round(standing.chance, 2)) for standing in judged.standings[:3]]
    assert order[0][0] == entry.cause, f"{order} by {entry.source}"


@pytest.mark.parametrize("entry", SPEAKS_AGAINST.values(), ids=SPEAKS_AGAINST.keys())
def test_what_speaks_against_a_cause_makes_it_less_likely(cellar: Cellar, entry: Entry) -> None:
    """What a guide calls a safeguard or a contrary sign at least halves the odds of the cause."""
    before = _chance(_judged(cellar, entry.scene), entry.cause)
    after = _chance(_judged(cellar, {**entry.scene, **entry.named}), entry.cause)
    assert after / (1 - after) < before / (1 - before) / 2, f"{before:.3f} to {after:.3f} by {entry.source}"


@pytest.mark.parametrize("row", DISAGREEMENTS.values(), ids=DISAGREEMENTS.keys())
def test_where_we_go_another_way_we_still_do(cellar: Cellar, row: Disagreement) -> None:
    """A step that a text seems to print is not offered here, for the reason that is written down."""
    plan = _judged(cellar, row.findings).plan
    offered = {advice.fix for advice in (*plan.steps, *plan.others)}
    assert row.text_would_offer not in offered, row.because
