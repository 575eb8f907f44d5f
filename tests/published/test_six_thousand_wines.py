"""6,497 measured wines against our sums: how near they come, and where they do not.

Data: Cortez et al., Decision Support Systems 47 (2009) 547-553; see data/ATTRIBUTION.md. Density is in g/cm3 at
20 C. Sugar-free extract was not measured; 20 g/L for white and 25 g/L for red wine stand for it, usual figures from
memory, chosen before the comparison and not fitted to it.
"""

from __future__ import annotations

import csv
import statistics
from collections.abc import Callable, Iterable
from functools import cache
from pathlib import Path

import pytest
from diagnose.calculators.alcohol.extract import density_without_so2, sugar_in_wine, wine_density
from diagnose.calculators.densities import WATER_20_KG_PER_M3
from diagnose.calculators.so2.molecular import molecular_so2, molecular_so2_plain

DATA = Path(__file__).parent / "data" / "vinho_verde_wine_quality.csv"
USUAL_EXTRACT = {"white": 20.0, "red": 25.0}
CELLAR_C = 20.0

Wine = dict[str, float]
Row = tuple[str, int, float, float, float, str]


@cache
def wines(colour: str) -> tuple[Wine, ...]:
    """The wines of one colour, each with its measured numbers."""
    with DATA.open(encoding="utf-8", newline="") as file:
        rows = [row for row in csv.DictReader(file) if row["color"] == colour]
    return tuple({key: float(value) for key, value in row.items() if key != "color"} for row in rows)


def measured_density(wine: Wine) -> float:
    """Density in kg/m3, without the sulfur dioxide, as extract is worked out from it."""
    return density_without_so2(1000 * wine["density"], wine["total_sulfur_dioxide"])


def density_off(wine: Wine, extract: float) -> float:
    """Density worked out from alcohol, sugar and usual extract, less the measured one, kg/m3."""
    return wine_density(wine["alcohol"], wine["residual_sugar"], extract) - measured_density(wine)


def sugar_off(wine: Wine, extract: float) -> float:
    """Sugar worked out from density, alcohol and usual extract, less the measured one, g/L."""
    gravity = measured_density(wine) / WATER_20_KG_PER_M3
    return sugar_in_wine(gravity, wine["alcohol"], extract) - wine["residual_sugar"]


def extract_found(wine: Wine) -> float:
    """Sugar-free extract that density, alcohol and sugar tell together, g/L."""
    return sugar_off(wine, 0.0)


def molecular_apart(wine: Wine) -> float:
    """Molecular SO2 by the OIV constant less that by the plain one, mg/L."""
    oiv = molecular_so2(wine["free_sulfur_dioxide"], wine["pH"], wine["alcohol"], CELLAR_C)
    return oiv - molecular_so2_plain(wine["free_sulfur_dioxide"], wine["pH"])


def spread(values: Iterable[float]) -> tuple[int, float, float, float]:
    """How many, the median, the 5th and the 95th percentile."""
    known = list(values)
    twentieths = statistics.quantiles(known, n=20, method="inclusive")
    return len(known), statistics.median(known), twentieths[0], twentieths[-1]


def of_usual(colour: str, sum_: Callable[[Wine, float], float]) -> tuple[int, float, float, float]:
    """The spread of a difference, with the usual extract of the colour."""
    return spread(sum_(wine, USUAL_EXTRACT[colour]) for wine in wines(colour))


_WHY = {
    "white": "20 g/L of sugar-free extract was supposed; the wines tell 19 in the middle, 16 to 23",
    "red": "25 g/L of sugar-free extract was supposed; the wines tell 29 in the middle, 25 to 37",
}


def agreement() -> list[Row]:
    """Rows for the page: what is compared, wines, median difference, 5th and 95th percentile, why."""
    rows: list[Row] = []
    for colour, why in _WHY.items():
        rows.append(
            (
                f"density of {colour} wine, worked out less measured, kg/m3",
                *of_usual(colour, density_off),
                why,
            )
        )
        rows.append(
            (
                f"sugar in {colour} wine by hydrometer and alcohol less measured, g/L",
                *of_usual(colour, sugar_off),
                why,
            )
        )
        note = "not a measurement but two published constants side by side: molecular SO2 was not measured"
        apart = spread(molecular_apart(wine) for wine in wines(colour))
        rows.append((f"molecular SO2 in {colour} wine, OIV constant less plain, mg/L", *apart, note))
    return rows


