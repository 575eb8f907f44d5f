"""Lowering the acidity with carbonates: grams for a vessel, and what a dose takes off.

A carbonate takes acid by turning it into carbon dioxide; a potassium salt takes a second share when its
potassium leaves as bitartrate, which takes one more acid hydrogen with it. How much bitartrate will fall is
seen only afterwards, so the potassium salts have a range: at 0 % fallen the Handbook of Enology figure, at
100 % half of the dose. Common practice lies between and a bench trial decides. Stir well, the vessel no more
than three quarters full: it foams, and the gas does not support life (common practice).
"""

from __future__ import annotations

from dataclasses import dataclass

from ..amounts import PH, Grams, GramsPerLitre, Litres, Percent, wine, within
from ..registry import calculator, worksheet
from .masses import CALCIUM_CARBONATE, POTASSIUM_BICARBONATE, POTASSIUM_CARBONATE, TARTARIC_PER_EQ
from .ranges import acidity, added, change, share

CALCIUM_CARBONATE_PER_EQ = CALCIUM_CARBONATE / 2
POTASSIUM_CARBONATE_PER_EQ = POTASSIUM_CARBONATE / 2
POTASSIUM_BICARBONATE_PER_EQ = POTASSIUM_BICARBONATE

DOUBLE_SALT_LEAST_PH = 4.5
"""Below it calcium malate-tartrate does not form: AWRI, Deacidification (frequently asked questions), after
Ribéreau-Gayon et al. 2006."""

DOUBLE_SALT_TA_LEFT_G_PER_L = 2.0
"""Acidity that the treated part of a double-salt treatment keeps, g/L as tartaric acid, from memory."""


def _dose(ta_drop: float, grams_per_eq: float, bitartrate_fall_percent: float = 0.0) -> float:
    fallen = share(bitartrate_fall_percent, "share of the potassium that falls as bitartrate") / 100
    return change(ta_drop, "wanted fall of acidity") * grams_per_eq / TARTARIC_PER_EQ / (1 + fallen)


def _drop(dose_g_per_l: float, grams_per_eq: float, bitartrate_fall_percent: float = 0.0) -> float:
    fallen = share(bitartrate_fall_percent, "share of the potassium that falls as bitartrate") / 100
    return added(dose_g_per_l, "dose") * TARTARIC_PER_EQ / grams_per_eq * (1 + fallen)


@calculator(
    "calcium_carbonate_for_ta",
    result="calcium carbonate for the vessel",
    formula="ta_drop_g_per_l x 50.043 / 75.043 x volume_l",
)
def calcium_carbonate_for_ta(ta_drop_g_per_l: GramsPerLitre, volume_l: Litres) -> Grams:
    """Calcium carbonate that lowers the titratable acidity of a vessel by so much.

    Range: fall above 0 and at most 20 g/L as tartaric acid, volume above 0 L. It needs tartaric acid of
    its own, one and a half times its weight; calcium tartrate goes on falling for weeks (common practice). Raises
    `OutOfRange`. Source: stoichiometry; agrees with Handbook of Enology vol. 2, 3rd ed. (2021), 1.4.3.
    """
    return _dose(ta_drop_g_per_l, CALCIUM_CARBONATE_PER_EQ) * wine(volume_l)


@calculator(
    "potassium_bicarbonate_for_ta",
    result="potassium bicarbonate for the vessel",
    formula="ta_drop_g_per_l x 100.114 / 75.043 / (1 + bitartrate_fall_percent / 100) x volume_l",
)
def potassium_bicarbonate_for_ta(
    ta_drop_g_per_l: GramsPerLitre, volume_l: Litres, bitartrate_fall_percent: Percent = 0.0
) -> Grams:
    """Potassium bicarbonate that lowers the titratable acidity of a vessel by so much.

    `bitartrate_fall_percent` is the share of the added potassium that leaves as bitartrate: 0 is the
    Handbook's figure and the fall seen at once; about 50 is common practice (0.9 g for each g); 100 is the
    least dose, and with it a wine that drops all is not overdone. Range: fall above 0 and at most 20 g/L as
    tartaric acid, volume above 0 L, share 0 to 100 %. Raises `OutOfRange`. Source: stoichiometry of the scheme
    in AWRI, Deacidification; Handbook of Enology vol. 2, 3rd ed. (2021), 1.4.3.
    """
    return _dose(ta_drop_g_per_l, POTASSIUM_BICARBONATE_PER_EQ, bitartrate_fall_percent) * wine(volume_l)


