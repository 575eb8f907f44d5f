"""The cooling curve: the gap to where the tank settles shrinks by the same share in each hour."""

from __future__ import annotations

import math

from ..amounts import Celsius, Hours, OutOfRange, within
from ..registry import calculator
from .checked import temperature, time_constant


@calculator(
    "temperature_after",
    result="temperature then",
    formula="temperature = settles_c + (start_c - settles_c) x e^(-hours / time_constant_hours)",
)
def temperature_after(
    start_c: Celsius, settles_c: Celsius, time_constant_hours: Hours, hours: Hours
) -> Celsius:
    """Temperature of a tank after a time on its way to where it settles.

    In each time constant the gap shrinks to 37 %. Range: temperatures -30 to 100 C, time constant above 0 h, time at
    least 0 h; raises `OutOfRange`. Formula: Newton's law of cooling.
    """
    temperature("start", start_c)
    temperature("temperature it settles at", settles_c)
    within("time", hours, "hours", at_least=0, mend="Give the hours from the start.")
    return settles_c + (start_c - settles_c) * math.exp(-hours / time_constant(time_constant_hours))


@calculator(
    "hours_to_temperature",
    result="hours to the target",
    formula="hours = time_constant_hours x ln((start_c - settles_c) / (target_c - settles_c))",
)
def hours_to_temperature(
    start_c: Celsius, target_c: Celsius, settles_c: Celsius, time_constant_hours: Hours
) -> Hours:
    """Hours until a tank comes to a target on its way to where it settles.

    Range: target between the start and where it settles, and not quite there; time constant above 0 h; raises
    `OutOfRange`: what settles short of the target never gets there. Formula: Newton's law of cooling.
    """
    return time_constant(time_constant_hours) * log_of_gap(start_c, target_c, settles_c)


@calculator(
    "time_constant_from_cooldown",
    result="time constant of the tank",
    formula="time_constant = hours / ln((start_c - settles_c) / (later_c - settles_c))",
)
def time_constant_from_cooldown(
    start_c: Celsius, later_c: Celsius, settles_c: Celsius, hours: Hours
) -> Hours:
    """Time constant of a tank from two readings on its way to a known end.

    Range: the later reading between the start and the end, time above 0 h; raises `OutOfRange`. Formula: Newton's law
    of cooling.
    """
    within("time", hours, "hours", more_than=0, mend="Give the hours between the two readings.")
    log = log_of_gap(start_c, later_c, settles_c)
    if log == 0:
        raise OutOfRange(
            f"Both readings are {start_c:g} C. Wait until the tank has moved by a degree or more."
        )
    return hours / log


@calculator(
    "settling_from_three_readings",
    result="where the tank will settle",
    formula="settles = (first_c x third_c - second_c^2) / (first_c + third_c - 2 x second_c)",
)
def settling_from_three_readings(first_c: Celsius, second_c: Celsius, third_c: Celsius) -> Celsius:
    """Where a tank will settle, from three readings the same time apart, without waiting for the end.

    The readings must be far apart: the error of the thermometer is multiplied. Range: the second step smaller than
    the first, the same way, both at least 0.2 C; raises `OutOfRange`. Formula: Newton's law of cooling, each step is
    the same share of the one before.
    """
    for what, value in (("first", first_c), ("second", second_c), ("third", third_c)):
        temperature(f"{what} reading", value)
    step, next_step = second_c - first_c, third_c - second_c
    if min(abs(step), abs(next_step)) < 0.2 or step * next_step < 0 or abs(next_step) >= abs(step):
        raise OutOfRange(
            f"The steps are {step:+.1f} and {next_step:+.1f} C. On the way to an end each step is smaller than the one "
            "before, the same way and at least 0.2 C. Read again at equal and longer times, with nothing changed."
        )
    return first_c + step**2 / (step - next_step)


def log_of_gap(start_c: float, target_c: float, settles_c: float) -> float:
    """Time constants from a start to a target on the way to where the tank settles."""
    temperature("start", start_c)
    temperature("target", target_c)
    temperature("temperature it settles at", settles_c)
    gap, left = start_c - settles_c, target_c - settles_c
    if gap * left <= 0 or abs(left) > abs(gap):
        raise OutOfRange(
            f"From {start_c:g} C the tank goes to {settles_c:g} C, and never comes to {target_c:g} C. Give a "
            "temperature between the two, or change where the tank settles (see `ways_to_reach_cold`)."
        )
    return math.log(gap / left)
