import math

import pytest
from diagnose.calculators import BadInputs, OutOfRange, UnknownCalculator, calculators, call
from diagnose.calculators.amounts import GramsPerLitre
from diagnose.calculators.registry import calculator

# Inputs that any calculator with such a parameter accepts together.
SAMPLE = {
    "dose_g_per_l": 0.5,
    "dose_g_per_hl": 50.0,
    "dose_lb_per_1000_gal": 4.0,
    "volume_l": 23.0,
    "slurry_g_per_l": 50.0,
    "slurry_ml": 230.0,
    "percent_by_mass": 5.0,
    "percent_by_volume": 5.0,
    "clay_g": 10.0,
    "added_ml": 5.0,
    "added_l": 1.0,
    "sample_ml": 100.0,
    "rise_ntu": 20.0,
    "protein_mg_per_l": 100.0,
    "heated_ntu": 5.0,
    "unheated_ntu": 1.0,
    "stock": 50.0,
    "value": 12.0,
    "value_a": 10.0,
    "value_b": 14.0,
    "volume_a_l": 10.0,
    "volume_b_l": 10.0,
}
TARGETS = {"stock_ml_for_concentration": 1.0, "water_for_dilution_l": 10.0}
STARTS = {"water_for_dilution_l": 12.0}


def test_every_calculator_says_what_it_takes_and_gives() -> None:
    """A mentor writing a rule finds for each sum its inputs, their units and its result."""
    assert len(calculators()) >= 20
    for name, found in calculators().items():
        assert found.name == name
        assert found.summary.endswith((".", ":")) or found.summary
        assert found.result and found.result_unit and found.subject
        assert found.parameters and all(parameter.unit for parameter in found.parameters)


@pytest.mark.parametrize("name", sorted(calculators()))
def test_every_calculator_states_its_range_and_error(name: str) -> None:
    """The help of each sum states the range it holds for and what happens outside."""
    doc = calculators()[name].function.__doc__ or ""
    assert "Range:" in doc and "OutOfRange" in doc


@pytest.mark.parametrize("name", sorted(calculators()))
def test_every_calculator_can_be_called_by_a_rule(name: str) -> None:
    """A rule gets a plain number from every sum on the list."""
    inputs = {p.name: SAMPLE[p.name] for p in calculators()[name].parameters if p.name in SAMPLE}
    if any(p.name == "target" for p in calculators()[name].parameters):
        inputs["target"] = TARGETS.get(name, 12.0)
    if name in STARTS:
        inputs["start"] = STARTS[name]
    result = call(name, **inputs)
    assert isinstance(result, float) and math.isfinite(result)


def test_a_wrong_name_is_answered_with_the_nearest() -> None:
    """A slip in a rule file is answered with the name that was probably meant."""
    with pytest.raises(UnknownCalculator, match="did you mean: bentonite_grams"):
        call("bentonite_gram", dose_g_per_l=1.0, volume_l=1.0)
    with pytest.raises(UnknownCalculator, match="use one of"):
        call("qqq")


@pytest.mark.parametrize(
    ("inputs", "why"),
    [
        ({"dose_g_per_l": 1.0}, "still needs volume_l"),
        ({"dose_g_per_l": 1.0, "volume_l": 1.0, "colour": 1.0}, "does not take colour"),
        ({"dose_g_per_l": 1.0, "volume_l": True}, "must be a number"),
        ({"dose_g_per_l": 1.0, "volume_l": "23"}, "must be a number"),
    ],
)
def test_wrong_inputs_are_refused_by_name(inputs: dict[str, float], why: str) -> None:
    """A rule that feeds a sum wrongly is told which input is wrong."""
    with pytest.raises(BadInputs, match=why):
        call("bentonite_grams", **inputs)


@pytest.mark.parametrize("value", [math.nan, math.inf, -math.inf])
@pytest.mark.parametrize("name", sorted(calculators()))
def test_no_sum_takes_a_number_that_is_none(name: str, value: float) -> None:
    """Nothing is ever dosed from a reading that is not a number."""
    inputs = {parameter.name: value for parameter in calculators()[name].parameters}
    with pytest.raises(OutOfRange):
        call(name, **inputs)
    with pytest.raises((OutOfRange, ValueError)):
        calculators()[name].function(**inputs)


def test_the_list_cannot_be_changed_from_outside() -> None:
    """No part of the program can slip another sum under a known name."""
    with pytest.raises(TypeError):
        calculators()["bentonite_grams"] = None  # type: ignore[index]
    with pytest.raises(ValueError, match="two calculators"):

        @calculator("bentonite_grams", result="nothing")
        def again(dose_g_per_l: GramsPerLitre) -> GramsPerLitre:
            return dose_g_per_l


def test_a_sum_without_units_is_not_listed() -> None:
    """An input without a unit never gets as far as a rule."""
    with pytest.raises(ValueError, match="has no unit"):

        @calculator("unitless", result="nothing")
        def unitless(amount: float) -> float:
            return amount

    assert "unitless" not in calculators()
