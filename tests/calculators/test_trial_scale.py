import pytest
from diagnose.calculators import OutOfRange, bentonite
from diagnose.calculators.trial import Pipette, Stock, design_trial, scale_up
from hypothesis import given
from hypothesis import strategies as st

FIVE_PERCENT = Stock.made_up(50, 1000)
DOSES = st.floats(0.02, 3)
VESSELS = st.floats(5, 2000)
STOCKS = st.floats(5, 100).map(lambda grams: Stock.made_up(grams, 1000))


def test_a_batch_of_23_litres_scaled_up() -> None:
    """0.5 g/L in 23 L from a 5 % slurry: 11.5 g, 230 mL, exactly 1 % water (arithmetic)."""
    plan = scale_up(0.5, 23, FIVE_PERCENT, water_limit_percent=1)
    assert plan.agent_g == pytest.approx(11.5)
    assert plan.stock_ml == pytest.approx(230)
    assert plan.water_share_percent == pytest.approx(1.0)
    assert plan.over_water_limit is False
    assert plan.in_the_mix_g_per_l == pytest.approx(0.5 / 1.01)


def test_over_the_limit_is_said() -> None:
    """0.6 g/L needs a 6 % slurry to stay within 1 % water (27 CFR 24.246; arithmetic)."""
    assert scale_up(0.6, 23, FIVE_PERCENT, water_limit_percent=1).over_water_limit is True
    assert scale_up(0.6, 23, Stock.made_up(60, 1000), water_limit_percent=1).over_water_limit is False
    assert scale_up(0.6, 23, FIVE_PERCENT).over_water_limit is None


@given(st.floats(0.05, 1), VESSELS)
def test_a_dose_exactly_at_the_limit_is_allowed(dose: float, vessel: float) -> None:
    """The weakest slurry allowed for a dose is within the limit, in any vessel; a weaker one is not."""
    strength = bentonite.weakest_slurry_under_water_limit(dose, 1)
    assert (
        scale_up(dose, vessel, Stock.made_up(strength, 1000), water_limit_percent=1).over_water_limit is False
    )
    thinner = Stock.made_up(0.99 * strength, 1000)
    assert scale_up(dose, vessel, thinner, water_limit_percent=1).over_water_limit is True


def test_three_litres_at_fifty_millilitres_to_the_litre() -> None:
    """2.5 g/L in 3 L of a 5 % slurry is 150 mL (common practice)."""
    assert scale_up(2.5, 3, FIVE_PERCENT).stock_ml == pytest.approx(150)


def test_the_lees_keep_five_to_ten_percent() -> None:
    """Of 100 L, 5 to 10 L stay in the lees (Tattersall 2001, quoted by Waters & Colby 2009, p. 223)."""
    plan = scale_up(0.5, 100, FIVE_PERCENT, lees_percent=bentonite.LEES_PERCENT)
    assert (plan.lees_low_l, plan.lees_high_l) == pytest.approx((5, 10))
    assert (plan.wine_left_low_l, plan.wine_left_high_l) == pytest.approx((90, 95))


def test_nothing_is_said_of_the_lees_of_an_unknown_agent() -> None:
    """What bentonite lees hold is no measure for another fining."""
    plan = scale_up(0.5, 100, FIVE_PERCENT)
    assert plan.lees_low_l is plan.lees_high_l is plan.wine_left_low_l is plan.wine_left_high_l is None


def test_a_weighed_slurry_is_given_both_ways() -> None:
    """230 g of a slurry of 5 g clay in 95 g water carry the 11.5 g that 23 L need (arithmetic)."""
    plan = scale_up(0.5, 23, Stock.weighed(5, 95, 2.5))
    assert plan.stock_g == pytest.approx(230)
    assert plan.stock_ml == pytest.approx(230 * 0.97)


@given(DOSES, VESSELS, STOCKS, st.floats(1, 10))
def test_twice_the_wine_takes_twice_of_everything(
    dose: float, vessel: float, stock: Stock, times: float
) -> None:
    """Amounts grow with the vessel; shares and strengths stay."""
    one, many = (scale_up(dose, size, stock, lees_percent=(5, 10)) for size in (vessel, times * vessel))
    for name in (
        "agent_g",
        "stock_ml",
        "stock_g",
        "water_ml",
        "volume_after_l",
        "lees_low_l",
        "wine_left_low_l",
    ):
        assert getattr(many, name) == pytest.approx(times * getattr(one, name))
    assert many.water_share_percent == pytest.approx(one.water_share_percent)
    assert many.in_the_mix_g_per_l == pytest.approx(one.in_the_mix_g_per_l)


@given(DOSES, VESSELS, STOCKS)
def test_glass_and_vessel_get_the_same_wine(dose: float, vessel: float, stock: Stock) -> None:
    """The stock to wine ratio of the vessel is that of the unwatered glass, to the marks of the pipette."""
    design = design_trial([dose], 1000, stock, Pipette(0.0001, 0.0001), match_water=False)
    plan = scale_up(dose, vessel, stock)
    assert plan.water_share_percent == pytest.approx(design.samples[1].water_share_percent, rel=1e-3)
    assert plan.in_the_mix_g_per_l == pytest.approx(design.samples[1].in_the_mix, rel=1e-3)


@pytest.mark.parametrize(
    ("dose", "vessel", "lees", "limit"),
    [
        (0, 23, (5, 10), None),
        (-0.5, 23, (5, 10), None),
        (50.0, -23, (5, 10), None),
        (0.5, 23, (10, 5), None),
        (0.5, 23, (5, 101), None),
        (0.5, 23, (5, 10), 0),
        (float("nan"), 23, (5, 10), None),
    ],
)
def test_impossible_treatments_are_refused(
    dose: float, vessel: float, lees: tuple[float, float], limit: float | None
) -> None:
    """No plan is drawn for a dose, vessel, loss or limit that cannot be."""
    with pytest.raises(OutOfRange):
        scale_up(dose, vessel, FIVE_PERCENT, lees_percent=lees, water_limit_percent=limit)


@pytest.mark.parametrize(
    "make",
    [
        lambda: Stock(0),
        lambda: Stock(1.5),
        lambda: Stock(0.05, density_g_per_ml=9),
        lambda: Stock.made_up(50, 0),
        lambda: Stock.weighed(5, 0, 2.5),
        lambda: Stock.weighed(5, 95, 0),
        lambda: Pipette(0.1, 0),
        lambda: Pipette(-1, 0.1),
    ],
)
def test_stocks_and_pipettes_that_cannot_be_are_refused(make: object) -> None:
    """A stock of nothing or a pipette without marks is caught before the trial."""
    with pytest.raises(OutOfRange):
        make()  # type: ignore[operator]


def test_a_slurry_made_up_to_volume_weighs_more_than_water() -> None:
    """50 g of clay of density 2.5 in a litre push out 20 mL of water, so the litre weighs 1030 g (arithmetic)."""
    stock = Stock.made_up(50, 1000, 2.5)
    assert stock.density_g_per_ml == pytest.approx(1.03)
    assert scale_up(0.3, 60, stock).stock_g == pytest.approx(360 * 1.03)
