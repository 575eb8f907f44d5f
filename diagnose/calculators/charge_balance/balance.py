"""The balance itself: cations from a known pH, pH from known cations, and acidity from both."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, replace

from ..acid import masses
from ..amounts import (
    PH,
    GramsPerLitre,
    MilliequivalentsPerLitre,
    MilligramsPerLitre,
    MolesPerLitre,
    OutOfRange,
    PercentAlcohol,
    within,
)
from ..registry import calculator
from ..roots import bisect
from .constants import (
    USUAL_ALCOHOL_PERCENT,
    USUAL_IONIC_STRENGTH,
    activity_coefficient,
    pks,
    shares,
)

WATER_PK = 14.0
"""Ion product of water at 25 C, from memory; without weight below pH 6."""

_LEAST_EXCESS = -1.0
"""meq/L. A little below nothing is the rounding of a pH; more than that is a wrong reading."""

MOLAR_MASS: Mapping[str, float] = {
    "tartaric": masses.TARTARIC,
    "malic": masses.MALIC,
    "lactic": masses.LACTIC,
    "citric": masses.CITRIC,
    "acetic": masses.ACETIC,
    "succinic": masses.SUCCINIC,
}


@dataclass(frozen=True)
class Wine:
    """The acids of a wine and how they give up hydrogen in it."""

    mmol_per_l: Mapping[str, float]
    pks: Mapping[str, tuple[float, ...]]
    activity: float = 1.0
    """What the pH meter sees of each hydrogen ion."""

    def charge_of(self, acid: str, ph: float) -> float:
        """Negative charges on one molecule of an acid, on the average."""
        return sum(lost * share for lost, share in enumerate(shares(ph, self.pks[acid])))

    def acid_charge(self, ph: float) -> float:
        """Negative charges on all the acids, in meq/L."""
        return sum(amount * self.charge_of(acid, ph) for acid, amount in self.mmol_per_l.items())

    def free_hydrogen(self, ph: float) -> float:
        """Hydrogen ions less hydroxide ions, in mmol/L."""
        return 1000 * (math.pow(10, -ph) - math.pow(10, ph - WATER_PK)) / self.activity

    def cation_excess(self, ph: float) -> float:
        """Cations less strong anions that hold this pH, in meq/L; it rises with the pH."""
        return self.acid_charge(ph) - self.free_hydrogen(ph)

    def measured_excess(self, ph: float) -> float:
        """The cation excess of a measured pH. Raises `OutOfRange` when these acids cannot have that pH."""
        excess = self.cation_excess(ph)
        if excess < _LEAST_EXCESS:
            lowest = self.ph(0.0)
            raise OutOfRange(
                f"The pH is {ph:g}, but these acids alone give no less than {lowest:.2f}. "
                "Calibrate the meter, or look for an acid that is missing here."
            )
        return excess

    def ph(self, cation_excess: float) -> float:
        """The pH with so many cations, 1 to 9. Raises `OutOfRange`."""
        if not self.cation_excess(1.0) <= cation_excess <= self.cation_excess(9.0):
            raise OutOfRange(
                f"The cations are {cation_excess:.4g} meq/L, more or less than these acids can hold between pH 1 "
                "and 9. Check the dose and the acids."
            )
        return bisect(lambda ph: self.cation_excess(ph) - cation_excess, 1.0, 9.0, 1e-9)

    def with_more(self, **mmol_per_l: float) -> Wine:
        """The same wine with so much more of some acids; below 0 is less."""
        amounts = dict(self.mmol_per_l)
        for acid, more in mmol_per_l.items():
            amounts[acid] += more
        return replace(self, mmol_per_l=amounts)

    def titratable(self, ph: float, end_point_ph: float) -> float:
        """Acid that a titration from one pH to another finds, in meq/L."""
        return self.cation_excess(end_point_ph) - self.cation_excess(ph)


def wine_from(
    tartaric_g_per_l: float,
    malic_g_per_l: float,
    lactic_g_per_l: float = 0.0,
    citric_g_per_l: float = 0.0,
    acetic_g_per_l: float = 0.0,
    succinic_g_per_l: float = 0.0,
    alcohol_percent: float = USUAL_ALCOHOL_PERCENT,
    ionic_strength_mol_per_l: float = USUAL_IONIC_STRENGTH,
) -> Wine:
    """A wine from its acids in g/L, each 0 to 40 and not all 0. Raises `OutOfRange`."""
    grams = {
        "tartaric": tartaric_g_per_l,
        "malic": malic_g_per_l,
        "lactic": lactic_g_per_l,
        "citric": citric_g_per_l,
        "acetic": acetic_g_per_l,
        "succinic": succinic_g_per_l,
    }
    for acid, amount in grams.items():
        within(f"{acid} acid", amount, "g/L", at_least=0, at_most=40, mend="Give g of this acid in a litre.")
    if not any(grams.values()):
        raise OutOfRange(
            "All the acids are 0 g/L. Give at least the tartaric acid; without acids no pH holds."
        )
    return Wine(
        {acid: 1000 * amount / MOLAR_MASS[acid] for acid, amount in grams.items()},
        {acid: pks(acid, alcohol_percent, ionic_strength_mol_per_l) for acid in grams},
        activity_coefficient(ionic_strength_mol_per_l),
    )


def wine_given(given: Mapping[str, float]) -> Wine:
    """The wine among the named inputs of a sum, as `wine_from` takes them; for showing the numbers on the way."""
    names = {*(f"{acid}_g_per_l" for acid in MOLAR_MASS), "alcohol_percent", "ionic_strength_mol_per_l"}
    return wine_from(**{name: value for name, value in given.items() if name in names})


def measured_ph(value: float, what: str = "pH") -> float:
    """A pH of must or wine: 2.5 to 7. Raises `OutOfRange`."""
    return within(what, value, "", at_least=2.5, at_most=7, mend="Calibrate the meter and measure again.")


def _balance_working(ph: float, **given: float) -> dict[str, float]:
    wine = wine_given(given)
    return {"acid_charge": wine.acid_charge(ph), "free_hydrogen": wine.free_hydrogen(ph)}


@calculator(
    "cation_excess",
    result="cations less strong anions",
    formula="acid_charge - free_hydrogen",
    working=_balance_working,
)
def cation_excess(
    ph: PH,
    tartaric_g_per_l: GramsPerLitre,
    malic_g_per_l: GramsPerLitre,
    lactic_g_per_l: GramsPerLitre = 0.0,
    citric_g_per_l: GramsPerLitre = 0.0,
    acetic_g_per_l: GramsPerLitre = 0.0,
    succinic_g_per_l: GramsPerLitre = 0.0,
    alcohol_percent: PercentAlcohol = USUAL_ALCOHOL_PERCENT,
    ionic_strength_mol_per_l: MolesPerLitre = USUAL_IONIC_STRENGTH,
) -> MilliequivalentsPerLitre:
    """Potassium and the other cations, less strong anions, that go with a pH and its acids.

    Acids are totals as a laboratory reports them, in g/L. Range: pH 2.5 to 7, and not lower than the acids
    alone would have; each acid 0 to 40 g/L, not all 0; alcohol 0 to 25 % vol; ionic strength 0 to 0.5 mol/L.
    Raises `OutOfRange`. Source: balance of charges; pKs as in `acid_constants`.
    """
    wine = wine_from(
        tartaric_g_per_l,
        malic_g_per_l,
        lactic_g_per_l,
        citric_g_per_l,
        acetic_g_per_l,
        succinic_g_per_l,
        alcohol_percent,
        ionic_strength_mol_per_l,
    )
    return wine.measured_excess(measured_ph(ph))


def _ph_working(cation_excess_meq_per_l: float, **given: float) -> dict[str, float]:
    wine = wine_given(given)
    ph = wine.ph(cation_excess_meq_per_l)
    return {"acid_charge": wine.acid_charge(ph), "free_hydrogen": wine.free_hydrogen(ph)}


@calculator(
    "ph_from_acids",
    result="the pH",
    formula="the pH at which acid_charge = cation_excess_meq_per_l + free_hydrogen",
    working=_ph_working,
)
def ph_from_acids(
    cation_excess_meq_per_l: MilliequivalentsPerLitre,
    tartaric_g_per_l: GramsPerLitre,
    malic_g_per_l: GramsPerLitre,
    lactic_g_per_l: GramsPerLitre = 0.0,
    citric_g_per_l: GramsPerLitre = 0.0,
    acetic_g_per_l: GramsPerLitre = 0.0,
    succinic_g_per_l: GramsPerLitre = 0.0,
    alcohol_percent: PercentAlcohol = USUAL_ALCOHOL_PERCENT,
    ionic_strength_mol_per_l: MolesPerLitre = USUAL_IONIC_STRENGTH,
) -> PH:
    """The pH of a wine from its acids and its cations less strong anions.

    Range: acids, alcohol and ionic strength as for `cation_excess`; cations that leave the pH between 1 and
    9. Raises `OutOfRange`. Source: balance of charges; pKs as in `acid_constants`.
    """
    return wine_from(
        tartaric_g_per_l,
        malic_g_per_l,
        lactic_g_per_l,
        citric_g_per_l,
        acetic_g_per_l,
        succinic_g_per_l,
        alcohol_percent,
        ionic_strength_mol_per_l,
    ).ph(cation_excess_meq_per_l)


@calculator(
    "strong_ion_difference",
    result="cations less strong anions",
    formula="potassium_mg_per_l / 39.098 + sodium_mg_per_l / 22.99 + calcium_mg_per_l / 20.039 + "
    "magnesium_mg_per_l / 12.153 + ammonium_mg_per_l / 18.039 - sulfate_mg_per_l / 48.028 - "
    "chloride_mg_per_l / 35.45",
)
def strong_ion_difference(
    potassium_mg_per_l: MilligramsPerLitre,
    sodium_mg_per_l: MilligramsPerLitre = 0.0,
    calcium_mg_per_l: MilligramsPerLitre = 0.0,
    magnesium_mg_per_l: MilligramsPerLitre = 0.0,
    ammonium_mg_per_l: MilligramsPerLitre = 0.0,
    sulfate_mg_per_l: MilligramsPerLitre = 0.0,
    chloride_mg_per_l: MilligramsPerLitre = 0.0,
) -> MilliequivalentsPerLitre:
    """Cations less strong anions from an analysis of the minerals.

    Range: each 0 to 10 000 mg/L; ammonium as NH4, sulfate as SO4. Below 0 when the anions outweigh. Raises
    `OutOfRange`. Source: charges and molar masses, see `acid.masses`.
    """
    ions = (
        ("potassium", potassium_mg_per_l, 1 / masses.POTASSIUM),
        ("sodium", sodium_mg_per_l, 1 / masses.SODIUM),
        ("calcium", calcium_mg_per_l, 2 / masses.CALCIUM),
        ("magnesium", magnesium_mg_per_l, 2 / masses.MAGNESIUM),
        ("ammonium", ammonium_mg_per_l, 1 / masses.AMMONIUM),
        ("sulfate", sulfate_mg_per_l, -2 / masses.SULFATE),
        ("chloride", chloride_mg_per_l, -1 / masses.CHLORIDE),
    )
    for name, amount, _ in ions:
        within(name, amount, "mg/L", at_least=0, at_most=10_000, mend="Give mg in a litre.")
    return sum(amount * charge for _, amount, charge in ions)


def _titration_working(ph: float, end_point_ph: float = 8.2, **given: float) -> dict[str, float]:
    wine = wine_given(given)
    return {"at_end_point": wine.cation_excess(end_point_ph), "at_start": wine.cation_excess(ph)}


@calculator(
    "ta_from_acids",
    result="titratable acidity as tartaric acid",
    formula="(at_end_point - at_start) x 75.043 / 1000",
    working=_titration_working,
)
def ta_from_acids(
    ph: PH,
    tartaric_g_per_l: GramsPerLitre,
    malic_g_per_l: GramsPerLitre,
    lactic_g_per_l: GramsPerLitre = 0.0,
    citric_g_per_l: GramsPerLitre = 0.0,
    acetic_g_per_l: GramsPerLitre = 0.0,
    succinic_g_per_l: GramsPerLitre = 0.0,
    alcohol_percent: PercentAlcohol = USUAL_ALCOHOL_PERCENT,
    ionic_strength_mol_per_l: MolesPerLitre = USUAL_IONIC_STRENGTH,
    end_point_ph: PH = 8.2,
) -> GramsPerLitre:
    """Titratable acidity that goes with a pH and the acids, as tartaric acid: a check of an analysis.

    A titration that finds much more has found an acid that is not in the list. Range: as for `cation_excess`;
    end point pH 7 to 8.5 (7 and 8.2 are usual, from memory). Raises `OutOfRange`. Source: balance of charges.
    """
    within("end point", end_point_ph, "", at_least=7, at_most=8.5, mend="7.0 and 8.2 are usual.")
    wine = wine_from(
        tartaric_g_per_l,
        malic_g_per_l,
        lactic_g_per_l,
        citric_g_per_l,
        acetic_g_per_l,
        succinic_g_per_l,
        alcohol_percent,
        ionic_strength_mol_per_l,
    )
    wine.measured_excess(measured_ph(ph))
    return wine.titratable(ph, end_point_ph) * masses.TARTARIC_PER_EQ / 1000
