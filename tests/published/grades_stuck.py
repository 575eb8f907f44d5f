"""Grades that a second reader gave to the findings of stuck ferments, beside the sources that were read for them.

`no source` means that the reader had none. How a row is held against our page is told in `matrix.py`.
"""

from __future__ import annotations

from matrix import Grade, Matrix

GRADES = {
    "finished, sugar by test below 2 g/L": Grade(
        "ferment_has_finished", {"residual_sugar": 1.0}, "confirms", "Purdue Extension FS-56-W"
    ),
    "finished, glucose and fructose above 4 g/L": Grade(
        "ferment_has_finished", {"residual_sugar": 8.0}, "rules_out", "Bisson 1999"
    ),
    "finished, 0.990 to 0.996 and steady": Grade(
        "ferment_has_finished", {"gravity_now": 0.993, "gravity_trend": "steady"}, "supports", "no source"
    ),
    "finished, 1.000 from a start of 1.090": Grade(
        "ferment_has_finished",
        {"start_gravity": 1.09, "gravity_now": 1.0, "made_from": "grapes"},
        "against",
        "reckoned from OIV-MA-AS2-03B",
    ),
    "reading, refractometer in a ferment": Grade(
        "refractometer_fooled", {"density_measured_with": "refractometer"}, "confirms", "optics of alcohol"
    ),
    "reading, temperature not corrected": Grade(
        "density_sample_wrong",
        {"density_sample_slips": ["cold_sample"]},
        "supports",
        "UC Davis laboratory techniques",
    ),
    "reading, sample full of gas": Grade(
        "density_sample_wrong", {"density_sample_slips": ["gassy_sample"]}, "supports", "OIV-MA-AS2-01A"
    ),
    "reading, a sugar test finds much": Grade(
        "density_sample_wrong", {"residual_sugar": 40.0}, "rules_out", "no source"
    ),
    "nitrogen below 100 mg/L": Grade(
        "nitrogen_ran_short", {"yeast_nitrogen_in_must": 80.0}, "supports", "Vitisphere 2019"
    ),
    "nitrogen 100 to 150 mg/L": Grade(
        "nitrogen_ran_short", {"yeast_nitrogen_in_must": 120.0}, "supports", "Vitisphere 2019"
    ),
    "nitrogen low and nothing else": Grade(
        "nitrogen_ran_short",
        {"yeast_nitrogen_in_must": 60.0},
        "neutral",
        "Schreiner, Osborne and Skinkis 2018: all were dry, even near 25 mg/L",
    ),
    "nitrogen, slow from the start": Grade(
        "nitrogen_ran_short", {"ferment_course": "slow_all_along"}, "supports", "UC Davis key"
    ),
    "nitrogen, sudden stop": Grade(
        "nitrogen_ran_short", {"ferment_course": "stopped_suddenly"}, "against", "L. Bisson, Wines and Vines"
    ),
    "nitrogen, late food did nothing": Grade(
        "nitrogen_ran_short",
        {"fed_jar": "no_change"},
        "neutral",
        "Oregon State University Extension: alcohol blocks uptake",
    ),
    "nitrogen, early food helps": Grade(
        "nitrogen_ran_short", {"fed_jar": "works"}, "supports", "French national study, La Vigne archive"
    ),
    "oxygen, white below 50 NTU": Grade(
        "yeast_starved_of_oxygen", {"must_clarity": "bright"}, "supports", "IVES, Macrowine 2021"
    ),
    "oxygen, no air in growth": Grade(
        "yeast_starved_of_oxygen", {"must_aired_early": "no"}, "supports", "OENO One abstract; OIV 2/2003"
    ),
    "oxygen, living cells fall": Grade(
        "yeast_starved_of_oxygen", {"yeast_alive_percent": 25.0}, "supports", "IVES, Macrowine 2021"
    ),
    "oxygen, red pumped over with air": Grade(
        "yeast_starved_of_oxygen", {"wine_colour": "red", "must_aired_early": "yes"}, "against", "no source"
    ),
    "cold, must below 17 C": Grade(
        "ferment_too_cold", {"ferment_temperature": 14.0}, "supports", "Cuenat 1997"
    ),
    "cold, a cold-loving strain at 12 to 15 C": Grade(
        "ferment_too_cold", {"ferment_temperature": 13.0}, "neutral", "Cuenat 1997"
    ),
    "cold, warmth brings it back": Grade(
        "ferment_too_cold", {"warmed_jar": "works"}, "confirms", "no source"
    ),
    "cold, 20 to 25 C all the time": Grade(
        "ferment_too_cold", {"ferment_temperature": 22.0}, "rules_out", "no source"
    ),
    "cold, glucose equals fructose": Grade(
        "ferment_too_cold", {"glucose_fructose": "about_equal"}, "supports", "Van de Water, slides"
    ),
    "hot, above 34 C for hours": Grade("yeast_hurt_by_heat", {"hottest": 34.5}, "supports", "Eisenman"),
    "hot, above 30 C near the end of a ripe red": Grade(
        "yeast_hurt_by_heat", {"hottest": 32.0}, "supports", "La Vigne no. 289"
    ),
    "hot, above 40 C": Grade("yeast_hurt_by_heat", {"hottest": 41.0}, "confirms", "Oxford Companion"),
    "hot, never near 30 C": Grade("yeast_hurt_by_heat", {"hottest": 24.0}, "against", "no source"),
    "hot, glucose equals fructose": Grade(
        "yeast_hurt_by_heat", {"glucose_fructose": "about_equal"}, "supports", "Van de Water, slides"
    ),
    "jump, just before a sudden stop": Grade(
        "yeast_chilled_or_shocked",
        {"ferment_temperature_jump": "colder", "ferment_course": "stopped_suddenly"},
        "supports",
        "UC Davis key",
    ),
    "jump, at high alcohol": Grade(
        "yeast_chilled_or_shocked",
        {"ferment_temperature_jump": "warmer", "start_gravity": 1.1, "gravity_now": 1.005},
        "supports",
        "UC Davis key",
    ),
    "jump, none in the log": Grade(
        "yeast_chilled_or_shocked", {"ferment_temperature_jump": "none"}, "against", "no source"
    ),
    "jump, but slowed over days": Grade(
        "yeast_chilled_or_shocked",
        {"ferment_course": "slowed_later"},
        "against",
        "L. Bisson, Wines and Vines",
    ),
    "alcohol at the limit of the strain": Grade(
        "alcohol_beyond_yeast",
        {"alcohol": 14.2, "yeast_alcohol_limit": 14.0, "ferment_course": "slowed_later"},
        "supports",
        "UC Davis key",
    ),
    "alcohol 1 to 3 % below the limit, with another stress": Grade(
        "alcohol_beyond_yeast", {"alcohol": 13.2, "yeast_alcohol_limit": 15.0}, "supports", "UC Davis key"
    ),
    "alcohol below 11": Grade("alcohol_beyond_yeast", {"alcohol": 9.5}, "against", "UC Davis key"),
    "sugar at the start, 22 Brix or less": Grade(
        "must_too_sweet", {"start_gravity": 1.085}, "against", "no source"
    ),
    "fructose, stopped early": Grade(
        "fructose_left_over", {"start_gravity": 1.09, "gravity_now": 1.04}, "against", "Van de Water, slides"
    ),
    "fructose equal to glucose": Grade(
        "fructose_left_over", {"glucose_fructose": "about_equal"}, "rules_out", "Van de Water, slides"
    ),
    "sulfite into a working ferment": Grade(
        "ferment_stopped_by_addition",
        {"just_before_ferment_stopped": ["sulfite"]},
        "supports",
        "UC Davis key",
    ),
    "sulfur dioxide high at crush, slow start": Grade(
        "must_over_sulfited",
        {"must_so2_added": 130.0, "ferment_course": "not_begun"},
        "supports",
        "UC Davis key",
    ),
    "molecular sulfur dioxide above 0.8 mg/L": Grade(
        "must_over_sulfited", {"free_so2": 50.0, "ph": 3.3}, "supports", "no source"
    ),
    "molecular sulfur dioxide below 0.3 mg/L": Grade(
        "must_over_sulfited", {"free_so2": 4.0, "ph": 3.4}, "against", "no source"
    ),
    "spray of the folpet kind, early stop": Grade(
        "fungicide_in_must",
        {"fruit_sprayed_late": "yes", "ferment_course": "slow_all_along"},
        "supports",
        "Russo and others 2019",
    ),
    "spray, waiting time kept": Grade(
        "fungicide_in_must",
        {"fruit_sprayed_late": "no"},
        "neutral",
        "Kosel, Raspor and Cadez 2019: some yeasts are hindered below the legal limit",
    ),
    "spray, better after hulls": Grade(
        "fungicide_in_must", {"hulls_jar": "works"}, "supports", "IFV grid: hulls take up residues"
    ),
    "bacteria seen": Grade(
        "ferment_stopped_by_bacteria", {"microscope": ["rods_or_cocci"]}, "supports", "UC Davis key"
    ),
    "bacteria, little sulfur dioxide at harvest": Grade(
        "ferment_stopped_by_bacteria", {"must_so2_added": 0.0}, "supports", "OENO One abstract"
    ),
    "bacteria, 4 to 5 g/L of acetic acid": Grade(
        "ferment_stopped_by_bacteria", {"volatile_acidity": 4.5}, "supports", "Edwards and others 1999"
    ),
    "bacteria, none seen and volatile acid normal": Grade(
        "ferment_stopped_by_bacteria",
        {"microscope": ["no_cells"], "volatile_acidity": 0.3},
        "against",
        "no source",
    ),
    "acetic acid 0.8 to 2 g/L": Grade(
        "ferment_stopped_by_bacteria",
        {"volatile_acidity": 0.9},
        "supports",
        "Eglinton and Henschke, abstracts",
    ),
    "acetic acid above 2 g/L": Grade(
        "ferment_stopped_by_bacteria",
        {"volatile_acidity": 2.5},
        "supports",
        "Eglinton and Henschke, abstracts",
    ),
    "bacteria, malic acid goes": Grade(
        "ferment_stopped_by_bacteria", {"malolactic": "under_way"}, "supports", "Van de Water, slides"
    ),
    "acetic acid below 0.5 g/L": Grade(
        "ferment_stopped_by_bacteria", {"volatile_acidity": 0.4}, "against", "no source"
    ),
    "lemon-shaped yeast": Grade(
        "wild_or_killer_yeast", {"lemon_shaped_yeast": "yes"}, "confirms", "UC Davis key"
    ),
    "wild yeast before the inoculum": Grade(
        "wild_or_killer_yeast", {"must_stood_before_yeast": "yes"}, "supports", "OIV OENO 2/2003"
    ),
    "wild yeast, slow from the start": Grade(
        "wild_or_killer_yeast", {"ferment_course": "slow_all_along"}, "supports", "UC Davis key"
    ),
    "wild yeast, against a full lively dose": Grade(
        "wild_or_killer_yeast", {"yeast_used": "starter"}, "against", "Comite Champagne"
    ),
    "killer yeast, low nitrogen": Grade(
        "wild_or_killer_yeast", {"nutrient_given": "none"}, "supports", "Carrau and others 1993"
    ),
    "yeast, must more than 10 C colder": Grade(
        "yeast_poorly_woken", {"yeast_waking": ["far_colder_must"]}, "supports", "Cuenat 1997"
    ),
    "yeast, too few cells": Grade(
        "yeast_poorly_woken", {"yeast_waking": ["too_little"]}, "supports", "Comite Champagne"
    ),
    "yeast, normal first half": Grade(
        "yeast_poorly_woken",
        {"start_gravity": 1.09, "gravity_now": 1.03, "ferment_course": "slowed_later"},
        "rules_out",
        "logic",
    ),
    "fatty acids, hulls bring it back": Grade(
        "fatty_acid_poison", {"hulls_jar": "works"}, "supports", "OIV-OENO 633-2019"
    ),
    "fatty acids, hulls do nothing": Grade(
        "fatty_acid_poison", {"hulls_jar": "no_change"}, "against", "no source"
    ),
    "pH below 3.0": Grade(
        "must_too_sour_for_yeast", {"ph": 2.9}, "supports", "Bisson and Butzke 2000 (no figure)"
    ),
    "pH 3.3 to 3.6": Grade("must_too_sour_for_yeast", {"ph": 3.45}, "rules_out", "no source"),
    "potassium low": Grade("potassium_too_low", {"must_potassium": 400.0}, "supports", "from memory"),
    "potassium ample": Grade("potassium_too_low", {"must_potassium": 1500.0}, "against", "from memory"),
    "change in mid-ferment, acid or blend": Grade(
        "ferment_stopped_by_addition",
        {"just_before_ferment_stopped": ["acid"]},
        "supports",
        "UC Davis key",
    ),
    "change in mid-ferment, none": Grade(
        "ferment_stopped_by_addition",
        {"just_before_ferment_stopped": ["nothing_special"]},
        "against",
        "logic",
    ),
}

