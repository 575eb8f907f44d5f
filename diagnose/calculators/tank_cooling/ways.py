"""What would get the wine in a tank down to a temperature that it does not reach as it stands."""

from __future__ import annotations

from dataclasses import dataclass, replace

from ..amounts import (
    AnyUnit,
    Celsius,
    Centimetres,
    GramsPerLitrePerDay,
    WattsPerKelvin,
    within,
)
from ..ferment_heat.heat import fermentation_power
from ..registry import worksheet
from .checked import temperature
from .chill import ICE_KJ_PER_KG, WATER_KJ_PER_KG_K, ice_to_chill
from .tank import Tank, tank_of

COLDEST_COOLANT_C = -8.0
COLDEST_ROOM_C = 0.0
FRIDGE_C = 4.0
"""What a chiller, a cellar in winter and a household fridge are taken to manage: common practice. Give your own."""

_KJ_A_DAY_PER_W = 86.4


@dataclass(frozen=True)
class Way:
    """One way to a temperature: what to set, whether that does it, and where the tank settles then."""

    way: str
    answer: str
    """reaches or cannot."""
    setting: AnyUnit
    """What does it; where it cannot, the farthest this way goes."""
    unit: str
    settles_at_c: Celsius
    why: str


@worksheet("ways_to_reach_cold", result="what would bring the tank to the temperature")
def ways_to_reach_cold(
    target_c: Celsius,
    jacket_w_per_k: WattsPerKelvin,
    wall_w_per_k: WattsPerKelvin,
    fill_height_cm: Centimetres,
    full_height_cm: Centimetres,
    diameter_cm: Centimetres,
    jacket_from_cm: Centimetres,
    jacket_to_cm: Centimetres,
    coolant_c: Celsius,
    room_c: Celsius,
    sugar_g_per_l_day: GramsPerLitrePerDay = 0.0,
    coldest_coolant_c: Celsius = COLDEST_COOLANT_C,
    coldest_room_c: Celsius = COLDEST_ROOM_C,
    fridge_c: Celsius = FRIDGE_C,
) -> tuple[Way, ...]:
    """What would bring a jacketed tank to a temperature: fill, coolant, room, less ferment heat, ice or a fridge.

    Each line changes one thing and leaves the rest; only the line of fill and coolant changes two. When the tank
    reaches the target as it stands there is only that line. A setting that just reaches it takes very long for the last
    half degree: set a little more. The freezing point of the wine is not looked at here; see `chill_plan`.
    Range: target -30 to 100 C; coldest coolant and room not above what they are now; fridge -30 to 100 C; the rest as
    in `tank_settles_at`; raises `OutOfRange`. Formula: balance of heat at the target, no more coming in than goes out.
    """
    temperature("target", target_c)
    temperature("fridge", fridge_c)
    tank = tank_of(
        jacket_w_per_k, wall_w_per_k, fill_height_cm, full_height_cm, diameter_cm,
        jacket_from_cm, jacket_to_cm, coolant_c, room_c, sugar_g_per_l_day,
    )  # fmt: skip
    for what, coldest, now in (("coolant", coldest_coolant_c, coolant_c), ("room", coldest_room_c, room_c)):
        within(
            f"coldest {what}", coldest, "C", at_least=-30, at_most=now, mend=f"The {what} is colder already."
        )
    as_it_stands = _as_it_stands(tank, target_c)
    if as_it_stands.answer == "reaches":
        return (as_it_stands,)
    return (
        as_it_stands,
        _fill(tank, target_c),
        _coolant(tank, target_c, coldest_coolant_c),
        _fill_and_coolant(tank, target_c, coldest_coolant_c),
        _room(tank, target_c, coldest_room_c),
        _ferment(tank, target_c),
        _ice(tank, target_c),
        _fridge(tank, target_c, fridge_c),
    )


def _way(way: str, reaches: bool, setting: float, unit: str, settles_c: float, why: str) -> Way:
    return Way(way, "reaches" if reaches else "cannot", setting, unit, settles_c, why)


def _as_it_stands(tank: Tank, target: float) -> Way:
    reaches = tank.settles_c <= target
    if reaches:
        why = "It gets there as it stands; see `hours_to_temperature` for when."
    elif tank.coolant_c >= target:
        why = _coolant_too_warm(tank, target)
    else:
        why = f"At {target:g} C, {tank.gain_w(target):.0f} W more would come in than the jacket carries off."
    return _way("as it stands", reaches, tank.fill_cm, "cm of wine", tank.settles_c, why)


def _coolant_too_warm(tank: Tank, target: float) -> str:
    return (
        f"The coolant at {tank.coolant_c:g} C is not colder than the {target:g} C wanted, and no jacket cools below "
        "its coolant."
    )


def _at(tank: Tank, fill_cm: float) -> Tank:
    return replace(tank, fill_cm=fill_cm)


def _best_fill(tank: Tank) -> Tank:
    """The coldest fill with the whole jacket wetted: as a rule its upper edge, for wine above it only warms.

    Between edge and brim the settling temperature only rises or only falls, so one of the two is the best.
    """
    return min(_at(tank, tank.jacket_to_cm), _at(tank, tank.full_cm), key=lambda filled: filled.settles_c)


