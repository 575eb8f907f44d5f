"""Heat and carbon dioxide of a ferment, against printed figures and the gas law."""

from __future__ import annotations

from checks import Check
from diagnose.calculators.ferment_heat.gas import (
    carbon_dioxide_mass,
    carbon_dioxide_volume,
    fresh_air_per_hour,
    gas_in_closed_room,
    gas_per_hour,
    hours_to_limit,
    room_air,
)
from diagnose.calculators.ferment_heat.heat import (
    fermentation_heat,
    fermentation_power,
    warming_in_a_tank,
    warming_without_loss,
)

GOELZER = "Goelzer et al. 2009, as summarised by a citing article: 24 kcal (100.4 kJ) a mole of hexose"
PER_KG = "worked by hand: 98.3 and 100.4 kJ/mol over 180.16 g/mol are 546 and 557 kJ/kg of sugar"
THEORY = "from memory: heat of a mole over 1.08 g/mL and 3.7 kJ/(kg K), rounded"
CUENAT = "Cuenat P. 1997, Revue suisse Vitic. Arboric. Hortic. 29(4), as reproduced: 1.3 C for each 17 g/L"
POWER = "from memory: watts of a working ferment at 10.5 g/L for each Brix, 24 kcal a mole"
PURDUE = (
    "Butzke, Purdue Extension FS-56-W, Preventing refermentation: almost 0.5 g of CO2 from a gram of sugar"
)
MATEVI = "MATEVI France (chamber of agriculture portal), CO2 in wineries: 45 L of gas from a litre of must"
LA_VIGNE = "La Vigne, article on dissolved CO2: 50 L of gas from a litre of must that makes 10 % vol"
GAS_LAW = "worked by hand from the ideal gas law (22.414 L/mol at 0 C and 1 atm) and Gay-Lussac's equation"
EXAMPLE = (
    "from memory: 225 L at 4 Brix (42 g/L) a day give 2500 L of gas a day, 125 000 ppm in a closed 20 m3"
)
NIOSH = "NIOSH, IDLH documentation for carbon dioxide, CAS 124-38-9, May 1994: 40 000 ppm"
BALANCE = "worked by hand from the balance of gas in a room"

