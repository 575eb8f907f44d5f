"""Whether there is room for another dose is judged by the law that a person keeps, and by their own figures."""

from __future__ import annotations

from collections.abc import Mapping
from functools import cache
from pathlib import Path

import pytest
from diagnose.engine.facts import Fact, Value
from diagnose.judgement.judge import Cellar, judge
from diagnose.knowledge.read import read_rule_base

BASE = read_rule_base([Path(__file__).resolve().parents[2] / "rules"])


@cache
def cellar(law: str, own: tuple[tuple[str, float], ...] = ()) -> Cellar:
    """The shipped rules under a law, with a person's own figures."""
    return Cellar(BASE, law, dict(own))


def spent(where: Cellar, wine: Mapping[str, Value]) -> tuple[Value, ...]:
    """Whether the legal total of this wine is spent: `yes`, `no`, or nothing concluded."""
    judged = judge(where, "so2", [Fact(name, value) for name, value in wine.items()])
    return tuple(judged.facts.get("so2_total_spent", ()))


DRY_RED = {"wine_colour": "red", "residual_sugar": 1.0}
SWEET_WHITE = {"wine_colour": "white", "residual_sugar": 40.0}


@pytest.mark.parametrize(
    ("law", "wine", "total", "found"),
    [
        ("eu", DRY_RED, 134.0, "no"),  # 150 mg/L, Regulation (EU) 2019/934
        ("eu", DRY_RED, 135.0, "yes"),
        ("us", DRY_RED, 180.0, "no"),  # 350 mg/L, 27 CFR 4.22
        ("us", DRY_RED, 335.0, "yes"),
        ("au", DRY_RED, 200.0, "no"),  # 250 mg/L below 35 g/L of sugar, Wine Australia
        ("eu", SWEET_WHITE, 234.0, "no"),  # 250 mg/L
        ("eu", SWEET_WHITE, 236.0, "yes"),
        ("oiv", SWEET_WHITE, 236.0, "no"),  # 300 mg/L above 4 g/L of sugar, OIV-OENO 9/98
        ("oiv", SWEET_WHITE, 285.0, "yes"),
    ],
)
def test_room_goes_by_the_law(law: str, wine: Mapping[str, Value], total: float, found: str) -> None:
    """The same total is spent under one law and has room under another; within 15 mg/L of the limit it is spent."""
    assert spent(cellar(law), {**wine, "total_so2": total}) == (found,)


def test_own_figure_goes_before_the_law() -> None:
    """Who sells under a scheme that allows 100 mg/L has none left at 90, where the law still has room."""
    own = cellar("eu", (("eu_total_so2_red", 100.0),))
    assert spent(own, {**DRY_RED, "total_so2": 90.0}) == ("yes",)
    assert spent(cellar("eu"), {**DRY_RED, "total_so2": 90.0}) == ("no",)


@pytest.mark.parametrize(("total", "found"), [(120.0, ("no",)), (200.0, ()), (240.0, ("yes",))])
def test_unknown_wine_is_judged_only_beyond_every_limit(total: float, found: tuple[str, ...]) -> None:
    """Where neither colour nor sugar is known, only what lies below or above every limit of the law is concluded."""
    assert spent(cellar("eu"), {"total_so2": total}) == found


def test_law_without_a_limit_concludes_nothing() -> None:
    """No limit of the total is known of Canada, so that nothing is said of room under it."""
    assert spent(cellar("ca"), {**DRY_RED, "total_so2": 340.0}) == ()


@pytest.mark.parametrize(("law", "forbidden"), [("eu", True), ("us", False)])
def test_spent_total_forbids_another_dose(law: str, forbidden: bool) -> None:
    """A dry red at 180 mg/L gets no further dose where the law stops at 150, and may where it stops at 350."""
    wine = {**DRY_RED, "total_so2": 180.0, "free_so2": 12.0, "ph": 3.4, "so2_trouble": "asks_too_much"}
    judged = judge(cellar(law), "so2", [Fact(name, value) for name, value in wine.items()])
    reasons = [
        reason.rule
        for item in judged.plan.forbidden
        if item.fix == "one_large_so2_addition"
        for reason in item.forbidden_by
    ]
    assert ("rule/so2_total_is_spent/forbid_1" in reasons) == forbidden
