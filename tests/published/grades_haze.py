"""Grades that a second reader gave to signs of hazes and deposits, beside the sources that were read for them.

The reader has 23 hazes, 56 signs and 220 pairs of them; a pair that the reader does not list is neutral and is not
compared. The hazes, the signs and the pairs stand in a table each. How a pair is held against our page is told in
`matrix.py`.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from matrix import Grade, Matrix

CAUSES: Mapping[str, str] = {
    "protein": "protein_haze",
    "protein and tannin": "protein_tannin_haze",
    "pectin": "pectin_haze",
    "starch": "starch_haze",
    "glucan of rot": "glucan_haze",
    "iron, white": "iron_haze",
    "iron, blue": "iron_haze",
    "copper": "copper_haze",
    "browning enzyme": "enzymatic_browning",
    "colour in the cold": "cold_colour_haze",
    "yeast settling": "yeast_not_settled",
    "yeast growing": "refermentation",
    "lactic bacteria": "lactic_bacteria",
    "ropiness": "ropiness",
    "vinegar bacteria": "acetic_bacteria",
    "bitartrate": "bitartrate_crystals",
    "calcium tartrate": "calcium_tartrate_crystals",
    "fining protein left": "overfined_protein",
    "silica or chitosan left": "overfined_silica",
    "cellulose gum with protein": "additive_precipitate",
    "filter powder": "foreign_particles",
    "fibres or cork": "foreign_particles",
    "held up by gas": "gas_in_suspension",
}
"""The reader's hazes and our causes."""

SIGNS: Mapping[str, Mapping[str, Any]] = {
    "white or rose": {"wine_colour": "white"},
    "tannic red": {"wine_colour": "red"},
    "fruit wine": {"made_from": "other_fruit"},
    "starchy base": {"made_from": "starchy_base"},
    "rot in the fruit": {"rotten_fruit": "yes"},
    "copper met": {"added_lately": ["copper"]},
    "iron met": {"metal_contact": ["iron_or_rust"]},
    "protein fining lately": {"added_lately": ["gelatin"], "came_after": ["fining"]},
    "silica or chitosan lately": {"added_lately": ["silica_sol", "chitosan"]},
    "cellulose gum added": {"added_lately": ["cellulose_gum"]},
    "sorbate added": {"added_lately": ["sorbate"]},
    "sugar left": {"residual_sugar": 12.0},
    "high pH and little free": {"ph": 3.7, "free_so2": 5.0},
    "just filtered": {"filter_grade": "coarse", "came_after": ["filtering"]},
    "just filtered with powder": {"filter_powder": "yes", "came_after": ["filtering"]},
    "after warmth": {"came_after": ["warming"]},
    "after chilling": {"came_after": ["chilling"]},
    "clears on warming": {"warm_cold": "clears_when_warm"},
    "after air": {"came_after": ["air"]},
    "sealed, in light": {"came_after": ["light_in_sealed_bottle"]},
    "clears in air": {"air_test": "clears"},
    "heat test failed": {"heat_test_eye": "much_hazier"},
    "heat test passed": {"heat_test_eye": "unchanged"},
    "hazes again behind the filter": {"syringe_filter": "clear_then_hazy"},
    "enzyme trial clears": {"enzyme_twin": "clears"},
    "clots in alcohol": {"alcohol_test": "clots_or_strings"},
    "nothing in alcohol": {"alcohol_test": "nothing"},
    "threads in little alcohol": {"glucan_test": "threads_at_once"},
    "iodine blue": {"iodine_test": "blue_black"},
    "iodine stays yellow": {"iodine_test": "yellow_brown"},
    "iron high": {"lab_iron": 12.0},
    "iron low": {"lab_iron": 2.0},
    "copper high": {"lab_copper": 0.8},
    "copper low": {"lab_copper": 0.1},
    "alkali dissolves it": {"deposit_dissolves_in": ["dilute_alkali"]},
    "acid dissolves it": {"deposit_dissolves_in": ["dilute_acid"]},
    "half alcohol dissolves it": {"deposit_dissolves_in": ["half_alcohol"]},
    "boiling water dissolves it": {"crystals_hot_water": "dissolve"},
    "water does not, acid does": {"crystals_hot_water": "stay", "crystals_dilute_acid": "dissolve"},
    "crystals": {"microscope": ["crystals"]},
    "budding cells": {"microscope": ["budding_yeast"]},
    "yeast cells": {"microscope": ["yeast_not_budding"]},
    "rods or cocci": {"microscope": ["rods_or_cocci"]},
    "no cells": {"microscope": ["no_cells"]},
    "gas": {"gas": "lively"},
    "density falls": {"gravity_trend": "falling"},
    "vinegar": {"smells": ["vinegar"]},
    "geranium": {"smells": ["geranium"]},
    "ropy": {"pour_test": "pours_in_strings"},
    "browns": {"looks": ["brown_colour"]},
    "blue-black": {"looks": ["blue_black_colour"]},
    "red-brown deposit": {"looks": ["red_brown_deposit"]},
    "no shape": {"microscope": ["shapeless_matter"]},
    "tannin test hazes": {"tannin_test": "hazes"},
    "clear through 0.45 um": {"syringe_filter": "clear_and_stays"},
    "fibres": {"microscope": ["fibres"]},
    "honeycomb": {"microscope": ["honeycomb_skeletons"]},
    "settles without gas": {"degassed_twin": "settles_clear"},
    "clogs a filter": {"syringe_filter": "clogs"},
}
"""The reader's signs, and the answers to our questions that come nearest."""

