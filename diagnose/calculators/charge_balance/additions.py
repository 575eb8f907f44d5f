"""What acids and carbonates do to the pH, and how much of them a wanted pH takes."""

from __future__ import annotations

from collections.abc import Mapping

from ..acid import masses
from ..acid.ranges import added, share
from ..amounts import (
    PH,
    Grams,
    GramsPerLitre,
    Litres,
    MolesPerLitre,
    OutOfRange,
    Percent,
    PercentAlcohol,
    within,
)
from ..amounts import wine as vessel
from ..registry import calculator
from .balance import MOLAR_MASS, measured_ph, wine_from, wine_given
from .constants import USUAL_ALCOHOL_PERCENT, USUAL_IONIC_STRENGTH


def _cations_before(ph: float, **given: float) -> Mapping[str, float]:
    return {"cations_before": wine_given(given).measured_excess(ph)}


@calculator(
    "ph_after_acid",
    result="the pH after the addition",
    formula="the pH at which the acids, old and new, carry cations_before + free hydrogen",
    working=_cations_before,
)
def ph_after_acid(
    ph: PH,
    tartaric_g_per_l: GramsPerLitre,
    malic_g_per_l: GramsPerLitre,
    lactic_g_per_l: GramsPerLitre = 0.0,
    citric_g_per_l: GramsPerLitre = 0.0,
    acetic_g_per_l: GramsPerLitre = 0.0,
    succinic_g_per_l: GramsPerLitre = 0.0,
    tartaric_added_g_per_l: GramsPerLitre = 0.0,
    malic_added_g_per_l: GramsPerLitre = 0.0,
    citric_added_g_per_l: GramsPerLitre = 0.0,
    lactic_added_g_per_l: GramsPerLitre = 0.0,
    alcohol_percent: PercentAlcohol = USUAL_ALCOHOL_PERCENT,
    ionic_strength_mol_per_l: MolesPerLitre = USUAL_IONIC_STRENGTH,
) -> PH:
    """The pH after an addition of acid, before any bitartrate drops.

    Range: as for `cation_excess`; each addition 0 to 40 g/L. Raises `OutOfRange`. Source: balance of charges,
    the cations staying as they were.
    """
    additions = {
        "tartaric": tartaric_added_g_per_l,
        "malic": malic_added_g_per_l,
        "citric": citric_added_g_per_l,
        "lactic": lactic_added_g_per_l,
    }
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
    excess = wine.measured_excess(measured_ph(ph))
    more = {
        acid: 1000 * added(amount, f"addition of {acid} acid") / MOLAR_MASS[acid]
        for acid, amount in additions.items()
    }
    return wine.with_more(**more).ph(excess)


def _tartaric_working(ph: float, target_ph: float, **given: float) -> Mapping[str, float]:
    wine = wine_given(given)
    return {
        "cations_before": wine.measured_excess(ph),
        "cations_held_at_target": wine.cation_excess(target_ph),
        "charge_of_tartaric": wine.charge_of("tartaric", target_ph),
    }


