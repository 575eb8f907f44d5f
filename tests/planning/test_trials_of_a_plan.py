"""The bench trial of a fix: what is on the bench, what a jar must reach, and what goes from the jar to the vessel."""

from __future__ import annotations

from pathlib import Path

import pytest
from diagnose.calculators import OutOfRange
from diagnose.calculators.trial import TrialChoice
from diagnose.calculators.trial.choice import Failure
from diagnose.knowledge.models.treatments import Fix
from diagnose.knowledge.read import read_rule_base
from diagnose.planning.planned import Beside, Planned, design_planned
from diagnose.planning.trials import (
    Bench,
    agent_of,
    answer_of,
    blend_for_vessel,
    dose_words,
    fixes_with_ladder,
    for_vessel,
    kept_of,
    limits_for,
    plan_trial,
    trial_of,
    usual_bench,
    usual_stock,
    water_limit,
)
from hypothesis import given
from hypothesis import strategies as st
from made_bases import base_of, fix

RULES = read_rule_base([Path(__file__).resolve().parents[2] / "rules"])
CLAY, SILICA = RULES.fixes["bentonite"], RULES.fixes["counter_fine"]
COPPER, BLEND = RULES.fixes["copper_for_rotten_egg"], RULES.fixes["blend_with_sharper_wine"]
SLURRY = Bench(100, False, 50, 0.1, 0.01)
"""5 % by volume, in a syringe that marks hundredths of a millilitre."""


# ---------------------------------------------------------------- the bench


def test_the_usual_bench_is_a_syringe_a_scale_or_a_cylinder() -> None:
    """A 5 % slurry is 50 g/L in a syringe and 5 % on a scale; another wine is poured from a cylinder, whole."""
    assert usual_bench(agent_of(CLAY)) == SLURRY
    assert usual_bench(agent_of(CLAY), weighed=True) == Bench(100, True, 5, 0.1, 0.01)
    assert usual_bench(agent_of(BLEND)) == Bench(100, False, 100, 1, 1)
    assert usual_bench(agent_of(BLEND), weighed=True) == Bench(100, False, 100, 1, 1)


def test_a_stock_is_as_strong_by_weight_as_it_was_mixed() -> None:
    """5 g of clay of 2.5 g/mL in 95 g of water fill 97 mL, so a mL holds 51.5 mg (worked by hand)."""
    stock = Bench(100, True, 5, 0.1, 0.01).stock(agent_of(CLAY))
    assert stock is not None and stock.unit == "g"
    assert stock.grams_per_ml == pytest.approx(5 / 97, rel=1e-6)
    by_volume = SLURRY.stock(agent_of(CLAY))
    assert by_volume is not None and by_volume.unit == "mL"
    assert by_volume.grams_per_ml == pytest.approx(0.05)
    assert by_volume.density_g_per_ml == pytest.approx(1 + 0.05 * (1 - 1 / 2.5))
    assert usual_bench(agent_of(BLEND)).stock(agent_of(BLEND)) is None


def test_what_has_no_stock_or_no_ladder_says_so() -> None:
    """Another wine has no stock, and a fix without a ladder has no trial: both are refused, not guessed."""
    plain = base_of(fix("wait")).fixes["wait"]
    for refused, says in (
        (lambda: usual_stock(agent_of(BLEND)), "has no stock"),
        (lambda: trial_of(plain), "no trial with a ladder"),
        (lambda: for_vessel(RULES, BLEND, 20, 100, usual_bench(agent_of(BLEND)), {}), "blended in"),
    ):
        with pytest.raises(ValueError, match=says):
            refused()
    assert "bentonite" in fixes_with_ladder(RULES) and "wait_and_rack" not in fixes_with_ladder(RULES)


def test_doses_are_shown_in_the_unit_of_the_agent() -> None:
    """Clay is told in g/L, copper in mg/L though kept in g/L, another wine in percent; three figures, no tail."""
    assert dose_words(agent_of(CLAY), 0.1, 0.2) == "0.1, 0.2 g/L"
    assert dose_words(agent_of(COPPER), 0.0002, 0.00123456) == "0.2, 1.23 mg/L"
    assert dose_words(agent_of(BLEND), 20.0) == "20 %"


def test_what_a_trial_found_is_kept_in_the_unit_of_its_question() -> None:
    """0.4 mg/L of copper sulfate is kept as 0.4, and a slurry of 0.05 g/mL as 50 g/L."""
    assert kept_of(COPPER, 0.0004, Bench(100, False, 0.04, 0.1, 0.01)) == {
        "copper_sulfate_chosen": pytest.approx(0.4)
    }
    assert kept_of(CLAY, 0.5, SLURRY) == {
        "bentonite_dose": pytest.approx(0.5),
        "bentonite_slurry": pytest.approx(50),
    }
    assert list(kept_of(BLEND, 20, usual_bench(agent_of(BLEND))).values()) == [20]


# ---------------------------------------------------------------- limits


