"""A refractometer: read warm or cold, and read in wine, where alcohol bends the light as sugar does.

In wine one reading has two unknowns. Alcohol makes the refractometer read too high and the hydrometer too low, so
the two instruments together tell both alcohol and extract. No published form that is fit to cite joins them, so the
sum is built here from printed refractive indices and from Tabarie's relation.
"""

from __future__ import annotations

from dataclasses import dataclass

from . import densities
from .amounts import Brix, Celsius, GramsPerLitre, PercentAlcohol, SpecificGravity, within
from .registry import calculator, worksheet
from .roots import bisect
from .sugar.scales import gravity_in_range

MOST_ALCOHOL = 20.0

_BEYOND = 1e-6
"""So that the last strength allowed lies inside the search, not on its edge."""

_NOISE = 3e-4
"""Refractive index of 0.2 Brix, a line on the usual scale: common practice."""

# Refractive index above that of water for each g/L of sucrose: falls a little as it gets thicker. Fitted to the
# ICUMSA indices for 0 to 30 % sucrose (1.33299 to 1.38115), from memory; meets them to 0.00002.
_SUGAR_BENDS = (1.4293e-4, -1.36e-9)

# The same for each % vol of alcohol, its square and its cube. Fitted to the handbook indices of alcohol in water
# (0 to 20 % by mass, CRC Handbook of Chemistry and Physics), from memory; meets them to 0.00005, 0.04 Brix.
_ALCOHOL_BENDS = (4.36523915e-4, 9.07222681e-6, -1.51276057e-7)

# What a warm or cold prism takes off, in % sugar: d, d x b, d x b^2, d^2, d^2 x b, with d = t - 20. Fitted to the
# table of OIV-MA-AS2-02 below 20 C, and above 20 C to the international table of 1936, from memory; meets both to
# 0.01.
_PRISM = (6.16659929e-2, 6.77985653e-4, -8.14648883e-6, 1.00361303e-3, -1.43412681e-5)


@calculator(
    "corrected_refractometer",
    result="reading at 20 C",
    formula="Brix = brix_reading + correction",
    working=lambda brix_reading, temperature_c: {
        "correction": _prism_correction(brix_reading, temperature_c)
    },
)
def corrected_refractometer(brix_reading: Brix, temperature_c: Celsius) -> Brix:
    """Reading at 20 C of a refractometer without its own temperature correction.

    Range: 0 to 30 Brix, 5 to 30 C; raises `OutOfRange`. Where the instrument corrects by itself, do not do it twice.
    Source: OIV-MA-AS2-02, Table I, 5 to 17 C and 10 to 30 %; below 10 % and above 20 C from memory.
    """
    within("reading", brix_reading, "Brix", at_least=0, at_most=30, mend="Give the Brix on the scale.")
    within("temperature", temperature_c, "C", at_least=5, at_most=30, mend="Bring prism and juice near 20 C.")
    return brix_reading + _prism_correction(brix_reading, temperature_c)


def _prism_correction(brix: float, temperature_c: float) -> float:
    d = temperature_c - 20
    first, by_brix, by_brix2, second, second_by_brix = _PRISM
    return d * (first + by_brix * brix + by_brix2 * brix**2) + d**2 * (second + second_by_brix * brix)


def _bent_by_sugar(extract_g_per_l: float) -> float:
    straight, falling = _SUGAR_BENDS
    return extract_g_per_l * (straight + falling * extract_g_per_l)


def _bent_by_alcohol(alcohol_percent: float) -> float:
    first, square, cube = _ALCOHOL_BENDS
    return alcohol_percent * (first + alcohol_percent * (square + alcohol_percent * cube))


@calculator(
    "refractometer_reading",
    result="what the refractometer shows",
    formula="the Brix whose sugar bends light as alcohol_percent and extract_g_per_l do together",
)
def refractometer_reading(alcohol_percent: PercentAlcohol, extract_g_per_l: GramsPerLitre) -> Brix:
    """Brix that a sugar refractometer shows in a wine of this alcohol and total extract.

    Range: alcohol 0 to 20 % vol, extract 0 to 300 g/L; raises `OutOfRange`. Formula: what alcohol and extract each
    add to the refractive index of water is added up; that extract bends light like sucrose is an assumption.
    Source: refractive indices of sucrose (ICUMSA) and of alcohol (CRC Handbook), from memory.
    """
    within("alcohol", alcohol_percent, "% vol", at_least=0, at_most=MOST_ALCOHOL, mend="Give % vol.")
    within("extract", extract_g_per_l, "g/L", at_least=0, at_most=300, mend="A dry wine has about 20 g/L.")
    bent = _bent_by_alcohol(alcohol_percent) + _bent_by_sugar(extract_g_per_l)
    return _brix_of(bent)


