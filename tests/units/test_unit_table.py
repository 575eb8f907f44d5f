import math

import pint
import pytest
from diagnose.units import (
    OutOfScale,
    UnknownQuantity,
    UnknownUnit,
    canonical_unit,
    from_canonical,
    quantities,
    to_canonical,
    units_of,
)
from hypothesis import given
from hypothesis import strategies as st

PINT = pint.UnitRegistry()
PINT.define("decilitre_measure = 100 * milliliter")
PINT.define("thousand_gallons = 1000 * US_liquid_gallon")

# Every straight-line unit beside the name an independent library knows it by. NTU, pH, % vol, % and plain
# numbers have one unit each and nothing to convert; the gravity scales are checked against tables below.
ORACLE = {
    "temperature": {"C": "degC", "F": "degF", "K": "kelvin"},
    "volume": {
        "L": "liter",
        "mL": "milliliter",
        "hL": "hectoliter",
        "gal": "US_liquid_gallon",
        "UK gal": "imperial_gallon",
        "qt": "US_liquid_quart",
        "pt": "US_pint",
        "fl oz": "US_fluid_ounce",
    },
    "mass": {"g": "gram", "mg": "milligram", "kg": "kilogram", "lb": "pound", "oz": "ounce"},
    "dose": {
        "g/L": "gram/liter",
        "mg/L": "milligram/liter",
        "ppm": "milligram/liter",
        "g/hL": "gram/hectoliter",
        "mg/100 mL": "milligram/decilitre_measure",
        "g/100 mL": "gram/decilitre_measure",
        "g/gal": "gram/US_liquid_gallon",
        "oz/gal": "ounce/US_liquid_gallon",
        "oz/1000 gal": "ounce/thousand_gallons",
        "lb/1000 gal": "pound/thousand_gallons",
    },
    # A month is 30.44 days here and 30.4375 there, so it is left out.
    "duration": {"days": "day", "minutes": "minute", "hours": "hour", "weeks": "week", "years": "year"},
    "pore_size": {"um": "micrometer"},
    "pressure": {"bar": "bar", "psi": "psi", "kPa": "kilopascal"},
    "length": {"cm": "centimeter", "mm": "millimeter", "in": "inch"},
}
ORACLE["trace"] = ORACLE["dose"]
NO_ORACLE = {"gravity", "ph", "alcohol", "turbidity", "percent", "count"}

PAIRS = [(quantity, unit) for quantity in quantities() for unit in units_of(quantity)]


def test_every_quantity_is_checked_somewhere() -> None:
    """No quantity enters the table without a check of its units."""
    assert set(ORACLE) | NO_ORACLE == set(quantities())
    for quantity, units in ORACLE.items():
        assert set(units_of(quantity)) - {"months"} == set(units)


@pytest.mark.parametrize(("quantity", "unit"), [(q, u) for q, units in ORACLE.items() for u in units])
@pytest.mark.parametrize("value", [0.37, 1.0, 212.0])
def test_units_agree_with_an_independent_library(quantity: str, unit: str, value: float) -> None:
    """A reading in any unit means the same to us as to a library that others wrote."""
    oracle = ORACLE[quantity]
    expected = PINT.Quantity(value, oracle[unit]).to(oracle[canonical_unit(quantity)]).magnitude
    assert to_canonical(value, unit, quantity) == pytest.approx(expected, rel=1e-9)


@given(pair=st.sampled_from(PAIRS), share=st.floats(0, 1))
def test_there_and_back_is_the_same_wine(pair: tuple[str, str], share: float) -> None:
    """A value turned into any unit and back is the value."""
    quantity, unit = pair
    low, high = {"gravity": (0.96, 1.19), "ph": (0, 14), "alcohol": (0, 100)}.get(quantity, (0, 5000))
    value = low + share * (high - low)
    back = to_canonical(from_canonical(value, unit, quantity), unit, quantity)
    assert back == pytest.approx(value, rel=1e-9, abs=1e-9)


@pytest.mark.parametrize(
    ("lb_per_1000_gal", "g_per_l"), [(25, 3.0), (2, 0.24), (8, 0.96), (3, 0.36), (60, 7.19), (35, 4.19)]
)
def test_pounds_per_thousand_gallons_as_the_law_prints_them(lb_per_1000_gal: float, g_per_l: float) -> None:
    """Doses in lb/1000 gal come out as the US law prints them beside g/L (27 CFR 24.246, 2015)."""
    places = len(str(g_per_l).partition(".")[2])
    assert round(to_canonical(lb_per_1000_gal, "lb/1000 gal", "dose"), places) == g_per_l


