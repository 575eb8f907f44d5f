"""Trials that read measures of their own: acid, copper, sweetness."""

from __future__ import annotations

from collections.abc import Sequence

from diagnose.calculators.trial import (
    Mark,
    Measure,
    Pipette,
    Stock,
    TrialChoice,
    TrialDesign,
    TrialLimits,
    TrialReading,
    choose_dose,
    design_trial,
    read_level,
    scale_up,
)
from hypothesis import given
from hypothesis import strategies as st

DOSES = (0.5, 1.0, 1.5, 2.0)
PH = Measure("ph", between=(3.0, 3.5), more="lowers", give_or_take=0.05)
TASTE = Measure("taste", more="harms")
SMELL = Measure("smell_gone", more="helps")


def jars(doses: Sequence[float] = DOSES) -> TrialDesign:
    """A control and these doses in 100 mL, from a stock of 100 g/L."""
    return design_trial(doses, 100, Stock.made_up(100, 1000), Pipette(0.1, 0.01))


def read(
    rows: Sequence[dict[str, Mark]], limits: TrialLimits, ranks: Sequence[int | None] = ()
) -> TrialChoice:
    """What a trial says that was read so, the control first."""
    liked = [*ranks, *[None] * (len(rows) - len(ranks))]
    readings = [TrialReading(jar, flavour_rank=liked[jar], marks=marks) for jar, marks in enumerate(rows)]
    return choose_dose(jars(), readings, limits)


ACID = TrialLimits(flavour_asked=False, measures=(PH, TASTE))


def test_the_least_acid_that_reaches_the_ph_and_still_tastes_well() -> None:
    """A pH that bends is read jar by jar; what did not reach it need not be tasted."""
    rows: list[dict[str, Mark]] = [
        {"ph": 3.9},
        {"ph": 3.7},
        {"ph": 3.5, "taste": True},
        {"ph": 3.42, "taste": True},
        {"ph": 3.38, "taste": False},
    ]
    choice = read(rows, ACID)
    assert (choice.outcome, choice.dose) == ("chosen", 1.0)
    assert choice.next_doses[0] > 0.5 and choice.next_doses[-1] == 1.0


def test_the_lowest_dose_is_judged_beside_the_control_by_what_that_one_failed_on() -> None:
    """The smell is gone from the lowest dose up, in all six sets of jars: the control tells how sure that is."""
    rows = [TrialReading(jar, marks={"smell_gone": jar > 0}) for jar in range(5)]
    level = read_level(jars(), [rows] * 6, TrialLimits(flavour_asked=False, measures=(SMELL,)))
    assert (level.choice.outcome, level.choice.dose) == ("refine_below", 0.5)
    assert (level.sure_by, level.sure.word, level.sure.counted) == ("smell_gone", "sure enough", True)


def test_a_ph_that_climbs_with_acid_is_a_slip() -> None:
    """More acid cannot raise the pH by more than the meter may be off; within that it may."""
    tasted: dict[str, Mark] = {"ph": 3.4, "taste": True}
    assert read([{"ph": 3.9}, {"ph": 3.7}, {"ph": 3.8}, tasted, tasted], ACID).repeat == (1, 2)
    assert read([{"ph": 3.9}, {"ph": 3.7}, {"ph": 3.74}, tasted, tasted], ACID).outcome == "chosen"


def test_too_sour_below_and_good_above_is_a_slip() -> None:
    """Where more can only harm, a jar that failed cannot lie below one that passes."""
    sour: dict[str, Mark] = {"ph": 3.4, "taste": False}
    good: dict[str, Mark] = {"ph": 3.4, "taste": True}
    assert read([{"ph": 3.9}, {"ph": 3.7}, sour, good, good], ACID).repeat == (2, 3)


def test_nothing_chosen_says_on_what_each_jar_failed() -> None:
    """The low jars fail on the pH, the high ones on taste."""
    sour: dict[str, Mark] = {"ph": 3.4, "taste": False}
    choice = read([{"ph": 3.9}, {"ph": 3.8}, {"ph": 3.6}, sour, sour], ACID)
    assert choice.outcome == "none_serves"
    assert [failure.criterion for failure in choice.failures] == ["ph", "ph", "taste", "taste"]


def test_a_measure_not_read_is_asked_for() -> None:
    """A jar that reached the pH is still to be tasted."""
    choice = read([{"ph": 3.9}, {"ph": 3.7}, {"ph": 3.4}, {"ph": 3.4, "taste": True}, {}], ACID)
    assert [(missing.sample, missing.what) for missing in choice.missing] == [(2, "taste"), (4, "ph")]


def test_the_best_liked_is_taken_and_of_two_alike_the_lower() -> None:
    """Sweetness is chosen by liking, of the jars that stay clear; a cloudy one is out whatever its taste."""
    sweet = TrialLimits(measures=(Measure("as_clear"),), best_liked=True)
    clear: dict[str, Mark] = {"as_clear": True}
    cloudy: dict[str, Mark] = {"as_clear": False}
    assert read([clear] * 5, sweet, (4, 2, 1, 1, 3)).dose == 1.0
    assert read([clear, clear, cloudy, clear, clear], sweet, (4, 2, 1, 3, 3)).dose == 0.5
    failed = read([clear, clear, cloudy, clear, clear], sweet, (2, 1, 4, 5, 5)).failures
    assert [(each.sample, each.criterion) for each in failed] == [(2, "as_clear")]
    assert read([clear] * 5, sweet, (1, 1, 2, 3, 4)).outcome == "control_serves"
    assert read([clear] * 5, sweet, (1, 2, 3, None, 4)).missing[0].sample == 3
    assert read([cloudy] * 5, sweet, (1, 2, 3, 3, 4)).outcome == "none_serves"


@given(st.lists(st.booleans(), min_size=5, max_size=5))
def test_the_least_that_takes_the_smell_is_chosen_or_said_to_be_a_slip(gone: list[bool]) -> None:
    """Whatever was smelled, a dose is chosen only where every jar below it stinks and every one above is clean."""
    choice = read(
        [{"smell_gone": each} for each in gone], TrialLimits(flavour_asked=False, measures=(SMELL,))
    )
    if gone != sorted(gone):
        assert choice.outcome == "contradictory"
    elif gone[0]:
        assert choice.outcome == "control_serves"
    elif not any(gone):
        assert choice.outcome == "none_serves"
    else:
        assert choice.outcome in ("chosen", "refine_below")
        assert choice.sample == gone.index(True)


@given(
    dose=st.floats(0.0001, 40),
    vessel=st.floats(1, 2000),
    strength=st.sampled_from([0.04, 100.0, 500.0, 650.0]),
)
def test_what_goes_into_the_vessel_is_what_stood_in_the_jar(
    dose: float, vessel: float, strength: float
) -> None:
    """For acid, copper and sugar alike: grams in the stock are the dose times the wine, and none is lost in the mix."""
    scaled = scale_up(dose, vessel, Stock.made_up(strength, 1000))
    assert scaled.agent_g == dose * vessel
    assert abs(scaled.stock_ml / 1000 * strength - scaled.agent_g) <= 1e-9 * scaled.agent_g
    assert abs(scaled.in_the_mix_g_per_l * scaled.volume_after_l - scaled.agent_g) <= 1e-9 * scaled.agent_g
