import math
import random

import pytest
from diagnose.calculators import OutOfRange, worksheets
from diagnose.calculators.ferment_log import pace, rates, verdict
from hypothesis import assume, given
from hypothesis import strategies as st
from scipy.stats import linregress


def steady(fall: float, end: float = 1.03, days: int = 5) -> list[tuple[float, float]]:
    """Daily readings without noise that fall by so many points a day and end at a gravity."""
    return [(float(day), end + fall * (days - 1 - day) / 1000) for day in range(days)]


def judged(log: list[tuple[float, float]], c: float = 22.0, **inputs: float) -> str:
    """The verdict alone."""
    return verdict.ferment_verdict(log, c, **inputs).verdict


@given(st.lists(st.tuples(st.floats(0.1, 3), st.floats(0.98, 1.12)), min_size=3, max_size=12))
def test_the_line_is_that_of_least_squares(steps: list[tuple[float, float]]) -> None:
    """Slope, and its noise where scatter rules, are those of an independent library."""
    day, log = 0.0, []
    for gap, gravity in steps:
        day += gap
        log.append((day, gravity))
    sheet = rates.fall_rate(log, 0.0001)
    theirs = linregress([d for d, _ in log], [g for _, g in log])
    assert sheet.fall_points_per_day == pytest.approx(-1000 * theirs.slope, abs=1e-6)
    left = [gravity - theirs.intercept - theirs.slope * day for day, gravity in log]
    scatter = 1000 * math.sqrt(sum(one**2 for one in left) / (len(log) - 2))
    assert sheet.scatter_points == pytest.approx(scatter, rel=1e-4, abs=1e-6)
    if sheet.scatter_points > 0.1:
        assert sheet.spread_points_per_day == pytest.approx(2000 * theirs.stderr, rel=1e-6)


def test_the_spread_of_the_rate_is_that_of_many_logs() -> None:
    """Of many logs with random reading errors nineteen in twenty give a rate within the spread of the true one."""
    chance = random.Random(11)
    days, true, inside = range(6), 8.0, 0
    for _ in range(2000):
        log = [(float(d), 1.06 - true * d / 1000 + chance.gauss(0, 0.0005)) for d in days]
        sheet = rates.fall_rate(log, 0.001)
        inside += abs(sheet.fall_points_per_day - true) <= sheet.spread_points_per_day
    assert 0.94 <= inside / 2000 <= 0.99


def test_a_ferment_that_stands_is_rarely_said_to_fall() -> None:
    """Reading errors alone are called a fall in no more than a few logs of a hundred."""
    chance = random.Random(5)
    falls = 0
    for _ in range(2000):
        log = [(float(d), 1.02 + chance.gauss(0, 0.0005)) for d in range(5)]
        falls += rates.fall_rate(log, 0.001).falls
    assert falls / 2000 <= 0.04


@given(st.floats(-1.4, 1.4), st.floats(0.1, 10))
def test_a_fall_smaller_than_the_noise_is_no_fall(points: float, days: float) -> None:
    """Two readings of spread 0.001 that differ by 1.4 points or less show neither fall nor rise."""
    log = [(0.0, 1.03), (days, 1.03 - points / 1000)]
    line = rates.gravity_log(log, 0.001)[1]
    assert not line.falls and line.says == "no fall beyond the noise"
    assert not rates.fall_rate(log, 0.001).falls
    assert judged(log, lines_change_at=1.0) in {"cannot say yet", "standing still"}


@given(st.floats(1.43, 50))
def test_a_fall_larger_than_the_noise_is_a_fall(points: float) -> None:
    """Two readings of spread 0.001 show a fall of more than 1.42 points."""
    log = [(0.0, 1.06), (1.0, 1.06 - points / 1000)]
    assert rates.gravity_log(log, 0.001)[1].falls and rates.fall_rate(log, 0.001).falls


@given(st.floats(0.1, 20), st.floats(0, 20))
def test_uncertain_sample_temperature_widens_the_noise(spread_points: float, c: float) -> None:
    """A sample whose temperature is not known makes every rate less sure, never surer."""
    assume(spread_points <= 10)
    sure = rates.fall_rate(steady(5), spread_points / 1000)
    unsure = rates.fall_rate(steady(5), spread_points / 1000, c)
    assert unsure.spread_points_per_day >= sure.spread_points_per_day
    expected = math.hypot(spread_points, 0.2 * c) / math.sqrt(10)
    assert unsure.spread_points_per_day == pytest.approx(expected, rel=1e-6)


