"""What was really added, held against the plan and the law."""

from __future__ import annotations

from pathlib import Path

import pytest
from diagnose.knowledge.read import read_rule_base
from diagnose.planning.added import cannot_be, deviations, over_limits, real_dose
from diagnose.planning.fixes import Amount, amounts
from diagnose.planning.planned import fixes_in
from diagnose.planning.projection import projected_after, projected_now
from diagnose.planning.trials import Bench, agent_of
from hypothesis import given
from hypothesis import strategies as st

RULES = read_rule_base([Path(__file__).resolve().parents[2] / "rules"])
CLAY = {"vessel_volume": 23.0, "bentonite_dose": 0.5, "bentonite_slurry": 50.0}


def planned(fix: str, **facts: float) -> tuple[Amount, ...]:
    """The amounts of a fix for this wine."""
    return amounts(RULES.fixes[fix], {name: (value,) for name, value in facts.items()})


@given(st.floats(0.5, 2))
def test_the_dose_given_goes_with_the_clay_weighed(part: float) -> None:
    """11.5 g of clay in 23 L is 0.5 g/L; half as much clay is half the dose (worked by hand)."""
    found = real_dose(RULES.fixes["bentonite"], planned("bentonite", **CLAY), {"clay": 11.5 * part})
    assert found == pytest.approx(0.5 * part)


def test_wine_lost_in_the_lees_tells_no_dose() -> None:
    """A litre in the lees was not poured in, and says nothing of the clay; a dose that is told stands for itself."""
    bentonite = RULES.fixes["bentonite"]
    assert real_dose(bentonite, planned("bentonite", **CLAY), {"lees_low": 1.0}) is None
    assert real_dose(
        bentonite, planned("bentonite", **CLAY), {"lees_low": 1.0, "clay": 11.5}
    ) == pytest.approx(0.5)
    assert real_dose(bentonite, planned("bentonite", **CLAY), {"dose": 0.7, "clay": 11.5}) == 0.7


def test_work_without_a_trial_has_no_dose_to_reckon() -> None:
    """Grams of an agent whose dose is not found in jars stand for themselves; only a dose that is told is one."""
    fix, amounts_known = RULES.fixes["lysozyme_for_so2"], planned("lysozyme_for_so2", vessel_volume=23.0)
    assert real_dose(fix, amounts_known, {"lysozyme_250": 5.75}) is None
    assert real_dose(fix, amounts_known, {"dose": 0.25}) == 0.25


def test_an_unknown_volume_tells_no_dose() -> None:
    """Without the litres no clay was planned, so the grams that went in are no dose yet."""
    assert (
        real_dose(RULES.fixes["bentonite"], planned("bentonite", bentonite_dose=0.5), {"clay": 11.5}) is None
    )


@pytest.mark.parametrize(
    ("slurry_l", "own", "reached"),
    [(0.22, {}, None), (0.25, {}, 1.0870), (0.25, {"us_water_share": 2.0}, None)],
)
def test_water_is_counted_against_the_wine(
    slurry_l: float, own: dict[str, float], reached: float | None
) -> None:
    """27 CFR 24.246 lets 1 % of water in: 250 mL in 23 L are 1.087 % (worked by hand); a person's own figure counts."""
    over = over_limits(
        RULES, RULES.fixes["bentonite"], planned("bentonite", **CLAY), {"slurry": slurry_l}, 23.0, own
    )
    assert [round(one.reached, 4) for one in over] == ([] if reached is None else [reached])


@pytest.mark.parametrize(("dose", "passed"), [(2.4, []), (2.5, ["us_silica"])])
def test_a_dose_at_the_limit_is_within_it(dose: float, passed: list[str]) -> None:
    """27 CFR 24.246 allows 20 pounds of silica in 1000 gallons, 2.4 g/L: that much is allowed, and more is not."""
    fix = RULES.fixes["counter_fine"]
    over = over_limits(RULES, fix, planned("counter_fine", vessel_volume=23.0), {"dose": dose}, 23.0, {})
    assert [one.limit.limit for one in over] == passed


@pytest.mark.parametrize(
    ("quantity", "added", "can_be"),
    [
        ("mass", 0.5, True),
        ("mass", 23_000.0, True),
        ("mass", 23_010.0, False),
        ("mass", 0.0, False),
        ("volume", 23.1, False),
        ("volume", 0.5, True),
    ],
)
def test_no_more_goes_in_than_there_is_wine(quantity: str, added: float, can_be: bool) -> None:
    """Into 23 L go at most 23 kg or 23 L, and something; half a gram of a strong thing is no slip."""
    assert (cannot_be(None, quantity, added, 23.0) is None) is can_be


@given(st.floats(1, 1000), st.floats(-0.1, 0.1))
def test_a_scale_may_differ_by_two_in_a_hundred(grams: float, off: float) -> None:
    """Common practice: what a kitchen scale cannot tell is no deviation, and what it can tell is one."""
    amount = Amount("clay", "dry clay", "mass", grams, "bentonite_grams", {})
    found = deviations((amount,), {"clay": grams * (1 + off)})
    if abs(abs(off) - 0.02) > 1e-6:
        assert bool(found) is (abs(off) > 0.02)
    assert not deviations((amount,), {"something else": 1.0})


def test_a_trial_is_about_the_fixes_it_names() -> None:
    """One ladder is about one fix, two about two; a trial that was read names the other one only."""
    assert fixes_in({"fix": "bentonite"}) == ("bentonite",)
    assert fixes_in({"fix": "bentonite", "second": None}) == ("bentonite",)
    assert fixes_in({"fix": "bentonite", "second": {"fix": "counter_fine"}}) == ("bentonite", "counter_fine")
    assert fixes_in({"fix": "bentonite", "second": "counter_fine"}) == ("bentonite", "counter_fine")


@given(
    st.sampled_from(sorted(name for name, page in RULES.fixes.items() if page.trial and page.trial.agent)),
    st.floats(1, 20),
)
def test_a_weighed_stock_of_unknown_density_holds_its_percent(name: str, percent: float) -> None:
    """5 % by weight of something whose density nobody gave is 50 g in a litre, as in water (worked by hand)."""
    agent = agent_of(RULES.fixes[name])
    stock = Bench(100, True, percent, 0.1, 0.01).stock(agent)
    if stock is not None and agent.density_g_per_ml is None:
        assert stock.grams_per_ml == pytest.approx(percent / 100)


KNOWN = st.dictionaries(st.sampled_from(sorted(RULES.tracked)), st.floats(0.5, 14), max_size=6)


@given(st.sampled_from(sorted(name for name, page in RULES.fixes.items() if page.changes)), KNOWN)
def test_a_number_is_either_foreseen_or_open(name: str, facts: dict[str, float]) -> None:
    """Nothing of the wine is at once foreseen and told to be unknown, and nothing that was known is lost unsaid."""
    known = {key: (value,) for key, value in facts.items()}
    before = projected_now(RULES, known)
    then = projected_after(RULES, RULES.fixes[name], amounts(RULES.fixes[name], known), before, known)
    assert not set(then.numbers) & set(then.open)
    assert set(before.numbers) <= set(then.numbers) | set(then.open)
