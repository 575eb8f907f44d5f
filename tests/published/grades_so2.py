"""A guide to sulfur dioxide that will not hold, its ten entries read as grades.

The guide has no words for strengths. What it sees is read as `supports`, its confirming test as `confirms`, unless the
entry itself says that the test does not prove. How a row is held against our page is told in `matrix.py`.
"""

from __future__ import annotations

from matrix import Grade, Matrix

GRADES = {
    "acetaldehyde, only the total rises": Grade(
        "so2_acetaldehyde_binds", {"so2_after_dose": "total_only"}, "supports", "Blouin, section 4.4.3"
    ),
    "acetaldehyde, jars flat and then rising": Grade(
        "so2_acetaldehyde_binds", {"so2_jar_ladder": "flat_then_rises"}, "confirms", "Blouin, section 4.4.3"
    ),
    "acetaldehyde, found by analysis": Grade(
        "so2_acetaldehyde_binds", {"lab_acetaldehyde": 120.0}, "confirms", "Blouin, section 4.4.3"
    ),
    "yeast, gone within days, with gas": Grade(
        "so2_yeast_still_alive",
        {"so2_trouble": "gone_in_days", "gas": "lively"},
        "supports",
        "OIV-OENO 3/2004",
    ),
    "yeast, density falls on two days": Grade(
        "so2_yeast_still_alive", {"gravity_trend": "falling"}, "confirms", "OIV-OENO 3/2004"
    ),
    "rot, high total and low free": Grade(
        "so2_rot_binders", {"free_so2": 8.0, "total_so2": 140.0}, "supports", "Barbe et al. 2000"
    ),
    "rot, laccase": Grade(
        "so2_rot_binders",
        {"lab_rot_marks": "laccase"},
        "confirms",
        "ITV France, report on the combination test",
    ),
    "rot, gluconic acid": Grade(
        "so2_rot_binders", {"lab_rot_marks": "gluconic_high"}, "supports", "OIV-MA-D1-01"
    ),
    "air, free and total fall": Grade(
        "so2_oxygen_takes_it", {"so2_over_time": "both_fell"}, "supports", "Danilewicz and Standing 2018"
    ),
    "air, smell of bruised apple": Grade(
        "so2_oxygen_takes_it",
        {"smells": ["sherry_or_bruised_apple"]},
        "supports",
        "Danilewicz and Standing 2018",
    ),
    "air, total holds while free falls": Grade(
        "so2_oxygen_takes_it", {"so2_over_time": "total_held"}, "against", "worked by hand from binding"
    ),
    "high pH, growth at a good free level": Grade(
        "so2_ph_too_high",
        {"so2_trouble": "right_but_spoils", "so2_spoilage_signs": ["acid_rises"]},
        "supports",
        "University of California Cooperative Extension 1982",
    ),
    "high pH, on a meter set that day": Grade(
        "so2_ph_too_high",
        {"ph": 3.85, "free_so2": 30.0, "so2_ph_meter_set": "yes"},
        "confirms",
        "University of California Cooperative Extension 1982",
    ),
    "red method, looks enough and spoils": Grade(
        "so2_red_method_bias",
        {"wine_colour": "red", "so2_method": "aeration", "so2_trouble": "right_but_spoils"},
        "supports",
        "Howe, Worobo and Sacks 2018",
    ),
    "red method, lower without acid": Grade(
        "so2_red_method_bias",
        {"wine_colour": "red", "so2_no_acid_reading": "much_lower"},
        "confirms",
        "Winemakers Research Exchange 2022",
    ),
    "ascorbic acid, iodine reads higher": Grade(
        "so2_ascorbic_in_titration",
        {"so2_method": "iodine", "so2_other_method": "lower"},
        "supports",
        "molar masses",
    ),
    "ascorbic acid, the blank still reads": Grade(
        "so2_ascorbic_in_titration", {"so2_iodine_blank": "still_reads"}, "confirms", "from memory"
    ),
    "powder, total short of the dose": Grade(
        "so2_powder_weak", {"so2_after_dose": "total_short"}, "supports", "OIV-OENO 646-2019"
    ),
    "powder, weak in water": Grade(
        "so2_powder_weak", {"so2_powder_in_water": "weak"}, "confirms", "OIV-OENO 646-2019"
    ),
    "mixing, top and bottom differ": Grade(
        "so2_not_mixed", {"so2_top_and_bottom": "bottom_higher"}, "confirms", "common practice"
    ),
    "too early, the figure moves in two days": Grade(
        "so2_measured_too_soon", {"so2_reread": "lower"}, "confirms", "Regulation (EEC) 2676/90, note 4"
    ),
    "made by yeast, bound without any addition": Grade(
        "so2_yeast_left_binders",
        {"so2_given_when": ["never"], "total_so2": 35.0},
        "supports",
        "Wells and Osborne 2011",
    ),
    "made by yeast, total before any dose": Grade(
        "so2_yeast_left_binders", {"so2_before_any_dose": 35.0}, "confirms", "Wells and Osborne 2011"
    ),
}

DISAGREEMENTS = {
    "air, free and total fall": (
        "It counts as a confirmation once air is likely by the rest. Binding leaves the total as it was, so hardly "
        "anything but air, or loss into it, takes both; the guide's own meter for oxygen is in no small cellar."
    ),
}
"""Rows where our page says otherwise, each with the reason."""

NOT_COMPARED = {
    "air, dissolved oxygen": (
        "A small cellar cannot measure it, so no question asks; where the air was stands for it."
    ),
    "made by yeast, free comes back as bacteria eat acetaldehyde": (
        "Free that rises by itself is asked, but it belongs to bacteria at work, which is a page of its own."
    ),
}
"""Parts of entries that are not put to our pages, each with the reason."""

MATRIX = Matrix("Sulfur dioxide that will not hold", "so2", GRADES, DISAGREEMENTS, NOT_COMPARED)