def test_a_fall_within_the_error_of_temperature_is_no_fall() -> None:
    """Two points over two days vanish when the samples may have been 15 C apart from what was thought."""
    log = [(0.0, 1.022), (1.0, 1.021), (2.0, 1.020)]
    assert rates.fall_rate(log, 0.001).falls
    assert not rates.fall_rate(log, 0.001, 15).falls


@pytest.mark.parametrize(
    ("log", "c", "expected"),
    [
        (steady(10), 22, "normal"),
        (steady(3), 22, "sluggish"),
        (steady(3), 14, "still working slowly"),
        (steady(5), 22, "between normal and sluggish"),
        (steady(1, end=0.995), 22, "still working slowly"),
        ([(0, 1.06), (1, 1.04), (2, 1.02), (3, 1.02), (4, 1.02)], 22, "stuck"),
        ([(0, 1.06), (1, 1.04), (2, 1.02), (2.3, 1.02)], 22, "cannot say yet"),
        ([(0, 1.03), (1, 1.01), (2, 0.994), (3, 0.994), (4, 0.994)], 22, "finished"),
        ([(0, 1.09), (1, 1.09), (2, 1.09)], 22, "standing still"),
        ([(0, 1.02), (1, 1.026), (2, 1.032)], 22, "rising"),
    ],
)
def test_each_log_gets_its_verdict(log: list[tuple[float, float]], c: float, expected: str) -> None:
    """Every way a ferment can stand is told from its log."""
    sheet = verdict.ferment_verdict(log, c)
    assert sheet.verdict == expected
    assert sheet.says


