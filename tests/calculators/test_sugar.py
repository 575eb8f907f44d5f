import pytest
from chempy.properties.water_density_tanaka_2001 import water_density as tanaka
from diagnose.calculators import OutOfRange, densities
from diagnose.calculators.sugar import added, potential, scales
from hypothesis import given
from hypothesis import strategies as st

GRAVITIES = st.floats(0.951, 1.199)
MUSTS = st.floats(1.03, 1.15)


@given(GRAVITIES)
def test_every_scale_leads_back_to_the_same_must(gravity: float) -> None:
    """A gravity turned into any scale and back is the gravity."""
    assert scales.gravity_from_brix(scales.brix_from_gravity(gravity)) == pytest.approx(gravity, abs=1e-9)
    assert scales.gravity_from_plato(scales.plato_from_gravity(gravity)) == pytest.approx(gravity, abs=1e-9)
    assert scales.gravity_from_oechsle(scales.oechsle_from_gravity(gravity)) == pytest.approx(gravity)
    assert scales.gravity_from_baume(scales.baume_from_gravity(gravity)) == pytest.approx(gravity)
    assert scales.gravity_from_extract(scales.extract_from_gravity(gravity)) == pytest.approx(
        gravity, abs=1e-9
    )


@given(st.floats(0, 35))
def test_klosterneuburg_and_back(degrees: float) -> None:
    """KMW turned into Oechsle and back is the same."""
    assert scales.kmw_from_oechsle(scales.oechsle_from_kmw(degrees)) == pytest.approx(degrees, abs=1e-9)


@given(st.floats(0.951, 1.19), st.floats(0.0005, 0.005))
def test_heavier_is_sweeter(gravity: float, more: float) -> None:
    """A heavier juice reads higher on every scale."""
    for scale in (scales.brix_from_gravity, scales.baume_from_gravity, scales.extract_from_gravity):
        assert scale(gravity + more) > scale(gravity)


@pytest.mark.parametrize("temperature", [0, 4, 10, 15, 20, 25, 30, 35, 40])
def test_water_weighs_what_others_measured(temperature: float) -> None:
    """Our water agrees with the measurements of Tanaka and others (2001) to 0.02 kg/m3."""
    assert densities.water_density(temperature) == pytest.approx(tanaka(273.15 + temperature), abs=0.02)


@given(MUSTS)
def test_must_holds_less_sugar_than_extract(gravity: float) -> None:
    """Acid and salts weigh too, so the fermentable sugar is 15 to 35 g/L less than all that is dissolved."""
    rest = scales.extract_from_gravity(gravity) - potential.must_sugar(gravity)
    assert 15 < rest < 35


@given(st.floats(0, 25), st.floats(15, 20))
def test_sugar_and_alcohol_turn_round(alcohol: float, per_percent: float) -> None:
    """The sugar for an alcohol makes that alcohol."""
    sugar = potential.sugar_for_alcohol(alcohol, per_percent)
    assert potential.potential_alcohol(sugar, per_percent) == pytest.approx(alcohol)


def test_one_must_on_every_scale() -> None:
    """The sheet says what the single sums say."""
    sheet = potential.must_scales(1.09)
    assert sheet.brix == scales.brix_from_gravity(1.09)
    assert sheet.potential_alcohol_percent == potential.potential_alcohol_from_gravity(1.09)
    assert sheet.oechsle == pytest.approx(90)


@given(st.floats(1, 2000), st.floats(5, 13), st.floats(0, 4), st.floats(15, 20), st.floats(0, 1))
def test_the_sugar_worked_out_reaches_the_wanted_alcohol(
    volume: float, present: float, rise: float, per_percent: float, room: float
) -> None:
    """Adding the sugar that was worked out gives the potential that was asked for."""
    sugar = added.sugar_to_add(volume, present, present + rise, per_percent, room)
    after = added.potential_alcohol_after_sugar(volume, present, sugar, per_percent, room)
    assert after == pytest.approx(present + rise)


def test_the_room_of_the_sugar_asks_for_more_sugar() -> None:
    """Sugar makes the must more, so more of it is needed than without its room."""
    assert added.sugar_to_add(100, 10, 12) > added.sugar_to_add(100, 10, 12, sugar_volume_l_per_kg=0)
    assert added.volume_after_sugar(100, 5000) == pytest.approx(103.1)


def test_impossible_musts_say_what_to_do() -> None:
    """Slips of the unit and wishes that sugar cannot fulfil are refused with the mend."""
    with pytest.raises(OutOfRange, match=r"gravity is 1090 SG.*1\.090, not 1090"):
        scales.brix_from_gravity(1090)
    with pytest.raises(OutOfRange, match="15 to 30 Brix"):
        scales.gravity_from_brix(90)
    with pytest.raises(OutOfRange, match="fresh must of grapes only"):
        potential.must_sugar(0.995)
    with pytest.raises(OutOfRange, match="g/L, not Brix"):
        potential.potential_alcohol(-1)
    with pytest.raises(OutOfRange, match=r"16\.83 is official"):
        potential.potential_alcohol(200, 1.7)
    with pytest.raises(OutOfRange, match="Sugar only lifts it"):
        added.sugar_to_add(100, 12, 11)
