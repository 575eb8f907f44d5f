"""What is said exactly where a line is drawn, and what a worksheet owes its own inputs."""

from __future__ import annotations

import pytest
from diagnose.calculators import OutOfRange, call
from diagnose.calculators.charge_balance.balance import Wine
from diagnose.calculators.ferment_log.verdict import ferment_verdict
from diagnose.calculators.restart.protocols import restart_by_doubling, restart_in_steps
from diagnose.calculators.trial.pooled import LevelRead, _lees
from diagnose.calculators.trial.stock import Stock
from diagnose.calculators.trial.sureness import beside_the_spread
from hypothesis import given
from hypothesis import strategies as st


def test_pure_water_is_neutral_at_seven() -> None:
    """As many hydrogen as hydroxide ions at pH 7, more below and less above (ion product 10^-14)."""
    water = Wine({}, {})
    assert water.free_hydrogen(7) == pytest.approx(0, abs=1e-12)
    assert water.free_hydrogen(3) == pytest.approx(1.0)
    assert water.free_hydrogen(11) == pytest.approx(-1.0)


@pytest.mark.parametrize(("excess", "taken"), [(-0.99, True), (-1.01, False)])
def test_a_ph_may_be_a_little_below_what_the_acids_give(excess: float, taken: bool) -> None:
    """A meter rounds: up to 1 meq/L below nothing is its rounding, and more is a wrong reading (common practice)."""
    wine = Wine({"acetic": 10.0}, {"acetic": (4.76,)})
    ph = wine.ph(excess)
    if taken:
        assert wine.measured_excess(ph) == pytest.approx(excess, abs=1e-6)
    else:
        with pytest.raises(OutOfRange, match="these acids alone give no less"):
            wine.measured_excess(ph)


@pytest.mark.parametrize(
    ("free_after", "share"), [(20.0, 0.0), (40.0, 66.667), (50.0, 100.0), (52.9, 100.0), (53.1, None)]
)
def test_no_more_stays_free_than_a_tenth_above_what_was_given(free_after: float, share: float | None) -> None:
    """Of 30 mg/L given to 20, 53 and no more can be free: a tenth is the error of the readings."""
    if share is None:
        with pytest.raises(OutOfRange, match="No more than was added"):
            call(
                "share_staying_free",
                addition_mg_per_l=30,
                free_before_mg_per_l=20,
                free_after_mg_per_l=free_after,
            )
    else:
        found = call(
            "share_staying_free",
            addition_mg_per_l=30,
            free_before_mg_per_l=20,
            free_after_mg_per_l=free_after,
        )
        assert found == pytest.approx(share, abs=1e-3)


def test_what_is_no_sugar_is_taken_off_the_brix() -> None:
    """Purdue's sum for 22 Brix: 3 Brix are no sugar, and 19 at 0.6 make 11.4 % vol (worked by hand)."""
    assert call("potential_alcohol_from_brix", brix=22, non_sugar_brix=3) == pytest.approx(11.4)


@given(st.floats(-5, 5), st.floats(6, 30))
def test_a_tank_half_way_between_coolant_and_room_stays_there_full(coolant: float, room: float) -> None:
    """A jacket that carries as much as the walls let in holds the middle, and so does half of each."""
    middle = (coolant + room) / 2
    for share in (100.0, 50.0):
        found = call(
            "settles_with_part_of_jacket",
            full_settles_c=middle,
            coolant_c=coolant,
            room_c=room,
            wetted_share_percent=share,
            wall_share_percent=share,
        )
        assert found == pytest.approx(middle)


@pytest.mark.parametrize(
    ("first", "second", "better"),
    [((5, 10), (11, 20), 0), ((11, 20), (5, 10), 1), ((5, 10), (10, 20), None), ((10, 20), (5, 10), None)],
)
def test_lees_are_told_apart_only_where_their_ranges_do_not_meet(
    first: tuple[float, float], second: tuple[float, float], better: int | None
) -> None:
    """5 to 10 % of lees is less than 11 to 20, and may be as much as 10 to 20."""
    levels = tuple(LevelRead(None, (), None, None, None, lees) for lees in (first, second))  # type: ignore[arg-type]
    side = _lees(levels)  # type: ignore[arg-type]
    assert side is not None and side.better == better


def test_a_stock_of_unknown_density_weighs_as_much_as_water() -> None:
    """Common practice: a thin stock is taken to weigh 1 g a millilitre."""
    assert Stock(0.05).density_g_per_ml == 1.0 == Stock.made_up(50, 1000).density_g_per_ml


@pytest.mark.parametrize("percent", [20.0, 50.0, 90.0])
def test_each_stage_of_a_restart_goes_on_at_the_share_of_its_sugar(percent: float) -> None:
    """At 50 % a stage that began with 40 g/L goes on at 20; the last one ferments dry."""
    for lines in (
        restart_by_doubling(100, 12, 30, 18, 100, 9, go_on_at_percent_of_sugar=percent),
        restart_in_steps(100, 12, 30, 18, go_on_at_percent_of_sugar=percent),
    ):
        between = [line for line in lines if "part" in line.stage]
        assert len(between) > 1 and lines[-1].go_on_at_sugar_g_per_l == 0
        for line in between:
            assert line.go_on_at_sugar_g_per_l == pytest.approx(line.sugar_g_per_l * percent / 100)


@pytest.mark.parametrize(
    ("gravity", "verdict"), [(0.995, "finished"), (0.996, "finished"), (0.9961, "stuck"), (0.998, "stuck")]
)
def test_a_wine_that_stands_at_the_dry_line_is_finished(gravity: float, verdict: str) -> None:
    """The gravity of a dry wine is dry itself; what stands above it after a fall is stuck."""
    fell = [(0.0, 1.060), (1.0, 1.040), (2.0, 1.020)]
    stands = [(float(day), gravity) for day in range(3, 12)]
    assert ferment_verdict([*fell, *stands], 20.0).verdict == verdict


def test_a_dose_that_was_set_up_once_adds_nothing_to_the_spread() -> None:
    """Of jars alone nobody knows how equal ones would read: only the sets of two and more tell the spread."""
    first, second = [1.0, 1.2], [2.0, 2.2]
    equal = beside_the_spread(first, second, [first, second])
    assert beside_the_spread(first, second, [first, second, [9.0]]) == equal
    assert equal.luck_percent is not None
    assert beside_the_spread([1.0], [2.0], [[1.0], [2.0]]).luck_percent is None