DISAGREEMENTS = {
    "nitrogen below 100 mg/L": (
        "It counts as a confirmation once hunger is likely by the rest. So little nitrogen is the shortage itself, and "
        "food while the yeast still takes it up harms nothing."
    ),
    "nitrogen, early food helps": (
        "It counts as a confirmation once hunger is likely. The study gave air with the food; our jar gives food alone "
        "beside a jar without."
    ),
    "jump, just before a sudden stop": (
        "It counts as a confirmation once the sudden stop makes it likely. A jump in a day is the cause itself, seen."
    ),
    "jump, at high alcohol": (
        "It counts as a confirmation once the rest makes it likely. A jump in a day is the cause itself, seen."
    ),
    "alcohol at the limit of the strain": (
        "It counts as a confirmation once a late, slow end makes it likely. Alcohol at the printed limit is the cause "
        "itself, measured; what follows is to accept the sweetness or to build up a stronger yeast."
    ),
    "sulfite into a working ferment": (
        "It counts as a confirmation once the sudden stop makes it likely. The addition is the cause itself, and "
        "waiting comes first."
    ),
    "change in mid-ferment, acid or blend": (
        "It counts as a confirmation once the sudden stop makes it likely. The addition is the cause itself, and "
        "waiting comes first."
    ),
    "sulfur dioxide high at crush, slow start": (
        "It counts as a confirmation once the slow start makes it likely. So high a dose is the cause itself, and "
        "airing comes first."
    ),
    "molecular sulfur dioxide above 0.8 mg/L": (
        "It counts as a confirmation once the slow start makes it likely. So much of the active part is the cause "
        "itself, measured; the reader's grade has no source."
    ),
    "bacteria, 4 to 5 g/L of acetic acid": (
        "It counts as a confirmation once bacteria are likely by the rest. Hardly any yeast makes so much."
    ),
    "acetic acid 0.8 to 2 g/L": (
        "It counts as a confirmation once bacteria are likely by the rest. Wild yeast makes as much now and then, and "
        "has a page of its own that takes the chance where it fits."
    ),
    "acetic acid above 2 g/L": (
        "It counts as a confirmation once bacteria are likely by the rest. Hardly any yeast makes so much."
    ),
    "fatty acids, hulls bring it back": (
        "It counts as a confirmation once the poison is likely by the rest. Hulls take up sprays as well, as the "
        "reader says; what follows is hulls in either case."
    ),
    "pH below 3.0": (
        "It counts as a confirmation once the rest makes it likely. The low pH is the cause itself, measured."
    ),
    "potassium low": (
        "It counts as a confirmation once the rest makes it likely. The shortage is the cause itself, measured by a "
        "laboratory; the figure is from memory on both sides, and very rare."
    ),
    "reading, a sugar test finds much": (
        "Ours is against and no more. A gassy or cold sample and a real stop go together well: sugar is left, and the "
        "hydrometer is off by some thousandths all the same."
    ),
    "nitrogen low and nothing else": (
        "Ours speaks for it. The musts of that study all came out dry, and yet were slower below 100 mg/L; the person "
        "here complains of a slow or stopped ferment, and among those a low figure is met far more often."
    ),
    "nitrogen, late food did nothing": (
        "Ours is against, since the jar is asked for only while less than half of the sugar is gone. Late food is "
        "asked nowhere, which is the reader's neutral."
    ),
    "spray, waiting time kept": (
        "Ours is against. The question is for a spray in the last three weeks, and not for a residue within the law; "
        "where there was none, less is left."
    ),
}

