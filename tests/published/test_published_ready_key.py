"""The gates before bottling, held against the figures in print.

The figures are those of Iowa State University Extension and the University of California Cooperative Extension, 1982
(molecular sulfur dioxide), the Australian Wine Research Institute, AWRI (heat, copper, iron), and Purdue Extension
FS-56 (sugar). Where a gate draws its line inside a printed range, that is a judgement and is said at its rule.
"""

from __future__ import annotations

from typing import Any

import pytest
from diagnose.casebook.answers import read_answer
from diagnose.engine.facts import Fact
from diagnose.judgement.judge import Cellar, Judged, judge

READY: dict[str, Any] = {
    "wine_colour": "white",
    "made_from": "grapes",
    "wine_is_in": "vessel",
    "added_lately": ["bentonite", "sulfite"],
    "days_since_fining": 30,
    "metal_contact": ["none_of_these"],
    "came_after": ["nothing_special"],
    "gas": "none",
    "gravity_now": 0.992,
    "gravity_trend": "steady",
    "sweetness": "dry",
    "residual_sugar": 1.0,
    "malolactic": "finished",
    "heat_test_of": "as_it_is",
    "heat_test_slips": ["none_of_these"],
    "changed_since_heat_pass": ["nothing_changed"],
    "heated_ntu": 0.7,
    "control_ntu": 0.5,
    "cold_test": "clear",
    "cold_test_repeated": "clear",
    "ph": 3.2,
    "free_so2": 30,
    "light_beam": "clear",
    "looks": ["none_of_these"],
}
"""A dry white of which everything that the gates ask is known and in order."""


def _judged(cellar: Cellar, **changed: Any) -> Judged:
    written = {name: value for name, value in (READY | changed).items() if value is not None}
    facts = [
        Fact(name, read_answer(cellar.base.observations[name], value, "metric"))
        for name, value in written.items()
    ]
    return judge(cellar, "heat", facts, machine="chain")


def _value(judged: Judged, state: str) -> str:
    values = judged.facts.get(state, ())
    assert len(values) <= 1, f"{state} came out as {values}"
    return str(next(iter(values), "unknown"))


def test_a_wine_that_passes_every_gate_is_ready(cellar: Cellar) -> None:
    """A still, dry, bright white, stable in heat and cold and sulfited for its pH, may be bottled."""
    judged = _judged(cellar)
    gates = {name: _value(judged, name) for name in cellar.base.states if name.startswith("gate_")}
    assert len(gates) == 8
    assert set(gates.values()) == {"passed"}, gates
    assert _value(judged, "ready_to_bottle") == "yes"


FAILS = {
    "density still falling": ("gate_sugar_and_yeast", {"gravity_trend": "falling"}),
    "20 g/L of sugar, no membrane, no sorbate": (
        "gate_sugar_and_yeast",
        {"residual_sugar": 20, "sweetness": "off_dry", "filter_grade": "not_filtered"},
    ),
    "malolactic fermentation under way": ("gate_malolactic", {"malolactic": "under_way"}),
    "rise of 5 NTU in the heat test": ("gate_protein", {"heated_ntu": 5.5}),
    "pink, rise of 1 NTU (limit 0.5)": ("gate_protein", {"wine_colour": "rose", "heated_ntu": 1.5}),
    "crystals in the cold": ("gate_tartrate", {"cold_test": "crystals", "cold_test_repeated": "crystals"}),
    "pH 3.6 with 20 mg/L free: 0.3 mg/L molecular": ("gate_so2_for_ph", {"ph": 3.6, "free_so2": 20}),
    "an even glow in the beam": ("gate_clarity_and_filter", {"light_beam": "even_glow"}),
    "clay that went in two days ago": ("gate_clarity_and_filter", {"days_since_fining": 2}),
    "lively gas": ("gate_gas", {"gas": "lively"}),
    "copper of 0.8 mg/L": ("gate_metals", {"lab_copper": 0.8}),
    "iron of 12 mg/L": ("gate_metals", {"lab_iron": 12}),
    "a coolant feared": ("gate_metals", {"foreign_matter_feared": ["coolant"]}),
}


@pytest.mark.parametrize(("gate", "changed"), FAILS.values(), ids=FAILS.keys())
def test_one_failed_gate_is_enough_to_wait(cellar: Cellar, gate: str, changed: dict[str, Any]) -> None:
    """One thing out of order fails its own gate, and the wine is not ready."""
    judged = _judged(cellar, **changed)
    assert _value(judged, gate) == "failed"
    assert _value(judged, "ready_to_bottle") == "no"


OPEN = {
    "no test for sugar": ("gate_sugar_and_yeast", {"residual_sugar": None}),
    "malolactic fermentation not known": ("gate_malolactic", {"malolactic": None}),
    "no heat test": ("gate_protein", {"heated_ntu": None, "control_ntu": None, "heat_test_of": "not_tested"}),
    "white, rise of 1.2 NTU, between the limits": ("gate_protein", {"heated_ntu": 1.7}),
    "heat test before the last blend": ("gate_protein", {"heat_test_of": "before_change"}),
    "no cold test": ("gate_tartrate", {"cold_test": None, "cold_test_repeated": None}),
    "pH not measured": ("gate_so2_for_ph", {"ph": None}),
    "pH 3.2 with 15 mg/L free: 0.6 mg/L molecular in a white": ("gate_so2_for_ph", {"free_so2": 15}),
    "nobody looked at it in a beam": ("gate_clarity_and_filter", {"light_beam": None}),
    "a little gas": ("gate_gas", {"gas": "a_little"}),
    "copper given and not measured": ("gate_metals", {"added_lately": ["copper", "sulfite"]}),
}


@pytest.mark.parametrize(("gate", "changed"), OPEN.values(), ids=OPEN.keys())
def test_what_nobody_looked_at_is_neither_passed_nor_failed(
    cellar: Cellar, gate: str, changed: dict[str, Any]
) -> None:
    """A gate without its finding stays open, and the wine is not called ready."""
    judged = _judged(cellar, **changed)
    assert _value(judged, gate) == "open"
    assert _value(judged, "ready_to_bottle") == "not_shown"


@pytest.mark.parametrize(("ph", "free"), [(3.0, 13), (3.2, 21), (3.4, 32), (3.5, 40)])
def test_the_printed_free_sulfur_dioxide_opens_its_gate(cellar: Cellar, ph: float, free: float) -> None:
    """The free sulfur dioxide printed for 0.8 mg/L molecular passes; a third less is between or failed.

    Source: University of California Cooperative Extension, Enology Briefs I, 1982. The print is rounded, so one mg/L
    is given on top.
    """
    assert _value(_judged(cellar, ph=ph, free_so2=free + 1), "gate_so2_for_ph") == "passed"
    assert _value(_judged(cellar, ph=ph, free_so2=round(free * 2 / 3)), "gate_so2_for_ph") != "passed"