@calculator(
    "potassium_carbonate_for_ta",
    result="potassium carbonate for the vessel",
    formula="ta_drop_g_per_l x 69.102 / 75.043 / (1 + bitartrate_fall_percent / 100) x volume_l",
)
def potassium_carbonate_for_ta(
    ta_drop_g_per_l: GramsPerLitre, volume_l: Litres, bitartrate_fall_percent: Percent = 0.0
) -> Grams:
    """Potassium carbonate that lowers the titratable acidity of a vessel by so much.

    It is caustic: keep it off skin and eyes. Range: fall above 0 and at most 20 g/L as tartaric acid, volume
    above 0 L, share of its potassium that leaves as bitartrate 0 to 100 %. Raises `OutOfRange`. Source: as for
    `potassium_bicarbonate_for_ta`.
    """
    return _dose(ta_drop_g_per_l, POTASSIUM_CARBONATE_PER_EQ, bitartrate_fall_percent) * wine(volume_l)


@calculator(
    "ta_drop_by_calcium_carbonate",
    result="fall of titratable acidity",
    formula="dose_g_per_l x 75.043 / 50.043",
)
def ta_drop_by_calcium_carbonate(dose_g_per_l: GramsPerLitre) -> GramsPerLitre:
    """What a dose of calcium carbonate takes off the titratable acidity, as tartaric acid.

    Range: dose 0 to 40 g/L. Raises `OutOfRange`. Source as for `calcium_carbonate_for_ta`.
    """
    return _drop(dose_g_per_l, CALCIUM_CARBONATE_PER_EQ)


@calculator(
    "ta_drop_by_potassium_bicarbonate",
    result="fall of titratable acidity",
    formula="dose_g_per_l x 75.043 / 100.114 x (1 + bitartrate_fall_percent / 100)",
)
def ta_drop_by_potassium_bicarbonate(
    dose_g_per_l: GramsPerLitre, bitartrate_fall_percent: Percent = 0.0
) -> GramsPerLitre:
    """What a dose of potassium bicarbonate takes off the titratable acidity, as tartaric acid.

    Range: dose 0 to 40 g/L, share 0 to 100 %. Raises `OutOfRange`. Source as for
    `potassium_bicarbonate_for_ta`.
    """
    return _drop(dose_g_per_l, POTASSIUM_BICARBONATE_PER_EQ, bitartrate_fall_percent)


@calculator(
    "ta_drop_by_potassium_carbonate",
    result="fall of titratable acidity",
    formula="dose_g_per_l x 75.043 / 69.102 x (1 + bitartrate_fall_percent / 100)",
)
def ta_drop_by_potassium_carbonate(
    dose_g_per_l: GramsPerLitre, bitartrate_fall_percent: Percent = 0.0
) -> GramsPerLitre:
    """What a dose of potassium carbonate takes off the titratable acidity, as tartaric acid.

    Range: dose 0 to 40 g/L, share 0 to 100 %. Raises `OutOfRange`. Source as for
    `potassium_bicarbonate_for_ta`.
    """
    return _drop(dose_g_per_l, POTASSIUM_CARBONATE_PER_EQ, bitartrate_fall_percent)


@dataclass(frozen=True)
class Deacidifier:
    """The grams of one carbonate for a wanted fall, least and most."""

    salt: str
    least_grams: Grams
    """Enough when all of its potassium leaves as bitartrate."""
    most_grams: Grams
    """Needed when none does; the figure of the Handbook of Enology."""