AMORPHOUS = "AWRI, Hazes and deposits key: amorphous deposits"
SIZES = "AWRI, Hazes and deposits key: classification; microbiological"
ORDER = "AWRI, Hazes and deposits key: isolation, classification"
OTHER = "AWRI, Hazes and deposits key: other deposits"
CRYSTALS = "AWRI, Hazes and deposits key: crystalline deposits"
COPPER = "AWRI, Hazes and deposits key: copper instability"
CASSE = "Encyclopaedia of viticulture and winemaking; French oenology course notes 2019"
IRON = "WineSkills, iron"
FINING = "Marchal and Jeandet 2009, in Wine Chemistry and Biochemistry, p. 136"
LA_VIGNE = "La Vigne no. 222"
HEAT = "AWRI, Measurement of heat stability of wine"
IOWA = "Iowa State University Extension"
APPLE = "National Tsing Hua University, teaching sheet on apple juice"
VILLAVECCHIA = "Villavecchia, Treatise on Applied Analytical Chemistry, vol. 1"
STERILE = "Holdstock (AWRI), Wine Australia 2016"
LOGIC = "logic"
MEMORY = "from memory"
PRACTICE = "common practice"

PAIRS: tuple[tuple[str, str, str, str], ...] = (
    ("protein", "white or rose", "supports", "WineSkills, chemical instability"),
    ("protein", "tannic red", "against", "WineSkills, chemical instability"),
    ("protein", "after warmth", "supports", LA_VIGNE),
    ("protein", "heat test failed", "supports", HEAT),
    ("protein", "heat test passed", "against", HEAT),
    ("protein", "hazes again behind the filter", "supports", HEAT),
    ("protein", "enzyme trial clears", "against", LOGIC),
    ("protein", "alkali dissolves it", "supports", AMORPHOUS),
    ("protein", "acid dissolves it", "neutral", AMORPHOUS),
    ("protein", "half alcohol dissolves it", "against", AMORPHOUS),
    (
        "protein",
        "clots in alcohol",
        "neutral",
        "Esteruelas et al. 2009, as quoted by the Winemakers Research Exchange",
    ),
    ("protein", "no shape", "supports", ORDER),
    ("protein", "crystals", "against", SIZES),
    ("protein", "tannin test hazes", "supports", LA_VIGNE),
    ("protein", "clear through 0.45 um", "neutral", HEAT),
    ("protein", "clears in air", "against", CASSE),
    ("protein", "no cells", "supports", SIZES),
    ("protein", "boiling water dissolves it", "against", LOGIC),
    ("protein", "gas", "neutral", LOGIC),
    ("protein", "iodine blue", "neutral", APPLE),
    ("protein", "sealed, in light", "neutral", LOGIC),
    ("protein and tannin", "tannic red", "supports", LOGIC),
    ("protein and tannin", "half alcohol dissolves it", "supports", AMORPHOUS),
    ("protein and tannin", "alkali dissolves it", "supports", AMORPHOUS),
    ("protein and tannin", "after warmth", "neutral", LOGIC),
    ("protein and tannin", "after chilling", "supports", MEMORY),
    ("protein and tannin", "clears on warming", "supports", MEMORY),
    ("protein and tannin", "protein fining lately", "supports", FINING),
    ("protein and tannin", "crystals", "against", SIZES),
    ("protein and tannin", "heat test failed", "supports", "Zoecklein, Enology Notes 12"),
    ("protein and tannin", "tannin test hazes", "neutral", LA_VIGNE),
    ("pectin", "fruit wine", "supports", PRACTICE),
    ("pectin", "clots in alcohol", "supports", PRACTICE),
    ("pectin", "enzyme trial clears", "confirms", LOGIC),
    ("pectin", "hazes again behind the filter", "neutral", LOGIC),
    ("pectin", "nothing in alcohol", "against", MEMORY),
    ("pectin", "heat test failed", "neutral", LOGIC),
    ("pectin", "alkali dissolves it", "neutral", AMORPHOUS),
    ("pectin", "after warmth", "against", LOGIC),
    ("pectin", "clogs a filter", "supports", "Wineland"),
    ("pectin", "crystals", "against", SIZES),
    ("pectin", "no cells", "supports", SIZES),
    ("pectin", "threads in little alcohol", "neutral", MEMORY),
    ("pectin", "clear through 0.45 um", "neutral", LOGIC),
    ("pectin", "clears in air", "against", LOGIC),
    ("starch", "starchy base", "supports", APPLE),
    ("starch", "iodine blue", "confirms", APPLE),
    ("starch", "iodine stays yellow", "against", APPLE),
    ("starch", "crystals", "against", LOGIC),
    (
        "starch",
        "clots in alcohol",
        "neutral",
        "Esteruelas et al. 2009, as quoted by the Winemakers Research Exchange",
    ),
    ("starch", "white or rose", "neutral", LOGIC),
    ("glucan of rot", "rot in the fruit", "supports", "OIV Code II.3.2.11"),
    ("glucan of rot", "threads in little alcohol", "supports", MEMORY),
    ("glucan of rot", "clogs a filter", "supports", "Wineland"),
    (
        "glucan of rot",
        "clots in alcohol",
        "supports",
        "Esteruelas et al. 2009, as quoted by the Winemakers Research Exchange",
    ),
    ("glucan of rot", "nothing in alcohol", "against", MEMORY),
    ("glucan of rot", "clear through 0.45 um", "neutral", LOGIC),
    ("glucan of rot", "heat test failed", "neutral", LOGIC),
    ("glucan of rot", "crystals", "against", LOGIC),
    ("glucan of rot", "settles without gas", "against", LOGIC),
    ("iron, white", "after air", "supports", IRON),
    ("iron, white", "iron met", "supports", "AWRI, Hazes and deposits key: iron"),
    ("iron, white", "iron high", "supports", "AWRI, Hazes and deposits key: iron"),
    ("iron, white", "iron low", "against", "AWRI, Hazes and deposits key: iron"),
    ("iron, white", "acid dissolves it", "supports", AMORPHOUS),
    ("iron, white", "clears in air", "rules_out", IRON),
    ("iron, white", "sealed, in light", "against", IRON),
    ("iron, white", "heat test failed", "neutral", LOGIC),
    ("iron, white", "crystals", "against", LOGIC),
    ("iron, white", "white or rose", "supports", "AWRI, Hazes and deposits key: iron"),
    ("iron, white", "browns", "against", LOGIC),
    ("iron, white", "alkali dissolves it", "against", AMORPHOUS),
    ("iron, white", "no shape", "supports", ORDER),
    ("iron, blue", "tannic red", "supports", "AWRI, Hazes and deposits key: iron"),
    ("iron, blue", "blue-black", "supports", "AWRI, Hazes and deposits key: iron"),
    ("iron, blue", "after air", "supports", IRON),
    ("iron, blue", "iron high", "supports", "AWRI, Hazes and deposits key: iron"),
    ("iron, blue", "iron low", "against", "AWRI, Hazes and deposits key: iron"),
    ("iron, blue", "clears in air", "rules_out", IRON),
    ("iron, blue", "acid dissolves it", "supports", AMORPHOUS),
    ("iron, blue", "crystals", "against", LOGIC),
    ("iron, blue", "browns", "neutral", LOGIC),
    ("copper", "copper met", "supports", COPPER),
    ("copper", "sealed, in light", "supports", CASSE),
    ("copper", "clears in air", "confirms", CASSE),
    ("copper", "after air", "against", CASSE),
    ("copper", "copper high", "supports", COPPER),
    ("copper", "copper low", "against", COPPER),
    ("copper", "red-brown deposit", "supports", CASSE),
    ("copper", "acid dissolves it", "supports", AMORPHOUS),
    ("copper", "heat test failed", "neutral", LOGIC),
    ("copper", "no shape", "supports", AMORPHOUS),
    ("copper", "white or rose", "supports", COPPER),
    ("copper", "tannic red", "against", CASSE),
    ("copper", "crystals", "against", LOGIC),
    ("browning enzyme", "rot in the fruit", "supports", CASSE),
    ("browning enzyme", "after air", "supports", "WineSkills, oxidation"),
    ("browning enzyme", "browns", "supports", CASSE),
    ("browning enzyme", "clears in air", "rules_out", "WineSkills, oxidation"),
    ("browning enzyme", "heat test failed", "neutral", LOGIC),
    ("browning enzyme", "sealed, in light", "against", LOGIC),
    ("browning enzyme", "crystals", "against", LOGIC),
    ("browning enzyme", "blue-black", "against", LOGIC),
    ("colour in the cold", "tannic red", "supports", MEMORY),
    ("colour in the cold", "after chilling", "supports", MEMORY),
    ("colour in the cold", "clears on warming", "supports", MEMORY),
    ("colour in the cold", "half alcohol dissolves it", "supports", AMORPHOUS),
    ("colour in the cold", "crystals", "against", LOGIC),
    ("colour in the cold", "heat test failed", "neutral", LOGIC),
    ("yeast settling", "yeast cells", "supports", SIZES),
    ("yeast settling", "no cells", "rules_out", SIZES),
    ("yeast settling", "clear through 0.45 um", "supports", STERILE),
    ("yeast settling", "gas", "against", SIZES),
    ("yeast settling", "settles without gas", "supports", MEMORY),
    ("yeast settling", "heat test failed", "neutral", LOGIC),
    ("yeast settling", "just filtered", "against", LOGIC),
    ("yeast settling", "sugar left", "neutral", LOGIC),
    ("yeast growing", "sugar left", "supports", SIZES),
    ("yeast growing", "budding cells", "supports", SIZES),
    ("yeast growing", "gas", "supports", SIZES),
    ("yeast growing", "density falls", "confirms", LOGIC),
    ("yeast growing", "no cells", "rules_out", SIZES),
    ("yeast growing", "clear through 0.45 um", "supports", STERILE),
    ("yeast growing", "sorbate added", "neutral", "Wine Production, ch. 16"),
    ("yeast growing", "settles without gas", "against", LOGIC),
    ("lactic bacteria", "rods or cocci", "supports", SIZES),
    ("lactic bacteria", "no cells", "against", SIZES),
    ("lactic bacteria", "geranium", "supports", IOWA),
    ("lactic bacteria", "high pH and little free", "supports", IOWA),
    ("lactic bacteria", "gas", "supports", LOGIC),
    ("lactic bacteria", "sorbate added", "neutral", IOWA),
    ("lactic bacteria", "clear through 0.45 um", "supports", STERILE),
    ("ropiness", "ropy", "confirms", "Lonvaud and Peynaud, as quoted by Goode 2020; Osborne"),
    ("ropiness", "high pH and little free", "supports", IOWA),
    ("ropiness", "rods or cocci", "supports", "Lonvaud and Peynaud, as quoted by Goode 2020; Osborne"),
    ("ropiness", "threads in little alcohol", "supports", LOGIC),
    ("ropiness", "clogs a filter", "supports", LOGIC),
    ("ropiness", "crystals", "against", LOGIC),
    ("ropiness", "no cells", "against", LOGIC),
    ("vinegar bacteria", "vinegar", "supports", LOGIC),
    ("vinegar bacteria", "after air", "supports", LOGIC),
    ("vinegar bacteria", "rods or cocci", "supports", SIZES),
    ("vinegar bacteria", "no cells", "against", SIZES),
    ("vinegar bacteria", "high pH and little free", "supports", LOGIC),
    ("vinegar bacteria", "sealed, in light", "against", LOGIC),
    ("bitartrate", "crystals", "supports", SIZES),
    ("bitartrate", "boiling water dissolves it", "confirms", VILLAVECCHIA),
    ("bitartrate", "after chilling", "supports", VILLAVECCHIA),
    ("bitartrate", "clears on warming", "against", LOGIC),
    ("bitartrate", "no shape", "against", SIZES),
    ("bitartrate", "water does not, acid does", "rules_out", VILLAVECCHIA),
    ("bitartrate", "clear through 0.45 um", "supports", ORDER),
    ("bitartrate", "heat test failed", "neutral", LOGIC),
    ("calcium tartrate", "crystals", "supports", CRYSTALS),
    ("calcium tartrate", "water does not, acid does", "supports", VILLAVECCHIA),
    ("calcium tartrate", "boiling water dissolves it", "against", VILLAVECCHIA),
    ("calcium tartrate", "no shape", "against", LOGIC),
    ("calcium tartrate", "after chilling", "neutral", LOGIC),
    ("fining protein left", "protein fining lately", "supports", FINING),
    ("fining protein left", "tannin test hazes", "supports", "Ribereau-Gayon, Treatise"),
    ("fining protein left", "heat test failed", "neutral", MEMORY),
    ("fining protein left", "white or rose", "supports", FINING),
    ("fining protein left", "crystals", "against", LOGIC),
    ("fining protein left", "tannic red", "against", LOGIC),
    ("fining protein left", "alkali dissolves it", "supports", AMORPHOUS),
    ("fining protein left", "silica or chitosan lately", "neutral", FINING),
    ("silica or chitosan left", "silica or chitosan lately", "supports", FINING),
    ("silica or chitosan left", "settles without gas", "supports", LOGIC),
    ("silica or chitosan left", "tannin test hazes", "neutral", LOGIC),
    ("silica or chitosan left", "crystals", "against", LOGIC),
    ("silica or chitosan left", "clear through 0.45 um", "neutral", LOGIC),
    ("cellulose gum with protein", "cellulose gum added", "supports", "Winemakers Research Exchange 2018"),
    ("cellulose gum with protein", "heat test failed", "supports", "Winemakers Research Exchange 2018"),
    ("cellulose gum with protein", "heat test passed", "against", "Winemakers Research Exchange 2018"),
    ("cellulose gum with protein", "crystals", "against", LOGIC),
    ("filter powder", "just filtered with powder", "supports", OTHER),
    ("filter powder", "honeycomb", "confirms", OTHER),
    ("filter powder", "settles without gas", "supports", LOGIC),
    ("filter powder", "clear through 0.45 um", "supports", LOGIC),
    ("filter powder", "crystals", "against", LOGIC),
    ("filter powder", "heat test failed", "neutral", LOGIC),
    ("fibres or cork", "just filtered", "supports", OTHER),
    ("fibres or cork", "fibres", "confirms", OTHER),
    ("fibres or cork", "clear through 0.45 um", "supports", LOGIC),
    ("fibres or cork", "no shape", "against", OTHER),
    ("fibres or cork", "heat test failed", "neutral", LOGIC),
    ("held up by gas", "settles without gas", "supports", MEMORY),
    ("held up by gas", "gas", "supports", MEMORY),
    ("held up by gas", "clear through 0.45 um", "supports", LOGIC),
    ("held up by gas", "heat test failed", "neutral", LOGIC),
    ("held up by gas", "crystals", "neutral", LOGIC),
    ("glucan of rot", "enzyme trial clears", "against", "OIV Code II.3.2.11"),
    ("starch", "enzyme trial clears", "against", LOGIC),
    ("bitartrate", "sugar left", "neutral", LOGIC),
    ("yeast settling", "rods or cocci", "neutral", LOGIC),
    ("yeast settling", "density falls", "against", LOGIC),
    ("held up by gas", "density falls", "supports", LOGIC),
    ("protein", "density falls", "neutral", LOGIC),
    ("yeast growing", "hazes again behind the filter", "neutral", LOGIC),
    ("lactic bacteria", "hazes again behind the filter", "neutral", LOGIC),
    ("browning enzyme", "high pH and little free", "supports", CASSE),
    ("iron, white", "copper met", "neutral", LOGIC),
    ("copper", "iron met", "neutral", LOGIC),
    ("protein", "copper met", "neutral", AMORPHOUS),
    ("fining protein left", "hazes again behind the filter", "supports", LOGIC),
    ("held up by gas", "sugar left", "neutral", LOGIC),
    ("ropiness", "sugar left", "neutral", LOGIC),
    ("pectin", "rot in the fruit", "neutral", "Francioli et al. 1999"),
)
"""Haze, sign, grade, and the source of the fact."""