NOT_COMPARED = {
    "nitrogen at the target for the sugar": (
        "The target for each degree of sugar was read on a forum, which is no source here."
    ),
    "oxygen, faster after air at the end of growth": (
        "No question asks it: a cellar gives air once, and has no twin without it to see whether it went faster."
    ),
    "alcohol above 14 and less than a fifth of the cells alive": (
        "It was read in a guide of a supplier, which is no source here."
    ),
    "sugar at the start above 25 to 30 %": "The figure was read in a blog that quotes a book, and not in the book.",
    "fructose, more than ten times the glucose": "The limit was read in a copy on a forum, and not in the paper.",
    "fructose, glucose less than half of it": "It was read in the pages of a shop, which is no source here.",
    "fructose, the sample responds to glucose": (
        "Nobody adds pure glucose to a jar in a cellar, and the row was read in a copy on a forum."
    ),
    "spray, benomyl delays a little": (
        "The question is for any spray in the last three weeks; nobody knows the substance by name at the vat."
    ),
    "bacteria, lactic acid above 0.3 g/L": (
        "It was read in a trade note of a supplier, and no question asks for lactic acid."
    ),
    "killer yeast, 2 to 6 % of the yeast": "No cellar counts killer cells, so there is no question for it.",
    "killer yeast, a killer or neutral strain sown": (
        "No question asks the killer factor of the strain; packets do not always name it."
    ),
    "yeast, cooled suddenly after rehydration": (
        "It was read in a guide of a supplier; the must that is far colder, from a paper, is compared."
    ),
    "fatty acids high by analysis": "No question asks for it; few laboratories that serve small cellars measure it.",
}
"""Rows of the reader that are not put to our pages, each with the reason."""

MATRIX = Matrix("Stuck and sluggish ferments", "stuck", GRADES, DISAGREEMENTS, NOT_COMPARED)