def test_a_slow_fall_is_not_called_stuck_for_its_last_equal_readings() -> None:
    """A ferment that has crept down for ten days is not stuck because its last readings look alike."""
    log = [(float(day), 1.012 - 0.001 * (day // 2)) for day in range(12)]
    assert log[-1][1] == log[-2][1]
    assert judged(log) == "sluggish"


def test_one_low_first_reading_is_no_fall_before() -> None:
    """A must that never stood higher than now is not called stuck, for the log shows no fall."""
    assert judged([(0, 1.08), (1, 1.09), (2, 1.09), (3, 1.09)]) == "standing still"


def test_an_old_fall_does_not_hide_a_sudden_stop() -> None:
    """Only the present stretch is judged: a fast week before does not make a stopped ferment normal."""
    log = [(float(day), 1.09 - 0.01 * day) for day in range(7)] + [(8.0, 1.03), (9.0, 1.03)]
    sheet = verdict.ferment_verdict(log, 22)
    assert sheet.verdict == "stuck" and sheet.readings_used == 3 and sheet.days_used == 3


def test_a_coarse_hydrometer_cannot_say_stuck() -> None:
    """Where the noise could hide a healthy fall, the verdict is that it cannot be said yet."""
    log = [(0.0, 1.05), (1.0, 1.02), (2.0, 1.02)]
    assert judged(log, reading_spread=0.001) == "stuck"
    assert judged(log, reading_spread=0.005) == "cannot say yet"


def test_few_readings_are_said_to_be_few() -> None:
    """With two readings on the line the words say that this is few; with three they do not."""
    few = verdict.ferment_verdict([(0, 1.05), (1, 1.02), (2, 1.02)], 22)
    more = verdict.ferment_verdict([(0, 1.05), (1, 1.02), (2, 1.02), (3, 1.02)], 22)
    assert few.few and "2 readings are few" in few.says
    assert not more.few and "few" not in more.says
    assert "2 readings are few" in rates.fall_rate([(0, 1.05), (1, 1.02)]).says


@pytest.mark.parametrize(("c", "word"), [(12, "warm it slowly"), (22, "favourable"), (33, "Cool it first")])
def test_the_temperature_is_spoken_of(c: float, word: str) -> None:
    """Cold, fit and hot musts are told apart beside the verdict."""
    assert word in verdict.ferment_verdict(steady(3), c).temperature


@given(st.floats(0.5, 20), st.floats(0.0001, 0.005), st.floats(5, 29))
def test_the_verdict_keeps_to_its_own_numbers(fall: float, spread: float, c: float) -> None:
    """Normal is said only clear above the line, sluggish only clear below it, in no case by less than the spread."""
    sheet = verdict.ferment_verdict(steady(fall), c, spread)
    least = sheet.fall_points_per_day - sheet.spread_points_per_day
    most = sheet.fall_points_per_day + sheet.spread_points_per_day
    line = sheet.sluggish_under_points_per_day
    assert (sheet.verdict == "normal") == (least >= line)
    assert (sheet.verdict in {"sluggish", "still working slowly"}) == (least > 0 and most < line)
    assert sheet.verdict != "sluggish" or c >= 17


@given(st.floats(0, 400))
def test_points_and_sugar_are_inverse(sugar: float) -> None:
    """The sugar of a fall is the sugar that made it."""
    assert pace.sugar_for_gravity_points(pace.gravity_points_for_sugar(sugar)) == pytest.approx(sugar)


@given(st.floats(0.0001, 0.01), st.floats(0.1, 100))
def test_waiting_as_long_as_told_shows_the_fall(spread: float, fall: float) -> None:
    """After the days that were worked out the fall equals the smallest that counts."""
    days = pace.days_to_see_a_fall(fall, spread)
    assert days * fall == pytest.approx(pace.smallest_fall_that_counts(spread))


@given(st.floats(1.0, 1.1), st.floats(0, 0.02), st.floats(0.1, 30))
def test_the_pace_reaches_the_target_in_the_days_told(end: float, fall: float, rate: float) -> None:
    """At its pace the ferment is at the target after the days that were worked out."""
    days = pace.days_to_gravity(end + fall, end, rate)
    assert days * rate == pytest.approx(1000 * fall, abs=1e-9)
    if days > 1e-6:
        assert pace.fall_per_day(end + fall, end, min(days, 365)) >= rate * (1 - 1e-6)


def test_impossible_logs_say_what_to_do() -> None:
    """One reading, readings out of order and gravities without their one are refused with the mend."""
    with pytest.raises(OutOfRange, match="read again tomorrow"):
        rates.fall_rate([(0, 1.05)])
    with pytest.raises(OutOfRange, match="in order"):
        rates.gravity_log([(1, 1.05), (1, 1.04)])
    with pytest.raises(OutOfRange, match=r"Write it like 1\.045"):
        rates.gravity_log([(0, 1050), (1, 1040)])
    with pytest.raises(OutOfRange, match="Half a line"):
        rates.fall_rate(steady(3), 0)
    with pytest.raises(OutOfRange, match="in the liquid"):
        verdict.ferment_verdict(steady(3), 72)
    with pytest.raises(OutOfRange, match="passed already"):
        pace.days_to_gravity(1.0, 1.01, 5)
    with pytest.raises(OutOfRange):
        rates.fall_rate([(0, math.nan), (1, 1.05)])
    with pytest.raises(OutOfRange):
        rates.fall_rate([(math.nan, 1.06), (1, 1.05)])


def test_a_gravity_that_rises_is_to_be_read_again() -> None:
    """No ferment makes sugar: a reading above the one before is a reading to repeat, and no fall."""
    first, *others = rates.gravity_log([(0, 1.050), (2, 1.060), (4, 1.058)], 0.0005)
    assert first.says == "first reading"
    assert [line.says for line in others] == [
        "rises: read again at the marked temperature, free of gas and well mixed",
        "falls",
    ]
    assert [line.falls for line in others] == [False, True]


def test_the_log_is_a_worksheet_of_dated_readings() -> None:
    """The list says that it wants days and gravities."""
    assert worksheets()["ferment_verdict"].parameters[0].unit == "days and SG"


def test_a_standstill_after_a_fall_is_not_called_slow() -> None:
    """1.030 and then twelve days at 1.028: one line within the noise of a hydrometer, and yet the ferment stands."""
    log = ((0.0, 1.090), (4.0, 1.048), (7.0, 1.030), (10.0, 1.028), (15.0, 1.028), (19.0, 1.0275))
    assert verdict.ferment_verdict(log, 14.0).verdict == "stuck"
    slow = tuple((float(day), 1.030 - 0.0003 * day) for day in range(20))
    assert verdict.ferment_verdict(slow, 14.0).verdict == "still working slowly"