BESIDE: Mapping[str, Mapping[str, Any]] = {
    "cellulose gum with protein": {"added_lately": ["cellulose_gum"], "wine_colour": "white"},
}
"""What is known of the wine beforehand, for a haze that is only a part of our cause."""

GRADES = {
    f"{haze}: {sign}": Grade(
        CAUSES[haze],
        SIGNS[sign],
        grade,
        source,
        {} if sign == "cellulose gum added" else BESIDE.get(haze, {}),
    )
    for haze, sign, grade, source in PAIRS
}

NEEDS_NO_ROW = (
    "Our page has no row. A wine with this haze alone shows the sign no more and no less often than a sound wine; "
    "the page that explains the sign rises, and this one falls by that."
)
"""For signs that another haze brings; a test sees to it that the cause does fall."""

DISAGREEMENTS = {
    **{
        f"{haze}: crystals": NEEDS_NO_ROW
        for haze in (
            "protein",
            "protein and tannin",
            "pectin",
            "starch",
            "glucan of rot",
            "iron, white",
            "iron, blue",
            "copper",
            "browning enzyme",
            "colour in the cold",
            "ropiness",
            "filter powder",
        )
    },
    "protein: boiling water dissolves it": NEEDS_NO_ROW,
    "cellulose gum with protein: crystals": (
        "Our page has no row. Cellulose gum goes into wines that would make crystals, so crystals beside its haze are "
        "no contradiction."
    ),
    "protein: heat test failed": (
        "It counts as a confirmation once protein is likely by the rest. Cellulose gum and copper fail the heat test "
        "too, and are asked for on pages of their own; the clay that follows is tried at the bench first."
    ),
    "protein and tannin: half alcohol dissolves it": (
        "It counts as a confirmation once the rest makes this likely. Colour that falls in the cold dissolves so too, "
        "and is parted from it by colour and cold."
    ),
    "pectin: hazes again behind the filter": (
        "Ours is against. Pectin is there from the start and grows no more, so a new haze in a wine that was bright is "
        "something else."
    ),
    "glucan of rot: threads in little alcohol": (
        "It counts as a confirmation once rot makes glucan likely. A ropy wine makes threads too; there the pour and "
        "the cells speak for ropiness, and this is not likely any more."
    ),
    "iron, white: iron high": (
        "It counts as a confirmation once the look and the air test make iron likely. The reader keeps that for "
        "ferrocyanide, which no small cellar has; the treatment is for a laboratory in any case."
    ),
    "iron, blue: iron high": (
        "It counts as a confirmation once the look and the air test make iron likely. The reader keeps that for "
        "ferrocyanide, which no small cellar has; the treatment is for a laboratory in any case."
    ),
    "iron, white: white or rose": (
        "One page of ours holds the white and the blue haze of iron, so no colour of wine speaks for it."
    ),
    "iron, blue: tannic red": (
        "One page of ours holds the white and the blue haze of iron, so no colour of wine speaks for it."
    ),
    "copper: copper high": (
        "It counts as a confirmation once bottle, light and look make copper likely. The reader keeps that for the "
        "haze that clears in air, which confirms here as well."
    ),
    "colour in the cold: clears on warming": (
        "It counts as a confirmation once a red that was chilled makes this likely. A haze of protein and tannin can "
        "clear too; what comes first, cold and rest, harms neither."
    ),
    "yeast settling: yeast cells": (
        "The reader has one sign for all yeast, which fits a wine that ferments again as well. Our question parts "
        "cells that bud from cells that do not."
    ),
    "yeast growing: budding cells": (
        "The reader has one sign for all yeast, which fits settling yeast as well. Our question parts cells that bud "
        "from cells that do not; and what follows, making the wine safe, harms no other wine."
    ),
    "yeast growing: hazes again behind the filter": (
        "Ours is against. The membrane holds yeast, and the sample stands three days only, in a clean bottle; cells "
        "that came in afterwards seldom make a haze so soon."
    ),
    "lactic bacteria: hazes again behind the filter": (
        "Ours is against. The membrane holds nearly all bacteria, and the sample stands three days only, in a clean "
        "bottle; cells that came in afterwards seldom make a haze so soon."
    ),
    "lactic bacteria: geranium": (
        "Ours confirms in strength. Nothing but lactic bacteria on sorbate is known to make this smell, and the reader "
        "says so too in a note."
    ),
    "calcium tartrate: water does not, acid does": (
        "It counts as a confirmation once crystals make this likely. Calcium oxalate does the same, is rarer still, "
        "and is treated alike."
    ),
    "fining protein left: silica or chitosan lately": (
        "Chitosan stands with gelatin on our page, since both are positive and left over alike; the reader puts it "
        "with silica."
    ),
    "silica or chitosan left: settles without gas": (
        "The reader means flocs that gas holds up. With us they are a page of their own, a fining that went in while "
        "the wine worked, for which this sign confirms. Silica left over stays up without gas."
    ),
    "silica or chitosan left: tannin test hazes": (
        "Ours is against. A haze with tannin shows protein to spare, and silica to spare would have taken it."
    ),
    "filter powder: settles without gas": (
        "Our question asks for a twin that kept its gas and stayed hazy. Powder falls in both, so the sign says "
        "nothing about it."
    ),
    "fibres or cork: no shape": (
        "Fibres and filter powders are one page of ours, and fine powder has no shape to be seen, so nothing is taken "
        "off for it."
    ),
    "held up by gas: settles without gas": (
        "The reader has no twin in mind, without which it fits yeast and flocs as well. Our question asks for the twin."
    ),
    "held up by gas: density falls": (
        "Our page is the gas that is left when the ferment has ended. With a density that falls it is a working "
        "ferment, which must not be closed, and another page."
    ),
    "browning enzyme: high pH and little free": (
        "The enzyme works at any pH of wine and in spite of sulfur dioxide, and the text named for the row speaks of "
        "the look only."
    ),
}
"""Pairs where our page says otherwise, each with the reason."""

NOT_COMPARED = {
    "deposit stains as protein": (
        "Five pairs. The dye is for a laboratory with a microscope, and no question of ours asks for it."
    ),
    "washed deposit turns blue with ferrocyanide": (
        "Two pairs. The test makes a poison with acid and is for a laboratory; no question of ours asks for it."
    ),
    "spot test for tartrate with vanadate": (
        "Two pairs. The salt is poisonous and not for a cellar; boiling water and acid part the crystals here."
    ),
    "lilac or red flame": (
        "Three pairs. It needs a platinum wire and a practised eye, and the reader has it from memory."
    ),
}
"""Pairs of the reader that are not put to our pages, each with the reason."""

MATRIX = Matrix("Hazes and deposits", "haze", GRADES, DISAGREEMENTS, NOT_COMPARED)
