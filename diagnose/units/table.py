"""The quantities a cellar measures and the units it writes them in.

Every quantity has one canonical unit; all rules and calculators use that one. The factors are the legal
definitions of the pound, the inch and the US gallon. A plain `gal` is the US gallon; `UK gal` is the other.
"""

from __future__ import annotations

import math
import re
import unicodedata
from collections.abc import Callable, Iterable
from dataclasses import dataclass
from types import MappingProxyType
from typing import Literal

from diagnose.calculators import densities

System = Literal["metric", "us"]
"""What a bare number means, and what is shown: litres and °C, or gallons and °F."""


class UnknownQuantity(LookupError):
    """No quantity has this name."""


class UnknownUnit(LookupError):
    """The quantity has no unit of this name."""


class OutOfScale(ValueError):
    """The value lies where the quantity or its scale has no meaning."""


@dataclass(frozen=True)
class Unit:
    """One unit: its plain name, how it is printed, and the way to and from the canonical unit."""

    name: str
    shown: str
    to_canonical: Callable[[float], float]
    from_canonical: Callable[[float], float]
    spellings: frozenset[str]


@dataclass(frozen=True)
class Quantity:
    """One measurable thing; the first unit is the canonical one."""

    name: str
    phrase: str
    units: tuple[Unit, ...]
    metric: str
    us: str
    example: str
    lowest: float | None = None
    highest: float | None = None

    def unit(self, name: str) -> Unit:
        """The unit of this name or spelling."""
        wanted = spelling(name)
        for unit in self.units:
            if unit.name == name or wanted in unit.spellings:
                return unit
        known = ", ".join(unit.name for unit in self.units)
        raise UnknownUnit(f"'{name}' is not a unit of {self.name}; use one of: {known}")


def spelling(text: str) -> str:
    """A unit as written, with case, spaces, dots and degree marks taken away, for looking it up."""
    plain = unicodedata.normalize("NFKC", text).casefold()
    plain = re.sub(r"\s+per\s+", "/", plain)
    plain = re.sub(r"[\s.,°º]", "", plain)
    return re.sub(r"^deg(?:rees?)?(?=.)", "", plain)


def _unit(
    name: str, scale: float, written: Iterable[str] = (), *, shown: str = "", offset: float = 0.0
) -> Unit:
    """A unit on a straight line: canonical = (value + offset) x scale."""
    return Unit(
        name,
        shown or name,
        lambda value: (value + offset) * scale,
        lambda value: value / scale - offset,
        frozenset(spelling(text) for text in (name, *written)),
    )


def _curve(name: str, into: Callable[[float], float], back: Callable[[float], float], *written: str) -> Unit:
    """A unit on a scale that is not a straight line."""
    return Unit(name, name, into, back, frozenset(spelling(text) for text in (name, *written)))


_POUND_G = 453.59237
_GALLON_L = 3.785411784
_UK_GALLON_L = 4.54609
_PSI_BAR = 0.06894757293168

_VOLUME = (
    _unit("L", 1, ("liter", "liters", "litre", "litres", "ltr")),
    _unit("mL", 0.001, ("milliliter", "milliliters", "millilitre", "millilitres", "cc", "cm3")),
    _unit("hL", 100, ("hectoliter", "hectoliters", "hectolitre", "hectolitres")),
    _unit("gal", _GALLON_L, ("gals", "gallon", "gallons", "US gal", "US gallon", "US gallons", "gal US")),
    _unit("UK gal", _UK_GALLON_L, ("imp gal", "imperial gallon", "imperial gallons", "UK gallons", "gal UK")),
    _unit("qt", _GALLON_L / 4, ("qts", "quart", "quarts", "US qt")),
    _unit("pt", _GALLON_L / 8, ("pts", "pint", "pints", "US pt")),
    _unit("fl oz", _GALLON_L / 128, ("fluid ounce", "fluid ounces", "fl ozs")),
)
_MASS = (
    _unit("g", 1, ("gm", "gms", "gr", "gram", "grams", "gramme", "grammes")),
    _unit("mg", 0.001, ("milligram", "milligrams")),
    _unit("kg", 1000, ("kgs", "kilo", "kilos", "kilogram", "kilograms")),
    _unit("lb", _POUND_G, ("lbs", "pound", "pounds")),
    _unit("oz", _POUND_G / 16, ("ozs", "ounce", "ounces")),
)


