"""Whether crystals will fall: potassium bitartrate by its solubility, product, saturation and conductivity.

Wine holds far more bitartrate than the same alcohol and water would: a solubility says what could fall at the
most, never whether it will. The tests decide.
"""

from __future__ import annotations

import math
from bisect import bisect_right
from dataclasses import dataclass

from .acid.masses import BITARTRATE, TARTARIC
from .amounts import (
    PH,
    Celsius,
    Grams,
    GramsPerLitre,
    Litres,
    MicrosiemensPerCentimetre,
    MilligramsPerLitre,
    Percent,
    PercentAlcohol,
    PlainNumber,
    wine,
    within,
)
from .charge_balance.constants import USUAL_ALCOHOL_PERCENT, tartrate_species
from .registry import calculator, worksheet

POTASSIUM_MG_PER_MOL = 39098.3
"""Atomic weight of potassium, IUPAC 39.0983, from memory."""

_ALCOHOL = (0.0, 10.0, 11.0, 12.0, 13.0, 14.0, 16.0)
_TEMPERATURE = (-4.0, 0.0, 5.0, 10.0, 15.0, 20.0, 25.0)
_MEQ_PER_L = (
    (10.6, 5.6, 5.2, 4.8, 4.6, 4.3, 3.7),
    (11.9, 6.7, 6.2, 5.9, 5.4, 5.2, 4.6),
    (14.1, 8.4, 7.9, 7.4, 7.0, 6.6, 5.9),
    (18.2, 10.7, 10.2, 9.6, 9.1, 8.6, 7.8),
    (22.2, 13.0, 12.5, 11.9, 11.3, 10.8, 9.7),
    (26.1, 16.4, 15.6, 14.7, 14.0, 13.3, 12.0),
    (30.1, 18.7, 17.8, 17.0, 16.1, 15.3, 13.8),
)
"""Bitartrate that dissolves in water and alcohol, meq/L, rows by temperature and columns by alcohol: Berg & Keefer
1958, as quoted in Ribereau-Gayon, Peynaud, Ribereau-Gayon, Sudraud, Theory and Practice of Winemaking (Russian
edition), table 12.3. Three printed cells break the trend and are replaced: 10 C in water 48.4 (18.2 here), 10 C at
10 % 11.7 (10.7), 25 C at 11 % 18.4 (17.8)."""

SEED_G_PER_L = 4.0
"""Powdered bitartrate for contact seeding: Rhein & Neradt 1979, cited by Dharmadhikari, Iowa State University
Extension. It keeps just inside the US limit of 35 lb/1000 gal (27 CFR 24.246)."""

STABLE_DROP_PERCENT = 5.0
"""Conductivity drop at which a wine is called unstable: Handbook of Enology vol. 2 (2021), section 1.6.2."""

STRICT_DROP_PERCENT = 3.0
"""The stricter line some cellars keep: an online wine production textbook, ch. 10, citing Hornsey 2007."""


def _temperature(value: float, low: float, high: float) -> float:
    return within("temperature", value, "C", at_least=low, at_most=high, mend="Give it in C: 28 F is -2.2 C.")


@calculator("bitartrate_percent", result="share of the tartaric acid that is bitartrate")
def bitartrate_percent(ph: PH, alcohol_percent: PercentAlcohol = USUAL_ALCOHOL_PERCENT) -> Percent:
    """How much of the tartaric acid is in the form that falls with potassium.

    Range: pH 2 to 8, alcohol 0 to 25 % vol; raises `OutOfRange`. Source: law of mass action, see
    `tartrate_species`; it is largest near pH 3.6 to 3.7 (AWRI, KHT deposits and cold stability).
    """
    return tartrate_species(ph, alcohol_percent).bitartrate_percent


