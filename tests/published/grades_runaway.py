"""Grades that a second reader gave to ferments that will not stop, beside the sources that were read for them.

One cause of the reader, a ferment that goes on unwanted, is three pages of ours: yeast left in, too little cold, and
sulfite or sorbate alone. How a row is held against our page is told in `matrix.py`.
"""

from __future__ import annotations

from matrix import Grade, Matrix

GRADES = {
    "malolactic, gas after the ferment has ended": Grade(
        "malolactic_taken_for_yeast",
        {"gas": "a_little", "gravity_trend": "steady", "residual_sugar": 1.0},
        "supports",
        "Encyclopaedia Britannica, wine",
    ),
    "malolactic, no sugar and malic acid falling": Grade(
        "malolactic_taken_for_yeast",
        {"residual_sugar": 0.5, "malolactic": "under_way"},
        "confirms",
        "from memory",
    ),
    "malolactic, no malic acid on paper": Grade(
        "malolactic_taken_for_yeast", {"malolactic": "finished"}, "against", "from memory"
    ),
    "malolactic in bottle, malic acid left and no sugar": Grade(
        "malolactic_taken_for_yeast",
        {"wine_is_in": "bottle", "malolactic": "not_done", "residual_sugar": 0.5},
        "supports",
        "Purdue Extension FS-56-W",
    ),
    "old gas, density and malic acid steady as it warms": Grade(
        "gas_let_go_by_warming",
        {"woke_after": ["warmer"], "gas": "a_little", "gravity_trend": "steady", "malolactic": "finished"},
        "supports",
        "Regulation (EEC) 2676/90, carbon dioxide",
    ),
    "old gas, density falling": Grade(
        "gas_let_go_by_warming", {"gravity_trend": "falling"}, "against", "from memory"
    ),
    "heat, above 30 C and rising": Grade(
        "hot_runaway",
        {"wine_colour": "red", "ferment_temperature": 32.0, "ferment_heat_trend": "climbing"},
        "confirms",
        "Cuenat 1997",
    ),
    "heat, much food early": Grade(
        "hot_runaway", {"food_all_at_once": "yes"}, "supports", "Oregon State University Extension"
    ),
    "heat, a red below 25 C": Grade(
        "hot_runaway", {"wine_colour": "red", "ferment_temperature": 24.0}, "against", "Cuenat 1997"
    ),
    "goes on, sorbate alone into a working wine": Grade(
        "sulfite_or_sorbate_alone",
        {"stopping_tried": ["sorbate"], "dosed_while_it_worked": "yes"},
        "supports",
        "Eisenman, Stabilizing sweet wines",
    ),
    "goes on, sulfite alone into a working wine": Grade(
        "sulfite_or_sorbate_alone",
        {"stopping_tried": ["sulfite"], "dosed_while_it_worked": "yes"},
        "supports",
        "no source",
    ),
    "goes on, cold and the yeast left in": Grade(
        "living_yeast_left_in",
        {"stopping_tried": ["chilled"], "yeast_taken_off": "left_on"},
        "supports",
        "Matevi, note on mutage",
    ),
    "goes on, density falls below 5 C": Grade(
        "living_yeast_left_in",
        {
            "stopping_tried": ["chilled"],
            "coldest_reached": 3.0,
            "ferment_temperature": 3.0,
            "gravity_trend": "falling",
        },
        "confirms",
        "no source",
    ),
    "goes on, sugar below 1 g/L, yeast left in": Grade(
        "living_yeast_left_in", {"residual_sugar": 0.5}, "rules_out", "Purdue Extension FS-56-W"
    ),
    "goes on, sugar below 1 g/L, too little cold": Grade(
        "too_little_cold", {"residual_sugar": 0.5}, "rules_out", "Purdue Extension FS-56-W"
    ),
    "goes on, sugar below 1 g/L, sulfite or sorbate alone": Grade(
        "sulfite_or_sorbate_alone", {"residual_sugar": 0.5}, "rules_out", "Purdue Extension FS-56-W"
    ),
    "bottle, sugar falls and pressure rises": Grade(
        "bottle_ferments_again",
        {"wine_is_in": "bottle", "gravity_trend": "falling", "gas": "lively"},
        "confirms",
        "Purdue Extension FS-56-W",
    ),
    "bottle, more than 2 g/L of sugar and no filter": Grade(
        "bottle_ferments_again",
        {"residual_sugar": 8.0, "filter_grade": "not_filtered"},
        "supports",
        "Purdue Extension FS-56-W",
    ),
    "bottle, sugar below 1 g/L": Grade(
        "bottle_ferments_again", {"residual_sugar": 0.5}, "against", "Purdue Extension FS-56-W"
    ),
    "bottle, tested 0.45 um": Grade(
        "bottle_ferments_again",
        {"filter_grade": "membrane_045", "filter_sound": "tested_sound"},
        "against",
        "Stabilizing sweet wines at bottling, 2018",
    ),
}

DISAGREEMENTS: dict[str, str] = {}

NOT_COMPARED = {
    "heat, a reckoned peak above 30 C": (
        "The reckoned peak is a worksheet of its own and no question; the density at the start and the heat of the "
        "room, which it is made of, are compared elsewhere."
    ),
}
"""Rows of the reader that are not put to our pages, each with the reason."""

MATRIX = Matrix("Ferments that will not stop", "runaway", GRADES, DISAGREEMENTS, NOT_COMPARED)
