"""Raising the acidity: grams of each acid for a vessel, and rules of thumb for the pH.

The grams are stoichiometry: they give the rise that a titration of the wine straight after the addition
would show. Later bitartrate may drop and take part of it back. What the pH does depends on the wine; the
rules here are rough, `charge_balance` is better where the acids are known, and a bench trial is best.
"""

from __future__ import annotations

from dataclasses import dataclass

from ..amounts import PH, Grams, GramsPerLitre, Litres, Percent, PHPerGramPerLitre, wine, within
from ..registry import calculator, worksheet
from .masses import CITRIC_PER_EQ, LACTIC_PER_EQ, MALIC_PER_EQ, TARTARIC_PER_EQ
from .ranges import added, change, purity

PH_DROP_PER_G_PER_L = 0.1
"""Fall of pH for each g/L of tartaric acid, common practice. Measured in one red (Virginia Winemakers Research
Exchange, Blenheim 2021 Cabernet Franc): 0.13 when added at crush, 0.30 when added after malolactic."""


def _grams(rise: float, volume_l: float, grams_per_eq: float, purity_percent: float) -> float:
    acid = change(rise, "wanted rise of acidity") * grams_per_eq / TARTARIC_PER_EQ
    return acid * wine(volume_l) * 100 / purity(purity_percent)


@calculator(
    "tartaric_for_ta",
    result="tartaric acid for the vessel",
    formula="ta_rise_g_per_l x volume_l x 100 / purity_percent",
)
def tartaric_for_ta(
    ta_rise_g_per_l: GramsPerLitre, volume_l: Litres, purity_percent: Percent = 100.0
) -> Grams:
    """Tartaric acid that raises the titratable acidity of a vessel by so much.

    Range: rise above 0 and at most 20 g/L as tartaric acid, volume above 0 L, purity above 0 and at most
    100 %. Add it before chilling, for part drops as bitartrate. Raises `OutOfRange`. Source: definition of
    acidity as tartaric acid.
    """
    return _grams(ta_rise_g_per_l, volume_l, TARTARIC_PER_EQ, purity_percent)


@calculator(
    "malic_for_ta",
    result="malic acid for the vessel",
    formula="ta_rise_g_per_l x 67.044 / 75.043 x volume_l x 100 / purity_percent",
)
def malic_for_ta(ta_rise_g_per_l: GramsPerLitre, volume_l: Litres, purity_percent: Percent = 100.0) -> Grams:
    """Malic acid that raises the titratable acidity of a vessel by so much.

    Range: rise above 0 and at most 20 g/L as tartaric acid, volume above 0 L, purity above 0 and at most
    100 %. Malolactic bacteria eat the L form, which is half of the DL acid sold (common practice).
    Raises `OutOfRange`. Source: equivalent masses, see `masses`.
    """
    return _grams(ta_rise_g_per_l, volume_l, MALIC_PER_EQ, purity_percent)


@calculator(
    "citric_for_ta",
    result="citric acid for the vessel",
    formula="ta_rise_g_per_l x 64.041 / 75.043 x volume_l x 100 / purity_percent",
)
def citric_for_ta(ta_rise_g_per_l: GramsPerLitre, volume_l: Litres, purity_percent: Percent = 100.0) -> Grams:
    """Citric acid that raises the titratable acidity of a vessel by so much.

    Range: rise above 0 and at most 20 g/L as tartaric acid, volume above 0 L, purity above 0 and at most
    100 %. Give 91.4 % for the monohydrate, which
    holds water. Not before or during malolactic fermentation: bacteria make acetic acid of it (common
    practice); the law caps what a wine may hold. Raises `OutOfRange`. Source: `masses`.
    """
    return _grams(ta_rise_g_per_l, volume_l, CITRIC_PER_EQ, purity_percent)


