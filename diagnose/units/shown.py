"""Showing a value to a person at the tank: the unit they use, and no more digits than they can act on."""

from __future__ import annotations

import math
from dataclasses import dataclass

from .table import System, find, from_canonical, usual_unit

_DIGITS = 3


@dataclass(frozen=True)
class _Style:
    """How to print a quantity while its canonical value is below a bound."""

    unit: str
    below: float = math.inf
    decimals: int | None = None
    """Decimals instead of significant digits, where the instrument has a fixed number of them."""
    keep_zeros: bool = False


# Below a litre and below a kilogram both sides of the ocean read mL and g: glassware and scales do.
_STYLES: dict[tuple[str, System], tuple[_Style, ...]] = {
    ("temperature", "metric"): (_Style("C", decimals=1),),
    ("temperature", "us"): (_Style("F", decimals=0),),
    ("volume", "metric"): (_Style("mL", below=1), _Style("L")),
    ("volume", "us"): (_Style("mL", below=1), _Style("gal")),
    ("mass", "metric"): (_Style("mg", below=0.01), _Style("g", below=1000), _Style("kg")),
    ("mass", "us"): (_Style("mg", below=0.01), _Style("g", below=1000), _Style("lb")),
    ("dose", "metric"): (_Style("mg/L", below=0.01), _Style("g/L")),
    ("dose", "us"): (_Style("mg/L", below=0.01), _Style("g/L")),
    ("gravity", "metric"): (_Style("SG", decimals=3, keep_zeros=True),),
    ("gravity", "us"): (_Style("SG", decimals=3, keep_zeros=True),),
    ("ph", "metric"): (_Style("pH", decimals=2, keep_zeros=True),),
    ("ph", "us"): (_Style("pH", decimals=2, keep_zeros=True),),
    ("alcohol", "metric"): (_Style("% vol", decimals=1),),
    ("alcohol", "us"): (_Style("% vol", decimals=1),),
    ("duration", "metric"): (
        _Style("minutes", below=1 / 24),
        _Style("hours", below=2),
        _Style("days", below=60),
        _Style("months", below=730),
        _Style("years"),
    ),
}
_STYLES["duration", "us"] = _STYLES["duration", "metric"]
_NAMELESS = {"SG", "pH", ""}


def show_quantity(value: float, quantity: str, system: System, digits: int | None = None) -> str:
    """A canonical value as text with its unit.

    `digits` are significant digits (3 if not given); for temperature, gravity, pH and alcohol they are
    decimals. Digits left of the point are never rounded away.

    Raises `UnknownQuantity`, or `OutOfScale` for a value that cannot exist.
    """
    style = _style(value, quantity, system)
    unit = find(quantity).unit(style.unit)
    number = from_canonical(value, style.unit, quantity)
    text = _decimal(number, style, digits)
    return text if style.unit in _NAMELESS else f"{text} {_name(unit.shown, text)}"


def _style(value: float, quantity: str, system: System) -> _Style:
    usual = usual_unit(quantity, system)
    styles = _STYLES.get((quantity, system), (_Style(usual),))
    # 0.9996 L is shown as a litre, so the bound is asked of the number as it will be read.
    seen = float(f"{value:.{_DIGITS}g}") if value else 0.0
    if seen == 0:
        return next(style for style in styles if style.unit == usual)
    return next(style for style in styles if seen < style.below or style is styles[-1])


def _decimal(number: float, style: _Style, digits: int | None) -> str:
    if style.decimals is not None:
        places = style.decimals if digits is None else digits
    else:
        places = _places(number, _DIGITS if digits is None else digits)
    text = f"{number:.{max(places, 0)}f}"
    if "." in text and not style.keep_zeros:
        text = text.rstrip("0").rstrip(".")
    return "0" if text == "-0" else text


def _places(number: float, digits: int) -> int:
    if number == 0:
        return 0
    rounded = float(f"{number:.{max(digits - 1, 0)}e}")
    return digits - 1 - math.floor(math.log10(abs(rounded)))


def _name(shown: str, text: str) -> str:
    """`1 day`, not `1 days`."""
    return shown[:-1] if text == "1" and shown in {"days", "hours", "minutes", "months", "years"} else shown