def _fill(tank: Tank, target: float) -> Way:
    best = _best_fill(tank)
    name = "fill to" if best.fill_cm >= tank.fill_cm else "draw off to"
    if tank.coolant_c >= target:
        return _way(name, False, best.fill_cm, "cm of wine", best.settles_c, _coolant_too_warm(tank, target))
    if best.gain_w(target) > 0:
        why = f"Even at {best.fill_cm:g} cm, the best height, the tank settles at {best.settles_c:.1f} C."
        return _way(name, False, best.fill_cm, "cm of wine", best.settles_c, why)
    filled = _at(tank, _height_that_reaches(tank, target))
    change = filled.volume_l - tank.volume_l
    why = (
        f"{abs(change):.0f} L {'more, of the same wine' if change > 0 else 'less'}. The best height is "
        f"{best.fill_cm:g} cm, where it settles at {best.settles_c:.1f} C."
    )
    return _way(name, True, filled.fill_cm, "cm of wine", filled.settles_c, why)


def _height_that_reaches(tank: Tank, target: float) -> float:
    """The height nearest to the present one at which no heat is gained at the target.

    Along the band, and above it, the gain at the target is a straight line in the height. Where any height reaches
    the target the upper edge of the band does: with a coolant colder than the target, a line that falls above the
    band has fallen below nought at its edge.
    """
    start = _at(tank, max(tank.fill_cm, tank.jacket_from_cm))
    end = _at(tank, tank.jacket_to_cm)
    gain, least = start.gain_w(target), end.gain_w(target)
    return start.fill_cm + (end.fill_cm - start.fill_cm) * gain / (gain - least)


def _coolant(tank: Tank, target: float, coldest: float, name: str = "colder coolant") -> Way:
    if tank.jacket == 0:
        why = "The wine does not touch the jacket, so no coolant cools it. Fill the tank first."
        return _way(name, False, coldest, "C", tank.settles_c, why)
    needed = target - (tank.wall * (tank.room_c - target) + tank.ferment_w) / tank.jacket
    reaches = needed >= coldest
    setting = needed if reaches else coldest
    why = (
        "See that the coolant itself does not freeze, and that no ice grows in the wine at the jacket."
        if reaches
        else f"It would take {needed:.1f} C; the coldest you gave is {coldest:g} C."
    )
    return _way(name, reaches, setting, "C", replace(tank, coolant_c=setting).settles_c, why)


def _fill_and_coolant(tank: Tank, target: float, coldest: float) -> Way:
    """Of the coolant only what is still missing once the fill is at its best."""
    best = _best_fill(tank)
    name = f"wine to {best.fill_cm:g} cm and colder coolant"
    if best.settles_c > target:
        return _coolant(best, target, coldest, name)
    why = "With the whole jacket wetted the coolant is cold enough as it is."
    return _way(name, True, tank.coolant_c, "C", best.settles_c, why)


def _room(tank: Tank, target: float, coldest: float) -> Way:
    needed = target - (tank.jacket * (tank.coolant_c - target) + tank.ferment_w) / tank.wall
    reaches = needed >= coldest
    setting = needed if reaches else coldest
    why = (
        "Insulating the walls does the same as a cooler room."
        if reaches and needed > target
        else "Insulating the walls does not help then: the room itself must be colder than the wine."
        if reaches
        else f"It would take {needed:.1f} C; the coldest you gave is {coldest:g} C."
    )
    return _way("cooler room", reaches, setting, "C", replace(tank, room_c=setting).settles_c, why)


def _ferment(tank: Tank, target: float) -> Way:
    name, unit = "slower ferment", "g/(L day)"
    still = replace(tank, sugar_g_per_l_day=0.0)
    if tank.sugar_g_per_l_day == 0:
        return _way(name, False, 0.0, unit, still.settles_c, "There is no ferment whose heat could be less.")
    if still.settles_c > target:
        why = f"Even with no ferment at all the tank settles at {still.settles_c:.1f} C."
        return _way(name, False, 0.0, unit, still.settles_c, why)
    pace = -still.gain_w(target) / fermentation_power(tank.volume_l, 1.0)
    slower = replace(tank, sugar_g_per_l_day=pace)
    why = (
        f"Now it uses {tank.sugar_g_per_l_day:g} g/L in a day. A ferment slows as it cools, so part of this comes of "
        "itself; racking off the yeast takes more."
    )
    return _way(name, True, pace, unit, slower.settles_c, why)


def _without_warm_jacket(tank: Tank, target: float) -> Tank:
    """The tank with its jacket shut where that would warm the wine."""
    return tank if tank.coolant_c < target else replace(tank, jacket_w_per_k=0.0)


def _ice(tank: Tank, target: float) -> Way:
    name, unit = "frozen bottles in the wine", "kg of ice a day"
    if target <= 0:
        return _way(name, False, 0.0, unit, tank.settles_c, "Melting ice cannot cool to 0 C or below.")
    cooled = _without_warm_jacket(tank, target)
    melted = max(0.0, cooled.gain_w(target)) * _KJ_A_DAY_PER_W / (ICE_KJ_PER_KG + WATER_KJ_PER_KG_K * target)
    first = ice_to_chill(tank.volume_l, max(tank.settles_c, target), target)
    shut = "" if cooled is tank else "Shut the jacket, it would warm the wine. "
    why = (
        f"{shut}To hold it; bringing it down from {tank.settles_c:.1f} C takes {first:.0f} kg more, once. Closed, "
        "clean bottles, never ice in the wine; near 0 C they melt too slowly to count on."
    )
    return _way(name, True, melted, unit, target, why)


def _fridge(tank: Tank, target: float, fridge: float) -> Way:
    shut = replace(tank, jacket_w_per_k=0.0)
    needed = target - tank.ferment_w / tank.wall
    reaches = needed >= fridge
    setting = needed if reaches else fridge
    settles = replace(shut, room_c=setting).settles_c
    why = (
        "For wine that fits in, in smaller vessels; they shed heat faster than this tank."
        if reaches
        else f"It would take air of {needed:.1f} C; the fridge you gave has {fridge:g} C."
    )
    return _way("no jacket, in a fridge", reaches, setting, "C", settles, why)
