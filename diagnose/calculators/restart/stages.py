"""A starter as a volume with sugar, alcohol and a temperature: mixing it, and letting it ferment."""

from __future__ import annotations

import math
from dataclasses import dataclass

from ..amounts import (
    Celsius,
    CelsiusDifference,
    Grams,
    GramsPerLitre,
    GravityPoints,
    Litres,
    OutOfRange,
    PercentAlcohol,
    within,
)
from ..ferment_log.pace import gravity_points_for_sugar, smallest_fall_that_counts

SUGAR_G_PER_PERCENT = 16.83
"""Sugar that makes 1 % vol of alcohol in a litre, g: official conversion, IFV (French vine and wine institute)."""


_CLEAN_FIRST = (
    "Rack off the old yeast. Stir in the hulls; rack again after 24 to 48 hours. Then warm the wine."
)
_COOLED_C = 1.0
"""A mix colder than the holding temperature by more than this is said to need warming: a thermometer's line."""

_LAST = "Keep it warm under an airlock until the gravity stands still; then test the sugar."


@dataclass(frozen=True)
class Broth:
    """A liquid in the restart: stuck wine, water or starter."""

    volume_l: float
    sugar_g_per_l: float = 0.0
    alcohol_percent: float = 0.0
    temperature_c: float = 20.0

    def fermented_to(self, sugar_g_per_l: float) -> Broth:
        """The same after its sugar has fallen to a value; the sugar becomes alcohol."""
        gone = max(0.0, self.sugar_g_per_l - sugar_g_per_l)
        return Broth(
            self.volume_l,
            self.sugar_g_per_l - gone,
            self.alcohol_percent + gone / SUGAR_G_PER_PERCENT,
            self.temperature_c,
        )

    def held_at(self, temperature_c: float) -> Broth:
        """The same at another temperature."""
        return Broth(self.volume_l, self.sugar_g_per_l, self.alcohol_percent, temperature_c)

    def part(self, volume_l: float) -> Broth:
        """Some litres of the same."""
        return Broth(volume_l, self.sugar_g_per_l, self.alcohol_percent, self.temperature_c)


def mixed(one: Broth, other: Broth) -> Broth:
    """Two liquids together: sugar, alcohol and heat share out by volume."""
    volume = one.volume_l + other.volume_l

    def shared(a: float, b: float) -> float:
        return (one.volume_l * a + other.volume_l * b) / volume

    return Broth(
        volume,
        shared(one.sugar_g_per_l, other.sugar_g_per_l),
        shared(one.alcohol_percent, other.alcohol_percent),
        shared(one.temperature_c, other.temperature_c),
    )


@dataclass(frozen=True)
class RestartStage:
    """One step of the restart: what goes in, and what the mix then is."""

    stage: str
    wine_added_l: Litres
    water_added_l: Litres
    sugar_added_g: Grams
    yeast_g: Grams
    nutrient_g: Grams
    hulls_g: Grams
    volume_l: Litres
    sugar_g_per_l: GramsPerLitre
    alcohol_percent: PercentAlcohol
    temperature_c: Celsius
    temperature_fall_c: CelsiusDifference
    """How much colder the mix is than the starter was; below 0 when it is warmer."""
    go_on_at_sugar_g_per_l: GramsPerLitre
    gravity_to_fall_points: GravityPoints
    """Fall of the gravity in this stage that shows that this sugar is reached."""
    alcohol_when_dry_percent: PercentAlcohol
    says: str


@dataclass(frozen=True)
class Added:
    """What goes in besides the wine at a stage."""

    water_l: float = 0.0
    sugar_g: float = 0.0
    yeast_g: float = 0.0
    nutrient_g: float = 0.0
    hulls_g: float = 0.0


def stage_line(
    name: str, wine: Broth, mix: Broth, go_on_at: float, *, added: Added, fall_c: float, says: str
) -> RestartStage:
    """The line of the worksheet for a mix."""
    return RestartStage(
        stage=name,
        wine_added_l=wine.volume_l,
        water_added_l=added.water_l,
        sugar_added_g=added.sugar_g,
        yeast_g=added.yeast_g,
        nutrient_g=added.nutrient_g,
        hulls_g=added.hulls_g,
        volume_l=mix.volume_l,
        sugar_g_per_l=mix.sugar_g_per_l,
        alcohol_percent=mix.alcohol_percent,
        temperature_c=mix.temperature_c,
        temperature_fall_c=fall_c,
        go_on_at_sugar_g_per_l=min(go_on_at, mix.sugar_g_per_l),
        gravity_to_fall_points=gravity_points_for_sugar(max(0.0, mix.sugar_g_per_l - go_on_at)),
        alcohol_when_dry_percent=mix.fermented_to(0).alcohol_percent,
        says=says,
    )


def go_on_words(sugar_to_ferment_g_per_l: float) -> str:
    """When to add the next wine, as a fall of the gravity, or by a sugar test where the fall is lost in the noise."""
    points = gravity_points_for_sugar(max(0.0, sugar_to_ferment_g_per_l))
    if points > smallest_fall_that_counts():
        sign = f"as soon as the gravity has fallen by {points:.0f} points"
    else:
        sign = "by a sugar test, for the fall is too small for a hydrometer,"
    return f"Go on {sign}; never let the starter go dry before wine is added."


