"""What leaves by itself: bitartrate that drops, malic acid that becomes lactic; pH and acidity after it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from ..acid import masses
from ..acid.ranges import added, share
from ..amounts import PH, GramsPerLitre, MolesPerLitre, OutOfRange, Percent, PercentAlcohol, PHDifference
from ..registry import calculator, worksheet
from .balance import Wine, measured_ph, wine_from, wine_given
from .constants import USUAL_ALCOHOL_PERCENT, USUAL_IONIC_STRENGTH, pivot_ph

_END_POINT_PH = 8.2
"""Of the titration that the worksheets work out; usual in the trade, from memory."""

_NO_CHANGE = 0.005
"""A pH meter for the cellar shows two digits: less than half of the last is no change."""


def _cations_before(ph: float, **given: float) -> Mapping[str, float]:
    return {"cations_before": wine_given(given).measured_excess(ph)}


def _without_bitartrate(wine: Wine, ph: float, bitartrate_g_per_l: float) -> tuple[Wine, float]:
    """The wine and its pH once the bitartrate has left: one tartaric acid and one potassium each."""
    excess = wine.measured_excess(measured_ph(ph))
    mmol = 1000 * added(bitartrate_g_per_l, "dropped bitartrate") / masses.BITARTRATE
    most = min(wine.mmol_per_l["tartaric"], excess)
    if mmol > most:
        raise OutOfRange(
            f"The dropped bitartrate is {bitartrate_g_per_l:g} g/L; this wine has tartaric acid and potassium "
            f"for at most {max(most, 0) * masses.BITARTRATE / 1000:.3g}. Check the acids and the drop."
        )
    after = wine.with_more(tartaric=-mmol)
    return after, after.ph(excess - mmol)


def _turned(wine: Wine, ph: float, malic_turned_percent: float) -> tuple[Wine, float]:
    """The wine and its pH once so much of the malic acid is lactic acid."""
    excess = wine.measured_excess(measured_ph(ph))
    mmol = wine.mmol_per_l["malic"] * share(malic_turned_percent, "share of the malic acid turned") / 100
    after = wine.with_more(malic=-mmol, lactic=mmol)
    return after, after.ph(excess)


@calculator(
    "ph_after_bitartrate",
    result="the pH after the drop",
    formula="the pH at which the acids left carry cations_before - bitartrate_g_per_l x 1000 / 188.176 + "
    "free hydrogen",
    working=_cations_before,
)
def ph_after_bitartrate(
    ph: PH,
    bitartrate_g_per_l: GramsPerLitre,
    tartaric_g_per_l: GramsPerLitre,
    malic_g_per_l: GramsPerLitre,
    lactic_g_per_l: GramsPerLitre = 0.0,
    citric_g_per_l: GramsPerLitre = 0.0,
    acetic_g_per_l: GramsPerLitre = 0.0,
    succinic_g_per_l: GramsPerLitre = 0.0,
    alcohol_percent: PercentAlcohol = USUAL_ALCOHOL_PERCENT,
    ionic_strength_mol_per_l: MolesPerLitre = USUAL_IONIC_STRENGTH,
) -> PH:
    """The pH after so much potassium bitartrate has dropped: lower from below the pivot, higher from above.

    Acids are those before the drop. Range: as for `cation_excess`; the drop 0 to 40 g/L and no more than the
    tartaric acid and the cations allow. Raises `OutOfRange`. Source: balance of charges; the direction in
    AWRI, KHT deposits and cold stability.
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
    return _without_bitartrate(wine, ph, bitartrate_g_per_l)[1]