def test_ounces_per_thousand_gallons_as_the_law_prints_them() -> None:
    """3 oz/1000 gal of ferrous sulfate is printed as 0.022 g/L (27 CFR 24.246, 2015)."""
    assert to_canonical(3, "oz/1000 gal", "dose") == pytest.approx(0.022, abs=0.0005)


@pytest.mark.parametrize(
    ("brix", "sg"),
    [
        (0.0, 1.0),
        (0.1, 1.00039),
        (0.3, 1.00117),
        (3.8, 1.0149),
        (3.9, 1.01529),
        (4.0, 1.01569),
        (4.1, 1.01609),
        (7.6, 1.03017),
        (7.9, 1.03139),
    ],
)
def test_brix_against_the_printed_sucrose_table(brix: float, sg: float) -> None:
    """A Brix reading gives the gravity of the printed table.

    Cells of the USDA sucrose conversion table 135-A-50, 20 °C, as quoted. At 0 Brix the fitted cubic is
    0.00002 off the table, hence the tolerance.
    """
    assert to_canonical(brix, "Brix", "gravity") == pytest.approx(sg, abs=0.000025)


@pytest.mark.parametrize("sg", [1.0, 1.02, 1.04, 1.06, 1.08, 1.09, 1.1, 1.11])
def test_plato_against_the_brewers_polynomial(sg: float) -> None:
    """Plato agrees with the polynomial brewers use (ASBC, coefficients from memory) to 0.02."""
    asbc = -616.868 + 1111.14 * sg - 630.272 * sg**2 + 135.997 * sg**3
    assert from_canonical(sg, "Plato", "gravity") == pytest.approx(asbc, abs=0.02)


@pytest.mark.parametrize("sg", [1.0, 1.005, 1.01, 1.02, 1.04, 1.06])
def test_brix_against_the_short_rule(sg: float) -> None:
    """Up to 15 Brix the short rule 260.4 - 260.4/SG agrees to 0.025 (encyclopaedia article, Brix).

    The article gives it 0.02 up to about 20 Plato; at SG 1.080 the two differ by 0.04, so that is left out.
    """
    assert from_canonical(sg, "Brix", "gravity") == pytest.approx(260.4 - 260.4 / sg, abs=0.025)


def test_oechsle_counts_thousandths_above_water() -> None:
    """A must of 1.090 has 90 Oechsle (wein.plus encyclopaedia, must-weight units)."""
    assert from_canonical(1.090, "Oechsle", "gravity") == pytest.approx(90)


@given(st.floats(0.951, 1.198), st.floats(0.0005, 0.001))
def test_more_sugar_is_never_a_lower_brix(sg: float, more: float) -> None:
    """Brix rises with gravity all the way, so that a reading has one meaning."""
    assert from_canonical(sg + more, "Brix", "gravity") > from_canonical(sg, "Brix", "gravity")


def test_trace_and_dose_differ_by_a_thousand() -> None:
    """The same text in g/L is a thousand times the number in mg/L."""
    assert to_canonical(0.5, "g/L", "trace") == pytest.approx(500)
    assert to_canonical(500, "ppm", "dose") == pytest.approx(0.5)


def test_unknown_names_are_answered_with_the_known_ones() -> None:
    """A wrong name of a quantity or unit is refused with the names that exist."""
    with pytest.raises(UnknownQuantity, match=r"'colour'.*temperature"):
        units_of("colour")
    with pytest.raises(UnknownUnit, match=r"'furlong'.*cm, mm, in"):
        to_canonical(1, "furlong", "length")


@pytest.mark.parametrize(
    ("value", "unit", "quantity"),
    [
        (-1, "L", "volume"),
        (-300, "C", "temperature"),
        (15, "pH", "ph"),
        (101, "% vol", "alcohol"),
        (1.5, "SG", "gravity"),
        (90, "Brix", "gravity"),
        (1e300, "Brix", "gravity"),
        (math.nan, "g", "mass"),
        (math.inf, "g", "mass"),
    ],
)
def test_what_cannot_exist_is_refused(value: float, unit: str, quantity: str) -> None:
    """Negative volumes, pH 15 and the like never reach a calculation."""
    with pytest.raises(OutOfScale):
        to_canonical(value, unit, quantity)