def test_all_the_wines_are_there() -> None:
    """The copy holds the 4,898 white and 1,599 red wines of the paper."""
    assert (len(wines("white")), len(wines("red"))) == (4898, 1599)


def test_the_density_of_white_wine_comes_out_near_the_measured_one() -> None:
    """From alcohol, sugar and a usual extract, half the whites lie within 0.5 kg/m3 of +0.5, 19 of 20 within 2."""
    _, median, low, high = of_usual("white", density_off)
    assert median == pytest.approx(0.5, abs=0.05)
    assert (low, high) == pytest.approx((-1.26, 1.55), abs=0.05)
    near = [abs(density_off(wine, 20.0)) < 2 for wine in wines("white")]
    assert statistics.mean(near) == pytest.approx(0.98, abs=0.005)


def test_the_density_of_red_wine_comes_out_too_light() -> None:
    """These reds hold more extract than the usual 25 g/L, so the sum is 1.6 kg/m3 light and scatters more."""
    _, median, low, high = of_usual("red", density_off)
    assert median == pytest.approx(-1.64, abs=0.05)
    assert (low, high) == pytest.approx((-4.58, 0.14), abs=0.05)


def test_the_rest_is_extract() -> None:
    """What is left over behaves as extract does: wines with more fixed acid have more of it, reds more than whites."""
    for colour, least in (("white", 0.45), ("red", 0.7)):
        found = [extract_found(wine) for wine in wines(colour)]
        acid = [wine["fixed_acidity"] for wine in wines(colour)]
        assert statistics.correlation(found, acid) > least
    assert spread(map(extract_found, wines("white")))[1:] == pytest.approx((18.7, 16.0, 23.3), abs=0.1)
    assert spread(map(extract_found, wines("red")))[1:] == pytest.approx((29.2, 24.6, 36.9), abs=0.1)


def test_the_leftover_hardly_depends_on_alcohol_or_sugar_in_whites() -> None:
    """Were the weight of alcohol or sugar wrong, the leftover would follow them; it does not."""
    found = [extract_found(wine) for wine in wines("white")]
    for name in ("alcohol", "residual_sugar"):
        assert abs(statistics.correlation(found, [wine[name] for wine in wines("white")])) < 0.15


def test_one_line_of_the_data_cannot_be() -> None:
    """The sweetest wine weighs 57 g/L of sugar too much for what is given: its line is wrong, not the sum."""
    sweetest = max(wines("white"), key=lambda wine: wine["residual_sugar"])
    assert sweetest["residual_sugar"] == 65.8
    assert extract_found(sweetest) > 80
    others = [extract_found(wine) for wine in wines("white") if wine is not sweetest]
    assert max(others) < 35


def test_the_hydrometer_cannot_tell_dry_from_off_dry() -> None:
    """With the extract only guessed, the sugar of white wine comes out within -4 to +3.3 g/L in nine of ten."""
    _, median, low, high = of_usual("white", sugar_off)
    assert (median, low, high) == pytest.approx((-1.3, -4.0, 3.3), abs=0.1)
    assert of_usual("red", sugar_off)[1:] == pytest.approx((4.2, -0.4, 11.9), abs=0.1)


@pytest.mark.parametrize("colour", ["white", "red"])
def test_molecular_so2_of_every_wine_lies_between_nothing_and_the_free(colour: str) -> None:
    """No wine of the trade is refused, and the molecular part is always a small part of the free."""
    for wine in wines(colour):
        free = wine["free_sulfur_dioxide"]
        found = molecular_so2(free, wine["pH"], wine["alcohol"], CELLAR_C)
        assert 0 < found < 0.2 * free


def test_the_two_constants_are_a_quarter_apart() -> None:
    """The OIV constant finds 17 to 54 % more molecular SO2 than the plain one in the same wine."""
    ratios = [
        molecular_so2(wine["free_sulfur_dioxide"], wine["pH"], wine["alcohol"], CELLAR_C)
        / molecular_so2_plain(wine["free_sulfur_dioxide"], wine["pH"])
        for colour in ("white", "red")
        for wine in wines(colour)
    ]
    assert min(ratios) == pytest.approx(1.16, abs=0.01)
    assert max(ratios) == pytest.approx(1.54, abs=0.01)
    assert statistics.median(ratios) == pytest.approx(1.28, abs=0.01)
    apart = spread(molecular_apart(wine) for wine in wines("white"))
    assert apart[1:] == pytest.approx((0.38, 0.12, 0.85), abs=0.01)