def test_only_a_limit_in_percent_is_one_of_water() -> None:
    """The 1 % of 27 CFR 24.246 binds a slurry; a person's own figure counts; another wine is no water."""
    found = water_limit(RULES, CLAY, {})
    assert found is not None and (found[0].limit, found[1]) == ("us_water_share", 1)
    assert (water_limit(RULES, CLAY, {"us_water_share": 2.0}) or (None, None))[1] == 2.0
    assert water_limit(RULES, BLEND, {}) is None
    assert water_limit(RULES, COPPER, {}) is None, (
        "its limits are amounts of copper, which say nothing of water"
    )


@pytest.mark.parametrize(
    ("own", "over"), [({}, [0.6]), ({"us_water_share": 1.2}, []), ({"us_water_share": 0.7}, [0.4, 0.6])]
)
def test_jars_over_the_water_limit_are_named(own: dict[str, float], over: list[float]) -> None:
    """At 50 g/L a dose of 0.4 g/L brings 0.8 % of water and one of 0.6 brings 1.2 % (worked by hand)."""
    design = plan_trial(RULES, CLAY, (0.2, 0.4, 0.6), SLURRY, own)
    warned = [warning for warning in design.warnings if "water" in warning.code]
    doses = [design.samples[warning.sample].dose_wanted for warning in warned if warning.sample is not None]
    assert doses == over


@pytest.mark.parametrize(
    ("colour", "rise"), [("white", 2), ("red", 0.5), ("rose", 0.5), (None, 0.5), ("orange", 0.5)]
)
def test_an_unknown_colour_is_held_to_the_strictest_line(colour: str | None, rise: float) -> None:
    """White may rise by 2 NTU in the heat, others by 0.5; who does not say the colour is held to 0.5."""
    found = limits_for(CLAY, colour, 1, heat=True, flavour=False)
    assert found.heat_rise_ntu == rise
    assert (found.clear_ntu, found.clear_rank, found.finest_g_per_l) == (1, 1, 0.05)
    assert (found.heat_asked, found.flavour_asked, found.best_liked) == (True, False, False)


def test_a_page_without_figures_sets_none() -> None:
    """Silica is read by eye: no turbidity, no heat, and no dose is so fine that a finer one is not worth it."""
    found = limits_for(SILICA, "white", 2, heat=False, flavour=True)
    assert (found.clear_ntu, found.heat_rise_ntu, found.finest_g_per_l) == (None, None, 0)
    assert (found.heat_asked, found.flavour_asked, found.measures) == (False, True, ())


def test_the_jars_of_copper_are_judged_by_nose() -> None:
    """A stink that is gone passes, and one that is not does not; more copper helps."""
    (only,) = limits_for(COPPER, None, None, heat=False, flavour=False).measures
    assert (only.name, only.between, only.passes, only.more) == ("smell_gone", None, True, "helps")


def test_a_person_may_set_what_passes_where_the_page_leaves_it() -> None:
    """The pH that a blend must reach is the person's own, between the two numbers they gave; taste stays out of it."""
    ranks = {one.criterion for one in trial_of(BLEND).criteria if one.kind == "rank"}
    own = {one.criterion: (3.1, 3.3) for one in trial_of(BLEND).criteria if one.kind == "number"}
    found = limits_for(BLEND, None, None, heat=False, flavour=True, own=own)
    assert own and {one.name: one.between for one in found.measures if one.name in own} == own
    assert not ranks & {one.name for one in found.measures}
    assert found.best_liked is (trial_of(BLEND).choose == "best_liked")


# ---------------------------------------------------------------- what the jars said


def failed(*criteria: str) -> TrialChoice:
    """A ladder of which no jar served."""
    return TrialChoice(
        "none_serves", failures=tuple(Failure(at, 0.1 * at, one) for at, one in enumerate(criteria, 1))
    )


@pytest.mark.parametrize(
    ("choice", "answer"),
    [
        (TrialChoice("chosen", 2, 0.4), "cleared_and_stable"),
        (TrialChoice("control_serves"), "no_effect"),
        (failed("clarity", "clarity"), "no_effect"),
        (failed("heat", "heat"), "cleared_not_stable"),
        (failed("heat", "clarity"), None),
        (failed("flavour"), None),
        (TrialChoice("contradictory"), None),
        (TrialChoice("incomplete"), None),
    ],
)
def test_a_ladder_answers_the_diagnosis_only_where_it_is_plain(
    choice: TrialChoice, answer: str | None
) -> None:
    """All jars hazy, or all clear and unstable, say something of the wine; a mixed lot or a dull taste says nothing."""
    assert answer_of(CLAY, choice) == (None if answer is None else ("bentonite_trial", answer))


def test_a_trial_that_speaks_of_no_question_answers_none() -> None:
    """The jars of copper choose a dose and tell the diagnosis nothing."""
    assert answer_of(COPPER, TrialChoice("chosen", 2, 0.0004)) is None


# ---------------------------------------------------------------- into the vessel


