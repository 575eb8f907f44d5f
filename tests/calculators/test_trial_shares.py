"""A blend in jars: shares of the other wine, no stock and no water, and equal jars of a trial with measures."""

from __future__ import annotations

from collections.abc import Sequence

import pytest
from diagnose.calculators import OutOfRange
from diagnose.calculators.trial import (
    Balance,
    Level,
    Measure,
    Pipette,
    Stock,
    TrialLimits,
    TrialReading,
    design_factors,
    design_trial,
    read_level,
)
from diagnose.calculators.trial.pooled import as_one
from hypothesis import given
from hypothesis import strategies as st

CYLINDER = Pipette(1, 1)
BLEND = design_trial([20, 30, 50], 100, None, CYLINDER)
PH = Measure("ph", between=(3.0, 3.5), more="lowers", give_or_take=0.05)
CLEAR = Measure("clear")
LIMITS = TrialLimits(measures=(PH, CLEAR), best_liked=True)

Jar = tuple[float, bool, int]


def row(*jars: Jar) -> tuple[TrialReading, ...]:
    """One jar of each dose, the control first: pH, clear, and rank."""
    return tuple(
        TrialReading(number, flavour_rank=rank, marks={"ph": ph, "clear": clear})
        for number, (ph, clear, rank) in enumerate(jars)
    )


@given(
    st.lists(st.floats(0.5, 99), min_size=1, max_size=6),
    st.floats(50, 750),
    st.sampled_from([0.01, 0.1, 1.0]),
)
def test_every_jar_holds_as_much_and_the_share_is_what_was_poured(
    shares: Sequence[float], jar_ml: float, mark_ml: float
) -> None:
    """Other wine and this one fill the jar, there is no water, and the share given is that of the millilitres."""
    design = design_trial(shares, jar_ml, None, Pipette(mark_ml, mark_ml))
    assert [sample.dose_wanted for sample in design.samples] == [0, *sorted(shares)]
    for sample in design.samples:
        assert sample.final_ml == pytest.approx(jar_ml)
        assert sample.water_ml == 0 and sample.water_share_percent == 0
        assert sample.dose_given == pytest.approx(100 * sample.stock_amount / jar_ml)
        assert sample.in_the_mix == pytest.approx(sample.dose_given)
    assert design.wine_needed_ml + design.stock_needed == pytest.approx(jar_ml * len(design.samples))


@pytest.mark.parametrize("share", [-5, 99.5, 100, 140])
def test_a_share_that_cannot_be_is_refused(share: float) -> None:
    """Less than nothing, and the other wine alone, are no blend; the sentence says what a share is."""
    with pytest.raises(
        OutOfRange, match=f"share of the other wine is {share:g} %.*part of the finished blend"
    ):
        design_trial([share, 20], 100, None, CYLINDER)


def test_no_share_at_all_and_a_scale_are_refused() -> None:
    """Only the control is no trial, and wine is measured by volume."""
    with pytest.raises(OutOfRange, match="no share above 0 %"):
        design_trial([0], 100, None, CYLINDER)
    with pytest.raises(OutOfRange, match="measured in mL"):
        design_trial([20], 100, None, Balance(1, 1))


def test_a_share_too_small_for_the_cylinder_asks_for_a_larger_jar_and_never_for_a_stock() -> None:
    """0.5 % of 100 mL is half a millilitre; a jar of 200 mL takes one that the cylinder shows."""
    small = next(w for w in design_trial([0.5], 100, None, CYLINDER).warnings if w.code == "below_smallest")
    assert small.mend == "larger_sample" and small.values["sample_ml"] == pytest.approx(200)
    assert "stock_g_per_l" not in small.values


def test_a_blend_thins_nothing() -> None:
    """A jar that is half the other wine is no wet jar: there is no warning of water."""
    assert {warning.code for warning in BLEND.warnings} == set()


def test_equal_jars_of_a_blend_need_that_many_times_the_wine() -> None:
    """Two jars each of control, 20, 30 and 50 %: 600 mL of this wine and 200 mL of the other."""
    trial = design_factors([Level("blend", (20, 30, 50), None, CYLINDER)], 100, 2, 7)
    assert (trial.wine_needed_ml, trial.stock_needed(0)) == (600, 200)