def _per(mass: str, volume: str, count: int = 1) -> Unit:
    """Grams per litre from a mass over a volume, or over several of them, as in lb/1000 gal."""
    above = next(unit for unit in _MASS if unit.name == mass)
    below = next(unit for unit in _VOLUME if unit.name == volume)
    amount = "" if count == 1 else f"{count}"
    return Unit(
        f"{mass}/{amount + ' ' if amount else ''}{volume}",
        f"{mass}/{amount + ' ' if amount else ''}{volume}",
        lambda value: above.to_canonical(value) / (count * below.to_canonical(1)),
        lambda value: above.from_canonical(value * count * below.to_canonical(1)),
        frozenset(f"{top}/{amount}{bottom}" for top in above.spellings for bottom in below.spellings),
    )


def _thousandth(unit: Unit) -> Unit:
    """The same unit counted in mg/L instead of g/L."""
    return Unit(
        unit.name,
        unit.shown,
        lambda value: unit.to_canonical(value) * 1000,
        lambda value: unit.from_canonical(value / 1000),
        unit.spellings,
    )


# Wine weighs nearly one kilogram a litre, so the trade writes ppm for mg/L.
_CONCENTRATION = (
    _per("g", "L"),
    _per("mg", "L"),
    _unit("ppm", 0.001, ("parts per million",)),
    _per("g", "hL"),
    _per("mg", "mL", 100),
    _per("g", "mL", 100),
    _per("g", "gal"),
    _per("oz", "gal"),
    _per("oz", "gal", 1000),
    _per("lb", "gal", 1000),
)
_TRACE = tuple(_thousandth(_CONCENTRATION[at]) for at in (1, 0, *range(2, len(_CONCENTRATION))))

_ALL = (
    Quantity(
        "temperature",
        "a temperature",
        (
            _unit("C", 1, ("celsius", "centigrade"), shown="°C"),
            _unit("F", 5 / 9, ("fahrenheit",), shown="°F", offset=-32),
            _unit("K", 1, ("kelvin", "kelvins"), offset=-273.15),
        ),
        "C",
        "F",
        "18 C or 64 F",
        lowest=-273.15,
    ),
    Quantity("volume", "a volume", _VOLUME, "L", "gal", "23 L or 6 gal", lowest=0),
    # Additives are weighed in grams on both sides of the ocean: an ounce is too coarse for a small cellar.
    Quantity("mass", "a mass", _MASS, "g", "g", "12 g or 0.5 oz", lowest=0),
    Quantity("dose", "a dose", _CONCENTRATION, "g/L", "g/L", "0.5 g/L or 50 g/hL", lowest=0),
    Quantity("trace", "a concentration", _TRACE, "mg/L", "mg/L", "30 mg/L or 30 ppm", lowest=0),
    Quantity(
        "gravity",
        "a gravity",
        (
            _unit("SG", 1, ("specific gravity",)),
            # Brix, Plato and Balling all count sugar in a hundred parts by weight; at the hydrometer they
            # read alike to about 0.02.
            _curve("Brix", densities.sg_from_brix, densities.brix_from_sg, "Bx", "brix"),
            _curve("Plato", densities.sg_from_brix, densities.brix_from_sg, "P", "balling"),
            _curve("Oechsle", densities.sg_from_oechsle, densities.oechsle_from_sg, "Oe", "Öchsle"),
        ),
        "SG",
        "SG",
        "1.012 or 24 Brix",
        lowest=densities.SG_RANGE[0],
        highest=densities.SG_RANGE[1],
    ),
    Quantity("ph", "a pH", (_unit("pH", 1),), "pH", "pH", "3.45", lowest=0, highest=14),
    Quantity("percent", "a percentage", (_unit("%", 1, ("percent", "per cent", "pct")),), "%", "%", "5 %"),
    Quantity(
        "alcohol",
        "an alcohol content",
        (_unit("% vol", 1, ("%", "vol%", "% v/v", "% abv", "abv", "percent", "% by volume", "vol")),),
        "% vol",
        "% vol",
        "12.5 % vol",
        lowest=0,
        highest=100,
    ),
    # No lowest: a rise in turbidity is written in the same unit and may come out a little below nothing.
    Quantity("turbidity", "a turbidity", (_unit("NTU", 1, ("FNU",)),), "NTU", "NTU", "1.5 NTU"),
    Quantity(
        "duration",
        "a length of time",
        (
            _unit("days", 1, ("d", "day")),
            _unit("minutes", 1 / 1440, ("min", "mins", "minute")),
            _unit("hours", 1 / 24, ("h", "hr", "hrs", "hour")),
            _unit("weeks", 7, ("w", "wk", "wks", "week")),
            _unit("months", 30.44, ("mo", "month")),
            _unit("years", 365.25, ("y", "yr", "yrs", "year")),
        ),
        "days",
        "days",
        "10 days or 2 weeks",
        lowest=0,
    ),
    Quantity(
        "pore_size",
        "a pore size",
        (_unit("um", 1, ("µm", "micron", "microns", "micrometre", "micrometer", "mic"), shown="µm"),),
        "um",
        "um",
        "0.45 um",
        lowest=0,
    ),
    Quantity(
        "pressure",
        "a pressure",
        (
            _unit("bar", 1, ("bars",)),
            _unit("psi", _PSI_BAR, ("lb/in2", "psig")),
            _unit("kPa", 0.01, ("kilopascal", "kilopascals")),
        ),
        "bar",
        "psi",
        "1.5 bar or 22 psi",
    ),
    Quantity("count", "a plain number", (_unit("", 1),), "", "", "3"),
    Quantity(
        "length",
        "a length",
        (
            _unit("cm", 1, ("centimetre", "centimetres", "centimeter", "centimeters")),
            _unit("mm", 0.1, ("millimetre", "millimetres", "millimeter", "millimeters")),
            _unit("in", 2.54, ("inch", "inches", '"')),
        ),
        "cm",
        "in",
        "5 cm or 2 in",
        lowest=0,
    ),
)
TABLE = MappingProxyType({quantity.name: quantity for quantity in _ALL})