def test_the_vessel_gets_what_the_jar_got() -> None:
    """0.4 g/L in 23 L is 9.2 g in 184 mL of slurry, 0.8 % of water; of 23 L 1.15 to 2.3 stay below (by hand)."""
    found = for_vessel(RULES, CLAY, 0.4, 23, SLURRY, {})
    assert (found.agent_g, found.stock_ml) == (pytest.approx(9.2), pytest.approx(184))
    assert found.water_share_percent == pytest.approx(0.8) and found.over_water_limit is False
    assert found.lees_low_l == pytest.approx(1.15) and found.lees_high_l == pytest.approx(2.3)
    assert for_vessel(RULES, CLAY, 0.4, 23, SLURRY, {"us_water_share": 0.7}).over_water_limit is True
    free = for_vessel(RULES, COPPER, 0.0004, 23, Bench(100, False, 0.04, 0.1, 0.01), {})
    assert (free.over_water_limit, free.lees_low_l) == (None, None)


@given(st.floats(1, 90), st.floats(5, 1000))
def test_both_ways_to_a_blend_have_the_share_of_the_jars(share: float, vessel: float) -> None:
    """Poured to all of it, or put in the place of what was drawn off: the other wine is the same part of the whole."""
    found = blend_for_vessel(share, vessel)
    assert found.other_l / found.together_l == pytest.approx(share / 100)
    assert found.together_l == pytest.approx(vessel + found.other_l)
    assert found.out_l == pytest.approx(vessel * share / 100)
    assert (found.share_percent, found.vessel_l) == (share, vessel)


# ---------------------------------------------------------------- a planned trial


def planned(**more: object) -> Planned:
    """A ladder of clay, as planned."""
    return Planned("bentonite", (0.2, 0.4), SLURRY, **more)  # type: ignore[arg-type]


SECOND = Beside("counter_fine", (0.03, 0.06), Bench(100, False, 10, 0.1, 0.01))


@pytest.mark.parametrize(
    ("more", "keys", "plain", "ladders"),
    [
        ({}, [], True, 1),
        ({"seed": 7}, ["seed"], True, 1),
        ({"replicates": 2}, ["replicates"], False, 1),
        ({"seed": 0, "replicates": 3, "second": SECOND}, ["seed", "replicates", "second"], False, 2),
    ],
)
def test_a_planned_trial_comes_back_from_the_case_as_it_went_in(
    more: dict[str, object], keys: list[str], plain: bool, ladders: int
) -> None:
    """What is as it always was is left out of the case, and read back it is the same trial."""
    trial = planned(**more)
    assert list(trial.data()) == ["fix", "doses", "bench", *keys]
    assert Planned.from_data(trial.data()) == trial
    assert trial.is_plain is plain and len(trial.ladders) == ladders


def test_a_trial_of_two_sets_every_dose_beside_every_other() -> None:
    """Two doses of clay beside two of silica, and none of each, are nine jars; two of each dose are eighteen."""
    found = design_planned(RULES, planned(second=SECOND), {})
    assert (found.levels, len(found.designs)) == (("bentonite", "counter_fine"), 2)
    alone = design_planned(RULES, planned(), {})
    twice = design_planned(RULES, planned(replicates=2), {})
    assert len(alone.jars) == 3 and len(twice.jars) == 6
    assert alone.blind is None and design_planned(RULES, planned(seed=7), {}).blind is not None


def test_two_agents_need_equal_jars_and_a_trial_that_can_be_read_together() -> None:
    """Unequal jars are no comparison, and copper, which is judged by nose alone, is tried by itself."""
    uneven = Beside("counter_fine", (0.03,), Bench(250, False, 10, 0.1, 0.01))
    with pytest.raises(OutOfRange, match="equally large"):
        design_planned(RULES, planned(second=uneven), {})
    copper = Beside("copper_for_rotten_egg", (0.0002,), Bench(100, False, 0.04, 0.1, 0.01))
    with pytest.raises(OutOfRange, match="tried alone"):
        design_planned(RULES, planned(second=copper), {})
    alone = Planned(copper.fix, copper.doses, copper.bench)
    assert len(design_planned(RULES, alone, {}).jars) == 2


def every_dose(page: Fix) -> list[float]:
    """The usual doses of a page, in the unit of the jars."""
    assert page.dose and page.dose.usual
    return [dose / (1000 if agent_of(page).dose_in == "mg/L" else 1) for dose in page.dose.usual]


@pytest.mark.parametrize("page", [CLAY, COPPER], ids=lambda page: page.fix)
def test_only_jars_above_the_usual_doses_are_called_unusual(page: Fix) -> None:
    """The largest usual dose is usual, whatever its unit; a quarter more is told of."""
    most = every_dose(page)[1]
    bench = usual_bench(agent_of(page))
    codes = [
        {w.code for w in plan_trial(RULES, page, (dose,), bench, {}).warnings} for dose in (most, 1.25 * most)
    ]
    assert codes[1] - codes[0] == {"above_usual"}
    both = [
        {
            w.code
            for d in design_planned(RULES, Planned(page.fix, (dose,), bench), {}).designs
            for w in d.warnings
        }
        for dose in (most, 1.25 * most)
    ]
    assert both == codes
