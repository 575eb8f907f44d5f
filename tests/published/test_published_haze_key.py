"""A published key to hazes and deposits, walked entry by entry through the program.

The key is that of the Australian Wine Research Institute (AWRI), Hazes and deposits, web pages without a date:
classification, amorphous, crystalline, microbiological, iron, copper and other deposits. Where a page of it could not
be read in full, the row comes from the source named beside it.

Each row is walked twice: on the findings the key itself names, and with the scene set as it would be in a cellar
(colour, base, sweetness, gas, what came before). Both must put the row's cause first.
"""

from __future__ import annotations

from typing import Any, NamedTuple

import pytest
from diagnose.casebook.answers import read_answer
from diagnose.engine.facts import Fact
from diagnose.judgement.judge import Cellar, judge


class KeyRow(NamedTuple):
    """A row of the key: what is found, what it is, and where the key says so."""

    source: str
    findings: dict[str, Any]
    cause: str


CRYSTALS = {"deposit": "crystals", "looks": ["crystals"], "microscope": ["crystals"]}
AMORPHOUS = {"microscope": ["shapeless_matter", "no_cells"]}

KEY = {
    "boat or lens shaped crystals": KeyRow(
        "AWRI, classification; crystalline deposits",
        {**CRYSTALS, "crystal_shape": "boats_or_lenses"},
        "bitartrate_crystals",
    ),
    "crystals that dissolve in a little boiling water": KeyRow(
        "Villavecchia, Treatise on Applied Analytical Chemistry, vol. 1",
        {**CRYSTALS, "crystals_hot_water": "dissolve"},
        "bitartrate_crystals",
    ),
    "rhomboid crystals that stay in water and dissolve in acid": KeyRow(
        "AWRI, classification; Villavecchia for the solubility",
        {
            **CRYSTALS,
            "crystal_shape": "blocks",
            "crystals_hot_water": "stay",
            "crystals_dilute_acid": "dissolve",
        },
        "calcium_tartrate_crystals",
    ),
    "many budding cells of 3 to 12 um, with sugar left": KeyRow(
        "AWRI, microbiological",
        {"microscope": ["budding_yeast"], "sweetness": "sweet", "gas": "lively", "smells": ["yeasty"]},
        "refermentation",
    ),
    "round cells without buds in a young dry wine": KeyRow(
        "AWRI, classification; microbiological",
        {
            "microscope": ["yeast_not_budding"],
            "sweetness": "dry",
            "gravity_trend": "steady",
            "haze_began": "never_clear",
        },
        "yeast_not_settled",
    ),
    "rods and cocci of 1 to 3 um": KeyRow(
        "AWRI, classification; microbiological",
        {"microscope": ["rods_or_cocci"]},
        "lactic_bacteria",
    ),
    "amorphous, dissolves in 0.1 M sodium hydroxide, white wine": KeyRow(
        "AWRI, amorphous deposits",
        {**AMORPHOUS, "wine_colour": "white", "deposit_dissolves_in": ["dilute_alkali"]},
        "protein_haze",
    ),
    "amorphous, dissolves in 50 % ethanol, red wine": KeyRow(
        "AWRI, amorphous deposits (polyphenols: pigment and tannin)",
        {
            **AMORPHOUS,
            "wine_colour": "red",
            "deposit_dissolves_in": ["half_alcohol"],
            "warm_cold": "clears_when_warm",
        },
        "cold_colour_haze",
    ),
    "amorphous, dissolves in alkali and in 50 % ethanol": KeyRow(
        "AWRI, amorphous deposits (protein-phenolic deposits)",
        {**AMORPHOUS, "deposit_dissolves_in": ["dilute_alkali", "half_alcohol"]},
        "protein_tannin_haze",
    ),
    "gelatinous masses": KeyRow(
        "AWRI, amorphous deposits; Harbertson, WSU Extension EM016, as quoted",
        {**AMORPHOUS, "looks": ["jelly_lumps"], "deposit": "jelly"},
        "pectin_haze",
    ),
    "amorphous, dissolves in acid, after air, iron above 10 mg/L": KeyRow(
        "AWRI, iron; amorphous deposits",
        {**AMORPHOUS, "deposit_dissolves_in": ["dilute_acid"], "came_after": ["air"], "lab_iron": 12.0},
        "iron_haze",
    ),
    "bright shining spheres after copper sulfate before bottling, copper above 0.5 mg/L": KeyRow(
        "AWRI, copper; amorphous deposits",
        {
            "microscope": ["shining_spheres"],
            "added_lately": ["copper"],
            "wine_is_in": "bottle",
            "lab_copper": 0.8,
        },
        "copper_haze",
    ),
    "honeycomb skeletons after filtering": KeyRow(
        "AWRI, other deposits (diatomaceous earth)",
        {"microscope": ["honeycomb_skeletons"], "came_after": ["filtering"]},
        "foreign_particles",
    ),
    "fibres after filtering": KeyRow(
        "AWRI, other deposits (cellulose fibres)",
        {"microscope": ["fibres"], "looks": ["specks_or_fibres"]},
        "foreign_particles",
    ),
    "oily, pours in strings": KeyRow(
        "Goode 2020, quoting Lonvaud and Peynaud; Dimopoulou and Dols-Lafargue 2021",
        {"pour_test": "pours_in_strings", "tastes": ["thick_or_oily"]},
        "ropiness",
    ),
    "browning in air, from rotten fruit": KeyRow(
        "WineSkills (UK), oxidation; Encyclopaedia of viticulture and winemaking",
        {"rotten_fruit": "yes", "air_test": "turns_brown", "looks": ["brown_colour"]},
        "enzymatic_browning",
    ),
    "iodine turns blue-black": KeyRow(
        "National Tsing Hua University, teaching sheet on apple juice",
        {"iodine_test": "blue_black", "made_from": "starchy_base"},
        "starch_haze",
    ),
    "clear filtered wine hazes with tannin after a gelatin fining": KeyRow(
        "Ribereau-Gayon, Treatise (Russian edition of 1956)",
        {"added_lately": ["gelatin"], "tannin_test": "hazes", "wine_colour": "white"},
        "overfined_protein",
    ),
}


SCENE = {
    "came_after",
    "gas",
    "gravity_trend",
    "haze_began",
    "made_from",
    "smells",
    "sweetness",
    "tastes",
    "warm_cold",
    "wine_colour",
    "wine_is_in",
}
"""Findings of ours that set the scene; the key does not name them."""


@pytest.mark.parametrize("scene", [False, True], ids=["the key's own findings", "with the scene"])
@pytest.mark.parametrize("row", KEY.values(), ids=KEY.keys())
def test_each_row_of_the_key_puts_its_cause_first(cellar: Cellar, row: KeyRow, scene: bool) -> None:
    """The findings of a row of the published key put the row's cause first, alone and in their scene.

    The row of browning in air keeps its rotten fruit in both: there the key names it.
    """
    facts = [
        Fact(name, read_answer(cellar.base.observations[name], written, "metric"))
        for name, written in row.findings.items()
        if scene or name not in SCENE
    ]
    judged = judge(cellar, "haze", facts, machine="chain")
    order = [(standing.cause, round(standing.chance, 2)) for standing in judged.standings[:3]]
    assert order[0][0] == row.cause, f"{order} by {row.source}"