def find(quantity: str) -> Quantity:
    """The quantity of this name.

    Raises `UnknownQuantity` with the names that exist.
    """
    try:
        return TABLE[quantity]
    except KeyError:
        raise UnknownQuantity(f"no quantity is called '{quantity}'; use one of: {', '.join(TABLE)}") from None


def quantities() -> tuple[str, ...]:
    """The names of all quantities."""
    return tuple(TABLE)


def units_of(quantity: str) -> tuple[str, ...]:
    """The plain names of a quantity's units, canonical first."""
    return tuple(unit.name for unit in find(quantity).units)


def canonical_unit(quantity: str) -> str:
    """The unit in which rules and calculators hold this quantity."""
    return find(quantity).units[0].name


def usual_unit(quantity: str, system: System) -> str:
    """The unit a bare number is taken to have."""
    found = find(quantity)
    return found.us if system == "us" else found.metric


def in_range(value: float, quantity: Quantity) -> float:
    """A canonical value, if such a value can exist.

    Raises `OutOfScale` naming the value and the range.
    """
    low, high = quantity.lowest, quantity.highest
    if not math.isfinite(value):
        raise OutOfScale(f"{quantity.phrase} must be an ordinary number, not {value}")
    # Nobody says `14 pH` or `1.2 SG`.
    unit = "" if quantity.units[0].name in ("pH", "SG") else quantity.units[0].name
    # A hair's breadth is allowed, for what rounding does at the very end of a scale.
    if low is not None and value < low - 1e-9:
        raise OutOfScale(f"{quantity.phrase} cannot be below {low:g} {unit}".rstrip())
    if high is not None and value > high + 1e-9:
        raise OutOfScale(f"{quantity.phrase} cannot be above {high:g} {unit}".rstrip())
    return value


def to_canonical(value: float, unit: str, quantity: str) -> float:
    """The value in the canonical unit.

    Raises `UnknownQuantity`, `UnknownUnit`, or `OutOfScale` where no such value can exist.
    """
    found = find(quantity)
    return in_range(found.unit(unit).to_canonical(value), found)


def from_canonical(value: float, unit: str, quantity: str) -> float:
    """A canonical value in another unit of the same quantity.

    Raises `UnknownQuantity`, `UnknownUnit`, or `OutOfScale` where no such value can exist.
    """
    found = find(quantity)
    return found.unit(unit).from_canonical(in_range(value, found))
