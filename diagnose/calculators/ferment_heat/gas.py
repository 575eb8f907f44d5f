"""Carbon dioxide that a ferment gives off, and what it does to the air of a room."""

from __future__ import annotations

import math
from dataclasses import dataclass

from ..amounts import (
    Celsius,
    CubicMetres,
    CubicMetresPerHour,
    GramsPerLitre,
    GramsPerLitrePerDay,
    Hours,
    Litres,
    LitresPerHour,
    LitresPerLitre,
    PartsPerMillionOfAir,
    wine,
    within,
)
from ..registry import calculator, worksheet
from .heat import HEXOSE_G_PER_MOL, sugar, sugar_a_day

CARBON_DIOXIDE_G_PER_MOL = 44.01
"""C6H12O6 (180.16 g/mol) gives 2 C2H5OH and 2 CO2 (Gay-Lussac); atomic masses."""

DANGEROUS_TO_LIFE_PPM = 40000.0
"""Immediately dangerous to life or health: NIOSH, IDLH documentation for carbon dioxide, May 1994. A fact of the body,
not the limit of a law; that is an input."""

OUTDOOR_PPM = 420.0
"""Carbon dioxide of outdoor air, from memory."""

_GAS_L_BAR_PER_MOL_K = 0.0831446
_ATMOSPHERE_BAR = 1.01325


@calculator(
    "carbon_dioxide_mass",
    result="carbon dioxide from a litre",
    formula="carbon_dioxide = sugar_fermented_g_per_l x 2 x 44.01 / 180.16",
)
def carbon_dioxide_mass(sugar_fermented_g_per_l: GramsPerLitre) -> GramsPerLitre:
    """Carbon dioxide that a litre of must gives off, by mass.

    Range: 0 to 400 g/L; raises `OutOfRange`. Formula: two molecules from one of hexose (Gay-Lussac): 0.489 g from
    a gram. Source: almost 0.5 g, Butzke, Purdue Extension FS-56-W.
    """
    return sugar(sugar_fermented_g_per_l) * 2 * CARBON_DIOXIDE_G_PER_MOL / HEXOSE_G_PER_MOL


@calculator(
    "carbon_dioxide_volume",
    result="gas from a litre of must",
    formula="gas = sugar_fermented_g_per_l x 2 / 180.16 x 0.0831446 x (273.15 + air_temperature_c) / 1.01325",
)
def carbon_dioxide_volume(
    sugar_fermented_g_per_l: GramsPerLitre, air_temperature_c: Celsius = 20.0
) -> LitresPerLitre:
    """Litres of carbon dioxide that a litre of must gives off, as gas at the temperature of the room.

    All of it is counted as leaving the must, which errs on the safe side by about one litre of gas.
    Range: sugar 0 to 400 g/L, air -10 to 45 C, at normal pressure; raises `OutOfRange`. Formula: two molecules
    from one of hexose, ideal gas. Source: 44 to 45 L in a full ferment, chamber of agriculture portal MATEVI
    France; that answers to 168 g/L.
    """
    within("air", air_temperature_c, "C", at_least=-10, at_most=45, mend="Give the room in C.")
    moles = 2 * sugar(sugar_fermented_g_per_l) / HEXOSE_G_PER_MOL
    return moles * _GAS_L_BAR_PER_MOL_K * (273.15 + air_temperature_c) / _ATMOSPHERE_BAR


@calculator(
    "gas_per_hour",
    result="carbon dioxide in an hour",
    formula="gas = volume_l x gas_l_per_l_day / 24",
    working=lambda volume_l, sugar_g_per_l_day, air_temperature_c=20.0: {
        "gas_l_per_l_day": carbon_dioxide_volume(sugar_g_per_l_day, air_temperature_c)
    },
)
def gas_per_hour(
    volume_l: Litres, sugar_g_per_l_day: GramsPerLitrePerDay, air_temperature_c: Celsius = 20.0
) -> LitresPerHour:
    """Litres of carbon dioxide that a working ferment gives off in an hour.

    Range: volume above 0 L, sugar 0 to 200 g/L in a day, air -10 to 45 C; raises `OutOfRange`.
    Formula: volume x gas of a litre in a day / 24.
    """
    return wine(volume_l) * carbon_dioxide_volume(sugar_a_day(sugar_g_per_l_day), air_temperature_c) / 24


