"""Whose limits a person may choose, and what these laws are called."""

from __future__ import annotations

import sys
from pathlib import Path

sys.path.insert(0, str(Path(__file__).resolve().parents[1] / "engine"))

from diagnose.knowledge.limits import USUAL_LAW, laws_of
from diagnose.knowledge.read import read_rule_base
from diagnose.shipped import shipped_folder
from made_bases import base_of

UNDER_A_LAW = {"value": 1, "unit": "percent", "source": "judgement"}


def test_a_law_is_called_as_its_page_says_and_one_without_a_page_by_its_word() -> None:
    """A cellar that writes limits of its own country is understood before it writes a page for the name."""
    base = base_of(
        {"law": "us", "name": "United States"},
        {"limit": "water", "name": "Water", "jurisdiction": "us", **UNDER_A_LAW},
        {"limit": "clay", "name": "Clay", "jurisdiction": "valley", **UNDER_A_LAW},
    )
    assert laws_of(base) == {"us": "United States", "valley": "valley"}


def test_every_law_that_comes_along_has_a_name() -> None:
    """Nobody has to guess what `au` stands for; the one that counts where no law is named is among them."""
    laws = laws_of(read_rule_base([shipped_folder("rules")]))
    assert all(name != law for law, name in laws.items())
    assert "where no law is named" in laws[USUAL_LAW]
