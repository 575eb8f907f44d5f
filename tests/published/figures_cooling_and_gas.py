"""Printed figures for freezing points, tank cooling and the gas in bottles."""

from __future__ import annotations

import math
from typing import Any

from checks import Check
from diagnose.calculators.bottle_pressure import overpressure, solubility, verdict
from diagnose.calculators.freezing import (
    cellar_rule_for_chilling,
    chill_plan,
    freezing_point,
    lowest_chill_temperature,
    water_turned_to_ice,
)
from diagnose.calculators.tank_cooling import chill, curve, full_tank, tank, ways
from scipy.integrate import solve_ivp
from scipy.optimize import brentq

LANGE = "Lange's Handbook of Chemistry, table 5.13, freezing point of ethanol and water, scanned copy"
WINES = "Russian thermophysical data site, freezing points of wines: white -6 to -4 C"
PORT = "Russian thermophysical data site, freezing points of wines: port type -11 C"
RULE = "from memory: cellar rule, hold 0.5 to 1 C above freezing; chill at -(alcohol - 1)/2"
BLAGDEN = "worked by hand from Blagden's law: what stays liquid is as strong as the freezing point asks"
NEWTON = "worked by hand from Newton's law of cooling"
BALANCE = "worked by hand from the balance of heat"
CYLINDER = "worked by hand from the volume of a cylinder"
NO_PRINT = "no printed figure was found for a tank; an independent way of working stands in"
SCIPY = "no printed figure was found for a tank; scipy works the same law another way"
ICE = "from memory: melting ice takes 80 kcal a kilogram, so it cools 80 kg of water by a degree"
CHAMPAGNE = "Liger-Belair et al., Scientific Reports 7 (2017), table 1"
HENRY = "Liger-Belair and Cilindre, ACS Omega 2021, table 1"
PURDUE = "Butzke C., Purdue Extension FS-56-W, Preventing refermentation"
COMPANION = "Oxford Companion to Wine, as quoted: 24 g/L of sugar give 5 to 6 atm at cellar temperature"
CETIE = "CETIE Guide 1, still wines: at most 1.2 g/L of CO2 and 1 bar of overpressure at 20 C"
AWRI = "AWRI, microbiological hazes and deposits: bottles may burst above 10 g/L of residual sugar"
OENOPEDIA = "Oenopedia, dissolved gases: most oxygen beside carbon dioxide at 20 C"
ATM = 1.01325

# volume %, freezing point, what is granted beyond the rounding of the print
LANGE_ROWS = (
    (3.13, -1.0, 0.1),
    (6.0, -2.0, 0.1),
    (8.47, -3.0, 0.1),
    (14.0, -5.0, 0.15),
    (17.0, -6.1, 0.4),
    (20.2, -7.5, 0.45),
    (21.5, -8.7, 0.2),
    (23.1, -9.4, 0.1),
    (24.8, -10.6, 0.4),
)
LANGE_NOTE = (
    "The print is uneven: from 20.2 to 21.5 % vol it falls by 0.9 C for a point, just before by 0.4. A straight law "
    "cannot follow; the law of Blagden stays within 0.45 C."
)

TANK = {
    "jacket_w_per_k": 60.0,
    "wall_w_per_k": 12.0,
    "full_height_cm": 150.0,
    "diameter_cm": 100.0,
    "jacket_from_cm": 30.0,
    "jacket_to_cm": 120.0,
}
"""An invented tank."""


def _flow_at(at_c: float, fill_cm: float, coolant_c: float, room_c: float) -> float:
    """Heat that comes into the invented tank, in W, written out anew."""
    jacket = 60.0 * min(max((fill_cm - 30.0) / 90.0, 0.0), 1.0)
    outside = math.pi * 100 * fill_cm + 2 * math.pi * 50**2
    full_outside = math.pi * 100 * 150.0 + 2 * math.pi * 50**2
    wall = 12.0 * outside / full_outside
    return jacket * (coolant_c - at_c) + wall * (room_c - at_c)


def _settles(fill_cm: float, coolant_c: float, room_c: float) -> float:
    return float(brentq(lambda at: _flow_at(at, fill_cm, coolant_c, room_c), -30, 100, xtol=1e-12))


def _run(start_c: float, settles_c: float, time_constant: float, hours: float) -> float:
    """The cooling equation, stepped through time."""
    run = solve_ivp(
        lambda _, at: (settles_c - at) / time_constant, (0, hours), [start_c], rtol=1e-10, atol=1e-10
    )
    return float(run.y[0, -1])


def _way(name: str, **changes: Any) -> ways.Way:
    inputs = {**TANK, "fill_height_cm": 50.0, "coolant_c": -4.0, "room_c": 18.0, "target_c": 2.0, **changes}
    return next(way for way in ways.ways_to_reach_cold(**inputs) if way.way == name)