@calculator("bitartrate_solubility", result="bitartrate that water and alcohol hold")
def bitartrate_solubility(temperature_c: Celsius, alcohol_percent: PercentAlcohol) -> GramsPerLitre:
    """Potassium bitartrate that dissolves in water with this much alcohol, without anything else of the wine.

    Wine holds several times as much, so this is never a line between stable and unstable. Range: -4 to 25 C,
    0 to 16 % vol; raises `OutOfRange`. Formula: the table of Berg & Keefer 1958 (see `_MEQ_PER_L`),
    straight lines between its cells, x 0.188177 g/meq.
    """
    _temperature(temperature_c, _TEMPERATURE[0], _TEMPERATURE[-1])
    within("alcohol", alcohol_percent, "% vol", at_least=0, at_most=16, mend="The table ends at 16 %.")
    row, down = _between(_TEMPERATURE, temperature_c)
    column, across = _between(_ALCOHOL, alcohol_percent)
    upper, lower = (
        line[column] + across * (line[column + 1] - line[column]) for line in _MEQ_PER_L[row : row + 2]
    )
    return (upper + down * (lower - upper)) * BITARTRATE / 1000


def _between(marks: tuple[float, ...], value: float) -> tuple[int, float]:
    """The mark below a value, and how far it is on to the next."""
    at = min(bisect_right(marks, value) - 1, len(marks) - 2)
    return at, (value - marks[at]) / (marks[at + 1] - marks[at])


def _product_working(
    potassium_mg_per_l: float,
    tartaric_g_per_l: float,
    ph: float,
    alcohol_percent: float = USUAL_ALCOHOL_PERCENT,
) -> dict[str, float]:
    return {
        "potassium": potassium_mg_per_l / POTASSIUM_MG_PER_MOL,
        "tartaric": tartaric_g_per_l / TARTARIC,
        "share": bitartrate_percent(ph, alcohol_percent) / 100,
    }


@calculator(
    "bitartrate_product",
    result="concentration product, in hundred-thousandths",
    formula="100000 x potassium x tartaric x share",
    working=_product_working,
)
def bitartrate_product(
    potassium_mg_per_l: MilligramsPerLitre,
    tartaric_g_per_l: GramsPerLitre,
    ph: PH,
    alcohol_percent: PercentAlcohol = USUAL_ALCOHOL_PERCENT,
) -> PlainNumber:
    """Potassium times bitartrate, in (mol/L)^2 x 100,000: the higher, the more the wine wants to drop crystals.

    An indication only: wines of one product differ widely in stability (Berg 1960). Lines in use, from
    memory: 16.5 for dry white and 30 for dry red (De Soto & Yamada 1963). Range: potassium 0 to 5000 mg/L,
    tartaric acid 0 to 20 g/L, pH 2 to 8; raises `OutOfRange`. Source: definition of Berg & Keefer 1958,
    from memory.
    """
    within(
        "potassium", potassium_mg_per_l, "mg/L", at_least=0, at_most=5000, mend="Wine has 200 to 2000 mg/L."
    )
    within("tartaric acid", tartaric_g_per_l, "g/L", at_least=0, at_most=20, mend="Wine has 1 to 6 g/L.")
    parts = _product_working(potassium_mg_per_l, tartaric_g_per_l, ph, alcohol_percent)
    return 1e5 * parts["potassium"] * parts["tartaric"] * parts["share"]


@calculator("largest_bitartrate_drop", result="bitartrate that can fall at the most")
def largest_bitartrate_drop(
    potassium_mg_per_l: MilligramsPerLitre,
    tartaric_g_per_l: GramsPerLitre,
    ph: PH,
    temperature_c: Celsius,
    alcohol_percent: PercentAlcohol = USUAL_ALCOHOL_PERCENT,
) -> GramsPerLitre:
    """The most bitartrate that could fall at a temperature, if the wine held no more than water and alcohol do.

    Real wines drop less, and later. Range: as for `bitartrate_product` and `bitartrate_solubility`; raises
    `OutOfRange`. Formula: (potassium - x) (bitartrate - x) = solubility^2 in mol/L, the pH taken as steady.
    """
    parts = _product_working(potassium_mg_per_l, tartaric_g_per_l, ph, alcohol_percent)
    bitartrate_product(potassium_mg_per_l, tartaric_g_per_l, ph, alcohol_percent)
    potassium, bitartrate = parts["potassium"], parts["tartaric"] * parts["share"]
    held = bitartrate_solubility(temperature_c, alcohol_percent) / BITARTRATE
    total, product = potassium + bitartrate, potassium * bitartrate - held**2
    if product <= 0:
        return 0.0
    return (total - math.sqrt(total**2 - 4 * product)) / 2 * BITARTRATE