@calculator(
    "gas_in_closed_room",
    result="carbon dioxide in the air of a closed room",
    formula="ppm = the lower of outdoor_ppm + 1000 x gas_l / room_m3 and 1 000 000",
)
def gas_in_closed_room(
    gas_l: Litres, room_m3: CubicMetres, outdoor_ppm: PartsPerMillionOfAir = OUTDOOR_PPM
) -> PartsPerMillionOfAir:
    """Carbon dioxide in a closed room after a volume of gas, as if it were mixed evenly; near the floor is more.

    Range: gas at least 0 L, room above 0 m3, outdoor air 0 to 2000 ppm; raises `OutOfRange`. Formula: gas over
    room; that no air is pushed out errs on the safe side. Never a reason to go in: only a meter shows the air
    where a person breathes. Default of outdoor air from memory.
    """
    within("gas", gas_l, "L", at_least=0, mend="Give the litres of carbon dioxide.")
    return min(1e6, _outdoor(outdoor_ppm) + 1000 * gas_l / _room(room_m3))


@calculator(
    "hours_to_limit",
    result="hours until a closed room passes the limit",
    formula="hours = room_m3 x (limit_ppm - outdoor_ppm) / (1000 x gas_l_per_hour)",
)
def hours_to_limit(
    gas_l_per_hour: LitresPerHour,
    room_m3: CubicMetres,
    limit_ppm: PartsPerMillionOfAir,
    outdoor_ppm: PartsPerMillionOfAir = OUTDOOR_PPM,
) -> Hours:
    """Hours until the air of a closed room passes a limit, as if the gas were mixed evenly; near the floor sooner.

    Range: gas above 0 L/h, room above 0 m3, limit above the outdoor air and at most 1 000 000 ppm; raises
    `OutOfRange`. Formula: room x (limit - outdoor) / gas.
    """
    gas = within("gas", gas_l_per_hour, "L/h", more_than=0, mend="With no gas the room stays as it is.")
    return _room(room_m3) * _above_outdoor(limit_ppm, outdoor_ppm) / (1000 * gas)


@calculator(
    "fresh_air_per_hour",
    result="fresh air that keeps to the limit",
    formula="fresh_air = 1000 x gas_l_per_hour / (limit_ppm - outdoor_ppm)",
)
def fresh_air_per_hour(
    gas_l_per_hour: LitresPerHour,
    limit_ppm: PartsPerMillionOfAir,
    outdoor_ppm: PartsPerMillionOfAir = OUTDOOR_PPM,
) -> CubicMetresPerHour:
    """Fresh air that keeps evenly mixed air at a limit while gas comes in all the time.

    Range: gas at least 0 L/h, limit above the outdoor air and at most 1 000 000 ppm; raises `OutOfRange`.
    Formula: gas / (limit - outdoor); that the gas itself pushes some air out is left aside, which errs on the safe
    side. The air must be drawn off low, where the gas lies.
    """
    gas = within(
        "gas", gas_l_per_hour, "L/h", at_least=0, mend="Give the litres of carbon dioxide in an hour."
    )
    return 1000 * gas / _above_outdoor(limit_ppm, outdoor_ppm)


@dataclass(frozen=True)
class RoomAir:
    """The air of a closed room beside a working ferment."""

    gas_l_per_hour: LitresPerHour
    after_hours: Hours
    closed_room_ppm: PartsPerMillionOfAir
    limit_ppm: PartsPerMillionOfAir
    passes_limit: bool
    dangerous_to_life: bool
    limit_passed_after_hours: Hours
    fresh_air_m3_per_hour: CubicMetresPerHour
    warning: str