CHECKS = (
    *(
        Check("freezing_point", f"{abv:g} % vol, no sugar", LANGE, printed,
              lambda abv=abv: freezing_point(abv), "C", tolerance, LANGE_NOTE)
        for abv, printed, tolerance in LANGE_ROWS
    ),
    Check("freezing_point", "dry white of 12.5 % vol with 20 g/L of extract", WINES, -5.0,
          lambda: freezing_point(12.5, 2, 20), "C", 1.0, "The print is a range; its middle, give or take its half."),
    Check("freezing_point", "fortified wine of 20 % vol, 100 g/L of sugar, 20 g/L of extract", PORT, -11.0,
          lambda: freezing_point(20, 100, 20), "C", 1.0,
          "The print names no strength nor sugar; those of the inputs are usual for the type."),
    Check("lowest_chill_temperature", "14 % vol, 1 C above freezing at -5.0", f"{LANGE}; margin from memory", -4.0,
          lambda: lowest_chill_temperature(14), "C", 0.15, LANGE_NOTE),
    Check("cellar_rule_for_chilling", "12 % vol", RULE, -5.5, lambda: cellar_rule_for_chilling(12), "C", 0.05),
    Check("water_turned_to_ice", "8.47 % vol, freezing at -3, held at -6", BLAGDEN, 50.0,
          lambda: water_turned_to_ice(-6, 8.47), "%", 2.0,
          "Half the water leaves the rest twice as strong; 2 % for the 0.1 C between law and handbook."),
    Check("chill_plan", "14 % vol at -5.5: below the freezing point", LANGE, -0.5,
          lambda: chill_plan(-5.5, 14).room_to_freezing_c, "C", 0.15, LANGE_NOTE),
    Check("height_of_wine", "1000 L in a tank 100 cm wide", CYLINDER, 127.32,
          lambda: tank.height_of_wine(1000, 100), "cm", 0.005, NO_PRINT),
    Check("jacket_wetted_share", "band from 30 to 120 cm, wine to 75 cm", BALANCE, 50.0,
          lambda: tank.jacket_wetted_share(75, 30, 120), "%", 1e-9, NO_PRINT),
    Check("temperature_after", "20 C to 2 C, time constant 15 h, after 24 h", NEWTON, _run(20, 2, 15, 24),
          lambda: curve.temperature_after(20, 2, 15, 24), "C", 1e-6, SCIPY),
    Check("hours_to_temperature", "half of the gap takes ln 2 time constants", NEWTON, 6.93147,
          lambda: curve.hours_to_temperature(20, 10, 0, 10), "hours", 1e-5, NO_PRINT),
    Check("time_constant_from_cooldown", "a run of 24 h with a time constant of 15 h", NEWTON, 15.0,
          lambda: curve.time_constant_from_cooldown(20, _run(20, 2, 15, 24), 2, 24), "hours", 1e-5, SCIPY),
    Check("settling_from_three_readings", "readings of a run to 2 C, 8 h apart", NEWTON, 2.0,
          lambda: curve.settling_from_three_readings(20, _run(20, 2, 15, 8), _run(20, 2, 15, 16)), "C", 1e-5, SCIPY),
    Check("full_tank_heat_flow", "1000 L, 2 C between -4 and 20 C: the jacket passes 3 parts of 4", BALANCE, 75.0,
          lambda: full_tank.full_tank_heat_flow(127.324, 100, 20, 11, 10.0, 2, -4, 20).jacket_share_percent,
          "%", 1e-9, NO_PRINT),
    Check("full_tank_jacket_heat_flow", "1000 L of 4.15 kJ, 20 h: 57.64 W/K, of it 3 parts of 4", BALANCE, 43.23,
          lambda: full_tank.full_tank_jacket_heat_flow(1000, 20, 2, -4, 20), "W/K", 0.005, NO_PRINT),
    Check("full_tank_wall_heat_flow", "1000 L of 4.15 kJ, 20 h: 57.64 W/K, of it 1 part of 4", BALANCE, 14.41,
          lambda: full_tank.full_tank_wall_heat_flow(1000, 20, 2, -4, 20), "W/K", 0.005, NO_PRINT),
    Check("heat_flow_per_area", "60 W/K through 0.5 m2", BALANCE, 120.0,
          lambda: full_tank.heat_flow_per_area(60, 0.5), "W/(m2 K)", 1e-9, NO_PRINT),
    Check("settles_with_part_of_jacket", "full 2 C between -4 and 20 C; half the jacket: 1.5 parts to 1", BALANCE, 5.6,
          lambda: full_tank.settles_with_part_of_jacket(2, -4, 20, 50), "C", 1e-9, NO_PRINT),
    *(
        Check("tank_settles_at", f"invented tank, wine to {fill:g} cm, coolant -4 C, room 18 C", BALANCE,
              _settles(fill, -4, 18),
              lambda fill=fill: tank.tank_settles_at(**TANK, fill_height_cm=fill, coolant_c=-4, room_c=18),
              "C", 1e-6, SCIPY)
        for fill in (20.0, 45.0, 75.0, 120.0, 150.0)
    ),
    Check("tank_time_constant", "invented tank when full: 1178.1 L of 4.15 kJ on 72 W/K", BALANCE, 18.863,
          lambda: tank.tank_time_constant(**TANK, fill_height_cm=150), "hours", 0.001, NO_PRINT),
    Check("ways_to_reach_cold", "fill that settles at 2 C", BALANCE,
          float(brentq(lambda fill: _settles(fill, -4, 18) - 2, 50, 120, xtol=1e-10)),
          lambda: _way("fill to").setting, "cm", 1e-6, SCIPY),
    Check("ways_to_reach_cold", "coolant that settles at 2 C", BALANCE,
          float(brentq(lambda coolant: _settles(50, coolant, 18) - 2, -30, 0, xtol=1e-10)),
          lambda: _way("colder coolant").setting, "C", 1e-6, SCIPY),
    Check("ways_to_reach_cold", "room that settles at 2 C", BALANCE,
          float(brentq(lambda room: _settles(50, -4, room) - 2, -30, 18, xtol=1e-10)),
          lambda: _way("cooler room").setting, "C", 1e-6, SCIPY),
    Check("heat_to_chill", "100 L by 10 C at 4.15 kJ", BALANCE, 4150.0,
          lambda: chill.heat_to_chill(100, 20, 10), "kJ", 1e-9, NO_PRINT),
    Check("ice_to_chill", "80 L of water by one degree, near 0 C", ICE, 1.0,
          lambda: chill.ice_to_chill(80, 1.01, 0.01, 4.19), "kg", 0.01, "80 kcal is rounded from 79.8."),
    Check("carbon_dioxide_solubility", "champagne of 12.5 % vol at 10 C", HENRY, 2.1,
          lambda: solubility.carbon_dioxide_solubility(10, 12.5), "g/L per bar", 0.05),
    Check("carbon_dioxide_when_saturated", "wine at 20 C, 1 atm", PURDUE, 1.4,
          lambda: solubility.carbon_dioxide_when_saturated(20, 13.5), "g/L", 0.05,
          "The print names no alcohol; 12 % vol gives 1.46, which would print as 1.5."),
    Check("carbon_dioxide_from_malic_acid", "3 g/L: 3 x 44.01 / 134.09",
          "worked by hand from the molar masses of malic acid and carbon dioxide", 0.98,
          lambda: overpressure.carbon_dioxide_from_malic_acid(3), "g/L", 0.005, "No printed figure was found."),
    Check("bottle_overpressure", "24 g/L fermented in sparkling wine at 10 C", COMPANION, 5.5 * ATM,
          lambda: overpressure.bottle_overpressure(10, 12, 24, start_g_per_l=0, headspace_ml=25), "bar", 0.5 * ATM,
          "The print is a range; its middle, give or take its half."),
    Check("bottle_overpressure", "still wine at its most, 1.2 g/L at 20 C", CETIE, 1.0,
          lambda: overpressure.bottle_overpressure(20, 12, 0, start_g_per_l=1.2), "bar", 0.2,
          "Two limits printed side by side, not one worked from the other; air squeezed in by the cork adds to ours."),
    Check("sugar_for_overpressure", "5.5 atm in sparkling wine at 10 C", COMPANION, 24.0,
          lambda: overpressure.sugar_for_overpressure(5.5 * ATM, 10, 12, start_g_per_l=0, headspace_ml=25),
          "g/L", 2.2, "5 to 6 atm printed for 24 g/L: half an atmosphere is 2.2 g/L."),
    *(
        Check("overpressure_when_warmed", f"7.5 bar at 20 C, cooled to {cold:g} C", CHAMPAGNE, printed,
              lambda cold=cold: overpressure.overpressure_when_warmed(7.5, 20, cold, 12.5, 25), "bar", 0.15,
              "The print takes its own solubilities; with 2.1 g/L per bar at 10 C they cannot all agree to 0.1 bar.")
        for cold, printed in ((12.0, 5.8), (6.0, 4.7))
    ),
    *(
        Check("most_dissolved_oxygen", f"{gas:g} mg/L of carbon dioxide", OENOPEDIA, printed,
              lambda gas=gas: solubility.most_dissolved_oxygen(gas), "mg/L", 0.05)
        for gas, printed in ((0, 7.9), (400, 5.9), (600, 4.9), (800, 3.9), (1000, 2.9), (1200, 1.9), (1400, 0.9))
    ),
    Check("bottle_verdict", "still wine with 1.2 g/L of gas is within its design: 1 for safe", CETIE, 1.0,
          lambda: float(verdict.bottle_verdict(20, 12, 0, start_g_per_l=1.2).verdict == "safe"), "yes or no", 0.0),
    Check("bottle_verdict", "10 g/L of sugar fermenting in a still bottle: 1 for dangerous", AWRI, 1.0,
          lambda: float(verdict.bottle_verdict(20, 12, 10).verdict == "dangerous"), "yes or no", 0.0),
)  # fmt: skip