@calculator(
    "tartaric_for_ph",
    result="tartaric acid for the vessel",
    formula="(cations_before - cations_held_at_target) / charge_of_tartaric x 0.150086 x volume_l",
    working=_tartaric_working,
)
def tartaric_for_ph(
    ph: PH,
    target_ph: PH,
    volume_l: Litres,
    tartaric_g_per_l: GramsPerLitre,
    malic_g_per_l: GramsPerLitre,
    lactic_g_per_l: GramsPerLitre = 0.0,
    citric_g_per_l: GramsPerLitre = 0.0,
    acetic_g_per_l: GramsPerLitre = 0.0,
    succinic_g_per_l: GramsPerLitre = 0.0,
    alcohol_percent: PercentAlcohol = USUAL_ALCOHOL_PERCENT,
    ionic_strength_mol_per_l: MolesPerLitre = USUAL_IONIC_STRENGTH,
) -> Grams:
    """Tartaric acid that brings a vessel to a lower pH, before any bitartrate drops.

    Add half, mix, measure, then see: the real wine decides. Range: as for `cation_excess`; the target 2.5 to
    the pH now; volume above 0 L; no more than 20 g/L of acid. Raises `OutOfRange`. Source: balance of charges.
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
    excess = wine.measured_excess(measured_ph(ph))
    within("target pH", target_ph, "", at_least=2.5, at_most=ph, mend="Acid only lowers the pH.")
    mmol = (excess - wine.cation_excess(target_ph)) / wine.charge_of("tartaric", target_ph)
    grams_per_l = mmol * masses.TARTARIC / 1000
    # A pH taken to be a hair above the target leaves a hair of rounding below nothing.
    within(
        "tartaric acid",
        grams_per_l,
        "g/L",
        at_least=-1e-9,
        at_most=20,
        mend="Set a target nearer to the pH now.",
    )
    return max(0.0, grams_per_l) * vessel(volume_l)


@calculator(
    "ph_after_deacidification",
    result="the pH after the addition",
    formula="the pH at which the acids left carry cations_before + cations of the salts left + free hydrogen",
    working=_cations_before,
)
def ph_after_deacidification(
    ph: PH,
    tartaric_g_per_l: GramsPerLitre,
    malic_g_per_l: GramsPerLitre,
    lactic_g_per_l: GramsPerLitre = 0.0,
    citric_g_per_l: GramsPerLitre = 0.0,
    acetic_g_per_l: GramsPerLitre = 0.0,
    succinic_g_per_l: GramsPerLitre = 0.0,
    potassium_bicarbonate_g_per_l: GramsPerLitre = 0.0,
    potassium_carbonate_g_per_l: GramsPerLitre = 0.0,
    calcium_carbonate_g_per_l: GramsPerLitre = 0.0,
    bitartrate_fall_percent: Percent = 0.0,
    calcium_tartrate_fall_percent: Percent = 100.0,
    alcohol_percent: PercentAlcohol = USUAL_ALCOHOL_PERCENT,
    ionic_strength_mol_per_l: MolesPerLitre = USUAL_IONIC_STRENGTH,
) -> PH:
    """The pH after carbonates, once the carbon dioxide has left.

    The shares say how much of the added potassium leaves as bitartrate, and of the added calcium as calcium
    tartrate. Range: as for `cation_excess`; each salt 0 to 40 g/L; shares 0 to 100 %; no more tartrate falling
    than there is. Gas still in the wine makes it read lower. Raises `OutOfRange`. Source: balance of charges;
    reactions as in AWRI, Deacidification.
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
    excess = wine.measured_excess(measured_ph(ph))
    potassium = (
        1000 * added(potassium_bicarbonate_g_per_l, "potassium bicarbonate") / masses.POTASSIUM_BICARBONATE
    )
    potassium += 2000 * added(potassium_carbonate_g_per_l, "potassium carbonate") / masses.POTASSIUM_CARBONATE
    calcium = 1000 * added(calcium_carbonate_g_per_l, "calcium carbonate") / masses.CALCIUM_CARBONATE
    bitartrate = potassium * share(bitartrate_fall_percent, "share of the potassium that falls") / 100
    calcium_tartrate = calcium * share(calcium_tartrate_fall_percent, "share of the calcium that falls") / 100
    if bitartrate + calcium_tartrate > wine.mmol_per_l["tartaric"]:
        needed = (bitartrate + calcium_tartrate) * masses.TARTARIC / 1000
        raise OutOfRange(
            f"So much salt would take {needed:.3g} g/L of tartaric acid with it, but there is only "
            f"{tartaric_g_per_l:g}. Give a smaller dose, or a smaller share that falls."
        )
    left = wine.with_more(tartaric=-bitartrate - calcium_tartrate)
    return left.ph(excess + potassium - bitartrate + 2 * (calcium - calcium_tartrate))


def _bicarbonate_working(ph: float, target_ph: float, **given: float) -> Mapping[str, float]:
    wine = wine_given(given)
    return {"cations_before": wine.measured_excess(ph), "cations_at_target": wine.cation_excess(target_ph)}


@calculator(
    "potassium_bicarbonate_for_ph",
    result="potassium bicarbonate for the vessel",
    formula="(cations_at_target - cations_before) x 0.100114 x volume_l",
    working=_bicarbonate_working,
)
def potassium_bicarbonate_for_ph(
    ph: PH,
    target_ph: PH,
    volume_l: Litres,
    tartaric_g_per_l: GramsPerLitre,
    malic_g_per_l: GramsPerLitre,
    lactic_g_per_l: GramsPerLitre = 0.0,
    citric_g_per_l: GramsPerLitre = 0.0,
    acetic_g_per_l: GramsPerLitre = 0.0,
    succinic_g_per_l: GramsPerLitre = 0.0,
    alcohol_percent: PercentAlcohol = USUAL_ALCOHOL_PERCENT,
    ionic_strength_mol_per_l: MolesPerLitre = USUAL_IONIC_STRENGTH,
) -> Grams:
    """Potassium bicarbonate that brings a vessel to a higher pH, before any bitartrate drops.

    Bitartrate that drops afterwards moves the pH again, away from the pivot. Range: as for `cation_excess`;
    the target from the pH now to 5; volume above 0 L. Raises `OutOfRange`. Source: balance of charges.
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
    excess = wine.measured_excess(measured_ph(ph))
    within("target pH", target_ph, "", at_least=ph, at_most=5, mend="A carbonate only raises the pH.")
    return (wine.cation_excess(target_ph) - excess) * masses.POTASSIUM_BICARBONATE / 1000 * vessel(volume_l)
