import pint
import pytest
from diagnose.calculators import OutOfRange, lysozyme
from hypothesis import given
from hypothesis import strategies as st

UNIT = pint.UnitRegistry()


@given(st.floats(50, 500), st.floats(1, 2000), st.floats(1, 10))
def test_the_solution_holds_the_dose(dose: float, volume: float, percent: float) -> None:
    """The solution measured out brings the dose to the vessel, units worked by an outside library."""
    held = (lysozyme.lysozyme_solution_ml(dose, volume, percent) * UNIT.mL) * (percent * 10 * UNIT.g / UNIT.L)
    assert (held / (volume * UNIT.L)).to("mg/L").magnitude == pytest.approx(dose)
    assert held.to("g").magnitude == pytest.approx(lysozyme.lysozyme_g(dose, volume))


def test_a_dose_within_the_limit() -> None:
    """250 mg/L in 100 L is 25 g, half a litre of 5 % solution, half a percent of water."""
    sheet = lysozyme.lysozyme_addition(250, 100, 500)
    assert (sheet.lysozyme_g, sheet.solution_ml) == (pytest.approx(25), pytest.approx(500))
    assert sheet.water_percent == pytest.approx(0.5)
    assert sheet.refused_because == ""


def test_the_limit_counts_must_and_wine_together() -> None:
    """300 mg/L in the wine after 300 in the must passes 500: refused, with what may still be given."""
    sheet = lysozyme.lysozyme_addition(300, 100, 500, given_before_mg_per_l=300)
    assert "over the limit of 500" in sheet.refused_because
    assert "200 mg/L may still be given" in sheet.refused_because
    assert sheet.lysozyme_g == sheet.solution_ml == sheet.water_percent == 0


def test_the_limit_itself_is_allowed() -> None:
    """A dose that just meets the limit is given."""
    assert lysozyme.lysozyme_addition(200, 100, 500, 300).refused_because == ""
    assert lysozyme.room_under_lysozyme_limit(600, 500) == -100


@pytest.mark.parametrize(
    ("attempt", "sentence"),
    [
        (lambda: lysozyme.lysozyme_g(0, 100), "25 g/hL is 250"),
        (lambda: lysozyme.lysozyme_g(250, 0), "vessel in litres"),
        (lambda: lysozyme.lysozyme_solution_ml(250, 100, 50), "5 %, the usual strength"),
        (lambda: lysozyme.room_under_lysozyme_limit(-1, 500), "Give 0 when none"),
        (lambda: lysozyme.lysozyme_addition(250, 100, 0), "limit of your law"),
    ],
)
def test_what_cannot_be_right_is_refused(attempt, sentence) -> None:  # type: ignore[no-untyped-def]
    """Each number that cannot be right is refused with what to do."""
    with pytest.raises(OutOfRange, match=sentence):
        attempt()