def _brix_of(bent: float) -> float:
    as_sugar = bisect(lambda extract: _bent_by_sugar(extract) - bent, -1.0, 450.0, 1e-9)
    return max(0.0, densities.brix_from_sg(densities.sg_from_extract(as_sugar)))


@calculator(
    "alcohol_with_refractometer",
    result="alcohol",
    formula="the alcohol at which gravity and refractometer_brix tell the same extract",
)
def alcohol_with_refractometer(gravity: SpecificGravity, refractometer_brix: Brix) -> PercentAlcohol:
    """Alcohol of a wine or a working must from a hydrometer and a refractometer, both at 20 C.

    Range: gravity 0.95 to 1.2, refractometer 0 to 35 Brix, and an answer between 0 and 20 % vol; raises `OutOfRange`.
    An error of 0.2 Brix moves the answer by about 0.3 % vol, one of 0.001 SG by about 0.4: read both with care.
    Source: as `refractometer_reading`, with Tabarie's relation (OIV-MA-AS2-03B). An estimate, not for a label.
    """
    gravity_in_range(gravity)
    within("refractometer", refractometer_brix, "Brix", at_least=0, at_most=35, mend="Give its Brix scale.")
    seen = _bent_by_sugar(densities.extract_from_sg(densities.sg_from_brix(refractometer_brix)))

    def too_much(alcohol: float) -> float:
        extract = densities.extract_of_wine(gravity, alcohol)
        return _bent_by_alcohol(alcohol) + _bent_by_sugar(extract) - seen

    # A must without alcohol can read a hair below nothing; that much is the noise of both instruments.
    return 0.0 if 0 < too_much(0.0) < _NOISE else bisect(too_much, 0.0, MOST_ALCOHOL + _BEYOND, 1e-9)


@calculator(
    "extract_with_refractometer",
    result="total extract",
    formula="the extract of the gravity without the alcohol that both instruments tell",
)
def extract_with_refractometer(gravity: SpecificGravity, refractometer_brix: Brix) -> GramsPerLitre:
    """g/L of everything dissolved in a wine or a working must, from a hydrometer and a refractometer at 20 C.

    Range: as `alcohol_with_refractometer`; raises `OutOfRange`. Source: as there.
    """
    return densities.extract_of_wine(gravity, alcohol_with_refractometer(gravity, refractometer_brix))


@dataclass(frozen=True)
class TwoInstruments:
    """What a hydrometer and a refractometer tell together."""

    alcohol_percent: PercentAlcohol
    extract_g_per_l: GramsPerLitre
    sugar_g_per_l: GramsPerLitre
    says: str


@worksheet("hydrometer_with_refractometer", result="alcohol and sugar of a wine")
def hydrometer_with_refractometer(
    gravity: SpecificGravity, refractometer_brix: Brix, sugar_free_extract_g_per_l: GramsPerLitre
) -> TwoInstruments:
    """Alcohol, total extract and sugar of a wine or working must from the two instruments at 20 C.

    `sugar_free_extract_g_per_l` is what is dissolved besides sugar: see `sugar_in_wine`. Range: as
    `alcohol_with_refractometer`, sugar-free extract 0 to 60 g/L; raises `OutOfRange`. Source: as there.
    """
    within(
        "sugar-free extract", sugar_free_extract_g_per_l, "g/L", at_least=0, at_most=60, mend="20 is usual."
    )
    alcohol = alcohol_with_refractometer(gravity, refractometer_brix)
    extract = densities.extract_of_wine(gravity, alcohol)
    sugar = extract - sugar_free_extract_g_per_l
    return TwoInstruments(alcohol, extract, sugar, _says(sugar))


def _says(sugar_g_per_l: float) -> str:
    if sugar_g_per_l < 0:
        return "no sugar to be seen; the wine has less other extract than was given"
    return "an estimate; only a sugar test proves dryness"
