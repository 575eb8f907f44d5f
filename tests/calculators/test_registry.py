import math
import re
from itertools import islice, product

import pytest
from diagnose.calculators import BadInputs, OutOfRange, UnknownCalculator, calculators, call
from diagnose.calculators.amounts import GramsPerLitre
from diagnose.calculators.registry import calculator

# What a cellar may write for an input of each unit, in the order tried.
CELLAR: dict[str, tuple[float, ...]] = {
    "%": (5.0, 50.0, 1.0, 25.0, 88.0),
    "% vol": (12.0, 10.0, 13.0, 5.0),
    "Be": (12.0,),
    "Brix": (22.0, 8.0),
    "C": (15.0, 20.0, 8.0, 25.0, -2.0, 30.0),
    "C difference": (10.0, 2.0),
    "KMW": (17.0,),
    "L": (23.0, 20.0, 50.0, 2.0),
    "NTU": (1.0, 5.0),
    "Oe": (90.0,),
    "Plato": (22.0,),
    "SG": (1.02, 1.09, 0.995, 1.05),
    "SG points": (10.0, 50.0),
    "SG points/day": (5.0, 1.0),
    "bar": (1.0, 2.0, 5.0),
    "cm": (50.0, 40.0, 60.0),
    "days": (2.0, 10.0),
    "g": (10.0, 1000.0, 2.0),
    "g/(L day)": (20.0,),
    "g/L": (2.0, 5.0, 0.5, 50.0, 100.0, 7.0, 20.0, 220.0),
    "g/hL": (50.0,),
    "g/mL": (2.5, 1.0),
    "hours": (24.0,),
    "m2": (1.0,),
    "m3": (50.0,),
    "mL": (100.0, 10.0, 5.0, 250.0),
    "mg/L": (30.0, 100.0, 50.0, 0.5, 200.0, 1000.0),
    "mol/L": (0.1,),
    "meq/L": (80.0, 30.0),
    "kg/m3": (995.0,),
    "L/h": (50.0,),
    "ppm of air": (5000.0,),
    "pH": (3.4, 3.6, 3.2),
    "plain number": (1.0, 50.0, 120.0, 240.0, 400.0, 2.0),
    "same unit throughout": (12.0, 50.0, 10.0, 11.0, 14.0),
    "uS/cm": (2000.0, 1900.0, 300.0),
}


def cellar_inputs(name: str) -> dict[str, float] | None:
    """Values of the cellar, one for each input, that a sum takes together; None when none of many tries is taken."""
    found = calculators()[name]
    choices = [CELLAR.get(one.unit, (1.0, 10.0, 100.0)) for one in found.parameters if one.required]
    names = [one.name for one in found.parameters if one.required]
    for values in islice(product(*choices), 20_000):
        inputs = dict(zip(names, values, strict=True))
        try:
            call(name, **inputs)
        except OutOfRange:
            continue
        return inputs
    return None


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
    """Every sum on the list takes values as a cellar has them and gives a plain number."""
    inputs = cellar_inputs(name)
    assert inputs is not None, "no values of the cellar are taken"
    result = call(name, **inputs)
    assert isinstance(result, float) and math.isfinite(result)


@pytest.mark.parametrize("name", sorted(name for name, one in calculators().items() if one.formula))
def test_every_name_in_a_formula_becomes_a_number(name: str) -> None:
    """In the worked line no name with an underscore is left: it is an input, or the working gives it."""
    found = calculators()[name]
    inputs = {one.name: one.default for one in found.parameters} | (cellar_inputs(name) or {})
    known = {**inputs, **(found.working(**inputs) if found.working else {})}
    names = {word for word in re.findall(r"[A-Za-z_][A-Za-z0-9_]*", found.formula) if "_" in word}
    named_here = set(re.findall(r"([A-Za-z_][A-Za-z0-9_]*) = ", found.formula))
    assert names - named_here <= set(known)


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


@pytest.mark.parametrize(
    ("name", "inputs"),
    [
        ("bentonite_grams", {"dose_g_per_l": 3.5, "volume_l": 1e308}),
        (
            "powder_strength",
            {
                "total_before_mg_per_l": 1.0,
                "total_after_mg_per_l": 3.5,
                "powder_g": 1e-200,
                "volume_l": 1e300,
            },
        ),
        ("lying_cylinder_volume_l", {"diameter_cm": 5e-324, "length_cm": 12.0, "depth_cm": 5e-324}),
    ],
)
def test_a_sum_that_leaves_all_numbers_is_a_slip_of_the_unit(name: str, inputs: dict[str, float]) -> None:
    """A volume with three hundred noughts gives no dose and no error of the program, but is asked about."""
    with pytest.raises(OutOfRange, match=r"no ordinary number\. Check the inputs for a slip of the unit"):
        call(name, **inputs)


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