@worksheet("room_air", result="carbon dioxide in a closed room, and the fresh air it needs")
def room_air(
    must_l: Litres,
    sugar_g_per_l_day: GramsPerLitrePerDay,
    room_m3: CubicMetres,
    limit_ppm: PartsPerMillionOfAir,
    closed_hours: Hours = 24.0,
    air_temperature_c: Celsius = 20.0,
    outdoor_ppm: PartsPerMillionOfAir = OUTDOOR_PPM,
) -> RoomAir:
    """What the air of a closed room comes to beside a working ferment, when it passes a limit, and what air it needs.

    The limit is yours to give, from the law of your place. Range: must above 0 L, sugar above 0 and at most
    200 g/L in a day, room above 0 m3, closed 0 to 720 hours, air -10 to 45 C, limit above the outdoor air; raises
    `OutOfRange`. Source: ideal gas and Gay-Lussac as in `carbon_dioxide_volume`; the gas is heavier than air and
    lies low, MATEVI France; dangerous to life from 40 000 ppm, NIOSH 1994. An even mix is too kind near the floor,
    so this never shows that a room is safe.
    """
    within("time closed", closed_hours, "hours", at_least=0, at_most=720, mend="24 is a night and a day.")
    gas = gas_per_hour(must_l, sugar_g_per_l_day, air_temperature_c)
    ppm = gas_in_closed_room(gas * closed_hours, room_m3, outdoor_ppm)
    passed_after = hours_to_limit(gas, room_m3, limit_ppm, outdoor_ppm)
    air = fresh_air_per_hour(gas, limit_ppm, outdoor_ppm)
    passes = ppm >= limit_ppm
    return RoomAir(
        gas_l_per_hour=gas,
        after_hours=closed_hours,
        closed_room_ppm=ppm,
        limit_ppm=limit_ppm,
        passes_limit=passes,
        dangerous_to_life=ppm >= DANGEROUS_TO_LIFE_PPM,
        limit_passed_after_hours=passed_after,
        fresh_air_m3_per_hour=air,
        warning=_warning(passes, ppm, limit_ppm, passed_after, air),
    )


def _warning(passes: bool, ppm: float, limit: float, passed_after: float, air: float) -> str:
    fresh = f"at least {math.ceil(air)} m3 of fresh air an hour only to hold an even mix at the limit, better far more"
    danger = "DANGER OF DEATH" if ppm >= DANGEROUS_TO_LIFE_PPM else "DANGER"
    if passes:
        reach = (
            f"{danger}: closed, this room passes the limit of {limit:,.0f} ppm after {passed_after:.1f} hours and "
            f"comes to {ppm:,.0f}."
        )
    elif ppm >= DANGEROUS_TO_LIFE_PPM:
        reach = f"{danger}: closed, this room comes to {ppm:,.0f} ppm, under your limit of {limit:,.0f} but deadly."
    else:
        return (
            f"In this time an even mix comes to {ppm:,.0f} ppm, under the limit of {limit:,.0f}; it passes it after "
            f"{passed_after:.1f} hours. Do not take that for safe; keep air coming: {fresh}. {_POOLING}"
        )
    return (
        f"{reach} Do not go in. Open it from outside and draw the air off low: {fresh}. Go in only by a meter that you "
        "can read, with somebody watching from outside who calls for help and does not follow. " + _POOLING
    )


_POOLING = (
    "The gas has no smell and gathers near the floor, where there is more of it than in an even mix. Trust a carbon "
    "dioxide meter, never a smell, a candle or this sum."
)


def _room(value: float) -> float:
    return within("room", value, "m3", more_than=0, mend="Length x width x height in metres.")


def _outdoor(value: float) -> float:
    return within("outdoor air", value, "ppm", at_least=0, at_most=2000, mend="About 420 is usual.")


def _above_outdoor(limit_ppm: float, outdoor_ppm: float) -> float:
    within(
        "limit",
        limit_ppm,
        "ppm",
        more_than=_outdoor(outdoor_ppm),
        at_most=1e6,
        mend="Give the limit of your place in ppm: 1 % is 10 000.",
    )
    return limit_ppm - outdoor_ppm