@calculator(
    "ph_after_malolactic",
    result="the pH after malolactic fermentation",
    formula="the pH at which the acids, malic turned to lactic, carry cations_before + free hydrogen",
    working=_cations_before,
)
def ph_after_malolactic(
    ph: PH,
    tartaric_g_per_l: GramsPerLitre,
    malic_g_per_l: GramsPerLitre,
    lactic_g_per_l: GramsPerLitre = 0.0,
    citric_g_per_l: GramsPerLitre = 0.0,
    acetic_g_per_l: GramsPerLitre = 0.0,
    succinic_g_per_l: GramsPerLitre = 0.0,
    malic_turned_percent: Percent = 100.0,
    alcohol_percent: PercentAlcohol = USUAL_ALCOHOL_PERCENT,
    ionic_strength_mol_per_l: MolesPerLitre = USUAL_IONIC_STRENGTH,
) -> PH:
    """The pH after malic acid has become lactic acid, once the carbon dioxide has left.

    Acids are those before. Range: as for `cation_excess`; share turned 0 to 100 %. Raises `OutOfRange`.
    Source: balance of charges; one lactic acid from each malic acid.
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
    return _turned(wine, ph, malic_turned_percent)[1]


@dataclass(frozen=True)
class BitartrateEffect:
    """pH and acidity before and after bitartrate drops."""

    ph_before: PH
    ph_after: PH
    ph_change: PHDifference
    pivot_ph: PH
    direction: str
    ta_before_g_per_l: GramsPerLitre
    ta_after_g_per_l: GramsPerLitre
    tartaric_left_g_per_l: GramsPerLitre


@worksheet("bitartrate_effect", result="acidity and pH before and after the drop")
def bitartrate_effect(
    ph: PH,
    bitartrate_g_per_l: GramsPerLitre,
    tartaric_g_per_l: GramsPerLitre,
    malic_g_per_l: GramsPerLitre,
    lactic_g_per_l: GramsPerLitre = 0.0,
    citric_g_per_l: GramsPerLitre = 0.0,
    acetic_g_per_l: GramsPerLitre = 0.0,
    succinic_g_per_l: GramsPerLitre = 0.0,
    alcohol_percent: PercentAlcohol = USUAL_ALCOHOL_PERCENT,
    ionic_strength_mol_per_l: MolesPerLitre = USUAL_IONIC_STRENGTH,
) -> BitartrateEffect:
    """pH and titratable acidity before and after a bitartrate drop, and which way the pH goes.

    Acidity is as tartaric acid, worked out to pH 8.2 from the acids given. Range: as for
    `ph_after_bitartrate`. Raises `OutOfRange`. Source: as there.
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
    after, ph_after = _without_bitartrate(wine, ph, bitartrate_g_per_l)
    return BitartrateEffect(
        ph,
        ph_after,
        ph_after - ph,
        pivot_ph(alcohol_percent, ionic_strength_mol_per_l),
        _direction(ph_after - ph),
        _ta(wine, ph),
        _ta(after, ph_after),
        after.mmol_per_l["tartaric"] * masses.TARTARIC / 1000,
    )


@dataclass(frozen=True)
class MalolacticEffect:
    """pH and acidity before and after malolactic fermentation."""

    ph_before: PH
    ph_after: PH
    ph_change: PHDifference
    ta_before_g_per_l: GramsPerLitre
    ta_after_g_per_l: GramsPerLitre
    malic_left_g_per_l: GramsPerLitre
    lactic_made_g_per_l: GramsPerLitre


@worksheet("malolactic_effect", result="acidity and pH before and after malolactic fermentation")
def malolactic_effect(
    ph: PH,
    tartaric_g_per_l: GramsPerLitre,
    malic_g_per_l: GramsPerLitre,
    lactic_g_per_l: GramsPerLitre = 0.0,
    citric_g_per_l: GramsPerLitre = 0.0,
    acetic_g_per_l: GramsPerLitre = 0.0,
    succinic_g_per_l: GramsPerLitre = 0.0,
    malic_turned_percent: Percent = 100.0,
    alcohol_percent: PercentAlcohol = USUAL_ALCOHOL_PERCENT,
    ionic_strength_mol_per_l: MolesPerLitre = USUAL_IONIC_STRENGTH,
) -> MalolacticEffect:
    """pH, titratable acidity and malic and lactic acid before and after malolactic fermentation.

    Acidity is as tartaric acid, worked out to pH 8.2 from the acids given. Range: as for
    `ph_after_malolactic`. Raises `OutOfRange`. Source: as there.
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
    after, ph_after = _turned(wine, ph, malic_turned_percent)
    made = after.mmol_per_l["lactic"] - wine.mmol_per_l["lactic"]
    return MalolacticEffect(
        ph,
        ph_after,
        ph_after - ph,
        _ta(wine, ph),
        _ta(after, ph_after),
        after.mmol_per_l["malic"] * masses.MALIC / 1000,
        made * masses.LACTIC / 1000,
    )


def _direction(change: float) -> str:
    if abs(change) < _NO_CHANGE:
        return "the pH stays"
    return "the pH falls" if change < 0 else "the pH rises"


def _ta(wine: Wine, ph: float) -> float:
    return wine.titratable(ph, _END_POINT_PH) * masses.TARTARIC_PER_EQ / 1000
