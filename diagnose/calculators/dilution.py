"""Adding one liquid to another: stocks, water, blends. Plain balances of volume and amount.

The volumes of wine, water and dilute stocks are taken to add up. pH does not follow these sums.
"""

from __future__ import annotations

from .amounts import AnyUnit, Grams, GramsPerLitre, Litres, Millilitres, OutOfRange, Percent, within
from .registry import calculator

MOST_SHARE_PERCENT = 99.0
"""A blend with more of the other wine than this is the other wine."""

_SAME_UNIT = "Give every concentration in the same unit."


def _concentration(what: str, value: float) -> float:
    return within(what, value, "in your unit", at_least=0, mend=_SAME_UNIT)


def _volume(what: str, value: float, unit: str = "mL") -> float:
    return within(what, value, unit, more_than=0, mend=f"Give the volume in {unit}.")


def _addition(value: float, unit: str = "mL") -> float:
    return within("added volume", value, unit, at_least=0, mend="Give 0 when nothing is added.")


def _share(percent: float) -> float:
    mend = "It is the part of the finished blend; 100 % would be the other wine alone."
    return within("share of the other wine", percent, "%", at_least=0, at_most=MOST_SHARE_PERCENT, mend=mend)


@calculator(
    "concentration_after_addition",
    result="concentration in the mix",
    formula="(stock x added_ml + start x sample_ml) / (sample_ml + added_ml)",
)
def concentration_after_addition(
    stock: AnyUnit, added_ml: Millilitres, sample_ml: Millilitres, start: AnyUnit = 0.0
) -> AnyUnit:
    """Concentration in a sample after an addition of stock, the added volume counted.

    Range: concentrations and the addition at least 0, the sample above 0 mL.
    Formula: (stock x added + start x sample) / (sample + added). Raises `OutOfRange`.
    """
    _concentration("strength of the stock", stock)
    _concentration("concentration at the start", start)
    _addition(added_ml)
    _volume("sample", sample_ml)
    return (stock * added_ml + start * sample_ml) / (sample_ml + added_ml)


@calculator(
    "stock_ml_for_concentration",
    result="volume of stock to add",
    formula="sample_ml x (target - start) / (stock - target)",
)
def stock_ml_for_concentration(
    target: AnyUnit, stock: AnyUnit, sample_ml: Millilitres, start: AnyUnit = 0.0
) -> Millilitres:
    """Stock to add so that the mix, its own volume counted, has the target concentration.

    Range: start <= target < stock; the sample above 0 mL.
    Formula: sample x (target - start) / (stock - target). Raises `OutOfRange`.
    """
    _volume("sample", sample_ml)
    _concentration("concentration at the start", start)
    within("target", target, "in your unit", at_least=start, mend="An addition of stock can only raise it.")
    within("strength of the stock", stock, "in your unit", more_than=target, mend="Make a stronger stock.")
    return sample_ml * (target - start) / (stock - target)


@calculator(
    "water_for_dilution_l", result="volume of water to add", formula="volume_l x (start / target - 1)"
)
def water_for_dilution_l(start: AnyUnit, volume_l: Litres, target: AnyUnit) -> Litres:
    """Water that brings a concentration down to a target: C1 V1 = C2 V2.

    Range: 0 < target <= start; the volume above 0 L. Raises `OutOfRange`.
    """
    _volume("volume", volume_l, "L")
    within("target", target, "in your unit", more_than=0, mend="Water alone never brings it to nothing.")
    within("concentration at the start", start, "in your unit", at_least=target, mend="Water only lowers it.")
    return volume_l * (start / target - 1)


@calculator("diluted", result="value after the addition", formula="value x volume_l / (volume_l + added_l)")
def diluted(value: AnyUnit, volume_l: Litres, added_l: Litres) -> AnyUnit:
    """Alcohol, sugar, acid or the like after adding a liquid that has none of it.

    Range: value and addition at least 0, the volume above 0 L. Not for pH.
    Formula: value x volume / (volume + added). Raises `OutOfRange`.
    """
    _concentration("value", value)
    _volume("volume", volume_l, "L")
    _addition(added_l, "L")
    return value * volume_l / (volume_l + added_l)


@calculator(
    "dilution_percent",
    result="share of the mix that was added",
    formula="100 x added_ml / (sample_ml + added_ml)",
)
def dilution_percent(added_ml: Millilitres, sample_ml: Millilitres) -> Percent:
    """Share of the final mix that is added liquid, in percent.

    Range: the addition at least 0 mL, the sample above 0 mL.
    Formula: 100 x added / (sample + added). Raises `OutOfRange`.
    """
    _addition(added_ml)
    _volume("sample", sample_ml)
    return 100 * added_ml / (sample_ml + added_ml)


