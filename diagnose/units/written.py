"""Reading what people write: `38 F`, `1 1/2 gal`, `0,5 g/L`, `about 20`.

A text is refused with a sentence that names it, says what is expected and gives an example. Nothing is
guessed where a wrong guess could hurt: `1,000` may be a thousand or one, so it is asked again. Of a gravity, a pH or
an alcohol no thousands exist, so there `1,050` can only be 1.050.
"""

from __future__ import annotations

import math
import re
import unicodedata
from typing import NoReturn

from .table import (
    TABLE,
    OutOfScale,
    Quantity,
    System,
    Unit,
    UnknownUnit,
    find,
    in_range,
    spelling,
    usual_unit,
)

_LONGEST = 60
_ABOUT = re.compile(r"^(?:about|approximately|approx|around|roughly|circa|ca|~|≈)(?![a-z])[.:]?\s*", re.I)
_MINUS = re.compile(r"^(?:minus|negative)\s+", re.I)
_LABEL = {
    "gravity": re.compile(r"^(?:s\.?g\.?|specific gravity|gravity)\s*[:=]?\s*", re.I),
    "ph": re.compile(r"^ph\s*[:=]?\s*", re.I),
}
_NUMBER = re.compile(
    r"""(?P<sign>[+-]?)\s*
    (?: (?:(?P<whole>\d+)[ -]+)? (?P<top>\d+)\s*/\s*(?P<bottom>\d+) (?![\d.,])
      | (?P<plain>\d{1,3}(?:[ ]\d{3})+(?!\d) | \d[\d.,]* | [.,]\d+) (?P<power>e[+-]?\d+)?
    )\s*(?P<rest>.*)$""",
    re.I | re.X,
)
_RANGE = re.compile(r"^(?:[^\d\s]*\s*)?(?:-|to|\.\.|or)\s*[+-]?\d")
_DEGREES_ALONE = {"°", "º", "deg", "degree", "degrees"}


class NotAQuantity(ValueError):
    """The text cannot be read as this quantity; the message says why and what to write."""


def read_quantity(text: str, quantity: str, prefer: System) -> float:
    """The value of a written quantity, in its canonical unit.

    A number without a unit takes the usual unit of the preferred system: C or F, L or gal, bar or psi, cm
    or in. Masses (g), doses (g/L), traces (mg/L), time (days) and gravity (SG) are the same in both.
    A gravity may be written without its point: 1012 is 1.012.

    Raises `NotAQuantity`, or `UnknownQuantity` for a quantity that does not exist.
    """
    wanted = find(quantity)
    plain = _plain(text, wanted)
    match = _NUMBER.match(plain)
    if match is None:
        what = "is not a number" if wanted.name == "count" else f"holds no number for {wanted.phrase}"
        _refuse(text, what, wanted)
    number = _number(match, text, wanted)
    rest = match["rest"].strip()
    if _RANGE.match(rest):
        _refuse(text, "is a range; give the one number that is nearest", wanted)
    unit = _unit(rest, text, wanted, prefer)
    number = _with_point(number, rest, unit, text, wanted)
    try:
        return in_range(unit.to_canonical(number), wanted)
    except OutOfScale as why:
        _refuse(text, f"cannot be right: {why}", wanted)


def _plain(text: str, wanted: Quantity) -> str:
    """The text in plain signs: ordinary digits, minus, spaces and fractions, no `about`, no label."""
    if len(text) > _LONGEST:
        _refuse(text, "is too long to be one number and a unit", wanted)
    signs = "".join(_plain_sign(sign) for sign in text)
    signs = " ".join(signs.split())
    signs = _ABOUT.sub("", signs)
    if wanted.name in _LABEL:
        signs = _LABEL[wanted.name].sub("", signs)
    signs = _MINUS.sub("-", _ABOUT.sub("", signs))
    if not signs:
        _refuse(text, f"is empty; {wanted.phrase} is expected", wanted)
    return signs


def _plain_sign(sign: str) -> str:
    if sign in "−–—‒":
        return "-"
    if sign in "⁄∕":
        return "/"
    name = unicodedata.name(sign, "")
    if name.startswith("VULGAR FRACTION") and unicodedata.normalize("NFKC", sign)[-1].isdigit():
        return " " + unicodedata.normalize("NFKC", sign).replace("⁄", "/")
    if unicodedata.category(sign) == "Nd":
        return str(unicodedata.decimal(sign))
    return sign


