"""Until when nitrogen helps: the share of the sugar that has fermented."""

from __future__ import annotations

from dataclasses import dataclass

from ..amounts import Percent, SpecificGravity, within
from ..registry import calculator, worksheet

DRY_GRAVITY = 0.994
"""Gravity of a dry wine from a must of 1.090, from memory; weaker musts end a little higher, stronger lower."""

FIRST_SHARE_PERCENT = 33.0
LAST_AMMONIUM_SHARE_PERCENT = 50.0
LAST_ORGANIC_SHARE_PERCENT = 67.0
"""Shares of the sugar fermented for an addition in good time, for the last of ammonium and for the last of
organic nitrogen: common practice. That alcohol shuts the yeast to late nitrogen: Osborne, Oregon State
University Extension 2018."""


@calculator(
    "share_fermented_percent",
    result="share of the sugar fermented",
    formula="share = 100 x (start_gravity - gravity) / (start_gravity - dry_gravity)",
)
def share_fermented_percent(
    start_gravity: SpecificGravity, gravity: SpecificGravity, dry_gravity: SpecificGravity = DRY_GRAVITY
) -> Percent:
    """Share of the sugar that has fermented, from the gravity at the start, now, and of the dry wine.

    The gravity falls in step with the sugar, since sugar gone and alcohol made both lower it in proportion.
    Range: start 1.02 to 1.2, dry 0.98 to 1.01, now between the two; raises `OutOfRange`.
    Formula: fall so far over fall to dryness. Source: Tabarie's relation, OIV-MA-AS2-03B; the default for dry
    is from memory.
    """
    start, dry = _must_gravities(start_gravity, dry_gravity)
    within(
        "gravity now",
        gravity,
        "",
        at_least=dry,
        at_most=start,
        mend="It lies between the gravity at the start and that of the dry wine; read it again, free of gas.",
    )
    return 100 * (start - gravity) / (start - dry)


@calculator(
    "gravity_at_share_fermented",
    result="gravity at that share",
    formula="gravity = start_gravity - share_percent / 100 x (start_gravity - dry_gravity)",
)
def gravity_at_share_fermented(
    start_gravity: SpecificGravity, share_percent: Percent, dry_gravity: SpecificGravity = DRY_GRAVITY
) -> SpecificGravity:
    """Gravity at which a share of the sugar has fermented: the inverse of `share_fermented_percent`.

    Range: start 1.02 to 1.2, dry 0.98 to 1.01, share 0 to 100 %; raises `OutOfRange`.
    Source: Tabarie's relation, OIV-MA-AS2-03B; the default for dry is from memory.
    """
    start, dry = _must_gravities(start_gravity, dry_gravity)
    share = within(
        "share fermented", share_percent, "%", at_least=0, at_most=100, mend="Half the sugar is 50 %."
    )
    return start - share / 100 * (start - dry)


@dataclass(frozen=True)
class NutrientTiming:
    """The gravities at which nitrogen helps, and where the must stands now."""

    share_fermented_percent: Percent
    first_addition_gravity: SpecificGravity
    last_ammonium_gravity: SpecificGravity
    last_organic_gravity: SpecificGravity
    ammonium_in_time: bool
    organic_in_time: bool
    says: str


@worksheet("nutrient_timing", result="until what gravity nitrogen helps")
def nutrient_timing(
    start_gravity: SpecificGravity,
    gravity: SpecificGravity,
    dry_gravity: SpecificGravity = DRY_GRAVITY,
    first_share_percent: Percent = FIRST_SHARE_PERCENT,
    last_ammonium_share_percent: Percent = LAST_AMMONIUM_SHARE_PERCENT,
    last_organic_share_percent: Percent = LAST_ORGANIC_SHARE_PERCENT,
) -> NutrientTiming:
    """The last sensible moment for nitrogen, as gravities to watch for, and whether it has passed.

    Range: start 1.02 to 1.2, dry 0.98 to 1.01, gravity now between them, shares 0 to 100 %; raises `OutOfRange`.
    Source: late nitrogen is not taken up, Osborne, Oregon State University Extension 2018; the shares, a third
    for an addition in good time, a half for the last ammonium and two thirds for the last organic nitrogen, are
    common practice.
    """
    gone = share_fermented_percent(start_gravity, gravity, dry_gravity)
    ammonium = gone <= last_ammonium_share_percent
    organic = gone <= last_organic_share_percent
    return NutrientTiming(
        share_fermented_percent=gone,
        first_addition_gravity=gravity_at_share_fermented(start_gravity, first_share_percent, dry_gravity),
        last_ammonium_gravity=gravity_at_share_fermented(
            start_gravity, last_ammonium_share_percent, dry_gravity
        ),
        last_organic_gravity=gravity_at_share_fermented(
            start_gravity, last_organic_share_percent, dry_gravity
        ),
        ammonium_in_time=ammonium,
        organic_in_time=organic,
        says=_timing_words(ammonium, organic),
    )


def _timing_words(ammonium: bool, organic: bool) -> str:
    if ammonium:
        return "In time for ammonium and for organic nitrogen; sooner is better than later."
    if organic:
        return "Too late for ammonium: alcohol keeps the yeast from taking it up. Organic nitrogen may still help."
    return "Too late for any nitrogen: the yeast will not take it up, and what stays feeds spoilage."


def _must_gravities(start: float, dry: float) -> tuple[float, float]:
    within("gravity at the start", start, "", at_least=1.02, at_most=1.2, mend="A must of 22 Brix is 1.092.")
    within("gravity of the dry wine", dry, "", at_least=0.98, at_most=1.01, mend="0.990 to 0.996 is usual.")
    return start, dry