def test_of_shares_liked_alike_the_least_is_taken_and_the_others_are_named() -> None:
    """20 and 30 % are both ranked first; 20 % is taken, and nobody hides that 30 % was liked as well."""
    one = row((3.8, True, 3), (3.5, True, 1), (3.4, True, 1), (3.3, True, 2))
    choice = read_level(BLEND, [one], LIMITS).choice
    assert (choice.outcome, choice.dose, choice.alike) == ("chosen", 20, (2,))


def test_a_share_liked_as_well_as_the_wine_as_it_is_gains_nothing() -> None:
    """Where the control passes and is ranked with the best, the wine stays unblended."""
    choice = read_level(
        BLEND, [row((3.5, True, 1), (3.45, True, 1), (3.4, True, 2), (3.3, True, 3))], LIMITS
    ).choice
    assert (choice.outcome, choice.alike) == ("control_serves", (1,))


def test_one_cloudy_jar_of_two_fails_its_share() -> None:
    """20 % is liked best by far, but one of its jars clouded, so 30 % is taken."""
    first = row((3.8, True, 7), (3.5, True, 1), (3.4, True, 3), (3.3, True, 5))
    second = row((3.8, True, 8), (3.5, False, 2), (3.4, True, 4), (3.3, True, 6))
    assert read_level(BLEND, [first, second], LIMITS).choice.dose == 30


def test_the_mean_rank_of_equal_jars_chooses_and_the_next_best_says_how_sure() -> None:
    """30 % has ranks 1 and 5, 20 % has 2 and 3: the mean is 20 %. Split preferences of one taster are a coin toss."""
    first = row((3.8, True, 7), (3.5, True, 2), (3.4, True, 1), (3.3, True, 4))
    second = row((3.8, True, 8), (3.5, True, 3), (3.4, True, 5), (3.3, True, 6))
    level = read_level(BLEND, [first, second], LIMITS)
    assert (level.choice.dose, level.sure_by, level.sure.word) == (20, "liking", "a coin toss")
    assert level.sure.luck_percent == 100 and level.sure.counted


def test_six_pairs_all_liked_the_same_way_are_sure_enough() -> None:
    """By chance alone six of six fall one way or the other in 2 of 64, 3.1 % (worked by hand)."""
    rows = [row((3.8, True, 30), (3.5, True, 1), (3.4, True, 9), (3.3, True, 20)) for _ in range(6)]
    level = read_level(BLEND, rows, LIMITS)
    assert level.sure.word == "sure enough" and level.sure.luck_percent == pytest.approx(200 / 64)


def test_a_single_share_that_passes_is_held_beside_the_jar_that_missed_the_ph() -> None:
    """Nothing else may be blended in; how sure it is, is the gap in pH beside the spread of equal jars."""
    design = design_trial([20, 30], 100, None, CYLINDER)
    rows = [
        row((3.80, True, 3), (3.60, True, 2), (3.40, True, 1)),
        row((3.82, True, 3), (3.61, True, 2), (3.41, True, 1)),
    ]
    level = read_level(design, rows, LIMITS)
    assert (level.choice.dose, level.sure_by, level.sure.word) == (30, "ph", "sure enough")


MARK = st.tuples(st.floats(2.6, 4.4), st.booleans())


@given(st.lists(MARK, min_size=1, max_size=6))
def test_equal_jars_pass_together_only_if_each_of_them_does(jars: Sequence[tuple[float, bool]]) -> None:
    """One jar stands for all, in a number and in yes or no."""
    rows = [(TrialReading(0, marks={"ph": ph, "clear": clear}),) for ph, clear in jars]
    (together,) = as_one(rows, LIMITS)
    for number, asked in enumerate((PH, CLEAR)):
        assert asked.passed(together.marks[asked.name]) is all(asked.passed(jar[number]) for jar in jars)


def test_a_jar_not_read_leaves_its_dose_unread() -> None:
    """The pH of one of two jars says nothing of the other."""
    rows = [(TrialReading(0, marks={"ph": 3.4}),), (TrialReading(0),)]
    assert as_one(rows, LIMITS)[0].marks == {}


def test_a_stock_is_still_a_stock() -> None:
    """What is dosed in grams is thinned with water as before: 2 mL to each of two jars of 100 mL."""
    acid = design_trial([1, 2], 100, Stock.made_up(100, 1000), Pipette(0.1, 0.01))
    assert (acid.wine_needed_ml, acid.samples[0].water_ml, acid.samples[2].final_ml) == (300, 2, 102)