@calculator(
    "blend",
    result="value in the blend",
    formula="(value_a x volume_a_l + value_b x volume_b_l) / (volume_a_l + volume_b_l)",
)
def blend(value_a: AnyUnit, volume_a_l: Litres, value_b: AnyUnit, volume_b_l: Litres) -> AnyUnit:
    """Alcohol, sugar, acid or the like in a blend of two wines.

    Range: values at least 0; volumes at least 0 L and not both 0. Not for pH.
    Formula: the mean weighted by volume. Raises `OutOfRange`.
    """
    _concentration("value of the first wine", value_a)
    _concentration("value of the second wine", value_b)
    within("first volume", volume_a_l, "L", at_least=0, mend="Give the volume in L.")
    within("second volume", volume_b_l, "L", at_least=0, mend="Give the volume in L.")
    _volume("volume of the blend", volume_a_l + volume_b_l, "L")
    return (value_a * volume_a_l + value_b * volume_b_l) / (volume_a_l + volume_b_l)


@calculator(
    "blend_share_percent",
    result="share of the first wine",
    formula="100 x (target - value_b) / (value_a - value_b)",
)
def blend_share_percent(value_a: AnyUnit, value_b: AnyUnit, target: AnyUnit) -> Percent:
    """Share of the first wine, by volume, in a blend that reaches a target (the Pearson square).

    Range: the target between the two values, which differ. Not for pH.
    Formula: 100 x (target - b) / (a - b). Raises `OutOfRange`.
    """
    if value_a == value_b:
        raise OutOfRange(f"Both wines have {value_a:g}, so no blend changes it. Choose another wine.")
    within(
        "target",
        target,
        "in your unit",
        at_least=min(value_a, value_b),
        at_most=max(value_a, value_b),
        mend="A blend always lies between its two wines. Choose another wine.",
    )
    return 100 * (target - value_b) / (value_a - value_b)


@calculator(
    "blend_volume_l",
    result="volume of the second wine to add",
    formula="volume_a_l x (target - value_a) / (value_b - target)",
)
def blend_volume_l(value_a: AnyUnit, volume_a_l: Litres, value_b: AnyUnit, target: AnyUnit) -> Litres:
    """Volume of the second wine to add to all of the first to reach a target.

    Range: the target between the two values and not that of the second wine. Not for pH.
    Formula: volume x (target - a) / (b - target). Raises `OutOfRange`.
    """
    _volume("volume of the first wine", volume_a_l, "L")
    share = blend_share_percent(value_a, value_b, target) / 100
    within("share of the first wine", share, "", more_than=0, mend="The target is the second wine itself.")
    return volume_a_l * (1 - share) / share


@calculator(
    "blend_volume_for_share_l",
    result="volume of the other wine to add",
    formula="volume_l x share_percent / (100 - share_percent)",
)
def blend_volume_for_share_l(volume_l: Litres, share_percent: Percent) -> Litres:
    """Volume of another wine to add to all of this one, so that it is this share of the finished blend.

    Range: volume above 0 L; share 0 to 99 %. Formula: volume x share / (100 - share), from share = added / (volume +
    added). Raises `OutOfRange`.
    """
    return _volume("volume of this wine", volume_l, "L") * _share(share_percent) / (100 - share_percent)


@calculator(
    "blend_total_for_share_l",
    result="volume of the finished blend",
    formula="volume_l x 100 / (100 - share_percent)",
)
def blend_total_for_share_l(volume_l: Litres, share_percent: Percent) -> Litres:
    """Volume of the finished blend, and so of the vessel, when all of this wine is blended with this share of another.

    Range: volume above 0 L; share 0 to 99 %. Formula: volume x 100 / (100 - share). Raises `OutOfRange`.
    """
    return 100 * _volume("volume of this wine", volume_l, "L") / (100 - _share(share_percent))


@calculator("grams_for_dose", result="agent for the vessel", formula="dose_g_per_l x volume_l")
def grams_for_dose(dose_g_per_l: GramsPerLitre, volume_l: Litres) -> Grams:
    """What a dose of anything weighs for a vessel.

    Range: dose above 0 and at most 120 g/L, which sugar may need; volume above 0 L. Formula: dose x volume.
    Raises `OutOfRange`.
    """
    _volume("volume", volume_l, "L")
    within("dose", dose_g_per_l, "g/L", more_than=0, at_most=120, mend="Check the unit: 50 g/hL is 0.5 g/L.")
    return dose_g_per_l * volume_l


@calculator("share_of_volume_l", result="the share of the volume", formula="volume_l x percent / 100")
def share_of_volume_l(volume_l: Litres, percent: Percent) -> Litres:
    """A share of a volume: what stays in the lees, what a starter takes, what is left out.

    Range: volume above 0 L, share 0 to 100 %. Raises `OutOfRange`.
    """
    _volume("volume", volume_l, "L")
    within("share", percent, "%", at_least=0, at_most=100, mend="Give it in percent.")
    return volume_l * percent / 100
