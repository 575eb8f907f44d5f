from __future__ import annotations

import pytest
from diagnose.calculators import OutOfRange
from diagnose.calculators.trial import (
    Pipette,
    Stock,
    TrialLimits,
    TrialReading,
    choose_dose,
    compare,
    design_trial,
    pool,
    read_level,
)
from diagnose.calculators.trial.pooled import values_of
from diagnose.calculators.trial.reading import judge
from diagnose.calculators.trial.sureness import beside_the_spread
from hypothesis import given
from hypothesis import strategies as st

DESIGN = design_trial([0.2, 0.4, 0.6], 100, Stock.made_up(50, 1000), Pipette(0.1, 0.01))
LIMITS = TrialLimits(clear_ntu=1.0, heat_rise_ntu=2.0)


def row(*jars: tuple[float | None, float | None, int | None]) -> tuple[TrialReading, ...]:
    """NTU, rise on heating and taste of each jar, the control first."""
    return tuple(
        TrialReading(number, clarity_ntu=ntu, heat=rise, flavour_rank=rank)
        for number, (ntu, rise, rank) in enumerate(jars)
    )


SERVES = row((9, 20, 1), (5, 9, 1), (0.5, 0.4, 1), (0.4, 0.2, 2))
cells = st.tuples(st.floats(0, 3), st.floats(0, 5), st.integers(1, 4))
rows = st.tuples(cells, cells, cells, cells).map(lambda jars: row(*jars))


@given(rows, st.integers(1, 4))
def test_equal_jars_that_read_alike_choose_as_one_jar(read: tuple[TrialReading, ...], equal: int) -> None:
    """Setting up the same jar twice and reading it alike changes nothing of the choice, and shows no spread."""
    level = read_level(DESIGN, [read] * equal, LIMITS)
    assert level.choice == choose_dose(DESIGN, read, LIMITS)
    for sample in range(4):
        pooled = pool(level.rows, sample, "clarity_ntu")
        assert pooled is not None and pooled.mean == pytest.approx(read[sample].clarity_ntu)
        assert (pooled.spread is None) == (equal == 1) and not (pooled.spread or 0) > 1e-9


@given(st.lists(rows, min_size=1, max_size=4))
def test_no_dose_is_chosen_of_which_one_jar_failed(read: list[tuple[TrialReading, ...]]) -> None:
    """However the others came out, a dose with one hazy, unstable or spoiled jar is not the dose."""
    choice = read_level(DESIGN, read, LIMITS).choice
    if choice.outcome in ("chosen", "refine_below"):
        assert choice.sample is not None
        worst_control = max(one[0].flavour_rank or 0 for one in read)
        for one in read:
            verdict = judge(DESIGN, one, LIMITS)[choice.sample]
            assert verdict.sound
            assert (one[choice.sample].flavour_rank or 99) <= worst_control


def test_one_hazy_jar_sends_the_choice_higher() -> None:
    """0.4 g/L cleared one jar of two; so 0.6 is the least dose that serves."""
    hazy = row((9, 20, 2), (5, 9, 1), (3.0, None, 1), (0.4, 0.2, 1))
    assert read_level(DESIGN, [SERVES], LIMITS).choice.dose == 0.4
    assert read_level(DESIGN, [SERVES, hazy], LIMITS).choice.dose == 0.6


def test_a_jar_not_read_leaves_its_dose_unread() -> None:
    """One jar of two says nothing of the other."""
    unread = row((9, 20, 1), (5, 9, 1), (None, None, None), (0.4, 0.2, 1))
    assert read_level(DESIGN, [SERVES, unread], LIMITS).choice.outcome == "incomplete"


def test_the_step_is_judged_by_what_the_dose_before_failed_on() -> None:
    """0.2 g/L failed on clarity; the two doses lie far apart beside equal jars 0.1 NTU apart."""
    again = row((9.1, 20, 1), (5.1, 9, 1), (0.6, 0.4, 1), (0.5, 0.2, 2))
    level = read_level(DESIGN, [SERVES, again], LIMITS)
    assert (level.sure_by, level.sure.word) == ("clarity", "sure enough")
    assert read_level(DESIGN, [SERVES], LIMITS).sure.word == "unknown"