@worksheet("deacidifiers_for_ta", result="grams of each carbonate, least and most")
def deacidifiers_for_ta(ta_drop_g_per_l: GramsPerLitre, volume_l: Litres) -> tuple[Deacidifier, ...]:
    """Calcium carbonate, potassium bicarbonate and potassium carbonate for the same fall of acidity.

    Range: fall above 0 and at most 20 g/L as tartaric acid, volume above 0 L. Start with the least, wait for
    the cold, measure. Raises `OutOfRange`. Source as for the sums of each salt.
    """
    calcium = calcium_carbonate_for_ta(ta_drop_g_per_l, volume_l)
    potassium = (
        ("potassium bicarbonate", potassium_bicarbonate_for_ta),
        ("potassium carbonate", potassium_carbonate_for_ta),
    )
    return (
        Deacidifier("calcium carbonate", calcium, calcium),
        *(
            Deacidifier(name, grams(ta_drop_g_per_l, volume_l, 100.0), grams(ta_drop_g_per_l, volume_l, 0.0))
            for name, grams in potassium
        ),
    )


@calculator(
    "double_salt_share_percent",
    result="share of the volume to treat",
    formula="100 x (ta_g_per_l - target_ta_g_per_l) / (ta_g_per_l - ta_left_g_per_l)",
)
def double_salt_share_percent(
    ta_g_per_l: GramsPerLitre,
    target_ta_g_per_l: GramsPerLitre,
    ta_left_g_per_l: GramsPerLitre = DOUBLE_SALT_TA_LEFT_G_PER_L,
) -> Percent:
    """Share of must or wine to take through a double-salt treatment, the rest being blended back.

    `ta_left_g_per_l` is what the treated part keeps. Range: left <= target <= acidity now, acidity now above
    what is left. Acidities in g/L as tartaric acid. Raises `OutOfRange`. Source: a balance of the acid; the
    2 g/L left, from memory.
    """
    acidity(ta_left_g_per_l, "acidity left in the treated part")
    within(
        "titratable acidity",
        acidity(ta_g_per_l),
        "g/L",
        more_than=ta_left_g_per_l,
        mend="There is no acid here for the treatment to take.",
    )
    within(
        "target",
        target_ta_g_per_l,
        "g/L",
        at_least=ta_left_g_per_l,
        at_most=ta_g_per_l,
        mend="The treatment lowers acid, but not below what the treated part keeps.",
    )
    return 100 * (ta_g_per_l - target_ta_g_per_l) / (ta_g_per_l - ta_left_g_per_l)


@dataclass(frozen=True)
class DoubleSaltPlan:
    """What goes where in a double-salt treatment."""

    share_percent: Percent
    treated_l: Litres
    untreated_l: Litres
    calcium_carbonate_g: Grams
    keep_ph_above: PH
    """In the treated part, all the while it runs onto the carbonate."""


@worksheet("double_salt_plan", result="volumes and calcium carbonate")
def double_salt_plan(
    ta_g_per_l: GramsPerLitre,
    target_ta_g_per_l: GramsPerLitre,
    volume_l: Litres,
    ta_left_g_per_l: GramsPerLitre = DOUBLE_SALT_TA_LEFT_G_PER_L,
) -> DoubleSaltPlan:
    """The part to treat, the part to keep, the calcium carbonate and the pH to hold for the double salt.

    The carbonate is made to a slurry with a little of the must, and the part to treat is stirred slowly into
    it, never the other way round; then it is racked off the salt and blended with the rest. Range: acid
    left <= target < acidity now, in g/L as tartaric acid; volume above 0 L. Raises `OutOfRange`.
    Source: stoichiometry; pH from AWRI, Deacidification.
    """
    share_percent = double_salt_share_percent(ta_g_per_l, target_ta_g_per_l, ta_left_g_per_l)
    treated = wine(volume_l) * share_percent / 100
    return DoubleSaltPlan(
        share_percent,
        treated,
        volume_l - treated,
        calcium_carbonate_for_ta(ta_g_per_l - target_ta_g_per_l, volume_l),
        DOUBLE_SALT_LEAST_PH,
    )