def _number(match: re.Match[str], text: str, wanted: Quantity) -> float:
    if match["plain"] is None:
        bottom = float(match["bottom"])
        if bottom == 0:
            _refuse(text, "divides by nothing", wanted)
        value = float(match["whole"] or 0) + float(match["top"]) / bottom
    else:
        digits = _with_decimal_point(match["plain"].replace(" ", ""), text, wanted)
        try:
            value = float(digits + (match["power"] or ""))
        except ValueError:
            _refuse(text, "holds no number that can be read", wanted)
    if not math.isfinite(value):
        _refuse(text, "is too large a number", wanted)
    return -value if match["sign"] == "-" else value


def _with_decimal_point(digits: str, text: str, wanted: Quantity) -> str:
    """Digits with a point for the decimals and no marks between thousands."""
    if re.fullmatch(r"\d{1,3}(,\d{3})+\.\d*|\d{1,3}(,\d{3}){2,}", digits):
        return digits.replace(",", "")
    if re.fullmatch(r"\d{1,3}(\.\d{3})+,\d*|\d{1,3}(\.\d{3}){2,}", digits):
        return digits.replace(".", "").replace(",", ".")
    has_thousands = wanted.highest is None or wanted.highest >= 1000
    if re.fullmatch(r"[1-9]\d{0,2},\d{3}", digits) and has_thousands:
        whole, part = digits.split(",")
        _refuse(text, f"may mean {whole}{part} or {whole}.{part}; write it without the comma", wanted)
    return digits.replace(",", ".")


def _unit(rest: str, text: str, wanted: Quantity, prefer: System) -> Unit:
    usual = wanted.unit(usual_unit(wanted.name, prefer))
    if not rest or (rest.casefold() in _DEGREES_ALONE and wanted.name == "temperature"):
        return usual
    try:
        return wanted.unit(rest)
    except UnknownUnit:
        _refuse(text, _what_is_wrong(rest, wanted), wanted)


def _what_is_wrong(rest: str, wanted: Quantity) -> str:
    other = _whose_unit(rest)
    if other is not None:
        return f"is {other.phrase}, and {wanted.phrase} is expected"
    known = ", ".join(unit.shown for unit in wanted.units if unit.shown)
    if not known:
        return "has words after the number; a plain number is expected"
    return f"has no unit of {wanted.name} after the number (known: {known})"


def _whose_unit(rest: str) -> Quantity | None:
    key = spelling(rest)
    owners = (
        quantity for quantity in TABLE.values() for unit in quantity.units if key and key in unit.spellings
    )
    return next(owners, None)


def _with_point(number: float, rest: str, unit: Unit, text: str, wanted: Quantity) -> float:
    """A gravity of 1012 is 1.012; a bare 24 could be on three scales, so the scale is asked for."""
    if unit.name != "SG":
        return number
    if 900 <= number <= 1200:
        return number / 1000
    if not rest and number > 1.2:
        _refuse(text, "needs its scale (Brix, Oechsle), or the gravity with its point", wanted)
    return number


def _refuse(text: str, why: str, wanted: Quantity) -> NoReturn:
    short = text if len(text) <= 40 else text[:37] + "..."
    seen = "".join(sign if sign.isprintable() else "?" for sign in short)
    raise NotAQuantity(f"'{seen}' {why}. Write for example {wanted.example}.")


_UNIT = re.compile(r"\s*[^\s,;:!?()\d][^\s,;:!?()]*(?:\s+[^\s,;:!?()\d][^\s,;:!?()]*){0,2}")
_LONGEST_UNIT = 40


def unit_at_start(text: str, quantity: str | None) -> str:
    """The unit that a text begins with, as written, the space before it included; empty if it begins with none.

    With `quantity` None a unit of any quantity counts. A lone letter that is also a word, such as `a`, is no unit.
    """
    match = _UNIT.match(text[:_LONGEST_UNIT])
    said = match[0].rstrip(".") if match else ""
    wanted = [find(quantity)] if quantity else list(TABLE.values())
    while said.strip():
        key = spelling(said)
        if any(key and key in unit.spellings for one in wanted for unit in one.units):
            return said
        if quantity in (None, "temperature") and said.strip().casefold() in _DEGREES_ALONE:
            return said
        cut = max(said.rstrip().rfind(" "), said.rstrip().rfind("\n"), said.rstrip().rfind("\t"))
        said = said[:cut].rstrip() if cut > 0 else ""
    return ""