@calculator(
    "saturation_temperature_at_20_c",
    result="saturation temperature",
    formula="20 - gain_us_per_cm / 29.30",
)
def saturation_temperature_at_20_c(gain_us_per_cm: MicrosiemensPerCentimetre) -> Celsius:
    """Temperature at which a white wine is just full of bitartrate, from conductivity at 20 C.

    The gain is what 4 g/L of powdered bitartrate add to the conductivity at 20 C. Whites only. Range: gain 0
    to 1000; raises `OutOfRange`. Source: Wuerdig et al. 1982, in a Portuguese lecture on tartaric instability.
    """
    within("gain in conductivity", gain_us_per_cm, "uS/cm", at_least=0, at_most=1000, mend=_POWDER)
    return 20 - gain_us_per_cm / 29.30


_POWDER = "Powder can only dissolve and raise it; read both at the same temperature again."


@calculator(
    "saturation_temperature_at_30_c",
    result="saturation temperature",
    formula="29.90 - gain_us_per_cm / 58.30",
)
def saturation_temperature_at_30_c(gain_us_per_cm: MicrosiemensPerCentimetre) -> Celsius:
    """Temperature at which a wine is just full of bitartrate, from conductivity at 30 C; for pink and red too.

    Range: gain 0 to 2000 uS/cm at 30 C; raises `OutOfRange`. Source: Maujean et al., in the same lecture; the
    minus sign is lost there and follows from the form for 20 C.
    """
    within("gain in conductivity", gain_us_per_cm, "uS/cm", at_least=0, at_most=2000, mend=_POWDER)
    return 29.90 - gain_us_per_cm / 58.30


@calculator(
    "crystals_fall_below",
    result="temperature below which crystals are to be expected",
    formula="saturation_c - offset_c",
)
def crystals_fall_below(saturation_c: Celsius, offset_c: PlainNumber = 12.0) -> Celsius:
    """The temperature at which crystals begin by themselves in a white, from its saturation temperature.

    Range: saturation -20 to 35 C, offset 0 to 30 C; raises `OutOfRange`. Source: 12 C at 12.5 % vol: stable at
    -4 C needs 8 C or less, Maujean et al. 1985 in Handbook of Enology vol. 2 (2021); 15 C at 11 % from memory.
    """
    _temperature(saturation_c, -20, 35)
    within("offset", offset_c, "C", at_least=0, at_most=30, mend="12 is usual at 12.5 % vol.")
    return saturation_c - offset_c


@calculator(
    "conductivity_drop_percent",
    result="drop in conductivity",
    formula="100 x (before_us_per_cm - after_us_per_cm) / before_us_per_cm",
)
def conductivity_drop_percent(
    before_us_per_cm: MicrosiemensPerCentimetre, after_us_per_cm: MicrosiemensPerCentimetre
) -> Percent:
    """What share of its conductivity a cold, seeded sample lost: the mini-contact test.

    Both readings in the cold, at one temperature: a degree is worth 2 % by itself. Range: before above 0, after
    0 to 2 % above it at most; raises `OutOfRange`. Source: Handbook of Enology vol. 2 (2021), section 1.6.2.
    """
    within(
        "reading before", before_us_per_cm, "uS/cm", more_than=0, at_most=10000, mend="Wine has 1000 to 3000."
    )
    within(
        "reading after",
        after_us_per_cm,
        "uS/cm",
        at_least=0,
        at_most=1.02 * before_us_per_cm,
        mend="Seeding lowers it; a rise means that the sample warmed, or the powder was not bitartrate.",
    )
    return 100 * (before_us_per_cm - after_us_per_cm) / before_us_per_cm


@dataclass(frozen=True)
class ConductivityVerdict:
    """What a conductivity drop says."""

    drop_percent: Percent
    verdict: str
    remark: str


