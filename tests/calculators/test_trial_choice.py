import pytest
from diagnose.calculators import OutOfRange
from diagnose.calculators.trial import (
    Failure,
    Missing,
    Pipette,
    Stock,
    TrialChoice,
    TrialLimits,
    TrialReading,
    choose_dose,
    design_trial,
)
from hypothesis import given
from hypothesis import strategies as st

DESIGN = design_trial([0.2, 0.4, 0.6, 0.8], 100, Stock.made_up(50, 1000), Pipette(0.1, 0.01))
LIMITS = TrialLimits(clear_ntu=2.0, heat_rise_ntu=2.0)


def trial(
    clear: str = "yyyyy", heat: str = "nnyyy", flavour: str = "11111", limits: TrialLimits = LIMITS
) -> TrialChoice:
    """Reads five glasses from short strings: y passes, n fails, a dash was not read."""
    readings = [
        TrialReading(
            number,
            clarity_ntu={"y": 1.0, "n": 9.0, "-": None}[clear[number]],
            heat={"y": 0.3, "n": 12.0, "-": None}[heat[number]],
            flavour_rank=None if flavour[number] == "-" else int(flavour[number]),
        )
        for number in range(5)
    ]
    return choose_dose(DESIGN, readings, limits)


def test_the_least_dose_that_serves_is_chosen() -> None:
    """With 0.4 g/L the first stable glass, 0.4 is the dose, and a finer ladder lies above 0.2."""
    choice = trial()
    assert (choice.outcome, choice.sample, choice.dose) == ("chosen", 2, 0.4)
    assert choice.next_doses == pytest.approx((0.25, 0.3, 0.35, 0.4))
    assert choice.failures == (Failure(1, 0.2, "heat"),)


def test_a_dose_that_serves_at_the_bottom_is_not_yet_the_least() -> None:
    """When the lowest glass serves, a lower ladder comes before treating."""
    choice = trial(heat="nyyyy")
    assert choice.outcome == "refine_below"
    assert choice.next_doses == pytest.approx((0.05, 0.1, 0.15, 0.2))


def test_a_lower_ladder_ends_where_it_is_no_longer_worth_it() -> None:
    """Below the finest dose worth measuring the lowest glass is simply chosen."""
    limits = TrialLimits(clear_ntu=2.0, heat_rise_ntu=2.0, finest_g_per_l=0.2)
    choice = trial(heat="nyyyy", limits=limits)
    assert (choice.outcome, choice.dose, choice.next_doses) == ("chosen", 0.2, ())


def test_a_wine_that_needs_nothing_gets_nothing() -> None:
    """A control that is clear and stable ends the matter, tasted or not."""
    assert trial(heat="yyyyy", flavour="-----").outcome == "control_serves"


def test_a_haze_that_never_clears_names_clarity() -> None:
    """No dose cleared it: too little, or the wrong tool; heat and flavour are then not asked for."""
    choice = trial(clear="nnnnn", heat="-----", flavour="-----")
    assert choice.outcome == "none_serves"
    assert {failure.criterion for failure in choice.failures} == {"clarity"}
    assert [failure.dose for failure in choice.failures] == [0.2, 0.4, 0.6, 0.8]


def test_clear_and_stable_at_the_price_of_flavour_is_no_dose() -> None:
    """Where every sound glass tastes worse than the control, the trial says so dose by dose."""
    choice = trial(flavour="12345")
    assert choice.outcome == "none_serves"
    assert [f.criterion for f in choice.failures] == ["heat", "flavour", "flavour", "flavour"]


def test_a_little_loss_of_flavour_may_be_allowed() -> None:
    """The house may allow a glass to lie a rank behind the control."""
    limits = TrialLimits(clear_ntu=2.0, heat_rise_ntu=2.0, flavour_worse_by=1)
    assert trial(flavour="11234", limits=limits).dose == 0.4


def test_a_tie_with_the_control_is_no_loss() -> None:
    """Glasses that share the rank of the control keep its flavour."""
    assert trial(flavour="22221").outcome == "chosen"


def test_more_clay_and_less_stable_is_set_again() -> None:
    """A higher dose that fails where a lower served names both glasses (some wines do so: AVF summary)."""
    choice = trial(heat="nynyy")
    assert (choice.outcome, choice.repeat) == ("contradictory", (1, 2))
    assert trial(clear="nyyny").repeat == (2, 3)
    assert trial(heat="ynnnn").repeat == (0, 1)


def test_flavour_that_comes_back_with_more_clay_is_set_again() -> None:
    """Lost at 0.4 and kept at 0.6 is a mixed-up glass or a tired nose."""
    choice = trial(flavour="11312")
    assert (choice.outcome, choice.repeat) == ("contradictory", (2, 3))


