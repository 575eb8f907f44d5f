"""Published guidance on heat stability, walked entry by entry through the program.

The guidance is that of the Australian Wine Research Institute (AWRI), Measurement of heat stability of wine, with
the older version of the same page for the reading by eye and the two limits. Where a row comes from another text that
was read, that text is named beside it. The grading of how much a slip weighs is ours; the row only demands that the
slip or the verdict that the text names comes first.
"""

from __future__ import annotations

from typing import Any, NamedTuple

import pytest
from diagnose.casebook.answers import read_answer
from diagnose.engine.facts import Fact
from diagnose.judgement.judge import Cellar, Judged, judge


class Entry(NamedTuple):
    """An entry of the guidance: where it stands, what is found, what comes first, and what is not done."""

    source: str
    findings: dict[str, Any]
    cause: str
    never_offered: tuple[str, ...] = ()


TESTED = {"heat_test_of": "as_it_is"}
RIGHTLY = {**TESTED, "heat_test_slips": ["none_of_these"]}
WHITE = {"wine_colour": "white", "made_from": "grapes"}
PINK = {"wine_colour": "rose", "made_from": "grapes"}
RED = {"wine_colour": "red", "made_from": "grapes"}
CLAY = ("bentonite", "second_small_ladder")

GUIDANCE = {
    "white, two hours, rise below 0.5 NTU: stable by every limit": Entry(
        "AWRI, older page: stricter laboratories 0.5 NTU",
        {**WHITE, **RIGHTLY, "heated_ntu": 0.9, "control_ntu": 0.5},
        "heat_stable_wine",
        CLAY,
    ),
    "white, two hours, rise above 2 NTU: not stable": Entry(
        "AWRI: whites pass below 2 NTU after two hours",
        {**WHITE, **RIGHTLY, "heated_ntu": 4.0, "control_ntu": 0.5},
        "protein_not_fined_out",
    ),
    "by eye, any difference in a 3 mm shaft of light: not stable": Entry(
        "AWRI, older page: reading without a turbidity meter",
        {**WHITE, **RIGHTLY, "heat_test_eye": "slightly_hazier"},
        "protein_not_fined_out",
    ),
    "by eye, no difference from the unheated twin: stable": Entry(
        "AWRI, older page: reading without a turbidity meter",
        {**WHITE, **RIGHTLY, "heat_test_eye": "unchanged"},
        "heat_stable_wine",
        CLAY,
    ),
    "pink, rise of 0.5 to 2 NTU: over its limit": Entry(
        "AWRI: rosé and red are heated for six hours and pass below 0.5 NTU",
        {**PINK, **TESTED, "heated_ntu": 1.7, "control_ntu": 0.5, "heat_test_slips": ["two_hours_for_red"]},
        "pink_judged_as_white",
        CLAY,
    ),
    "red, six hours, rise below 0.5 NTU: stable": Entry(
        "AWRI: rosé and red are heated for six hours and pass below 0.5 NTU",
        {**RED, **RIGHTLY, "heated_ntu": 0.8, "control_ntu": 0.5},
        "heat_stable_wine",
        CLAY,
    ),
    "pink that passed after two hours: not yet tested rightly": Entry(
        "AWRI: rosé and red are heated for six hours",
        {**PINK, **TESTED, "heat_test_eye": "unchanged", "heat_test_slips": ["two_hours_for_red"]},
        "heat_test_too_mild",
        CLAY,
    ),
    "a sample that starts above 2 NTU: the test cannot be read": Entry(
        "AWRI: samples start below 2 NTU, through a 0.45 um filter",
        {**WHITE, **TESTED, "heated_ntu": 6.0, "control_ntu": 3.4, "heat_test_slips": ["not_bright_before"]},
        "heat_test_misread",
        CLAY,
    ),
    "no unheated control: the haze cannot be laid to heat": Entry(
        "AWRI: the same wine kept at about 20 C is the control",
        {
            **WHITE,
            **TESTED,
            "heat_test_eye": "slightly_hazier",
            "heat_test_slips": ["no_twin", "read_warm_or_dirty"],
        },
        "heat_test_misread",
        CLAY,
    ),
    "six hours and a night in the cold, then held against two hours: too much haze": Entry(
        "McRae and others 2018, as reported by Vitisphere: more haze and a higher dose than 2 h and 3 h",
        {
            **WHITE,
            **TESTED,
            "heat_test_eye": "slightly_hazier",
            "heat_test_slips": ["too_long_or_hot", "chilled_after"],
        },
        "heat_test_misread",
        CLAY,
    ),
    "fifteen minutes at 70 C: the mildest test in print": Entry(
        "WineSkills (UK), proteins",
        {**WHITE, **TESTED, "heat_test_eye": "unchanged", "heat_test_slips": ["too_short_or_cool"]},
        "heat_test_too_mild",
        CLAY,
    ),
    "two stable wines, blended and unstable": Entry(
        "WineSkills (UK), preparing for bottling",
        {**WHITE, **RIGHTLY, "heat_test_eye": "much_hazier", "changed_since_heat_pass": ["blended"]},
        "changed_after_test",
    ),
    "a treated tank that still fails, mixed more gently than its jars": Entry(
        "Weiss, Lange and Bisson 2001: vigorous mixing leaves a third of the haze of slow mixing",
        {
            **WHITE,
            **RIGHTLY,
            "heat_test_eye": "much_hazier",
            "added_lately": ["bentonite"],
            "clay_mixing": "jars_shaken_hard",
            "clay_dose_from": "trial",
        },
        "clay_mixed_unlike_trial",
    ),
}
"""One entry gives way on purpose: the page calls a white below 2 NTU passed, and the older page 0.5 to 2 NTU a matter
of who tests. The program keeps that range grey, and the last test here holds it to that."""


def _judged(cellar: Cellar, findings: dict[str, Any]) -> Judged:
    facts = [
        Fact(name, read_answer(cellar.base.observations[name], written, "metric"))
        for name, written in findings.items()
    ]
    return judge(cellar, "heat", facts, machine="chain")


@pytest.mark.parametrize("entry", GUIDANCE.values(), ids=GUIDANCE.keys())
def test_each_entry_of_the_guidance_puts_its_verdict_first(cellar: Cellar, entry: Entry) -> None:
    """What the guidance names comes first, and clay is offered only where the guidance would let it."""
    judged = _judged(cellar, entry.findings)
    order = [(standing.cause, round(standing.chance, 2)) for standing in judged.standings[:3]]
    assert order[0][0] == entry.cause, f"{order} by {entry.source}"
    offered = {item.fix for item in (*judged.plan.steps, *judged.plan.others)}
    assert not offered & set(entry.never_offered), f"{offered} by {entry.source}"


def test_a_white_between_the_two_limits_is_called_neither_stable_nor_failed(cellar: Cellar) -> None:
    """A rise of 1.2 NTU in a white, tested rightly, does not confirm that it is stable, nor open the clay."""
    judged = _judged(cellar, {**WHITE, **RIGHTLY, "heated_ntu": 1.7, "control_ntu": 0.5})
    assert judged.first.word != "confirmed"
    offered = {item.fix for item in (*judged.plan.steps, *judged.plan.others)}
    assert not offered & set(CLAY)