@worksheet("conductivity_verdict", result="what the conductivity drop says")
def conductivity_verdict(
    before_us_per_cm: MicrosiemensPerCentimetre,
    after_us_per_cm: MicrosiemensPerCentimetre,
    strict_percent: Percent = STRICT_DROP_PERCENT,
    stable_percent: Percent = STABLE_DROP_PERCENT,
) -> ConductivityVerdict:
    """Stable, doubtful or unstable by the drop in conductivity of a cold, seeded sample.

    Range: as for `conductivity_drop_percent`; the two lines 0 to 50 %, the strict one lower. Raises
    `OutOfRange`. Source of the lines: see `STABLE_DROP_PERCENT` and `STRICT_DROP_PERCENT`.
    """
    within("line for unstable", stable_percent, "%", more_than=0, at_most=50, mend="5 is usual.")
    within("strict line", strict_percent, "%", at_least=0, at_most=stable_percent, mend="3 is usual.")
    drop = conductivity_drop_percent(before_us_per_cm, after_us_per_cm)
    if drop >= stable_percent:
        return ConductivityVerdict(drop, "unstable", "Crystals are to be expected in the cold.")
    if drop >= strict_percent:
        return ConductivityVerdict(
            drop, "doubtful", "Good by the common line, not by the strict one. Keep it cold and see."
        )
    return ConductivityVerdict(
        drop,
        "stable",
        "Stable down to the temperature of the test. The test is short and flatters; calcium is not in it.",
    )


@calculator(
    "conductivity_at",
    result="conductivity at the other temperature",
    formula="reading_us_per_cm x (100 + percent_per_c x (wanted_c - 20)) / (100 + percent_per_c x (read_c - 20))",
)
def conductivity_at(
    reading_us_per_cm: MicrosiemensPerCentimetre,
    read_c: Celsius,
    wanted_c: Celsius = 20.0,
    percent_per_c: Percent = 2.1,
) -> MicrosiemensPerCentimetre:
    """A conductivity read at one temperature, as it would be at another.

    Range: reading above 0, temperatures 0 to 40 C, 0 to 4 % of the value at 20 C a degree; raises
    `OutOfRange`. Source: potassium chloride 0.02 mol/L, Handbook of Enology vol. 2 (2021), table 1.12, changes
    by 2.1 % a degree; a wine is taken to do the same.
    """
    within("reading", reading_us_per_cm, "uS/cm", more_than=0, at_most=20000, mend="Wine has 1000 to 3000.")
    _temperature(read_c, 0, 40)
    _temperature(wanted_c, 0, 40)
    within("change a degree", percent_per_c, "%", at_least=0, at_most=4, mend="2.1 is usual.")
    share = percent_per_c / 100
    return reading_us_per_cm * (1 + share * (wanted_c - 20)) / (1 + share * (read_c - 20))


@calculator("bitartrate_seed_g", result="powdered bitartrate to seed with", formula="seed_g_per_l x volume_l")
def bitartrate_seed_g(volume_l: Litres, seed_g_per_l: GramsPerLitre = SEED_G_PER_L) -> Grams:
    """Powdered bitartrate for contact seeding in the cold.

    Range: volume above 0 L, dose above 0 and at most 10 g/L; raises `OutOfRange`. Source: see `SEED_G_PER_L`;
    a Slovene trial found 6 g/L at 0 C best (Berovic & Kosmerl 2008), which is above the US limit.
    """
    within("dose of seed", seed_g_per_l, "g/L", more_than=0, at_most=10, mend="4 is usual.")
    return seed_g_per_l * wine(volume_l)


@dataclass(frozen=True)
class CalciumVerdict:
    """What a calcium tartrate saturation temperature says."""

    room_c: PlainNumber
    verdict: str


CALCIUM_LIMIT_WHITE_C = 26.0
CALCIUM_LIMIT_RED_C = 35.0
"""Highest calcium tartrate saturation temperature of wines that stayed clear: Vallee, J. Int. Sci. Vigne Vin 1995;
Handbook of Enology vol. 2 (2021) repeats them."""


@worksheet("calcium_tartrate_verdict", result="what the saturation temperature says")
def calcium_tartrate_verdict(
    saturation_c: Celsius, limit_c: Celsius = CALCIUM_LIMIT_WHITE_C
) -> CalciumVerdict:
    """Whether calcium tartrate is to be feared, from its saturation temperature as a laboratory measures it.

    The limit is 26 C for white and pink wine and 35 C for red. Cold tests do not show this salt; it can take
    months. Range: -10 to 60 C; raises `OutOfRange`. Source: see `CALCIUM_LIMIT_RED_C`.
    """
    _temperature(saturation_c, -10, 60)
    within("limit", limit_c, "C", more_than=0, at_most=60, mend="26 for white and pink, 35 for red.")
    room = limit_c - saturation_c
    return CalciumVerdict(room, "not to be feared" if room >= 0 else "to be feared")