CHECKS: tuple[Check, ...] = (
    Check(
        "fermentation_heat",
        "one mole of hexose (180.16 g) in a litre",
        GOELZER,
        100.4,
        lambda: fermentation_heat(180.16),
        "kJ/L",
        0.05,
    ),
    Check(
        "fermentation_heat",
        "100 g, a tenth of a kg",
        PER_KG,
        55.7,
        lambda: fermentation_heat(100),
        "kJ/L",
        0.05,
    ),
    Check(
        "fermentation_heat",
        "100 g at 98.3 kJ/mol",
        PER_KG,
        54.6,
        lambda: fermentation_heat(100, 98.3),
        "kJ/L",
        0.05,
    ),
    Check(
        "warming_without_loss",
        "a Brix, 10.5 g/L",
        THEORY,
        1.45,
        lambda: warming_without_loss(10.5),
        "C",
        0.05,
        "given as 1.4 to 1.5",
    ),
    Check(
        "warming_without_loss",
        "17 g/L",
        THEORY,
        2.35,
        lambda: warming_without_loss(17),
        "C",
        0.05,
        "given as 2.3 to 2.4",
    ),
    Check("warming_in_a_tank", "17 g/L", CUENAT, 1.3, lambda: warming_in_a_tank(17), "C", 1e-9),
    Check(
        "warming_in_a_tank",
        "204 g/L, twelve times as much",
        CUENAT,
        15.6,
        lambda: warming_in_a_tank(204),
        "C",
        0.05,
    ),
    Check(
        "fermentation_power",
        "225 L at 4 Brix a day",
        POWER,
        61,
        lambda: fermentation_power(225, 42),
        "W",
        0.5,
    ),
    Check(
        "fermentation_power",
        "20 L at 2 Brix a day",
        POWER,
        2.7,
        lambda: fermentation_power(20, 21),
        "W",
        0.05,
    ),
    Check(
        "fermentation_power",
        "1000 L at 2 Brix a day",
        POWER,
        135,
        lambda: fermentation_power(1000, 21),
        "W",
        0.5,
    ),
    Check(
        "carbon_dioxide_mass",
        "1 g/L of sugar",
        PURDUE,
        0.5,
        lambda: carbon_dioxide_mass(1),
        "g/L",
        0.0125,
        "printed as almost 0.5; theory is 0.489",
    ),
    Check(
        "carbon_dioxide_mass",
        "180.16 g of sugar: two moles of 44.01 g",
        GAS_LAW,
        88.02,
        lambda: carbon_dioxide_mass(180.16),
        "g/L",
        0.005,
    ),
    Check(
        "carbon_dioxide_volume",
        "a full ferment, taken as 10 % vol, 168.3 g/L",
        MATEVI,
        45,
        lambda: carbon_dioxide_volume(168.3),
        "L/L",
        0.5,
        "the print does not name the sugar; 10 % vol at 16.83 g/L is taken",
    ),
    Check(
        "carbon_dioxide_volume",
        "10 % vol, 168.3 g/L",
        LA_VIGNE,
        50,
        lambda: carbon_dioxide_volume(168.3),
        "L/L",
        5.5,
        "a round figure; theory gives 45 at 20 C and 47 at 35 C, and another print says 45 for a full ferment",
    ),
    Check(
        "carbon_dioxide_volume",
        "180.16 g/L at 0 C: two molar volumes",
        GAS_LAW,
        44.83,
        lambda: carbon_dioxide_volume(180.16, 0),
        "L/L",
        0.005,
    ),
    Check(
        "carbon_dioxide_volume",
        "200 g/L at 20 C",
        GAS_LAW,
        53.4,
        lambda: carbon_dioxide_volume(200),
        "L/L",
        0.05,
    ),
    Check(
        "carbon_dioxide_volume",
        "240 g/L at 20 C",
        GAS_LAW,
        64.1,
        lambda: carbon_dioxide_volume(240),
        "L/L",
        0.05,
    ),
    Check(
        "gas_per_hour",
        "225 L at 42 g/L a day",
        EXAMPLE,
        2500 / 24,
        lambda: gas_per_hour(225, 42),
        "L/h",
        50 / 24,
        "2500 L is rounded to hundreds",
    ),
    Check(
        "gas_in_closed_room",
        "2500 L in 20 m3, outdoor air left out",
        EXAMPLE,
        125000,
        lambda: gas_in_closed_room(2500, 20, 0),
        "ppm",
        0.5,
    ),
    Check(
        "room_air",
        "225 L at 42 g/L a day, 20 m3, a day, outdoor air left out",
        EXAMPLE,
        125000,
        lambda: room_air(225, 42, 20, 40000, outdoor_ppm=0).closed_room_ppm,
        "ppm",
        2500,
        "2500 L is rounded to hundreds",
    ),
    Check(
        "hours_to_limit",
        "20 m3, 100 L/h, 40 000 ppm over nothing: 800 L",
        BALANCE,
        8,
        lambda: hours_to_limit(100, 20, 40000, 0),
        "h",
        1e-9,
    ),
    Check(
        "fresh_air_per_hour",
        "100 L/h held at 5000 ppm over nothing: 20 m3",
        BALANCE,
        20,
        lambda: fresh_air_per_hour(100, 5000, 0),
        "m3/h",
        1e-9,
    ),
    Check(
        "room_air",
        "44.83 L of gas in 1.12 m3, 40 027 ppm: dangerous to life",
        NIOSH,
        1,
        lambda: float(room_air(1, 180.16, 1.12, 5000, 24, 0, 0).dangerous_to_life),
        "yes",
        0,
    ),
    Check(
        "room_air",
        "44.83 L of gas in 1.13 m3, 39 673 ppm: not yet",
        NIOSH,
        0,
        lambda: float(room_air(1, 180.16, 1.13, 5000, 24, 0, 0).dangerous_to_life),
        "yes",
        0,
    ),
)
