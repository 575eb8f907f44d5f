"""Cooling rehydrated yeast down to a starter in small steps."""

from __future__ import annotations

from dataclasses import dataclass

from ..amounts import Celsius, CelsiusDifference, Litres, Minutes, PlainNumber, within
from ..registry import worksheet

_MOST_STEPS = 40


@dataclass(frozen=True)
class CoolingStep:
    """One step: starter liquid stirred into the yeast, and a wait."""

    step: PlainNumber
    starter_added_l: Litres
    volume_l: Litres
    temperature_c: Celsius
    gap_c: CelsiusDifference
    """How much warmer the yeast still is than the starter."""
    minutes_so_far: Minutes
    says: str


@worksheet("yeast_cooling", result="rehydrated yeast cooled towards the starter in steps")
def yeast_cooling(
    yeast_liquid_l: Litres,
    yeast_temperature_c: Celsius,
    starter_temperature_c: Celsius,
    largest_gap_c: CelsiusDifference = 10.0,
    step_c: CelsiusDifference = 5.0,
    wait_minutes: Minutes = 15.0,
) -> tuple[CoolingStep, ...]:
    """How much starter to stir into warm yeast, step by step, until it is near enough to be poured in.

    The first line is the yeast as it is; with no more lines it can go in at once. Range: liquid above 0 L, yeast 15
    to 43 C, starter 5 to 35 C and not warmer than the yeast, gap above 0 to 15 C, step 1 to 10 C, wait 0 to 60
    minutes; raises `OutOfRange`. Formula: balance of heat, litres x step / (temperature after the step - starter).
    Source: gap of 10 to 12 C at pitching, Cuenat, Revue suisse Vitic. Arboric. Hortic. 29(4), 1997; steps of 5 C
    and the wait are from memory.
    """
    within(
        "liquid with the yeast", yeast_liquid_l, "L", more_than=0, mend="Ten times the dry yeast by weight."
    )
    within("yeast", yeast_temperature_c, "C", at_least=15, at_most=43, mend="Above 43 C it dies.")
    within(
        "starter",
        starter_temperature_c,
        "C",
        at_least=5,
        at_most=min(35, yeast_temperature_c),
        mend="Give its temperature; yeast is cooled, not warmed, into it.",
    )
    within("gap", largest_gap_c, "C", more_than=0, at_most=15, mend="10 is published.")
    within("step", step_c, "C", at_least=1, at_most=10, mend="5 is usual.")
    within("wait", wait_minutes, "minutes", at_least=0, at_most=60, mend="15 is usual.")
    volume, temperature = yeast_liquid_l, yeast_temperature_c
    gap = temperature - starter_temperature_c
    lines = [CoolingStep(0.0, 0.0, volume, temperature, gap, 0.0, _words(gap, largest_gap_c))]
    while gap > largest_gap_c + 1e-9 and len(lines) < _MOST_STEPS:
        gap_after = max(largest_gap_c, gap - step_c)
        added = volume * (gap - gap_after) / gap_after
        volume, gap = volume + added, gap_after
        count = float(len(lines))
        lines.append(
            CoolingStep(
                count,
                added,
                volume,
                starter_temperature_c + gap,
                gap,
                count * wait_minutes,
                _words(gap, largest_gap_c),
            )
        )
    return tuple(lines)


def _words(gap: float, largest_gap: float) -> str:
    if gap > largest_gap + 1e-9:
        return "Still too warm for the starter: stir in the next part."
    return "Near enough: pour it into the starter."