def test_missing_readings_are_asked_for_one_by_one() -> None:
    """Clarity of every glass, heat of the clear ones, flavour of the control and the first sound one."""
    assert trial(clear="yy-yy").missing == (Missing(2, "clarity"),)
    assert trial(heat="-nyyy").missing == (Missing(0, "heat"),)
    assert trial(flavour="-----").missing == (Missing(0, "flavour"), Missing(2, "flavour"))
    assert trial(clear="nyyyy", heat="-nyyy").outcome == "chosen"
    assert choose_dose(DESIGN, [], LIMITS).outcome == "incomplete"


def test_glasses_above_the_choice_need_no_tasting() -> None:
    """Once a dose serves, nobody has to taste the stronger ones."""
    assert trial(flavour="1-1--").dose == 0.4


def test_clarity_by_eye_needs_a_word_on_what_is_clear() -> None:
    """The clearest of five hazy glasses is still hazy: the reader says how far down the ranks is clear."""
    readings = [
        TrialReading(number, clarity_rank=rank, flavour_rank=1, heat="stable")
        for number, rank in enumerate((4, 3, 2, 1, 1))
    ]
    asked = choose_dose(DESIGN, readings, TrialLimits())
    assert asked.missing == (Missing(None, "clear_rank"),)
    assert choose_dose(DESIGN, readings, TrialLimits(clear_rank=1)).dose == 0.6
    assert choose_dose(DESIGN, readings, TrialLimits(clear_rank=0)).outcome == "none_serves"


def test_heat_and_flavour_may_be_left_out() -> None:
    """A trial for clarity alone is read for clarity alone."""
    limits = TrialLimits(clear_ntu=2.0, heat_asked=False, flavour_asked=False)
    assert trial(clear="nnyyy", heat="-----", flavour="-----", limits=limits).dose == 0.4


def test_glasses_of_one_dose_that_disagree_are_set_again() -> None:
    """Two glasses of the same dose, one stable and one not, decide nothing."""
    twins = design_trial([0.4, 0.4], 100, Stock.made_up(50, 1000), Pipette(0.1, 0.01))
    heat = (9.0, 9.0, 0.1)
    readings = [TrialReading(n, clarity_ntu=1.0, heat=h, flavour_rank=1) for n, h in enumerate(heat)]
    choice = choose_dose(twins, readings, LIMITS)
    assert (choice.outcome, choice.repeat) == ("contradictory", (1, 2))


@pytest.mark.parametrize(
    ("readings", "limits", "why"),
    [
        ([TrialReading(9)], LIMITS, "number of the sample is 9"),
        ([TrialReading(1), TrialReading(1)], LIMITS, "read twice"),
        ([TrialReading(1, flavour_rank=0)], LIMITS, "rank is 0"),
        ([TrialReading(1, clarity_ntu=-1)], LIMITS, "turbidity is -1"),
        ([TrialReading(1, heat=float("nan"))], LIMITS, "rise on heating is nan"),
        ([TrialReading(1, clarity_ntu=1)], TrialLimits(), "Give clear_ntu"),
        ([TrialReading(1, heat=1.0)], TrialLimits(), "Give heat_rise_ntu"),
    ],
)
def test_impossible_readings_are_refused(readings: list[TrialReading], limits: TrialLimits, why: str) -> None:
    """A slip in the notes is named, not judged."""
    with pytest.raises(OutOfRange, match=why):
        choose_dose(DESIGN, readings, limits)


@given(st.lists(st.floats(0, 20), min_size=5, max_size=5), st.lists(st.floats(0, 20), min_size=5, max_size=5))
def test_a_chosen_dose_always_serves_and_nothing_below_it_does(
    clarity: list[float], rise: list[float]
) -> None:
    """Whatever the readings, a chosen glass is clear and stable and every lower one is not."""
    readings = [
        TrialReading(n, clarity_ntu=c, heat=r, flavour_rank=1)
        for n, (c, r) in enumerate(zip(clarity, rise, strict=True))
    ]
    choice = choose_dose(DESIGN, readings, LIMITS)
    good = [c <= 2 and r <= 2 for c, r in zip(clarity, rise, strict=True)]
    assert choice.outcome != "incomplete"
    if choice.outcome in {"chosen", "refine_below", "control_serves"}:
        assert choice.sample is not None
        assert good[choice.sample] and not any(good[: choice.sample])
    if choice.outcome == "none_serves":
        assert not any(good)


def test_flavour_lost_in_the_lowest_glass_and_kept_in_the_next_is_a_mix_up() -> None:
    """Less of the agent cannot spoil what more of it leaves: both glasses are poured again."""
    choice = trial(heat="nyyyy", flavour="12111")
    assert (choice.outcome, choice.repeat) == ("contradictory", (1, 2))


def test_the_lowest_sound_glass_is_tasted_beside_the_control() -> None:
    """Where every treated glass is stable it is the lowest that is asked for, with the control."""
    choice = trial(heat="nyyyy", flavour="-----")
    assert choice.outcome == "incomplete"
    assert choice.missing == (Missing(0, "flavour"), Missing(1, "flavour"))