def coldest_wine_c(starter: Broth, wine_l: float, largest_fall_c: float) -> float:
    """The temperature below which wine would cool a starter by more than allowed: from the balance of heat."""
    return starter.temperature_c - largest_fall_c * (starter.volume_l + wine_l) / wine_l


def stuck_wine(volume_l: float, alcohol: float, sugar: float, temperature_c: float) -> Broth:
    """The stuck wine, with its figures in range. Raises `OutOfRange`."""
    within("stuck wine", volume_l, "L", more_than=0, mend="Give the wine in the vessel in litres.")
    within(
        "alcohol of the stuck wine",
        alcohol,
        "% vol",
        at_least=0,
        at_most=17,
        mend="Have it measured, not reckoned.",
    )
    within(
        "sugar left", sugar, "g/L", more_than=0, at_most=200, mend="With no sugar left it is done, not stuck."
    )
    within("stuck wine's temperature", temperature_c, "C", at_least=0, at_most=40, mend="Measure it in C.")
    return Broth(volume_l, sugar, alcohol, temperature_c)


def warm(what: str, value: float) -> float:
    """A temperature at which yeast works."""
    return within(what, value, "C", at_least=10, at_most=35, mend="20 to 28 C is usual for a restart.")


def share(what: str, value: float, *, at_most: float = 100) -> float:
    """A share in percent, above 0."""
    return within(what, value, "%", more_than=0, at_most=at_most, mend="Give it in percent.")


def dose_g_per_hl(what: str, value: float) -> float:
    """A dose in g/hL, 0 or more."""
    return within(what, value, "g/hL", at_least=0, at_most=200, mend="Check the unit: 0.4 g/L is 40 g/hL.")


def allowed_fall(value: float) -> float:
    """The largest fall of temperature that the yeast may meet at once."""
    return within("largest fall", value, "C", more_than=0, at_most=15, mend="10 is published; 5 is gentle.")


def clean_line(stuck: Broth, hulls_g_per_hl: float) -> RestartStage:
    """The line that comes before any starter: the old yeast out, hulls in and out."""
    hulls = dose_g_per_hl("dose of hulls", hulls_g_per_hl) * stuck.volume_l / 100
    return stage_line(
        "clean the wine",
        stuck,
        stuck,
        stuck.sugar_g_per_l,
        added=Added(hulls_g=hulls),
        fall_c=0.0,
        says=_CLEAN_FIRST,
    )


def taken_up(
    stuck: Broth,
    broth: Broth,
    parts: tuple[float, ...],
    going_on: float,
    hold_c: float,
    largest_fall_c: float,
) -> list[RestartStage]:
    """The working starter takes up the wine part by part, fermenting in between."""
    lines = []
    for number, wine_l in enumerate(parts, start=1):
        last = number == len(parts)
        broth = broth.held_at(hold_c)
        mix = mixed(broth, stuck.part(wine_l))
        go_on_at = 0.0 if last else going_on * mix.sugar_g_per_l
        fall = broth.temperature_c - mix.temperature_c
        words = _LAST if last else go_on_words(mix.sugar_g_per_l - go_on_at)
        if fall > largest_fall_c:
            coldest = math.ceil(coldest_wine_c(broth, wine_l, largest_fall_c))
            words = (
                f"TOO COLD: warm this wine to at least {coldest} C, or the shock may stop the yeast. {words}"
            )
        elif hold_c - mix.temperature_c > _COOLED_C:
            words = f"Bring the mix slowly back to {hold_c:g} C. {words}"
        lines.append(
            stage_line(
                "the rest of the wine" if last else f"wine, part {number}",
                stuck.part(wine_l),
                mix,
                go_on_at,
                added=Added(),
                fall_c=fall,
                says=words,
            )
        )
        broth = mix.fermented_to(go_on_at)
    return lines


def equal_parts(stuck_l: float, taken_l: float, step_percent: float, steps: float) -> tuple[float, ...]:
    """Equal parts of the stuck wine and the rest. Raises `OutOfRange` when nothing is left for the end."""
    count = int(within("number of steps", steps, "", at_least=1, at_most=5, mend="Two is usual."))
    if count != steps:
        raise OutOfRange(
            f"The number of steps is {steps:g}; it must be a whole number from 1 to 5. Two is usual."
        )
    step = stuck_l * step_percent / 100
    rest = stuck_l - taken_l - count * step
    if rest <= 1e-9 * stuck_l:
        raise OutOfRange(
            f"{count} steps of {step_percent:g} % leave no wine for the end. Take fewer or smaller steps."
        )
    return (*(step for _ in range(count)), rest)


def doublings(starter_l: float, stuck_l: float) -> tuple[float, ...]:
    """The starter's own volume each time, until the rest is no more than that."""
    parts = []
    volume, left = starter_l, stuck_l
    while left > volume * (1 + 1e-9):
        parts.append(volume)
        left -= volume
        volume *= 2
    return (*parts, left)