def test_doses_read_in_two_ways_cannot_be_set_beside_each_other() -> None:
    """0.2 g/L was read with a meter and 0.4 by eye: 0.4 is the dose, and how sure the step is nobody can say."""
    read = tuple(
        TrialReading(at, clarity_ntu=ntu, clarity_rank=rank, heat=1.0 if rank else None, flavour_rank=1)
        for at, (ntu, rank) in enumerate([(9.0, None), (5.0, None), (None, 1), (None, 1)])
    )
    limits = TrialLimits(clear_ntu=1.0, clear_rank=1, heat_rise_ntu=2.0)
    level = read_level(DESIGN, [read] * 3, limits)
    assert (level.choice.dose, level.sure_by, level.sure.word) == (0.4, "clarity", "unknown")


def test_a_trial_of_which_nothing_was_written_down_is_refused() -> None:
    """Without one reading there is no dose, and the person is told what to give."""
    with pytest.raises(OutOfRange, match=r"There are no readings\. Give one row for each set of jars\."):
        read_level(DESIGN, [], LIMITS)


def test_the_only_agent_that_serves_is_the_better_one() -> None:
    """Nothing is compared where one ladder has no dose."""
    hazy = row(*[(9, None, 1)] * 4)
    assert compare(read_level(DESIGN, [hazy], LIMITS), read_level(DESIGN, [SERVES], LIMITS)) == ((), 1)


def test_two_tastings_do_not_put_one_agent_before_the_other() -> None:
    """Preferred in both of two pairs is luck in half of all trials; the lees, which do not meet, decide."""
    second = row((9, 20, 2), (5, 9, 2), (0.5, 0.4, 2), (0.4, 0.2, 2))
    first = read_level(DESIGN, [SERVES] * 2, LIMITS, (5, 10))
    for lees, better in (((1, 2), 1), ((8, 12), None), (None, None)):
        sides, found = compare(first, read_level(DESIGN, [second] * 2, LIMITS, lees))
        assert found == better
        flavour = next(side for side in sides if side.what == "flavour")
        assert (flavour.better, flavour.sure.word) == (0, "a coin toss")


def test_a_jar_that_was_not_read_is_left_out_of_the_mean() -> None:
    """Of two equal jars one was spilt: the other is the mean, and no spread is known."""
    spilt = row((9, 20, 1), (5, 9, 1), (None, None, None), (0.4, 0.2, 2))
    pooled = pool([SERVES, spilt], 2, "clarity_ntu")
    assert pooled is not None and (pooled.mean, pooled.spread, pooled.jars) == (0.5, None, 1)
    assert pool([spilt], 2, "clarity_ntu") is None


@pytest.mark.parametrize("before", [(1.1, 1.2), (9.0, 9.2)])
def test_the_step_is_measured_from_the_dose_just_before(before: tuple[float, float]) -> None:
    """0.6 g/L is set beside 0.4, however far off the control and the lowest dose read."""
    read = [
        row((20 + more, 20, 1), (15 + more, 9, 1), (at, 9, 1), (0.9 + more / 2, 0.4, 1))
        for at, more in zip(before, (0.0, 0.1), strict=True)
    ]
    level = read_level(DESIGN, read, LIMITS)
    assert level.choice.dose == 0.6
    first, last = (values_of(read, sample, "clarity_ntu") for sample in (2, 3))
    groups = [values_of(read, sample, "clarity_ntu") for sample in range(4)]
    assert level.sure == beside_the_spread(first, last, groups)


def test_heat_told_in_words_in_one_jar_only_is_compared_as_a_preference() -> None:
    """A jar called unstable has no figure, so the jars are counted in pairs and not measured against a spread."""
    worded = row((9, 20, 1), (0.5, 9, 1), (0.5, 0.4, 1), (0.4, 0.2, 2))
    worded = tuple(
        TrialReading(one.sample, clarity_ntu=one.clarity_ntu, heat="unstable", flavour_rank=one.flavour_rank)
        if one.sample == 1
        else one
        for one in worded
    )
    level = read_level(DESIGN, [worded, row((9, 20, 1), (0.5, 9, 1), (0.5, 0.5, 1), (0.4, 0.2, 2))], LIMITS)
    assert level.sure_by == "heat" and level.sure.counted