@calculator(
    "lactic_for_ta",
    result="lactic acid for the vessel",
    formula="ta_rise_g_per_l x 90.078 / 75.043 x volume_l x 100 / purity_percent",
)
def lactic_for_ta(ta_rise_g_per_l: GramsPerLitre, volume_l: Litres, purity_percent: Percent) -> Grams:
    """Lactic acid solution, weighed, that raises the titratable acidity of a vessel by so much.

    It is sold as a solution: `purity_percent` is the acid in 100 g of it, from the label. Range: rise
    above 0 and at most 20 g/L as tartaric acid, volume above 0 L, purity above 0 and at most
    100 %. Raises `OutOfRange`. Source: `masses`.
    """
    return _grams(ta_rise_g_per_l, volume_l, LACTIC_PER_EQ, purity_percent)


@dataclass(frozen=True)
class AcidForTa:
    """The grams of one pure acid that give a wanted rise."""

    acid: str
    grams: Grams
    grams_per_l: GramsPerLitre


@worksheet("acids_for_ta", result="grams of each acid for the same rise")
def acids_for_ta(ta_rise_g_per_l: GramsPerLitre, volume_l: Litres) -> tuple[AcidForTa, ...]:
    """Pure tartaric, malic, citric and lactic acid that give the same rise of titratable acidity.

    Range: rise above 0 and at most 20 g/L as tartaric acid, volume above 0 L. Raises `OutOfRange`. Source:
    equivalent masses, see `masses`.
    """
    each = (
        ("tartaric", TARTARIC_PER_EQ),
        ("malic", MALIC_PER_EQ),
        ("citric", CITRIC_PER_EQ),
        ("lactic", LACTIC_PER_EQ),
    )
    grams = ((name, _grams(ta_rise_g_per_l, volume_l, per_eq, 100.0)) for name, per_eq in each)
    return tuple(AcidForTa(name, amount, amount / volume_l) for name, amount in grams)


@calculator(
    "ph_after_tartaric_by_rule",
    result="the pH to expect, roughly",
    formula="ph - ph_drop_per_g_per_l x tartaric_g_per_l",
)
def ph_after_tartaric_by_rule(
    ph: PH, tartaric_g_per_l: GramsPerLitre, ph_drop_per_g_per_l: PHPerGramPerLitre = PH_DROP_PER_G_PER_L
) -> PH:
    """The pH after tartaric acid, by the rule of thumb: rough, and only for a start.

    Range: pH 2.5 to 5, tartaric acid 0 to 5 g/L, fall above 0 and at most 0.5 pH per g/L. Source of the usual
    0.1: common practice; 0.13 at crush and 0.30 after malolactic were measured in one red, Virginia
    Winemakers Research Exchange 2021. Raises `OutOfRange`.
    """
    _ph(ph, "pH")
    within("tartaric acid", tartaric_g_per_l, "g/L", at_least=0, at_most=5, mend="Beyond that no rule holds.")
    return ph - _drop(ph_drop_per_g_per_l) * tartaric_g_per_l


@calculator(
    "tartaric_for_ph_by_rule",
    result="tartaric acid for the vessel, roughly",
    formula="(ph - target_ph) / ph_drop_per_g_per_l x volume_l",
)
def tartaric_for_ph_by_rule(
    ph: PH, target_ph: PH, volume_l: Litres, ph_drop_per_g_per_l: PHPerGramPerLitre = PH_DROP_PER_G_PER_L
) -> Grams:
    """Tartaric acid for a wanted pH, by the rule of thumb: add half, mix, measure, then see.

    Range: pH 2.5 to 5 and not below the target; no more than 5 g/L. Source as for
    `ph_after_tartaric_by_rule`. Raises `OutOfRange`.
    """
    _ph(ph, "pH")
    within("target pH", target_ph, "", at_least=2.5, at_most=ph, mend="Acid only lowers the pH.")
    grams_per_l = (ph - target_ph) / _drop(ph_drop_per_g_per_l)
    within(
        "tartaric acid", grams_per_l, "g/L", at_least=0, at_most=5, mend="Set a target nearer to the pH now."
    )
    return added(grams_per_l, "tartaric acid") * wine(volume_l)


def _ph(value: float, what: str) -> float:
    return within(what, value, "", at_least=2.5, at_most=5, mend="Calibrate the meter and measure again.")


def _drop(value: float) -> float:
    return within(
        "fall of pH for each g/L",
        value,
        "",
        more_than=0,
        at_most=0.5,
        mend="0.1 is usual; a bench trial tells.",
    )
