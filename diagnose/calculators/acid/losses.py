"""Acidity that leaves by itself: bitartrate that drops, malic acid that becomes lactic."""

from __future__ import annotations

from ..amounts import GramsPerLitre, OutOfRange
from ..registry import calculator
from .masses import BITARTRATE, MALIC, TARTARIC_PER_EQ
from .ranges import acidity, added, change

_TA_PER_BITARTRATE = TARTARIC_PER_EQ / BITARTRATE
_TA_PER_MALIC_TURNED = TARTARIC_PER_EQ / MALIC


def _left(ta: float, lost: float, by: str) -> float:
    if lost > acidity(ta):
        raise OutOfRange(
            f"The {by} would take {lost:.3g} g/L of acidity, but the wine has only {ta:g} g/L. Check both numbers."
        )
    return ta - lost


@calculator(
    "ta_after_bitartrate",
    result="titratable acidity after the drop",
    formula="ta_g_per_l - bitartrate_g_per_l x 75.043 / 188.176",
)
def ta_after_bitartrate(ta_g_per_l: GramsPerLitre, bitartrate_g_per_l: GramsPerLitre) -> GramsPerLitre:
    """Titratable acidity, as tartaric acid, after so much potassium bitartrate has dropped.

    It always falls, whichever way the pH goes. Range: acidity 0 to 100 g/L, drop 0 to 40 g/L and no more than
    the acidity allows. Raises `OutOfRange`. Source: one acid hydrogen in each bitartrate; molar masses.
    """
    return _left(
        ta_g_per_l, added(bitartrate_g_per_l, "dropped bitartrate") * _TA_PER_BITARTRATE, "bitartrate"
    )


@calculator(
    "bitartrate_from_ta_drop",
    result="bitartrate that dropped",
    formula="ta_drop_g_per_l x 188.176 / 75.043",
)
def bitartrate_from_ta_drop(ta_drop_g_per_l: GramsPerLitre) -> GramsPerLitre:
    """Potassium bitartrate that must have dropped for the titratable acidity to fall by so much.

    By bitartrate alone. Range: fall above 0 and at most 15.9 g/L as tartaric acid, which makes 40 g/L of bitartrate.
    Raises `OutOfRange`. Source: as for `ta_after_bitartrate`.
    """
    dropped = change(ta_drop_g_per_l, "fall of acidity") / _TA_PER_BITARTRATE
    return added(dropped, "dropped bitartrate")


@calculator(
    "ta_after_malolactic",
    result="titratable acidity after malolactic fermentation",
    formula="ta_g_per_l - malic_turned_g_per_l x 75.043 / 134.087",
)
def ta_after_malolactic(ta_g_per_l: GramsPerLitre, malic_turned_g_per_l: GramsPerLitre) -> GramsPerLitre:
    """Titratable acidity, as tartaric acid, after so much malic acid has become lactic acid.

    Two acid hydrogens become one; bitartrate that drops besides takes more. Range: acidity 0 to 100 g/L, malic
    acid 0 to 40 g/L and no more than the acidity allows. Raises `OutOfRange`. Source: molar masses.
    """
    return _left(ta_g_per_l, added(malic_turned_g_per_l, "malic acid") * _TA_PER_MALIC_TURNED, "malic acid")
