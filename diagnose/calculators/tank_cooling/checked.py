"""Numbers of a tank that are checked in more than one place."""

from __future__ import annotations

from ..amounts import within

WINE_KJ_PER_L_K = 4.15
"""Heat that warms a litre of dry wine by one degree: 4.1 to 4.3 kJ/(kg K) at about 0.99 kg/L, from memory."""


def temperature(what: str, value: float) -> float:
    """A temperature in C: -30 to 100."""
    return within(what, value, "C", at_least=-30, at_most=100, mend="Give it in C.")


def time_constant(value: float) -> float:
    """A time constant in hours: above 0."""
    return within("time constant", value, "hours", more_than=0, mend="Take it from a cooldown.")


def wine_heat(value: float) -> float:
    """Heat of a litre of wine or must for a degree, in kJ/(L K): 3 to 5."""
    return within("heat of the wine", value, "kJ/(L K)", at_least=3, at_most=5, mend="4.15 wine, 4.0 must.")


def diameter(value: float) -> float:
    """A diameter in cm: 5 to 1000."""
    return within("diameter", value, "cm", at_least=5, at_most=1000, mend="Measure inside, in cm.")
