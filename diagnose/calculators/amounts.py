"""Numbers with their unit in the type, and the one way to refuse a number that cannot be right."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Annotated, TypeAlias

Litres: TypeAlias = Annotated[float, "L"]
Millilitres: TypeAlias = Annotated[float, "mL"]
Grams: TypeAlias = Annotated[float, "g"]
Kilograms: TypeAlias = Annotated[float, "kg"]
GramsPerLitre: TypeAlias = Annotated[float, "g/L"]
GramsPerLitrePerDay: TypeAlias = Annotated[float, "g/(L day)"]
MilligramsPerLitre: TypeAlias = Annotated[float, "mg/L"]
GramsPerHectolitre: TypeAlias = Annotated[float, "g/hL"]
PoundsPer1000Gallons: TypeAlias = Annotated[float, "lb/1000 US gal"]
GramsPerMillilitre: TypeAlias = Annotated[float, "g/mL"]
MillilitresPerGram: TypeAlias = Annotated[float, "mL/g"]
Percent: TypeAlias = Annotated[float, "%"]
PartsPerMillionOfAir: TypeAlias = Annotated[float, "ppm of air"]
MilligramsPerGram: TypeAlias = Annotated[float, "mg/g"]
PercentAlcohol: TypeAlias = Annotated[float, "% vol"]
PercentAlcoholPerBrix: TypeAlias = Annotated[float, "% vol per Brix"]
GramsPerLitrePerPercentAlcohol: TypeAlias = Annotated[float, "g/L per % vol"]
PercentByMass: TypeAlias = Annotated[float, "% mass"]
PH: TypeAlias = Annotated[float, "pH"]
PHDifference: TypeAlias = Annotated[float, "pH difference"]
PHPerGramPerLitre: TypeAlias = Annotated[float, "pH per g/L"]
Celsius: TypeAlias = Annotated[float, "C"]
CelsiusDifference: TypeAlias = Annotated[float, "C difference"]
SpecificGravity: TypeAlias = Annotated[float, "SG"]
GravityPoints: TypeAlias = Annotated[float, "SG points"]
GravityPointsPerDay: TypeAlias = Annotated[float, "SG points/day"]
Brix: TypeAlias = Annotated[float, "Brix"]
Plato: TypeAlias = Annotated[float, "Plato"]
Oechsle: TypeAlias = Annotated[float, "Oe"]
KlosterneuburgDegrees: TypeAlias = Annotated[float, "KMW"]
Baume: TypeAlias = Annotated[float, "Be"]
Days: TypeAlias = Annotated[float, "days"]
Hours: TypeAlias = Annotated[float, "hours"]
Minutes: TypeAlias = Annotated[float, "minutes"]
Bar: TypeAlias = Annotated[float, "bar"]
GramsPerLitrePerBar: TypeAlias = Annotated[float, "g/L per bar"]
Centimetres: TypeAlias = Annotated[float, "cm"]
SquareMetres: TypeAlias = Annotated[float, "m2"]
CubicMetres: TypeAlias = Annotated[float, "m3"]
CubicMetresPerHour: TypeAlias = Annotated[float, "m3/h"]
LitresPerHour: TypeAlias = Annotated[float, "L/h"]
LitresPerLitre: TypeAlias = Annotated[float, "L/L"]
LitresPerKilogram: TypeAlias = Annotated[float, "L/kg"]
Kilojoules: TypeAlias = Annotated[float, "kJ"]
KilojoulesPerLitre: TypeAlias = Annotated[float, "kJ/L"]
KilojoulesPerMole: TypeAlias = Annotated[float, "kJ/mol"]
KilojoulesPerKilogramKelvin: TypeAlias = Annotated[float, "kJ/(kg K)"]
KilojoulesPerLitreKelvin: TypeAlias = Annotated[float, "kJ/(L K)"]
Watts: TypeAlias = Annotated[float, "W"]
WattsPerKelvin: TypeAlias = Annotated[float, "W/K"]
WattsPerSquareMetreKelvin: TypeAlias = Annotated[float, "W/(m2 K)"]
MilliequivalentsPerLitre: TypeAlias = Annotated[float, "meq/L"]
MilliequivalentsPerLitrePerPH: TypeAlias = Annotated[float, "meq/L per pH"]
MolesPerLitre: TypeAlias = Annotated[float, "mol/L"]
MicrosiemensPerCentimetre: TypeAlias = Annotated[float, "uS/cm"]
KilogramsPerCubicMetre: TypeAlias = Annotated[float, "kg/m3"]
Readings: TypeAlias = Annotated[Sequence[tuple[float, float]], "days and SG"]
TurbidityUnits: TypeAlias = Annotated[float, "NTU"]
AnyUnit: TypeAlias = Annotated[float, "same unit throughout"]
PlainNumber: TypeAlias = Annotated[float, "plain number"]
YesNo: TypeAlias = Annotated[float, "(1 yes, 0 no)"]


class OutOfRange(ValueError):
    """A number that a sum cannot use; the message names it, the allowed range and the mend."""


def within(
    what: str,
    value: float,
    unit: str,
    *,
    at_least: float | None = None,
    more_than: float | None = None,
    at_most: float | None = None,
    mend: str,
) -> float:
    """The value, if it lies in the range.

    Raises `OutOfRange` otherwise, and for a value that is no number.
    """
    low = at_least is None or value >= at_least
    above = more_than is None or value > more_than
    high = at_most is None or value <= at_most
    if low and above and high and abs(value) < float("inf"):
        return value
    shown = f"{value:g} {unit}".rstrip()
    raise OutOfRange(f"The {what} is {shown}; it must be {_range(at_least, more_than, at_most)}. {mend}")


def _range(at_least: float | None, more_than: float | None, at_most: float | None) -> str:
    bounds = (("at least", at_least), ("more than", more_than), ("at most", at_most))
    named = [f"{word} {bound:g}" for word, bound in bounds if bound is not None]
    return " and ".join(named) or "an ordinary number"


def dose(value: float) -> float:
    """A dose of a fining agent in g per litre of wine: above 0, at most 20."""
    return within("dose", value, "g/L", more_than=0, at_most=20, mend="Check the unit: 50 g/hL is 0.5 g/L.")


def wine(value: float) -> float:
    """A volume of wine in litres: above 0."""
    return within("volume of wine", value, "L", more_than=0, mend="Give the wine in the vessel in litres.")


def strength(value: float) -> float:
    """The strength of a stock or slurry in g per litre: above 0, at most 1000."""
    return within(
        "strength of the stock",
        value,
        "g/L",
        more_than=0,
        at_most=1000,
        mend="A 5 % slurry, 50 g made up to one litre, is 50 g/L.",
    )
