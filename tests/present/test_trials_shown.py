"""Bench trials on the screen: the jars, what to beware of, what was read, and how sure it is."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest
from a_page import lines_of, read
from diagnose.calculators.trial import (
    Failure,
    LevelRead,
    Missing,
    Side,
    Sureness,
    TrialChoice,
    TrialReading,
    TrialWarning,
)
from diagnose.calculators.trial.sureness import UNKNOWN
from diagnose.planning.planned import Beside, Planned, design_planned
from diagnose.planning.trials import Bench, agent_of, blend_for_vessel, plan_trial, usual_bench
from diagnose.present.factors import show_compared, show_factors, show_level, sure_words
from diagnose.present.trial import show_blend, show_blind, show_choice, show_design, warning_words

if TYPE_CHECKING:
    from conftest import Worked

BENCH = Bench(100, False, 50, 0.1, 0.01)
WEIGHED = Bench(100, True, 5, 0.1, 0.01)
SILICA = Bench(100, False, 10, 0.1, 0.01)


def chosen(worked: Worked, fix: str, choice: TrialChoice, doses: tuple[float, ...] = (0.2, 0.4)) -> str:
    """What a trial of these doses came to, on the screen."""
    page_of = worked.base.fixes[fix]
    design = plan_trial(worked.base, page_of, doses, usual_bench(agent_of(page_of)), {})
    readings = [
        TrialReading(sample.number, clarity_ntu=0.5, heat=0.3, flavour_rank=1) for sample in design.samples
    ]
    return read(lambda page: show_choice(page, page_of, choice, design, readings))


CHOICES: dict[tuple[str, TrialChoice], tuple[tuple[str, ...], tuple[str, ...]]] = {
    ("bentonite", TrialChoice("chosen", 1, 0.2)): (
        ("Jar 1: 0.2 g/L is the least dose that is clear, stable and keeps the flavour.",),
        ("finer ladder", "Ranked alike"),
    ),
    ("bentonite", TrialChoice("control_serves")): (
        (
            "The control is clear and stable without any dry clay: nothing to treat.",
            "it has settled: rack it off.",
        ),
        ("Ranked alike",),
    ),
    ("sweeten_what_is_kept", TrialChoice("control_serves", alike=(1,))): (
        (
            "The control is the best liked: leave it without",
            "Ranked alike with it: 0.2 g/L. What is no better than",
        ),
        ("rack it off",),
    ),
    (
        "bentonite",
        TrialChoice("none_serves", failures=(Failure(1, 0.2, "clarity"), Failure(2, 0.4, "clarity"))),
    ): (
        ("0.4 g/L failed on clarity", "No jar came clear: this haze is not what the agent takes out."),
        ("All clear, none stable", "lost flavour"),
    ),
    ("bentonite", TrialChoice("none_serves", failures=(Failure(2, 0.4, "heat"),))): (
        ("All clear, none stable: more is needed, or the slurry was badly made.",),
        ("No jar came clear", "lost flavour"),
    ),
    (
        "bentonite",
        TrialChoice("none_serves", failures=(Failure(1, 0.2, "heat"), Failure(2, 0.4, "flavour"))),
    ): (
        ("What is stable has lost flavour: ask whether the haze is worth that",),
        ("No jar came clear", "All clear, none stable"),
    ),
    (
        "bentonite",
        TrialChoice("none_serves", failures=(Failure(1, 0.2, "clarity"), Failure(2, 0.4, "heat"))),
    ): (
        ("0.2 g/L failed on clarity - 0.4 g/L failed on heat",),
        ("No jar came clear", "All clear, none stable", "lost flavour"),
    ),
    ("bentonite", TrialChoice("incomplete", missing=(Missing(None, "clarity"), Missing(0, "flavour")))): (
        ("Some readings are still missing. - clarity of the whole trial - flavour of the control",),
        (),
    ),
}


@pytest.mark.parametrize(("asked", "said"), CHOICES.items(), ids=lambda part: None)
def test_what_the_trial_says(
    worked: Worked, asked: tuple[str, TrialChoice], said: tuple[tuple[str, ...], tuple[str, ...]]
) -> None:
    """The dose, or that none serves and what that means; never a meaning that the jars do not bear out."""
    whole = chosen(worked, *asked)
    assert not [part for part in said[0] if part not in whole], whole
    assert not [part for part in said[1] if part in whole], whole


@pytest.mark.parametrize(
    ("warning", "said"),
    [
        (
            TrialWarning("rounding", 1, "finer_step", {"given": 0.2, "wanted": 0.23, "percent": -13.0}),
            "Jar 1: the marks allow only 0.2 g/L instead of 0.23 g/L, off by 13 %; a finer mark or a larger jar mends "
            "it.",
        ),
        (
            TrialWarning("duplicate_dose", 2, "drop_one", {"dose": 0.4}),
            "Jar 2: 0.4 g/L stands twice; drop one.",
        ),
        (
            TrialWarning("same_amount", 2, "finer_step"),
            "Jar 2: gets the same amount as the jar before it; a finer mark or a larger jar tells them apart.",
        ),
    ],
)
def test_a_warning_comes_with_its_mend(worked: Worked, warning: TrialWarning, said: str) -> None:
    """What is wrong with a jar is said in the doses of the person, and what mends it."""
    fix = worked.base.fixes["bentonite"]
    assert warning_words(agent_of(fix), warning, plan_trial(worked.base, fix, (0.2, 0.4), BENCH, {})) == said


def test_a_weighed_stock_is_made_by_weight(worked: Worked) -> None:
    """Five grams of clay with 95 of water, and each portion weighed, since a millilitre of it is another dose."""
    fix = worked.base.fixes["bentonite"]
    design = plan_trial(worked.base, fix, (0.2, 0.4), WEIGHED, {})
    whole = read(lambda page: show_design(page, worked.base, fix, WEIGHED, design, None))
    assert (
        "Slurry by weight: 5 g of dry clay with 95 g of water. One gram of it holds 50 mg of dry clay."
        in whole
    )
    assert "Weigh each portion" in whole
    blind = read(lambda page: show_blind(page, design, 7))
    assert blind.startswith("To judge blind - Codes: control ") and not lines_of(
        lambda page: show_blind(page, design, None)
    )


@pytest.mark.parametrize("into", ["Racked in under the surface.", None])
def test_a_blend_wants_room_first(worked: Worked, into: str | None) -> None:
    """How much of the other wine, how it goes in where the page says so, and that the vessel must hold both."""
    fix = worked.base.fixes["blend_with_sharper_wine"]
    assert fix.trial is not None
    agent = agent_of(fix).model_copy(update={"into_vessel": into})
    fix = fix.model_copy(update={"trial": fix.trial.model_copy(update={"agent": agent})})
    whole = read(lambda page: show_blend(page, fix, blend_for_vessel(20, 40), "metric"), plain=True)
    assert (
        "10 L to all of it (20 % of the blend)" in whole
        and "Mind: Room first: the vessel must hold 50 L" in whole
    )
    assert ("Racked in" in whole) == bool(into)


# ---------------------------------------------------------------- two agents, and equal jars


def test_a_plan_for_more_than_a_kitchen_is_said_to_be_too_large(worked: Worked) -> None:
    """Three equal jars of nine doses fill any kitchen; without a seed nothing is said of codes."""
    doses = (0.2, 0.4, 0.6, 0.8, 1.0)
    planned = Planned(
        "bentonite", doses, BENCH, None, 3, Beside("counter_fine", (0.01, 0.03, 0.06, 0.1), SILICA)
    )
    trial = design_planned(worked.base, planned, {})
    whole = read(lambda page: show_factors(page, worked.base, planned, trial, {}))
    assert f"! {len(trial.jars)} jars are more than a kitchen holds in a day" in whole
    assert "To judge blind" not in whole
    small = Planned("bentonite", (0.2, 0.4), BENCH, 7, 2)
    few = read(
        lambda page: show_factors(page, worked.base, small, design_planned(worked.base, small, {}), {})
    )
    assert "more than a kitchen" not in few and "To judge blind - Codes: control a " in few


SURE: dict[tuple[Sureness, int], str] = {
    (
        UNKNOWN,
        1,
    ): "One jar of each dose: nothing is known of the spread between equal jars, so nobody can say. Two",
    (UNKNOWN, 2): "What was read gives no figure for it.",
    (Sureness("likely"), 2): "Likely, without a figure: the equal jars read alike, so no spread was seen.",
    (
        Sureness("sure enough", 0.05, 0),
        3,
    ): "Sure enough: the spread between equal jars alone makes so wide a gap in less",
    (
        Sureness("likely", 12.0, 1),
        2,
    ): "in 12.0 % of trials. 1 more jar of each dose would settle it, if gap and",
    (
        Sureness("a coin toss", 60.0, None),
        2,
    ): "Not even 20 jars of each dose would settle it: take the two as equal.",
    (
        Sureness("a coin toss", 50.0, 4, True),
        2,
    ): "in 50.0 % of trials. 4 more pairs of jars, all ranked the same way",
    (Sureness("sure enough", 3.1, 0, True), 6): "ranks them so, one way or the other, in 3.1 % of trials.",
}


@pytest.mark.parametrize(("asked", "said"), SURE.items(), ids=lambda part: None)
def test_how_sure_is_said_with_what_would_settle_it(asked: tuple[Sureness, int], said: str) -> None:
    """A word, the luck behind it in figures, and how many more jars would tell; where none would, that too."""
    words = sure_words(*asked)
    assert said in words and words.endswith(".")
    assert ("settle it" in words) == (asked[0].more != 0 and asked[0].luck_percent is not None)


def level(worked: Worked, fix: str, lees: tuple[float, float] | None, *ntu: float | None) -> LevelRead:
    """A ladder of two doses with two jars of each, the control and the first dose read as told."""
    page_of = worked.base.fixes[fix]
    design = plan_trial(worked.base, page_of, (0.2, 0.4), BENCH, {})
    rows = [[TrialReading(number, clarity_ntu=at) for number, at in enumerate(ntu)] for _ in range(2)]
    return LevelRead(design, rows, TrialChoice("chosen", 2, 0.4), UNKNOWN, "clarity", lees)


def test_equal_jars_are_told_together_where_they_were_read(worked: Worked) -> None:
    """Mean and spread of each dose; a dose of which nothing was read has no line."""
    fix = worked.base.fixes["bentonite"]
    whole = read(lambda page: show_level(page, fix, level(worked, "bentonite", None, 9.0, None, 0.5), 3))
    assert "Equal jars together - control: clarity 9 NTU, spread 0 - 5 (0.4 g/L): clarity 0.5 NTU" in whole
    assert "4 (0.2 g/L)" not in whole
    assert "How sure that this dose differs from the one before, in clarity?" in whole


LUCK = Sureness("likely", 12.0, 2)
COMPARED: list[tuple[tuple[Side, ...], int | None, tuple[str, ...]]] = [
    ((), None, ("Neither ladder has a dose to choose yet.",)),
    ((), 1, ("Only dry silica has a dose to choose yet.",)),
    (
        (Side("clarity", None, UNKNOWN),),
        None,
        ("- clarity: both read alike. Both serve, and nothing read here",),
    ),
    (
        (Side("flavour", 0, LUCK), Side("lees", 1, UNKNOWN)),
        1,
        (
            "flavour: dry clay did better. Likely: ",
            "wine lost in the lees: dry clay 5 to 10 % and dry silica 1 to 2 %; dry silica loses less.",
            "Both serve; dry silica comes out ahead.",
            "One taster ranked these jars: it says what this taster finds, not what others will.",
        ),
    ),
    ((Side("lees", None, UNKNOWN),), None, ("the two may lose as much.",)),
]


@pytest.mark.parametrize(("sides", "better", "said"), COMPARED)
def test_two_agents_beside_each_other(
    worked: Worked, sides: tuple[Side, ...], better: int | None, said: tuple[str, ...]
) -> None:
    """In what they differ, which comes out ahead if one does, and that one taster is one taster."""
    fixes = [worked.base.fixes[name] for name in ("bentonite", "counter_fine")]
    levels = [level(worked, "bentonite", (5, 10), 9.0, 1.0), level(worked, "counter_fine", (1, 2), 9.0, 1.0)]
    whole = read(lambda page: show_compared(page, fixes, levels, sides, better))
    assert not [part for part in said if part not in whole], whole
    assert ("One taster" in whole) == any(side.what == "flavour" for side in sides)
